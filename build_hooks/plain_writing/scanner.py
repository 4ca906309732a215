"""Finds the numbered steps, boxes and headings of a page, each with its place.

Markdown's own parser keeps no line numbers. This one follows the same rules as far as a procedure needs them: what belongs
to a step or a box is set in by four spaces, and a line behind a line goes on with it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

from build_hooks.markdown.lines import INDENT, column_of, indent_of
from build_hooks.plain_writing.passage import Passage
from build_hooks.reading.problems import Mark

__all__ = ["Block", "Kind", "scan"]

_FENCE: Final = re.compile(r"(?P<ticks>`{3,}|~{3,})")
_MARKER: Final = re.compile(r'<div data-bench-block="(?P<number>\d+)"></div>')
_HEADING: Final = re.compile(r"(?P<level>#{1,6})[ \t]+(?P<text>.*?)[ \t]*#*$")
_UNDERLINE: Final = re.compile(r"=+|-+")
_STEP: Final = re.compile(r"(?P<number>\d{1,9})\.[ \t]+")
_BULLET: Final = re.compile(r"[*+-][ \t]+")
_BOX: Final = re.compile(r"(?:!!!|\?\?\?\+?)[ \t]+(?P<name>[\w-]+).*$")


class Kind(StrEnum):
    """What a block of a page is."""

    HEADING = "heading"
    STEP = "step"
    BULLET = "bullet"
    BOX = "box"
    BLOCK = "block"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class Block:
    """One block of a page.

    Attributes:
        kind: what it is.
        mark: where it begins.
        name: of a box its kind (``danger``), of a block of ours its number; of a heading its level; of a step the number written.
        passage: its own text, without that of what stands in it.
        inside: the block that it stands in, by its number in the page; None at the top.
        list_number: of a step, which of the page's lists it belongs to.
    """

    kind: Kind
    mark: Mark
    name: str
    passage: Passage
    inside: int | None
    list_number: int = 0


def scan(page: str) -> tuple[Block, ...]:
    """The blocks of a page in their order.

    Args:
        page: its Markdown without front matter, as many lines as the file has, a marker for each block of ours.
    """
    reader = _Reader()
    for number, line in enumerate(page.split("\n"), 1):
        reader.take(number, line)
    return reader.blocks()


@dataclass(slots=True)
class _Open:
    """A block while its lines are collected."""

    kind: Kind
    mark: Mark
    name: str
    inside: int | None
    list_number: int
    lines: list[tuple[Mark, str]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Container:
    """A step, bullet or box that holds what is set in under it."""

    block: int
    indent: int


class _Reader:
    """Takes a page line by line."""

    def __init__(self) -> None:
        self._found: list[_Open] = []
        self._containers: list[_Container] = []
        self._lists = 0
        self._fence: str | None = None
        self._comment = False
        # The block that a line without a blank one before it goes on with.
        self._going_on: _Open | None = None

    def blocks(self) -> tuple[Block, ...]:
        """Everything found."""
        return tuple(
            Block(block.kind, block.mark, block.name, Passage.of(block.lines), block.inside, block.list_number)
            for block in self._found
        )

    def take(self, number: int, line: str) -> None:
        """Takes the next line."""
        body = line.strip()
        indent = indent_of(line)
        if self._skipped(body, indent):
            return
        mark = Mark(number, column_of(line))
        if not self._starts(body):
            if self._underlined(body):
                return
            if self._going_on is not None:
                self._going_on.lines.append((mark, body))
                return
        left = self._leave(indent)
        if indent >= (self._containers[-1].indent if self._containers else 0) + INDENT:
            # Set in further than anything it could belong to: code.
            self._going_on = None
            return
        self._begin(body, mark, indent, left)

    def _skipped(self, body: str, indent: int) -> bool:
        """Blank lines, and code and comments with all they hold. A list ends at those that are not set in under its steps."""
        if self._fence is not None:
            if set(body) == {self._fence[0]} and len(body) >= len(self._fence):
                self._fence = None
            return True
        if self._comment or body.startswith("<!--"):
            if not self._comment:
                self._leave(indent)
            self._comment = "-->" not in body
            return True
        if not body:
            self._going_on = None
            return True
        fence = _FENCE.match(body)
        if fence is None:
            return False
        self._fence = fence["ticks"]
        self._leave(indent)
        self._going_on = None
        return True

    def _starts(self, body: str) -> bool:
        """Whether a line begins a block of its own, whatever stands before it."""
        patterns = (_HEADING, _STEP, _BULLET, _BOX, _MARKER)
        return any(pattern.match(body) for pattern in patterns) or body.startswith(("|", "<"))

    def _underlined(self, body: str) -> bool:
        """A line under a text that makes it a heading."""
        above = self._going_on
        if above is None or above.kind is not Kind.TEXT or above.inside is not None or not _UNDERLINE.fullmatch(body):
            return False
        above.kind, above.name = Kind.HEADING, "1" if body[0] == "=" else "2"
        self._going_on = None
        return True

    def _leave(self, indent: int) -> _Container | None:
        """Leaves what the line is not set in under; gives back the last one left."""
        left = None
        while self._containers and indent < self._containers[-1].indent:
            left = self._containers.pop()
        return left

    def _begin(self, body: str, mark: Mark, indent: int, left: _Container | None) -> None:
        if heading := _HEADING.match(body):
            self._add(Kind.HEADING, mark, str(len(heading["level"]))).lines.append(
                (Mark(mark.line, mark.column + heading.start("text")), heading["text"])
            )
            self._going_on = None
        elif marker := _MARKER.match(body):
            self._add(Kind.BLOCK, mark, marker["number"])
            self._going_on = None
        elif box := _BOX.match(body):
            self._add(Kind.BOX, mark, box["name"].casefold())
            self._contain(indent)
            self._going_on = None
        elif step := _STEP.match(body):
            self._item(Kind.STEP, mark, body[step.end() :], step.end(), self._list_of(left), step["number"])
            self._contain(indent)
        elif bullet := _BULLET.match(body):
            self._item(Kind.BULLET, mark, body[bullet.end() :], bullet.end())
            self._contain(indent)
        elif body.startswith(("|", "<")):
            # A table or raw HTML: nothing in it is judged.
            self._going_on = None
        else:
            self._text(body, mark)

    def _list_of(self, left: _Container | None) -> int:
        """The list that a step goes on with, or a new one."""
        if left is not None:
            before = self._found[left.block]
            # Anything at the same depth between two steps ends a list; it would have been left in between.
            if before.kind is Kind.STEP and before.inside == self._inside():
                return before.list_number
        self._lists += 1
        return self._lists

    def _item(self, kind: Kind, mark: Mark, text: str, width: int, list_number: int = 0, name: str = "") -> None:
        item = self._add(kind, mark, name, list_number)
        item.lines.append((Mark(mark.line, mark.column + width), text))
        self._going_on = item

    def _text(self, body: str, mark: Mark) -> None:
        inside = self._inside()
        owner = None if inside is None else self._found[inside]
        block = owner if owner is not None else self._add(Kind.TEXT, mark, "")
        block.lines.append((mark, body))
        self._going_on = block

    def _add(self, kind: Kind, mark: Mark, name: str, list_number: int = 0) -> _Open:
        block = _Open(kind, mark, name, self._inside(), list_number)
        self._found.append(block)
        return block

    def _inside(self) -> int | None:
        return self._containers[-1].block if self._containers else None

    def _contain(self, indent: int) -> None:
        """Lets the block added last hold what is set in under it."""
        self._containers.append(_Container(len(self._found) - 1, indent + INDENT))
