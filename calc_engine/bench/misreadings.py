"""Readings that make sense only as another unit or another turn of the dial: asked about, never changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Final

from calc_engine.bench.readings import Gauge
from calc_engine.bench.verdict import Limits, judge
from calc_engine.maths.statistics import mean
from calc_engine.quantities.answer_units import AnswerUnits

__all__ = ["misreadings"]

_INCH: Final = Fraction("25.4")  # mm, exact
# A turn of the needle by the dial's smallest division, mm: 100 divisions of either (common practice, no source).
_TURNS: Final = {Fraction("0.01"): Fraction(1), _INCH / 1000: _INCH / 10}
_FEWEST_TO_COMPARE: Final = 3


def misreadings(
    values: Sequence[Fraction], dial: Gauge | None, limits: Limits, spread_limit: Fraction | None, units: AnswerUnits
) -> Iterator[str]:
    """Questions about readings that are out by the factor between inch and millimetre, or by a turn of the dial.

    Nothing is asked of readings that are within their limits and agree with each other.

    Args:
        values: shape (n,), n >= 1, mm: the clearance at each position.
        dial: the dial they were read on; None for another gauge.
        limits: of the clearance, mm.
        spread_limit: the largest difference allowed, mm; None for half the width of the limits.
        units: for the figures.

    Source: 1 in = 25.4 mm exactly (NIST SP 811, appendix B.8); the turn of a dial is common practice, no source.
    """
    turn = _TURNS.get(dial.resolution) if dial is not None and dial.resolution is not None else None
    room = (limits.max - limits.min) / 2
    allowed = spread_limit or room
    # What readings that contradict each other have as their mean says nothing about how they were meant.
    if max(values) - min(values) > allowed:
        if len(values) >= _FEWEST_TO_COMPARE:
            yield from _odd_ones(values, turn, allowed, units)
        return
    value = mean(values)
    if judge(value, limits) != "in" and not _near(value, limits, room):
        for other, said in _others(value, turn, units):
            if _near(other, limits, room):
                yield f"{said} the clearance would be {units.show(other)}."


def _near(value: Fraction, limits: Limits, room: Fraction) -> bool:
    return limits.min - room <= value <= limits.max + room


def _odd_ones(values: Sequence[Fraction], turn: Fraction | None, allowed: Fraction, units: AnswerUnits) -> Iterator[str]:
    """Positions that would agree with the rest if they had been read otherwise."""
    for index, value in enumerate(values):
        others = [*values[:index], *values[index + 1 :]]
        if max(others) - min(others) > allowed or abs(value - mean(others)) <= allowed:
            continue
        for other, said in _others(value, turn, units):
            if abs(other - mean(others)) <= allowed:
                yield f"Position {index + 1}, {units.show(value)}, is far from the rest. {said} it would be {units.show(other)}."


def _others(value: Fraction, turn: Fraction | None, units: AnswerUnits) -> Iterable[tuple[Fraction, str]]:
    """What else a reading may have been meant as, with the question that leads to it."""
    yield value * _INCH, "Was it read in inches, and typed as millimetres? Then"
    yield value / _INCH, "Was it read in millimetres, and typed as inches? Then"
    if turn is not None:
        yield value + turn, f"Was a whole turn of the dial missed ({units.show(turn)})? Look at the small hand. Then"
        yield (
            value - turn,
            f"Was a turn of the dial counted that was not there ({units.show(turn)})? Look at the small hand. Then",
        )
