"""``benchleaf``, or ``python -m build_hooks``."""

import sys
from importlib import import_module

if sys.version_info < (3, 13):  # noqa: UP036 - the system's own Python may be older, and could not even read the rest
    sys.exit(
        f"Python 3.13 is needed, and {sys.executable} is {sys.version.split()[0]}. "
        "Call .venv/bin/python in its place; make serve sets that up if it is not there."
    )

try:
    from build_hooks.process.ending import ended
except KeyboardInterrupt:
    # What says so is not loaded yet.
    sys.exit(130)


def main() -> int:
    """Runs the command of this process.

    Returns:
        The exit status.
    """
    return ended(_run)


def _run() -> int:
    # Loading the commands takes a second, in which they can be interrupted too.
    status: int = import_module("build_hooks.cli").main()
    return status


if __name__ == "__main__":
    sys.exit(main())
