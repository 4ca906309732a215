"""The uncertainty of a difference against scipy's interval for two means, and against the law of propagation in numpy."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from calc_engine.maths.distributions import coverage_factor
from calc_engine.maths.statistics import expanded_uncertainty, uncertainty_of_difference

READINGS = st.lists(st.integers(1, 5000), min_size=2, max_size=12, unique=True)
NONE = Fraction(0)


@given(READINGS, READINGS)
def test_without_gauges_it_is_the_interval_of_two_means(first: list[int], second: list[int]) -> None:
    """Welch's, at 95.45 per cent."""
    one, other = (expanded_uncertainty([Fraction(value) for value in values], NONE, NONE) for values in (first, second))
    ours = uncertainty_of_difference(one, other)
    assert ours is not None
    theirs = stats.ttest_ind(first, second, equal_var=False)
    assert float(ours.degrees_of_freedom or 0) == pytest.approx(theirs.df, rel=1e-9)
    interval = theirs.confidence_interval(0.9545)
    assert float(ours.expanded) == pytest.approx((interval.high - interval.low) / 2, rel=1e-9)


@given(st.integers(1, 100), st.integers(1, 100), st.integers(0, 50), st.integers(0, 50))
def test_of_single_readings_it_is_the_root_of_the_sum_of_squares(
    step: int, other_step: int, error: int, other_error: int
) -> None:
    """Rectangles of the gauges alone, with the normal factor."""
    parts = [
        expanded_uncertainty([Fraction(1)], Fraction(r) ** 2 / 12, Fraction(a) ** 2 / 3)
        for r, a in ((step, error), (other_step, other_error))
    ]
    ours = uncertainty_of_difference(*parts)
    assert ours is not None
    assert ours.degrees_of_freedom is None
    standard = np.sqrt(step**2 / 12 + other_step**2 / 12 + error**2 / 3 + other_error**2 / 3)
    assert float(ours.expanded) == pytest.approx(float(coverage_factor(None)) * standard, rel=1e-12)


def test_nothing_known_of_either_is_nothing_known() -> None:
    """One reading each and no gauge."""
    part = expanded_uncertainty([Fraction(1)], NONE, NONE)
    assert uncertainty_of_difference(part, part) is None
