"""A page for each drum with nothing but what is needed at the bench: its form, the limits, the order of the parts, ways to the steps."""

from __future__ import annotations

from collections.abc import Iterator

from build_hooks.blocks import measured_packs, set_by_parts
from build_hooks.library import Library
from build_hooks.markdown.html import markdown_text
from build_hooks.model import Drum, Float, Pack, Unit
from build_hooks.page.pages import Pages
from calc_engine import encode

__all__ = ["bench_folder", "bench_pages"]


def bench_folder(unit_id: str) -> str:
    """Where the pages of a unit's drums are, below the docs folder."""
    return f"bench/{unit_id}"


def bench_pages(library: Library, pages: Pages) -> dict[str, str]:
    """The Markdown of the page of every drum that has packs with limits.

    Args:
        library: shop and units.
        pages: the authors' pages, for the ways to the steps.

    Returns:
        Each page by its path below the docs folder, ``bench/UNIT/DRUM.md``.
    """
    return {
        f"{bench_folder(unit.id)}/{drum_id}.md": "\n".join(_page(unit, drum_id, drum, measured, pages))
        for unit in library.units.values()
        for drum_id, drum in unit.drums.items()
        if (measured := measured_packs(unit, drum))
    }


def _page(unit: Unit, drum_id: str, drum: Drum, measured: list[Pack | Float], pages: Pages) -> Iterator[str]:
    title = f"{unit.name}, {drum.name}: the readings"
    yield from ("---", f"title: {encode(title)}", f"unit: {unit.id}", "---", f"# {markdown_text(title)}", "")
    packs = [found for found in measured if isinstance(found, Pack)]
    if set_by_parts(unit, measured):
        yield from ("```calc", "calculation: set-clearances", f"drum: {drum_id}", "```", "")
    else:
        for pack in packs:
            yield from ("```calc", "calculation: pack-clearance", f"pack: {pack.id}", "```", "")
    steps = list(_steps(unit, pages))
    if steps:
        yield from ("## The steps", "", *steps, "")
    yield from ("## Limits", "")
    for found in measured:
        yield from ("```spec", f"{'float' if isinstance(found, Float) else 'pack'}: {found.id}", "```", "")
    yield from ("## What goes in", "")
    if drum.order:
        yield from ("```stack", f"drum: {drum_id}", "```", "")
        return
    for pack in packs:
        yield from ("```stack", f"pack: {pack.id}", "```", "")


def _steps(unit: Unit, pages: Pages) -> Iterator[str]:
    """A line for each page of the unit."""
    for path, page in pages.by_path.items():
        if page.unit_id == unit.id and path.startswith("units/"):
            yield f"- [{markdown_text(pages.title(path))}](../../{path})"
