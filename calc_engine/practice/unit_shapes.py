"""The plain data of a unit as exercises get it: its fields declared once, and what must fit between them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from calc_engine import CATALOGUE, GAUGES_OF_METHOD, MOST_POSITIONS, Problem, Quantity, fields
from calc_engine.practice.part_kinds import PART_KINDS
from calc_engine.practice.reading import twice, unknown_word
from calc_engine.practice.standards_shapes import FindingsData, TreeData
from calc_engine.practice.unit import EITHER_WAY, SIDE_DIRECTIONS, SIDE_MARKS

__all__ = [
    "CautionData",
    "ClearanceData",
    "EntryData",
    "GaugeData",
    "GearSetData",
    "KitData",
    "PackData",
    "PartData",
    "SupplyData",
    "UnitData",
]

_SIDES: Final = (EITHER_WAY, *(f"{mark} {way}" for mark in SIDE_MARKS for way in SIDE_DIRECTIONS))
_SIGNALS: Final = ("danger", "warning", "caution", "notice")
_GAUGES: Final = ("dial", "feeler", "depth", "micrometer", "wrench", "pressure")
_ANY_NUMBER: Final = ((0, 5000),)
_MOST_TURNS: Final = 60
_MOST_STOCK: Final = 100_000


def _id(what: str) -> Any:
    return fields.text("Id", f"What {what} is referred to by.")


def _name(what: str) -> Any:
    return fields.prose("Name", f"What {what} is called.")


def _note(label: str, help: str) -> Any:  # noqa: A002 - as in `fields`
    return fields.prose(label, help, optional=True)


def _are_sound(items: Sequence[object], shape: type[object]) -> bool:
    """Whether nothing in a list is wrong itself; what is compared with a wrong one would be told wrongly."""
    return all(isinstance(item, shape) for item in items)


def _one_of(words: Iterable[str]) -> dict[str, str]:
    return {word: word for word in words}


@dataclass(frozen=True, slots=True)
class PartData:
    """A part."""

    id: str = _id("the part")
    name: str = _name("the part")
    kind: str = fields.choice("Kind of part", "What the part is.", PART_KINDS)
    thickness: Quantity | None = fields.length_as_given("Thickness", "As aimed at.", above="0 mm", optional=True)
    free_height: Quantity | None = fields.length_as_given("Free height", "Of a wave plate.", above="0 mm", optional=True)
    mark: str | None = _note("Mark", "What tells its size.")
    number: str | None = _note("Number", "The shop's part number.")
    tell_apart: str | None = _note("Tell apart", "How to tell it from what looks like it.")
    look_alikes: tuple[str, ...] | None = fields.text("Look-alike", "The id of another part.", many=_ANY_NUMBER, optional=True)


@dataclass(frozen=True, slots=True)
class GaugeData:
    """A gauge of the shop."""

    id: str = _id("the gauge")
    name: str = _name("the gauge")
    kind: str = fields.choice("Kind of gauge", "What the gauge is.", _one_of(_GAUGES))
    resolution: Quantity | None = fields.length_as_given("Smallest division", "What it shows.", above="0 mm", optional=True)
    max_error: Quantity | None = fields.length_as_given("Largest error", "How far off it may be.", least="0 mm", optional=True)
    note: str | None = _note("Note", "What to know of it.")


@dataclass(frozen=True, slots=True)
class SupplyData:
    """A tool or something that is used up."""

    id: str = _id("it")
    name: str = _name("it")
    note: str | None = _note("Note", "What to know of it.")


@dataclass(frozen=True, slots=True)
class CautionData:
    """A signal word and its text."""

    signal: str = fields.choice("Signal word", "How bad it can end.", _one_of(_SIGNALS))
    text: str = fields.prose("Text", "What to mind.")


@dataclass(frozen=True, slots=True)
class EntryData:
    """A part in its place in a pack."""

    part: str = fields.text("Part", "The id of the part.")
    side: str | None = fields.choice("Side", "Which way round it goes in.", _one_of(_SIDES), optional=True)
    groove: str | None = fields.prose("Groove", "A groove of the drum.", optional=True)
    place: str | None = _note("Place", "Where it goes.")
    wrong: str | None = _note("When wrong", "What happens when it goes in wrong.")
    tell_apart: str | None = _note("Tell apart", "How to tell it from what looks like it.")
    once_only: bool | None = fields.flag("Once only", "Whether it is never used again.", optional=True)
    caution: CautionData | None = fields.group(CautionData, "Caution", "What stands before the step.", optional=True)
    turn: int | None = fields.count("Turn", "Which turn of a repeat this is.", most=_MOST_TURNS, optional=True)
    turns: int | None = fields.count("Turns", "How many turns the repeat has.", most=_MOST_TURNS, optional=True)
    any_time_before: str | None = fields.text("Any time before", "The id of the part that it goes in before.", optional=True)
    any_time_after: str | None = fields.text("Any time after", "The id of the part that it goes in after.", optional=True)
    tool: str | None = fields.text("Tool", "The id of the tool that it is fitted with.", optional=True)


@dataclass(frozen=True, slots=True)
class ClearanceData:
    """The limits of a pack's clearance and how it is measured."""

    min: Quantity = fields.length_as_given("Smallest allowed", "The lower limit.", least="0 mm")
    max: Quantity = fields.length_as_given("Largest allowed", "The upper limit.", least="0 mm")
    target: Quantity | None = fields.length_as_given("Target", "What to aim at.", least="0 mm", optional=True)
    method: str | None = fields.choice("Method", "How it is measured.", _one_of(GAUGES_OF_METHOD), optional=True)
    positions: int | None = fields.count("Positions", "At how many places.", most=MOST_POSITIONS, optional=True)
    spread_limit: Quantity | None = fields.length_as_given("Largest spread", "Between positions.", above="0 mm", optional=True)
    gauge: str | None = fields.text("Gauge", "The id of the gauge.", optional=True)
    wave: str | None = fields.choice("Wave plate", "Its state in the limits.", _one_of(("free", "flat")), optional=True)
    source: str | None = _note("Source", "Where the limits come from.")

    def problems(self, field: str) -> Iterable[Problem]:
        """Limits in the wrong order, and a target outside them."""
        if self.min.base >= self.max.base:
            yield Problem(field, "crossed-limits", "The smallest is not below the largest.", "Check which is which.")
        elif self.target is not None and not self.min.base <= self.target.base <= self.max.base:
            yield Problem(f"{field}.target", "out-of-range", "The target lies outside the limits.", "Aim within them.")


