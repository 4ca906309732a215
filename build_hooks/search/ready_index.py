"""Makes the search library's own index when the manual is built, with the same script that the page runs.

Reading it ready takes a page a small part of the time that making it takes: see tests/benchmarks/bench_search.py.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

__all__ = ["ready_index"]

_LONGEST: Final = 300  # Seconds; a manual of a thousand pages takes about ten on a slow machine.


def ready_index(index: Mapping[str, Any], script: bytes, warn: Callable[[str], None]) -> object | None:
    """The library's index of the entries.

    Args:
        index: the index file's data.
        script: browser/search/make-index.js, bundled.
        warn: is told in one line why there is none, when there is none.

    Returns:
        The index as plain data; None if Node.js is missing or fails, and then every page makes it for itself.
    """
    node = shutil.which("node")
    if node is None:
        warn("The search index could not be made ready, so the first search of each page takes longer: Node.js is not installed.")
        return None
    with tempfile.TemporaryDirectory() as folder:
        program = Path(folder) / "make-index.cjs"
        program.write_bytes(script)
        try:
            made = subprocess.run(  # noqa: S603 - our own script, no shell
                [node, str(program)],
                input=json.dumps(index, ensure_ascii=False).encode(),
                capture_output=True,
                check=True,
                timeout=_LONGEST,
            )
        except (OSError, subprocess.SubprocessError) as fault:
            warn(f"The search index could not be made ready, so the first search of each page takes longer: {fault}.")
            return None
    ready: object = json.loads(made.stdout)
    return ready
