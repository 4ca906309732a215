"""A piston in half section with its seals, its return spring, the retainer and the retainer's ring, each in its place.

Nothing here is to scale but the ring. A piston under its pack is a dish: its floor fills the bore of the drum, the rim
stands up round the spring and presses on the pack. A piston over its pack is the same upside down.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from build_hooks.drawing import outlines
from build_hooks.drawing.grouping import Numbered, PistonGroup
from build_hooks.drawing.parts import DrawnPart, Edge
from build_hooks.drawing.placed import Chamber, Notch, Placed, Shoulder
from build_hooks.drawing.shapes import Area, Dot, Hatch, Line, Point, Shape, box
from build_hooks.drawing.sizes import (
    BOSS_LEFT,
    GAP,
    PLATE_LEFT,
    RIM_LEFT,
    RIM_RIGHT,
    ROOT,
    SPRING_LEFT,
    SPRING_RIGHT,
    WEB_RIGHT,
    Scale,
)

__all__ = [
    "GroupPlaced",
    "Places",
    "faced",
    "in_order",
    "inner_springs",
    "lower_group",
    "seal_row",
    "seal_rows_height",
    "slots",
    "upper_group",
]

_PISTON: Final = Hatch(12)
_SLOT: Final = 17.0  # width of a seal groove
_SEAL: Final = 15.0  # its height
_SEAL_PITCH: Final = 20.0
_WEB: Final = 26.0
_SPRING: Final = 50.0
_RETAINER: Final = 13.0
_CHAMBER: Final = 6.0
_STEP: Final = 20.0


@dataclass(frozen=True, slots=True)
class GroupPlaced:
    """A piston group in its place.

    Attributes:
        placed: its parts, in the order they go in.
        notches: grooves in the boss.
        top: how high it reaches.
        boss: how high the boss must be for it, 0 when it needs none.
        shoulder: where the wall must step out for it, None when it need not.
        smooth: the piece of wall that it slides in or stands in, which has no teeth.
        nose: how high the nose reaches that pushes up on the pack above, None for none.
        chambers: the rooms behind its pistons.
    """

    placed: tuple[Placed, ...]
    notches: tuple[Notch, ...]
    top: float
    boss: float
    shoulder: Shoulder | None = None
    smooth: tuple[float, float] | None = None
    nose: float | None = None
    chambers: tuple[Chamber, ...] = ()


# Outlines, anchor, underside and upper side of parts, by their place in the group.
type Places = dict[int, tuple[tuple[Shape, ...], Point, float, float]]


def in_order(group: PistonGroup, stack: int, places: Places) -> tuple[Placed, ...]:
    """The parts of a group in the order they go in."""
    return tuple(Placed(part, stack, *places[at]) for at, part in enumerate(group.parts))


def seal_row(seals: Numbered, edge: Edge, web: tuple[float, float], first: float, unit: float) -> Places:
    """The seals of one edge, one over the other, in slots of the web that reaches from web[0] to web[1]."""
    places: Places = {}
    left, right = (web[0], web[0] + _SLOT) if edge == "outer" else (web[1] - _SLOT, web[1])
    for nth, (at, part) in enumerate(seals):
        low = first + nth * _SEAL_PITCH * unit
        corners = (left + 0.5, low + 1, right - 0.5, low + _SEAL * unit - 1)
        shapes = outlines.seal(part, corners, edge)
        places[at] = (shapes, Point((left + right) / 2, low + _SEAL * unit / 2), low, low + _SEAL * unit)
    return places


def slots(places: Places, web: tuple[float, float], edge: Edge) -> list[Point]:
    """The corners of the seal slots of one edge, from the lowest up."""
    side, bottom = (web[0], web[0] + _SLOT) if edge == "outer" else (web[1], web[1] - _SLOT)
    corners: list[Point] = []
    for _shapes, _anchor, low, high in places.values():
        corners += [Point(side, low), Point(bottom, low), Point(bottom, high), Point(side, high)]
    return corners


def seal_rows_height(count: int, unit: float) -> float:
    """The height that some seals need, one over the other."""
    return (count * _SEAL_PITCH + 10) * unit


def lower_group(group: PistonGroup, stack: int, base: float, scale: Scale) -> GroupPlaced:
    """A piston under its pack, pushing up.

    Args:
        group: the piston and what belongs to it.
        stack: which stack it is of.
        base: height of the floor it lies on.
        scale: how tall things are.

    Returns:
        The group in its place.
    """
    unit = scale.unit
    web = (PLATE_LEFT, WEB_RIGHT)
    floor = base + _CHAMBER * unit
    outer = seal_row(group.seals("outer"), "outer", web, floor + 13 * unit, unit)
    own, on_boss = _by_groove(group.seals("inner"))
    inner = seal_row(own, "inner", web, floor + 5 * unit, unit)
    sealed, boss_slots = _boss_seals(on_boss, floor + (9 + len(own) * _SEAL_PITCH) * unit, unit)
    rows = len(own) + len(on_boss)
    skirt = floor + max(seal_rows_height(len(outer), unit) + 8 * unit, 38 * unit)
    collar = floor + max(seal_rows_height(rows, unit), _WEB * unit)
    web_top = floor + 20 * unit
    dished = any(part.side_mark == "dish" for _, part in group.of("return-spring"))
    sprung, notches, top = _lower_spring(group, (collar if rows > 1 or dished else web_top) + GAP, scale)
    rim = max(skirt, collar, top) + 8 * unit
    outline = (
        Point(web[0], floor), Point(web[1], floor), *slots(inner, web, "inner"), Point(web[1], collar), Point(SPRING_RIGHT + 8, collar),
        Point(SPRING_RIGHT + 8, web_top), Point(RIM_RIGHT, web_top), Point(RIM_RIGHT, rim), Point(RIM_LEFT, rim), Point(RIM_LEFT, skirt),
        Point(web[0], skirt), *reversed(slots(outer, web, "outer")),
    )  # fmt: skip
    anchor = Point(RIM_RIGHT - 10, web_top + 12 * unit)
    ball = _check_ball((floor, web_top)) if group.piston.check_ball else ()
    piston = (*faced(group.piston, outline, rim if group.piston.side_direction != "down" else floor), *ball)
    places = {**outer, **inner, **sealed, **sprung, group.of("piston")[0][0]: (piston, anchor, base, rim)}
    boss = max(collar, top) + (16 if notches else 8) * unit
    chamber = Chamber("up", base, floor)
    return GroupPlaced(in_order(group, stack, places), (*boss_slots, *notches), rim, boss, chambers=(chamber,))


def _by_groove(seals: Numbered) -> tuple[Numbered, Numbered]:
    """The seals in the piston's own grooves, and those in grooves of the boss."""
    return tuple(seal for seal in seals if not seal[1].in_boss), tuple(seal for seal in seals if seal[1].in_boss)


