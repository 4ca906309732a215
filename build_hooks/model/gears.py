"""The gear set of a unit as ``unit.yml`` says it: planetary sets, what is joined, clutches and brakes, and the applied chart."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import Annotated, Final

from pydantic import Field

from build_hooks.model.fields import (
    Count,
    Flag,
    Force,
    Id,
    Member,
    Name,
    Number,
    Pressure,
    Reference,
    Size,
    Text,
    ToothCount,
    Torque,
    choice_of,
)
from build_hooks.model.keys import Keys, Named

__all__ = ["CASE", "NEUTRAL", "ChartRow", "GearElement", "GearSet", "Grip", "PlanetarySet", "Way"]

CASE: Final = "case"
"""What never turns; members joined to it are held for good."""
NEUTRAL: Final = frozenset({"N", "P"})
"""The ranges in which the unit does not drive."""


class Way(StrEnum):
    """A way to turn: forwards is the way the input turns."""

    FORWARDS = "forwards"
    BACKWARDS = "backwards"


class PlanetarySet(Named):
    """A planetary set by its teeth: sun and ring, or two suns, or two rings."""

    sun: ToothCount | None = Field(default=None, description="Teeth of the sun.", examples=[30])
    ring: ToothCount | None = Field(default=None, description="Teeth of the ring.", examples=[84])
    sun2: ToothCount | None = Field(default=None, description="Teeth of a second sun, on the planet's other step.", examples=[26])
    ring2: ToothCount | None = Field(
        default=None, description="Teeth of a second ring, on the planet's other step.", examples=[90]
    )
    planet: ToothCount | None = Field(
        default=None,
        description="Teeth of the planet; of a stepped one, where it meshes with the sun, or with the first of two rings.",
        examples=[27],
    )
    planet2: ToothCount | None = Field(
        default=None,
        description="Teeth of a stepped planet where it meshes with the ring, or with sun2 or ring2.",
        examples=[34],
    )
    planets: Count | None = Field(default=None, description="How many planets there are, or pairs of them.", examples=[3])
    pairs: Flag = Field(
        default=False,
        description="True for planets in pairs on one carrier: one meshes with the sun, the other with the ring.",
        examples=["true"],
    )
    shifted_teeth: Flag = Field(
        default=False,
        description="True where the teeth are cut for another centre distance, so that ring = sun + 2 planets need not be.",
        examples=["true"],
    )

    @property
    def wheels(self) -> tuple[str, ...]:
        """The kinds of its wheels, as its members are called."""
        return tuple(wheel for wheel in ("sun", "sun2", "ring", "ring2") if getattr(self, wheel) is not None)

    @property
    def members(self) -> tuple[str, ...]:
        """The names of its members."""
        return tuple(f"{self.id}.{kind}" for kind in (*self.wheels, "carrier"))


class GearElement(Named):
    """A clutch, a brake or a one-way clutch of the gear set."""

    name: Name = Field(description="What it is called.", examples=["Forward clutch"])
    joins: tuple[Member, ...] = Field(
        default=(), description="For a clutch: the two members that it joins.", examples=["[drum, front.sun]"]
    )
    holds: Member | None = Field(
        default=None, description="For a brake: the member that it holds to the case.", examples=["rear.carrier"]
    )
    turns_freely: Annotated[Way, *choice_of(Way, "a way to turn")] | None = Field(
        default=None,
        description=(
            "For a one-way clutch: which way the member it holds, or the second of those it joins against the first, still turns. "
            "forwards is the way the input turns."
        ),
        examples=["forwards"],
    )
    pack: Reference | None = Field(default=None, description="The id of its pack.", examples=["forward"])
    without_pack: Text | None = Field(
        default=None,
        description="Why a clutch or brake has no pack in this file. A one-way clutch needs no reason.",
        examples=["a band: the maker's manual has it"],
    )
    idle_in: tuple[Name, ...] = Field(
        default=(), description="The gears in which it is on although it carries nothing.", examples=["[4]"]
    )

    @property
    def members(self) -> tuple[str, ...]:
        """What it joins, or the one it holds."""
        return self.joins if self.holds is None else (self.holds,)

    @property
    def kind(self) -> str:
        """What the trade calls it."""
        if self.turns_freely is not None:
            return "one-way clutch"
        return "clutch" if self.joins else "brake"


class ChartRow(Keys):
    """What is on in one gear."""

    gear: Name = Field(description="The gear.", examples=[1])
    range: Name | None = Field(
        default=None,
        description="The range of the selector, where it is not told by the gear: without it, a gear with a number is in D.",
        examples=["D"],
    )
    on: tuple[Reference, ...] = Field(
        default=(), description="The ids of the elements that are on.", examples=["[forward, roller]"]
    )
    ratio: Number | None = Field(
        default=None, description="The ratio that is stated; it must be that of the teeth.", examples=["2.75"]
    )
    pressure: Pressure | None = Field(
        default=None, description="The line pressure in this gear, if not that of the gear set.", examples=["1500 kPa"]
    )

    @property
    def told_range(self) -> str:
        """The range, also where it is told by the gear."""
        return self.range or ("D" if self.gear.isdigit() else self.gear)

    @property
    def label(self) -> str:
        """The gear, with its range where both are not the same and the range is not the usual one."""
        return (
            self.gear
            if self.told_range in {"D", self.gear} and self.range in {None, "D"}
            else f"{self.gear} in {self.told_range}"
        )

    @property
    def drives(self) -> bool:
        """Whether the unit drives in it."""
        return self.told_range not in NEUTRAL


class GearSet(Keys):
    """The gear set: sets, what is joined for good, input and output, elements, and what is on in each gear."""

    sets: dict[Id, PlanetarySet] = Field(description="The planetary sets by their ids.")
    joined: tuple[tuple[Member, ...], ...] = Field(
        default=(),
        description=(
            "Members that are one piece, a list for each piece; a shaft or drum may stand among them by a name of its own. "
            "What is joined to case never turns."
        ),
        examples=["[[drum, front.ring, rear.sun]]"],
    )
    input: Member = Field(description="The member that the engine turns.", examples=["front.sun"])
    output: Member = Field(description="The member that drives the wheels.", examples=["rear.carrier"])
    elements: dict[Id, GearElement] = Field(description="Clutches, brakes and one-way clutches by their ids.")
    chart: tuple[ChartRow, ...] = Field(
        description="What is on in each gear, first gear first.", examples=["[{gear: 1, on: [forward, roller]}]"]
    )
    input_torque: Torque | None = Field(
        default=None, description="The most torque at the input, for what each pack must hold.", examples=["280 N.m"]
    )
    pressure: Pressure | None = Field(default=None, description="The line pressure at full load.", examples=["1100 kPa"])
    source: Text | None = Field(
        default=None, description="Where torque and pressure come from.", examples=["shop standard FL-40"]
    )

    @property
    def held_for_good(self) -> tuple[str, ...]:
        """The members that are joined to the case."""
        pieces = self.pieces
        return tuple(name for name, piece in pieces.items() if piece == pieces.get(CASE) and name != CASE)

    def at_work(self, row: ChartRow) -> tuple[str, ...]:
        """The ids of the elements that are on in a gear, without those that carry nothing."""
        return tuple(known for known in row.on if row.label not in self.elements[known].idle_in)

    @property
    def pieces(self) -> dict[str, str]:
        """For each member and shaft the first name of the piece that it is part of."""
        first: dict[str, str] = {name: name for name in self._names()}
        for piece in self.joined:
            together = {first[name] for name in piece}
            to = min(together, key=list(first).index)
            first = {name: to if known in together else known for name, known in first.items()}
        return first

    def _names(self) -> Iterator[str]:
        yield from (self.input, self.output)
        yield from (name for piece in self.joined for name in piece)
        yield from (member for each in self.sets.values() for member in each.members)
        yield from (member for element in self.elements.values() for member in element.members)


class Grip(Keys):
    """What a pack's grip is worked out from, beside its plates."""

    friction_coefficient: Number = Field(description="Of lining on steel in fluid.", examples=["0.12"])
    friction_hot: Number | None = Field(
        default=None, description="The same in hot fluid, where the source gives one.", examples=["0.10"]
    )
    spring_force: Force | None = Field(
        default=None, description="The force of its return springs with the pack applied.", examples=["900 N"]
    )
    piston_outer: Size | None = Field(
        default=None, description="Outer diameter of its piston, if not that of the one piston in the stack.", examples=["140 mm"]
    )
    piston_inner: Size | None = Field(
        default=None, description="Inner diameter of its piston, if not that of the one piston in the stack.", examples=["76 mm"]
    )
    source: Text = Field(description="Where the figures come from.", examples=["shop standard FL-41"])
    revision: Text = Field(description="The revision of that source.", examples=["A"])
