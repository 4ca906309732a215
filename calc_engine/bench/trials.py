"""Trials of a drum: what was fitted and read each time, and what a change of parts does to a clearance."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from calc_engine.bench.choosing import NamedPack, NamedPlace, effect_of_part, kit_parts, target_of_pack, target_outside
from calc_engine.bench.pack_readings import PackReadings, PackSpec
from calc_engine.bench.selective import Choice, listed_twice
from calc_engine.declare.fields import Declared, group, length, mapping, text
from calc_engine.maths.functions import square_root
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import Measured, moved
from calc_engine.selection import choice as selection

__all__ = [
    "Agreement",
    "Change",
    "DrumPack",
    "DrumPlace",
    "FittedPart",
    "KitSize",
    "Step",
    "Trial",
    "agreement",
    "change",
    "now_fitted",
]


@dataclass(frozen=True, slots=True)
class DrumPack(PackSpec, NamedPack):
    """A pack of the drum, as its spec has it."""

    target: Fraction | None = target_of_pack()

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when the target lies outside the limits."""
        yield from target_outside(self.target, self.limits, field)


@dataclass(frozen=True, slots=True)
class KitSize(Choice):
    """One size of a selective part, with how far off its mark may be."""

    tolerance: Fraction | None = length(
        "Tolerance",
        "How far its true thickness may be from the one given, plus or minus. Counts only until the part is measured.",
        least="0 mm",
        most="10 mm",
        optional=True,
        role="tolerance",
    )


@dataclass(frozen=True, slots=True)
class DrumPlace(NamedPlace):
    """A place where a part of chosen size sits. What is fitted in it, each trial says."""

    choices: tuple[KitSize, ...] = group(
        KitSize, "Sizes", "The sizes it comes in.", many=((1, 60),), item_label="Size {n}", role="sizes"
    )
    effect: dict[str, int] = effect_of_part()

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when a size appears twice."""
        yield from listed_twice(self.choices, f"{field}.choices")

    def size(self, identity: str) -> KitSize:
        """The size with that id."""
        return next(size for size in self.choices if size.id == identity)


@dataclass(frozen=True, slots=True)
class FittedPart:
    """The part that sits in a place."""

    id: str = text("Which", "The number or mark of its size.", role="identity")
    measured: Fraction | None = length(
        "Measured thickness",
        "What the micrometer shows for this very part. It counts instead of the kit's thickness.",
        above="0 mm",
        most="200 mm",
        optional=True,
        role="measured",
    )


@dataclass(frozen=True, slots=True)
class Trial:
    """What was fitted, and what was read with it."""

    fitted: dict[str, FittedPart] = mapping(
        "What was fitted",
        "The part in every place, also where it has not changed.",
        of=Declared("group", "Part fitted", "Its mark, and its measured thickness where there is one.", shape=FittedPart),
        entry_labels=("Place", "Part"),
        role="fitted",
    )
    readings: dict[str, PackReadings] | None = mapping(
        "What was read",
        "The readings of each pack that was read with these parts. A pack that was not read is left out.",
        of=Declared("group", "Readings", "How the pack was measured, and what was read.", shape=PackReadings),
        entry_labels=("Pack", "Readings"),
        names=(0, 40),
        optional=True,
        role="readings",
    )


@dataclass(frozen=True, slots=True)
class Step:
    """One place that a pack touches, where another part sits than before.

    Attributes:
        place: its name.
        effect: -1 when a thicker part tightens the pack, 1 when it loosens it.
        before: the part that was there, and its thickness, mm.
        after: the part that is there now, and its thickness, mm.
        tolerance: of those of the two that were not measured, together, mm.
    """

    place: str
    effect: int
    before: tuple[FittedPart, Fraction]
    after: tuple[FittedPart, Fraction]
    tolerance: Fraction


@dataclass(frozen=True, slots=True)
class Change:
    """What was changed between two trials, so far as a pack feels it.

    Attributes:
        steps: each place where another part sits, in the order of the places.
    """

    steps: tuple[Step, ...]

    @property
    def total(self) -> Fraction:
        """What the clearance changes by, mm, exact."""
        return sum((step.effect * (step.after[1] - step.before[1]) for step in self.steps), Fraction(0))

    @property
    def tolerance(self) -> Fraction:
        """By how much that may be off, mm: the tolerances of the parts that were not measured."""
        return sum((step.tolerance for step in self.steps), Fraction(0))

    def applied(self, clearance: Fraction, units: AnswerUnits) -> str:
        """A clearance and what is added to it, as the terms of a sum."""
        terms = (
            f" {'−' if step.effect < 0 else '+'} ({units.number(step.after[1])} − {units.number(step.before[1])})"
            for step in self.steps
        )
        return f"{units.number(clearance)}{''.join(terms)}"

    @property
    def words(self) -> str:
        """What was changed: `ring: one dot to two dots`."""
        return "; ".join(
            f"{step.place}: {step.before[0].id} to {step.after[0].id}"
            if step.before[0].id != step.after[0].id
            else f"{step.place}: {step.after[0].id} with another thickness"
            for step in self.steps
        )


def change(pack: str, places: Sequence[DrumPlace], before: Trial, after: Trial) -> Change:
    """What was changed between two trials: every place that a pack touches, where id or measured thickness differ.

    Args:
        pack: its name.
        places: of the drum.
        before: the earlier trial.
        after: the later one.
    """
    steps = (
        Step(place.name, place.effect[pack], _part(place, before), _part(place, after), _tolerance(place, (before, after)))
        for place in places
        if pack in place.effect and before.fitted[place.name] != after.fitted[place.name]
    )
    return Change(tuple(steps))


def _part(place: DrumPlace, trial: Trial) -> tuple[FittedPart, Fraction]:
    """The part in a place, and its thickness: the measured one before the kit's, mm."""
    part = trial.fitted[place.name]
    return part, place.size(part.id).thickness if part.measured is None else part.measured


