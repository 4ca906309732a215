"""The half section: where every outline, number and dimension goes. Nothing here knows of ink."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from build_hooks.drawing.drum import DRUM_FLOOR, Drum, drum_around
from build_hooks.drawing.holes import hole_shapes, holes_of, names_below
from build_hooks.drawing.labelling import left_column
from build_hooks.drawing.layout import Frame, Layout, Text, text_at
from build_hooks.drawing.parts import DrawnStack
from build_hooks.drawing.placed import Gap, Notch, Pile
from build_hooks.drawing.shapes import Box, Line, Point, Shape, flipped
from build_hooks.drawing.sheet import Sheet, sheet, turned
from build_hooks.drawing.sizes import (
    AXIS,
    BOSS_LEFT,
    BOSS_RIGHT,
    FRICTION_RIGHT,
    HUB_RIGHT,
    PLATE_LEFT,
    ROOT,
    WALL,
    Scale,
    scale_for,
)
from build_hooks.drawing.stacking import piled

__all__ = ["frame_filling", "has_floor", "section_layout"]


def frame_filling(stacks: Sequence[DrawnStack], frame: Frame, tallest: int) -> Frame:
    """The frame with plates as tall as they may be while one view still holds the whole half section.

    Args:
        stacks: of one drum, from the bottom up.
        frame: how large numbers are, how tall a plate is at least, and how tall a view is.
        tallest: how tall a usual plate may be drawn.

    Returns:
        The frame with another row; the same one where the stacks need several views even so.
    """
    return _filling(tuple(stacks), frame, tallest)


@lru_cache(maxsize=512)
def _filling(stacks: tuple[DrawnStack, ...], frame: Frame, tallest: int) -> Frame:
    low, high = int(frame.plate), tallest + 1
    while high - low > 1:
        middle = (low + high) // 2
        if len(section_layout(stacks, replace(frame, row=middle)).views) == 1:
            low = middle
        else:
            high = middle
    return replace(frame, row=low)


def section_layout(stacks: Sequence[DrawnStack], frame: Frame) -> Layout:
    """The half section of a drum with its stacks.

    Args:
        stacks: of one drum, from the bottom up.
        frame: how large numbers are.

    Returns:
        The drawing as plain data.
    """
    scale = scale_for(stacks, frame.plate)
    floor = has_floor(stacks)
    pile = piled(stacks, scale, start=0.0 if floor else 6.0)
    grooves = tuple(dict.fromkeys(name for stack in stacks for name in stack.grooves))
    drum = drum_around(pile, grooves, floor=floor, windows=any(stack.windows for stack in stacks))
    return _laid_out(stacks, scale, pile, drum, frame)


def has_floor(stacks: Sequence[DrawnStack]) -> bool:
    """A drum has a floor; where the first part stands on another pack, or there is no drum, the wall is broken off below."""
    if not stacks:
        return True
    first = stacks[0]
    return first.drum_name is not None and first.on_floor and not (first.parts and first.parts[0].shared)


def _laid_out(stacks: Sequence[DrawnStack], scale: Scale, pile: Pile, drum: Drum, frame: Frame) -> Layout:
    """Turns heights to count downwards, and adds numbers and words."""
    top = drum.high
    parts = tuple(turned(placed, top) for placed in pile.placed)
    wall = WALL - (pile.shoulder.width if pile.shoulder is not None else 0)
    holes = holes_of(stacks, pile)
    beside = [Notch(hole.name, hole.chamber.low, hole.chamber.high) for hole in holes if hole.through == "wall"]
    guides, texts = left_column(_down(drum.notches, top), _gaps_down(pile.gaps, top), wall, frame, _down(beside, top))
    lines, names = names_below(holes, drum.low, frame) if frame.words else ((), ())
    cut = flipped((*hole_shapes(holes, DRUM_FLOOR), *lines), top)
    behind = flipped((*drum.behind, *pile.holders, *_phantoms(pile, stacks, floor=has_floor(stacks))), top)
    room = Box(wall, 0, AXIS, top - drum.low)
    return sheet(
        stacks, scale, frame, Sheet(parts, behind, room, (*cut, *guides), (*texts, *(_turned(text, top) for text in names)))
    )


def _turned(text: Text, top: float) -> Text:
    """A text whose height counted upwards, counted downwards from `top`."""
    return text_at(text.text, text.role, Point(text.at.x, top - text.at.y), text.size, text.anchor)


def _down(notches: Sequence[Notch], height: float) -> tuple[Notch, ...]:
    return tuple(Notch(notch.name, height - notch.low, height - notch.high, notch.in_boss) for notch in notches)


def _gaps_down(gaps: Sequence[Gap], height: float) -> tuple[Gap, ...]:
    return tuple(Gap(gap.label, height - gap.low, height - gap.high) for gap in gaps)


def _phantoms(pile: Pile, stacks: Sequence[DrawnStack], *, floor: bool) -> tuple[Shape, ...]:
    """What is not in the list but is there: the hub that the friction plates go on, and what carries a pack that stands on no floor."""
    lines: list[Shape] = []
    for at, stack in enumerate(stacks):
        toothed = [
            placed
            for placed in pile.placed
            if placed.stack == at and (placed.part.kind, placed.part.teeth) == ("friction", "inside")
        ]
        if toothed and all(part.kind != "hub" for part in stack.parts):
            low, high = min(placed.low for placed in toothed) - 6, max(placed.high for placed in toothed) + 6
            left = FRICTION_RIGHT + 2
            corners = (Point(left, low), Point(HUB_RIGHT, low), Point(HUB_RIGHT, high), Point(left, high), Point(left, low))
            lines.append(Line(corners, "phantom"))
    for base, boss in pile.supports:
        lines.append(
            Line((Point(ROOT, base), Point(BOSS_LEFT, base), Point(BOSS_LEFT, boss), Point(BOSS_RIGHT, boss)), "phantom")
        )
    if not floor and pile.placed and not pile.holders:
        lines.append(Line((Point(PLATE_LEFT, 3), Point(FRICTION_RIGHT, 3)), "phantom"))
    return tuple(lines)
