"""A side in a step that is not the side in the data: “chamfer down” for a plate that goes in chamfer up."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from build_hooks.model import StackEntry
from build_hooks.plain_writing.scanner import Kind
from build_hooks.reading.problems import Fault, listed, quoted
from build_hooks.trade.trade_page import TradePage
from calc_engine.practice import SIDE_DIRECTIONS, SIDE_MARKS

__all__ = ["side_warnings"]

_SIDE: Final = re.compile(
    rf"\b(?P<mark>{'|'.join(SIDE_MARKS)})(?:\s+(?:side|face|edge))?\s+(?P<direction>{'|'.join(SIDE_DIRECTIONS)})\b", re.IGNORECASE
)
_NOT_SO: Final = re.compile(r"\b(?:if|not|never|instead|wrong)\b", re.IGNORECASE)


def side_warnings(page: TradePage) -> Iterator[Fault]:
    """Sides in the steps of a page that no place has of a part which the step names."""
    entries = [entry for pack in page.packs for entry in pack.physical_stack if entry.side is not None and entry.side.mark]
    for block in page.blocks:
        if block.kind is not Kind.STEP or _NOT_SO.search(block.passage.plain):
            continue
        text = block.passage.plain.casefold()
        for said in _SIDE.finditer(text):
            meant = _meant(text[: said.start()], said["mark"], entries)
            sides = {str(entry.side) for entry in meant}
            written = f"{said['mark']} {said['direction']}"
            if sides and written not in sides:
                parts = listed(dict.fromkeys(quoted(entry.part.id) for entry in meant), "and")
                message = (
                    f"This says {written}; in the data {parts} {'goes' if len(meant) == 1 else 'go'} in {listed(sorted(sides))}."
                )
                yield Fault(block.passage.mark(said.start()), "side-off-data", message, "Correct the side here, or in unit.yml.")


def _meant(text: str, mark: str, entries: list[StackEntry]) -> list[StackEntry]:
    """The places that a step may mean: those with this mark whose part it names last, by as much of its name as it gives."""
    marked = {entry.part.id: entry for entry in entries if entry.side is not None and entry.side.mark == mark}
    found = [(at, entry) for entry in marked.values() if (at := _named(text, entry.part.name)) >= 0]
    # “Lay the reaction plate on the support ring”: what goes in is named first.
    return [entry for at, entry in found if at == min(first for first, _ in found)]


def _named(text: str, name: str) -> int:
    """Where a text names a part, by its whole name or the last two words of it: “Reaction plate, 5.00” is a reaction plate."""
    words = name.casefold().split(",")[0].split()
    forms = [" ".join(words), " ".join(words[-2:])]
    places = [found.start() for form in forms if (found := re.search(rf"\b{re.escape(form)}\b", text))]
    return min(places, default=-1)
