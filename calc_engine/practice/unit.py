"""A unit as the exercises see it: what its data says, as plain frozen things. Read by `unit_reader`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal, get_args

from calc_engine import Quantity
from calc_engine.practice.gear_set import GEAR_SET, GearSet
from calc_engine.practice.standards import Finding, Tree

__all__ = [
    "EITHER_WAY",
    "SIDE_DIRECTIONS",
    "SIDE_MARKS",
    "Caution",
    "Clearance",
    "Entry",
    "ExerciseUnit",
    "Kit",
    "Pack",
    "Part",
    "ShopGauge",
    "SideDirection",
    "SideMark",
    "Supply",
    "has_way_round",
    "turned_over",
]

type SideMark = Literal["chamfer", "dimple", "lip", "step", "tooth", "dish", "flat", "paint", "rounded edge"]
type SideDirection = Literal["up", "down", "in", "out"]
SIDE_MARKS: Final[tuple[SideMark, ...]] = get_args(SideMark.__value__)
"""What may tell the sides of a part apart."""

SIDE_DIRECTIONS: Final[tuple[SideDirection, ...]] = get_args(SideDirection.__value__)
"""Where such a mark may look: to the open end, away from it, to the axis, to the wall."""

EITHER_WAY = "either way"
_OPPOSITE = {"up": "down", "down": "up", "in": "out", "out": "in"}


def has_way_round(side: str | None) -> bool:
    """Whether a side says that a part goes in one way only."""
    return side is not None and side != EITHER_WAY


def turned_over(side: str) -> str:
    """The side that is seen when a part is the wrong way round: ``chamfer down`` for ``chamfer up``.

    Args:
        side: a mark and where it points; not either way.
    """
    mark, _, direction = side.rpartition(" ")
    return f"{mark} {_OPPOSITE[direction]}"


@dataclass(frozen=True, slots=True)
class Caution:
    """A signal word (``danger``, ``warning``, ``caution`` or ``notice``) and its text."""

    signal: str
    text: str


@dataclass(frozen=True, slots=True)
class Part:
    """A part.

    Attributes:
        id: its key in the data.
        name: what it is called.
        kind: what it is, see `part_kinds.PART_KINDS`.
        thickness: as aimed at; that of a wave plate is its flat thickness.
        free_height: height of a wave plate with nothing on it.
        mark: the mark that tells its size.
        number: the shop's part number.
        tell_apart: how to tell it from what looks like it.
        look_alikes: ids of parts that get mistaken for it.
    """

    id: str
    name: str
    kind: str
    thickness: Quantity | None = None
    free_height: Quantity | None = None
    mark: str | None = None
    number: str | None = None
    tell_apart: str | None = None
    look_alikes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """A part in its place in a pack, one for each physical part.

    Attributes:
        part: the part.
        side: which way round: ``chamfer up``, ``either way``, or None where nothing is said.
        groove: the groove of the drum that it goes into.
        place: where it goes.
        wrong: what happens when it is left out or goes in wrong.
        tell_apart: how to tell it from what looks like it.
        once_only: whether it is never used again.
        caution: the signal word that stands before the step.
        turn: in a repeat, which turn this is, from 1; else 1.
        turns: in a repeat, how many turns there are; else 1.
        any_time_before: id of the part that it must go in before; its own place in the list then says no more than that.
        any_time_after: id of the part that it must go in after; the same.
        tool: id of the tool that it is fitted with.
    """

    part: Part
    side: str | None = None
    groove: str | None = None
    place: str | None = None
    wrong: str | None = None
    tell_apart: str | None = None
    once_only: bool = False
    caution: Caution | None = None
    turn: int = 1
    turns: int = 1
    any_time_before: str | None = None
    any_time_after: str | None = None
    tool: str | None = None

    @property
    def is_free(self) -> bool:
        """Whether its place in the list is not the only one that it may have."""
        return self.any_time_before is not None or self.any_time_after is not None


@dataclass(frozen=True, slots=True)
class ShopGauge:
    """A gauge of the shop: kind, the smallest step it shows and the largest error it may have, where they are lengths."""

    id: str
    name: str
    kind: str
    resolution: Quantity | None = None
    max_error: Quantity | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Supply:
    """A tool or something that is used up."""

    id: str
    name: str
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Clearance:
    """The limits of a pack's clearance and how it is measured.

    Attributes:
        min, max: the limits.
        target: what to aim at, if not the middle.
        method: ``dial``, ``feeler``, ``depth`` or ``parts``; None where the data leaves it open.
        positions: at how many places it is measured.
        spread_limit: how far the places may differ.
        gauge: the gauge that the data names.
        wave: the state of the wave plate that the limits mean, ``free`` or ``flat``.
        source: where the limits come from, with its revision.
    """

    min: Quantity
    max: Quantity
    target: Quantity | None = None
    method: str | None = None
    positions: int | None = None
    spread_limit: Quantity | None = None
    gauge: ShopGauge | None = None
    wave: str | None = None
    source: str | None = None


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack: the grooves of its drum from the piston end on, its parts in the order they go in, its clearance."""

    id: str
    name: str
    entries: tuple[Entry, ...]
    grooves: tuple[str, ...] = ()
    clearance: Clearance | None = None

    @property
    def parts(self) -> tuple[Part, ...]:
        """Each part once, in the order of the first of its kind."""
        return tuple({entry.part.id: entry.part for entry in self.entries}.values())

    def count_of(self, part: Part) -> int:
        """How many of a part go in."""
        return sum(entry.part.id == part.id for entry in self.entries)

    @property
    def repeats(self) -> tuple[tuple[int, int, int], ...]:
        """The runs of parts that go in several times: first place (from 0), parts in each turn, turns."""
        found: list[tuple[int, int, int]] = []
        place = 0
        while place < len(self.entries):
            times = self.entries[place].turns
            size = next(
                (step for step, entry in enumerate(self.entries[place:]) if (entry.turn, entry.turns) != (1, times)),
                len(self.entries) - place,
            )
            if times > 1:
                found.append((place, size, times))
            place += size * times
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Kit:
    """Parts of several sizes for one place.

    Attributes:
        id, name: of the kit.
        choices: the parts, one for each size.
        fitted: the one to start with; None for a kit that stands in no stack.
        effect: by the id of a pack: -1 when a thicker part tightens it, 1 when it loosens it.
        shafts: names of the shafts that it sets as well.
        stock: how many of each are on the shelf, by id; what is not counted is not in it.
    """

    id: str
    name: str
    choices: tuple[Part, ...]
    fitted: Part | None
    effect: Mapping[str, int]
    shafts: tuple[str, ...] = ()
    stock: Mapping[str, int] | None = None


