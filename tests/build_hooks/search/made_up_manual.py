"""A manual of a thousand pages that nobody wrote: the demo's sentences shuffled, the same every time."""

from __future__ import annotations

import random
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final

from build_hooks.search import Entry, Kind

__all__ = ["made_up_entries", "plain_documents"]

PAGES: Final = 1000
PAGES_OF_A_UNIT: Final = 10
SECTIONS: Final = 8
_SENTENCE_END: Final = re.compile(r"(?<=[.?!]) ")
_SHORTEST_SENTENCE: Final = 15
_READ: Final = (Kind.PROCEDURE, Kind.STANDARD, Kind.GUIDE)
_DATA: Final = (Kind.PART, Kind.SPEC, Kind.STACK)


def made_up_entries(demo: Sequence[Entry]) -> tuple[list[Entry], list[Entry]]:
    """The entries of the manual.

    Args:
        demo: the demo's entries.

    Returns:
        The pages' sections; and the parts, limits and stacks of its hundred units, which plain search does not have.
    """
    chance = random.Random(7)
    read = [entry for entry in demo if entry.kind in _READ]
    sentences = [said for entry in read for said in _SENTENCE_END.split(entry.text) if len(said) >= _SHORTEST_SENTENCE]
    sections: list[Entry] = []
    for number in range(PAGES):
        unit = f"Unit {number // PAGES_OF_A_UNIT}"
        title = f"{unit}: {chance.choice(read).title} {number}"
        url = f"units/page-{number}/"
        sections.append(Entry(Kind.PROCEDURE, title, unit, url, text=" ".join(chance.choices(sentences, k=6))))
        sections.extend(
            Entry(
                Kind.PROCEDURE,
                chance.choice(read).title,
                title,
                f"{url}#section-{section}",
                text=" ".join(chance.choices(sentences, k=8)),
            )
            for section in range(SECTIONS)
        )
    data = [
        replace(entry, page=f"Unit {unit}", said=entry.said.replace("-", f"{unit}-"), url=f"units/page-{unit * PAGES_OF_A_UNIT}/")
        for unit in range(PAGES // PAGES_OF_A_UNIT)
        for entry in demo
        if entry.kind in _DATA
    ]
    return sections, data


def plain_documents(sections: Sequence[Entry]) -> list[dict[str, Any]]:
    """The same sections as the theme's own search plugin writes them."""
    return [{"location": entry.url, "title": entry.title, "text": entry.text} for entry in sections]
