"""A figure in a text that is not the figure in the data: limits of a clearance, an end play or a float, and worn limits of plates.

A figure in a page goes out of date when the data change. Only what is plainly a limit is judged: a range, or a figure with “or more”,
“at least” and the like, in a sentence on what it is a limit of.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final

from build_hooks.model import Limits, Pack, PartKind, Unit
from build_hooks.plain_writing.passage import Passage
from build_hooks.plain_writing.scanner import Kind
from build_hooks.reading.measures import show_limits
from build_hooks.reading.problems import Fault, listed, quoted
from build_hooks.trade.trade_page import TradePage
from calc_engine import Dimension, Quantity, Refused, parse_quantity, show

__all__ = ["figure_warnings"]

# The lengths have ends, so that no text can keep a pattern busy.
_FIGURE: Final = r"\d{1,4}(?:\.\d{1,5})?"
_UNIT: Final = r"(?:mm|in|inch|inches|um|µm)\b"
_RANGE: Final = re.compile(
    rf"(?<![\d.,])(?P<low>{_FIGURE})\s{{0,3}}(?P<first>{_UNIT})?\s{{0,3}}(?:to|and|–|—|-)\s{{0,3}}(?P<high>{_FIGURE})\s{{0,3}}(?P<unit>{_UNIT})"
)
_ONE: Final = re.compile(
    rf"(?P<least>at least|not less than|no less than|none below|not below|nothing below|at most|not more than|no more than|not above)?\s{{0,3}}"
    rf"(?<![\d.,])(?P<figure>{_FIGURE}\s{{0,3}}{_UNIT})(?P<behind>\s{{1,3}}or\s{{1,3}}(?:more|over|above|less|under|below))?",
)
_CLEARANCE: Final = re.compile(r"\b(?:clearances?|limits?|end play|end float|floats?)\b", re.IGNORECASE)
# In these a figure is no limit of the clearance.
_ELSE: Final = re.compile(
    r"\b(?:agree|spread|zero|each other|leaf|leaves|travel|runout|example|grows?|takes?|takes|depths?)\b", re.IGNORECASE
)
_PLATE: Final = re.compile(r"\b(?:friction|plates?|lining)\b", re.IGNORECASE)
_NO_PLATE: Final = re.compile(r"\b(?:steel|wave|crest|reaction|pressure|backing|free height|leaf)\b", re.IGNORECASE)
_FOR_PACK: Final = re.compile(r"\s+for\s+(?P<pack>[a-z][a-z-]*)")


def figure_warnings(page: TradePage) -> Iterator[Fault]:
    """Limits in the text of a page that are not those of the data."""
    if page.unit is None:
        return
    for block in page.blocks:
        passage = block.passage
        if block.kind in {Kind.STEP, Kind.BULLET, Kind.TEXT} or (block.kind is Kind.BOX and block.name != "why"):
            for start, end in passage.sentences():
                yield from _of_clearance(passage, start, end, page)
        if block.kind is Kind.STEP or (block.kind is Kind.BOX and block.name == "hold"):
            yield from _of_wear(passage, page)


def _of_clearance(passage: Passage, start: int, end: int, page: TradePage) -> Iterator[Fault]:
    sentence = passage.plain[start:end]
    specs = _specs(page)
    if not specs or not _CLEARANCE.search(sentence) or _ELSE.search(sentence):
        return
    for found in _RANGE.finditer(sentence):
        low, high = _base(f"{found['low']} {found['first'] or found['unit']}"), _base(f"{found['high']} {found['unit']}")
        if (
            low is None
            or high is None
            or low >= high
            or (low, high) in {(spec.min.base, spec.max.base) for spec in specs.values()}
        ):
            continue
        message = f"This says {found[0]}; in the data the limits are {_limits(specs)}."
        yield Fault(passage.mark(start + found.start()), "figure-off-data", message, _REMEDY)
    known = {limit.base for spec in specs.values() for limit in (spec.min, spec.max, spec.target) if limit is not None}
    for said, figure in _bounds(sentence):
        if _base(figure) not in {None, *known}:
            message = f"This says {figure}; in the data the limits are {_limits(specs)}."
            yield Fault(passage.mark(start + said), "figure-off-data", message, _REMEDY)


_REMEDY: Final = "Correct it here or in unit.yml; better still, show the limits with a spec block."


def _specs(page: TradePage) -> dict[str, Limits]:
    """The limits that a page may speak of: those of its packs, and of all floats and shafts."""
    if page.unit is None:
        return {}
    specs = {pack.id: pack.clearance for pack in page.packs if pack.clearance is not None}
    floats = {found.id: found.limits for found in page.unit.floats.values()}
    return {**specs, **floats, **{shaft.id: shaft.end_play for shaft in page.unit.shafts.values()}}


def _limits(specs: dict[str, Limits]) -> str:
    return listed((f"{quoted(name)} {show_limits(spec.min, spec.max)}" for name, spec in specs.items()), "and")


def _bounds(sentence: str) -> Iterator[tuple[int, str]]:
    """The figures that a sentence gives as the least or the most that is allowed."""
    for found in _ONE.finditer(sentence):
        if found["least"] or found["behind"]:
            yield found.start("figure"), found["figure"]


def _of_wear(passage: Passage, page: TradePage) -> Iterator[Fault]:
    text = passage.plain
    if page.unit is None or not _PLATE.search(text) or _NO_PLATE.search(text) or _CLEARANCE.search(text):
        return
    for start, figure in _bounds(text):
        named = _FOR_PACK.match(text, _behind(text, start))
        packs = _packs_called(named["pack"], page.unit) if named else ()
        worn = _worn(packs or page.packs)
        if worn and _base(figure) not in {None, *(limit.base for limit in worn.values())}:
            have = listed((f"{quoted(name)} {show(limit)}" for name, limit in worn.items()), "and")
            message = f"This says {figure}; in the data the worn limits are {have}."
            yield Fault(passage.mark(start), "figure-off-data", message, "Correct it here, or worn_below: in unit.yml.")


def _behind(text: str, start: int) -> int:
    """Where the text goes on behind a figure with its “or more”."""
    found = _ONE.match(text, start)
    return start if found is None else found.end()


def _packs_called(name: str, unit: Unit) -> tuple[Pack, ...]:
    return tuple(pack for pack in unit.packs.values() if name in {pack.id, pack.name.split()[0].casefold()})


def _worn(packs: Iterable[Pack]) -> dict[str, Quantity]:
    parts = {entry.part.id: entry.part for pack in packs for entry in pack.physical_stack}
    return {
        name: part.worn_below for name, part in parts.items() if part.kind is PartKind.FRICTION and part.worn_below is not None
    }


def _base(written: str) -> Fraction | None:
    try:
        return parse_quantity(" ".join(written.split()), Dimension.LENGTH, "").base
    except Refused:
        return None
