"""A page for each drum with nothing but what is needed at the bench: its form, the limits, the order of the parts, ways to the steps."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from build_hooks.blocks import measured_packs, set_by_parts
from build_hooks.library import Library
from build_hooks.markdown.html import markdown_text
from build_hooks.model import Float, Pack, Unit
from build_hooks.page.pages import MadePage, Pages
from calc_engine import encode

__all__ = ["bench_folder", "bench_pages"]


def bench_folder(unit_id: str) -> str:
    """Where the pages of a unit's drums are, below the docs folder."""
    return f"bench/{unit_id}"


def bench_pages(library: Library, pages: Pages) -> dict[str, MadePage]:
    """The page of every drum that has packs with limits.

    Args:
        library: shop and units.
        pages: the authors' pages, for the ways to the steps.

    Returns:
        Each page by its path below the docs folder, ``bench/UNIT/DRUM.md``.
    """
    return {
        f"{bench_folder(unit.id)}/{drum_id}.md": _page(unit, drum_id, measured, pages)
        for unit in library.units.values()
        for drum_id, drum in unit.drums.items()
        if (measured := measured_packs(unit, drum))
    }


@dataclass(frozen=True, slots=True)
class _Fence:
    """A block of the page, and the keys of unit.yml that lead to what it is about."""

    name: str
    body: tuple[str, ...]
    keys: tuple[str, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        return (f"```{self.name}", *self.body, "```", "")


def _page(unit: Unit, drum_id: str, measured: list[Pack | Float], pages: Pages) -> MadePage:
    title = f"{unit.name}, {unit.drums[drum_id].name}: the readings"
    forms, limits, stacks = list(_forms(unit, drum_id, measured)), _limits(measured), _stacks(unit, drum_id, measured)
    steps = list(_steps(unit, pages))
    lines = (
        *("---", f"title: {encode(title)}", f"unit: {unit.id}", "---", f"# {markdown_text(title)}", ""),
        *_written(forms),
        *(("## The steps", "", *steps, "") if steps else ()),
        *("## Limits", "", *_written(limits)),
        *("## What goes in", "", *_written(stacks)),
    )
    data = tuple((f"units/{unit.id}/unit.yml", fence.keys) for fence in (*forms, *limits, *stacks))
    return MadePage("\n".join(lines), data=data)


def _forms(unit: Unit, drum_id: str, measured: list[Pack | Float]) -> Iterator[_Fence]:
    """One form for the drum where parts set it, else one for each pack."""
    if set_by_parts(unit, measured):
        yield _Fence("calc", ("calculation: set-clearances", f"drum: {drum_id}"), ("drums", drum_id))
        return
    for pack in _packs(measured):
        yield _Fence("calc", ("calculation: pack-clearance", f"pack: {pack.id}"), ("packs", pack.id))


def _limits(measured: list[Pack | Float]) -> list[_Fence]:
    kinds = (("float" if isinstance(found, Float) else "pack", found.id) for found in measured)
    return [_Fence("spec", (f"{kind}: {name}",), (f"{kind}s", name)) for kind, name in kinds]


def _stacks(unit: Unit, drum_id: str, measured: list[Pack | Float]) -> list[_Fence]:
    """The whole drum where its order is known, else each pack."""
    if unit.drums[drum_id].order:
        return [_Fence("stack", (f"drum: {drum_id}",), ("drums", drum_id))]
    return [_Fence("stack", (f"pack: {pack.id}",), ("packs", pack.id)) for pack in _packs(measured)]


def _packs(measured: list[Pack | Float]) -> list[Pack]:
    return [found for found in measured if isinstance(found, Pack)]


def _written(fences: list[_Fence]) -> Iterator[str]:
    return (line for fence in fences for line in fence.lines)


def _steps(unit: Unit, pages: Pages) -> Iterator[str]:
    """A line for each page of the unit."""
    for path, page in pages.by_path.items():
        if page.unit_id == unit.id and path.startswith("units/"):
            yield f"- [{markdown_text(pages.title(path))}](../../{path})"
