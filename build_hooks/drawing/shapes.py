"""The few shapes that a drawing is made of, without a word about ink.

Heights count upwards from the floor of the drum while a drawing is put together; `flipped` turns the finished
shapes to the way a screen counts, downwards from the top.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, NamedTuple

__all__ = ["Area", "Box", "Dot", "Hatch", "Line", "Point", "Shape", "bounds", "box", "flipped", "moved"]

# What a shape is made of. Ink alone knows how each of them looks.
type AreaOf = Literal["drum", "steel", "thick-steel", "ring", "lining", "core", "piston", "solid", "outline", "spline", "arrow"]
type LineOf = Literal[
    "edge",
    "behind",
    "mark",
    "centre",
    "phantom",
    "break",
    "measure",
    "leader",
    "bracket",
    "guide",
    "wave",
    "hidden",
    "lever",
    "speed",
    "speed-line",
]


class Point(NamedTuple):
    """A place on the drawing."""

    x: float
    y: float


class Box(NamedTuple):
    """An upright rectangle: left, smallest y, right, largest y."""

    left: float
    top: float
    right: float
    bottom: float

    def holds(self, other: Box, slack: float = 1e-6) -> bool:
        """Whether the other lies wholly within."""
        return (
            self.left - slack <= other.left
            and other.right <= self.right + slack
            and self.top - slack <= other.top
            and other.bottom <= self.bottom + slack
        )


@dataclass(frozen=True, slots=True)
class Hatch:
    """Section lines at 45 degrees.

    Attributes:
        spacing: from line to line, along the drawing's width.
        rising: the lines rise to the right; else they fall.
        crossed: both ways at once.
    """

    spacing: float
    rising: bool = True
    crossed: bool = False


@dataclass(frozen=True, slots=True)
class Area:
    """A closed outline of something that is cut through."""

    points: tuple[Point, ...]
    of: AreaOf
    hatch: Hatch | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """An open line."""

    points: tuple[Point, ...]
    of: LineOf


@dataclass(frozen=True, slots=True)
class Dot:
    """A circle: a wire or a roller in section."""

    x: float
    y: float
    radius: float
    of: AreaOf


type Shape = Area | Line | Dot


def box(left: float, low: float, right: float, high: float) -> tuple[Point, ...]:
    """The corners of an upright rectangle, anticlockwise from the lower left."""
    return (Point(left, low), Point(right, low), Point(right, high), Point(left, high))


def _mapped(shape: Shape, scale_y: float, dx: float, dy: float) -> Shape:
    if isinstance(shape, Dot):
        return Dot(shape.x + dx, shape.y * scale_y + dy, shape.radius, shape.of)
    points = tuple(Point(x + dx, y * scale_y + dy) for x, y in shape.points)
    if isinstance(shape, Area):
        return Area(points, shape.of, shape.hatch)
    return Line(points, shape.of)


def moved(shapes: Iterable[Shape], dx: float, dy: float) -> tuple[Shape, ...]:
    """The same shapes somewhere else."""
    return tuple(_mapped(shape, 1, dx, dy) for shape in shapes)


def flipped(shapes: Iterable[Shape], height: float, dx: float = 0) -> tuple[Shape, ...]:
    """Shapes that counted upwards, counted downwards from `height`, and moved to the right by `dx`."""
    return tuple(_mapped(shape, -1, dx, height) for shape in shapes)


def bounds(shapes: Iterable[Shape]) -> Box:
    """The smallest box around all the shapes; a box of nothing at the origin when there are none."""
    xs: list[float] = []
    ys: list[float] = []
    for shape in shapes:
        if isinstance(shape, Dot):
            xs += [shape.x - shape.radius, shape.x + shape.radius]
            ys += [shape.y - shape.radius, shape.y + shape.radius]
        else:
            xs += [point.x for point in shape.points]
            ys += [point.y for point in shape.points]
    return Box(min(xs), min(ys), max(xs), max(ys)) if xs else Box(0, 0, 0, 0)
