"""``python -m build_hooks``."""

import sys
from importlib import import_module

from build_hooks.process.ending import ended


def _run() -> int:
    # Loading the commands takes a second, in which they can be interrupted too.
    status: int = import_module("build_hooks.cli").main()
    return status


sys.exit(ended(_run))
