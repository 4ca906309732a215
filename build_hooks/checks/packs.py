"""Do the packs, floats and shafts of a unit make sense: does everything exist that they name, can it go together so?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from build_hooks.checks.limits import check_faults, limit_faults
from build_hooks.checks.values import UnitData, unknown
from build_hooks.model import PLATES, ClearanceSpec, Drum
from build_hooks.model.written import SIGNAL_WORDS, WrittenEntry, WrittenMeasure, WrittenPack
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, listed, quoted

__all__ = ["MOST_PARTS", "Place", "float_faults", "is_measure", "pack_faults", "places_of", "shaft_faults"]

MOST_PARTS: Final = 200
_ENTRY_KEYS: Final = tuple(WrittenEntry.model_fields)
# Which way a piston pushes that is at an end of its pack.
_PUSH_FROM: Final = {"bottom": "up", "top": "down"}
_OPPOSITE: Final = {"up": "down", "down": "up"}


@dataclass(frozen=True, slots=True)
class Place:
    """One entry of a stack as it is written.

    Attributes:
        entry: the id or the mapping.
        part: where the id of the part stands; None if it is missing.
        at: which item of the stack it is, or is in, from 0.
        times: how many times it goes in.
    """

    entry: Node
    part: Node | None
    at: int
    times: int = 1

    @property
    def part_id(self) -> str | None:
        """The id of the part, if there is one."""
        return None if self.part is None else self.part.text


def places_of(pack: Node) -> tuple[Place, ...]:
    """The entries of a pack's stack in order; those of a repeat stand there once, with their number of times."""
    stack = pack.get("stack")
    places: list[Place] = []
    for at, item in enumerate(() if stack is None else stack.items):
        repeat, of = item.get("repeat"), item.get("of")
        if is_measure(item):
            continue
        if repeat is None and of is None:
            places.append(_place(item, at))
        else:
            times = repeat.value if repeat is not None and isinstance(repeat.value, int) else 1
            places.extend(_place(entry, at, times) for entry in (of.items if of is not None else ()))
    return tuple(places)


def is_measure(item: Node) -> bool:
    """Whether an item of a stack says where the clearance is measured, also if its key is misspelt."""
    if any(item.get(key) is not None for key in ("part", "repeat", "of")):
        return False
    return item.get("measure") is not None or item.misspelt("measure", WrittenMeasure.model_fields) is not None


def _place(entry: Node, at: int, times: int = 1) -> Place:
    return Place(entry, entry.get("part") if entry.is_mapping else entry, at, times)


def pack_faults(unit: UnitData) -> Iterator[Fault]:
    """Faults in the packs of a unit."""
    for pack in unit.packs.values():
        places = places_of(pack)
        yield from unknown(pack.get("drum"), unit.drums, "drum", "Add it to drums, or take it out.")
        yield from _stack_size(pack, places)
        for place in places:
            yield from unknown(place.part, unit.parts, "part", "Add it to parts.")
            yield from _groove(place, pack, unit)
            yield from _shoulder(place, pack, unit)
            yield from _caution(place.entry.get("caution"))
            check = place.entry.get("check")
            if check is not None and check.is_mapping:
                yield from check_faults(check, unit.gauges)
            if unit.tools is not None:
                yield from unknown(place.entry.get("tool"), unit.tools, "tool", "Add it to tools in shop.yml.")
        yield from _free_order(places)
        yield from _lips(places, unit, pack.text_of("pressed_from"))
        yield from _pressed(places, unit, pack.get("pressed_from"))
        yield from _bevels(places, pack, unit)
        yield from _groove_order(places, pack, unit)
        clearance = pack.get("clearance")
        if clearance is not None and clearance.is_mapping:
            yield from limit_faults(clearance, unit.gauges)
            yield from _wave(clearance, places, unit)


def float_faults(unit: UnitData) -> Iterator[Fault]:
    """Faults in the floats of a unit."""
    floats = unit.root.get("floats")
    for float_id, found in unit.floats.items():
        yield from _taken(floats, float_id, "float", {"pack": unit.packs})
        yield from unknown(found.get("drum"), unit.drums, "drum", "Add it to drums.")
        limits = found.get("limits")
        if limits is not None:
            yield from limit_faults(limits, unit.gauges)
            yield from _nothing_to_add_up(limits.get("method"))


