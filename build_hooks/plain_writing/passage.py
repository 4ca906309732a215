"""A piece of running text with its markup blanked out, so that every character keeps its place in the page."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, NamedTuple

from build_hooks.reading.problems import Mark

__all__ = ["Passage", "Token", "clean"]

# The lengths have ends, so that no text can keep a pattern busy. Each is replaced by as many characters as it had:
# code by a word without meaning, everything else by spaces.
_CODE: Final = re.compile(r"(?<!`)(?P<ticks>`{1,3})(?!`)(?P<code>.{1,300}?)(?<!`)(?P=ticks)(?!`)", re.DOTALL)
_IMAGE: Final = re.compile(r"!\[[^\[\]\n]{0,300}\](?:\([^()\n]{0,300}\)|\[[^\[\]\n]{0,300}\])")
_LINK: Final = re.compile(r"\[(?P<text>[^\[\]]{0,300})\](?P<target>\([^()\n]{0,300}\)|\[[^\[\]\n]{0,300}\])")
_TAG: Final = re.compile(r"<!--.{0,2000}?-->|<[/a-zA-Z][^<>\n]{0,2000}>", re.DOTALL)
_ATTRIBUTES: Final = re.compile(r"\{:?[ \t]*[.#][^{}\n]{0,300}\}")
_EMPHASIS: Final = re.compile(r"(?<!\w)(?P<marks>\*{1,3}|_{1,3})(?=[^\s*_])(?P<text>[^*_\n]{1,300}?)(?<=\S)(?P=marks)(?!\w)")

_TOKEN: Final = re.compile(r"\d[\d.,/]*(?<![.,/])|[^\W\d_]+(?:[’'-][^\W\d_]+)*")
_SENTENCE_END: Final = re.compile(r"(?<![.?!])[.?!]+[”\"')]*\s+(?=[“\"'(]*\s*[A-Z0-9])")
_ABBREVIATION: Final = re.compile(r"(?:\b(?i:e\.g|i\.e|etc|approx|min|max|no|fig|vs)|\b[A-Z])\.$")
_LONGEST_ABBREVIATION: Final = 10


class Token(NamedTuple):
    """A word or a number of a passage."""

    text: str
    start: int
    end: int

    @property
    def word(self) -> str:
        """The word in small letters, with a straight apostrophe."""
        return self.text.casefold().replace("’", "'")

    @property
    def is_number(self) -> bool:
        """Whether it is written in figures."""
        return self.text[0].isdigit()


@dataclass(frozen=True, slots=True)
class Passage:
    """Running text of one step, box or paragraph.

    Attributes:
        plain: the text with its markup blanked out; as long as what was written.
        italics: where a word or a phrase is set in italics, from and to.
        links: where the text of a link stands, from and to.
        offsets: where each line begins in the text.
        marks: the place of each line's first character in the page.
    """

    plain: str
    italics: tuple[tuple[int, int], ...]
    links: tuple[tuple[int, int], ...]
    offsets: tuple[int, ...]
    marks: tuple[Mark, ...]

    @classmethod
    def of(cls, lines: list[tuple[Mark, str]]) -> Passage:
        """A passage from its lines, each with the place of its first character."""
        offsets = [0]
        for _, line in lines:
            offsets.append(offsets[-1] + len(line) + 1)
        text = "\n".join(line for _, line in lines)
        plain, italics, links = _unmarked(text)
        return cls(plain, italics, links, tuple(offsets[:-1]), tuple(mark for mark, _ in lines))

    def mark(self, offset: int) -> Mark:
        """The place in the page of a character of the text."""
        line = bisect_right(self.offsets, offset) - 1
        first = self.marks[line]
        return Mark(first.line, first.column + offset - self.offsets[line])

    def tokens(self, start: int = 0, end: int | None = None) -> tuple[Token, ...]:
        """The words and numbers between two characters."""
        found = _TOKEN.finditer(self.plain, start, len(self.plain) if end is None else end)
        return tuple(Token(match[0], match.start(), match.end()) for match in found)

    def sentences(self) -> Iterator[tuple[int, int]]:
        """Where each sentence begins and ends."""
        start = 0
        for match in _SENTENCE_END.finditer(self.plain):
            if _ABBREVIATION.search(self.plain[max(start, match.start() - _LONGEST_ABBREVIATION) : match.start() + 1]):
                continue
            yield start, match.end()
            start = match.end()
        if self.plain[start:].strip():
            yield start, len(self.plain)

    def said(self, start: int, end: int) -> str:
        """What stands between two characters, as a reader sees it."""
        return clean(self.plain[start:end])


def clean(text: str) -> str:
    """The text with single spaces, none before a stop."""
    return re.sub(r"\s+(?=[.,;:?!])", "", " ".join(text.split()))


def _unmarked(text: str) -> tuple[str, tuple[tuple[int, int], ...], tuple[tuple[int, int], ...]]:
    text = _CODE.sub(lambda match: _spaces(match["ticks"]) + "X" * len(match["code"]) + _spaces(match["ticks"]), text)
    text = _IMAGE.sub(_blank, text)
    links = tuple(match.span("text") for match in _LINK.finditer(text))
    text = _LINK.sub(lambda match: f" {match['text']} {_spaces(match['target'])}", text)
    text = _TAG.sub(_blank, text)
    text = _ATTRIBUTES.sub(_blank, text)
    italics = tuple(match.span("text") for match in _EMPHASIS.finditer(text) if len(match["marks"]) == 1)
    text = _EMPHASIS.sub(lambda match: f"{_spaces(match['marks'])}{match['text']}{_spaces(match['marks'])}", text)
    return text.replace("\\", " "), italics, links


def _blank(match: re.Match[str]) -> str:
    return _spaces(match[0])


def _spaces(text: str) -> str:
    # A line break stays one: it counts as a space, and the lines keep their lengths.
    return "".join("\n" if character == "\n" else " " for character in text)
