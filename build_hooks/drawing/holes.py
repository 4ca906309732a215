"""Feed holes and check balls of a drum: which chamber each leads to, how it is drawn, and where its name is written."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from build_hooks.drawing.layout import SMALL_TYPE, Frame, Text, text_at
from build_hooks.drawing.parts import DrawnStack, Push
from build_hooks.drawing.placed import Chamber, Hole, Pile
from build_hooks.drawing.shapes import Area, Dot, Line, Point, Shape, box
from build_hooks.drawing.sizes import AXIS, BOSS_LEFT, BOSS_RIGHT, ROOT, WALL

__all__ = ["hole_shapes", "holes_of", "names_below"]

_PUSHES: Final[dict[str | None, tuple[Push, ...]]] = {"bottom": ("up",), "top": ("down",), None: ("down", "up")}
# Where a check ball sits in the floor, and how far the next one is from it.
_FLOOR_BALL: Final = 100.0
_BALLS_APART: Final = 40.0
# Where the feeds run along the axis.
_LANES: Final = (BOSS_RIGHT + 6, AXIS - 6)
_LANES_APART: Final = 8.0


def holes_of(stacks: Sequence[DrawnStack], pile: Pile) -> tuple[Hole, ...]:
    """The holes of the drum that lead to a chamber which is drawn.

    Args:
        stacks: what is drawn, from the bottom up.
        pile: the same in its place.

    Returns:
        The holes, from the lowest stack up, in the order of the data.
    """
    found: list[Hole] = []
    for at, stack in enumerate(stacks):
        chamber = _chamber(pile, at, _PUSHES[stack.pressed_from])
        if chamber is None:
            continue
        out = pile.shoulder.width if pile.shoulder is not None and chamber.low >= pile.shoulder.height else 0
        found += [Hole(hole.name, hole.through, hole.ball, chamber, out) for hole in stack.holes]
    return tuple(found)


def _chamber(pile: Pile, stack: int, pushes: Sequence[Push]) -> Chamber | None:
    """The chamber of a stack: of its own piston, else of one that pushes up in the housing of the stack below."""
    own = [chamber for push in pushes for at, chamber in pile.chambers if at == stack and chamber.push == push]
    below = [chamber for at, chamber in pile.chambers if at < stack and chamber.push == "up" and chamber.inner is not None]
    return own[0] if own else below[-1] if below else None


def hole_shapes(holes: Sequence[Hole], floor: float) -> tuple[Shape, ...]:
    """The holes as they are cut, heights counting upwards.

    Args:
        holes: the holes.
        floor: how thick the floor of the drum is.
    """
    balls = [hole for hole in holes if hole.through == "floor"]
    return tuple(shape for hole in holes for shape in _cut(hole, floor, balls.index(hole) if hole in balls else 0))


def _cut(hole: Hole, floor: float, at: int) -> tuple[Shape, ...]:
    low, high = hole.chamber.low + 0.5, hole.chamber.high - 0.5
    if hole.through == "floor":
        return _ball_in_floor(_FLOOR_BALL + at * _BALLS_APART, floor)
    if hole.through == "boss":
        left, right = hole.chamber.inner or (BOSS_LEFT, BOSS_RIGHT)
        return (Area(box(left, low, right, high), "outline"),) if right > left else ()
    left, right = WALL - hole.out, ROOT - hole.out
    ball = (Dot((left + right) / 2, (low + high) / 2, (high - low) / 2, "solid"),) if hole.ball else ()
    return (Area(box(left, low, right, high), "outline"), *ball)


def _ball_in_floor(x: float, floor: float) -> tuple[Shape, ...]:
    """A stepped hole, narrow at its outer end, with the ball on its seat."""
    radius = 0.28 * floor
    seat = -0.6 * floor
    hole = (
        Point(x - 3, -floor), Point(x + 3, -floor), Point(x + 3, seat), Point(x + radius + 2, seat), Point(x + radius + 2, 0),
        Point(x - radius - 2, 0), Point(x - radius - 2, seat), Point(x - 3, seat),
    )  # fmt: skip
    return (Area(hole, "outline"), Dot(x, seat + radius, radius, "solid"))


def names_below(holes: Sequence[Hole], low: float, frame: Frame) -> tuple[tuple[Shape, ...], tuple[Text, ...]]:
    """The names of the holes through boss and floor, under the drum, each with a line to its hole.

    Args:
        holes: the holes, heights counting upwards.
        low: the lowest height of the drum.
        frame: how large numbers are.

    Returns:
        Lines, heights counting upwards; and texts, heights counting upwards too.
    """
    size = SMALL_TYPE * frame.type_size
    lines: list[Shape] = []
    texts: list[Text] = []
    feeds = [hole for hole in holes if hole.through == "boss"]
    balls = [hole for hole in holes if hole.through == "floor"]
    # The feed that comes from highest runs nearest to the axis, so that no line crosses another; its name is the lowest.
    for row, hole in enumerate([*sorted(feeds, key=lambda one: one.chamber.low), *balls]):
        height = low - (1.2 * row + 1) * size - 4
        if hole.through == "boss":
            lane = min(_LANES[0] + row * _LANES_APART, _LANES[1])
            middle = (hole.chamber.low + hole.chamber.high) / 2
            start = (hole.chamber.inner or (BOSS_LEFT, BOSS_RIGHT))[1]
            lines.append(
                Line((Point(start, middle), Point(lane, middle), Point(lane, height), Point(lane - 8, height)), "hidden")
            )
            texts.append(text_at(hole.name, "feed", Point(lane - 12, height), size, "end"))
        else:
            x = _FLOOR_BALL + balls.index(hole) * _BALLS_APART
            lines.append(Line((Point(x, low), Point(x, height), Point(x + 8, height)), "guide"))
            texts.append(text_at(hole.name, "feed", Point(x + 12, height), size))
    return tuple(lines), tuple(texts)
