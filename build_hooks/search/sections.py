"""Takes the finished HTML of a page apart: its sections with their anchors and plain text, and the blocks in each."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from html.parser import HTMLParser
from typing import Final

__all__ = ["Section", "sections_of"]

# What stands in them is no text of the section: pictures, formulas, scripts, what the page says of itself, and blocks
# that have entries of their own.
_UNREAD_TAGS: Final = frozenset({"svg", "math", "script", "style", "template", "noscript", "button"})
_UNREAD_CLASSES: Final = frozenset({"bench-standing", "bench-printed-code", "bench-sign-off", "headerlink", "bench-stack"})
_OWN_ENTRIES: Final = frozenset({"stack", "spec", "calc"})
_HEADINGS: Final = frozenset({"h1", "h2", "h3", "h4", "h5", "h6"})
_INLINE: Final = frozenset({"a", "abbr", "b", "code", "em", "i", "kbd", "mark", "small", "span", "strong", "sub", "sup"})
_VOID: Final = frozenset({"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"})


@dataclass(slots=True)
class Section:
    """A heading and what stands under it.

    Attributes:
        level: 1 for the page's own heading; 0 for what stands before any.
        title: the heading.
        anchor: its id, empty if it has none.
        text: the plain text under it, up to the next heading.
        labels: what the blocks in it are called, by their label or caption, each with its id or an empty text.
    """

    level: int
    title: str = ""
    anchor: str = ""
    text: str = ""
    labels: list[tuple[str, str]] = field(default_factory=list)


@lru_cache(maxsize=1024)
def sections_of(html: str) -> tuple[Section, ...]:
    """The sections of a page in their order.

    Args:
        html: the content of a page; broken markup is read as a browser would, as far as text goes.

    Returns:
        A section for each heading, and one in front if anything stands before the first.
    """
    reader = _Reader()
    reader.feed(html)
    reader.close()
    for section in reader.sections:
        section.title, section.text = _one_line(section.title), _one_line(section.text)
        section.labels = [(_one_line(label), anchor) for label, anchor in section.labels]
    return tuple(section for section in reader.sections if section.title or section.text or section.labels)


def _one_line(text: str) -> str:
    return " ".join(text.split())


class _Reader(HTMLParser):
    """Hears the tags of a page one by one."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.sections = [Section(0)]
        self._open: list[str] = []
        self._unread_from: int | None = None
        self._heading: str | None = None
        self._caption_from: int | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag not in _INLINE:
            self._say(" ")
        if tag in _VOID:
            return
        if tag in _HEADINGS and self._unread_from is None:
            self.sections.append(Section(int(tag[1]), anchor=given.get("id", "")))
            self._heading = tag
        if self._unread_from is None:
            if "aria-label" in given:
                self.sections[-1].labels.append((given["aria-label"], given.get("id", "")))
            if self._is_unread(tag, given):
                self._unread_from = len(self._open)
        if tag == "caption" and self._unread_from is not None and self._caption_from is None:
            self._caption_from = len(self._open)
            self.sections[-1].labels.append(("", ""))
        self._open.append(tag)

    def _is_unread(self, tag: str, given: dict[str, str]) -> bool:
        return (
            tag in _UNREAD_TAGS
            or "hidden" in given
            or not _UNREAD_CLASSES.isdisjoint(given.get("class", "").split())
            or given.get("data-bench") in _OWN_ENTRIES
        )

    def handle_endtag(self, tag: str) -> None:
        if tag not in self._open:
            if tag not in _INLINE:
                self._say(" ")
            return
        while self._open:
            closed = self._open.pop()
            if closed == self._heading:
                self._heading = None
            if self._unread_from == len(self._open):
                self._unread_from = None
            if self._caption_from == len(self._open):
                self._caption_from = None
            if closed not in _INLINE:
                self._say(" ")
            if closed == tag:
                break

    def handle_data(self, data: str) -> None:
        self._say(data)

    def _say(self, text: str) -> None:
        section = self.sections[-1]
        if self._caption_from is not None:
            label, anchor = section.labels[-1]
            section.labels[-1] = (label + text, anchor)
        elif self._unread_from is not None:
            return
        elif self._heading is not None:
            section.title += text
        else:
            section.text += text
