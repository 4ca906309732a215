"""Puts parts on each other, from the floor of the drum up.

Three columns grow: beside the wall (rings, and the teeth of steel plates), where the friction plates are, and near the
axis (hubs, washers, bearings). A part stands on the highest of the columns that it covers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from build_hooks.drawing import outlines
from build_hooks.drawing.grouping import PistonGroup, grouped, is_plate
from build_hooks.drawing.housings import housing_group
from build_hooks.drawing.marks import ring_bevel
from build_hooks.drawing.parts import DrawnClearance, DrawnPart, DrawnStack, Holders, Kind
from build_hooks.drawing.pistons import GroupPlaced, lower_group, upper_group
from build_hooks.drawing.placed import Gap, Notch, Pile, Placed, Shoulder
from build_hooks.drawing.shapes import Point, Shape
from build_hooks.drawing.sizes import (
    FRICTION_RIGHT,
    GAP,
    GROOVE,
    INNER_LEFT,
    PLATE_LEFT,
    RING_LEFT,
    RING_RIGHT,
    ROOT,
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
# Between a ring and the flanks of its groove: the one that it bears on, and the other.
_TOUCH: Final = 0.8
_RING_PLAY: Final = 4.0


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
        holders = stack.holders if not pile.placed else Holders()
        pile = _held_from_below(pile, holders.below, scale)
        items = grouped(stack.parts, stack.pressed_from)[standing:]
        rebates = _rebates(stacks, at, scale)
        for place, item in enumerate(items):
            before = pile
            gap = _gap_before(stack.clearance, item, scale)
            if isinstance(item, PistonGroup):
                rings = sum(
                    scale.thickness(part) + GAP for part in items[place + 1 :] if isinstance(part, DrawnPart) and _is_ring(part)
                )
                nothing_over = at == len(stacks) - 1 and all(_is_ring(later) for later in items[place + 1 :])
                pile = _add_group(pile, item, at, gap, scale, may_step=nothing_over, rings=rings)
            else:
                over = items[place + 1] if place + 1 < len(items) else None
                pile = _add(
                    pile,
                    item,
                    _Place(
                        at,
                        gap,
                        rebates.get(standing + place, 0),
                        _room_on_shoulder(stack, item, scale),
                        over,
                        pushed_down=stack.pressed_from == "top" and not any(map(_is_friction, items[:place])),
                    ),
                    scale,
                )
            pile = _with_gap(pile, before, stack.clearance, at)
            if place == 0:
                pile = _held_from_above(pile, holders, scale)
    return pile


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a part goes.

    Attributes:
        stack: which stack it is of.
        gap: the clearance under it.
        rebate: how much lower than its face its rim is, where the data does not say.
        ledge: for what rests on a shoulder, the clearance that its upper side leaves over the plates.
        over: what goes in next.
        pushed_down: a pack that is pressed from its top lies on it.
    """

    stack: int
    gap: float = 0
    rebate: float = 0
    ledge: float = 0
    over: DrawnPart | PistonGroup | None = None
    pushed_down: bool = False


def _is_friction(item: DrawnPart | PistonGroup) -> bool:
    return isinstance(item, DrawnPart) and item.kind == "friction"


def _room_on_shoulder(stack: DrawnStack, part: DrawnPart, scale: Scale) -> float:
    """The clearance between the plates and a nose that is level with the upper side of what rests on a shoulder."""
    if part.shoulder is None or stack.clearance is None:
        return 0
    return scale.clearance(stack.clearance.size_mm)


def _held_from_below(pile: Pile, ring: DrawnPart | None, scale: Scale) -> Pile:
    """A ring of another pack under the first plate."""
    if ring is None:
        return pile
    low = pile.rim + GAP
    high = low + scale.thickness(ring)
    notch = _ring_notch(ring, low, high, loaded_up=False)
    return replace(pile, rim=high, notches=(*pile.notches, notch), holders=outlines.ring(ring, low, high))


