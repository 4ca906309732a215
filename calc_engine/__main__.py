"""The command line: ``python -m calc_engine list | describe NAME | run NAME``."""

from __future__ import annotations

import argparse
import json
import sys

from . import CATALOGUE, answer, answer_text, describe, encode, listing

_OK, _REFUSED = 0, 2


def main(arguments: list[str] | None = None) -> int:
    """Runs one command; replies on standard output.

    Returns:
        0 when ok, 2 when not.
    """
    parser = argparse.ArgumentParser(
        prog="python -m calc_engine", description="The calculations of the bench, from the command line."
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
    reply = answer(given.name, {}) if given.command == "describe" else answer_text(given.name, sys.stdin.buffer.read())
    print(encode(reply))
    return _OK if reply["ok"] else _REFUSED


if __name__ == "__main__":
    # Undecodable text is never an excuse for a traceback.
    sys.stdout.reconfigure(encoding="utf-8", errors="backslashreplace")  # type: ignore[union-attr]
    sys.exit(main())