def _nothing_to_add_up(method: Node | None) -> Iterator[Fault]:
    if method is not None and method.text == "parts":
        yield Fault(method.mark, "unfit-method", "A float has no parts to add up.", "Measure it by dial, feeler or depth.")


def _taken(things: Node | None, thing_id: str, thing: str, others: Mapping[str, Mapping[str, Node]]) -> Iterator[Fault]:
    """A fault if something else that a kit may name has the same id."""
    for other, known in others.items():
        if thing_id in known and things is not None:
            message = f"{quoted(thing_id)} is the id of a {other} and of a {thing}."
            yield Fault(things.keys[thing_id], "duplicate-id", message, "Rename one of them, so that a kit can name it.")


def shaft_faults(unit: UnitData) -> Iterator[Fault]:
    """Faults in the shafts of a unit."""
    shafts = unit.root.get("shafts")
    for shaft_id, shaft in unit.shafts.items():
        yield from _taken(shafts, shaft_id, "shaft", {"pack": unit.packs, "float": unit.floats})
        end_play = shaft.get("end_play")
        if end_play is not None:
            yield from limit_faults(end_play, unit.gauges)


def _stack_size(pack: Node, places: tuple[Place, ...]) -> Iterator[Fault]:
    stack = pack.get("stack")
    if stack is None:
        return
    if stack.value == ():
        yield Fault(stack.mark, "empty-stack", "The stack is empty.", "Write the parts in the order they go in.")
    for item in stack.items:
        of = item.get("of")
        if of is not None and of.value == ():
            yield Fault(of.mark, "empty-stack", "Nothing is repeated here.", "Write the parts that go in each time.")
    count = sum(place.times for place in places)
    if count > MOST_PARTS:
        message = f"The stack holds {count} parts; more than {MOST_PARTS} cannot be right."
        yield Fault(stack.mark, "too-many", message, "Check the repeats.")


def _listed(drum: Node | None, key: str) -> tuple[str, ...]:
    """The names in a list of a drum."""
    named = None if drum is None else drum.get(key)
    return () if named is None else tuple(node.text or "" for node in named.items)


def _groove_order(places: tuple[Place, ...], pack: Node, unit: UnitData) -> Iterator[Fault]:
    """Rings go in from the piston end on, so each is in a groove above those before it."""
    grooves = _listed(unit.drums.get(pack.text_of("drum") or ""), "grooves")
    highest: str | None = None
    for place in places:
        given = place.entry.get("groove")
        if given is None or given.text is None or given.text not in grooves:
            continue
        if highest is not None and grooves.index(given.text) < grooves.index(highest):
            message = f"The {quoted(given.text)} groove lies below the {quoted(highest)} groove, where a part is already."
            yield Fault(
                given.mark, "groove-order", message, "Correct the groove, the order of the stack, or grooves: of the drum."
            )
        else:
            highest = given.text


def _shoulder(place: Place, pack: Node, unit: UnitData) -> Iterator[Fault]:
    given = place.entry.get("shoulder")
    if given is None or given.text is None:
        return
    if pack.lacks("drum", WrittenPack.model_fields):
        message = f"A shoulder {quoted(given.text)} is named, but no drum."
        yield Fault(given.mark, "shoulder-without-drum", message, "Add drum: to the pack, or take the shoulder out.")
        return
    drum_id = pack.text_of("drum") or ""
    drum = unit.drums.get(drum_id)
    known = _listed(drum, "shoulders")
    if drum is not None and (known or drum.lacks("shoulders", Drum.model_fields)):
        remedy = f"Its shoulders: {', '.join(known)}." if known else "Add shoulders: to the drum."
        yield from unknown(given, known, "shoulder", remedy, where=drum_id)


