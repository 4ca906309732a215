"""The lines of a page as Markdown takes them: how far they are set in, and which are shown as text."""

from __future__ import annotations

import re
from typing import Final

from build_hooks.markdown.fences import fences_of

__all__ = ["INDENT", "column_of", "indent_of", "lines_outside_code", "without_code"]

# What belongs to a step or a box is set in by so many spaces.
INDENT: Final = 4

_CODE: Final = re.compile(r"(?P<ticks>`+)(?!`).*?(?<!`)(?P=ticks)(?!`)")


def indent_of(line: str) -> int:
    """How many spaces a line is set in, tabs reckoned as Markdown does."""
    return len(line[: column_of(line) - 1].expandtabs(INDENT))


def column_of(line: str) -> int:
    """Where the text of a line begins, from 1, in characters."""
    return len(line) - len(line.lstrip()) + 1


def without_code(line: str) -> str:
    """A line with blanks for what is shown as code in it, so that columns stay."""
    return _CODE.sub(lambda code: " " * len(code[0]), line)


def lines_outside_code(page: str) -> dict[int, str]:
    """The lines of a page without its listings and comments.

    Args:
        page: the Markdown.

    Returns:
        Those that are shown as text, by their number from 1.
    """
    lines = page.split("\n")
    code = {number for first, last, _ in fences_of(lines) for number in range(first, last + 1)}
    kept: dict[int, str] = {}
    comment = False
    for number, line in enumerate(lines):
        body = line.strip()
        if number in code:
            continue
        if comment or body.startswith("<!--"):
            comment = "-->" not in body
        else:
            kept[number + 1] = line
    return kept
