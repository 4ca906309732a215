"""Start tags are found as the HTML standard reads a page, and as the parser of the standard library does."""

from __future__ import annotations

from collections.abc import Mapping
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.site.offline.tags import change_tags

# Pieces that a page is made of. Unclosed quotes and comments are below: there the parser of the library and the standard differ.
PIECES = (
    "<p>", "</p>", "<script src=a.js>", "<script>", "</script>", "</SCRIPT >", "<script type='text/x' src=\"b.js\">", "<style>", "</style>",
    "<a title='<script src=c.js>'>", "<img alt=\"it's\">", "<br/>", "text", " < ", "&lt;script src=d.js>", "<!-- <script src=e.js> -->",
    "<a href=f>", "</a>", "\n", "<i class=x disabled>", "<!doctype html>",
)  # fmt: skip


class Parser(HTMLParser):
    """Where the scripts of a page are, by the standard library."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.found: list[dict[str, str | None]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Notes one."""
        if tag == "script":
            self.found.append(dict(attrs))


def scripts(page: str) -> list[Mapping[str, str | None]]:
    """The attributes of the scripts that would be changed; nothing is changed."""
    found: list[Mapping[str, str | None]] = []

    def note(_tag: str, attributes: Mapping[str, str | None], text: str) -> str:
        found.append(attributes)
        return text

    assert change_tags(page, {"script"}, note) == page
    return found


@given(st.lists(st.sampled_from(PIECES), max_size=12).map("".join))
def test_the_same_scripts_are_found_as_by_the_parser_of_the_library(page: str) -> None:
    """In any order of tags, text, scripts and comments."""
    parser = Parser()
    parser.feed(page)
    parser.close()
    assert scripts(page) == parser.found


@pytest.mark.parametrize(
    ("page", "sources"),
    [
        ('<a href=x"y><script src=a.js></script>', ["a.js"]),
        ("<a x='><script src=a.js></script>", []),
        ("<title><script src=a.js></script></title><script src=b.js>", ["b.js"]),
        ("<textarea></text><script src=a.js></textarea><script src=b.js>", ["b.js"]),
        ("<script><!-- </script><script src=a.js>", [None, "a.js"]),
        ("<!-- <script src=a.js>", []),
        ("<!-- --!><script src=a.js>", ["a.js"]),
        ("<script/src=a.js>", ["a.js"]),
        ("<script src = a.js>", ["a.js"]),
        ("<p <script src=a.js>", []),
        ("<script src=a.js", []),
    ],
)
def test_odd_pages_are_read_as_a_browser_reads_them(page: str, sources: list[str | None]) -> None:
    """HTML, section 13.2.5: quotes in unquoted values, elements that hold text only, tags without an end."""
    assert [attributes.get("src") for attributes in scripts(page)] == sources