def _lips(places: tuple[Place, ...], unit: UnitData, end: str | None) -> Iterator[Fault]:
    """A lip seal points to the chamber: up, where its piston pushes down. That is known of a housing, and of a pack with an end."""
    waiting: list[Place] = []
    for place in places:
        kind = unit.kind_of(place.part_id)
        part = unit.parts.get(place.part_id or "")
        pistons = None if part is None else part.get("pistons")
        if kind == "lip-seal":
            waiting.append(place)
        elif kind == "piston":
            pushes = () if pistons is None else tuple(item.text for item in pistons.items)
            for seal in waiting if pushes else ():
                yield from _lip(seal, pushes, f"no piston of {quoted(place.part_id or '')}", "correct pistons: of the housing")
            for seal in waiting if pistons is None and end in _PUSH_FROM else ():
                yield from _lip(
                    seal,
                    (_PUSH_FROM[end or ""],),
                    f"no piston of a pack that is pressed from the {end}",
                    "correct pressed_from: of the pack",
                )
            waiting = []


def _pressed(places: tuple[Place, ...], unit: UnitData, end: Node | None) -> Iterator[Fault]:
    """The piston of a pack goes in before its plates where it presses from the bottom, behind them where it presses from the top."""
    kinds = [unit.kind_of(place.part_id) for place in places]
    if end is None or end.text not in _PUSH_FROM or "piston" not in kinds or not PLATES.intersection(kinds):
        return
    at = kinds.index("piston")
    if end.text == "top" and not PLATES.intersection(kinds[:at]):
        message = f"The pack is pressed from the top, but {quoted(places[at].part_id or '')} goes in before its plates."
        yield Fault(end.mark, "piston-at-other-end", message, "Write pressed_from: bottom, or correct the order of the stack.")
    elif end.text == "bottom" and not PLATES.intersection(kinds[at:]):
        message = f"The pack is pressed from the bottom, but {quoted(places[at].part_id or '')} goes in behind its plates."
        # A housing over the plates may hold the piston of the pack above: then this one's own is elsewhere.
        if "down" in _pushes(places[at], unit) or not _pushes(places[at], unit):
            yield Fault(end.mark, "piston-at-other-end", message, "Write pressed_from: top, or correct the order of the stack.")


def _pushes(place: Place, unit: UnitData) -> tuple[str, ...]:
    """Which way the pistons of a housing push."""
    part = unit.parts.get(place.part_id or "")
    pistons = None if part is None else part.get("pistons")
    return () if pistons is None else tuple(item.text or "" for item in pistons.items)


def _bevels(places: tuple[Place, ...], pack: Node, unit: UnitData) -> Iterator[Fault]:
    """A bevelled ring wedges in its groove by the flank that takes the load, so its bevel looks the way it is pushed.

    What holds the pack behind its last plate is pushed up; what carries a pack that is pressed from the top is pushed down.
    Common practice, no source.
    """
    end = pack.text_of("pressed_from")
    grooves = _listed(unit.drums.get(pack.text_of("drum") or ""), "grooves")
    plates = [at for at, place in enumerate(places) if unit.kind_of(place.part_id) in PLATES]
    if end not in _PUSH_FROM or not plates:
        return
    for at, place in enumerate(places):
        side = place.entry.get("side")
        if side is None or unit.kind_of(place.part_id) != "snap-ring" or place.entry.text_of("groove") not in grooves:
            continue
        pushed = "up" if at > plates[-1] else "down" if at < plates[0] and end == "top" else None
        if pushed is not None and side.text == f"chamfer {_OPPOSITE[pushed]}":
            message = f"The bevel of {quoted(place.part_id or '')} looks {_OPPOSITE[pushed]}, but the ring is pushed {pushed}."
            yield Fault(side.mark, "bevel-off-load", message, f"Write chamfer {pushed}, or correct pressed_from: of the pack.")


def _lip(seal: Place, pushes: tuple[str | None, ...], nothing: str, else_mend: str) -> Iterator[Fault]:
    side = seal.entry.get("side")
    said = (side.text or "").split() if side is not None else []
    if side is None or len(said) != 2 or said[0] != "lip" or said[1] not in _OPPOSITE:  # noqa: PLR2004
        return
    needed = _OPPOSITE[said[1]]
    if needed not in pushes and set(pushes) <= set(_OPPOSITE):
        message = f"The lip points {said[1]}, but {nothing} pushes {needed}: there is no chamber on that side."
        yield Fault(side.mark, "lip-off-chamber", message, f"Write lip {needed}, or {else_mend}.")


