"""The picture of a forecast: bars for how often each gap comes up, with the limits, or with what each size takes in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Final

from calc_engine.answer_view.markup import Element, element
from calc_engine.answer_view.picture import MARGIN, WIDTH, label
from calc_engine.quantities.quantity import Quantity, show

__all__ = ["Column", "Strip", "histogram"]

_TOP: Final = 34
_TALLEST: Final = 130
# Room for a line of letters as large as a phone shows them.
_LETTERS: Final = 42
_STRIP: Final = 46


@dataclass(frozen=True, slots=True)
class Column:
    """One bar.

    Attributes:
        low: its lower edge.
        high: its upper edge, in the same unit.
        p: the probability of a value between them, 0 to 1.
    """

    low: Quantity
    high: Quantity
    p: Fraction


@dataclass(frozen=True, slots=True)
class Strip:
    """A range below the bars, with its name.

    Attributes:
        name: what it is the range of.
        low: its lower end.
        high: its upper end.
    """

    name: str
    low: Quantity
    high: Quantity


def histogram(columns: Sequence[Column], limits: tuple[Quantity, Quantity] | None, strips: Sequence[Strip], said: str) -> Element:
    """Bars as tall as their probability, on a scale wide enough for the limits and strips too.

    Args:
        columns: the bars from left to right, at least one; each begins where the one before it ends.
        limits: drawn as two dashed lines across the bars; None for none.
        strips: drawn below, each on a line of its own.
        said: what the picture shows, for a reader who cannot see it.

    Returns:
        An SVG element. Bars of no height are left out: they could not be told from the line they stand on.
    """
    ends = [columns[0].low, columns[-1].high, *(limits or ()), *(end for strip in strips for end in (strip.low, strip.high))]
    across = _Across(ends)
    base = _TOP + _TALLEST
    height = base + _LETTERS + _STRIP * len(strips) + MARGIN
    return element(
        "svg",
        {"viewBox": f"0 0 {WIDTH} {height}", "role": "img", "aria-label": said, "class": "bench-histogram"},
        *_bars(columns, across, base),
        element("path", {"d": f"M{MARGIN} {base}H{WIDTH - MARGIN}", "class": "bench-histogram-line"}),
        *(part for limit in limits or () for part in _limit(limit, across, base)),
        label(across.x(columns[0].low), base + 8, show(columns[0].low), "bench-histogram-end"),
        label(across.x(columns[-1].high), base + 8, show(columns[-1].high), "bench-histogram-end"),
        *(part for row, strip in enumerate(strips) for part in _strip(strip, across, base + _LETTERS + _STRIP * row)),
    )


class _Across:
    """From a value to a place across the picture."""

    def __init__(self, ends: Sequence[Quantity]) -> None:
        self._unit = ends[0].unit
        values = [end.to(self._unit).value for end in ends]
        self._first = min(values)
        self._scale = (WIDTH - 2 * MARGIN) / ((max(values) - self._first) or Fraction(1))

    def x(self, value: Quantity) -> int:
        return MARGIN + round((value.to(self._unit).value - self._first) * self._scale)


def _bars(columns: Sequence[Column], across: _Across, base: int) -> Iterator[Element]:
    scale = _TALLEST / max(column.p for column in columns)
    edges = [across.x(columns[0].low), *(across.x(column.high) for column in columns)]
    for column, (left, right) in zip(columns, pairwise(edges), strict=True):
        if rise := round(column.p * scale):
            size = {"x": str(left), "y": str(base - rise), "width": str(max(right - left, 2)), "height": str(rise)}
            yield element("rect", {**size, "class": "bench-histogram-bar"})


def _limit(limit: Quantity, across: _Across, base: int) -> tuple[Element, Element]:
    x = across.x(limit)
    line = element("path", {"d": f"M{x} {_TOP - 6}V{base}", "class": "bench-histogram-limit"})
    return line, label(x, _TOP - 12, show(limit), "bench-histogram-value")


def _strip(strip: Strip, across: _Across, top: int) -> tuple[Element, Element]:
    left, right = across.x(strip.low), across.x(strip.high)
    line = element("path", {"d": f"M{left} {top}v12M{left} {top + 6}H{right}M{right} {top}v12", "class": "bench-histogram-strip"})
    return line, label((left + right) // 2, top + 16, strip.name, "bench-histogram-name")
