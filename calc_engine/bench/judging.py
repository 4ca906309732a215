"""Readings of one clearance, judged: what pack-clearance and end-play have in common."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from calc_engine.bench.advice import clearance_advice
from calc_engine.bench.measuring import MOST_POSITIONS
from calc_engine.bench.readings import Positions
from calc_engine.bench.selective import Choice, ChoiceOutcome, outcomes, to_fit
from calc_engine.bench.verdict import Limits, certain_flag, is_certain, judge, uncertainty_length
from calc_engine.declare.fields import Option, choice, group, length, number, text
from calc_engine.maths.functions import square_root
from calc_engine.maths.statistics import Uncertainty, known_uncertainty, mean, sample_variance
from calc_engine.quantities.answer_units import AnswerUnits, equals_number
from calc_engine.quantities.measured import Measured, uncertain
from calc_engine.quantities.units import Dimension

__all__ = [
    "Judged",
    "Selective",
    "as_judged",
    "combined_lines",
    "gauge_caution",
    "judge_readings",
    "judged_lines",
    "settle",
    "uncertainty_lines",
    "verdict_lines",
]

_VERDICTS: Final = (
    # With nothing to judge by, a value may be within its limits without being near one.
    Option("in", "in", unsure="In, but close", unjudged="In, but not sure"),
    Option("low", "too tight", unsure="Looks too tight"),
    Option("high", "too loose", unsure="Looks too loose"),
)


@dataclass(frozen=True, slots=True)
class Selective:
    """The selective part a clearance was measured with, and the sizes it comes in.

    Attributes:
        fitted: id of the size fitted.
        choices: the sizes.
        effect: -1 when a thicker part tightens, 1 when it loosens.
    """

    fitted: str
    choices: tuple[Choice, ...]
    effect: int


@dataclass(frozen=True, slots=True)
class Judged:
    """What is known of a clearance once it is measured and judged. Lengths in mm."""

    clearance: Fraction = length("Clearance", "The mean over the positions.", role="measured")
    smallest: Fraction = length("Smallest", "The smallest position.")
    largest: Fraction = length("Largest", "The largest position.")
    spread: Fraction = length("Spread", "Largest less smallest.")
    sd: Fraction | None = length("Standard deviation", "Of the positions, with n − 1. Absent for one position.", optional=True)
    uncertainty: Fraction | None = uncertainty_length()
    coverage_factor: Fraction | None = number(
        "Coverage factor",
        "Student's factor by which the standard uncertainty is multiplied. Absent without an uncertainty.",
        optional=True,
    )
    verdict: str = choice("Verdict", "Exact: a value on a limit is in.", _VERDICTS, role="verdict")
    certain: bool = certain_flag()
    advice: str = text("Advice", "What the verdict means and what to do.", role="advice")
    adjust: Fraction = length("Ideal extra thickness", "Brings it to the centre of the limits. Negative: to take away.")
    adjust_min: Fraction = length("Least extra thickness that works", "Just reaches a limit. Negative: to take away.")
    adjust_max: Fraction = length("Most extra thickness that works", "Just reaches the other limit. Negative: to take away.")
    positions: tuple[Fraction, ...] = length("At each position", "The value of each position.", many=((1, MOST_POSITIONS),))
    fit: str | None = text(
        "Size to fit", "The size nearest the centre of the limits. Absent when none is within them.", optional=True, role="fit"
    )
    by_choice: tuple[ChoiceOutcome, ...] | None = group(
        ChoiceOutcome, "With each size", "What each size would give.", many=((1, 60),), optional=True
    )


def judge_readings(
    read: Positions, values: Sequence[Fraction], limits: Limits, selective: Selective | None, units: AnswerUnits
) -> tuple[dict[str, Any], Uncertainty | None]:
    """The fields of `Judged` for one set of readings.

    Args:
        read: the readings, with what is known of the gauge.
        values: shape (n,), n >= 1, mm: what the readings come to.
        limits: the limits, mm.
        selective: the selective part, or None.
        units: for the figures in the advice.

    Returns:
        The fields by name, and the uncertainty they came from; None when the readings do not differ and nothing is
        known of the gauge, so that there is nothing to judge by.

    Source: JCGM 100:2008 for the uncertainty, ISO 14253-1:2017 for the guarded verdict; adjust is arithmetic.
    """
    value = as_judged(mean(values), read.step, limits)
    unsure = known_uncertainty(values, read.step_variance, read.error_variance)
    expanded = uncertain(unsure.expanded) if unsure else None
    found = outcomes(value, selective.fitted, selective.choices, limits, selective.effect) if selective else None
    fit = to_fit(found, selective.choices, selective.fitted, limits) if found and selective else None
    adjust, adjust_min, adjust_max = settle(value, limits, selective.effect if selective else -1)
    fitted, sizes = (selective.fitted, selective.choices) if selective else (None, ())
    return {
        "clearance": value,
        "smallest": Measured(min(values), read.step),
        "largest": Measured(max(values), read.step),
        "spread": Measured(max(values) - min(values), read.step),
        "sd": Measured(square_root(sample_variance(values)), read.step) if len(values) > 1 else None,
        "uncertainty": expanded,
        "coverage_factor": unsure.coverage_factor if unsure else None,
        "verdict": judge(value, limits),
        "certain": expanded is not None and is_certain(value, expanded, limits),
        "advice": clearance_advice(
            value,
            limits,
            expanded=expanded,
            fill_in=read.fill_in,
            fitted=fitted,
            fit=fit,
            sizes=[size.id for size in sizes],
            units=units,
        ),
        "adjust": adjust,
        "adjust_min": adjust_min,
        "adjust_max": adjust_max,
        "positions": tuple(Measured(value, read.step) for value in values),
        "fit": fit,
        "by_choice": found,
    }, unsure


def as_judged(value: Fraction, step: Fraction | None, limits: Limits) -> Measured:
    """A value as it is shown: as finely as it is known, and never on another side of a limit than the one it is on.

    Args:
        value: the measured value, mm.
        step: how finely it is known, mm; None where nothing is known of the gauge.
        limits: the limits, mm.
    """
    return Measured(value, step, (limits.min, limits.max))


def gauge_caution(values: str, uncertainty: Fraction | None) -> str:
    """What to mind when nothing is known of the gauge.

    Args:
        values: what was read, in the plural: ``positions``.
        uncertainty: the uncertainty that the readings alone gave; None when they do not differ.
    """
    if uncertainty is None:
        return (
            "No gauge data: how sure the verdict is cannot be worked out. Fill in the gauge's smallest division or largest error."
        )
    return f"No gauge data: the uncertainty counts only how the {values} differ."


def settle(clearance: Fraction, limits: Limits, effect: int = -1) -> tuple[Fraction, Fraction, Fraction]:
    """Thickness to add for the centre of the limits, and the least and the most that stay within them, mm; negative to take away.

    Args:
        clearance: the measured value, mm.
        limits: the limits, mm.
        effect: -1 when a thicker part tightens, 1 when it loosens.
    """
    step = clearance.step if isinstance(clearance, Measured) else None
    goals = (limits.centre, limits.max, limits.min)
    centre, first, last = (Measured(-effect * (clearance - goal), step) for goal in goals)
    return centre, min(first, last), max(first, last)


def uncertainty_lines(
    values: Sequence[Fraction],
    step: Fraction | None,
    unsure: Uncertainty | None,
    units: AnswerUnits,
    dimension: Dimension = Dimension.LENGTH,
    *,
    readings: str = "positions",
) -> Iterable[str]:
    """The working of the uncertainty, for a mean of readings in the base unit.

    Args:
        values: shape (n,), n >= 1: the readings.
        step: how finely they are shown; None where nothing is known of the gauge.
        unsure: what is known of the uncertainty; None when nothing is.
        units: for the figures.
        dimension: what was read.
        readings: what the readings are called.
    """
    number_of = len(values)
    if number_of > 1:
        low, high = (Measured(value, step) for value in (min(values), max(values)))
        deviation = Measured(square_root(sample_variance(values)), step)
        yield f"spread = {units.number(high, dimension)} − {units.number(low, dimension)} {units.equals(Measured(high - low, step), dimension)}"
        yield f"standard deviation of the {number_of} {readings} {units.equals(deviation, dimension)}"
    if unsure is None:
        yield "uncertainty: not known; it takes readings that differ, or the gauge's smallest division or largest error"
        return
    spread, gauge = square_root(unsure.spread_part), square_root(unsure.gauge_part)
    source = f"standard deviation / √{number_of}" if unsure.from_readings else "the gauge's steps"
    yield f"from {source}: u₁ {units.equals(spread, dimension)}; from the largest error / √3: u₂ {units.equals(gauge, dimension)}"
    yield from combined_lines(unsure, units, dimension)


def combined_lines(unsure: Uncertainty, units: AnswerUnits, dimension: Dimension = Dimension.LENGTH) -> Iterable[str]:
    """The end of the working of an uncertainty: its two parts u₁ and u₂ together, and expanded.

    Args:
        unsure: the uncertainty, base unit.
        units: for the figures.
        dimension: what was measured.
    """
    freedom = "infinite" if unsure.degrees_of_freedom is None else equals_number(unsure.degrees_of_freedom, 1).lstrip("=≈ ")
    factor = f"k {equals_number(unsure.coverage_factor, 3)} (degrees of freedom: {freedom}; 95.45 %)"
    yield f"u = √(u₁² + u₂²) {units.equals(unsure.standard, dimension)}; {factor}"
    yield f"uncertainty U = k × u {units.equals(uncertain(unsure.expanded), dimension)}"


def verdict_lines(
    value: Fraction, expanded: Fraction | None, limits: Limits, units: AnswerUnits, effect: int = -1
) -> Iterable[str]:
    """The working of a guarded verdict; without an uncertainty nothing is said of how sure it is.

    Args:
        value: the measured value, mm.
        expanded: its expanded uncertainty, mm; None when nothing is known of it.
        limits: the limits, mm.
        units: for the figures.
        effect: -1 when a thicker part tightens, 1 when it loosens.
    """
    yield from judged_lines(value, expanded, limits, units)
    add = settle(value, limits, effect)[0]
    first, second = (value, limits.centre) if effect < 0 else (limits.centre, value)
    yield f"centre of the limits {units.equals(limits.centre)}; thickness to add = {units.number(first)} − {units.number(second)} {units.equals(add)}"


def judged_lines(value: Fraction, expanded: Fraction | None, limits: Limits, units: AnswerUnits) -> Iterable[str]:
    """As `verdict_lines`, without the thickness to add.

    Args:
        value: the measured value, mm.
        expanded: its expanded uncertainty, mm; None when nothing is known of it.
        limits: the limits, mm.
        units: for the figures.
    """
    said = {"in": "within", "low": "below", "high": "above"}[judge(value, limits)]
    low, high = (units.limit(limit, value) for limit in (limits.min, limits.max))
    yield f"limits {low} to {high} {units.symbol(Dimension.LENGTH)}: {units.number(value)} is {said} them"
    if expanded is not None:
        sure = (
            "all on one side of each limit: sure" if is_certain(value, expanded, limits) else "a limit lies in between: not sure"
        )
        step = value.step if isinstance(value, Measured) else None
        least, most = (as_judged(end, step, limits) for end in (value - expanded, value + expanded))
        yield f"could be {units.number(least)} to {units.show(most)}: {sure}"
