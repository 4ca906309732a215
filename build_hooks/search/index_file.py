"""Writes what the search of the page reads: every entry and every word, as a classic script that also runs from a folder."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import astuple, fields
from pathlib import Path
from typing import Any, Final

from build_hooks.library import Library
from build_hooks.search.data_entries import data_entries, word_entry
from build_hooks.search.entry import Entry, IndexedPage
from build_hooks.search.page_entries import page_entries
from build_hooks.search.places import places_in
from build_hooks.search.ready_index import ready_index
from build_hooks.search.sections import sections_of
from build_hooks.search.trade_words import WordGroup, words_of
from build_hooks.search.word_places import WordPlaces

__all__ = ["INDEX", "SCRIPT", "entries_of", "index_data", "index_script", "write_search"]

INDEX: Final = "assets/benchleaf/search-index.js"
SCRIPT: Final = "assets/benchleaf/benchleaf-search.js"


def write_search(
    site: Path, pages: Mapping[str, IndexedPage], library: Library, script: Callable[[str], bytes], warn: Callable[[str], None]
) -> None:
    """Writes the search box's script and its index into a built site.

    Args:
        site: the folder of the site.
        pages: the finished pages by their address from the root of the site (``standards/seals/``); those that are not
            to be found are left out.
        library: shop and units.
        script: gives a script by the file of the browser folder that it is bundled from.
        warn: is told in one line what could not be made and what serves instead.
    """
    data = index_data(entries_of(pages, library), words_of(library.shop))
    ready = ready_index(data, script("search/make-index.js"), warn)
    for name, content in (
        (INDEX, index_script(data if ready is None else {**data, "ready": ready}).encode()),
        (SCRIPT, script("search/main.js")),
    ):
        target = site / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)


def entries_of(pages: Mapping[str, IndexedPage], library: Library) -> tuple[Entry, ...]:
    """Everything that can be found. The page of a drum repeats what other pages say, and those lead to it: it is left out.

    Args:
        pages: the finished pages by their address from the root of the site.
        library: shop and units.
    """
    pages = {url: page for url, page in pages.items() if not (page.made and page.unit_id)}
    parts = {url: sections_of(page.html) for url, page in pages.items()}
    sections = tuple(page_entries(pages, parts, library))
    places = WordPlaces(sections)
    words = (word_entry(word, places.place_of((word.id, *word.also))) for word in library.shop.words.values())
    return (*sections, *data_entries(library, places_in(pages, parts, library)), *words)


def index_data(entries: Iterable[Entry], words: Iterable[WordGroup]) -> dict[str, Any]:
    """The index as plain data.

    Args:
        entries: what can be found.
        words: what else people call things.
    """
    return {
        "fields": [field.name for field in fields(Entry)],
        "entries": [list(astuple(entry)) for entry in entries],
        "words": [[group.word, list(group.also), list(group.misspelt)] for group in words],
    }


def index_script(index: Mapping[str, Any]) -> str:
    """The script that leaves the index for the search box.

    Inside it is one JSON text in single quotes and plain ASCII. Browsers read that about three times faster than a text
    with other letters or escaped quotes, and faster still than the same data written as a script.

    Args:
        index: what `index_data` gives, with the ready index if there is one.
    """
    text = json.dumps(index, separators=(",", ":")).replace("\\", "\\\\").replace("'", "\\'")
    return f"benchleafSearchIndex=JSON.parse('{text}');\n"
