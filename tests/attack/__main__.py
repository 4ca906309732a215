"""Runs every attack, or those named: `python -m tests.attack [engine build ...] [--share 0.01]`."""

from __future__ import annotations

import argparse
import importlib
import signal
import sys
from pathlib import Path

from tests.attack.table import Row, as_table


def main() -> int:
    """Prints the table; 1 if anything failed."""
    names = sorted(path.stem.removeprefix("attack_") for path in Path(__file__).parent.glob("attack_*.py"))
    parser = argparse.ArgumentParser(prog="python -m tests.attack", description="Tries to break the project.")
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"which attacks: {', '.join(names)} (default: all)")
    parser.add_argument("--share", type=float, default=1.0, help="the share of the full number of cases (default: 1)")
    given = parser.parse_args()
    if unknown := set(given.names) - set(names):
        parser.error(f"unknown: {', '.join(sorted(unknown))}. Known: {', '.join(names)}.")
    # A shell starts what runs in its background with Ctrl+C ignored, and programs started here would inherit that.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    rows: list[Row] = []
    for name in given.names or names:
        for row in importlib.import_module(f"tests.attack.attack_{name}").run(given.share):
            print(f"{name}: {row.test}: {row.cases:,} cases, {len(row.failures):,} failures", file=sys.stderr, flush=True)
            rows.append(row)
    print(as_table(rows))
    return 1 if any(row.failures for row in rows) else 0


if __name__ == "__main__":
    sys.exit(main())