def _held_from_above(pile: Pile, holders: Holders, scale: Scale) -> Pile:
    """A ring of another pack over the first plate."""
    ring = holders.above
    if ring is None:
        return pile
    low = pile.rim + GAP + (scale.clearance(holders.gap_mm) if holders.gap_mm is not None else 0)
    high = low + scale.thickness(ring)
    notch = _ring_notch(ring, low, high, loaded_up=True)
    return replace(pile, rim=high, notches=(*pile.notches, notch), holders=(*pile.holders, *outlines.ring(ring, low, high)))


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
    for place, (item, over) in enumerate(pairwise(grouped(stacks[at].parts, stacks[at].pressed_from))):
        if not (isinstance(item, DrawnPart) and isinstance(over, DrawnPart) and over.kind == "snap-ring"):
            continue
        if item.rim_above_mm:
            continue
        if item.part_id == shared.part_id and item.shared and is_plate(item) and outlines.can_be_rebated(item):
            wanted = GAP + _gap_before(stacks[at].clearance, over, scale) + scale.thickness(over) - room
            found[place] = min(max(wanted, 0), 0.55 * scale.thickness(item))
    return found


def _add(pile: Pile, part: DrawnPart, place: _Place, scale: Scale) -> Pile:
    """The pile with one more part on it."""
    if part.kind == "snap-ring":
        return _add_ring(pile, part, place, scale)
    if part.kind == "hub":
        return _add_hub(pile, part, place.stack, scale)
    if part.kind in _NEAR_AXIS:
        return _add_near_axis(pile, part, place.stack, place.gap, scale)
    if part.kind in {"seal", "lip-seal", "return-spring", "retainer"}:
        return _add_loose(pile, part, place.stack, place.gap, scale)
    if part.kind == "shim" and part.shoulder is not None:
        return _add_on_shoulder(pile, part, place, scale)
    return _add_plate(pile, part, place, scale)


def _add_on_shoulder(pile: Pile, part: DrawnPart, place: _Place, scale: Scale) -> Pile:
    """A spacer on a shoulder of the wall, outside the plates: the pack does not press on it."""
    level = pile.plates + GAP + place.ledge if pile.ledge is None else pile.ledge + GAP + scale.thickness(part)
    low, high = level - scale.thickness(part), level
    shoulder = pile.shoulder or Shoulder(low - 1, SHOULDER)
    left, right = ROOT - shoulder.width + 2, ROOT - 2
    shapes = outlines.spacer(part, (left, low, right, high))
    placed = Placed(part, place.stack, shapes, Point(right - 6, (low + high) / 2), low, high)
    return replace(pile, placed=(*pile.placed, placed), shoulder=shoulder, ledge=high)


def _add_plate(pile: Pile, part: DrawnPart, place: _Place, scale: Scale) -> Pile:
    toothed = part.teeth == "outside" or part.kind == "shim"
    thickness = scale.thickness(part)
    below, above = _rim_cuts(part, thickness, scale)
    plates = max(pile.plates, pile.nose)
    low = (max(pile.rim - below, plates) if toothed or place.gap else plates) + GAP + place.gap
    high = low + thickness + (scale.wave(part) if part.kind == "wave" else 0)
    right = outlines.SHIM_RIGHT if part.kind == "shim" else FRICTION_RIGHT if part.teeth == "inside" else STEEL_RIGHT
    give = max(thickness / 6 - 1 if part.kind == "friction" else thickness / 2 - 4, 0)
    shapes = _plate_shapes(part, low, high, thickness, (below, above, place.rebate))
    if scale.is_cut_short(part):
        shapes = (*shapes, *outlines.cut_short(low, high))
    cut = above or place.rebate
    placed = Placed(part, place.stack, shapes, Point(right - 9, (low + high) / 2), low, high, cut, give)
    return replace(pile, placed=(*pile.placed, placed), plates=high, rim=high - cut if toothed else pile.rim)


def _rim_cuts(part: DrawnPart, thickness: float, scale: Scale) -> tuple[float, float]:
    """How far the rim of a plate is cut back from its lower and from its upper face; some of the rim is always left."""
    below, above = scale.length(part.rim_below_mm), scale.length(part.rim_above_mm)
    share = min(1, 0.9 * thickness / (below + above)) if below + above else 1
    return below * share, above * share


def _plate_shapes(
    part: DrawnPart, low: float, high: float, thickness: float, cuts: tuple[float, float, float]
) -> tuple[Shape, ...]:
    below, above, rebate = cuts
    if part.kind == "friction":
        return outlines.friction_plate(part, low, high)
    if part.kind == "wave":
        return outlines.wave_plate(part, low, thickness, high - low - thickness)
    if part.kind == "shim":
        return outlines.shim(part, low, high)
    if below or above:
        return outlines.rimmed_plate(part, low, high, (below, above))
    return outlines.rebated_plate(part, low, high, rebate) if rebate else outlines.steel_plate(part, low, high)