def _boss_seals(seals: Numbered, first: float, unit: float) -> tuple[Places, tuple[Notch, ...]]:
    """Seals in grooves of the boss, which rub on the inner edge of the piston; and these grooves."""
    places: Places = {}
    notches: list[Notch] = []
    for nth, (at, part) in enumerate(seals):
        low = first + nth * _SEAL_PITCH * unit - 4 * unit
        high = low + _SEAL * unit
        shapes = outlines.seal(part, (BOSS_LEFT + 0.5, low + 1, BOSS_LEFT + 13, high - 1), "outer")
        places[at] = (shapes, Point(BOSS_LEFT + 6, (low + high) / 2), low, high)
        notches.append(Notch(part.groove, low, high, in_boss=True))
    return places, tuple(notches)


def _check_ball(web: tuple[float, float]) -> tuple[Shape, ...]:
    """The hole through the web of a piston, and the ball in its seat."""
    low, high = web
    at, radius = RIM_RIGHT + 34, 0.3 * (high - low)
    wide, narrow = radius + 1.5, 0.4 * radius + 0.6
    seat, shelf = low + 0.25 * (high - low), (low + high) / 2
    right_side = ((narrow, low), (narrow, seat), (wide, shelf), (wide, high))
    hole = (*(Point(at + x, y) for x, y in right_side), *(Point(at - x, y) for x, y in reversed(right_side)))
    return (Area(hole, "outline"), Dot(at, seat + radius, radius, "solid"))


