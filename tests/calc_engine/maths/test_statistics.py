"""Mean, spread and expanded uncertainty: exact where they can be, by hand where they cannot."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.maths.distributions import coverage_factor
from calc_engine.maths.statistics import Uncertainty, expanded_uncertainty, mean, sample_variance
from calc_engine.quantities.figures import exact_text

READINGS = st.lists(st.decimals(min_value=0, max_value=5, places=3).map(Fraction), min_size=1, max_size=24)
VARIANCES = st.decimals(min_value=0, max_value=1, places=4).map(lambda value: Fraction(value) ** 2)


def fractions(*texts: str) -> tuple[Fraction, ...]:
    """Readings from their texts."""
    return tuple(map(Fraction, texts))


def test_the_mean_of_readings_is_exact() -> None:
    """A third stays a third."""
    assert mean(fractions("1", "1", "2")) == Fraction(4, 3)
    assert mean(fractions("0.1", "0.2")) == Fraction("0.15")


def test_the_sample_variance_divides_by_n_less_one() -> None:
    """1, 2, 3, 4: squares of 1.5, 0.5, 0.5, 1.5 make 5, over 3."""
    assert sample_variance(fractions("1", "2", "3", "4")) == Fraction(5, 3)
    assert sample_variance(fractions("1.31", "1.33")) == Fraction("0.0002")


def test_one_reading_has_the_step_s_uncertainty_and_no_spread() -> None:
    """Dial with 0.06 mm steps: q = r^2/6 = 0.0006; with a = 0.03 mm: b = 0.0003; u = 0.03, k = 2.0000024, endless freedom."""
    step, error = Fraction("0.0006"), Fraction("0.0003")
    found = expanded_uncertainty(fractions("1.31"), step, error)
    assert found == Uncertainty(
        spread_part=step, from_readings=False, gauge_part=error, degrees_of_freedom=None, standard=Fraction("0.03"),
        coverage_factor=coverage_factor(None), expanded=Fraction("0.0600000733169881"),
    )  # fmt: skip
    assert abs(found.coverage_factor * Fraction("0.03") - found.expanded) < Fraction(1, 10**16)


def test_two_readings_have_one_degree_of_freedom() -> None:
    """1.0 and 1.2: s^2/n = 0.01; k for one degree is 13.968 (JCGM 100:2008, table G.2 prints 13.97)."""
    found = expanded_uncertainty(fractions("1.0", "1.2"), Fraction(0), Fraction(0))
    assert (found.spread_part, found.from_readings, found.degrees_of_freedom) == (Fraction("0.01"), True, Fraction(1))
    assert found.standard == Fraction("0.1")
    assert round(found.coverage_factor, 2) == Fraction("13.97")
    assert found.expanded == Fraction("1.39678114875026")


def test_the_larger_of_spread_and_steps_counts() -> None:
    """At equality the steps count, with endless freedom: s^2/n = 0.01 against q/n."""
    values = fractions("1.0", "1.2")
    larger = expanded_uncertainty(values, Fraction("0.0201"), Fraction(0))
    assert (larger.spread_part, larger.from_readings, larger.degrees_of_freedom) == (Fraction("0.01005"), False, None)
    equal = expanded_uncertainty(values, Fraction("0.02"), Fraction(0))
    assert (equal.spread_part, equal.from_readings, equal.degrees_of_freedom) == (Fraction("0.01"), False, None)
    smaller = expanded_uncertainty(values, Fraction("0.0199"), Fraction(0))
    assert (smaller.spread_part, smaller.from_readings, smaller.degrees_of_freedom) == (Fraction("0.01"), True, Fraction(1))


def test_the_effective_freedom_is_welch_and_satterthwaite_s() -> None:
    """u_A^2 = 0.01 with 1 degree and u_B^2 = 0.03: (0.04)^2 / (0.01^2 / 1) = 16; t at 16 degrees for 95.45 % is 2.17 (table G.2)."""
    found = expanded_uncertainty(fractions("1.0", "1.2"), Fraction(0), Fraction("0.03"))
    assert found.degrees_of_freedom == 16
    assert found.standard == Fraction("0.2")
    assert round(found.coverage_factor, 2) == Fraction("2.17")


def test_readings_that_agree_and_a_gauge_that_is_not_known_have_no_uncertainty() -> None:
    """Nothing is divided by nothing."""
    found = expanded_uncertainty(fractions("1", "1", "1"), Fraction(0), Fraction(0))
    assert (found.expanded, found.standard, found.degrees_of_freedom, found.from_readings) == (
        Fraction(0),
        Fraction(0),
        None,
        False,
    )


def test_the_gauge_s_error_alone_has_endless_freedom() -> None:
    """Readings that agree add nothing to it."""
    found = expanded_uncertainty(fractions("1", "1"), Fraction(0), Fraction("0.0004"))
    assert (found.standard, found.degrees_of_freedom) == (Fraction("0.02"), None)


@given(READINGS, VARIANCES, VARIANCES)
def test_the_order_of_readings_does_not_matter(values: list[Fraction], step: Fraction, error: Fraction) -> None:
    """Forwards, backwards and sorted give the same."""
    assert (
        expanded_uncertainty(values, step, error)
        == expanded_uncertainty(values[::-1], step, error)
        == expanded_uncertainty(sorted(values), step, error)
    )


@given(READINGS, VARIANCES, VARIANCES, st.integers(1, 1000))
def test_the_uncertainty_scales_with_the_unit(values: list[Fraction], step: Fraction, error: Fraction, factor: int) -> None:
    """Readings times a factor have the uncertainty times that factor, but for the 15th digit."""
    plain = expanded_uncertainty(values, step, error)
    scaled = expanded_uncertainty([factor * value for value in values], factor**2 * step, factor**2 * error)
    assert scaled.degrees_of_freedom == plain.degrees_of_freedom
    assert abs(scaled.expanded - factor * plain.expanded) <= factor * plain.expanded * Fraction(1, 10**14)


@given(READINGS, VARIANCES, VARIANCES)
def test_a_shift_of_all_readings_changes_nothing(values: list[Fraction], step: Fraction, error: Fraction) -> None:
    """Only differences between readings count."""
    shifted = [value + Fraction("0.123") for value in values]
    assert expanded_uncertainty(shifted, step, error) == expanded_uncertainty(values, step, error)


@given(READINGS, VARIANCES, VARIANCES, VARIANCES)
def test_a_worse_gauge_has_a_larger_standard_uncertainty(
    values: list[Fraction], step: Fraction, one: Fraction, other: Fraction
) -> None:
    """The combined standard uncertainty grows with the gauge's error; k shrinks towards 2 meanwhile."""
    low, high = (expanded_uncertainty(values, step, error) for error in sorted((one, other)))
    assert low.standard <= high.standard
    assert low.coverage_factor >= high.coverage_factor >= coverage_factor(None)


@given(READINGS, VARIANCES, VARIANCES)
def test_the_printed_uncertainty_is_k_u_to_15_digits(values: list[Fraction], step: Fraction, error: Fraction) -> None:
    """Fifteen digits, so that the figures on the sheet decide as the engine does."""
    found = expanded_uncertainty(values, step, error)
    exact = found.coverage_factor * found.standard
    assert abs(found.expanded - exact) <= exact * Fraction(1, 2 * 10**14)
    assert len(exact_text(found.expanded).replace(".", "").strip("0")) <= 15


@pytest.mark.parametrize("count", [2, 3, 5, 24])
def test_the_mean_of_n_readings_is_the_square_root_of_n_surer(count: int) -> None:
    """Steps of the gauge divide by n."""
    found = expanded_uncertainty([Fraction(1)] * count, Fraction("0.36"), Fraction(0))
    assert found.spread_part == Fraction("0.36") / count