@dataclass(frozen=True, slots=True)
class PackData:
    """A pack: the grooves of its drum, its parts in the order they go in, its clearance."""

    id: str = _id("the pack")
    name: str = _name("the pack")
    grooves: tuple[str, ...] | None = fields.prose("Groove", "A groove of the drum.", many=_ANY_NUMBER, optional=True)
    parts: tuple[EntryData, ...] = fields.group(EntryData, "Parts", "The parts as they go in.", many=((0, 200),))
    clearance: ClearanceData | None = fields.group(ClearanceData, "Clearance", "Its limits.", optional=True)

    def problems(self, field: str) -> Iterable[Problem]:
        """Grooves that the drum does not have, and repeats whose turns do not follow each other."""
        for index, entry in enumerate(self.parts):
            if isinstance(entry, EntryData) and entry.groove is not None:
                yield from unknown_word(entry.groove, self.grooves or (), f"{field}.parts.{index}.groove")
        if _are_sound(self.parts, EntryData):
            yield from _broken_repeat(self.parts, f"{field}.parts")
            yield from _broken_freedom(self.parts, f"{field}.parts")


def _broken_freedom(entries: Sequence[EntryData], field: str) -> Iterable[Problem]:
    """Parts that may go in at any time before or after one that the list has on the wrong side of them, or not at all."""
    ids = [entry.part for entry in entries]
    for place, entry in enumerate(entries):
        early, late = ids[:place], ids[place + 1 :]
        ways = (
            ("any_time_before", entry.any_time_before, late, early),
            ("any_time_after", entry.any_time_after, early, late),
        )
        for key, other, there, elsewhere in ways:
            if other is not None:
                yield from unknown_word(other, (name for name in there if name not in elsewhere), f"{field}.{place}.{key}")
        if (entry.any_time_before or entry.any_time_after) and ids.count(entry.part) > 1:
            message = f"“{entry.part}” goes in more than once, so its place in the order cannot be free."
            yield Problem(f"{field}.{place}.part", "not-alone", message, "Take “any_time_before” and “any_time_after” out.")