def _tolerance(place: DrumPlace, trials: Iterable[Trial]) -> Fraction:
    parts = (trial.fitted[place.name] for trial in trials)
    return sum((place.size(part.id).tolerance or Fraction(0) for part in parts if part.measured is None), Fraction(0))


def now_fitted(places: Sequence[DrumPlace], trial: Trial) -> tuple[selection.Position, ...]:
    """The places as the search takes them: the fitted part counts with its measured thickness, any other with the kit's.

    Args:
        places: of the drum.
        trial: what is fitted now.
    """
    return tuple(
        selection.Position(place.name, part.id, kit_parts(place.choices, {part.id: thickness}), place.effect)
        for place, (part, thickness) in ((place, _part(place, trial)) for place in places)
    )


@dataclass(frozen=True, slots=True)
class Agreement:
    """Two readings of a pack, held against each other.

    Attributes:
        expected: the earlier clearance and the change of parts since, mm.
        measured: the later clearance, mm.
        square: the sum of the squares of both uncertainties, mm^2.
        tolerance: of the changed parts that were not measured, mm.
    """

    expected: Fraction
    measured: Fraction
    square: Fraction
    tolerance: Fraction

    @property
    def difference(self) -> Fraction:
        """The later clearance less the expected one, mm."""
        step = self.measured.step if isinstance(self.measured, Measured) else None
        return Measured(self.measured - self.expected, step, (-self.allowed, self.allowed))

    @property
    def agrees(self) -> bool:
        """Whether the difference is no larger than what both readings and the parts leave open; exact."""
        beyond = abs(self.difference) - self.tolerance
        return beyond <= 0 or beyond**2 <= self.square

    @property
    def allowed(self) -> Fraction:
        """The largest difference with which they agree, mm, to be shown."""
        return square_root(self.square) + self.tolerance


def agreement(earlier: Fraction, since: Change, later: Fraction, uncertainties: Sequence[Fraction | None]) -> Agreement:
    """Whether a later reading is what an earlier one and the change of parts lead to expect.

    |later - (earlier + change)| <= sqrt(U1^2 + U2^2) + tolerances

    Args:
        earlier: the clearance of the earlier reading, mm.
        since: what was changed between the two.
        later: the clearance of the later reading, mm.
        uncertainties: of both, expanded, mm; None where nothing is known of it, which leaves no room.

    Source: the uncertainty of a difference of two independent values, JCGM 100:2008, 5.1.2; tolerances are added in full.
    """
    square = sum(((expanded or Fraction(0)) ** 2 for expanded in uncertainties), Fraction(0))
    return Agreement(moved(earlier, since.total), later, square, since.tolerance)
