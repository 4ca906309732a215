"""One edition of the manual: data and pages that were found sound, and what is made from them.

Whatever builds the site asks this; nothing here knows by which tool that is.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import Final

from build_hooks.learning.paths import page_names
from build_hooks.library import Library, load, warnings_of_shop
from build_hooks.markdown.assets import asset_problems
from build_hooks.markdown.html import html_of
from build_hooks.markdown.links import link_faults
from build_hooks.markdown.page_html import clean_html, placed
from build_hooks.markdown.tangles import tangles
from build_hooks.own import is_own, read_own
from build_hooks.page.bench_pages import bench_folder, bench_pages
from build_hooks.page.glossary import GLOSSARY, WordForms, glossary_page, mark_words, word_forms
from build_hooks.page.job_pages import job_bar, job_pages
from build_hooks.page.learning import Learning, read_learning
from build_hooks.page.pages import MadePage, Pages, made_pages, read_pages
from build_hooks.page.photos import shown_pictures, step_photos
from build_hooks.page.printed import printed_code, running_head, sign_off
from build_hooks.page.reference import reference_pages
from build_hooks.page.rendering import fill_markers, root_of
from build_hooks.page.source import PageSource
from build_hooks.page.status_banner import is_withdrawn, made_strip, standing_status, standing_strip
from build_hooks.pictures import Photo, picture_faults, picture_problems, picture_warnings, write_pictures
from build_hooks.plain_writing import manual_warnings
from build_hooks.process.time_limit import LONGEST, LimitError, at_most, too_slow
from build_hooks.reading.addresses import SERVICE_WORKER, address_of, hidden_files
from build_hooks.reading.docs_tree import files_of
from build_hooks.reading.memory import Memory, Same
from build_hooks.reading.problems import Problem, Problems
from build_hooks.scaffold import starter_warnings
from build_hooks.search import IndexedPage
from build_hooks.trade import trade_warnings, without_accepted
from build_hooks.wall import wall_addresses
from calc_engine import set_own

__all__ = ["Edition", "prepare"]

_GLOSSARY_ADDRESS: Final = address_of(GLOSSARY)


@dataclass(frozen=True, slots=True)
class Edition:
    """A manual that may be built.

    Attributes:
        library: shop and units.
        pages: the authors' pages and those made from the engine's catalogue.
        made: the Markdown of the pages that no author wrote, by path.
        today: the day of the build.
        learning: the paths, and the pages that are made of them.
        words: how the shop's words stand in a text.
    """

    library: Library
    pages: Pages
    made: dict[str, str]
    today: date
    learning: Learning
    words: WordForms

    def markdown(self, source_path: str) -> str | None:
        """The Markdown of a page with a marker for each block; None for a page that is not ours."""
        page = self.pages.by_path.get(source_path)
        return None if page is None else page.source.text

    def content(self, source_path: str, html: str, address: str | None = None, title: str = "") -> str:
        """The finished HTML of a page: the strip that says what it is, the text with its blocks, and what only its print shows.

        Args:
            source_path: the page's path below the docs folder.
            html: what Markdown made of it.
            address: where the page will be served, for the code on its print; None when that is not known.
            title: what the page is called, for the head of each printed sheet.
        """
        page = self.pages.by_path.get(source_path)
        if page is None:
            return html
        unit = self.library.units.get(page.unit_id) if page.unit_id else None
        bar = html_of(job_bar(self.library, source_path, self.today, has_steps=self._has_steps(source_path)))
        status = standing_status(page.source.facts.status, unit)
        is_made = source_path in self.made and page.source.facts.status is None and not is_withdrawn(status)
        strip = bar + html_of(
            made_strip(self.library, by_hand=source_path in self.learning.pages)
            if is_made
            else standing_strip(status, unit, self.library, self.today)
        )
        head = html_of(running_head(unit.name if unit else "", title, status, self.today))
        code = html_of(printed_code(address)) if address else ""
        end = html_of(sign_off()) if self._is_procedure(source_path) else ""
        clean, _ = clean_html(html, len(page.blocks))
        marked = mark_words(clean, self.words, f"{root_of(source_path)}{_GLOSSARY_ADDRESS}")
        return _under_title(fill_markers(marked, page.blocks), strip + code) + head + end

    def _is_procedure(self, source_path: str) -> bool:
        """Whether somebody does a job by this page: one of a unit, but not the unit's overview."""
        page = self.pages.by_path[source_path]
        return page.unit_id is not None and not source_path.endswith("index.md") and source_path not in self.made

    def _has_steps(self, source_path: str) -> bool:
        """Whether an author wrote a page of steps: a procedure, or a standard of the shop."""
        is_standard = source_path.startswith("standards/") and not source_path.endswith("index.md")
        return is_standard or self._is_procedure(source_path)

    def refused(self, source_path: str, html: str) -> tuple[Problem, ...]:
        """What a page may not hold and was not found before: an extension of the manual's own may have made it."""
        page = self.pages.by_path.get(source_path)
        if page is None:
            return ()
        refusals = clean_html(html, len(page.blocks))[1]
        return tuple(Problem.of(page.source.path, fault) for fault in placed(refusals, page.source.text, len(page.blocks)))

    def indexed(self, source_path: str, title: str, content: str) -> IndexedPage:
        """A finished page as the search takes it."""
        page = self.pages.by_path.get(source_path)
        if page is None:
            return IndexedPage(source_path, title, content)
        facts = page.source.facts
        return IndexedPage(
            source_path, title, content, page.unit_id, source_path in self.made, facts.description or "", facts.asked_as
        )

    def warnings(self) -> tuple[Problem, ...]:
        """What is hard to follow in the pages that authors wrote, what in the data should not stay so, and what the trade would ask.

        Returns:
            Those that no author has accepted, by place; and what is wrong with the comments that accept some.
        """
        authored = [(page.source, page.unit_id) for path, page in self.pages.by_path.items() if path not in self.made]
        found = (
            *warnings_of_shop(self.library),
            *starter_warnings(self.library.docs),
            *picture_warnings(self.library.docs, files_of(self.library.docs)[0]),
            *manual_warnings((source for source, _ in authored), self.library),
            *trade_warnings(self.library, authored, self.today),
        )
        return without_accepted(found, self._written_files(authored))

    def step_photos(self) -> Mapping[tuple[str, str, str], tuple[Photo, ...]]:
        """The pictures of the wall, by the ids of unit, pack and part."""
        return step_photos(self.pages, self.library)

    def write_pictures(self, site: Path) -> None:
        """Puts every picture, made smaller and without what a camera wrote into it, over the author's file in a built site."""
        write_pictures(self.library.docs, files_of(self.library.docs)[0], site)

    def _written_files(self, authored: Iterable[tuple[PageSource, str | None]]) -> Iterator[Path]:
        """The files that a warning can name."""
        docs = self.library.docs
        yield from (path for path in files_of(docs)[0] if path.suffix == ".yml" or is_own(path.relative_to(docs).as_posix()))
        yield from (Path(source.path) for source, _ in authored)


