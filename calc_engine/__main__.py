"""The command line: ``python -m calc_engine [--own FOLDER] list | describe NAME | run NAME``."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any, NoReturn

from calc_engine import (
    CATALOGUE,
    LONGEST_REQUEST,
    VERSION,
    Calculation,
    Problem,
    answer,
    answer_text,
    calculations_in,
    describe,
    encode,
    listing,
    load_own,
    run_process,
    set_own,
)
from calc_engine.loading import is_loaded

_OK, _REFUSED = 0, 2


class _Parser(argparse.ArgumentParser):
    """Says a wrong call as every other problem is said: one JSON object on standard output."""

    def error(self, message: str) -> NoReturn:
        """Prints the problem and leaves with 2."""
        _print_problem(Problem("", "usage", f"The call is not understood: {message}.", "Write list, describe NAME or run NAME."))
        self.exit(_REFUSED)


def _print_problem(problem: Problem) -> None:
    print(encode({"ok": False, "calculation": "", "engine": VERSION, "problems": [problem.as_json()]}))


def main(arguments: list[str] | None = None) -> int:
    """Runs one command; replies on standard output.

    Returns:
        0 when ok, 2 when not.
    """
    parser = _Parser(
        prog="python -m calc_engine",
        description="The calculations of the bench, from the command line.",
        epilog="Exit status: 0 when answered; 2 when refused, or when nothing could be read or written; 130 after Ctrl+C.",
    )
    parser.add_argument(
        "--own",
        type=Path,
        metavar="FOLDER",
        help="a manual's own calculations, for example docs/calculations; their files are run",
    )
    commands = parser.add_subparsers(dest="command", required=True)
    commands.add_parser("list", help="every calculation: name, title and purpose")
    for name, said in (
        ("describe", "inputs and outputs as JSON Schema"),
        ("run", "answers the JSON request on standard input"),
    ):
        commands.add_parser(name, help=said).add_argument("name", metavar="NAME")
    given = parser.parse_args(arguments)
    unusable = None if given.own is None else _take(given.own)
    if unusable:
        _print_problem(unusable)
        return _REFUSED
    if given.command == "list":
        print(json.dumps(listing(list(CATALOGUE.values())), ensure_ascii=False, indent=2))
        return _OK
    if given.command == "describe" and given.name in CATALOGUE:
        print(json.dumps(describe(CATALOGUE[given.name]), ensure_ascii=False, indent=2))
        return _OK
    # An unknown name is told by the engine itself, so that the words are the same everywhere.
    reply = answer(given.name, {}) if given.command == "describe" else answer_text(given.name, _request())
    print(encode(reply))
    return _OK if reply["ok"] else _REFUSED


def _take(folder: Path) -> Problem | None:
    """Takes every file of a folder into the catalogue; returns what is in the way, if anything is."""
    remedy = "Name the calculations folder of a manual, and see what is wrong in it with: benchleaf check"
    if not folder.is_dir():
        return Problem("", "no-own-folder", f"There is no folder “{folder}”.", remedy)
    own: list[Calculation[Any, Any]] = []
    for path in sorted(folder.glob("*.py")):
        try:
            own += calculations_in(load_own(path.stem, path.read_text(encoding="utf-8"), path.as_posix()))
        except Exception as fault:  # noqa: BLE001 - whatever somebody's file raises
            return Problem("", "own-at-fault", f"{path} cannot be used: {type(fault).__name__}: {fault}.", remedy)
    try:
        set_own(own)
    except ValueError as fault:
        return Problem("", "own-at-fault", str(fault), remedy)
    return None


def _request() -> bytes:
    # One more than may be sent, so that too much is told as too much, and an endless stream ends.
    return sys.stdin.buffer.read(LONGEST_REQUEST + 1) if sys.stdin else b""


def _run() -> int:
    is_loaded()
    return main()


if __name__ == "__main__":
    sys.exit(run_process("calc_engine", _run))
