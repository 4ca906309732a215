"""Puts the browser's files where a wheel is put together: `python -m build_hooks.bundle.carrying FOLDER`, in the project's folder."""

from __future__ import annotations

import sys
from pathlib import Path

from build_hooks.bundle import PackageChangedError, carry


def main() -> str | None:
    """Copies them into the folder that is named.

    Returns:
        Why not, in a line; None when they are there.
    """
    try:
        carry(Path("node_modules"), Path(".cache") / "benchleaf", Path(sys.argv[1]))
    except PackageChangedError as fault:
        return str(fault)
    return None


if __name__ == "__main__":
    sys.exit(main())
