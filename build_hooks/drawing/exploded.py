"""The exploded form: the same parts as in the half section, apart from each other, in the order they go in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from build_hooks.drawing.drum import drum_around
from build_hooks.drawing.geometry import has_floor
from build_hooks.drawing.layout import Frame, Layout
from build_hooks.drawing.parts import DrawnStack
from build_hooks.drawing.placed import Pile, Placed
from build_hooks.drawing.shapes import Box, Line, Point, bounds, flipped, moved
from build_hooks.drawing.sheet import Sheet, sheet, turned
from build_hooks.drawing.sizes import AXIS, scale_for
from build_hooks.drawing.stacking import piled

__all__ = ["exploded_layout"]

_APART: Final = 12.0
_SHORT_WALL: Final = 40.0


def exploded_layout(stacks: Sequence[DrawnStack], frame: Frame) -> Layout:
    """The exploded half section of the stacks of one drum.

    Args:
        stacks: of one drum, from the bottom up.
        frame: how large numbers are.

    Returns:
        The drawing as plain data.
    """
    scale = scale_for(stacks, frame.plate)
    pile = piled(stacks, scale, start=0.0)
    floor = has_floor(stacks)
    shell = Pile(boss=pile.boss, rim=_SHORT_WALL, notches=tuple(notch for notch in pile.notches if notch.in_boss))
    drum = drum_around(shell, (), floor=True, open_end=False)
    apart, top = _apart(pile.placed, max(drum.high, pile.boss) + 18 if floor else 0, frame.pitch)
    low = drum.low if floor else 0
    axis = Line((Point(AXIS, low - 8), Point(AXIS, top + 8)), "centre")
    behind = flipped((axis, *(drum.behind[1:] if floor else ())), top)
    parts = tuple(turned(placed, top) for placed in apart)
    return sheet(stacks, scale, frame, Sheet(parts, behind, Box(0, 0, AXIS, top - low), (), ()))


def _apart(parts: Sequence[Placed], start: float, pitch: float) -> tuple[tuple[Placed, ...], float]:
    """The parts one over the other with room between them, and how high they reach."""
    height = start
    made: list[Placed] = []
    for placed in parts:
        extent = bounds(placed.shapes)
        tall = extent.bottom - extent.top
        room = max(tall + _APART, pitch)
        up = height + (room - tall) / 2 - extent.top
        anchor = Point(placed.anchor.x, placed.anchor.y + up)
        made.append(
            replace(placed, shapes=moved(placed.shapes, 0, up), anchor=anchor, low=placed.low + up, high=placed.high + up)
        )
        height += room
    return tuple(made), height
