"""From the unit as written to the unit as used. The data has been checked before: every id is known."""

from __future__ import annotations

from collections.abc import Mapping

from build_hooks.model.parts import Drum, Part
from build_hooks.model.unit import Caution, Float, Measure, Pack, Repeat, SelectiveKit, StackEntry, Unit
from build_hooks.model.written import (
    SIGNAL_WORDS,
    WrittenCaution,
    WrittenEntry,
    WrittenKit,
    WrittenMeasure,
    WrittenPack,
    WrittenRepeat,
    WrittenUnit,
)

__all__ = ["resolved_unit"]


def resolved_unit(unit_id: str, written: WrittenUnit) -> Unit:
    """The unit with every id replaced by the thing that it names.

    Args:
        unit_id: the name of its folder.
        written: the checked data.
    """
    packs = {pack.id: _pack(pack, written.drums, written.parts) for pack in written.packs.values()}
    return Unit(
        id=unit_id,
        name=written.name,
        about=written.about,
        invented=written.invented,
        status=written.status,
        drums=written.drums,
        parts=written.parts,
        packs=packs,
        floats={
            found.id: Float(found.id, found.name, written.drums[found.drum], found.limits) for found in written.floats.values()
        },
        shafts=written.shafts,
        kits={kit.id: _kit(kit, written.parts, packs) for kit in written.selective.values()},
        gear_set=written.gear_set,
    )


def _pack(written: WrittenPack, drums: Mapping[str, Drum], parts: Mapping[str, Part]) -> Pack:
    stack: list[StackEntry | Repeat] = []
    measure: Measure | None = None
    number = 1
    for item in written.stack:
        if isinstance(item, WrittenRepeat):
            of = [_entry(number + place, turn, parts, item.repeat) for place, turn in enumerate(item.of)]
            stack.append(Repeat(item.repeat, tuple(of)))
            number += item.repeat * len(of)
        elif isinstance(item, WrittenMeasure):
            measure = Measure(number - 1, item.measure, item.hold, _caution(item.caution), item.note)
        else:
            stack.append(_entry(number, item, parts))
            number += 1
    drum = None if written.drum is None else drums[written.drum]
    ends = (written.pressed_from, written.cavity, written.grip)
    return Pack(written.id, written.name, drum, tuple(stack), written.clearance, measure, *ends)


def _entry(number: int, item: str | WrittenEntry, parts: Mapping[str, Part], turns: int = 1) -> StackEntry:
    written = WrittenEntry(part=item) if isinstance(item, str) else item
    part = parts[written.part]
    return StackEntry(
        number=number,
        part=part,
        place=written.place,
        side=written.side,
        lubricant=written.lubricant,
        groove=written.groove,
        tell_apart=written.tell_apart or part.tell_apart,
        wrong=written.wrong,
        once_only=part.once_only if written.once_only is None else written.once_only,
        hold=written.hold,
        caution=_caution(written.caution),
        note=written.note,
        turns=turns,
        any_time_before=written.any_time_before,
        any_time_after=written.any_time_after,
        tool=written.tool,
        shoulder=written.shoulder,
        line_up=written.line_up,
        check=written.check,
    )


def _caution(written: WrittenCaution | None) -> Caution | None:
    if written is None:
        return None
    return next((Caution(word, text) for word in SIGNAL_WORDS if (text := getattr(written, word)) is not None), None)


def _kit(written: WrittenKit, parts: Mapping[str, Part], packs: Mapping[str, Pack]) -> SelectiveKit:
    touched = [packs[target] for target in (*written.tightens, *written.loosens) if target in packs]
    standing = (entry.part for pack in touched for entry in pack.physical_stack)
    return SelectiveKit(
        id=written.id,
        name=written.name,
        choices=tuple(parts[choice] for choice in written.choices),
        tightens=written.tightens,
        loosens=written.loosens,
        stock=written.stock,
        fitted=next((part for part in standing if part.id in written.choices), None),
    )
