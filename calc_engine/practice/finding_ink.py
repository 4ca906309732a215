"""The strokes that drawings of findings are made of: lines, areas, hatch, grain, rings seen from above. No meaning, only ink."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from calc_engine import Element, element
from calc_engine.practice.circle import on_circle
from calc_engine.practice.generator import Generator

__all__ = [
    "PLATE", "Point", "Sector", "area", "blob", "circle", "closed", "grain", "hatch", "line", "polar", "stroke", "words",
]  # fmt: skip

type Point = tuple[float, float]

_TENTHS: Final = 10
_SHORTEST: Final = 1.5


def _figure(value: float) -> str:
    """A coordinate to a tenth, the same text on every machine."""
    tenths = math.floor(value * _TENTHS + 0.5)
    sign, whole = ("-" if tenths < 0 else ""), abs(tenths)
    decimal = f".{whole % _TENTHS}" if whole % _TENTHS else ""
    return f"{sign}{whole // _TENTHS}{decimal}"


def stroke(points: Sequence[Point]) -> str:
    """The path through points."""
    return "".join(f"{'L' if at else 'M'}{_figure(x)} {_figure(y)}" for at, (x, y) in enumerate(points))


def closed(points: Sequence[Point]) -> str:
    """The path round points."""
    return f"{stroke(points)}z"


def line(path: str, kind: str = "") -> Element:
    """A stroke without a filling."""
    return element("path", {"class": f"finding-line {kind}".strip(), "d": path})


def area(path: str, kind: str) -> Element:
    """A filling with its outline."""
    return element("path", {"class": f"finding-{kind}", "d": path})


def circle(x: float, y: float, radius: float, kind: str) -> Element:
    """A circle."""
    return element("circle", {"cx": _figure(x), "cy": _figure(y), "r": _figure(radius), "class": f"finding-{kind}"})


def words(x: float, y: float, text: str) -> Element:
    """A word beside what it names, in the middle of a place."""
    return element("text", {"x": _figure(x), "y": _figure(y), "text-anchor": "middle", "class": "finding-word"}, text)


def polar(centre: Point, radius: float, turn: Fraction) -> Point:
    """The point at a part of a turn, clockwise from the top."""
    sine, cosine = on_circle(turn % 1)
    return centre[0] + radius * sine, centre[1] - radius * cosine


def hatch(
    points: Sequence[Point], spacing: float, *, falling: bool = False, crossed: bool = False, kind: str = "thin"
) -> Element:
    """The strokes at 45 degrees that fill a closed outline.

    Args:
        points: its corners, in order.
        spacing: from stroke to stroke, along an axis.
        falling: whether they fall to the right.
        crossed: whether they go both ways.
        kind: how thick they are.
    """
    signs = (1, -1) if crossed else (-1,) if falling else (1,)
    return line("".join(_one_way(points, spacing, sign) for sign in signs), kind)


def _one_way(points: Sequence[Point], spacing: float, sign: int) -> str:
    offsets = [x + sign * y for x, y in points]
    first, last = min(offsets), max(offsets)
    found = []
    for step in range(int((last - first) / spacing) + 1):
        met = _crossings(points, offsets, first + (step + 0.5) * spacing)
        found += [stroke(pair) for pair in zip(met[::2], met[1::2], strict=False) if pair[1][0] - pair[0][0] >= _SHORTEST]
    return "".join(found)


def _crossings(points: Sequence[Point], offsets: Sequence[float], level: float) -> list[Point]:
    """Where the stroke at a level meets the outline, from left to right."""
    corners = list(zip(points, offsets, strict=True))
    met: list[Point] = []
    for (start, low), (end, high) in pairwise([*corners, corners[0]]):
        if (low <= level) != (high <= level):
            part = (level - low) / (high - low)
            met.append((start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1])))
    return sorted(met)


def blob(centre: Point, across: float, high: float, seed: int, rough: int = 30) -> list[Point]:
    """An irregular patch: corners of an ellipse, each moved in or out by chance.

    Args:
        centre: its middle.
        across: half its width.
        high: half its height.
        seed: decides how it is moved; the same one gives the same patch.
        rough: by how many hundredths at most.
    """
    draw = Generator(seed)
    corners = []
    for corner in range(16):
        sine, cosine = on_circle(Fraction(corner, 16))
        size = 1 + (draw.between(0, 2 * rough) - rough) / 100
        corners.append((centre[0] + across * sine * size, centre[1] - high * cosine * size))
    return corners


class Sector:
    """A piece of a ring seen from above, as of a plate: everything on it is placed by turn and radius."""

    def __init__(self, centre: Point, inner: float, outer: float, half: Fraction) -> None:
        """Takes the middle of the ring, its radii, and how far it reaches to either side of the top, in turns."""
        self.centre, self.inner, self.outer, self.half = centre, inner, outer, half

    def at(self, along: float, out: float) -> Point:
        """A point: -1 to 1 along the ring, 0 at the inner edge to 1 at the outer."""
        turn = self.half * Fraction(along).limit_denominator(10_000)
        return polar(self.centre, self.inner + (self.outer - self.inner) * out, turn)

    def outline(self, low: float = 0.0, high: float = 1.0, left: float = -1.0, right: float = 1.0) -> list[Point]:
        """The corners of a part of it."""
        steps = [left + (right - left) * step / 24 for step in range(25)]
        return [*(self.at(along, high) for along in steps), *(self.at(along, low) for along in reversed(steps))]

    def arc(self, out: float, left: float = -1.0, right: float = 1.0) -> str:
        """A line along the ring."""
        return stroke([self.at(left + (right - left) * step / 24, out) for step in range(25)])

    def across(self, along: float, low: float = 0.0, high: float = 1.0) -> str:
        """A line across the ring."""
        return stroke([self.at(along, low), self.at(along, high)])


PLATE: Final = Sector((160, 335), 205, 300, Fraction(1, 12))
"""The piece of a plate that drawings show, 320 units wide."""


def grain(sector: Sector, seed: int, count: int, bare: Iterable[tuple[float, float]] = ()) -> Element:
    """Specks all over a piece of a ring, as the lining of a plate has them.

    Args:
        sector: the piece.
        seed: decides where they are.
        count: how many.
        bare: stretches along the ring that have none, as grooves.
    """
    draw = Generator(seed)
    places = [((draw.between(-97, 97)) / 100, draw.between(5, 95) / 100) for _ in range(count)]
    free = [(along, out) for along, out in places if not any(left <= along <= right for left, right in bare)]
    specks = [sector.at(along, out) for along, out in free]
    return line("".join(f"M{_figure(x)} {_figure(y)}h1.6" for x, y in specks), "bold")
