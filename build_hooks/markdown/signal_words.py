"""Signal words as an author writes them.

Markdown shows a box that it cannot read as plain text, and a word that it does not know as a box of some other kind. Nothing
breaks, and a reader is not warned. So each such line is a problem with its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from build_hooks.markdown.admonitions import KINDS
from build_hooks.markdown.lines import INDENT, column_of, indent_of, lines_outside_code
from build_hooks.reading.problems import Fault, Mark, in_order, nearest, quoted

__all__ = ["signal_faults"]

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
    return in_order(fault for number, line in lines_outside_code(page).items() for fault in _faults_of(number, line, lines))


def _faults_of(number: int, line: str, lines: list[str]) -> Iterator[Fault]:
    body = line.strip()
    meant = _MEANT.match(body)
    if meant is None:
        return
    written = meant["word"].casefold()
    kind = _kind_meant(written)
    if kind is None:
        return
    mark = Mark(number, column_of(line))
    if written != kind:
        yield Fault(mark, "unknown-signal-word", f"{quoted(meant['word'])} is no signal word.", f"Did you mean {quoted(kind)}?")
    elif not _READ.match(body):
        yield Fault(mark, "signal-not-read", f"{quoted(body)} is not read as a signal word.", _remedy(kind, meant["rest"]))
    yield from _text_faults(mark, kind, lines)


def _kind_meant(word: str) -> str | None:
    if word in KINDS or word not in _PLAIN:
        return nearest(word, KINDS)
    return None


def _remedy(kind: str, rest: str) -> str:
    title = rest.strip(' \t"“”:')
    if not title:
        return f"Write “!!! {kind}” and nothing else on the line."
    return f'Write “!!! {kind} "{title}"”, or set the text in by four spaces on the next line.'


def _text_faults(mark: Mark, kind: str, lines: list[str]) -> Iterator[Fault]:
    """A box without text, and text behind a box's line that is not set in with it."""
    inside = indent_of(lines[mark.line - 1]) + INDENT
    remedy = f"Set all of its text in by {inside} spaces."
    # Until a line of it is found, the box has no text; a blank line before one that is not set in ends it.
    found = blank_before = False
    for at in range(mark.line, len(lines)):
        body = lines[at].strip()
        if body and indent_of(lines[at]) < inside:
            if found and not blank_before and not _STARTS.match(body):
                or_apart = f"{remedy[:-1]}, or leave a blank line before what does not belong to it."
                yield Fault(
                    Mark(at + 1, column_of(lines[at])),
                    "text-outside-signal",
                    f"This line falls out of the {kind} above it.",
                    or_apart,
                )
            break
        found = found or bool(body)
        blank_before = not body
    if not found:
        yield Fault(mark, "signal-without-text", f"No text belongs to this {kind}.", remedy)
