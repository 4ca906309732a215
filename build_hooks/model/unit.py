"""A unit as the pages use it: every id replaced by the thing that it names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from build_hooks.model.fields import Side
from build_hooks.model.gears import GearSet, Grip
from build_hooks.model.parts import Check, ClearanceSpec, Drum, Limits, LineUp, PackEnd, Part, PartKind, Shaft, Status
from build_hooks.reading.measures import Toleranced

__all__ = ["Caution", "Float", "Measure", "Pack", "Repeat", "SelectiveKit", "StackEntry", "Unit"]


@dataclass(frozen=True, slots=True)
class Caution:
    """A signal word (``danger``, ``warning``, ``caution`` or ``notice``) and its text."""

    signal: str
    text: str


@dataclass(frozen=True, slots=True)
class StackEntry:
    """A part in its place in a pack.

    Attributes:
        number: its place in the pack, from 1; in a repeat that is not expanded, that of the first turn.
        part: the part.
        place: where it goes.
        side: which way round it goes in; None where nothing is said.
        lubricant: what goes on it before it goes in.
        groove: the groove of the drum's wall or boss that it goes into.
        shoulder: the shoulder of the drum that it rests on.
        tell_apart: how to tell it from what looks like it; the part's own text where the place has none.
        wrong: what happens when it is left out or goes in wrong.
        once_only: whether it is never used again, by the place or by the part.
        hold: a check that must be ticked before going on.
        caution: a signal word, to stand before the step.
        note: what else is worth knowing.
        turn: in a repeat, which turn this is, from 1; else 1.
        turns: in a repeat, how many turns there are; else 1.
        any_time_before: id of the part that it must be in before; it may go in at any earlier time.
        any_time_after: id of the part that it must go in after; it may go in at any later time.
        tool: id of the shop's tool that it is fitted with.
        line_up: a mark of the part, and the mark that it is lined up with.
        check: what is measured once it is in, with its limits.
    """

    number: int
    part: Part
    place: str | None = None
    side: Side | None = None
    lubricant: str | None = None
    groove: str | None = None
    tell_apart: str | None = None
    wrong: str | None = None
    once_only: bool = False
    hold: str | None = None
    caution: Caution | None = None
    note: str | None = None
    turn: int = 1
    turns: int = 1
    any_time_before: str | None = None
    any_time_after: str | None = None
    tool: str | None = None
    shoulder: str | None = None
    line_up: LineUp | None = None
    check: Check | None = None


@dataclass(frozen=True, slots=True)
class Repeat:
    """Entries that go in several times, in turn."""

    times: int
    of: tuple[StackEntry, ...]

    @property
    def expanded(self) -> tuple[StackEntry, ...]:
        """Every physical part, numbered on from the first."""
        return tuple(
            replace(entry, number=entry.number + turn * len(self.of), turn=turn + 1)
            for turn in range(self.times)
            for entry in self.of
        )


@dataclass(frozen=True, slots=True)
class Measure:
    """The place in the order of assembly at which a pack's clearance is measured. It is no part, so it takes no number.

    Attributes:
        after: how many parts are in by then.
        readings: what is read, and how.
        hold: a check that must be ticked before going on.
        caution: a signal word, to stand before the step.
        note: what else is worth knowing.
    """

    after: int
    readings: str
    hold: str | None = None
    caution: Caution | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack of plates.

    Attributes:
        id: its key in the data.
        name: what it is called.
        drum: where it sits, if that is said.
        stack: what goes in, in order, with the repeats as they were written.
        measure: where in that order its clearance is measured; None for a pack without limits.
        clearance: its limits, if there are any.
        pressed_from: the end that its piston is at; None where nothing is said.
        cavity: the room that its plates and the ring over them have; None where nothing is said.
        grip: what the torque that it holds is worked out from, beside its plates.
    """

    id: str
    name: str
    drum: Drum | None
    stack: tuple[StackEntry | Repeat, ...]
    clearance: ClearanceSpec | None
    measure: Measure | None = None
    pressed_from: PackEnd | None = None
    cavity: Toleranced | None = None
    grip: Grip | None = None

    @property
    def limits(self) -> ClearanceSpec | None:
        """The limits of its clearance, if there are any."""
        return self.clearance

    @property
    def physical_stack(self) -> tuple[StackEntry, ...]:
        """One entry for each physical part, in the order they go in, numbered from 1."""
        return tuple(entry for item in self.stack for entry in (item.expanded if isinstance(item, Repeat) else (item,)))

    @property
    def friction_count(self) -> int:
        """How many friction plates the pack holds."""
        return sum(entry.part.kind is PartKind.FRICTION for entry in self.physical_stack)

    @property
    def waves(self) -> tuple[Part, ...]:
        """Its wave plates, one as often as it goes in."""
        return tuple(entry.part for entry in self.physical_stack if entry.part.kind is PartKind.WAVE)


@dataclass(frozen=True, slots=True)
class Float:
    """How far a plate moves between the two parts that hold it. A thicker one of them, or a thicker plate, leaves less.

    Attributes:
        id: its key in the data.
        name: what it is called.
        drum: where it is.
        limits: what is allowed, and how it is measured.
    """

    id: str
    name: str
    drum: Drum
    limits: Limits


@dataclass(frozen=True, slots=True)
class SelectiveKit:
    """Parts of several sizes, one of which is fitted to set a clearance or an end play.

    Attributes:
        id: its key in the data.
        name: what it is called.
        choices: the parts, one for each size, in the order given.
        tightens: ids of the packs, floats and shafts that a thicker part tightens.
        loosens: ids of the packs, floats and shafts that a thicker part loosens.
        stock: how many of each part are on the shelf, by its id; what is not counted is not in it.
        fitted: the choice that stands in a pack's stack, to start with; None for a kit of a shaft.
    """

    id: str
    name: str
    choices: tuple[Part, ...]
    tightens: tuple[str, ...]
    loosens: tuple[str, ...]
    stock: Mapping[str, int]
    fitted: Part | None


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit with everything that its data says.

    Attributes:
        id: the name of its folder.
        name: what it is called.
        about: what it is, in a few words.
        invented: whether it is made up; every page then says so.
        status: draft or approved, by whom.
        drums, parts, packs, floats, shafts, kits: by their ids, in the order of the file.
        gear_set: the gear set with its applied chart, if there is one.
    """

    id: str
    name: str
    about: str | None
    invented: bool
    status: Status
    drums: Mapping[str, Drum]
    parts: Mapping[str, Part]
    packs: Mapping[str, Pack]
    floats: Mapping[str, Float]
    shafts: Mapping[str, Shaft]
    kits: Mapping[str, SelectiveKit]
    gear_set: GearSet | None = None

    def measured(self, target: str) -> Pack | Float:
        """The pack or float with this id."""
        return self.packs.get(target) or self.floats[target]

    def kits_of(self, target: str) -> tuple[SelectiveKit, ...]:
        """The kits that set a pack, a float or a shaft, by its id."""
        return tuple(kit for kit in self.kits.values() if target in (*kit.tightens, *kit.loosens))
