"""Changes start tags of a finished page and leaves every other byte as it is."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from html.parser import HTMLParser

__all__ = ["Change", "change_tags"]

type Change = Callable[[str, Mapping[str, str | None], str], str]


class _StartTags(HTMLParser):
    """Notes where each start tag stands."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.found: list[tuple[tuple[int, int], str, dict[str, str | None], str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Notes one; what stands in a script is no tag and does not come here."""
        # Of an attribute that is given twice, a browser takes the first.
        self.found.append((self.getpos(), tag, dict(reversed(attrs)), self.get_starttag_text() or ""))


def change_tags(page: str, change: Change) -> str:
    """A page with some of its start tags changed.

    Args:
        page: HTML.
        change: is given a tag's name, its attributes and its text as it stands, and returns the text to put there.

    Returns:
        The page.
    """
    reader = _StartTags()
    reader.feed(page)
    reader.close()
    starts = [0, *(found.end() for found in re.finditer("\n", page))]
    pieces: list[str] = []
    done = 0
    for (line, column), tag, attributes, text in reader.found:
        at = starts[line - 1] + column
        pieces += [page[done:at], change(tag, attributes, text)]
        done = at + len(text)
    return "".join((*pieces, page[done:]))
