"""Changes as lines for a terminal, and as a page of the manual."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from build_hooks.changes.compare import Change
from build_hooks.changes.facts import CHANGES_TITLE
from build_hooks.markdown.html import markdown_text

__all__ = ["change_page", "change_text", "is_change_page"]


type _Paths = Sequence[tuple[str, tuple[str, ...]]]


def change_text(changes: Sequence[Change], paths: _Paths) -> str:
    """One line for each change, and one for each learning path that asks to be read again.

    Args:
        changes: what differs.
        paths: the paths with the titles of their pages that changed.
    """
    lines = [f"{' · '.join(change.where)}: {_told(change)}" for change in changes]
    lines += [f"Learning path “{name}”: {_read_again(pages)}" for name, pages in paths]
    return "".join(f"{line}\n" for line in lines or ["Nothing has changed."])


def change_page(changes: Sequence[Change], paths: _Paths, since: str) -> str:
    """The same as the Markdown of a page.

    Args:
        changes: what differs.
        paths: the paths with the titles of their pages that changed.
        since: what the manual is compared with, in the author's word for it.
    """
    return "\n".join(_page(changes, paths, since)) + "\n"


def is_change_page(text: str) -> bool:
    """Whether a page is one of these, so that it may be written anew."""
    return text.startswith(f"{CHANGES_TITLE}\n")


def _page(changes: Sequence[Change], paths: _Paths, since: str) -> Iterator[str]:
    yield from (CHANGES_TITLE, "", f"Since {markdown_text(since)}.", "")
    if not changes and not paths:
        yield "Nothing has changed."
    for where, group in groupby(changes, key=lambda change: change.where[0]):
        yield from (f"## {markdown_text(where)}", "", "| What | Before | Now |", "|---|---|---|")
        for change in group:
            cells = (" · ".join(change.where[1:]), change.old or "", change.new or "")
            yield f"| {' | '.join(_cell(text) for text in cells)} |"
        yield ""
    if paths:
        yield from ("## Read again", "", "What these learning paths lead to has changed, and their edition has not.", "")
        yield from (f"- {markdown_text(name)}: {markdown_text(', '.join(pages))}" for name, pages in paths)


def _cell(text: str) -> str:
    return markdown_text(text).replace("|", "&#124;")


def _told(change: Change) -> str:
    if change.old is None:
        return f"new: {change.new}"
    if change.new is None:
        return f"gone: {change.old}"
    return f"{change.old} → {change.new}"


def _read_again(pages: Sequence[str]) -> str:
    return f"{', '.join(pages)} changed since. Raise its edition, and say what is to be read again."