@dataclass(frozen=True, slots=True)
class ExerciseUnit:
    """A unit with the shop's things that go with it. Parts and packs by their ids, in the order of the data.

    The shop's standards come as a unit too: it has sets of findings and decision trees, each with a pack that stands for it.
    """

    id: str
    name: str
    parts: Mapping[str, Part]
    packs: Mapping[str, Pack]
    kits: tuple[Kit, ...] = ()
    gauges: tuple[ShopGauge, ...] = ()
    tools: tuple[Supply, ...] = ()
    consumables: tuple[Supply, ...] = ()
    gear_set: GearSet | None = None
    findings: Mapping[str, tuple[Finding, ...]] = field(default_factory=dict)
    trees: Mapping[str, Tree] = field(default_factory=dict)

    def stands_for(self, pack: Pack) -> str | None:
        """What a pack stands for that is none, in words; None for a pack."""
        if pack.id == GEAR_SET:
            return "a gear set"
        return "a set of findings" if pack.id in self.findings else "a decision tree" if pack.id in self.trees else None

    def gear_set_for(self, pack: Pack) -> GearSet | None:
        """The gear set, where a pack stands for it; None for any other."""
        return self.gear_set if pack.id == GEAR_SET else None

    def kit_of(self, part: Part) -> Kit | None:
        """The kit that a part is a size of, if it is one."""
        return next((kit for kit in self.kits if any(choice.id == part.id for choice in kit.choices)), None)
