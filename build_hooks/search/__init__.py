"""The search: what can be found, by which words, written as the scripts that the page's search box runs and reads."""

from build_hooks.search.entry import Entry, IndexedPage, Kind
from build_hooks.search.index_file import INDEX, SCRIPT, entries_of, index_data, index_script, write_search
from build_hooks.search.trade_words import WordGroup, default_words, words_of

__all__ = [
    "INDEX", "SCRIPT", "Entry", "IndexedPage", "Kind", "WordGroup", "default_words", "entries_of", "index_data", "index_script",
    "words_of", "write_search",
]  # fmt: skip
