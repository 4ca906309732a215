"""Limits, and the decision whether a value lies within them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

from calc_engine.declare.fields import flag, length
from calc_engine.problems import Problem

__all__ = [
    "Limits",
    "Verdict",
    "certain_flag",
    "crossed",
    "is_certain",
    "is_certain_between",
    "judge",
    "judge_between",
    "uncertainty_length",
]

Verdict = Literal["in", "low", "high"]


def certain_flag() -> Any:
    """The output that says whether a verdict is certain, as `is_certain` decides it."""
    help_text = "Whether the verdict holds for every true value within the uncertainty. Never without an uncertainty."
    return flag("Sure", help_text, role="certain")


def uncertainty_length(absent: str = "when the readings do not differ and there is no gauge data") -> Any:
    """The output that holds the expanded uncertainty of a length.

    Args:
        absent: when there is none.
    """
    help_text = f"The true value lies within plus or minus this, 95.45 times in 100. Absent {absent}."
    return length("Uncertainty", help_text, optional=True, role="uncertainty")


def crossed(low: Fraction, high: Fraction, field: str, what: str = "limits") -> Iterable[Problem]:
    """The problem of two limits in the wrong order or equal, if they are.

    Args:
        low: the smallest value allowed.
        high: the largest value allowed, in the same unit.
        field: dotted name of the field that is to blame.
        what: what the two are the limits of, for the message.

    Yields:
        The problem, or nothing.

    Example:
        >>> [problem.message for problem in crossed(Fraction(2), Fraction(1), "limits")]
        ['The smallest of the limits is not below the largest.']
    """
    if low >= high:
        yield Problem(
            field,
            "crossed-limits",
            f"The smallest of the {what} is not below the largest.",
            "Check which is which: min must be below max.",
        )


@dataclass(frozen=True, slots=True)
class Limits:
    """The smallest and the largest value allowed, in mm."""

    min: Fraction = length("Smallest allowed", "The lower limit of the spec. A value on it is in.", least="0 mm", most="200 mm")
    max: Fraction = length("Largest allowed", "The upper limit of the spec. A value on it is in.", least="0 mm", most="200 mm")

    @property
    def centre(self) -> Fraction:
        """Half way between the limits."""
        return (self.min + self.max) / 2

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when the limits are crossed."""
        return crossed(self.min, self.max, field)


def judge(value: Fraction, limits: Limits) -> Verdict:
    """Whether a value is within its limits; exact, and a value on a limit is in.

    Args:
        value: the value, mm.
        limits: the limits, mm.

    Returns:
        ``low``, ``in`` or ``high``.

    Example:
        >>> limits = Limits(min=Fraction("0.80"), max=Fraction("1.20"))
        >>> judge(Fraction("1.20"), limits), judge(Fraction("1.21"), limits)
        ('in', 'high')
    """
    return judge_between(value, limits.min, limits.max)


def judge_between(value: Fraction, low: Fraction | None, high: Fraction | None) -> Verdict:
    """As `judge`, for limits of anything, of which one may be missing.

    Args:
        value: the value, in any unit.
        low: the lower limit in the same unit; None for no lower limit.
        high: the upper limit; None for no upper limit.

    Example:
        >>> judge_between(Fraction(2), Fraction(3), None), judge_between(Fraction(2), None, Fraction(3))
        ('low', 'in')
    """
    if low is not None and value < low:
        return "low"
    return "high" if high is not None and value > high else "in"


def is_certain(value: Fraction, expanded: Fraction, limits: Limits) -> bool:
    """Whether the verdict holds whatever the true value is within the expanded uncertainty.

    Args:
        value: the measured value, mm.
        expanded: its expanded uncertainty U, mm, >= 0.
        limits: the limits, mm.

    Returns:
        True when value - U to value + U lies wholly on one side of each limit. Touching a limit from within counts as within.

    Source: the guarded decision of ISO 14253-1:2017 and JCGM 106:2012, 8.3, with a guard band of U.

    Example:
        >>> limits = Limits(min=Fraction("0.80"), max=Fraction("1.20"))
        >>> is_certain(Fraction("1.15"), Fraction("0.05"), limits), is_certain(Fraction("1.16"), Fraction("0.05"), limits)
        (True, False)
    """
    return is_certain_between(value, expanded, limits.min, limits.max)


def is_certain_between(value: Fraction, expanded: Fraction, low: Fraction | None, high: Fraction | None) -> bool:
    """As `is_certain`, for limits of anything, of which one may be missing.

    Args:
        value: the measured value, in any unit.
        expanded: its expanded uncertainty U in the same unit, >= 0.
        low: the lower limit; None for no lower limit.
        high: the upper limit; None for no upper limit.

    Source: as `is_certain`.

    Example:
        >>> is_certain_between(Fraction(5), Fraction(1), Fraction(4), None), is_certain_between(Fraction(5), Fraction(2), Fraction(4), None)
        (True, False)
    """
    least, most = value - expanded, value + expanded
    above_low = low is None or least >= low or most < low
    below_high = high is None or most <= high or least > high
    return above_low and below_high