def faced(part: DrawnPart, outline: tuple[Point, ...], height: float, hatch: Hatch = _PISTON) -> tuple[Shape, ...]:
    """The body of a piston or housing, and its side mark as a bold edge of the face that carries it."""
    body = Area(outline, "piston", hatch)
    if part.side_mark is None or part.side_direction not in {"up", "down"}:
        return (body,)
    ends = ((start, end) for start, end in pairwise((*outline, outline[0])))
    level = [sorted((start.x, end.x)) for start, end in ends if abs(start.y - height) + abs(end.y - height) < 1e-6]  # noqa: PLR2004
    if part.side_mark == "paint":
        left, right = max(level, key=lambda face: face[1] - face[0])
        wide = min(26.0, right - left - 4)
        low, start = height - 5 if part.side_direction == "up" else height, left + min(12.0, (right - left - wide) / 2)
        return (body, Area(box(start, low, start + wide, low + 5), "solid"))
    return (body, *(Line((Point(left, height), Point(right, height)), "mark") for left, right in level))


def _lower_spring(group: PistonGroup, base: float, scale: Scale) -> tuple[Places, tuple[Notch, ...], float]:
    """Spring, retainer and ring from `base` up, with the grooves of the boss and the height reached."""
    places: Places = {}
    notches: list[Notch] = []
    top = base
    springs = group.of("return-spring")
    for nth, (at, part) in enumerate(springs):
        low, high = base, base + (_SPRING if part.side_mark != "dish" else 0.6 * _SPRING) * scale.unit
        places[at] = (_spring(part, low, high, nth, len(springs)), _spring_anchor(low, high, nth, len(springs)), low, high)
        top = max(top, high)
    for at, part in group.of("retainer"):
        low, high = top + GAP, top + GAP + _RETAINER * scale.unit
        places[at] = (outlines.retainer(part, low, high), Point(SPRING_RIGHT - 20, low + 3 * scale.unit), low, high)
        top = low + 0.5 * _RETAINER * scale.unit
    for at, part in group.of("snap-ring"):
        low, high = top + GAP, top + GAP + scale.thickness(part)
        places[at] = (outlines.boss_ring(part, low, high), Point(WEB_RIGHT - 4, (low + high) / 2), low, high)
        notches.append(Notch(part.groove if part.in_boss else None, low - 3.5, high + 0.8, in_boss=True))
        top = high
    return places, tuple(notches), max(top, *(place[3] for place in places.values())) if places else base


def _spring(part: DrawnPart, low: float, high: float, at: int, count: int) -> tuple[Shape, ...]:
    """One of `count` springs side by side; one with a dish is a coned disc."""
    if part.side_mark == "dish":
        return outlines.coned_spring(part, low, high, RIM_RIGHT + 8, SPRING_RIGHT + 44)
    wide = (SPRING_RIGHT - SPRING_LEFT) / count
    left = SPRING_LEFT + at * wide
    return outlines.coils(low, high, left, left + wide - (1 if count > 1 else 0), 4.4 / min(count, 3))


def _spring_anchor(low: float, high: float, at: int, count: int) -> Point:
    middle = SPRING_LEFT + (at + 0.5) * (SPRING_RIGHT - SPRING_LEFT) / count
    return Point(middle, low + (high - low) * (0.55 + 0.3 * at / count))


