"""The marks that tell a part's sides apart, as a change of the outline of one of its faces.

A mark never stands out of the part's own height, so that it touches nothing: a lip or a tooth is made by lowering the rest
of its face. What a mark changes is drawn once more as a bold edge, so that it is seen from afar.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from build_hooks.drawing.parts import DrawnPart
from build_hooks.drawing.shapes import Area, AreaOf, Hatch, Line, Point, Shape
from calc_engine.practice import SideMark

__all__ = ["marked_box", "ring_bevel"]

# A face from left to right, as how deep it lies under the part's full height; and the piece of it that is drawn bold.
type _Face = tuple[tuple[float, float], ...]


def _plain(left: float, right: float, _deep: float) -> tuple[_Face, slice | None]:
    return ((left, 0), (right, 0)), None


def _flat(left: float, right: float, _deep: float) -> tuple[_Face, slice | None]:
    return ((left, 0), (right, 0)), slice(0, 2)


def _chamfer(left: float, right: float, deep: float) -> tuple[_Face, slice | None]:
    """At the outer edge, which is the left one."""
    return ((left, deep), (left + _run(left, right, deep), 0), (right, 0)), slice(0, 2)


def _inner_chamfer(left: float, right: float, deep: float) -> tuple[_Face, slice | None]:
    return ((left, 0), (right - _run(left, right, deep), 0), (right, deep)), slice(1, 3)


def _both_chamfers(left: float, right: float, deep: float) -> tuple[_Face, slice | None]:
    run = _run(left, right, deep)
    return ((left, deep), (left + run, 0), (right - run, 0), (right, deep)), None


def _run(left: float, right: float, deep: float) -> float:
    return min(deep * 1.6, (right - left) / 4)


def _chamfer_depth(low: float, high: float) -> float:
    return min((high - low) * 0.5, 13.0)


def ring_bevel(left: float, right: float, low: float, high: float) -> tuple[float, float]:
    """How deep the bevel of a ring of this section is, and how wide."""
    deep = _chamfer_depth(low, high)
    return deep, _run(left, right, deep)


def _rounded(left: float, right: float, deep: float) -> tuple[_Face, slice | None]:
    run = min(deep, (right - left) / 4)
    corner = ((0.0, 1.0), (0.13, 0.5), (0.5, 0.13), (1.0, 0.0))
    rising = tuple((left + x * run, y * deep) for x, y in corner)
    return (*rising, *((right - x * run, y * deep) for x, y in reversed(corner))), None


def _dimple(left: float, right: float, deep: float) -> tuple[_Face, slice | None]:
    at, half = left + 0.3 * (right - left), min(deep * 1.1, (right - left) / 8)
    hollow = ((at - half, 0), (at - 0.7 * half, 0.7 * deep), (at, deep), (at + 0.7 * half, 0.7 * deep), (at + half, 0))
    return ((left, 0), *hollow, (right, 0)), slice(1, 6)


def _step(left: float, right: float, deep: float) -> tuple[_Face, slice | None]:
    at = left + 0.22 * (right - left)
    return ((left, deep), (at, deep), (at, 0), (right, 0)), slice(0, 3)


def _tooth(left: float, right: float, deep: float) -> tuple[_Face, slice | None]:
    at, half = left + 0.3 * (right - left), min(10.0, (right - left) / 6)
    deep = min(deep, 8)
    return ((left, deep), (at - half, deep), (at - half, 0), (at + half, 0), (at + half, deep), (right, deep)), slice(1, 5)


def _lip(left: float, right: float, deep: float) -> tuple[_Face, slice | None]:
    at = right - min(12.0, (right - left) / 5)
    return ((left, deep), (at, deep), (at, 0), (right, 0)), slice(1, 4)


_CHAMFERS: Final = {"outer": _chamfer, "inner": _inner_chamfer, "both": _both_chamfers}
_FACES: Final[dict[SideMark, Callable[[float, float, float], tuple[_Face, slice | None]]]] = {
    "chamfer": _chamfer,
    "dimple": _dimple,
    "step": _step,
    "tooth": _tooth,
    "lip": _lip,
    "flat": _flat,
    "paint": _plain,
    "dish": _plain,
    "rounded edge": _rounded,
}
# How many points of a face make up each of its two corners, for the marks that are at both.
_CORNERS: Final[dict[SideMark, int]] = {"chamfer": 2, "rounded edge": 4}


def marked_box(
    part: DrawnPart, corners: tuple[float, float, float, float], of: AreaOf, hatch: Hatch | None = None, deepest: float = 13.0
) -> tuple[Shape, ...]:
    """A part of rectangular section with its side mark on the side it is on.

    Args:
        part: whose mark it is.
        corners: left, low, right, high of the section.
        of: what it is made of.
        hatch: how it is filled.
        deepest: how deep the mark may be cut.

    Returns:
        The outline, and the bold edges of the mark.
    """
    left, low, right, high = corners
    mark, direction = part.side_mark, part.side_direction
    if mark is None or direction is None:
        return (Area((Point(left, low), Point(right, low), Point(right, high), Point(left, high)), of, hatch),)
    if mark == "dish":
        return _dished(corners, of, hatch, hollow_up=direction in {"up", "out"})
    if direction in {"in", "out"}:
        return _marked_edge(mark, corners, of, hatch, right_edge=direction == "in")
    deep = min(_chamfer_depth(low, high) if mark == "chamfer" else (high - low) * 0.42, 13.0, deepest)
    profile = _CHAMFERS[part.chamfer] if mark == "chamfer" else _FACES[mark]
    face, bold = profile(left, right, deep)
    up = direction == "up"
    marked = tuple(Point(x, high - depth if up else low + depth) for x, depth in face)
    other = (Point(left, low if up else high), Point(right, low if up else high))
    outline = (*other, *reversed(marked)) if up else (*marked, *reversed(other))
    corner = _CORNERS.get(mark)
    edges = (marked[bold],) if bold else (marked[:corner], marked[-corner:]) if corner else ()
    return (
        Area(outline, of, hatch),
        *(Line(edge, "mark") for edge in edges),
        *_paint(mark, left + 0.3 * (right - left), low, high, up=up),
    )


def _paint(mark: SideMark, at: float, low: float, high: float, *, up: bool) -> tuple[Shape, ...]:
    """A dot of paint, seen through the face that it is on."""
    if mark != "paint":
        return ()
    deep = min(0.5 * (high - low), 9.0)
    profile = ((-1.5, 0.0), (1.5, 0.0), (1.2, 0.6), (0.6, 0.95), (0.0, 1.0), (-0.6, 0.95), (-1.2, 0.6))
    return (Area(tuple(Point(at + x * deep, high - y * deep if up else low + y * deep) for x, y in profile), "solid"),)


def _marked_edge(
    mark: SideMark, corners: tuple[float, float, float, float], of: AreaOf, hatch: Hatch | None, *, right_edge: bool
) -> tuple[Shape, ...]:
    """A mark that looks to the axis or to the wall stands on that edge of the section."""
    left, low, right, high = corners
    edge, inward = (right, -1) if right_edge else (left, 1)
    tall = high - low
    deep = min(0.4 * tall, 10.0) * inward
    profiles: dict[SideMark, tuple[tuple[float, float], ...]] = {
        "chamfer": ((1, 0), (0, 0.3), (0, 0.7), (1, 1)),
        "step": ((1, 0), (1, 0.5), (0, 0.5), (0, 1)),
        "lip": ((1, 0), (1, 0.6), (0, 0.6), (0, 1)),
        "tooth": ((1, 0), (1, 0.3), (0, 0.3), (0, 0.7), (1, 0.7), (1, 1)),
        "dimple": ((0, 0), (0, 0.25), (1, 0.5), (0, 0.75), (0, 1)),
        "paint": ((0, 0), (0, 0.2), (1, 0.5), (0, 0.8), (0, 1)),
    }
    marked = tuple(Point(edge + deep * x, low + tall * y) for x, y in profiles.get(mark, ((0, 0), (0, 1))))
    far = left if right_edge else right
    return (Area((*marked, Point(far, high), Point(far, low)), of, hatch), Line(marked, "mark"))


def _dished(corners: tuple[float, float, float, float], of: AreaOf, hatch: Hatch | None, *, hollow_up: bool) -> tuple[Shape, ...]:
    """A saucer in half section: with its hollow up, it is lowest at the axis, which is at the right."""
    left, low, right, high = corners
    thick = 0.6 * (high - low)
    at_left, at_right = (high - thick, low) if hollow_up else (low, high - thick)
    outline = (Point(left, at_left), Point(right, at_right), Point(right, at_right + thick), Point(left, at_left + thick))
    hollow = (outline[3], outline[2]) if hollow_up else (outline[0], outline[1])
    return (Area(outline, of, hatch), Line(hollow, "mark"))