def _add_ring(pile: Pile, part: DrawnPart, place: _Place, scale: Scale) -> Pile:
    """A ring stands beside a friction plate rather than over it, as a friction plate leaves room for it."""
    thickness = scale.thickness(part)
    out = pile.shoulder.width if pile.shoulder is not None else 0
    over = place.over
    plate_over = isinstance(over, DrawnPart) and is_plate(over)
    cut = scale.length(over.rim_below_mm) if isinstance(over, DrawnPart) else 0
    beside = max(pile.rim + GAP, pile.plates - thickness + (cut or 1))
    low = (pile.rim if _last_is_shared(pile) else max(pile.rim, pile.plates)) + GAP + place.gap if place.gap else beside
    high = low + thickness
    # Beside a friction plate the line to the number runs over that plate, not through it.
    nested = high - pile.plates < thickness / 2
    anchor = Point(RING_RIGHT - 8 - out, high - 1 if nested else (low + high) / 2)
    shapes = outlines.ring(part, low, high, -out)
    placed = Placed(part, place.stack, shapes, anchor, low, high, give=0 if nested else max(thickness / 2 - 4, 0))
    notch = _ring_notch(part, low, high, loaded_up=not (plate_over or place.pushed_down))
    return replace(pile, placed=(*pile.placed, placed), rim=high, notches=(*pile.notches, notch))


def _ring_notch(part: DrawnPart, low: float, high: float, *, loaded_up: bool) -> Notch:
    """The groove of a ring that lies against the flank which takes the load; a bevelled ring lies against a sloped flank."""
    under, over = (_RING_PLAY, _TOUCH) if loaded_up else (_TOUCH, _RING_PLAY)
    if part.side_mark != "chamfer" or part.side_direction not in {"up", "down"}:
        return Notch(part.groove, low - under, high + over)
    deep, run = ring_bevel(RING_LEFT, RING_RIGHT, low, high)
    steep = deep / run
    mouth = (ROOT - RING_LEFT - run) * steep
    slope = (ROOT - GROOVE) * steep
    if part.side_direction == "up":
        return Notch(part.groove, low - _RING_PLAY, high + mouth + _TOUCH, slope=slope)
    return Notch(part.groove, low - mouth - _TOUCH, high + _RING_PLAY, slope=-slope)


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
    teeth = [((plate.high - plate.low) / 3 - _TOUCH, plate) for plate in free]
    cores = [(plate.low + depth, plate.high - depth) for depth, plate in teeth]
    shapes = outlines.hub(part, low, (web, high), right, sleeve, cores)
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


def _add_group(pile: Pile, group: PistonGroup, stack: int, gap: float, scale: Scale, *, may_step: bool, rings: float) -> Pile:
    """The pile with a piston and its parts; `rings` is how tall the rings are that hold it, through which a piston may push up."""
    base = max(pile.rim, pile.plates) + GAP + gap
    done: GroupPlaced
    over = group.upper or bool(group.piston.pistons)
    on_shoulder = group.piston.shoulder is not None or pile.ledge is not None
    if group.piston.pistons:
        level = pile.ledge if pile.ledge is not None else base
        done = housing_group(group, stack, level, pile.inner, scale, pile.shoulder, on_shoulder=on_shoulder, rings=rings)
    elif group.upper:
        done = upper_group(group, stack, base, pile.inner, scale, may_step=may_step)
    else:
        done = lower_group(group, stack, max(base - GAP, pile.inner), scale)
    return replace(
        pile,
        placed=(*pile.placed, *done.placed),
        notches=(*pile.notches, *done.notches),
        rim=done.top,
        plates=done.top,
        nose=done.nose or pile.nose,
        chambers=(*pile.chambers, *((stack, chamber) for chamber in done.chambers)),
        inner=max(pile.inner, done.top if over else done.boss),
        shoulder=done.shoulder if done.shoulder is not None else pile.shoulder,
        ledge=None,
        supports=pile.supports if over or not pile.placed else (*pile.supports, (base - GAP, done.boss)),
        smooth=pile.smooth if done.smooth is None else (*pile.smooth, done.smooth),
        boss=done.boss if not pile.placed else pile.boss,
    )
