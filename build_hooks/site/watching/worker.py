"""Builds a manual each time it is asked to, in one process: what every build needs is loaded once.

``python -m build_hooks.site.watching.worker CONFIG SITE``: for each line that comes in, one build, and a line of JSON with its
status and what it said.
"""

from __future__ import annotations

import gc
import io
import json
import logging
import os
import runpy
import sys
from collections.abc import Iterable, Sequence
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

from build_hooks.process.ending import ended
from build_hooks.site.build import build_site
from build_hooks.site.replacing import NotMadeError, WorkFolder


def main(asked: Iterable[str] | None = None) -> int:
    """Builds until nobody asks any more.

    Args:
        asked: a line for each build; by default what comes in.

    Returns:
        The exit status.
    """
    config, site = Path(sys.argv[1]), Path(sys.argv[2])
    answers = sys.stdout
    for _ in sys.stdin if asked is None else asked:
        said = io.StringIO()
        with redirect_stderr(said), redirect_stdout(said):
            status = ended(lambda: _built(config, site))
        answers.write(json.dumps({"status": status, "said": said.getvalue()}) + "\n")
        answers.flush()
    return 0


def _built(config: Path, site: Path) -> int:
    try:
        return build_site(config, site, run=_run_here)
    except NotMadeError as refused:
        sys.stderr.write(f"{refused}\n")
        return 1


def _run_here(command: Sequence[str], _work: WorkFolder) -> int:
    """Runs the builder, a module of this Python, without a process of its own."""
    before = sys.argv
    # Behind the interpreter, -m and the module that ends a builder: what runs here.
    sys.argv = list(command[3:])
    try:
        runpy.run_module(sys.argv[0], run_name="__main__", alter_sys=True)
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(bool(end.code))
    finally:
        sys.argv = before
        # It writes to the stream of this build.
        logging.getLogger(command[3]).handlers.clear()
        gc.collect()
    return 0


if __name__ == "__main__":
    if hasattr(os, "nice"):
        # Whoever writes waits for single pages, not for this.
        os.nice(10)
    sys.exit(ended(main))
