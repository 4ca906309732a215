"""Passages that Markdown takes minutes over, or cannot take apart at all: a row of open brackets, lists without end."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import islice
from typing import Final

from build_hooks.markdown.lines import INDENT, indent_of, lines_outside_code
from build_hooks.reading.problems import Fault, Mark

__all__ = ["tangles"]

# From each open bracket Markdown reads on to the end of the paragraph: the time goes by the square of their number.
_MOST_OPEN: Final = 50
_DEEPEST_BRACKETS: Final = 20
_DEEPEST_LIST: Final = 20
_LONGEST_RUN: Final = 100

_BRACKET: Final = re.compile(r"\\.|[\[\]]")
_LIST_ITEM: Final = re.compile(r"\s*(?:[-*+]|\d+\.)\s")
_RUN: Final = re.compile(rf"(?<![*_])[*_]{{{_LONGEST_RUN},}}")


def tangles(page: str) -> Iterator[Fault]:
    """What a page holds of such passages.

    Args:
        page: the Markdown without front matter and without blocks of ours, as many lines as the file has.

    Yields:
        The first of each kind in each paragraph, at its place.
    """
    for paragraph in _paragraphs(page):
        yield from islice(_brackets(paragraph), 1)
        yield from islice(_lists(paragraph), 1)
        yield from islice(_runs(paragraph), 1)


def _paragraphs(page: str) -> Iterator[list[tuple[int, str]]]:
    """Lines with their numbers, up to the next empty one."""
    paragraph: list[tuple[int, str]] = []
    for number, line in lines_outside_code(page).items():
        if line.strip():
            paragraph.append((number, line))
        elif paragraph:
            yield paragraph
            paragraph = []
    if paragraph:
        yield paragraph


def _brackets(paragraph: list[tuple[int, str]]) -> Iterator[Fault]:
    still_open: list[Mark] = []
    deepest = 0
    for number, line in paragraph:
        for found in _BRACKET.finditer(line):
            if found[0] == "[":
                still_open.append(Mark(number, found.start() + 1))
            elif found[0] == "]" and still_open:
                deepest = max(deepest, len(still_open))
                first = still_open[0]
                still_open.pop()
    if len(still_open) > _MOST_OPEN:
        message = f"More than {_MOST_OPEN} brackets “[” of this paragraph are not closed."
        yield Fault(still_open[0], "tangled", message, "Close them, or put \\ before each that is no link.")
    elif deepest > _DEEPEST_BRACKETS:
        message = f"More than {_DEEPEST_BRACKETS} brackets “[” are nested here."
        yield Fault(first, "tangled", message, "Put \\ before each that is no link.")


def _lists(paragraph: list[tuple[int, str]]) -> Iterator[Fault]:
    for number, line in paragraph:
        if indent_of(line) > _DEEPEST_LIST * INDENT and _LIST_ITEM.match(line):
            mark = Mark(number, len(line) - len(line.lstrip()) + 1)
            yield Fault(mark, "tangled", f"This list is more than {_DEEPEST_LIST} lists deep.", "Move it further left.")


def _runs(paragraph: list[tuple[int, str]]) -> Iterator[Fault]:
    for number, line in paragraph:
        found = _RUN.search(line)
        # Alone on its line it is a rule.
        if found is not None and line.strip(" *_"):
            message = f"More than {_LONGEST_RUN} stars or underscores in a row here."
            yield Fault(Mark(number, found.start() + 1), "tangled", message, "Shorten the row, or put it on a line of its own.")
