"""A piston housing in half section: the housing itself, and in it one piston or two, each with its seals and its chamber.

Fully back, a piston's nose is level with the rim of its housing. The chamber lies between the back of the piston and the web
of the housing; the seals sit in the grooves of the piston and rub on the skirt and on the sleeve of the housing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from build_hooks.drawing import outlines
from build_hooks.drawing.grouping import Numbered, PistonGroup
from build_hooks.drawing.parts import Edge, Push
from build_hooks.drawing.pistons import GroupPlaced, Places, faced, in_order, inner_springs, seal_row, seal_rows_height, slots
from build_hooks.drawing.placed import Chamber, Shoulder
from build_hooks.drawing.shapes import Area, Hatch, Point
from build_hooks.drawing.sizes import GAP, PLATE_LEFT, RIM_LEFT, RIM_RIGHT, ROOT, SHOULDER, WEB_RIGHT, Scale

__all__ = ["housing_group"]

_SKIRT: Final = 14.0
_SLEEVE: Final = 16.0
# The lip of a seal reaches over this gap.
_PLAY: Final = 4.5
_NOSE: Final = 30.0
_WEB: Final = 22.0
_CHAMBER: Final = 7.0
_LEAST_BODY: Final = 26.0
_SPRING_ROOM: Final = 26.0  # across, beside the plates
_POCKET: Final = 20.0
_SPRING: Final = 52.0
_RETAINER: Final = 14.0
_HOUSING: Final = Hatch(13, rising=False)
_PISTON: Final = Hatch(9)


@dataclass(frozen=True, slots=True)
class _Across:
    """Where a housing stands across the drawing: outside and inside of its skirt, and of its sleeve."""

    skirt: tuple[float, float]
    sleeve: tuple[float, float]

    @property
    def bore(self) -> tuple[float, float]:
        """Left and right edge of a piston in it."""
        return self.skirt[1] + _PLAY, self.sleeve[0] - _PLAY


def housing_group(
    group: PistonGroup,
    stack: int,
    base: float,
    inner: float,
    scale: Scale,
    shoulder: Shoulder | None,
    *,
    on_shoulder: bool,
    rings: float = 0,
) -> GroupPlaced:
    """A piston housing over its pack.

    Args:
        group: the housing and what goes in with it.
        stack: which stack it is of.
        base: height of the underside of its rim.
        inner: how high other parts reach near the axis, under it.
        scale: how tall things are.
        shoulder: the shoulder of the wall, if something else already rests on it.
        on_shoulder: its rim rests on a shoulder of the wall, or on what rests there.
        rings: how tall the rings over its rim are: the nose that pushes up reaches through them to the next pack.

    Returns:
        The group in its place.
    """
    unit = scale.unit
    outside = on_shoulder and "down" in group.piston.pistons and not group.of("retainer", "snap-ring")
    springs = group.of("return-spring") if outside else ()
    step = _shoulder(base, shoulder, unit, sprung=bool(springs)) if on_shoulder else shoulder
    left = PLATE_LEFT - (step.width if step is not None and on_shoulder else 0)
    across = _Across((left, left + _SKIRT), (WEB_RIGHT - _SLEEVE, WEB_RIGHT))
    pushes = group.piston.pistons
    inside = {} if outside else _inner_springs(group, max(base + 4 * unit, inner + 6 * unit), scale)
    held = max((high for *_, high in inside.values()), default=0.0)
    places: Places = dict(inside)
    shapes: list[Area] = []
    chambers: list[Chamber] = []
    web = base
    if "down" in pushes:
        low = max(base + _NOSE * unit, inner + 14 * unit, held + 3)
        body, seals = _piston(group, "down", across, low, base, unit)
        web = low + _body_height(group, "down", unit) + _CHAMBER * unit
        chambers.append(Chamber("down", web - _CHAMBER * unit, web, across.sleeve))
        shapes.append(body)
        places |= seals
    else:
        web = max(base, inner + 8 * unit, held + 3)
    web_top = web + _WEB * unit
    top, nose = web_top, None
    if "up" in pushes:
        floor = web_top + _CHAMBER * unit
        top = floor + (_body_height(group, "up", unit) + _NOSE * unit)
        chambers.append(Chamber("up", web_top, floor, across.sleeve))
        nose = top + rings
        body, seals = _piston(group, "up", across, floor, nose, unit)
        shapes.append(body)
        places |= seals
    sleeve = (
        min(web, base + (_NOSE - 8) * unit) if "down" not in pushes else max(base, low - 8 * unit),
        top - (_NOSE - 8) * unit if "up" in pushes else top,
    )
    outline = _outline(across, base, top, (web, web_top), sleeve, pushes)
    housing = faced(group.piston, outline, top if group.piston.side_direction == "up" else base, _HOUSING)
    anchor = Point(RIM_RIGHT + 40, (web + web_top) / 2)
    places[group.of("piston")[0][0]] = ((*housing, *shapes), anchor, base, top)
    if springs and step is not None and "down" in pushes:
        places |= _outer_springs(springs, step, low)
    return GroupPlaced(in_order(group, stack, places), (), top, 0, step, (base, top), nose, tuple(chambers))


def _shoulder(base: float, given: Shoulder | None, unit: float, *, sprung: bool) -> Shoulder:
    """The shoulder that the rim rests on; with springs it is wide enough for their pockets beside the rim."""
    if given is not None:
        return given
    if not sprung:
        return Shoulder(base, SHOULDER)
    width = _SKIRT + _PLAY + _SPRING_ROOM + 6
    right = ROOT - 5
    return Shoulder(base, width, (right - _SPRING_ROOM + 3, base - _POCKET * unit, right))


def _inner_springs(group: PistonGroup, base: float, scale: Scale) -> Places:
    """Ring, retainer and springs near the axis, where the springs are not on a shoulder of the wall."""
    held = (
        sum(scale.thickness(part) + GAP for _, part in group.of("snap-ring"))
        + len(group.of("retainer")) * (_RETAINER + GAP) * scale.unit
    )
    return inner_springs(group, base, base + held + (_SPRING * scale.unit if group.of("return-spring") else 0), scale)


def _outer_springs(springs: Numbered, shoulder: Shoulder, piston: float) -> Places:
    """Springs between the wall's shoulder and the rim of the piston, outside the plates."""
    places: Places = {}
    left, bottom, right = shoulder.pocket or (ROOT - _SPRING_ROOM, shoulder.height, ROOT - 4)
    wide = (right - left - 2) / len(springs)
    for nth, (at, _) in enumerate(springs):
        start = left + 1 + nth * wide
        low, high = bottom + 1, piston - 1
        shapes = outlines.coils(low, high, start, start + wide, 3.6 / min(len(springs), 3))
        places[at] = (shapes, Point(start + wide / 2, low + (high - low) * (0.4 + 0.3 * nth / len(springs))), low, high)
    return places


