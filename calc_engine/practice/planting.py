"""Every single mistake that can be planted in a pack, and what a stack with it looks like."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from calc_engine.practice.part_kinds import PLATES
from calc_engine.practice.seen import Row, labels, same_look
from calc_engine.practice.unit import Entry, ExerciseUnit, Pack, Part, has_way_round, turned_over

__all__ = ["Planted", "fair_faults", "sound_rows"]

# One of these can be left out and the rest still goes together.
_CAN_BE_MISSED: Final = PLATES | {"snap-ring", "shim"}


@dataclass(frozen=True, slots=True)
class Planted:
    """A stack with one mistake.

    Attributes:
        kind: which mistake, see `effects.FAULTS`.
        at: the number at which the stack first leaves the list, from 1.
        rows: the stack.
        entry: the entry of the list that the mistake happened to.
        other: the groove it sits in, or the name of the part that stands there instead.
        labels: a label for each part that stands in it or should, by id.
    """

    kind: str
    at: int
    rows: tuple[Row, ...]
    entry: Entry
    labels: Mapping[str, str]
    other: str | None = None


def sound_rows(pack: Pack) -> tuple[Row, ...]:
    """The stack as it should be."""
    return tuple(_row(entry) for entry in pack.entries)


def fair_faults(unit: ExerciseUnit, pack: Pack) -> tuple[Planted, ...]:
    """The mistakes that can be told from the stack alone, each in one way.

    Left out are those that give the sound stack, and those that give the same stack as another mistake or as the same mistake at
    another number. The labels tell all parts of a stack apart, so two stacks that differ look different.

    Args:
        unit: the unit that the pack belongs to.
        pack: whose stack is shown.
    """
    names = labels(pack.parts)
    if names is None:
        return ()
    found = [fault for one in (_flipped, _swapped, _grooves, _left_out, _counts) for fault in one(pack, names)]
    found.extend(_look_alikes(unit, pack))
    sound = _look(sound_rows(pack))
    told: dict[_Look, set[tuple[str, int]]] = {}
    for fault in found:
        told.setdefault(_look(fault.rows), set()).add((fault.kind, fault.at))
    return tuple(fault for fault in found if _look(fault.rows) != sound and len(told[_look(fault.rows)]) == 1)


type _Look = tuple[tuple[str, str | None, str | None], ...]


def _look(rows: tuple[Row, ...]) -> _Look:
    """What tells one stack from another: ids, sides and grooves. The labels are as different as the ids."""
    return tuple((row.part.id, row.side, row.groove) for row in rows)


def _row(entry: Entry) -> Row:
    return Row(entry.part, entry.side if has_way_round(entry.side) else None, entry.groove)


def _with(pack: Pack, place: int, row: Row) -> tuple[Row, ...]:
    rows = sound_rows(pack)
    return (*rows[:place], row, *rows[place + 1 :])


def _flipped(pack: Pack, names: Mapping[str, str]) -> Iterator[Planted]:
    for place, entry in enumerate(pack.entries):
        if entry.side is not None and has_way_round(entry.side):
            turned = Row(entry.part, turned_over(entry.side), entry.groove)
            yield Planted("flipped", place + 1, _with(pack, place, turned), entry, names)


def _swapped(pack: Pack, names: Mapping[str, str]) -> Iterator[Planted]:
    for place, (entry, following) in enumerate(zip(pack.entries, pack.entries[1:], strict=False)):
        both_plates = entry.part.kind in PLATES and following.part.kind in PLATES
        if both_plates and entry.part.id != following.part.id:
            rows = sound_rows(pack)
            swapped = (*rows[:place], rows[place + 1], rows[place], *rows[place + 2 :])
            yield Planted("swapped", place + 1, swapped, entry, names, following.part.name)


def _grooves(pack: Pack, names: Mapping[str, str]) -> Iterator[Planted]:
    """A ring in a groove nearer the open end than its own, and that nothing else of the pack sits in.

    The grooves behind its own are covered by what went in before it, so no ring gets there; in a taken groove either ring could be
    the wrong one.
    """
    taken = {entry.groove for entry in pack.entries}
    for place, entry in enumerate(pack.entries):
        if entry.groove is None or entry.part.kind != "snap-ring":
            continue
        for groove in pack.grooves[pack.grooves.index(entry.groove) + 1 :]:
            if groove not in taken:
                row = Row(entry.part, _row(entry).side, groove)
                yield Planted("groove", place + 1, _with(pack, place, row), entry, names, groove)


def _left_out(pack: Pack, names: Mapping[str, str]) -> Iterator[Planted]:
    rows = sound_rows(pack)
    for place, entry in enumerate(pack.entries):
        if entry.part.kind in _CAN_BE_MISSED and pack.count_of(entry.part) == 1 and len(rows) > 1:
            yield Planted("left-out", place + 1, (*rows[:place], *rows[place + 1 :]), entry, names)


def _counts(pack: Pack, names: Mapping[str, str]) -> Iterator[Planted]:
    """A turn too many or too few of a repeat of plates; the number is where the list is first left, whichever turn is meant."""
    rows = sound_rows(pack)
    for first, size, times in pack.repeats:
        turn, after = rows[first : first + size], first + size * times
        if any(row.part.kind not in PLATES for row in turn):
            continue
        for changed in ((*rows[:after], *turn, *rows[after:]), (*rows[: after - size], *rows[after:])):
            at = _first_difference(rows, changed)
            yield Planted("count", at, changed, pack.entries[first], names)


def _first_difference(rows: tuple[Row, ...], changed: tuple[Row, ...]) -> int:
    both = zip(rows, changed, strict=False)
    shorter = min(len(rows), len(changed))
    return next((number for number, (row, other) in enumerate(both, 1) if row != other), shorter + 1)


def _look_alikes(unit: ExerciseUnit, pack: Pack) -> Iterator[Planted]:
    """A look-alike in the place of a part. Another size of the same kit is no mistake, and one that differs in nothing is none."""
    for part in pack.parts:
        for other in _mistaken_for(unit, part):
            names = labels(tuple({each.id: each for each in (*pack.parts, other)}.values()))
            if names is None:
                continue
            for place, entry in enumerate(pack.entries):
                if entry.part.id == part.id:
                    row = Row(other, _own_side(unit, other) if has_way_round(entry.side) else None, entry.groove)
                    yield Planted("look-alike", place + 1, _with(pack, place, row), entry, names, other.name)


def _mistaken_for(unit: ExerciseUnit, part: Part) -> tuple[Part, ...]:
    """The look-alikes of a part that are another part and can be told from it."""
    kit = unit.kit_of(part)
    sizes = {size.id for size in kit.choices} if kit else set()
    others = (unit.parts[name] for name in part.look_alikes if name not in sizes)
    return tuple(other for other in others if not same_look(other, part))


def _own_side(unit: ExerciseUnit, part: Part) -> str | None:
    """The way round that a part shows where it belongs: it need not have the mark of the part it stands for."""
    uses = (entry for pack in unit.packs.values() for entry in pack.entries if entry.part.id == part.id)
    return next((entry.side for entry in uses if has_way_round(entry.side)), None)
