"""The modules of jobs, run by Node without a page."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

__all__ = ["NodeModules", "node_modules"]

_ROOT: Final = Path(__file__).parents[3]
_LINES: Final = """
import { createInterface } from "node:readline";
for await (const line of createInterface({ input: process.stdin })) console.log(JSON.stringify(await answer(JSON.parse(line))));
"""


class NodeModules:
    """A script with our modules in it that answers one question after the other."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self._process = process

    def ask(self, question: object) -> Any:
        """What the script's `answer` makes of it."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(f"{json.dumps(question)}\n")
        self._process.stdin.flush()
        return json.loads(self._process.stdout.readline())


@contextmanager
def node_modules(script: str, folder: Path) -> Iterator[NodeModules]:
    """Starts a script.

    Args:
        script: imports from `build_hooks/browser` and declares a function `answer`.
        folder: to bundle it into.
    """
    bundle = folder / "script.mjs"
    command = [str(_ROOT / "node_modules/.bin/esbuild"), "--bundle", "--format=esm", "--platform=node", f"--outfile={bundle}"]
    subprocess.run(
        [*command, "--log-level=error"], cwd=_ROOT / "build_hooks/browser", input=script + _LINES, text=True, check=True
    )
    with subprocess.Popen(["node", str(bundle)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        yield NodeModules(process)
        assert process.stdin is not None
        process.stdin.close()
