"""A piston in half section with its seals, its return spring, the retainer and the retainer's ring, each in its place.

Nothing here is to scale but the ring. A piston under its pack is a dish: its floor fills the bore of the drum, the rim
stands up round the spring and presses on the pack. A piston over its pack is the same upside down.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from build_hooks.drawing import outlines
from build_hooks.drawing.grouping import Numbered, PistonGroup
from build_hooks.drawing.parts import DrawnPart, Edge
from build_hooks.drawing.placed import Notch, Placed
from build_hooks.drawing.shapes import Area, Hatch, Line, Point, Shape, box
from build_hooks.drawing.sizes import (
    GAP,
    PLATE_LEFT,
    RIM_LEFT,
    RIM_RIGHT,
    ROOT,
    SHOULDER,
    SPRING_LEFT,
    SPRING_RIGHT,
    WEB_RIGHT,
    Scale,
)

__all__ = ["GroupPlaced", "lower_group", "upper_group"]

_PISTON: Final = Hatch(12)
_SLOT: Final = 17.0  # width of a seal groove
_SEAL: Final = 15.0  # its height
_SEAL_PITCH: Final = 20.0
_WEB: Final = 26.0
_SPRING: Final = 50.0
_RETAINER: Final = 13.0
_CHAMBER: Final = 6.0


@dataclass(frozen=True, slots=True)
class GroupPlaced:
    """A piston group in its place.

    Attributes:
        placed: its parts, in the order they go in.
        notches: grooves in the boss.
        top: how high it reaches.
        boss: how high the boss must be for it, 0 when it needs none.
        shoulder: the height at which the wall must step out for its spring, None when it need not.
        smooth: the piece of wall that it slides in or stands in, which has no teeth.
    """

    placed: tuple[Placed, ...]
    notches: tuple[Notch, ...]
    top: float
    boss: float
    shoulder: float | None = None
    smooth: tuple[float, float] | None = None


type _Places = dict[int, tuple[tuple[Shape, ...], Point, float, float]]


def _in_order(group: PistonGroup, stack: int, places: _Places) -> tuple[Placed, ...]:
    return tuple(Placed(part, stack, *places[at]) for at, part in enumerate(group.parts))


def _seal_row(seals: Numbered, edge: Edge, web: tuple[float, float], first: float, unit: float) -> _Places:
    """The seals of one edge, one over the other, in slots of the web that reaches from web[0] to web[1]."""
    places: _Places = {}
    left, right = (web[0], web[0] + _SLOT) if edge == "outer" else (web[1] - _SLOT, web[1])
    for nth, (at, part) in enumerate(seals):
        low = first + nth * _SEAL_PITCH * unit
        corners = (left + 0.5, low + 1, right - 0.5, low + _SEAL * unit - 1)
        shapes = outlines.seal(part, corners, edge)
        places[at] = (shapes, Point((left + right) / 2, low + _SEAL * unit / 2), low, low + _SEAL * unit)
    return places


def _slots(places: _Places, web: tuple[float, float], edge: Edge) -> list[Point]:
    """The corners of the seal slots of one edge, from the lowest up."""
    side, bottom = (web[0], web[0] + _SLOT) if edge == "outer" else (web[1], web[1] - _SLOT)
    corners: list[Point] = []
    for _shapes, _anchor, low, high in places.values():
        corners += [Point(side, low), Point(bottom, low), Point(bottom, high), Point(side, high)]
    return corners


def _room(count: int, unit: float) -> float:
    """The height that some seals need."""
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
    outer = _seal_row(group.seals("outer"), "outer", web, floor + 13 * unit, unit)
    inner = _seal_row(group.seals("inner"), "inner", web, floor + 5 * unit, unit)
    skirt = floor + max(_room(len(outer), unit) + 8 * unit, 38 * unit)
    collar = floor + max(_room(len(inner), unit), _WEB * unit)
    web_top = floor + 20 * unit
    dished = any(part.side_mark == "dish" for _, part in group.of("return-spring"))
    sprung, notches, top = _lower_spring(group, (collar if len(inner) > 1 or dished else web_top) + GAP, scale)
    rim = max(skirt, collar, top) + 8 * unit
    outline = (
        Point(web[0], floor), Point(web[1], floor), *_slots(inner, web, "inner"), Point(web[1], collar), Point(SPRING_RIGHT + 8, collar),
        Point(SPRING_RIGHT + 8, web_top), Point(RIM_RIGHT, web_top), Point(RIM_RIGHT, rim), Point(RIM_LEFT, rim), Point(RIM_LEFT, skirt),
        Point(web[0], skirt), *reversed(_slots(outer, web, "outer")),
    )  # fmt: skip
    anchor = Point(RIM_RIGHT - 10, web_top + 12 * unit)
    piston = (*_faced(group.piston, outline, rim if group.piston.side_direction != "down" else floor),)
    places = {**outer, **inner, **sprung, group.of("piston")[0][0]: (piston, anchor, base, rim)}
    boss = max(collar, top) + (16 if notches else 8) * unit
    return GroupPlaced(_in_order(group, stack, places), notches, rim, boss)


def _faced(part: DrawnPart, outline: tuple[Point, ...], height: float) -> tuple[Shape, ...]:
    """The body of a piston, and its side mark as a bold edge of the face that carries it."""
    body = Area(outline, "piston", _PISTON)
    if part.side_mark is None or part.side_direction not in {"up", "down"}:
        return (body,)
    xs = [point.x for point in outline if abs(point.y - height) < 1e-6]  # noqa: PLR2004
    if part.side_mark == "paint":
        left, low = min(xs) + 12, height - 5 if part.side_direction == "up" else height
        return (body, Area(box(left, low, left + 26, low + 5), "solid"))
    return (body, Line((Point(min(xs), height), Point(max(xs), height)), "mark"))


def _lower_spring(group: PistonGroup, base: float, scale: Scale) -> tuple[_Places, tuple[Notch, ...], float]:
    """Spring, retainer and ring from `base` up, with the grooves of the boss and the height reached."""
    places: _Places = {}
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
        notches.append(Notch(None, low - 1.5, high + 1.5, in_boss=True))
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
    top = web_low + max(_room(counts, unit) + 14 * unit, 40 * unit)
    left = PLATE_LEFT - (SHOULDER if stepped else 0)
    web = (left, WEB_RIGHT)
    outer = _seal_row(group.seals("outer"), "outer", web, web_low + 9 * unit, unit)
    inner_seals = _seal_row(group.seals("inner"), "inner", web, web_low + 5 * unit, unit)
    outline = (
        Point(RIM_LEFT, base), Point(RIM_RIGHT, base), Point(RIM_RIGHT, web_low), Point(web[1], web_low), *_slots(inner_seals, web, "inner"),
        Point(web[1], top), Point(web[0], top), *reversed(_slots(outer, web, "outer")), Point(web[0], web_low), Point(RIM_LEFT, web_low),
    )  # fmt: skip
    body = _faced(group.piston, outline, top if group.piston.side_direction == "up" else base)
    places: _Places = {**outer, **inner_seals, group.of("piston")[0][0]: (body, Point(RIM_RIGHT, top - 6 * unit), base, top)}
    shoulder = web_low - shimmed - 30 * unit if stepped else None
    places |= _shims(shims, web_low - shimmed - GAP, scale)
    places |= (
        _stepped_springs(springs, shoulder, web_low - shimmed)
        if shoulder is not None
        else _upper_spring(group, spring_base, web_low, scale)
    )
    return GroupPlaced(_in_order(group, stack, places), (), top, 0, shoulder, (web_low - shimmed - GAP, top))


def _shims(shims: Numbered, base: float, scale: Scale) -> _Places:
    """Shims under the edge of a piston housing, one on the other; they lie on the ends of the drum's teeth."""
    places: _Places = {}
    low = base
    for at, part in shims:
        high = low + scale.thickness(part)
        places[at] = (outlines.shim(part, low, high), Point(outlines.SHIM_RIGHT - 9, (low + high) / 2), low, high)
        low = high + GAP
    return places


def _stepped_springs(springs: Numbered, shoulder: float, web_low: float) -> _Places:
    """Springs on the shoulder of the wall, outside the plates."""
    wide = (ROOT - PLATE_LEFT + SHOULDER) / len(springs)
    places: _Places = {}
    for nth, (at, _) in enumerate(springs):
        left = PLATE_LEFT - SHOULDER + 1 + nth * wide
        low, high = shoulder + 1, web_low - 1
        shapes = outlines.coils(low, high, left, left + wide - 1, 2.8 / min(len(springs), 3))
        places[at] = (shapes, Point(left + wide / 2, low + (high - low) * (0.4 + 0.3 * nth / len(springs))), low, high)
    return places


def _upper_spring(group: PistonGroup, base: float, web_low: float, scale: Scale) -> _Places:
    """Ring, retainer and spring from below, inside the piston."""
    places: _Places = {}
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
