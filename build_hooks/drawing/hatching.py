"""Section lines: the strokes that fill an outline at 45 degrees."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from build_hooks.drawing.shapes import Hatch, Point

__all__ = ["strokes"]

# Strokes shorter than this are specks, not lines.
_SHORTEST: Final = 0.8


def strokes(points: tuple[Point, ...], hatch: Hatch) -> tuple[tuple[Point, Point], ...]:
    """The strokes that fill a closed outline.

    A stroke lies on x + y = c (rising, as y counts downwards) or x - y = c (falling), for c in steps of the spacing counted
    from the outline's own left end, so that the same part always looks the same. Each is cut where it meets the outline.

    Args:
        points: the corners, in order, y counting downwards.
        hatch: how it is to be filled.

    Returns:
        Start and end of every stroke, from left to right.
    """
    if hatch.crossed:
        return _one_way(points, hatch.spacing, 1) + _one_way(points, hatch.spacing, -1)
    return _one_way(points, hatch.spacing, 1 if hatch.rising else -1)


def _one_way(points: tuple[Point, ...], spacing: float, sign: int) -> tuple[tuple[Point, Point], ...]:
    offsets = [point.x + sign * point.y for point in points]
    first, last = min(offsets), max(offsets)
    found: list[tuple[Point, Point]] = []
    for step in range(int((last - first) / spacing) + 1):
        level = first + (step + 0.5) * spacing
        crossings = _crossings(points, offsets, level)
        found += [
            (start, end) for start, end in zip(crossings[::2], crossings[1::2], strict=False) if end.x - start.x >= _SHORTEST
        ]
    return tuple(found)


def _crossings(points: tuple[Point, ...], offsets: list[float], level: float) -> list[Point]:
    """Where the stroke at this level meets the outline, from left to right."""
    corners = list(zip(points, offsets, strict=True))
    met: list[Point] = []
    for (start, low), (end, high) in pairwise([*corners, corners[0]]):
        if (low <= level) == (high <= level):
            continue
        part = (level - low) / (high - low)
        met.append(Point(start.x + part * (end.x - start.x), start.y + part * (end.y - start.y)))
    return sorted(met)
