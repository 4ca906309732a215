"""The drum in half section: its wall at the left with the ring grooves, its floor, and its boss near the axis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from build_hooks.drawing.placed import Notch, Pile, Shoulder
from build_hooks.drawing.shapes import Area, Hatch, Line, Point, Shape
from build_hooks.drawing.sizes import AXIS, BOSS_LEFT, BOSS_RIGHT, GROOVE, ROOT, TOOTH, WALL

__all__ = ["DRUM_FLOOR", "Drum", "drum_around"]

DRUM_FLOOR: Final = 26.0  # thickness of the floor
_BOSS_GROOVE: Final = 14.0
_OPEN_END: Final = 26.0
_HATCH: Final = Hatch(15)
_FREE_GROOVE: Final = 16.0
_FREE_PITCH: Final = 44.0
_LOWEST_BOSS: Final = 30.0
_SHORTEST_TOOTH: Final = 4.0


@dataclass(frozen=True, slots=True)
class Drum:
    """A drum round a pile of parts.

    Attributes:
        behind: what is drawn before the parts: the section of the drum and the lines that lie behind.
        notches: all grooves in the wall, from the bottom up, those that hold nothing too.
        low: the lowest height of the drawing of it.
        high: the height of its open end.
    """

    behind: tuple[Shape, ...]
    notches: tuple[Notch, ...]
    low: float
    high: float


def drum_around(pile: Pile, grooves: Sequence[str], *, floor: bool, open_end: bool = True, windows: bool = False) -> Drum:
    """The drum for a pile of parts.

    Args:
        pile: what stands in it.
        grooves: the names of its ring grooves, from the bottom up.
        floor: draw the floor and the boss; else the wall is broken off below.
        open_end: the wall ends above the parts; else it is broken off there too.
        windows: the wall has windows beside the plates.

    Returns:
        The drum with its grooves.
    """
    held = sorted((notch for notch in pile.notches if not notch.in_boss), key=lambda notch: notch.low)
    free = _free_notches(held, grooves, pile.top, floor=floor)
    notches = tuple(sorted((*held, *free), key=lambda notch: notch.low))
    high = max(pile.top, *(notch.high for notch in notches), 60) + _OPEN_END if notches else max(pile.top, 60) + _OPEN_END
    boss_notches = tuple(notch for notch in pile.notches if notch.in_boss and notch.high < pile.boss)
    boss = max(pile.boss, _LOWEST_BOSS)
    low = -DRUM_FLOOR if floor else -18.0
    wall = _inner_side(notches, high, pile.shoulder, chamfer=open_end)
    outer = _outer_side(low, high, pile.shoulder, floor=floor)
    foot = _floor(boss, boss_notches) if floor else ()
    section = Area((*outer[0], *foot, *wall, *outer[1]), "drum", _HATCH)
    axis = Line((Point(AXIS, low - 8), Point(AXIS, high + 8)), "centre")
    seen = _windows(pile) if windows else ()
    breaks = _breaks(low, high, floor=floor, open_end=open_end)
    return Drum((axis, *_teeth(pile, notches, high), section, *seen, *breaks), notches, low, high)


def _windows(pile: Pile) -> tuple[Shape, ...]:
    """The edges of a window in the wall, which is beside the cut: from the lowest to the highest plate with teeth at the wall."""
    plates = [placed for placed in pile.placed if placed.part.teeth == "outside"]
    if not plates:
        return ()
    low, high = min(placed.low for placed in plates), max(placed.high for placed in plates)
    if pile.shoulder is not None:
        high = min(high, pile.shoulder.foot - 24)
    left, right = WALL + 1, ROOT - 1
    return (
        (Line((Point(left, low), Point(right, low)), "hidden"), Line((Point(left, high), Point(right, high)), "hidden"))
        if high > low
        else ()
    )


def _free_notches(held: Sequence[Notch], grooves: Sequence[str], top: float, *, floor: bool) -> list[Notch]:
    """The grooves that hold nothing, between and above those that do; below them only if the drum is drawn down to its floor."""
    places: dict[str, Notch] = {}
    for notch in held:
        if notch.name is not None:
            places.setdefault(notch.name, notch)
    free: list[Notch] = []
    at = 0
    names = list(dict.fromkeys(grooves))
    while at < len(names):
        if names[at] in places:
            at += 1
            continue
        end = next((later for later in range(at, len(names)) if names[later] in places), len(names))
        low = places[names[at - 1]].high if at else 0.0
        if end == len(names):
            first = max(top, low, *(notch.high for notch in held)) if held else max(top, low)
            free += [_free(names[at + step], first + 18 + step * _FREE_PITCH) for step in range(end - at)]
        elif at or floor:
            free += _between(names[at:end], low, places[names[end]].low, held)
        at = end
    return free


def _free(name: str, low: float) -> Notch:
    return Notch(name, low, low + _FREE_GROOVE)


def _between(names: Sequence[str], low: float, high: float, held: Sequence[Notch]) -> list[Notch]:
    """Free grooves in the piece of wall from `low` to `high`; none where another groove leaves no room."""
    room = (high - low) / (len(names) + 1)
    if room < _FREE_GROOVE + 6:
        return []
    found = [_free(name, low + room * (at + 1) - _FREE_GROOVE / 2) for at, name in enumerate(names)]
    return [notch for notch in found if all(notch.high + 4 < other.low or other.high + 4 < notch.low for other in held)]


def _step(shoulder: Shoulder | None, height: float) -> float:
    """How far the wall stands out at this height."""
    return shoulder.width if shoulder is not None and height >= shoulder.height else 0


def _inner_side(notches: Sequence[Notch], high: float, shoulder: Shoulder | None, *, chamfer: bool) -> tuple[Point, ...]:
    """The bore from the floor up, with its grooves, its shoulder and the chamfer of the open end."""
    points: list[Point] = []
    for notch in notches:
        out = _step(shoulder, notch.low)
        points += [
            Point(ROOT - out, notch.low), Point(GROOVE - out, notch.low - min(notch.slope, 0)),
            Point(GROOVE - out, notch.high - max(notch.slope, 0)), Point(ROOT - out, notch.high),
        ]  # fmt: skip
    if shoulder is not None:
        at = sum(notch.high < shoulder.height for notch in notches) * 4
        points[at:at] = _ledge(shoulder)
    out = _step(shoulder, high)
    cut = 8.0 if chamfer else 0
    return (*points, Point(ROOT - out, high - cut), Point(ROOT - out - 0.6 * cut, high))


def _ledge(shoulder: Shoulder) -> list[Point]:
    """The face of a shoulder from the bore outwards, with its pocket."""
    height = shoulder.height
    pocket: list[Point] = []
    if shoulder.pocket is not None:
        left, bottom, right = shoulder.pocket
        pocket = [Point(right, height), Point(right, bottom), Point(left, bottom), Point(left, height)]
    return [Point(ROOT, height), *pocket, Point(ROOT - shoulder.width, height)]


def _outer_side(
    low: float, high: float, shoulder: Shoulder | None, *, floor: bool
) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """The outside: what comes before the floor, and what comes after the open end."""
    out = _step(shoulder, high)
    corner = 9.0 if floor else 0
    down: list[Point] = [Point(WALL - out, high)]
    if shoulder is not None:
        down += [Point(WALL - out, shoulder.foot - 16), Point(WALL, shoulder.foot - 16 - shoulder.width)]
    start = (Point(WALL, low + corner), Point(WALL + corner, low)) if floor else (Point(WALL, low), Point(ROOT, low))
    return start, tuple(down)


def _floor(boss: float, notches: Sequence[Notch]) -> tuple[Point, ...]:
    """The floor to the axis, up the inside of the boss, and down its outside with its grooves."""
    side: list[Point] = []
    for notch in sorted(notches, key=lambda one: -one.high):
        side += [
            Point(BOSS_LEFT, notch.high), Point(BOSS_LEFT + _BOSS_GROOVE, notch.high), Point(BOSS_LEFT + _BOSS_GROOVE, notch.low),
            Point(BOSS_LEFT, notch.low),
        ]  # fmt: skip
    return (
        Point(BOSS_RIGHT, -DRUM_FLOOR), Point(BOSS_RIGHT, boss), Point(BOSS_LEFT + 5, boss), Point(BOSS_LEFT, boss - 5), *side,
        Point(BOSS_LEFT, 4), Point(BOSS_LEFT - 4, 0), Point(ROOT + 6, 0), Point(ROOT, 6),
    )  # fmt: skip


def _teeth(pile: Pile, notches: Sequence[Notch], high: float) -> tuple[Shape, ...]:
    """The insides of the drum's teeth, seen behind the plates, cut through by the grooves."""
    plates = [placed for placed in pile.placed if placed.part.teeth == "outside"]
    if not plates:
        return ()
    low = min(placed.low for placed in plates) - 6
    top = pile.shoulder.height if pile.shoulder is not None else high - 12
    lines: list[Shape] = []
    for cut_low, cut_high in sorted((*((notch.low, notch.high) for notch in notches), *pile.smooth, (top, top))):
        end = min(cut_low, top)
        if end - low > _SHORTEST_TOOTH:
            lines.append(Line((Point(ROOT, low), Point(TOOTH, low), Point(TOOTH, end), Point(ROOT, end)), "behind"))
        low = max(low, cut_high)
    return tuple(lines)


def _breaks(low: float, high: float, *, floor: bool, open_end: bool) -> tuple[Shape, ...]:
    """Break lines where the wall goes on but the drawing does not."""
    ends = [*([] if floor else [low]), *([] if open_end else [high])]
    return tuple(Line(_zigzag(height), "break") for height in ends)


def _zigzag(height: float) -> tuple[Point, ...]:
    left, right = WALL - 10, ROOT + 12
    middle = (left + right) / 2
    return (
        Point(left, height), Point(middle - 6, height), Point(middle - 3, height + 7), Point(middle + 3, height - 7), Point(middle + 6, height),
        Point(right, height),
    )  # fmt: skip
