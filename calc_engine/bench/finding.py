"""A measured amount of any kind held against limits, of which one may be missing: its verdict and how sure it is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.verdict import Verdict, is_certain_between, judge_between
from calc_engine.maths.statistics import Uncertainty, known_uncertainty, mean
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import Measured, mean_step, uncertain
from calc_engine.quantities.units import Dimension

__all__ = ["Finding", "Held", "finding_lines", "hold", "hold_mean", "is_whole_certain", "reading_of", "whole_verdict"]

# For a verdict, with one limit and with both.
_WHERE: Final = {
    "in": ("keeps to it", "is within them"),
    "low": ("is below it", "is below them"),
    "high": ("is above it", "is above them"),
}


@dataclass(frozen=True, slots=True)
class Held:
    """The limits that a value is held against, in its base unit.

    Attributes:
        low: the lower limit; None for none.
        high: the upper limit; None for none.
    """

    low: Fraction | None
    high: Fraction | None

    def shown(self, value: Fraction, step: Fraction | None) -> Measured:
        """A value as finely as it is known, and never on another side of a limit than the one it is on."""
        ends = [end for end in (self.low, self.high) if end is not None]
        return Measured(value, step, (ends[0], ends[-1]) if ends else None)


@dataclass(frozen=True, slots=True)
class Finding:
    """A measured value and what the limits make of it, in the base unit.

    Attributes:
        value: the measured value.
        held: the limits.
        uncertainty: expanded, to plus or minus; None where nothing is known of it.
        verdict: exact; a value on a limit is in.
        certain: whether the verdict holds for every true value within the uncertainty; never without one.
    """

    value: Measured
    held: Held
    uncertainty: Measured | None
    verdict: Verdict
    certain: bool


def hold(value: Fraction, unsure: Uncertainty | None, step: Fraction | None, held: Held) -> Finding:
    """A value held against its limits.

    Args:
        value: the measured value, base unit.
        unsure: what is known of its uncertainty.
        step: how finely it is known; None where nothing is known of the gauge.
        held: the limits.

    Source: ISO 14253-1:2017 (see `verdict.is_certain`).

    Example:
        >>> found = hold(Fraction(5), None, None, Held(Fraction(4), None))
        >>> found.verdict, found.certain
        ('in', False)
    """
    expanded = uncertain(unsure.expanded) if unsure else None
    return Finding(
        value=held.shown(value, step),
        held=held,
        uncertainty=expanded,
        verdict=judge_between(value, held.low, held.high),
        certain=expanded is not None and is_certain_between(value, expanded, held.low, held.high),
    )


def hold_mean(values: Sequence[Fraction], step: Fraction | None, error: Fraction | None, held: Held) -> Finding:
    """The mean of single readings of one gauge held against its limits.

    Args:
        values: shape (n,), n >= 1, base unit.
        step: the gauge's smallest division r (variance r^2/12); None where it is not known.
        error: its largest error a (variance a^2/3); None where it is not known.
        held: the limits.

    Source: JCGM 100:2008, 4.2, 4.3.7 and 5.1.2 (see `statistics.expanded_uncertainty`).
    """
    return hold(mean(values), reading_of(values, step, error), mean_step(step, len(values)), held)


def reading_of(values: Sequence[Fraction], step: Fraction | None, error: Fraction | None) -> Uncertainty | None:
    """The uncertainty of the mean of single readings; arguments as of `hold_mean`."""
    return known_uncertainty(values, (step or Fraction(0)) ** 2 / 12, (error or Fraction(0)) ** 2 / 3)


def whole_verdict(findings: Sequence[Finding]) -> Verdict:
    """The verdict of several values together: low if one is, else high if one is, else in."""
    verdicts = {finding.verdict for finding in findings}
    return "low" if "low" in verdicts else "high" if "high" in verdicts else "in"


def is_whole_certain(findings: Sequence[Finding]) -> bool:
    """Whether the verdict of several values together is certain: all of them for “in”, one that is surely out for anything else."""
    verdict = whole_verdict(findings)
    if verdict == "in":
        return all(finding.certain for finding in findings)
    return any(finding.certain and finding.verdict == verdict for finding in findings)


def finding_lines(finding: Finding, units: AnswerUnits, dimension: Dimension = Dimension.LENGTH) -> Iterable[str]:
    """The working of a guarded verdict; without an uncertainty nothing is said of how sure it is.

    Args:
        finding: the value and its verdict.
        units: for the figures.
        dimension: what was measured.
    """
    value, held = finding.value, finding.held
    low, high = (None if end is None else units.limit(end, value, dimension) for end in (held.low, held.high))
    limits = f"limits {low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"
    where = _WHERE[finding.verdict][bool(low and high)]
    yield f"{limits} {units.symbol(dimension)}: {units.number(value, dimension)} {where}"
    if finding.uncertainty is not None:
        each = "of each limit" if low and high else "of the limit"
        sure = f"all on one side {each}: sure" if finding.certain else "a limit lies in between: not sure"
        ends = (held.shown(value + sign * finding.uncertainty, value.step) for sign in (-1, 1))
        least, most = (units.number(end, dimension) for end in ends)
        yield f"could be {least} to {most} {units.symbol(dimension)}: {sure}"
