"""The picture of a verdict: a ruler of the limits with the value and its uncertainty on it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.answer_view.markup import Element, element
from calc_engine.answer_view.picture import MARGIN, WIDTH, label
from calc_engine.quantities.quantity import Quantity

__all__ = ["RulerLabels", "ruler"]

_HEIGHT: Final = 132
_BAND_TOP: Final = 52
_BAND_HEIGHT: Final = 32
_HATCH_STEP: Final = 12
# How much of the width lies outside the limits on each side, at least.
_OUTSIDE: Final = Fraction(22, 100)


@dataclass(frozen=True, slots=True)
class RulerLabels:
    """What is written on a ruler, each with its unit.

    Attributes:
        value: the measured value, with its uncertainty where it is known.
        low: the lower limit.
        high: the upper limit.
    """

    value: str
    low: str
    high: str


def ruler(value: Quantity, expanded: Quantity | None, low: Quantity, high: Quantity, written: RulerLabels, said: str) -> Element:
    """A ruler of the limits, hatched outside them, a pointer for the value and a bar for its uncertainty.

    Args:
        value: the measured value.
        expanded: its expanded uncertainty, same dimension; None when nothing is known of it, and there is no bar then.
        low: the lower limit.
        high: the upper limit, above `low`.
        written: the figures on it.
        said: what the picture shows, for a reader who cannot see it.

    Returns:
        An SVG element. A value far outside is drawn at the edge, as an arrow head pointing on.
    """
    unit = value.unit
    at = _Scale(low.to(unit).value, high.to(unit).value)
    left, right = at.x(low.to(unit).value), at.x(high.to(unit).value)
    bottom = _BAND_TOP + _BAND_HEIGHT
    point = at.x(value.value)
    spread = None if expanded is None else expanded.to(unit)
    return element(
        "svg",
        {"viewBox": f"0 0 {WIDTH} {_HEIGHT}", "role": "img", "aria-label": said, "class": "bench-ruler"},
        element("path", {"d": _hatch(MARGIN, left) + _hatch(right, WIDTH - MARGIN), "class": "bench-ruler-outside"}),
        element(
            "rect",
            {
                "x": str(left),
                "y": str(_BAND_TOP),
                "width": str(right - left),
                "height": str(_BAND_HEIGHT),
                "class": "bench-ruler-inside",
            },
        ),
        element("path", {"d": f"M{(left + right) // 2} {_BAND_TOP}V{bottom}", "class": "bench-ruler-centre"}),
        None if spread is None else _bar(at.x(value.value - spread.value), at.x(value.value + spread.value)),
        element("path", {"d": _pointer(at.side(value.value), point), "class": "bench-ruler-pointer"}),
        label(point, 22, written.value, "bench-ruler-value"),
        label(left, bottom + 32, written.low, "bench-ruler-limit"),
        label(right, bottom + 32, written.high, "bench-ruler-limit"),
    )


def _bar(left: int, right: int) -> Element:
    top = _BAND_TOP + _BAND_HEIGHT // 2 - 4
    size = {"x": str(left), "y": str(top), "width": str(max(right - left, 2)), "height": "8"}
    return element("rect", {**size, "class": "bench-ruler-unsure"})


class _Scale:
    """From a value to a place across the picture, kept inside it."""

    def __init__(self, low: Fraction, high: Fraction) -> None:
        margin = (high - low) * _OUTSIDE / (1 - 2 * _OUTSIDE)
        self.first, self.last = low - margin, high + margin

    def x(self, value: Fraction) -> int:
        inside = min(max(value, self.first), self.last)
        return MARGIN + round((inside - self.first) / (self.last - self.first) * (WIDTH - 2 * MARGIN))

    def side(self, value: Fraction) -> int:
        """-1 when the value lies left of the picture, 1 when right of it, else 0."""
        return -1 if value < self.first else int(value > self.last)


def _hatch(left: int, right: int) -> str:
    """45 degree strokes that fill the band from left to right."""
    strokes = []
    for start in range(left, right, _HATCH_STEP):
        run = min(_BAND_HEIGHT, right - start)
        strokes.append(f"M{start} {_BAND_TOP + _BAND_HEIGHT}l{run} {-run}")
    return "".join(strokes)


def _pointer(side: int, point: int) -> str:
    if side:
        middle = _BAND_TOP + _BAND_HEIGHT // 2
        return f"M{point} {middle}l{-22 * side} -14v28z"
    return f"M{point} {_BAND_TOP}l-11 -18h22z"