def upper_group(group: PistonGroup, stack: int, base: float, inner: float, scale: Scale, *, may_step: bool) -> GroupPlaced:
    """A piston over its pack, pushing down.

    Args:
        group: the piston and what belongs to it.
        stack: which stack it is of.
        base: height at which its rim stands.
        inner: how high other parts reach near the axis, under it.
        scale: how tall things are.
        may_step: the wall may step out, as nothing stands over this group; a spring without a retainer then stands on the shoulder.

    Returns:
        The group in its place.
    """
    unit = scale.unit
    retained = bool(group.of("retainer", "snap-ring"))
    springs = group.of("return-spring")
    stepped = may_step and bool(springs) and not retained and all(part.side_mark != "dish" for _, part in springs)
    inside = (_SPRING + 12) * unit if springs and not stepped else 0
    held = sum(_RETAINER * unit + GAP for _ in group.of("retainer")) + sum(
        scale.thickness(part) + GAP for _, part in group.of("snap-ring")
    )
    spring_base = max(base + 4 * unit, inner + 6 * unit)
    shims = group.of("shim")
    shimmed = sum(scale.thickness(part) + GAP for _, part in shims)
    web_low = max(base + 36 * unit, base + shimmed + GAP, inner + 8 * unit, spring_base + held + inside if inside or held else 0)
    counts = max(len(group.seals("outer")), len(group.seals("inner")))
    top = web_low + max(seal_rows_height(counts, unit) + 14 * unit, 40 * unit)
    left = PLATE_LEFT - (_STEP if stepped else 0)
    web = (left, WEB_RIGHT)
    outer = seal_row(group.seals("outer"), "outer", web, web_low + 9 * unit, unit)
    inner_seals = seal_row(group.seals("inner"), "inner", web, web_low + 5 * unit, unit)
    outline = (
        Point(RIM_LEFT, base), Point(RIM_RIGHT, base), Point(RIM_RIGHT, web_low), Point(web[1], web_low), *slots(inner_seals, web, "inner"),
        Point(web[1], top), Point(web[0], top), *reversed(slots(outer, web, "outer")), Point(web[0], web_low), Point(RIM_LEFT, web_low),
    )  # fmt: skip
    body = faced(group.piston, outline, top if group.piston.side_direction == "up" else base)
    places: Places = {**outer, **inner_seals, group.of("piston")[0][0]: (body, Point(RIM_RIGHT, top - 6 * unit), base, top)}
    shoulder = Shoulder(web_low - shimmed - 30 * unit, _STEP) if stepped else None
    places |= _shims(shims, web_low - shimmed - GAP, scale)
    places |= (
        _stepped_springs(springs, shoulder.height, web_low - shimmed)
        if shoulder is not None
        else inner_springs(group, spring_base, web_low, scale)
    )
    chamber = Chamber("down", top, top + _CHAMBER * unit, (WEB_RIGHT, WEB_RIGHT))
    return GroupPlaced(in_order(group, stack, places), (), top, 0, shoulder, (web_low - shimmed - GAP, top), chambers=(chamber,))


def _shims(shims: Numbered, base: float, scale: Scale) -> Places:
    """Shims under the edge of a piston housing, one on the other; they lie on the ends of the drum's teeth."""
    places: Places = {}
    low = base
    for at, part in shims:
        high = low + scale.thickness(part)
        places[at] = (outlines.shim(part, low, high), Point(outlines.SHIM_RIGHT - 9, (low + high) / 2), low, high)
        low = high + GAP
    return places


def _stepped_springs(springs: Numbered, shoulder: float, web_low: float) -> Places:
    """Springs on the shoulder of the wall, outside the plates."""
    wide = (ROOT - PLATE_LEFT + _STEP) / len(springs)
    places: Places = {}
    for nth, (at, _) in enumerate(springs):
        left = PLATE_LEFT - _STEP + 1 + nth * wide
        low, high = shoulder + 1, web_low - 1
        shapes = outlines.coils(low, high, left, left + wide - 1, 2.8 / min(len(springs), 3))
        places[at] = (shapes, Point(left + wide / 2, low + (high - low) * (0.4 + 0.3 * nth / len(springs))), low, high)
    return places


def inner_springs(group: PistonGroup, base: float, web_low: float, scale: Scale) -> Places:
    """Ring, retainer and spring from below, inside the piston."""
    places: Places = {}
    low = base
    for at, part in group.of("snap-ring"):
        high = low + scale.thickness(part)
        places[at] = (outlines.boss_ring(part, low, high), Point(WEB_RIGHT - 4, (low + high) / 2), low, high)
        low = high + GAP
    for at, part in group.of("retainer"):
        high = low + _RETAINER * scale.unit
        places[at] = (outlines.retainer(part, low, high), Point(SPRING_RIGHT - 20, low + 3 * scale.unit), low, high)
        low = high + GAP
    springs = group.of("return-spring")
    for nth, (at, part) in enumerate(springs):
        shapes = _spring(part, low, web_low - GAP, nth, len(springs))
        places[at] = (shapes, _spring_anchor(low, web_low - GAP, nth, len(springs)), low, web_low - GAP)
    return places
