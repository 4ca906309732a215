"""From unit data to what the drawing is made from. The only module here that knows of the model."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from build_hooks.drawing.grouping import PistonGroup, grouped, is_plate
from build_hooks.drawing.parts import (
    ChamferedEdge,
    DrawnClearance,
    DrawnHole,
    DrawnPart,
    DrawnStack,
    Edge,
    End,
    Holders,
    Push,
    Through,
)
from build_hooks.model import (
    BallPlace,
    ClearanceSpec,
    Drum,
    FeedWay,
    Pack,
    PackEnd,
    Part,
    PartKind,
    PartStep,
    StackEntry,
    Unit,
    begins_with,
    drum_steps,
)
from build_hooks.model import ChamferedEdge as ModelEdge
from build_hooks.model import Push as ModelPush
from build_hooks.reading.measures import show_limits
from calc_engine import Quantity

__all__ = ["drum_stacks", "linked_packs", "linked_stacks", "pack_stack"]

_CHAMFERS: Final[Mapping[ModelEdge, ChamferedEdge]] = {ModelEdge.OUTER: "outer", ModelEdge.INNER: "inner", ModelEdge.BOTH: "both"}
_WAYS: Final[Mapping[FeedWay, Through]] = {FeedWay.BOSS: "boss", FeedWay.WALL: "wall"}
_PLACES: Final[Mapping[BallPlace, Through]] = {BallPlace.FLOOR: "floor", BallPlace.WALL: "wall"}
_ENDS: Final[Mapping[PackEnd, End]] = {PackEnd.BOTTOM: "bottom", PackEnd.TOP: "top"}
_PUSHES: Final[Mapping[ModelPush, Push]] = {ModelPush.UP: "up", ModelPush.DOWN: "down"}


def pack_stack(unit: Unit, pack_id: str) -> DrawnStack:
    """One pack, its parts numbered as its steps are.

    Args:
        unit: the unit.
        pack_id: id of the pack.

    Returns:
        The pack for the drawing.
    """
    pack = unit.packs[pack_id]
    numbers = {at: entry.number for at, entry in enumerate(pack.physical_stack)}
    return _stack(unit, pack, numbers)


def linked_packs(unit: Unit, pack_id: str) -> tuple[Pack, ...]:
    """A pack with those that share a plate with it, from the bottom of their drum up.

    Args:
        unit: the unit.
        pack_id: id of the pack.

    Returns:
        The packs; the pack alone when it shares nothing.
    """
    linked = {pack_id}
    packs = _packs_of_drum(unit, pack_id)
    while True:
        more = {pack.id for pack in packs for other in packs if other.id in linked and _shared_by(pack, other)} - linked
        if not more:
            break
        linked |= more
    return tuple(pack for pack in packs if pack.id in linked)


def linked_stacks(unit: Unit, pack_id: str) -> tuple[DrawnStack, ...]:
    """The packs of `linked_packs` for one drawing, numbered through.

    Args:
        unit: the unit.
        pack_id: id of the pack.

    Returns:
        One stack for each of them, in the same order; a pack alone keeps its own numbers.
    """
    packs = linked_packs(unit, pack_id)
    return _numbered_through(unit, packs) if len(packs) > 1 else (pack_stack(unit, pack_id),)


def drum_stacks(unit: Unit, drum: Drum) -> tuple[DrawnStack, ...]:
    """All packs of a drum for one drawing, numbered in the order in which the whole drum goes together.

    Args:
        unit: the unit.
        drum: one whose data gives that order.

    Returns:
        One stack for each pack, from the bottom of the drum up.
    """
    numbers: dict[str, dict[int, int]] = {}
    for step in drum_steps(unit, drum):
        if isinstance(step, PartStep):
            numbers.setdefault(step.pack.id, {})[step.entry.number - 1] = step.number
    return tuple(_stack(unit, pack, numbers[pack.id]) for pack in _packs_in(unit, drum) if pack.id in numbers)


def _packs_of_drum(unit: Unit, pack_id: str) -> list[Pack]:
    """The packs of the same drum, by the grooves that hold them; a pack without a drum is alone."""
    drum = unit.packs[pack_id].drum
    return [unit.packs[pack_id]] if drum is None else _packs_in(unit, drum)


def _packs_in(unit: Unit, drum: Drum) -> list[Pack]:
    """The packs of a drum, by the grooves that hold them."""
    packs = [pack for pack in unit.packs.values() if pack.drum is not None and pack.drum.id == drum.id]
    places = {name: at for at, name in enumerate(drum.grooves)}

    def highest(pack: Pack) -> int:
        return max((places.get(entry.groove or "", -1) for entry in pack.physical_stack), default=-1)

    return sorted(packs, key=highest)


def _shared_by(pack: Pack, other: Pack) -> frozenset[str]:
    """Ids of the plates that stand between two packs: one stack begins with it, and the other has it once."""
    if pack.id == other.id:
        return frozenset()
    return frozenset((*begins_with(pack, other), *begins_with(other, pack)))


def _numbered_through(unit: Unit, packs: Sequence[Pack]) -> tuple[DrawnStack, ...]:
    """The packs with one run of numbers; a shared plate keeps the number under which it goes in first."""
    given: dict[str, int] = {}
    last = 0
    stacks: list[DrawnStack] = []
    for pack in packs:
        shared = _shared_ids(unit, pack)
        numbers: dict[int, int] = {}
        for at, entry in enumerate(pack.physical_stack):
            if entry.part.id in shared and entry.part.id in given:
                numbers[at] = given[entry.part.id]
                continue
            last += 1
            numbers[at] = last
            if entry.part.id in shared:
                given[entry.part.id] = last
        stacks.append(_stack(unit, pack, numbers))
    return tuple(stacks)


def _shared_ids(unit: Unit, pack: Pack) -> frozenset[str]:
    return frozenset(part for other in _packs_of_drum(unit, pack.id) for part in _shared_by(pack, other))


def _stack(unit: Unit, pack: Pack, numbers: Mapping[int, int]) -> DrawnStack:
    shared = _shared_ids(unit, pack)
    measured = None if pack.measure is None else pack.measure.after - 1
    parts = tuple(
        replace(_part(entry, numbers[at], shared, pack.drum), measured_next=at == measured)
        for at, entry in enumerate(pack.physical_stack)
    )
    end = None if pack.pressed_from is None else _ENDS[pack.pressed_from]
    about = f"{unit.name}, {unit.about}." if unit.about else f"{unit.name}."
    return DrawnStack(
        title=pack.name,
        description=about,
        drum_name=None if pack.drum is None else pack.drum.name,
        grooves=() if pack.drum is None else pack.drum.grooves,
        parts=parts,
        clearance=None if pack.clearance is None else _clearance(parts, pack.clearance, end),
        holders=_holders(unit, pack),
        windows=pack.drum is not None and pack.drum.windows is not None,
        on_floor=_packs_of_drum(unit, pack.id)[0].id == pack.id or _starts_with_piston(parts, end),
        pressed_from=end,
        holes=_holes(pack),
    )


def _holes(pack: Pack) -> tuple[DrawnHole, ...]:
    """The holes of its drum that lead to the chamber of its piston."""
    if pack.drum is None:
        return ()
    feeds = (DrawnHole(feed.name, _WAYS[feed.through]) for feed in pack.drum.feeds if feed.chamber == pack.id)
    balls = (DrawnHole(ball.name, _PLACES[ball.place], ball=True) for ball in pack.drum.check_balls if ball.chamber == pack.id)
    return (*feeds, *balls)


def _holders(unit: Unit, pack: Pack) -> Holders:
    """The rings of another pack between which the plate stands that this pack begins with."""
    first = next(iter(pack.physical_stack), None)
    if first is None:
        return Holders()
    owners = (other for other in _packs_of_drum(unit, pack.id) if first.part.id in begins_with(pack, other))
    for other in owners:
        entries = other.physical_stack
        at = next(place for place, entry in enumerate(entries) if entry.part.id == first.part.id)
        below, above = (_ring_at(entries, place, other.drum) for place in (at - 1, at + 1))
        spec = other.clearance
        gap = None if spec is None else float((spec.min.base + spec.max.base) / 2)
        return Holders(below, above, gap)
    return Holders()


def _ring_at(entries: Sequence[StackEntry], at: int, drum: Drum | None) -> DrawnPart | None:
    if not 0 <= at < len(entries) or entries[at].part.kind is not PartKind.SNAP_RING:
        return None
    return _part(entries[at], entries[at].number, frozenset(), drum)


def _part(entry: StackEntry, number: int, shared: frozenset[str], drum: Drum | None) -> DrawnPart:
    part, side = entry.part, entry.side
    return DrawnPart(
        number=number,
        part_id=part.id,
        name=part.name,
        kind=part.kind.value,
        thickness_mm=None if part.thickness is None else _millimetres(part.thickness.nominal),
        free_height_mm=None if part.free_height is None else _millimetres(part.free_height),
        teeth=part.toothed.value,
        side_mark=None if side is None else side.mark,
        side_direction=None if side is None else side.direction,
        groove=entry.groove,
        edge=_edge(part),
        once_only=entry.once_only,
        look_alike=bool(part.look_alikes),
        shared=part.id in shared,
        in_boss=drum is not None and entry.groove in drum.boss_grooves,
        shoulder=entry.shoulder,
        waves=part.waves,
        rim_below_mm=0 if part.rim_below is None else _millimetres(part.rim_below),
        rim_above_mm=0 if part.rim_above is None else _millimetres(part.rim_above),
        chamfer="outer" if part.chamfer is None else _CHAMFERS[part.chamfer],
        pistons=tuple(_PUSHES[push] for push in part.pistons),
        check_ball=part.check_ball,
    )


def _millimetres(length: Quantity) -> float:
    return float(length.base)


def _edge(part: Part) -> Edge | None:
    """Which edge of its piston a seal goes on: by the one diameter it has, else by its name."""
    if part.kind not in {PartKind.SEAL, PartKind.LIP_SEAL}:
        return None
    if (part.inner is None) != (part.outer is None):
        return "outer" if part.inner is None else "inner"
    words = {*part.id.split("-"), *part.name.casefold().split()}
    return "inner" if "inner" in words else "outer" if "outer" in words else None


def _starts_with_piston(parts: Sequence[DrawnPart], end: End | None) -> bool:
    return any(isinstance(item, PistonGroup) and not item.upper for item in grouped(parts, end))


def _clearance(parts: Sequence[DrawnPart], spec: ClearanceSpec, end: End | None) -> DrawnClearance | None:
    """Between the pack and what stops it.

    That is the piston where it stands over the pack, else the last ring behind the friction plates; without either it is the last plate.
    """
    piston = next((item.piston for item in grouped(parts, end) if isinstance(item, PistonGroup) and item.upper), None)
    at = len(parts) if piston is None else parts.index(piston)
    last_friction = max((index for index, part in enumerate(parts) if part.kind == "friction"), default=0)
    rings = [index for index, part in enumerate(parts) if part.kind == "snap-ring" and index > last_friction]
    plates = [index for index, part in enumerate(parts) if is_plate(part)]
    above = at if piston is not None else rings[-1] if rings else plates[-1] if plates else 0
    below = [index for index in plates if index < above]
    if not below:
        return None
    middle = float((spec.min.base + spec.max.base) / 2)
    return DrawnClearance(show_limits(spec.min, spec.max), parts[below[-1]].number, parts[above].number, middle)