def _broken_repeat(entries: Sequence[EntryData], field: str) -> Iterable[Problem]:
    """The first place where the turns of a repeat do not follow each other, or do not hold the same parts."""
    remedy = "Give every turn the same parts in the same order, numbered from 1."
    place = 0
    while place < len(entries):
        times = entries[place].turns or 1
        size = 1 if times == 1 else _first_turn(entries[place:], times)
        if not size or (times == 1 and entries[place].turn not in (None, 1)):
            message = "This repeat does not begin with its first turn."
            yield Problem(f"{field}.{place}.turn", "broken-repeat", message, remedy)
            return
        for step in range(size * times):
            here = place + step
            wanted = (step // size + 1, times, entries[place + step % size].part)
            if here >= len(entries) or (entries[here].turn or 1, entries[here].turns or 1, entries[here].part) != wanted:
                message = "The turns of this repeat do not follow each other with the same parts."
                yield Problem(f"{field}.{min(here, len(entries) - 1)}.turn", "broken-repeat", message, remedy)
                return
        place += size * times


def _first_turn(entries: Sequence[EntryData], times: int) -> int:
    """How many parts the first turn of a repeat has."""
    return next((size for size, entry in enumerate(entries) if (entry.turn or 1, entry.turns or 1) != (1, times)), len(entries))


@dataclass(frozen=True, slots=True)
class KitData:
    """Parts of several sizes for one place."""

    id: str = _id("the kit")
    name: str = _name("the kit")
    choices: tuple[str, ...] = fields.text("Size", "The id of a part.", many=((1, 5000),))
    effect: Mapping[str, int] = fields.mapping(
        "Effect", "By pack: -1 tightens, 1 loosens.", allowed={-1: "tightens", 1: "loosens"}, names=(0, 5000)
    )
    fitted: str | None = fields.text("Size fitted", "The id of one of the sizes.", optional=True)
    shafts: tuple[str, ...] | None = fields.prose("Shaft", "The name of a shaft.", many=_ANY_NUMBER, optional=True)
    stock: Mapping[str, int] | None = fields.mapping(
        "On the shelf", "How many there are of a size.",
        of=fields.Declared(
            "count", "On the shelf", "How many there are.", least=Fraction(0), most=Fraction(_MOST_STOCK), least_text="0",
            most_text=str(_MOST_STOCK),
        ),
        names=(0, 5000), optional=True,
    )  # fmt: skip

    def problems(self, field: str) -> Iterable[Problem]:
        """Sizes that appear twice; a size fitted or on the shelf that is none of the kit's."""
        for index, name in enumerate(self.choices):
            if name in self.choices[:index]:
                yield Problem(f"{field}.choices.{index}", "duplicate-id", f"“{name}” appears twice.", "Give each size once.")
        if self.fitted is not None:
            yield from unknown_word(self.fitted, self.choices, f"{field}.fitted")
        for name in self.stock or ():
            yield from unknown_word(name, self.choices, f"{field}.stock.{name}")


@dataclass(frozen=True, slots=True)
class GearSetData:
    """A gear set: a request of gear-train, and which of its elements only hold in every gear what is joined to the case."""

    train: Any = fields.group(CATALOGUE["gear-train"].request, "Gear train", "A request of gear-train.")
    held: tuple[str, ...] | None = fields.text("Held", "An element that is none.", many=_ANY_NUMBER, optional=True)


@dataclass(frozen=True, slots=True)
class UnitData:
    """A unit with the shop's things that go with it."""

    id: str = _id("the unit")
    name: str = _name("the unit")
    parts: tuple[PartData, ...] = fields.group(PartData, "Parts", "The parts of the unit.", many=_ANY_NUMBER)
    packs: tuple[PackData, ...] = fields.group(PackData, "Packs", "The packs of the unit.", many=_ANY_NUMBER)
    kits: tuple[KitData, ...] | None = fields.group(KitData, "Kits", "Its kits.", many=_ANY_NUMBER, optional=True)
    gauges: tuple[GaugeData, ...] | None = fields.group(GaugeData, "Gauges", "The shop's.", many=_ANY_NUMBER, optional=True)
    tools: tuple[SupplyData, ...] | None = fields.group(SupplyData, "Tools", "The shop's.", many=_ANY_NUMBER, optional=True)
    consumables: tuple[SupplyData, ...] | None = fields.group(
        SupplyData, "Consumables", "The shop's.", many=_ANY_NUMBER, optional=True
    )
    gear_set: GearSetData | None = fields.group(GearSetData, "Gear set", "The gear set of the unit.", optional=True)
    findings: tuple[FindingsData, ...] | None = fields.group(
        FindingsData, "Findings", "Of the standards: parts as they are found.", many=_ANY_NUMBER, optional=True
    )
    trees: tuple[TreeData, ...] | None = fields.group(
        TreeData, "Trees", "Of the standards: decision trees.", many=_ANY_NUMBER, optional=True
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """Ids that appear twice, and references to what is not there."""
        for name, items, shape in (
            ("parts", self.parts, PartData), ("packs", self.packs, PackData), ("kits", self.kits, KitData),
            ("gauges", self.gauges, GaugeData), ("tools", self.tools, SupplyData), ("consumables", self.consumables, SupplyData),
        ):  # fmt: skip
            if items and _are_sound(items, shape):
                yield from twice((item.id for item in items), name)
        yield from self._standing_ids()
        if not _are_sound(self.parts, PartData):
            return
        parts = {part.id: part for part in self.parts}
        for index, part in enumerate(self.parts):
            others = [other for other in parts if other != part.id]
            for place, name in enumerate(part.look_alikes or ()):
                yield from unknown_word(name, others, f"parts.{index}.look_alikes.{place}")
        for index, pack in enumerate(self.packs):
            if isinstance(pack, PackData):
                yield from self._references(pack, f"packs.{index}", parts)
        for index, kit in enumerate(self.kits or ()):
            if isinstance(kit, KitData):
                yield from self._sizes(kit, f"kits.{index}", parts)

    def _standing_ids(self) -> Iterable[Problem]:
        """What is asked about in the place of a pack has an id that no pack has, and nothing else."""
        seen = {pack.id for pack in self.packs if isinstance(pack, PackData)}
        for name, items in (("findings", self.findings), ("trees", self.trees)):
            for index, item in enumerate(items or ()):
                if not isinstance(item, (FindingsData, TreeData)):
                    continue
                if item.id in seen:
                    yield Problem(f"{name}.{index}.id", "duplicate-id", f"“{item.id}” appears twice.", "Give each its own id.")
                seen.add(item.id)

    def _references(self, pack: PackData, field: str, parts: Mapping[str, PartData]) -> Iterable[Problem]:
        for index, entry in enumerate(pack.parts):
            yield from unknown_word(entry.part, parts, f"{field}.parts.{index}.part")
            if entry.tool is not None and _are_sound(self.tools or (), SupplyData):
                yield from unknown_word(entry.tool, [tool.id for tool in self.tools or ()], f"{field}.parts.{index}.tool")
        if pack.clearance is not None and pack.clearance.gauge is not None and _are_sound(self.gauges or (), GaugeData):
            yield from unknown_word(pack.clearance.gauge, [gauge.id for gauge in self.gauges or ()], f"{field}.clearance.gauge")

    def _sizes(self, kit: KitData, field: str, parts: Mapping[str, PartData]) -> Iterable[Problem]:
        for index, name in enumerate(kit.choices):
            yield from unknown_word(name, parts, f"{field}.choices.{index}")
            if name in parts and parts[name].thickness is None:
                yield Problem(f"{field}.choices.{index}", "no-thickness", f"“{name}” has no thickness.", "Give it one.")
        for name in kit.effect if _are_sound(self.packs, PackData) else ():
            yield from unknown_word(name, [pack.id for pack in self.packs], f"{field}.effect.{name}")
