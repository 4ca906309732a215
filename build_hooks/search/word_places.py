"""Where the manual says most about a word of the trade."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from build_hooks.search.entry import Entry, Kind

__all__ = ["WordPlaces"]

_WORD: Final = re.compile(r"[^\W_]+")
# Where a word is explained rather than used, first to last.
_RANK: Final = {Kind.STANDARD: 0, Kind.PROCEDURE: 1, Kind.UNIT: 1, Kind.GUIDE: 2}


@dataclass(frozen=True, slots=True)
class _Place:
    rank: int
    url: str
    title: str
    text: str


class WordPlaces:
    """Finds, for each word, the section whose title names it, else the one that uses it most.

    Args:
        sections: the entries of the pages, in their order.
    """

    def __init__(self, sections: Iterable[Entry]) -> None:
        places = (
            _Place(_RANK[entry.kind], entry.url, _folded(entry.title), _folded(f"{entry.text} {entry.asked}"))
            for entry in sections
            if entry.kind in _RANK
        )
        self._places = sorted(places, key=lambda place: place.rank)

    def place_of(self, names: Iterable[str]) -> str:
        """Where to read about a word.

        Args:
            names: the word as the manual writes it, then what else it is called: the first that a page uses serves.

        Returns:
            An address from the root of the site; empty, the start page, where no page uses any of them.
        """
        phrases = [_folded(name) for name in names]
        found = (url for find in (self._named, self._used) for phrase in phrases if (url := find(phrase)))
        return next(found, "")

    def _named(self, phrase: str) -> str:
        named = [place for place in self._places if phrase in place.title]
        return min(named, key=lambda place: (place.rank, "#" in place.url, len(place.title))).url if named else ""

    def _used(self, phrase: str) -> str:
        """The page that uses it most, what it is asked for included; on it the section that does."""
        for rank in sorted(set(_RANK.values())):
            uses: dict[str, dict[str, int]] = {}
            for place in self._places:
                if place.rank == rank and (count := place.text.count(phrase)):
                    uses.setdefault(place.url.partition("#")[0], {})[place.url] = count
            if uses:
                most = max(uses.values(), key=lambda sections: sum(sections.values()))
                return max(most, key=lambda url: most[url])
        return ""


def _folded(text: str) -> str:
    return f" {' '.join(_singular(found[0]) for found in _WORD.finditer(text.casefold()))} "


def _singular(word: str) -> str:
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word  # noqa: PLR2004 - "gas" is no plural
