"""The command line: ``python -m calc_engine list | describe NAME | run NAME``."""

from __future__ import annotations

import argparse
import json
import sys
from typing import NoReturn

from calc_engine import CATALOGUE, LONGEST_REQUEST, VERSION, Problem, answer, answer_text, describe, encode, listing, run_process
from calc_engine.loading import is_loaded

_OK, _REFUSED = 0, 2


class _Parser(argparse.ArgumentParser):
    """Says a wrong call as every other problem is said: one JSON object on standard output."""

    def error(self, message: str) -> NoReturn:
        """Prints the problem and leaves with 2."""
        problem = Problem("", "usage", f"The call is not understood: {message}.", "Write list, describe NAME or run NAME.")
        print(encode({"ok": False, "calculation": "", "engine": VERSION, "problems": [problem.as_json()]}))
        self.exit(_REFUSED)


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
    commands = parser.add_subparsers(dest="command", required=True)
    commands.add_parser("list", help="every calculation: name, title and purpose")
    for name, said in (
        ("describe", "inputs and outputs as JSON Schema"),
        ("run", "answers the JSON request on standard input"),
    ):
        commands.add_parser(name, help=said).add_argument("name", metavar="NAME")
    given = parser.parse_args(arguments)
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


def _request() -> bytes:
    # One more than may be sent, so that too much is told as too much, and an endless stream ends.
    return sys.stdin.buffer.read(LONGEST_REQUEST + 1) if sys.stdin else b""


def _run() -> int:
    is_loaded()
    return main()


if __name__ == "__main__":
    sys.exit(run_process("calc_engine", _run))
