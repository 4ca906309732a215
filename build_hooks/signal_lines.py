"""Signal words as an author writes them.

Markdown shows a box that it cannot read as plain text, and a word that it does not know as a box of some other kind. Nothing
breaks, and a reader is not warned. So each such line is a problem with its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from build_hooks.admonitions import KINDS
from build_hooks.problems import Fault, Mark, in_order, nearest, quoted
from build_hooks.shown_lines import lines_outside_code

__all__ = ["signal_faults"]

_INDENT: Final = 4
# Whatever looks as if a signal word was meant.
_MEANT: Final = re.compile(r"(?:!{2,}|\?{3}\+?)[ \t]*(?P<word>[A-Za-z][\w-]*)(?P<rest>.*)$")
# What Markdown's extension reads: three marks, at most one space, the word, and a title in quotation marks.
_READ: Final = re.compile(r'!!! ?[\w-]+(?: +"[^"]*")? *$')
_STARTS: Final = re.compile(r"#{1,6}[ \t]|\d+\.[ \t]|[*+-][ \t]|!!|\?\?\?|[|<]|`{3,}|~{3,}")
# Boxes of no meaning for safety, which Markdown's users know; they are shown plainly.
_PLAIN: Final = frozenset({"abstract", "example", "info", "important", "note", "question", "quote", "success", "summary", "tip"})


def signal_faults(page: str) -> tuple[Fault, ...]:
    """Finds signal words, hold points and reasons that would not be shown as such.

    Args:
        page: the Markdown without front matter and without blocks of ours, as many lines as the file has.

    Returns:
        A word that is misspelt, a line that is not read as a box, and text that falls out of its box, by place.
    """
    lines = page.split("\n")
    return in_order(fault for number, line in lines_outside_code(lines).items() for fault in _faults_of(number, line, lines))


def _faults_of(number: int, line: str, lines: list[str]) -> Iterator[Fault]:
    body = line.strip()
    meant = _MEANT.match(body)
    if meant is None:
        return
    indent = _indent(line)
    mark = Mark(number + 1, len(line) - len(line.lstrip()) + 1)
    kind = meant["word"].casefold()
    near = kind if kind in KINDS else None if kind in _PLAIN else nearest(kind, KINDS)
    if near is None:
        return
    if kind != near:
        yield Fault(mark, "unknown-signal-word", f"{quoted(meant['word'])} is no signal word.", f"Did you mean {quoted(near)}?")
    elif not _READ.match(body):
        yield Fault(mark, "signal-not-read", f"{quoted(body)} is not read as a signal word.", _remedy(near, meant["rest"]))
    yield from _text_faults(number, indent, mark, near, lines)


def _remedy(kind: str, rest: str) -> str:
    title = rest.strip(' \t"“”:')
    if not title:
        return f"Write “!!! {kind}” and nothing else on the line."
    return f'Write “!!! {kind} "{title}"”, or set the text in by four spaces on the next line.'


def _text_faults(number: int, indent: int, mark: Mark, kind: str, lines: list[str]) -> Iterator[Fault]:
    """A box without text, and text behind a box's line that is not set in with it."""
    remedy = f"Set all of its text in by {indent + _INDENT} spaces."
    first = next((at for at in range(number + 1, len(lines)) if lines[at].strip()), None)
    if first is None or _indent(lines[first]) < indent + _INDENT:
        yield Fault(mark, "signal-without-text", f"No text belongs to this {kind}.", remedy)
        return
    blank_before = False
    for at in range(first + 1, len(lines)):
        body = lines[at].strip()
        if body and _indent(lines[at]) < indent + _INDENT:
            if not blank_before and not _STARTS.match(body):
                place = Mark(at + 1, len(lines[at]) - len(lines[at].lstrip()) + 1)
                or_apart = f"{remedy[:-1]}, or leave a blank line before what does not belong to it."
                yield Fault(place, "text-outside-signal", f"This line falls out of the {kind} above it.", or_apart)
            return
        blank_before = not body


def _indent(line: str) -> int:
    return len(line[: len(line) - len(line.lstrip())].expandtabs(_INDENT))
