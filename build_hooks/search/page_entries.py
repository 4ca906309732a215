"""Entries of the manual's pages: one for each section, one alone for each page that explains a calculation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from build_hooks.library import Library
from build_hooks.search.entry import Entry, IndexedPage, Kind
from build_hooks.search.sections import Section

__all__ = ["kind_of", "page_entries"]

_BY_FOLDER: Final = {"standards": Kind.STANDARD, "calculations": Kind.CALCULATION}
# So that whoever asks for a kind of thing gets one.
_KIND_WORDS: Final = {
    Kind.STANDARD: "shop standard",
    Kind.PROCEDURE: "procedure how to",
    Kind.GUIDE: "guide",
    Kind.UNIT: "unit overview",
    Kind.CALCULATION: "calculation calculator form sum",
}


def kind_of(page: IndexedPage) -> Kind:
    """What a page is, by where it stands: in a unit's folder, among the shop's standards, elsewhere."""
    if page.unit_id is not None:
        return Kind.UNIT if page.source_path.endswith("/index.md") else Kind.PROCEDURE
    folder, _, name = page.source_path.partition("/")
    return Kind.GUIDE if page.made and name == "index.md" else _BY_FOLDER.get(folder, Kind.GUIDE)


def page_entries(pages: Mapping[str, IndexedPage], parts: Mapping[str, tuple[Section, ...]], library: Library) -> Iterator[Entry]:
    """The entries of every page.

    Args:
        pages: the finished pages by their address from the root of the site.
        parts: the sections of each, by the same address.
        library: for the names of the units.
    """
    for url, page in pages.items():
        sections = parts[url]
        kind = kind_of(page)
        heading = next((section.title for section in sections if section.level == 1), page.title)
        unit = library.units.get(page.unit_id) if page.unit_id else None
        belongs = unit.name if unit else ""
        if page.made and kind is Kind.CALCULATION:
            text = " ".join(f"{section.title} {section.text}" for section in sections[1:])
            yield Entry(kind, heading, "", url, sections[0].text if sections else "", text, _KIND_WORDS[kind], _asked(page))
            continue
        for section in sections:
            yield _section_entry(section, kind, heading, belongs, url, page)


def _section_entry(section: Section, kind: Kind, heading: str, belongs: str, url: str, page: IndexedPage) -> Entry:
    if section.level <= 1:
        unit = belongs if belongs not in heading else ""
        return Entry(kind, heading, unit, url, page.description, section.text, _KIND_WORDS[kind], _asked(page))
    address = f"{url}#{section.anchor}" if section.anchor else url
    return Entry(kind, section.title, heading, address, text=section.text, words=_KIND_WORDS[kind])


def _asked(page: IndexedPage) -> str:
    return ". ".join(page.asked_as)
