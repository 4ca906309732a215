"""Where words stand in a page: under which heading, and at which address of the page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from markdown.extensions.toc import slugify, unique

from build_hooks.markdown.lines import lines_outside_code

__all__ = ["Passage", "passage_of", "title_of"]

_FRONT_MATTER: Final = re.compile(r"\A---[ \t]*\n(?P<facts>.*?)^(?:---|\.\.\.)[ \t]*$", re.DOTALL | re.MULTILINE)
_TITLE: Final = re.compile(r"^title:[ \t]*(?P<title>.+?)[ \t]*$", re.MULTILINE)
_HEADING: Final = re.compile(r"^(?P<level>#{1,6})[ \t]+(?P<words>.+?)[ \t#]*$")
_OWN_ID: Final = re.compile(r"\s*\{[^}]*#(?P<id>[\w-]+)[^}]*\}$")
_LINK: Final = re.compile(r"!?\[(?P<words>[^\]]*)\]\([^)]*\)")
_WORD: Final = re.compile(r"[^\W_]+")


@dataclass(frozen=True, slots=True)
class Passage:
    """Where a passage stands: the heading above it, and the heading's address within the page, which its title has none of."""

    heading: str
    anchor: str | None


@dataclass(frozen=True, slots=True)
class _Section:
    heading: str
    anchor: str | None
    words: tuple[str, ...]


def title_of(page: str) -> str | None:
    """What a page calls itself: in its front matter, else in its first heading."""
    facts = _FRONT_MATTER.match(page)
    told = _TITLE.search(facts["facts"]) if facts else None
    if told:
        return told["title"].strip("\"'")
    return next((section.heading for section in _sections(page) if section.heading), None)


def passage_of(page: str, words: str) -> Passage | None:
    """Finds words in a page, whatever signs, links and columns of a table stand between them.

    Args:
        page: the whole file.
        words: as they stand there, in their order and within one section; capitals do not matter.

    Returns:
        Where they stand first; None where they do not.
    """
    wanted = _words_in(words)
    if not wanted:
        return None
    return next((Passage(one.heading, one.anchor) for one in _sections(page) if _has(one.words, wanted)), None)


def _sections(page: str) -> Iterator[_Section]:
    """The sections of a page, the text before its first heading too."""
    text = page.replace("\r\n", "\n")
    facts = _FRONT_MATTER.match(text)
    body = text[facts.end() :] if facts else text
    heading, anchor, said = "", None, []
    taken: set[str] = set()
    for line in lines_outside_code(body).values():
        found = _HEADING.match(line)
        if found is None:
            said.append(line)
            continue
        yield _Section(heading, anchor, _words_in("\n".join(said)))
        own = _OWN_ID.search(found["words"])
        shown = _plain(found["words"][: own.start()] if own else found["words"])
        # As Markdown names it: see its extension `toc`.
        name = own["id"] if own else unique(slugify(shown, "-"), taken)
        taken.add(name)
        heading, anchor, said = shown, (name if len(found["level"]) > 1 else None), [shown]
    yield _Section(heading, anchor, _words_in("\n".join(said)))


def _plain(text: str) -> str:
    return re.sub(r"[*`]", "", _LINK.sub(lambda link: link["words"], text)).strip()


def _words_in(text: str) -> tuple[str, ...]:
    return tuple(_WORD.findall(_plain(text).casefold()))


def _has(said: tuple[str, ...], wanted: tuple[str, ...]) -> bool:
    return any(said[at : at + len(wanted)] == wanted for at in range(len(said) - len(wanted) + 1))
