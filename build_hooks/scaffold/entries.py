"""Puts an entry into a data file that somebody wrote: lines are added, and every line that was there stays as it was."""

from __future__ import annotations

import textwrap
from pathlib import Path

from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import lines_of
from build_hooks.reading.sources import read_mapping
from build_hooks.scaffold.writing import NotWrittenError

__all__ = ["add_entries"]


def add_entries(path: Path, entries: dict[str, str]) -> str:
    """The text of a data file with more entries.

    Args:
        path: the file; it was found sound.
        entries: by the key at the top of the file, the lines of what comes last below it.

    Returns:
        The text, with the line ends that the file has.

    Raises:
        NotWrittenError: a key has its value in braces, or is not there to be read.
    """
    root, problems = read_mapping(path)
    if root is None:
        raise NotWrittenError(str(problems[0]))
    # As it is: `read_text` of a path would make all line ends alike.
    text = path.read_bytes().decode("utf-8")
    end = next((sign for sign in ("\r\n", "\n", "\r") if sign in text), "\n")
    lines = lines_of(text)
    # From the last to the first, so that places above stay what they are.
    for key, entry in sorted(entries.items(), key=lambda item: -_line_of(root, item[0])):
        _add(lines, root, key, entry, path)
    return end.join(lines)


def _line_of(root: Node, key: str) -> int:
    mark = root.keys.get(key)
    return mark.line if mark else 1_000_000


def _add(lines: list[str], root: Node, key: str, entry: str, path: Path) -> None:
    here = root.get(key)
    if here is None:
        while lines and not lines[-1].strip():
            lines.pop()
        lines += ["", f"{key}:", *textwrap.indent(entry, "  ").splitlines(), ""]
        return
    line = _line_of(root, key)
    if here.is_mapping and here.mark.line == line:
        raise NotWrittenError(
            f"{path.as_posix()}:{line}: “{key}” has its entries in braces. Write each on a line of its own, then call it again."
        )
    below = [mark.column for mark in here.keys.values()]
    place = _end_of(lines, line, [mark.line for mark in root.keys.values()])
    lines[place:place] = textwrap.indent(entry, " " * (min(below) - 1 if below else 2)).splitlines()


def _end_of(lines: list[str], line: int, starts: list[int]) -> int:
    """How many lines there are up to the last one that says something below a key."""
    end = min((start - 1 for start in starts if start > line), default=len(lines))
    while end > line and (not lines[end - 1].strip() or lines[end - 1].startswith("#")):
        end -= 1
    return end
