"""How flat a set of points is: the plane that fits them best, and the thinnest zone between two parallel planes that holds them.

All in whole numbers and fractions, so that the answer does not depend on the machine, nor on rounding.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, product
from math import gcd, lcm
from typing import Final

from calc_engine.maths.functions import square_root

__all__ = ["Plane", "Point", "Zone", "fitted_plane", "minimum_zone", "plan_width_squared", "zone_along"]

Point = tuple[Fraction, Fraction, Fraction]
_Whole = tuple[int, int, int]
_FEWEST: Final = 3


@dataclass(frozen=True, slots=True)
class Plane:
    """The plane z = a x + b y + c.

    Attributes:
        a: its slope along x.
        b: its slope along y.
        c: its height at the origin.
    """

    a: Fraction
    b: Fraction
    c: Fraction

    def above(self, point: Point) -> Fraction:
        """How far a point is above the plane, straight up."""
        return point[2] - self.a * point[0] - self.b * point[1] - self.c

    @property
    def steepness_squared(self) -> Fraction:
        """1 + a^2 + b^2: distances straight up are so much longer, squared, than those square to the plane."""
        return 1 + self.a**2 + self.b**2


@dataclass(frozen=True, slots=True)
class Zone:
    """Two parallel planes that hold every point between them.

    Attributes:
        width: how far apart they are, square to them.
        lower: the one below.
        touching_low: the points on it, by their places in the list.
        touching_high: the points on the upper one.
    """

    width: Fraction
    lower: Plane
    touching_low: tuple[int, ...]
    touching_high: tuple[int, ...]


def fitted_plane(points: Sequence[Point]) -> Plane:
    """The plane with the least sum of squared heights of the points above it, exact.

    Args:
        points: shape (n, 3), n >= 3, not all in one line seen from above.

    Returns:
        The plane.

    Source: the normal equations of least squares (Gauss).

    Example:
        >>> fitted_plane([(Fraction(0), Fraction(0), Fraction(1)), (Fraction(1), Fraction(0), Fraction(2)), (Fraction(0), Fraction(1), Fraction(1))])
        Plane(a=Fraction(1, 1), b=Fraction(0, 1), c=Fraction(1, 1))
    """
    number, step = len(points), _step_of(points)
    sums = [sum(point[axis] for point in points) for axis in range(3)]
    # Figures from their mean, as whole numbers of steps / number: fractions take much longer.
    near = [
        [int(figure * step) * number - int(total * step) for figure, total in zip(point, sums, strict=True)] for point in points
    ]
    xx, xy, yy, xz, yz = (sum(point[i] * point[j] for point in near) for i, j in ((0, 0), (0, 1), (1, 1), (0, 2), (1, 2)))
    determinant = xx * yy - xy * xy
    a, b = Fraction(xz * yy - yz * xy, determinant), Fraction(yz * xx - xz * xy, determinant)
    x0, y0, z0 = (Fraction(total) / number for total in sums)
    return Plane(a, b, z0 - a * x0 - b * y0)


def zone_along(points: Sequence[Point], plane: Plane) -> Zone:
    """The zone that holds every point between planes parallel to a given one.

    Args:
        points: shape (n, 3), n >= 1.
        plane: what both planes are parallel to.
    """
    heights = [plane.above(point) for point in points]
    low, high = min(heights), max(heights)
    return Zone(
        width=square_root((high - low) ** 2 / plane.steepness_squared),
        lower=Plane(plane.a, plane.b, plane.c + low),
        touching_low=tuple(index for index, height in enumerate(heights) if height == low),
        touching_high=tuple(index for index, height in enumerate(heights) if height == high),
    )


def minimum_zone(points: Sequence[Point]) -> Zone:
    """The thinnest zone between two parallel planes that holds every point; the planes are not upright.

    The width of the zone over all directions has its minima where one plane touches three points and the other one, or
    each touches two: three on a face of the hull, or an edge above and an edge below. All of these are tried.

    Args:
        points: shape (n, 3), n >= 3, not all in one line seen from above.

    Returns:
        The zone; of several equally thin ones, the one that is found first.

    Source: ISO 12781-1:2011 (minimum zone reference planes). That the thinnest zone touches 3 and 1 or 2 and 2 points: M. E. Houle
        and G. T. Toussaint, Computing the width of a set, IEEE PAMI 10 (1988) 761-765 (from memory).

    Example:
        >>> corners = [(Fraction(x), Fraction(y), Fraction(x * y)) for x in (-1, 1) for y in (-1, 1)]
        >>> minimum_zone(corners).width
        Fraction(2, 1)
    """
    whole = _in_whole_steps(points)
    above, below = (_faces(whole, side) for side in (1, -1))
    corners = {corner for faces in (above, below) for face in faces.values() for corner in face}
    best = min(_normals(above, below), key=lambda normal: _width_squared(normal, corners))
    plane = Plane(Fraction(-best[0], best[2]), Fraction(-best[1], best[2]), Fraction(0))
    return zone_along(points, plane)


def plan_width_squared(points: Sequence[Point]) -> Fraction:
    """How wide the points lie at their narrowest, seen from above, squared; 0 when they are all in one line.

    Args:
        points: shape (n, 3), n >= 2.
    """
    step = lcm(*(figure.denominator for point in points for figure in point[:2]))
    places = {(int(x * step), int(y * step)) for x, y, _z in points}
    return min((_strip_squared(one, other, places) for one, other in combinations(places, 2)), default=Fraction(0)) / step**2


def _strip_squared(one: tuple[int, int], other: tuple[int, int], places: Iterable[tuple[int, int]]) -> Fraction:
    """The width of the strip along two places that holds all of them, squared."""
    dx, dy = other[0] - one[0], other[1] - one[1]
    across = [dx * y - dy * x for x, y in places]
    return Fraction((max(across) - min(across)) ** 2, dx * dx + dy * dy)


def _in_whole_steps(points: Sequence[Point]) -> list[_Whole]:
    """The points in the largest step that all their figures are multiples of."""
    step, first = _step_of(points), points[0]
    return [_whole(step, point, first) for point in points]


def _step_of(points: Sequence[Point]) -> int:
    """How many of the largest step that all figures are multiples of make 1."""
    return lcm(*(figure.denominator for point in points for figure in point))


def _whole(step: int, point: Point, first: Point) -> _Whole:
    x, y, z = (int((figure - start) * step) for figure, start in zip(point, first, strict=True))
    return x, y, z


def _width_squared(normal: _Whole, points: Iterable[_Whole]) -> Fraction:
    a, b, c = normal
    along = [a * x + b * y + c * z for x, y, z in points]
    return Fraction((max(along) - min(along)) ** 2, a * a + b * b + c * c)


def _normals(above: Mapping[_Whole, Sequence[_Whole]], below: Mapping[_Whole, Sequence[_Whole]]) -> list[_Whole]:
    """Every direction that the thinnest zone may have, from the faces above and below; upright planes are left out."""
    edges = [{edge for corners in faces.values() for edge in _ring(corners)} for faces in (above, below)]
    found = dict.fromkeys((*above, *below))
    for one, other in product(*edges):
        found.setdefault(_primitive(_cross(_minus(one[1], one[0]), _minus(other[1], other[0]))))
    return [normal for normal in found if normal[2]]


def _faces(points: Sequence[_Whole], side: int) -> dict[_Whole, list[_Whole]]:
    """The faces of the hull that are seen from above (side 1) or below (-1): the normal of each, and its corners in order."""
    found: dict[_Whole, list[_Whole]] = {}
    for one, other in combinations(points, 2):
        third = _outermost(one, other, points, side)
        if third is None:
            continue
        normal = _primitive(_cross(_minus(other, one), _minus(third, one)))
        if normal not in found:
            level = _dot(normal, one)
            heights = [(_dot(normal, point) - level) * side for point in points]
            if max(heights) <= 0:
                found[normal] = _corners([point for point, height in zip(points, heights, strict=True) if not height])
    return found


def _outermost(one: _Whole, other: _Whole, points: Sequence[_Whole], side: int) -> _Whole | None:
    """The point left of a line, seen from above, that its plane must be turned to so that none on that side lies outside."""
    best: _Whole | None = None
    along, normal = _minus(other, one), (0, 0, 0)
    for point in points:
        if _turn(one, other, point) > 0 and (best is None or _dot(normal, _minus(point, one)) * side > 0):
            best, normal = point, _cross(along, _minus(point, one))
    return best


def _corners(points: Sequence[_Whole]) -> list[_Whole]:
    """The corners of the outline of points, seen from above, in order; points within an edge are left out."""
    ordered = sorted(set(points))
    chains = []
    for row in (ordered, ordered[::-1]):
        chain: list[_Whole] = []
        for point in row:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
                chain.pop()
            chain.append(point)
        chains.append(chain[:-1])
    return chains[0] + chains[1]


def _ring(corners: Sequence[_Whole]) -> Iterable[tuple[_Whole, _Whole]]:
    """The edges of a face, each from its smaller end."""
    return (min((one, other), (other, one)) for one, other in zip(corners, (*corners[1:], corners[0]), strict=True))


def _turn(one: _Whole, other: _Whole, point: _Whole) -> int:
    """Above zero where a point lies left of the line from one to the other, seen from above."""
    return (other[0] - one[0]) * (point[1] - one[1]) - (other[1] - one[1]) * (point[0] - one[0])


def _minus(one: _Whole, other: _Whole) -> _Whole:
    return one[0] - other[0], one[1] - other[1], one[2] - other[2]


def _dot(one: _Whole, other: _Whole) -> int:
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


def _cross(one: _Whole, other: _Whole) -> _Whole:
    return one[1] * other[2] - one[2] * other[1], one[2] * other[0] - one[0] * other[2], one[0] * other[1] - one[1] * other[0]


def _primitive(vector: _Whole) -> _Whole:
    """The shortest whole vector of the same direction, its last part not below zero."""
    common = gcd(*vector) or 1
    if vector[2] < 0:
        common = -common
    return vector[0] // common, vector[1] // common, vector[2] // common
