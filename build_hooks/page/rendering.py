"""From a page's blocks to HTML, and every problem of every page before anything is built."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePosixPath

from build_hooks.blocks import BLOCKS, Context, Trouble
from build_hooks.blocks.context import HELD_BACK
from build_hooks.library import Library
from build_hooks.markdown.fences import Fence, marker_pattern
from build_hooks.markdown.html import html_of
from build_hooks.model import read_model
from build_hooks.page.procedures import Procedures
from build_hooks.page.source import PageSource, unit_of
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Mark, Problem

__all__ = ["RenderedPage", "context_of", "fill_markers", "render_page", "root_of"]


@dataclass(frozen=True, slots=True)
class RenderedPage:
    """A page with its blocks made.

    Attributes:
        source: the page.
        unit_id: the unit it belongs to, if any.
        blocks: the HTML of each block, in the order of the markers.
    """

    source: PageSource
    unit_id: str | None
    blocks: tuple[str, ...]


def render_page(
    source: PageSource, source_path: str, library: Library, procedures: Procedures | None = None
) -> tuple[RenderedPage, tuple[Problem, ...]]:
    """Makes every block of a page.

    Args:
        source: the page.
        source_path: its path below the docs folder.
        library: what was loaded.
        procedures: which pages set or check a pack.

    Returns:
        The page, and what is wrong with its blocks; a block that is wrong is left empty, for then nothing is built.
    """
    context = context_of(source, source_path, library, procedures)
    blocks: list[str] = []
    problems: list[Problem] = []
    for fence, body in zip(source.fences, source.bodies, strict=True):
        if body is None:
            blocks.append("")
            continue
        made, found = _block(fence, body, context, source.path)
        blocks.append(made)
        problems.extend(found)
    return RenderedPage(source, context.unit_id, tuple(blocks)), tuple(problems)


def context_of(source: PageSource, source_path: str, library: Library, procedures: Procedures | None = None) -> Context:
    """What the blocks of a page may know.

    Args:
        source: the page.
        source_path: its path below the docs folder.
        library: what was loaded.
        procedures: which pages set or check a pack.
    """
    unit_id = unit_of(source.facts, source_path)
    unit_unknown = unit_id is None and source.facts_at_fault
    folder = PurePosixPath(source_path).parent.as_posix()
    return Context(
        library,
        unit_id,
        root_of(source_path),
        "" if folder == "." else folder,
        unit_unknown=unit_unknown,
        procedures=procedures or {},
    )


def root_of(source_path: str) -> str:
    """From the address of a page to the top of the site, with a folder for each page.

    A page ``a/b.md`` is served as ``a/b/``, an index as its folder.
    """
    path = PurePosixPath(source_path)
    depth = len(path.parts) - (1 if path.stem == "index" else 0)
    return "../" * depth


def _block(fence: Fence, body: Node, context: Context, path: str) -> tuple[str, tuple[Problem, ...]]:
    block = BLOCKS[fence.name]
    typed, faults = read_model(block.body, body, context.library.shop.units)
    if typed is None:
        return "", tuple(Problem.of(path, fault) for fault in faults)
    try:
        return html_of(block.render(typed, context)), ()
    except Trouble as trouble:
        if trouble.code == HELD_BACK:
            return "", ()
        mark = _mark(body, trouble.path)
        return "", (Problem(path, mark.line, mark.column, trouble.code, trouble.message, trouble.remedy),)


def _mark(body: Node, path: tuple[str | int, ...]) -> Mark:
    """The place of the innermost part of a path that is there."""
    here = body
    for step in path:
        deeper = here.get(step) if isinstance(step, str) else (here.items[step] if step < len(here.items) else None)
        if deeper is None:
            break
        here = deeper
    return here.mark


def fill_markers(html: str, blocks: tuple[str, ...]) -> str:
    """Puts the blocks where their markers stand in the finished HTML of a page."""
    return marker_pattern().sub(lambda match: blocks[int(match["number"])], html)
