"""Readings of a pack, drawn in whole steps of its gauge, as the engine takes them and as a table shows them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Final

from calc_engine import Element, element
from calc_engine.practice.generator import Generator
from calc_engine.practice.setup import Setup, StackItem

__all__ = ["Readings", "draw_readings", "measured_stack", "offsets", "table"]

# Where a face lies below the straightedge, and the longest leaf of a feeler set, in mm and rounded to steps (common practice, no source).
_SHALLOWEST_MM: Final = 18
_DEEPEST_MM: Final = 32
_LONGEST_LEAF: Final = {
    "mm": Fraction(1), "um": Fraction(1000), "m": Fraction(1, 1000), "in": Fraction(25, 1000), "thou": Fraction(25),
}  # fmt: skip
_MOST_JITTER: Final = 2


@dataclass(frozen=True, slots=True)
class Readings:
    """Readings of one pack.

    Attributes:
        request: the fields of pack-clearance that hold them.
        heads: heads of the table.
        rows: its rows, the place or the part first.
    """

    request: dict[str, Any]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def offsets(draw: Generator, positions: int, spread: int) -> tuple[int, ...]:
    """How far each position lies above the lowest, in steps: from 0 to the spread, both of them reached.

    Args:
        draw: the chance.
        positions: how many, 1 or more.
        spread: the whole spread in steps; with one position there is none.
    """
    if positions == 1:
        return (0,)
    return draw.shuffled((0, spread, *(draw.between(0, spread) for _ in range(positions - 2))))


def draw_readings(draw: Generator, setup: Setup, values: Sequence[int]) -> Readings:
    """Readings that give these values.

    Args:
        draw: the chance, for what the values leave open: depths of a face, thicknesses of parts.
        setup: how the pack is measured.
        values: the clearance at each position, in steps, 0 or more.
    """
    if setup.method == "dial":
        lifts = [setup.figure(value * setup.step) for value in values]
        return Readings({"lifts": lifts}, ("Position", "Lift"), _numbered(lifts))
    if setup.method == "feeler":
        leaves = [[setup.figure(leaf) for leaf in _leaves(setup, value * setup.step)] for value in values]
        return Readings({"leaves": leaves}, ("Position", "Leaves"), _numbered([" + ".join(each) for each in leaves]))
    if setup.method == "depth":
        return _depths(draw, setup, values)
    stack = measured_stack(draw, setup)
    cavity = sum((item.thickness * item.count for item in stack), Fraction(0)) + values[0] * setup.step
    return _parts(setup, stack, cavity)


def _numbered(*columns: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    return tuple((str(number), *cells) for number, cells in enumerate(zip(*columns, strict=True), 1))


def _leaves(setup: Setup, value: Fraction) -> list[Fraction]:
    """The longest leaf as often as it goes in, and one for the rest; a gap of nothing is one leaf of nothing."""
    longest = _LONGEST_LEAF[setup.unit.name]
    longest -= longest % setup.step
    whole, rest = divmod(value, longest) if longest else (0, value)
    if whole > 10:  # noqa: PLR2004 - nobody stacks so many leaves; the engine takes 12
        return [value]
    return [*[longest] * int(whole), *([rest] if rest or not whole else [])]


def _depths(draw: Generator, setup: Setup, values: Sequence[int]) -> Readings:
    factor = setup.unit.factor
    face = draw.between(int(_SHALLOWEST_MM / factor / setup.step), int(_DEEPEST_MM / factor / setup.step))
    rings = [face + draw.between(0, _MOST_JITTER) for _ in values]
    to_plate = [setup.figure((ring + value) * setup.step) for ring, value in zip(rings, values, strict=True)]
    to_ring = [setup.figure(ring * setup.step) for ring in rings]
    return Readings(
        {"to_plate": to_plate, "to_ring": to_ring},
        ("Position", "Down to the plate", "Down to the ring or shoulder"),
        _numbered(to_plate, to_ring),
    )


def measured_stack(draw: Generator, setup: Setup) -> tuple[StackItem, ...]:
    """The parts of the stack as a micrometer finds them: a plate up to a step off, a ring as its size says.

    Args:
        draw: the chance.
        setup: how the pack is measured.

    Returns:
        The parts, with thicknesses in the unit of the setup.
    """
    return tuple(_measured(draw, setup, item) for item in setup.stack)


def _measured(draw: Generator, setup: Setup, item: StackItem) -> StackItem:
    off = draw.between(-1, 1) * setup.step
    if item.part.kind == "snap-ring" or item.thickness <= 2 * setup.step:
        return item
    return replace(item, thickness=item.thickness + off)


def _parts(setup: Setup, stack: Sequence[StackItem], cavity: Fraction) -> Readings:
    error = {} if setup.error is None else {"max_error": setup.figure(setup.error)}
    parts = [{"name": item.part.name, "thickness": setup.figure(item.thickness), "count": item.count, **error} for item in stack]
    rows = [("1. Cavity", "", setup.figure(cavity))]
    rows.extend(
        (f"{place}. {item.part.name}", str(item.count), setup.figure(item.thickness)) for place, item in enumerate(stack, 2)
    )
    return Readings({"cavity": setup.figure(cavity), "parts": parts}, ("What", "How many", "Each"), tuple(rows))


def table(caption: str, readings: Readings, facts: Sequence[tuple[str, str]]) -> Element:
    """Readings as a table, with what else is known in a list above it.

    Args:
        caption: what the table shows.
        readings: figures as they are shown, each with its unit.
        facts: what else is known: its name and its text.
    """
    return element(
        "div",
        {"class": "practice-readings"},
        element("dl", {}, *(part for term, said in facts for part in (element("dt", {}, term), element("dd", {}, said)))),
        element(
            "table",
            {},
            element("caption", {}, caption),
            element("thead", {}, element("tr", {}, *(element("th", {"scope": "col"}, head) for head in readings.heads))),
            element("tbody", {}, *(_row(cells) for cells in readings.rows)),
        ),
    )


def _row(cells: Sequence[str]) -> Element:
    first, *rest = cells
    return element("tr", {}, element("th", {"scope": "row"}, first), *(element("td", {}, cell) for cell in rest))