def _groove(place: Place, pack: Node, unit: UnitData) -> Iterator[Fault]:
    drum_id = pack.text_of("drum")
    drum = unit.drums.get(drum_id or "")
    grooves, boss_grooves = _listed(drum, "grooves"), _listed(drum, "boss_grooves")
    known = (*grooves, *boss_grooves)
    given = place.entry.get("groove")
    if given is not None and given.text is not None:
        if pack.lacks("drum", WrittenPack.model_fields):
            message = f"A groove {quoted(given.text)} is named, but no drum."
            yield Fault(given.mark, "groove-without-drum", message, "Add drum: to the pack, or take the groove out.")
        elif drum is not None and (known or drum.lacks("grooves", Drum.model_fields)):
            remedy = f"Its grooves: {', '.join(known)}." if known else "Add grooves: to the drum."
            yield from unknown(given, known, "groove", remedy, where=drum_id or "")
    elif (
        grooves
        and unit.kind_of(place.part_id) == "snap-ring"
        and all(place.entry.lacks(key, _ENTRY_KEYS) for key in ("groove", "place"))
    ):
        message = f"The snap ring {quoted(place.part_id or '')} has no groove, and {quoted(drum_id or '')} has grooves."
        remedy = f"Add groove: {listed(grooves)}; for a ring in another part say with place: where it sits."
        yield Fault(place.entry.mark, "no-groove", message, remedy)


def _free_order(places: tuple[Place, ...]) -> Iterator[Fault]:
    """Parts that may go in at any time before or after a part that is on the wrong side of them, or not in this stack."""
    ids = [place.part_id for place in places]
    for number, place in enumerate(places):
        early, late = ids[:number], ids[number + 1 :]
        ways = (("any_time_before", late, early, "below"), ("any_time_after", early, late, "above"))
        for key, there, elsewhere, where in ways:
            other = place.entry.get(key)
            if other is None or other.text is None:
                continue
            if other.text not in there or other.text in elsewhere:
                here = quoted(place.part_id or "")
                stands = f"stands on both sides of {here}" if other.text in there else f"does not stand {where} {here}"
                message = f"{quoted(other.text)} {stands} in this stack."
                remedy = "Name a part that does, or move one of them: the list itself must be in an order that works."
                yield Fault(other.mark, "crossed-order", message, remedy)
            if place.times > 1 or ids.count(place.part_id) > 1:
                message = f"{quoted(place.part_id or '')} goes in more than once, so its place in the order cannot be free."
                yield Fault(place.entry.keys[key], "not-alone", message, f"Take {quoted(key)} out.")


def _caution(caution: Node | None) -> Iterator[Fault]:
    if caution is None or not caution.is_mapping:
        return
    if not caution.children:
        yield Fault(
            caution.mark, "no-signal-word", "The caution says nothing.", "Write danger, warning, caution or notice, and its text."
        )
    for mark in sorted(mark for word, mark in caution.keys.items() if word in SIGNAL_WORDS)[1:]:
        yield Fault(
            mark, "two-signal-words", "This is a second signal word.", "Keep the stronger one, with both texts if need be."
        )


def _wave(clearance: Node, places: tuple[Place, ...], unit: UnitData) -> Iterator[Fault]:
    kinds = [unit.kind_of(place.part_id) for place in places]
    given = clearance.get("wave")
    if "wave" in kinds and clearance.lacks("wave", ClearanceSpec.model_fields):
        message = "The pack has a wave plate, but the limits do not say for which state of it they are."
        yield Fault(clearance.mark, "no-wave-state", message, "Add wave: free or wave: flat.")
    # A part that is unknown or has no kind could be the wave plate.
    if given is not None and kinds and None not in kinds and "wave" not in kinds:
        message = "A state of the wave plate is given, but no wave plate is in the stack."
        yield Fault(given.mark, "no-wave-plate", message, "Take “wave” out, or add the wave plate to the stack.")
