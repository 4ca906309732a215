"""Is each clearance measured at a point of the assembly where the pack is complete and can still be reached?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from build_hooks.checks.packs import Place, is_measure, places_of
from build_hooks.checks.values import UnitData
from build_hooks.model import PLATES
from build_hooks.model.written import WrittenPack
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, quoted

__all__ = ["measuring_faults"]

# A piston that comes in over the plates closes the pack, and so does whatever goes in with it.
_PISTON_SIDE: Final = frozenset({"piston", "return-spring", "retainer", "seal", "lip-seal"})
_LINE: Final = "“- measure: say what is read, and how”"


def measuring_faults(unit: UnitData) -> Iterator[Fault]:
    """Faults in where the packs of a unit are measured."""
    for pack_id, pack in unit.packs.items():
        stack = pack.get("stack")
        if stack is not None and stack.items:
            yield from _pack_faults(pack_id, pack, stack, unit)


def _pack_faults(pack_id: str, pack: Node, stack: Node, unit: UnitData) -> Iterator[Fault]:
    marks = [at for at, item in enumerate(stack.items) if is_measure(item)]
    if not pack.is_mapping or (pack.get("clearance") is None and not pack.lacks("clearance", WrittenPack.model_fields)):
        return
    if pack.get("clearance") is None:
        for at in marks[:1]:
            message = "The stack says where to measure, but the pack has no clearance."
            yield Fault(
                stack.items[at].mark, "measure-without-limits", message, "Add clearance: with its limits, or take it out."
            )
        return
    places = places_of(pack)
    if not marks:
        if not any(unit.kind_of(place.part_id) in PLATES for place in places):
            # Without a plate there is nothing to measure yet; what is missing is told elsewhere.
            return
        message = f"The stack of {quoted(pack_id)} does not say when its clearance is measured."
        yield Fault(stack.mark, "no-measure", message, f"Add the line {_LINE} {_where(pack_id, pack, places, unit)}.")
        return
    for at in marks[1:]:
        message = "This is a second place to measure; a pack has one clearance."
        yield Fault(stack.items[at].mark, "two-measures", message, "Keep the first place at which the pack is complete.")
    yield from _misplaced(stack.items[marks[0]], marks[0], _needed(pack_id, pack, places, unit), _covering(pack, places, unit))


def _misplaced(item: Node, at: int, needed: Sequence[Place], covering: Sequence[Place]) -> Iterator[Fault]:
    missing = [place for place in needed if place.at > at]
    if missing:
        message = f"The clearance is measured before {quoted(missing[-1].part_id or '')} is in."
        yield Fault(item.mark, "early-measure", message, f"Move this line below {_named(missing[-1])}.")
    covered = [place for place in covering if place.at < at]
    if covered:
        message = f"{quoted(covered[0].part_id or '')} covers the pack before its clearance is measured."
        yield Fault(item.mark, "late-measure", message, f"Move this line above {_named(covered[0])}.")


def _where(pack_id: str, pack: Node, places: Sequence[Place], unit: UnitData) -> str:
    """Where the line may go, as far as the data can tell."""
    needed, covering = _needed(pack_id, pack, places, unit), _covering(pack, places, unit)
    if needed:
        return f"below {_named(needed[-1])}"
    return f"above {_named(covering[0])}" if covering else "where the pack is complete and can be reached"


def _named(place: Place) -> str:
    name = quoted(place.part_id or "")
    return f"the repeat with {name}" if place.times > 1 else name


def _needed(pack_id: str, pack: Node, places: Sequence[Place], unit: UnitData) -> list[Place]:
    """What must be in when the clearance is measured: the plates, what holds them, and the parts that set the clearance."""
    if _is_added_up(pack):
        return []
    last = _last_friction(places, unit)
    closed = any(unit.kind_of(place.part_id) == "piston" for place in places[last:])
    chosen = _chosen_for(pack_id, unit)
    return [
        place
        for at, place in enumerate(places)
        if place.part_id in chosen
        or unit.kind_of(place.part_id) in PLATES
        # Without a piston over it, the pack is held by the rings that lie behind it.
        or (not closed and at > last and unit.kind_of(place.part_id) == "snap-ring")
    ]


def _covering(pack: Node, places: Sequence[Place], unit: UnitData) -> list[Place]:
    """What hides the pack, as far as the data can tell."""
    if _is_added_up(pack):
        # The empty cavity is measured, and each part by itself.
        return [place for place in places if unit.kind_of(place.part_id) in PLATES]
    method = pack.children["clearance"].text_of("method")
    kinds = _PISTON_SIDE | {"hub"} if method == "depth" else _PISTON_SIDE
    return [place for place in places[_last_friction(places, unit) :] if unit.kind_of(place.part_id) in kinds]


def _is_added_up(pack: Node) -> bool:
    clearance = pack.get("clearance")
    return clearance is not None and clearance.text_of("method") == "parts"


def _last_friction(places: Sequence[Place], unit: UnitData) -> int:
    """Which place holds the last friction plate; behind all where there is none."""
    found = [at for at, place in enumerate(places) if unit.kind_of(place.part_id) == "friction"]
    return found[-1] if found else len(places)


def _chosen_for(pack_id: str, unit: UnitData) -> frozenset[str]:
    """The sizes of the kits that set this pack."""
    return frozenset(
        choice.text or ""
        for kit in unit.kits.values()
        if pack_id in {target.text for key in ("tightens", "loosens") if (found := kit.get(key)) for target in found.items}
        if (choices := kit.get("choices")) is not None
        for choice in choices.items
    )
