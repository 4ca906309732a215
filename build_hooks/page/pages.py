"""Every page of the manual, read and rendered, with every problem of every one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Final, cast

from build_hooks.library import Library, UnitsRead
from build_hooks.markdown.fences import marker
from build_hooks.markdown.html import html_of, markdown_text
from build_hooks.markdown.page_html import html_faults
from build_hooks.model import Status
from build_hooks.page.asked import asked_on_two_pages
from build_hooks.page.procedures import Procedures, procedures_in
from build_hooks.page.rendering import RenderedPage, render_page
from build_hooks.page.source import OPEN_BLOCK, PageSource, read_page
from build_hooks.pictures import states_of_files
from build_hooks.process.time_limit import LONGEST, LimitError, at_most, too_slow
from build_hooks.reading.docs_tree import files_of
from build_hooks.reading.memory import Memory, Same
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Mark, Problem
from build_hooks.reading.sources import read_mapping, read_text
from calc_engine import Element, encode

__all__ = ["MadePage", "Pages", "block_page", "made_pages", "read_pages"]

# A page without the word has no photo block.
_PHOTO: Final = "photo"
# What no block names as its picture.
_TEXTS: Final = frozenset({".md", ".yml"})

type _Made = tuple[RenderedPage, tuple[Problem, ...]]


@dataclass(frozen=True, slots=True)
class Pages:
    """The pages of a docs folder.

    Attributes:
        by_path: each page by its path below the docs folder, with forward slashes.
        unread: paths of those that could not be read, so that nothing that names one is blamed.
    """

    by_path: Mapping[str, RenderedPage]
    unread: frozenset[str] = frozenset()

    def title(self, path: str) -> str:
        """The title of a page: that of its front matter, else its heading, else its path."""
        source = self.by_path[path].source
        if source.facts.title:
            return source.facts.title
        heading = next((line for line in source.text.splitlines() if line.startswith("# ")), path)
        return heading.removeprefix("# ").strip()


@dataclass(frozen=True, slots=True)
class MadePage:
    """A page that no author wrote.

    Attributes:
        text: its Markdown, with front matter. It holds either fences of ours or markers, not both.
        blocks: what goes in at the markers, in their order.
        status: what it says of itself, where that does not stand in its front matter.
        data: of each fence, where its data are written: a file below the docs folder, and the keys that lead to them.
    """

    text: str
    blocks: tuple[Element, ...] = ()
    status: Status | None = None
    data: tuple[tuple[str, tuple[str, ...]], ...] = ()


def block_page(title: str, about: str, block: Element, status: Status | None = None, asked_as: Sequence[str] = ()) -> MadePage:
    """A page with its title, which is plain text, a sentence below it, which is Markdown, and its block.

    Args:
        title: of the page.
        about: the sentence.
        block: all else that is on it.
        status: what the page says of itself, if anything.
        asked_as: what people say when they look for it.
    """
    text = f"---\ntitle: {encode(title)}\nasked_as: {encode(list(asked_as))}\n---\n# {markdown_text(title)}\n\n{about}\n\n{marker(0)}\n"
    return MadePage(text, (block,), status)


def read_pages(docs: Path, library: Library, memory: Memory | None = None) -> tuple[Pages, tuple[Problem, ...]]:
    """Reads and renders every Markdown file of a docs folder.

    Args:
        docs: the folder.
        library: what its data files say.
        memory: the pages that were made before.

    Returns:
        The pages as far as they can be made, and every problem, by place.
    """
    rendered: dict[str, RenderedPage] = {}
    unread: set[str] = set()
    problems: list[Problem] = []
    memory = memory or Memory()
    texts: dict[str, tuple[Path, str]] = {}
    files, _ = files_of(docs)
    for path in files:
        if path.suffix != ".md":
            continue
        text, unreadable = read_text(path)
        problems.extend(unreadable)
        source_path = path.relative_to(docs).as_posix()
        if text is None:
            unread.add(source_path)
        else:
            texts[source_path] = path, text
    # Known before any page is made: an answer on one page leads to the procedures on others.
    procedures = procedures_in({source_path: text for source_path, (_, text) in texts.items()}, library)
    pictures = states_of_files(path for path in files if path.suffix not in _TEXTS)
    for source_path, (path, text) in texts.items():
        try:
            made_of = (text, path.as_posix(), procedures, pictures if _PHOTO in text else None)
            page, found = _remembered(
                memory, source_path, made_of, library, partial(_in_time, text, path, source_path, procedures)
            )
        except LimitError:
            problems.append(too_slow(path.as_posix()))
            unread.add(source_path)
            continue
        rendered[source_path] = page
        problems.extend(found)
    problems.extend(asked_on_two_pages((page.source.path, page.source.asked) for page in rendered.values()))
    return Pages(rendered, frozenset(unread)), tuple(sorted(problems, key=lambda problem: problem.place))


def _remembered(memory: Memory, name: str, written: object, library: Library, make: Callable[[Library], _Made]) -> _Made:
    """A page as it was made before, where nothing has changed of what it was made of.

    That is its text, the shop, the standards, the units it asked for, and the manual's own calculations.
    """
    made_of = (written, Same(library.shop), Same(library.standards), library.units_at_fault, library.shop_at_fault, library.own)
    known = memory.known("page", name)
    if known is not None and known[0] == made_of:
        units, page = cast("tuple[UnitsRead, _Made]", known[1])
        if units.are_in(library.units):
            return page
    asked = UnitsRead(library.units)
    made = make(replace(library, units=asked))
    memory.keep("page", name, made_of, (asked, made))
    return made


def _in_time(text: str, path: Path, source_path: str, procedures: Procedures, library: Library) -> _Made:
    with at_most(LONGEST):
        page, found = _page(text, path.as_posix(), source_path, library, procedures)
        return page, (*found, *_html_problems(page.source, found))


def made_pages(
    made: Mapping[str, MadePage], library: Library, memory: Memory | None = None
) -> tuple[dict[str, RenderedPage], tuple[Problem, ...]]:
    """Reads and renders the pages that no author wrote.

    Args:
        made: each page by its path below the docs folder.
        library: what its data files say.
        memory: the pages that were made before.

    Returns:
        The same pages with their blocks, and every problem; what follows from data is told where these are written, for the page has no
        file that anybody could mend.
    """
    rendered: dict[str, RenderedPage] = {}
    problems: list[Problem] = []
    memory = memory or Memory()
    for path, page in made.items():
        rendered[path], found = _remembered(memory, path, page, library, partial(_without_author, path, page))
        problems.extend(_at_its_data(problem, path, page, rendered[path].source, library.docs) for problem in found)
    return rendered, tuple(problems)


def _without_author(path: str, page: MadePage, library: Library) -> _Made:
    read, found = _page(page.text, path, path, library)
    blocks = (*read.blocks, *map(html_of, page.blocks))
    return replace(read, source=_with_status(read.source, page.status), blocks=blocks), found


def _at_its_data(problem: Problem, path: str, page: MadePage, source: PageSource, docs: Path) -> Problem:
    before = sum(fence.line <= problem.line for fence in source.fences)
    if not before or before > len(page.data):
        return problem
    file, keys = page.data[before - 1]
    written = docs / file
    mark = _key_mark(read_mapping(written)[0], keys)
    message = f"The page {path} cannot be made. {problem.message}"
    return replace(problem, path=written.as_posix(), line=mark.line, column=mark.column, message=message)


def _key_mark(root: Node | None, keys: tuple[str, ...]) -> Mark:
    """Where the last of these keys stands that is there."""
    mark, here = Mark(1, 1), root
    for key in keys:
        if here is None or key not in here.keys:
            break
        mark, here = here.keys[key], here.get(key)
    return mark


def _page(
    text: str, path: str, source_path: str, library: Library, procedures: Procedures | None = None
) -> tuple[RenderedPage, tuple[Problem, ...]]:
    """A page from its text: `path` is how problems name it, `source_path` where it lies below the docs folder."""
    source, found = read_page(text, path)
    page, more = render_page(source, source_path, library, procedures)
    return page, (*found, *more)


def _with_status(source: PageSource, status: Status | None) -> PageSource:
    return source if status is None else replace(source, facts=source.facts.model_copy(update={"status": status}))


def _html_problems(source: PageSource, found: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """What the page may not hold; behind a block without an end nobody knows what is text and what is data."""
    if any(problem.code == OPEN_BLOCK for problem in found):
        return ()
    return tuple(Problem.of(source.path, fault) for fault in html_faults(source.text, len(source.fences)))
