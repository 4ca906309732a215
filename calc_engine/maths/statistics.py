"""Mean, spread and expanded uncertainty of a few readings (JCGM 100:2008, the GUM)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.maths.distributions import coverage_factor
from calc_engine.maths.functions import rounded, square_root, to_decimal, working_precision

__all__ = [
    "Uncertainty",
    "expanded_uncertainty",
    "known_uncertainty",
    "mean",
    "quantile",
    "sample_variance",
    "uncertainty_of_difference",
]

_PRINTED_DIGITS: Final = 15


def mean(values: Sequence[Fraction]) -> Fraction:
    """The arithmetic mean, exact.

    Args:
        values: n readings, n >= 1, any one unit.

    Returns:
        Their sum divided by n.

    Source: JCGM 100:2008, 4.2.1.

    Example:
        >>> mean([Fraction("1.31"), Fraction("1.36"), Fraction("1.35")])
        Fraction(67, 50)
    """
    return sum(values, Fraction(0)) / len(values)


def sample_variance(values: Sequence[Fraction]) -> Fraction:
    """The sample variance with n - 1, exact.

    Args:
        values: n readings, n >= 2.

    Returns:
        The variance, in the square of the readings' unit.

    Source: JCGM 100:2008, 4.2.2.

    Example:
        >>> sample_variance([Fraction(1), Fraction(2), Fraction(3)])
        Fraction(1, 1)
    """
    middle = mean(values)
    return sum(((value - middle) ** 2 for value in values), Fraction(0)) / (len(values) - 1)


def quantile(values: Sequence[Fraction], share: Fraction) -> Fraction:
    """The value that so large a share of all lies below, exact.

    Args:
        values: n values, n >= 1, any one unit, in any order.
        share: 0 to 1; 1/2 gives the median.

    Returns:
        The value at the place (n - 1) share of those in order of size, counted from 0; between two, in proportion.

    Source: Hyndman and Fan, The American Statistician 50 (1996), definition 7 (from memory).

    Example:
        >>> quantile([Fraction(4), Fraction(1), Fraction(3), Fraction(2)], Fraction(1, 2))
        Fraction(5, 2)
    """
    ordered = sorted(values)
    place = (len(ordered) - 1) * share
    below = place.numerator // place.denominator
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (place - below) * (ordered[above] - ordered[below])


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """How sure a measured value is.

    Attributes:
        spread_part: type A variance of the mean, from the readings or from the gauge's steps, whichever is larger.
        from_readings: whether the readings' own spread was the larger.
        gauge_part: type B variance, from the gauge's largest error.
        degrees_of_freedom: effective, by Welch-Satterthwaite; None for infinite.
        standard: combined standard uncertainty.
        coverage_factor: k for 95.45 %.
        expanded: k times the standard uncertainty, to 15 significant digits: as it is printed, so that whoever
            checks the decision from the printed figures decides the same.
    """

    spread_part: Fraction
    from_readings: bool
    gauge_part: Fraction
    degrees_of_freedom: Fraction | None
    standard: Fraction
    coverage_factor: Fraction
    expanded: Fraction


def expanded_uncertainty(values: Sequence[Fraction], step_variance: Fraction, gauge_variance: Fraction) -> Uncertainty:
    """The uncertainty of the mean of n readings, expanded to 95.45 %.

    u^2 = max(s^2/n, q/n) + b, k from Student-t at the effective degrees of freedom, U = k u.

    Args:
        values: n readings, n >= 1.
        step_variance: q, the variance of one value that comes from the gauge's steps, in unit^2.
        gauge_variance: b, the variance that comes from the gauge's largest error, in unit^2.

    Returns:
        The parts and the expanded uncertainty in the readings' unit.

    Source: JCGM 100:2008: 4.2.3 (mean), 4.3.7 (rectangle), 5.1.2 (combination), G.4.1 (Welch-Satterthwaite), G.3 (t factor).

    Example:
        >>> found = expanded_uncertainty([Fraction("1.30"), Fraction("1.32"), Fraction("1.34")], Fraction(0), Fraction(0))
        >>> found.degrees_of_freedom, f"{float(found.expanded):.4f}"
        (Fraction(2, 1), '0.0523')
    """
    number = len(values)
    steps = step_variance / number
    spread = sample_variance(values) / number if number > 1 else Fraction(0)
    from_readings = spread > steps
    variance_a = max(spread, steps)
    total = variance_a + gauge_variance
    freedom = (number - 1) * total**2 / variance_a**2 if from_readings else None
    return _expanded(variance_a, gauge_variance, freedom, from_readings=from_readings)


def _expanded(spread: Fraction, gauge: Fraction, freedom: Fraction | None, *, from_readings: bool) -> Uncertainty:
    standard = square_root(spread + gauge)
    factor = coverage_factor(freedom)
    with working_precision():
        expanded = rounded(to_decimal(factor * standard), _PRINTED_DIGITS)
    return Uncertainty(spread, from_readings, gauge, freedom, standard, factor, expanded)


def uncertainty_of_difference(one: Uncertainty, other: Uncertainty) -> Uncertainty | None:
    """The uncertainty of the difference of two values that were measured apart from each other.

    u^2 = u_1^2 + u_2^2, degrees of freedom u^4 / (u_1^4/nu_1 + u_2^4/nu_2).

    Args:
        one: the uncertainty of the first value.
        other: that of the second, in the same unit.

    Returns:
        The uncertainty, always above zero, or None where nothing is known of either.

    Source: JCGM 100:2008, 5.1.2 (both errors count, whichever value is taken from the other) and G.4.1.

    Example:
        >>> parts = [expanded_uncertainty([Fraction(1), Fraction(2), Fraction(3)], Fraction(0), Fraction(0)) for _ in "ab"]
        >>> uncertainty_of_difference(*parts).degrees_of_freedom
        Fraction(4, 1)
    """
    total = sum((part.spread_part + part.gauge_part for part in (one, other)), Fraction(0))
    if not total:
        return None
    shares = [
        (part.spread_part + part.gauge_part) ** 2 / part.degrees_of_freedom
        for part in (one, other)
        if part.degrees_of_freedom is not None
    ]
    return _expanded(
        one.spread_part + other.spread_part,
        one.gauge_part + other.gauge_part,
        total**2 / sum(shares, Fraction(0)) if shares else None,
        from_readings=one.from_readings or other.from_readings,
    )


def known_uncertainty(values: Sequence[Fraction], step_variance: Fraction, gauge_variance: Fraction) -> Uncertainty | None:
    """As `expanded_uncertainty`; None when it would be nothing: no reading is exact, so then nothing is known of it.

    Args:
        values: n readings, n >= 1.
        step_variance: q, as in `expanded_uncertainty`.
        gauge_variance: b, as in `expanded_uncertainty`.

    Returns:
        The uncertainty, always above zero, or None.
    """
    found = expanded_uncertainty(values, step_variance, gauge_variance)
    return found if found.expanded else None
