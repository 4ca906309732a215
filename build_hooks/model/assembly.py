"""The order in which a pack, or a whole drum with all its packs, goes together: one step for each part and each place to measure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from build_hooks.model.parts import Drum, OrderPiece, PartKind
from build_hooks.model.unit import Measure, Pack, StackEntry, Unit

__all__ = ["MeasureStep", "PartStep", "Step", "begins_with", "drum_folder", "drum_steps", "pack_steps", "parts_in"]

# What two packs can share: a plate that both push against.
_SHARED_KINDS: Final = frozenset((PartKind.REACTION, PartKind.BACKING, PartKind.PRESSURE))


@dataclass(frozen=True, slots=True)
class PartStep:
    """A part goes in.

    Attributes:
        pack: the pack that it is listed in.
        entry: the part in its place.
        number: its place in the whole order, from 1.
        already_in: it is shared with a pack that went in before, and has the number that it got there.
    """

    pack: Pack
    entry: StackEntry
    number: int
    already_in: bool = False


@dataclass(frozen=True, slots=True)
class MeasureStep:
    """The clearance of a pack is measured.

    Attributes:
        pack: the pack.
        measure: how.
        parts_in: how many parts are in by then, those of other packs too.
    """

    pack: Pack
    measure: Measure
    parts_in: int


type Step = PartStep | MeasureStep


def drum_folder(drum: Drum) -> str:
    """What the whole of a drum is called in addresses beside its packs: no pack can have that id."""
    return f"drum_{drum.id}"


def begins_with(pack: Pack, other: Pack) -> tuple[str, ...]:
    """The id of the plate on which a pack goes on from another: the first of its stack, which the other has once; else nothing."""
    first = next(iter(pack.physical_stack), None)
    if pack.id == other.id or first is None or first.part.kind not in _SHARED_KINDS:
        return ()
    uses = sum(entry.part.id == first.part.id for entry in other.physical_stack)
    return (first.part.id,) if uses == 1 else ()


def parts_in(steps: Sequence[Step]) -> int:
    """How many parts some steps put in; one that two packs share counts once."""
    return sum(isinstance(step, PartStep) and not step.already_in for step in steps)


def pack_steps(pack: Pack) -> tuple[Step, ...]:
    """The steps of one pack, numbered as its stack is."""
    return _numbered([(pack, 0, len(pack.physical_stack))])


def drum_steps(unit: Unit, drum: Drum) -> tuple[Step, ...]:
    """The steps of a whole drum, in the order that its data gives; none where it gives no order."""
    return _numbered([_piece(unit, piece) for piece in drum.order])


def _piece(unit: Unit, piece: str | OrderPiece) -> tuple[Pack, int, int]:
    """A pack, and which of its parts go in: from the first number up to, and without, the second."""
    if isinstance(piece, str):
        return unit.packs[piece], 0, len(unit.packs[piece].physical_stack)
    pack = unit.packs[piece.pack]
    ids = [entry.part.id for entry in pack.physical_stack]
    start = 0 if piece.first is None else ids.index(piece.first)
    return pack, start, len(ids) if piece.last is None else len(ids) - ids[::-1].index(piece.last)


def _numbered(pieces: Sequence[tuple[Pack, int, int]]) -> tuple[Step, ...]:
    steps: list[Step] = []
    numbers: dict[tuple[str, str], int] = {}
    packs = list({pack.id: pack for pack, *_ in pieces}.values())
    last = 0
    for pack, start, end in pieces:
        for at, entry in enumerate(pack.physical_stack[start:end], start):
            steps += _measured(pack, at, last, start)
            number = next(
                (numbers[other.id, part] for other in packs for part in _on(pack, at, other) if (other.id, part) in numbers), None
            )
            if number is None:
                last += 1
            steps.append(PartStep(pack, entry, number or last, number is not None))
            numbers.setdefault((pack.id, entry.part.id), number or last)
        steps += _measured(pack, end, last, start)
    return tuple(steps)


def _on(pack: Pack, at: int, other: Pack) -> tuple[str, ...]:
    """The plate that a pack begins with, if this is it and another pack has it."""
    return begins_with(pack, other) if at == 0 else ()


def _measured(pack: Pack, at: int, last: int, start: int) -> Iterator[Step]:
    """The place to measure, behind as many parts of the pack; at the start of a later piece it is behind the piece before."""
    if pack.measure is not None and pack.measure.after == at and (at > start or at == 0):
        yield MeasureStep(pack, pack.measure, last)
