"""One selective part and one clearance: what each choice would give, and which to fit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Protocol

from calc_engine.bench.verdict import Limits, judge
from calc_engine.declare.fields import choice as choice_field
from calc_engine.declare.fields import count, length, text
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import moved
from calc_engine.quantities.phrases import alike

__all__ = [
    "THICKER_LABELS", "THICKER_SIGNS", "Choice", "ChoiceOutcome", "choice_lines", "find_fitted", "listed_twice", "not_listed", "outcomes",
    "size_names", "to_fit",
]  # fmt: skip

THICKER_LABELS: Final = {"tightens": "A thicker one tightens", "loosens": "A thicker one loosens"}
"""What a thicker part may do to the play, with the label of that choice."""

THICKER_SIGNS: Final = {"tightens": -1, "loosens": 1}
"""The sign of the change of play for each of `THICKER_LABELS`."""


class Size(Protocol):
    """What the unit data says of one size of a selective part."""

    @property
    def id(self) -> str:
        """What the data calls it."""

    @property
    def mark(self) -> str | None:
        """The mark on the part."""

    @property
    def number(self) -> str | None:
        """The shop's part number."""

    @property
    def name(self) -> str:
        """What it is called."""


def size_names(sizes: Sequence[Size]) -> dict[str, str]:
    """What tells sizes apart for a reader.

    Args:
        sizes: all sizes of one selective part.

    Returns:
        A name for each id: the mark, else the number, else the name, as soon as all have one and no two are alike to a reader;
        else the id itself.
    """
    for facts in ([size.mark for size in sizes], [size.number for size in sizes], [size.name for size in sizes]):
        told = [fact for fact in facts if fact]
        if len({alike(fact) for fact in told}) == len(sizes):
            return {size.id: fact for size, fact in zip(sizes, told, strict=True)}
    return {size.id: size.id for size in sizes}


@dataclass(frozen=True, slots=True)
class Choice:
    """One size of a selective part."""

    id: str = text("Which", "The number or mark of this size.", role="identity")
    thickness: Fraction = length(
        "Thickness", "Its thickness, measured or from the kit's list.", above="0 mm", most="200 mm", role="thickness"
    )
    stock: int | None = count(
        "On the shelf",
        "How many are there. Leave empty if there are always enough.",
        least=0,
        most=1_000_000,
        optional=True,
        role="stock",
    )


@dataclass(frozen=True, slots=True)
class ChoiceOutcome:
    """What one size would give."""

    id: str = text("Which", "The size.", role="identity")
    thickness: Fraction = length("Thickness", "Its thickness.")
    clearance: Fraction = length("Clearance", "The clearance with it fitted.")
    verdict: str = choice_field(
        "Verdict", "Whether that is within the limits.", {"in": "in", "low": "too tight", "high": "too loose"}
    )


def find_fitted(fitted: str, choices: Sequence[Choice], field: str, list_field: str) -> Iterable[Problem]:
    """The problems of a list of sizes: an id that appears twice, or a fitted one that is not in the list.

    Args:
        fitted: id of the size fitted.
        choices: the sizes.
        field: dotted name of the field that names the fitted one.
        list_field: dotted name of the list.

    Yields:
        Each problem.
    """
    yield from listed_twice(choices, list_field)
    yield from not_listed(fitted, choices, field)


def listed_twice(choices: Sequence[Choice], field: str) -> Iterable[Problem]:
    """The problem of each id that is in a list of sizes already.

    Args:
        choices: the sizes.
        field: dotted name of the list.
    """
    seen: set[str] = set()
    for index, choice in enumerate(choices):
        if choice.id in seen:
            yield Problem(
                f"{field}.{index}.id",
                "duplicate-id",
                f"“{choice.id}” appears twice in the list.",
                "Give each size once.",
            )
        seen.add(choice.id)


def not_listed(fitted: str, choices: Sequence[Choice], field: str) -> Iterable[Problem]:
    """The problem of a fitted size that is not in the list of sizes.

    Args:
        fitted: id of the size fitted.
        choices: the sizes.
        field: dotted name of the field that names the fitted one.
    """
    if all(choice.id != fitted for choice in choices):
        known = ", ".join(choice.id for choice in choices[:8])
        yield Problem(field, "unknown-choice", f"“{fitted}” is not in the list of sizes.", f"Name one of: {known}.")


def outcomes(
    clearance: Fraction, fitted: str, choices: Sequence[Choice], limits: Limits, effect: int
) -> tuple[ChoiceOutcome, ...]:
    """The clearance with each size: clearance + effect (its thickness - the fitted one's), exact.

    Args:
        clearance: measured with the fitted size, mm.
        fitted: id of the size fitted, one of `choices`.
        choices: the sizes.
        limits: the limits, mm.
        effect: -1 when a thicker part tightens, 1 when it loosens.

    Returns:
        One outcome a size, in the same order.

    Example:
        >>> sizes = [Choice(id="thin", thickness=Fraction("2.0")), Choice(id="thick", thickness=Fraction("2.2"))]
        >>> limits = Limits(min=Fraction("0.8"), max=Fraction("1.2"))
        >>> [(found.id, str(found.clearance), found.verdict) for found in outcomes(Fraction("1.3"), "thin", sizes, limits, -1)]
        [('thin', '13/10', 'high'), ('thick', '11/10', 'in')]
    """
    here = next(choice.thickness for choice in choices if choice.id == fitted)
    each = ((choice, moved(clearance, effect * (choice.thickness - here))) for choice in choices)
    return tuple(
        ChoiceOutcome(id=choice.id, thickness=choice.thickness, clearance=value, verdict=judge(value, limits))
        for choice, value in each
    )


def to_fit(found: Sequence[ChoiceOutcome], choices: Sequence[Choice], fitted: str, limits: Limits) -> str | None:
    """The size to fit: within the limits, on the shelf, nearest their centre; on a tie the fitted one, then the first.

    Args:
        found: what each size would give, from `outcomes`.
        choices: the sizes, with what is on the shelf.
        fitted: id of the size fitted; it can be had whatever the shelf holds.
        limits: the limits, mm.

    Returns:
        Its id, or None when no size that can be had is within the limits.
    """
    at_hand = {choice.id for choice in choices if choice.stock != 0 or choice.id == fitted}
    fitting = [outcome for outcome in found if outcome.verdict == "in" and outcome.id in at_hand]
    ranked = sorted(fitting, key=lambda outcome: (abs(outcome.clearance - limits.centre), outcome.id != fitted))
    return ranked[0].id if ranked else None


def choice_lines(
    found: Sequence[ChoiceOutcome], fitted: str, clearance: Fraction, effect: int, units: AnswerUnits
) -> tuple[str, ...]:
    """The working of `outcomes`, a line for each size but the fitted one.

    Args:
        found: what each size would give.
        fitted: id of the size fitted.
        clearance: measured with the fitted size, mm.
        effect: -1 when a thicker part tightens, 1 when it loosens.
        units: for the figures.

    Returns:
        The lines.
    """
    here = next(outcome.thickness for outcome in found if outcome.id == fitted)
    sign = "−" if effect < 0 else "+"
    return tuple(
        f"with {outcome.id}: {units.number(clearance)} {sign} "
        f"({units.number(outcome.thickness)} − {units.number(here)}) {units.equals(outcome.clearance)}"
        for outcome in found
        if outcome.id != fitted
    )
