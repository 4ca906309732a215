"""Entries made from the data files: stacks, limits, parts, words of the trade."""

from __future__ import annotations

from collections.abc import Iterator

from build_hooks.library import Library
from build_hooks.model import (
    Check,
    ClearanceSpec,
    Drum,
    Limits,
    Pack,
    Part,
    StackEntry,
    Unit,
    WaveState,
    Word,
    check_limits,
    check_name,
    drum_folder,
    drum_steps,
    line_up_sentence,
    parts_in,
)
from build_hooks.reading.measures import show_toleranced
from build_hooks.search.entry import Entry, Kind
from build_hooks.search.places import Places
from calc_engine import show

__all__ = ["data_entries", "limits_text", "word_entry"]


def data_entries(library: Library, places: Places) -> Iterator[Entry]:
    """The entries of every unit.

    Args:
        library: the units.
        places: where their stacks and limits stand.
    """
    for unit in library.units.values():
        for pack in unit.packs.values():
            if pack.physical_stack:
                yield _stack(unit, pack, places)
            if pack.clearance is not None:
                yield _spec(unit, f"{pack.name} clearance", pack.clearance, places.spec(unit, pack.id))
            yield from (
                _check(unit, pack, entry, entry.check, places)
                for entry in pack.physical_stack
                if entry.check is not None and entry.turn == 1
            )
        for drum in unit.drums.values():
            if drum.order:
                yield _drum(unit, drum, places)
        for found in unit.floats.values():
            yield _spec(unit, found.name, found.limits, places.spec(unit, found.id))
        for shaft in unit.shafts.values():
            yield _spec(unit, f"{shaft.name} end play", shaft.end_play, places.spec(unit, shaft.id))
        for part in unit.parts.values():
            yield _part(unit, part, places)


def word_entry(word: Word, url: str) -> Entry:
    """The entry of a word of the trade.

    Args:
        word: with its meaning.
        url: where the manual says most about it.
    """
    also = f"Also: {', '.join(word.also)}." if word.also else ""
    return Entry(Kind.WORD, word.id, "", url, word.meaning, also, " ".join(word.misspelt))


def limits_text(limits: Limits) -> str:
    """Limits as a reader wants them: ``0.90 to 1.40 mm``."""
    low, high = show(limits.min), show(limits.max)
    number, _, unit = low.rpartition(" ")
    return f"{number} to {high}" if high.endswith(f" {unit}") else f"{low} to {high}"


def _stack(unit: Unit, pack: Pack, places: Places) -> Entry:
    parts = pack.physical_stack
    clearance = f"; clearance {limits_text(pack.clearance)}" if pack.clearance else ""
    drum = f" in the {pack.drum.name.lower()}" if pack.drum else ""
    listed = dict.fromkeys(entry.part.name for entry in parts)
    warned = [said for entry in parts if entry.turn == 1 for said in _warnings(entry) if said]
    return Entry(
        Kind.STACK,
        f"{pack.name}: stack order",
        unit.name,
        places.stack(unit, pack.id),
        f"{len(parts)} parts{drum}, {pack.friction_count} of them friction plates{clearance}",
        ". ".join((f"In order: {', '.join(listed)}", *warned)),
        "order of parts list which way up side",
    )


def _drum(unit: Unit, drum: Drum, places: Places) -> Entry:
    """A whole drum, with its packs in the order they go in."""
    steps = drum_steps(unit, drum)
    packs = dict.fromkeys(step.pack.name for step in steps)
    return Entry(
        Kind.STACK,
        f"Whole {drum.name}: stack order",
        unit.name,
        places.stack(unit, drum_folder(drum)),
        f"{parts_in(steps)} parts: {', then '.join(packs)}",
        words="order of parts list assembly whole drum",
    )


def _warnings(entry: StackEntry) -> tuple[str | None, ...]:
    lined_up = None if entry.line_up is None else f"Line up {line_up_sentence(entry.line_up)}"
    return (entry.tell_apart, entry.wrong, lined_up, entry.note)


def _check(unit: Unit, pack: Pack, entry: StackEntry, check: Check, places: Places) -> Entry:
    """What is measured after a step, found as limits are."""
    return Entry(
        Kind.SPEC,
        f"{pack.name}: {check_name(check).lower()} after the {entry.part.name}",
        unit.name,
        places.stack(unit, pack.id),
        f"{check_limits(check)}. From {check.source}, revision {check.revision}",
        check.text,
        "check limits spec tolerance",
    )


def _spec(unit: Unit, title: str, limits: Limits, url: str) -> Entry:
    wave = limits.wave if isinstance(limits, ClearanceSpec) else None
    more = [
        f"wave plate {wave}" if wave in {WaveState.FLAT, WaveState.FREE} else "",
        f"target {show(limits.target)}" if limits.target else "",
        f"at {limits.at} position{'' if limits.at == 1 else 's'}" if limits.at else "",
        f"spread up to {show(limits.spread_limit)}" if limits.spread_limit else "",
    ]
    said = ", ".join((limits_text(limits), *(said for said in more if said)))
    return Entry(
        Kind.SPEC,
        title,
        unit.name,
        url,
        f"{said}. From {limits.source}, revision {limits.revision}",
        words="limits spec tolerance",
    )


def _part(unit: Unit, part: Part, places: Places) -> Entry:
    stands = [(pack, entry) for pack in unit.packs.values() for entry in pack.physical_stack if entry.part.id == part.id]
    kits = [kit for kit in unit.kits.values() if part in kit.choices]
    facts = [
        part.number,
        show_toleranced(part.thickness) if part.thickness else "",
        part.mark,
        f"not used below {show(part.worn_below)}" if part.worn_below else "",
        f"free height {show(part.free_height)}" if part.free_height else "",
        "always new" if part.once_only else "",
        f"place {stands[0][1].number} of the {stands[0][0].name}" if stands else "",
        f"one of {len(kits[0].choices)} sizes of the {kits[0].name}" if kits else "",
    ]
    alike = [unit.parts[name].name for name in part.look_alikes if name in unit.parts]
    told = [f"Don’t confuse it with {', '.join(alike)}" if alike else "", part.tell_apart or "", part.note or ""]
    return Entry(
        Kind.PART,
        part.name,
        unit.name,
        _part_url(unit, part, places),
        " · ".join(fact for fact in facts if fact),
        ". ".join(said for said in told if said),
        f"{part.number or ''} {str(part.kind).replace('-', ' ')} part number",
    )


def _part_url(unit: Unit, part: Part, places: Places) -> str:
    """The stack it stands in; for a size that is chosen, the stack or the limits that it sets; else the unit."""
    for pack in unit.packs.values():
        if any(entry.part.id == part.id for entry in pack.physical_stack):
            return places.stack(unit, pack.id)
    for kit in unit.kits.values():
        for target in (*kit.tightens, *kit.loosens):
            if part in kit.choices:
                return places.stack(unit, target) if target in unit.packs else places.spec(unit, target)
    return places.unit(unit)
