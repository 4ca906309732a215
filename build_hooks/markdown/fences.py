"""Finds our fenced blocks in a page before Markdown does.

Markdown's own fence extension swallows what goes wrong in a block and knows no line numbers. So the blocks are taken out
of the page first, each with its place, and a marker stays where the block's HTML goes in afterwards.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Final

from build_hooks.reading.problems import Fault, Mark, nearest, quoted

__all__ = ["Fence", "cut_fences", "fences_of", "marker", "marker_pattern", "misspelt_fences", "open_fences"]

# Two letters that have changed places in a word of four are near, two words of the trade are not.
_NEAR: Final = 0.7
# Languages whose names are nearly one of ours.
_LANGUAGES: Final = frozenset({"aspectj", "cadl", "execline", "hspec", "pot", "proto", "tls", "treetop"})

_OPENING = re.compile(r"^(?P<indent>[ \t]*)(?P<ticks>`{3,}|~{3,})[ \t]*(?P<name>[A-Za-z][\w-]*)?[^`\n]*$")


@dataclass(frozen=True, slots=True)
class Fence:
    """One fenced block of ours.

    Attributes:
        name: the word behind the opening marks.
        body: its lines, without the indent of the block.
        line: line number of the opening marks, from 1.
        indent: how far the block is indented.
        closed: whether the closing marks were found.
    """

    name: str
    body: str
    line: int
    indent: int
    closed: bool


def marker(number: int) -> str:
    """The line that stands for block `number` while Markdown runs."""
    return f'<div data-bench-block="{number}"></div>'


def marker_pattern() -> re.Pattern[str]:
    """Finds the markers in the finished HTML, with a paragraph that Markdown may have put round one."""
    return re.compile(r'(?:<p>\s*)?<div data-bench-block="(?P<number>\d+)"></div>(?:\s*</p>)?')


def cut_fences(page: str, names: Collection[str]) -> tuple[str, tuple[Fence, ...]]:
    """Takes the fences with one of our names out of a page.

    A longer fence that shows a block, as a guide for authors does, is passed over with all it holds.

    Args:
        page: the Markdown, without front matter or with it.
        names: the names of our blocks.

    Returns:
        The page with a marker line in the place of each block, as many lines as before; and the blocks in order.
    """
    lines = page.split("\n")
    kept: list[str] = []
    found: list[Fence] = []
    for at, end, opening, closed in _fences(lines):
        kept.extend(lines[len(kept) : at])
        if opening["name"] in names:
            indent = opening["indent"]
            body = [line.removeprefix(indent) if line.startswith(indent) else line.lstrip() for line in lines[at + 1 : end]]
            found.append(Fence(opening["name"], "\n".join(body) + "\n", at + 1, len(indent), closed))
            # A blank line on either side keeps the marker a block of its own; the rest keeps the line count.
            blank = min(end, len(lines) - 1) - at
            mark = indent + marker(len(found) - 1)
            kept.extend(["", mark, *[""] * (blank - 1)] if blank else [mark])
        else:
            kept.extend(lines[at : end + 1])
    kept.extend(lines[len(kept) :])
    return "\n".join(kept), tuple(found)


def misspelt_fences(page: str, names: Collection[str]) -> tuple[Fault, ...]:
    """Fences whose name is nearly one of ours: Markdown would show their data as a listing.

    Args:
        page: the Markdown, as many lines as the file has.
        names: the names of our blocks.

    Returns:
        A fault for each, at its name. The name of a language whose code is listed is none.
    """
    lines = page.split("\n")
    found: list[Fault] = []
    for at, _, opening in fences_of(lines):
        name = opening["name"]
        if name is None or name in names or name in _LANGUAGES:
            continue
        near = nearest(name.casefold(), names, _NEAR)
        if near is not None:
            mark = Mark(at + 1, opening.start("name") + 1)
            found.append(Fault(mark, "unknown-block", f"{quoted(name)} is no block.", f"Did you mean {quoted(near)}?"))
    return tuple(found)


def open_fences(page: str, names: Collection[str]) -> tuple[Fault, ...]:
    """Listings without an end: what follows them would be shown as code.

    Args:
        page: the Markdown, as many lines as the file has.
        names: the names of our blocks, which `cut_fences` looks after.

    Returns:
        A fault for each, where it begins.
    """
    return tuple(
        Fault(
            Mark(at + 1, opening.start("ticks") + 1),
            "open-block",
            f"The listing that begins with {quoted(opening['ticks'] + (opening['name'] or ''))} has no end.",
            f"Put {opening['ticks']} on a line of its own behind it.",
        )
        for at, _, opening, closed in _fences(page.split("\n"))
        if not closed and opening["name"] not in names
    )


def fences_of(lines: list[str]) -> Iterator[tuple[int, int, re.Match[str]]]:
    """Each fence that stands in no other: the numbers of its first and last line from 0, and what it begins with."""
    return ((at, end, opening) for at, end, opening, _ in _fences(lines))


def _fences(lines: list[str]) -> Iterator[tuple[int, int, re.Match[str], bool]]:
    """The same, each with whether it has closing marks."""
    at = 0
    while at < len(lines):
        opening = _OPENING.match(lines[at])
        if opening is None:
            at += 1
            continue
        end, closed = _end(lines, at, opening["ticks"])
        yield at, end, opening, closed
        at = end + 1


def _end(lines: list[str], at: int, ticks: str) -> tuple[int, bool]:
    """The line of the closing marks: as many or more of the same sign.

    Where a fence with a name begins first, this one was not closed and ends above it: closing marks have no name, and a fence
    that shows another one is longer. Where there is neither, it ends with the page.
    """
    for index in range(at + 1, len(lines)):
        text = lines[index].strip()
        if not text.startswith(ticks):
            continue
        if set(text) == {ticks[0]}:
            return index, True
        next_one = _OPENING.match(lines[index])
        if next_one is not None and next_one["name"] is not None:
            return index - 1, False
    return len(lines), False
