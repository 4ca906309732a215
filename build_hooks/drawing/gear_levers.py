"""Each planetary set as a lever, with the speeds of its members as arrows. Nothing here knows of ink.

A set is a lever whose arms are as its teeth: the speeds of its members, drawn at right angles to it, end on one straight line.
Source: H.L. Benford and M.B. Leising, The Lever Analogy: A New Tool in Transmission Analysis, SAE 810102 (1981), from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from build_hooks.drawing.gear_parts import DrawnGear, DrawnMember, DrawnSet, GearPicture
from build_hooks.drawing.layout import Role, Text, text_at
from build_hooks.drawing.shapes import Area, Box, Dot, Line, Point, Shape

__all__ = ["lever_picture"]

_TYPE: Final = 16.0
_NAMES: Final = 92  # room for the names of the members, left of the speeds
_SPEEDS: Final = 170  # room for the arrows
_FIGURES: Final = 52  # room for the figure at the end of the longest arrow
_GAP: Final = 26
_TOP: Final = 62
_LEVER: Final = 210
_BELOW: Final = 26
_HEAD: Final = (9, 4.5)  # the head of an arrow: length, half of its width
_STILL: Final = 1e-9


@dataclass(frozen=True, slots=True)
class _Column:
    """Where a set is drawn."""

    left: float
    gear: DrawnGear

    def across(self, speed: float) -> float:
        """Where a speed ends."""
        span = self.gear.fastest - self.gear.slowest
        return self.left + _NAMES + (speed - self.gear.slowest) / span * _SPEEDS

    def down(self, member: DrawnMember) -> float:
        """At which height a member stands."""
        return _TOP + member.place * _LEVER


def lever_picture(gear: DrawnGear) -> GearPicture:
    """The levers of all sets side by side, all to one scale of speed.

    Args:
        gear: the gear set in one gear.

    Returns:
        The drawing as plain data.
    """
    width = _NAMES + _SPEEDS + _FIGURES
    columns = [(_Column(at * (width + _GAP), gear), each) for at, each in enumerate(gear.sets)]
    shapes = tuple(shape for column, each in columns for shape in _shapes(column, each))
    words = tuple(text for column, each in columns for text in _words(column, each))
    return GearPicture(shapes, words, Box(0, 0, len(columns) * (width + _GAP) - _GAP, _TOP + _LEVER + _BELOW))


def _shapes(column: _Column, drawn: DrawnSet) -> Iterator[Shape]:
    still = column.across(0)
    heights = [column.down(member) for member in drawn.members]
    yield Line((Point(still, min(heights) - 14), Point(still, max(heights) + 14)), "centre")
    yield Line((Point(still, min(heights)), Point(still, max(heights))), "lever")
    tips = [
        Point(column.across(speed), column.down(member))
        for member in drawn.members
        if (speed := column.gear.pieces[member.piece].speed) is not None
    ]
    if len(tips) == len(drawn.members):
        yield Line(tuple(sorted(tips, key=lambda tip: tip.y)), "speed-line")
    for member in drawn.members:
        yield from _arrow(column, member)


def _arrow(column: _Column, member: DrawnMember) -> Iterator[Shape]:
    piece = column.gear.pieces[member.piece]
    still, height = column.across(0), column.down(member)
    yield Dot(still, height, 5, "solid")
    if piece.speed is None:
        return
    if abs(piece.speed) < _STILL:
        yield from _ground(still, height)
        return
    tip = column.across(piece.speed)
    way = 1 if tip > still else -1
    long, half = _HEAD
    yield Line((Point(still, height), Point(tip - way * min(long, abs(tip - still)), height)), "speed")
    back = tip - way * long
    yield Area((Point(tip, height), Point(back, height - half), Point(back, height + half)), "arrow")


def _ground(at: float, height: float) -> Iterator[Shape]:
    """The sign for what stands still: a wall with strokes behind it."""
    yield Line((Point(at + 7, height - 11), Point(at + 7, height + 11)), "mark")
    for step in range(-10, 11, 5):
        yield Line((Point(at + 7, height + step), Point(at + 14, height + step - 5)), "edge")


def _words(column: _Column, drawn: DrawnSet) -> Iterator[Text]:
    yield text_at(f"{drawn.name} set", "name", Point(column.left, 14), _TYPE)
    yield text_at(drawn.teeth, "note", Point(column.left, 14 + 1.15 * _TYPE), 0.85 * _TYPE)
    for member in drawn.members:
        piece = column.gear.pieces[member.piece]
        height = column.down(member)
        end = " in" if piece.is_input else " out" if piece.is_output else ""
        role: Role = "name" if end else "note"
        yield text_at(f"{piece.letter} {member.kind}", role, Point(column.left, height - (0.5 * _TYPE if end else 0)), _TYPE)
        if end:
            yield text_at(f"the{end}put", "note", Point(column.left, height + 0.55 * _TYPE), 0.85 * _TYPE)
        yield _figure(column, member)


def _figure(column: _Column, member: DrawnMember) -> Text:
    speed = column.gear.pieces[member.piece].speed
    at = max(column.across(speed or 0), column.across(0))
    said = "?" if speed is None else "0" if abs(speed) < _STILL else f"{speed:.2f}".replace("-", "−")
    beside = 20 if speed is not None and abs(speed) < _STILL else 8
    return text_at(said, "measure", Point(at + beside, column.down(member)), _TYPE)