def _seals(group: PistonGroup, push: Push, edge: Edge) -> Numbered:
    """The seals at one edge of one piston: by the lip, which points to the chamber, else in the order of the pistons."""
    pushes = group.piston.pistons
    found = []
    for nth, (at, part) in enumerate(group.seals(edge)):
        lip = {"up": "down", "down": "up"}.get(part.side_direction or "")
        owner = lip if lip in pushes else pushes[min(nth, len(pushes) - 1)]
        if owner == push:
            found.append((at, part))
    return tuple(found)


def _body_height(group: PistonGroup, push: Push, unit: float) -> float:
    count = max(len(_seals(group, push, edge)) for edge in ("outer", "inner"))
    return max(seal_rows_height(count, unit), _LEAST_BODY * unit)


def _piston(group: PistonGroup, push: Push, across: _Across, low: float, nose: float, unit: float) -> tuple[Area, Places]:
    """A piston whose body begins at `low`; its nose reaches to `nose`."""
    left, right = across.bore
    high = low + _body_height(group, push, unit)
    first = low + 6 * unit
    outer = seal_row(_seals(group, push, "outer"), "outer", across.bore, first, unit)
    inner = seal_row(_seals(group, push, "inner"), "inner", across.bore, first, unit)
    under = (Point(RIM_LEFT, low), Point(RIM_LEFT, nose), Point(RIM_RIGHT, nose), Point(RIM_RIGHT, low)) if push == "down" else ()
    over = (Point(RIM_RIGHT, high), Point(RIM_RIGHT, nose), Point(RIM_LEFT, nose), Point(RIM_LEFT, high)) if push == "up" else ()
    outline = (
        Point(left, low), *under, Point(right, low), *slots(inner, across.bore, "inner"), Point(right, high), *over, Point(left, high),
        *reversed(slots(outer, across.bore, "outer")),
    )  # fmt: skip
    return Area(outline, "piston", _PISTON), {**outer, **inner}


def _outline(
    across: _Across, base: float, top: float, web: tuple[float, float], sleeve: tuple[float, float], pushes: Sequence[Push]
) -> tuple[Point, ...]:
    """The housing: skirt, web and sleeve, hollow below, above or on both sides of its web."""
    (left, inside), (start, right) = across.skirt, across.sleeve
    below = [Point(left, base), Point(right, base)]
    if "down" in pushes:
        below = [
            Point(left, base), Point(inside, base), Point(inside, web[0]), Point(start, web[0]), Point(start, sleeve[0]), Point(right, sleeve[0]),
        ]  # fmt: skip
    above = [Point(right, top), Point(left, top)]
    if "up" in pushes:
        above = [
            Point(right, sleeve[1]), Point(start, sleeve[1]), Point(start, web[1]), Point(inside, web[1]), Point(inside, top), Point(left, top),
        ]  # fmt: skip
    return (*below, *above)
