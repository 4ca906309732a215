"""The picture of a row of values over time: a dot for each, with the limits as lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from calc_engine.answer_view.markup import Element, element
from calc_engine.answer_view.picture import MARGIN, WIDTH, label
from calc_engine.quantities.quantity import Quantity, show

__all__ = ["dot_plot"]

_TOP: Final = 34
_HEIGHT: Final = 180
# Room for a line of letters as large as a phone shows them.
_LETTERS: Final = 42
_DOT: Final = 6


def dot_plot(values: Sequence[Quantity], limits: tuple[Quantity, Quantity] | None, said: str) -> Element:
    """A dot for each value, the first on the left; a value outside the limits is a cross, so that colour is not the only sign.

    Args:
        values: at least one, in one dimension.
        limits: drawn as two dashed lines; None for none.
        said: what the picture shows, for a reader who cannot see it.

    Returns:
        An SVG element.
    """
    unit = values[0].unit
    heights = [value.to(unit).value for value in values]
    edges = [] if limits is None else [limit.to(unit).value for limit in limits]
    low, high = min(heights + edges), max(heights + edges)
    scale = _HEIGHT / ((high - low) or Fraction(1))
    base = _TOP + _HEIGHT

    def y(value: Fraction) -> int:
        return base - round((value - low) * scale)

    return element(
        "svg",
        {"viewBox": f"0 0 {WIDTH} {base + _LETTERS + MARGIN}", "role": "img", "aria-label": said, "class": "bench-histogram"},
        *(
            part
            for limit, edge in zip(limits or (), edges, strict=True)
            for part in _limit(limit, y(edge), is_low=edge == edges[0])
        ),
        *(_mark(x, y(height), is_out=bool(edges) and not edges[0] <= height <= edges[1]) for x, height in _across(heights)),
    )


def _across(heights: Sequence[Fraction]) -> Iterator[tuple[int, Fraction]]:
    step = Fraction(WIDTH - 8 * MARGIN, max(len(heights) - 1, 1))
    return ((4 * MARGIN + round(at * step), height) for at, height in enumerate(heights))


def _limit(limit: Quantity, y: int, *, is_low: bool) -> tuple[Element, Element]:
    line = element("path", {"d": f"M{MARGIN} {y}H{WIDTH - MARGIN}", "class": "bench-histogram-limit"})
    return line, label(WIDTH // 2, y + (_LETTERS - MARGIN if is_low else -MARGIN), show(limit), "bench-histogram-value")


def _mark(x: int, y: int, *, is_out: bool) -> Element:
    if is_out:
        d, r = _DOT + 1, _DOT + 1
        return element(
            "path", {"d": f"M{x - d} {y - r}l{2 * d} {2 * r}M{x - d} {y + r}l{2 * d} {-2 * r}", "class": "bench-dot-out"}
        )
    return element("circle", {"cx": str(x), "cy": str(y), "r": str(_DOT), "class": "bench-dot"})
