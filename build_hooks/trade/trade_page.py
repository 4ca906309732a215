"""A page of a unit as the checks of the trade read it: its blocks, and the packs that it speaks of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from build_hooks.library import Library
from build_hooks.model import Pack, Unit
from build_hooks.page.source import PageSource
from build_hooks.plain_writing.passage import Passage
from build_hooks.plain_writing.scanner import Block, Kind, scan
from build_hooks.reading.nodes import Node

__all__ = ["TradePage", "listed_parts", "trade_page"]

_NAMING: Final = frozenset({"calc", "kit", "spec", "stack"})


@dataclass(frozen=True, slots=True)
class TradePage:
    """A page.

    Attributes:
        source: as its author wrote it.
        blocks: its headings, steps, boxes and blocks.
        unit: the unit that it belongs to; None for a page of the shop, or of a unit that is not sound.
        packs: the packs that its blocks name; all of the unit where they name none.
    """

    source: PageSource
    blocks: tuple[Block, ...]
    unit: Unit | None
    packs: tuple[Pack, ...]

    def done(self) -> Iterator[Passage]:
        """What a reader does or checks: the steps and the hold points."""
        for block in self.blocks:
            if block.kind is Kind.STEP or (block.kind is Kind.BOX and block.name == "hold"):
                yield block.passage

    def block_of(self, block: Block) -> tuple[str, Node | None]:
        """The name and the body of one of our blocks."""
        number = int(block.name)
        return self.source.fences[number].name, self.source.bodies[number]


def trade_page(source: PageSource, unit_id: str | None, library: Library) -> TradePage:
    """A page, ready for the checks.

    Args:
        source: as its author wrote it.
        unit_id: the unit that it belongs to.
        library: for the unit.
    """
    unit = library.units.get(unit_id or "")
    packs = () if unit is None else _packs(source, unit)
    return TradePage(source, scan(source.text), unit, packs)


def _packs(source: PageSource, unit: Unit) -> tuple[Pack, ...]:
    named: dict[str, Pack] = {}
    for name, body in _own_bodies(source, unit):
        if name in _NAMING:
            for pack in (unit.packs[found] for found in _named(body, unit) if found in unit.packs):
                named[pack.id] = pack
    return tuple(named.values()) or tuple(unit.packs.values())


def _own_bodies(source: PageSource, unit: Unit) -> Iterator[tuple[str, Node]]:
    """The blocks that speak of the page's own unit."""
    for fence, body in zip(source.fences, source.bodies, strict=True):
        if body is not None and body.text_of("unit") in {None, unit.id}:
            yield fence.name, body


def _named(body: Node, unit: Unit) -> Iterator[str]:
    yield from _texts(body, ("pack",))
    packs = body.get("packs")
    yield from (item.text or "" for item in (() if packs is None else packs.items))
    drum = body.text_of("drum")
    yield from (pack.id for pack in unit.packs.values() if drum is not None and pack.drum is not None and pack.drum.id == drum)


def _texts(body: Node, keys: Sequence[str]) -> Iterator[str]:
    yield from (text for key in keys if (text := body.text_of(key)) is not None)


def listed_parts(page: TradePage) -> frozenset[str]:
    """The ids of the parts that the kit blocks of a page list."""
    if page.unit is None:
        return frozenset()
    lists = (body.get("replace") for name, body in _own_bodies(page.source, page.unit) if name == "kit")
    return frozenset(item.text or "" for replaced in lists if replaced is not None for item in replaced.items)
