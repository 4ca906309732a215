"""The demo manual's pages as the search sees them, made without the tool that builds the site."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Final

import markdown

from build_hooks.edition import Edition, prepare
from build_hooks.markdown.extensions import EXTENSIONS
from build_hooks.search import IndexedPage, entries_of, index_data, index_script, words_of

__all__ = ["DOCS", "demo_edition", "demo_index_script", "pages_of_edition"]

DOCS: Final = Path(__file__).parents[3] / "docs"


def demo_edition(docs: Path = DOCS) -> Edition:
    """The checked manual."""
    edition, problems = prepare(docs, date(2026, 11, 25))
    assert edition is not None, [str(problem) for problem in problems]
    return edition


def pages_of_edition(edition: Edition) -> dict[str, IndexedPage]:
    """Every page by its address, with folders as the site has them."""
    pages = {}
    for path, page in sorted(edition.pages.by_path.items()):
        converter = markdown.Markdown(extensions=[*EXTENSIONS, "toc"], extension_configs={"toc": {"permalink": True}})
        text = edition.markdown(path)
        assert text is not None
        html = edition.content(path, converter.convert(text))
        title = page.source.facts.title or path
        url = path.removesuffix(".md").removesuffix("index")
        url = url if url.endswith("/") or not url else f"{url}/"
        pages[url] = edition.indexed(path, title, html)
    return pages


def demo_index_script() -> str:
    """The script that the page's search reads."""
    edition = demo_edition()
    return index_script(index_data(entries_of(pages_of_edition(edition), edition.library), words_of(edition.library.shop)))