def _faults_of_text(source: PageSource, path: str, files: Collection[str], unsure: Collection[str]) -> tuple[Problem, ...]:
    """What is wrong in the text between the blocks of a page."""
    try:
        with at_most(LONGEST):
            faults = (*tangles(source.text), *link_faults(source.text, path, files, unsure))
    except LimitError:
        return (too_slow(source.path),)
    return tuple(Problem.of(source.path, fault) for fault in faults)


def _under_title(html: str, strip: str) -> str:
    """The strip behind the first heading, so that a page still starts with its name."""
    head, end, rest = html.partition("</h1>")
    return f"{head}{end}{strip}{rest}" if end else f"{strip}{html}"


def prepare(docs: Path, today: date, memory: Memory | None = None) -> tuple[Edition | None, Problems]:
    """Loads and checks everything.

    Args:
        docs: the folder with shop.yml, units and pages.
        today: the day of the build.
        memory: what was loaded and made before, in an earlier call; only what has changed since is made anew.

    Returns:
        The edition, or None when anything is wrong; and every problem.
    """
    problems, memory = Problems(), memory or Memory()
    library, found = load(docs, memory)
    problems.extend(found)
    if library is None:
        return None, problems
    there = files_of(docs)[0]
    faulty_pictures = picture_faults(there)
    own, found = read_own(docs, memory)
    problems.extend(found)
    # From here on the engine of this process knows them, as the one in the page will.
    set_own(own.calculations)
    library = replace(library, own=own)
    pages, found = read_pages(docs, library, memory)
    problems.extend(found)
    learning, found = read_learning(library, pages, memory)
    problems.extend(found)
    texts = memory.made("reference", "", own, reference_pages) | {GLOSSARY: glossary_page(library)}
    generated = {path: MadePage(text) for path, text in texts.items()} | bench_pages(library, pages) | job_pages(library)
    made = generated | learning.pages
    rendered, found = made_pages(made, library, memory)
    problems.extend(found)
    problems.extend(asset_problems(there))
    problems.extend(picture_problems(docs, faulty_pictures, shown_pictures(pages, library)))
    authored = {path.relative_to(docs).as_posix() for path in there}
    by_build = {*map(address_of, made), *wall_addresses(library), SERVICE_WORKER}
    problems.extend(Problem.of((docs / path).as_posix(), fault) for path, fault in hidden_files(authored, by_build))
    files = frozenset(authored | generated.keys() | page_names(docs))
    unsure = frozenset(map(bench_folder, library.units_at_fault))
    for path, page in pages.by_path.items():
        made_of = (page.source.text, page.source.path, files, unsure)
        problems.extend(memory.made("faults", path, made_of, partial(_faults_of_text, page.source, path, files, unsure)))
    if problems:
        return None, problems
    words = memory.made("words", "", Same(library.shop), lambda: word_forms(library.shop.words.values()))
    written = {path: page.text for path, page in made.items()}
    return Edition(library, Pages({**pages.by_path, **rendered}), written, today, learning, words), problems
