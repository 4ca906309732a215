"""Puts parts on each other, from the floor of the drum up.

Three columns grow: beside the wall (rings, and the teeth of steel plates), where the friction plates are, and near the
axis (hubs, washers, bearings). A part stands on the highest of the columns that it covers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from build_hooks.drawing import outlines
from build_hooks.drawing.grouping import PistonGroup, grouped, is_plate
from build_hooks.drawing.parts import DrawnClearance, DrawnPart, DrawnStack, Kind
from build_hooks.drawing.pistons import GroupPlaced, lower_group, upper_group
from build_hooks.drawing.placed import Gap, Notch, Pile, Placed
from build_hooks.drawing.shapes import Point, Shape
from build_hooks.drawing.sizes import (
    FRICTION_RIGHT,
    GAP,
    INNER_LEFT,
    PLATE_LEFT,
    RING_RIGHT,
    SHOULDER,
    SLEEVE_RIGHT,
    STEEL_RIGHT,
    WEB_RIGHT,
    Scale,
)

__all__ = ["piled"]

_NEAR_AXIS: Final[frozenset[Kind]] = frozenset(("thrust-washer", "bearing"))
_FREE_SEAL: Final = 18.0
_FREE_SPRING: Final = 50.0
_HUB_WEB: Final = 13.0
_SLEEVE_PITCH: Final = 14.0
_MOST_SLEEVES: Final = 2


def piled(stacks: Sequence[DrawnStack], scale: Scale, *, start: float) -> Pile:
    """All parts of some stacks of one drum, each in its place.

    A part that a later stack shares with an earlier one stands once; the later stack goes on from its upper side.

    Args:
        stacks: from the bottom of the drum up.
        scale: how tall things are.
        start: the height of what the first part lies on.

    Returns:
        The parts with the grooves and clearances beside them.
    """
    pile = Pile(rim=start, plates=start, inner=start)
    for at, stack in enumerate(stacks):
        standing = _standing_first(pile, stack)
        if standing:
            pile = _from_shared(pile, stack)
        items = grouped(stack.parts)[standing:]
        rebates = _rebates(stacks, at, scale)
        for place, item in enumerate(items):
            before = pile
            gap = _gap_before(stack.clearance, item, scale)
            if isinstance(item, PistonGroup):
                nothing_over = at == len(stacks) - 1 and all(_is_ring(later) for later in items[place + 1 :])
                pile = _add_group(pile, item, at, gap, scale, may_step=nothing_over)
            else:
                pile = _add(pile, item, at, gap, scale, rebates.get(standing + place, 0))
            pile = _with_gap(pile, before, stack.clearance, at)
    return pile


def _is_ring(item: DrawnPart | PistonGroup) -> bool:
    return isinstance(item, DrawnPart) and item.kind == "snap-ring"


def _standing_first(pile: Pile, stack: DrawnStack) -> int:
    """How many parts at the start of the stack stand already, as it shares them with an earlier one."""
    inside = {placed.part.part_id for placed in pile.placed}
    at = 0
    while at < len(stack.parts) and stack.parts[at].shared and stack.parts[at].part_id in inside and is_plate(stack.parts[at]):
        at += 1
    return at


def _from_shared(pile: Pile, stack: DrawnStack) -> Pile:
    """The columns as a stack finds them that begins on a plate which stands already."""
    shared = next(placed for placed in reversed(pile.placed) if placed.part.part_id == stack.parts[0].part_id)
    return replace(pile, plates=shared.high)


def _gap_before(clearance: DrawnClearance | None, item: DrawnPart | PistonGroup, scale: Scale) -> float:
    """How much room the clearance takes under this item."""
    numbers = {part.number for part in item.parts} if isinstance(item, PistonGroup) else {item.number}
    if clearance is None or clearance.above not in numbers or clearance.below in numbers:
        return 0
    return scale.clearance(clearance.size_mm)


def _with_gap(pile: Pile, before: Pile, clearance: DrawnClearance | None, stack: int) -> Pile:
    """The pile with the clearance dimensioned, once both of its parts stand."""
    if clearance is None or clearance.above in {one.part.number for one in before.placed if one.stack == stack}:
        return pile
    standing = {one.part.number: one for one in pile.placed if one.stack == stack or one.part.shared}
    below, above = standing.get(clearance.below), standing.get(clearance.above)
    if below is None or above is None:
        return pile
    low = below.high - (below.rebate if above.part.kind == "snap-ring" else 0)
    return replace(pile, gaps=(*pile.gaps, Gap(clearance.label, low, above.low))) if above.low > low else pile


def _rebates(stacks: Sequence[DrawnStack], at: int, scale: Scale) -> dict[int, float]:
    """How much lower than its face the rim of a shared plate is, by its place among the items of its stack.

    The ring over the plate has to clear the pack that rests on the plate, so the rim is cut by what the ring needs.
    """
    if at + 1 >= len(stacks) or len(stacks[at + 1].parts) < 2:  # noqa: PLR2004
        return {}
    shared, first = stacks[at + 1].parts[:2]
    room = scale.thickness(first) + GAP if first.kind == "friction" else 0
    found: dict[int, float] = {}
    for place, (item, over) in enumerate(pairwise(grouped(stacks[at].parts))):
        if not (isinstance(item, DrawnPart) and isinstance(over, DrawnPart) and over.kind == "snap-ring"):
            continue
        if item.part_id == shared.part_id and item.shared and is_plate(item) and outlines.can_be_rebated(item):
            wanted = GAP + _gap_before(stacks[at].clearance, over, scale) + scale.thickness(over) - room
            found[place] = min(max(wanted, 0), 0.55 * scale.thickness(item))
    return found


def _add(pile: Pile, part: DrawnPart, stack: int, gap: float, scale: Scale, rebate: float) -> Pile:
    """The pile with one more part on it."""
    if part.kind == "snap-ring":
        return _add_ring(pile, part, stack, gap, scale)
    if part.kind == "hub":
        return _add_hub(pile, part, stack, scale)
    if part.kind in _NEAR_AXIS:
        return _add_near_axis(pile, part, stack, gap, scale)
    if part.kind in {"seal", "lip-seal", "return-spring", "retainer"}:
        return _add_loose(pile, part, stack, gap, scale)
    return _add_plate(pile, part, stack, gap, scale, rebate)


def _add_plate(pile: Pile, part: DrawnPart, stack: int, gap: float, scale: Scale, rebate: float) -> Pile:
    toothed = part.teeth == "outside" or part.kind == "shim"
    low = (max(pile.rim, pile.plates) if toothed or gap else pile.plates) + GAP + gap
    thickness = scale.thickness(part)
    high = low + thickness + (scale.wave(part) if part.kind == "wave" else 0)
    right = outlines.SHIM_RIGHT if part.kind == "shim" else FRICTION_RIGHT if part.teeth == "inside" else STEEL_RIGHT
    give = max(thickness / 6 - 1 if part.kind == "friction" else thickness / 2 - 4, 0)
    shapes = _plate_shapes(part, low, high, thickness, rebate)
    placed = Placed(part, stack, shapes, Point(right - 9, (low + high) / 2), low, high, rebate, give)
    return replace(pile, placed=(*pile.placed, placed), plates=high, rim=high - rebate if toothed else pile.rim)


def _plate_shapes(part: DrawnPart, low: float, high: float, thickness: float, rebate: float) -> tuple[Shape, ...]:
    if part.kind == "friction":
        return outlines.friction_plate(part, low, high)
    if part.kind == "wave":
        return outlines.wave_plate(part, low, thickness, high - low - thickness)
    if part.kind == "shim":
        return outlines.shim(part, low, high)
    return outlines.rebated_plate(part, low, high, rebate) if rebate else outlines.steel_plate(part, low, high)


def _add_ring(pile: Pile, part: DrawnPart, stack: int, gap: float, scale: Scale) -> Pile:
    """A ring stands beside a friction plate rather than over it, as a friction plate leaves room for it."""
    thickness = scale.thickness(part)
    out = SHOULDER if pile.shoulder is not None else 0
    beside = max(pile.rim + GAP, pile.plates - thickness + 1)
    over = (pile.rim if _last_is_shared(pile) else max(pile.rim, pile.plates)) + GAP + gap
    low = over if gap else beside
    high = low + thickness
    # Beside a friction plate the line to the number runs over that plate, not through it.
    nested = high - pile.plates < thickness / 2
    anchor = Point(RING_RIGHT - 8 - out, high - 1 if nested else (low + high) / 2)
    shapes = outlines.ring(part, low, high, -out)
    placed = Placed(part, stack, shapes, anchor, low, high, give=0 if nested else max(thickness / 2 - 4, 0))
    return replace(pile, placed=(*pile.placed, placed), rim=high, notches=(*pile.notches, Notch(part.groove, low - 2, high + 2)))


def _last_is_shared(pile: Pile) -> bool:
    return bool(pile.placed) and pile.placed[-1].part.shared


def _add_hub(pile: Pile, part: DrawnPart, stack: int, scale: Scale) -> Pile:
    """A hub reaches down through the friction plates of its stack that no hub reaches yet."""
    free = _without_hub(pile, stack)
    unit = scale.unit
    hubs = [placed for placed in pile.placed if placed.part.kind == "hub"]
    under = max((hub.high + GAP for hub in hubs), default=0)
    web = max(free[-1].high + 5 * unit, pile.inner + GAP) if free else pile.inner + 34 * unit
    low = min(max(free[0].low - 5 * unit, under) if free else pile.inner + GAP, web - 4 * unit)
    high = web + _HUB_WEB * unit
    right = SLEEVE_RIGHT - _SLEEVE_PITCH * min(len(hubs), _MOST_SLEEVES - 1)
    reach = max((placed.high for placed in pile.placed if placed.stack == stack), default=high)
    sleeve = high if len(hubs) >= _MOST_SLEEVES else max(high, reach) + 12 * unit
    anchor = Point(right - 4, sleeve - 6 * unit)
    shapes = outlines.hub(part, low, (web, high), right, sleeve)
    return replace(
        pile, placed=(*pile.placed, Placed(part, stack, shapes, anchor, low, high)), inner=high, shafts=max(pile.shafts, sleeve)
    )


def _without_hub(pile: Pile, stack: int) -> list[Placed]:
    """The friction plates of a stack that no hub reaches yet."""
    mine = [placed for placed in pile.placed if placed.stack == stack]
    last = max((at for at, placed in enumerate(mine) if placed.part.kind == "hub"), default=-1)
    return [placed for placed in mine[last + 1 :] if (placed.part.kind, placed.part.teeth) == ("friction", "inside")]


def _add_near_axis(pile: Pile, part: DrawnPart, stack: int, gap: float, scale: Scale) -> Pile:
    low = max(pile.inner, pile.boss) + GAP + gap
    high = low + scale.thickness(part)
    shapes = outlines.bearing(part, low, high) if part.kind == "bearing" else outlines.washer(part, low, high)
    placed = Placed(part, stack, shapes, Point(INNER_LEFT + 50, (low + high) / 2), low, high)
    return replace(pile, placed=(*pile.placed, placed), inner=high)


def _add_loose(pile: Pile, part: DrawnPart, stack: int, gap: float, scale: Scale) -> Pile:
    """A seal, spring or retainer that no piston is listed for."""
    if part.kind not in {"seal", "lip-seal"}:
        low = max(pile.inner, pile.plates) + GAP + gap
        high = low + (_FREE_SPRING if part.kind == "return-spring" else _FREE_SEAL) * scale.unit
        shapes = outlines.coils(low, high) if part.kind == "return-spring" else outlines.retainer(part, low, high)
        placed = Placed(part, stack, shapes, Point(INNER_LEFT, low + 0.35 * (high - low)), low, high)
        return replace(pile, placed=(*pile.placed, placed), inner=high, plates=high)
    inner = part.edge == "inner"
    low = (max(pile.inner, pile.boss) if inner else pile.rim) + GAP + gap
    high = low + _FREE_SEAL * scale.unit
    left = WEB_RIGHT - 18 if inner else PLATE_LEFT + 6
    shapes = outlines.seal(part, (left, low, left + 14, high), part.edge or "outer")
    placed = Placed(part, stack, shapes, Point(left + 7, (low + high) / 2), low, high)
    standing = (*pile.placed, placed)
    return replace(pile, placed=standing, inner=high) if inner else replace(pile, placed=standing, rim=high)


def _add_group(pile: Pile, group: PistonGroup, stack: int, gap: float, scale: Scale, *, may_step: bool) -> Pile:
    base = max(pile.rim, pile.plates) + GAP + gap
    done: GroupPlaced
    if group.upper:
        done = upper_group(group, stack, base, pile.inner, scale, may_step=may_step)
    else:
        done = lower_group(group, stack, max(base - GAP, pile.inner), scale)
    return replace(
        pile,
        placed=(*pile.placed, *done.placed),
        notches=(*pile.notches, *done.notches),
        rim=done.top,
        plates=done.top,
        inner=max(pile.inner, done.top if group.upper else done.boss),
        shoulder=done.shoulder if done.shoulder is not None else pile.shoulder,
        supports=pile.supports if group.upper or not pile.placed else (*pile.supports, (base - GAP, done.boss)),
        smooth=pile.smooth if done.smooth is None else (*pile.smooth, done.smooth),
        boss=done.boss if not pile.placed else pile.boss,
    )
