"""A figure that comes from readings is shown no finer than its gauge reads, and never on the wrong side of a limit."""

from __future__ import annotations

import copy
import pickle
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.quantities.answer_units import choose_units
from calc_engine.quantities.measured import Measured, decimals_of_step, mean_step, moved, uncertain

MM, INCH = choose_units((), "metric"), choose_units((), "inch")
LIMITS = (Fraction("0.80"), Fraction("1.20"))
EXACT = st.decimals(0, 3, places=6).map(Fraction)


def read(value: str, step: str | None, limits: tuple[Fraction, Fraction] | None = None) -> Measured:
    """A measured length in mm."""
    return Measured(Fraction(value), None if step is None else Fraction(step), limits)


@pytest.mark.parametrize(
    ("step", "decimals"),
    [
        ("0.01", 2),
        ("0.05", 2),
        ("0.02", 2),
        ("0.1", 1),
        ("0.001", 3),
        ("0.0005", 4),
        ("0.025", 3),
        ("0.0254", 2),
        ("1", 0),
        ("2", 0),
    ],
)
def test_a_scale_supports_so_many_decimals(step: str, decimals: int) -> None:
    """As many as its division has; of a division converted from the other system only the size counts."""
    assert decimals_of_step(Fraction(step)) == decimals


@pytest.mark.parametrize(
    ("value", "step", "shown"),
    [
        ("0.4636", "0.01", "0.46 mm"),  # one reading of a dial that stands at an angle
        ("1.3452", "0.001", "1.345 mm"),  # the mean of several readings of a dial of 0.01 mm
        ("1.04", "0.1", "1.0 mm"),
        ("0.004", "0.01", "0.00 mm"),  # less than the gauge can show
        ("0.0464", "0.01", "0.05 mm"),
        ("1.3452", None, "1.345 mm"),  # nothing is known of the gauge: by the rule of the unit
        ("1.23456", "0.0001", "1.235 mm"),  # a finer gauge does not add to what the unit shows
        ("-0.126", "0.01", "-0.13 mm"),
    ],
)
def test_no_finer_than_the_gauge(value: str, step: str | None, shown: str) -> None:
    """The figure with its unit."""
    assert MM.show(read(value, step)) == shown


def test_a_figure_that_loses_something_is_said_to() -> None:
    """The sign before it tells."""
    assert (MM.equals(read("0.4636", "0.01")), MM.equals(read("0.46", "0.01"))) == ("≈ 0.46 mm", "= 0.46 mm")


def test_of_several_readings_the_mean_has_one_decimal_more() -> None:
    """Of one there is no mean, and of a gauge of which nothing is known no step."""
    step = Fraction("0.01")
    assert (mean_step(step, 1), mean_step(step, 2), mean_step(None, 4)) == (step, step / 10, None)


def test_a_metric_gauge_in_an_inch_answer() -> None:
    """A hundredth of a millimetre is four tenths of a thousandth of an inch."""
    assert INCH.show(read("1.35", "0.01")) == "0.0531 in"
    assert INCH.show(read("25.4", "2.54")) == "1.0 in"


@pytest.mark.parametrize(
    ("value", "shown"), [("0.4068", "0.41"), ("0.0294", "0.029"), ("0.00123", "0.0012"), ("1.27", "1.3"), ("12.7", "13")]
)
def test_an_uncertainty_has_two_significant_digits_at_most(value: str, shown: str) -> None:
    """JCGM 100:2008, 7.2.6."""
    assert MM.show(uncertain(Fraction(value))) == f"{shown} mm"


@pytest.mark.parametrize(
    ("value", "step", "shown", "low", "high"),
    [
        ("1.2004", "0.001", "1.2004", "0.80", "1.20"),  # above, and rounded it would be on the limit
        ("1.2000004", "0.01", "1.2000004", "0.80", "1.20"),
        ("0.7996", "0.01", "0.7996", "0.80", "1.20"),
        ("1.2", "0.01", "1.20", "0.80", "1.20"),  # on the limit is in
        ("1.1996", "0.01", "1.20", "0.80", "1.20"),  # in, and on the limit when rounded: still in
        ("1.2064", "0.01", "1.21", "0.80", "1.20"),
        ("0.5", "0.01", "0.50", "0.80", "1.20"),
    ],
)
def test_the_figure_has_the_verdict_of_the_exact_value(value: str, step: str, shown: str, low: str, high: str) -> None:
    """As many decimals as it takes, and no more."""
    judged = read(value, step, LIMITS)
    assert (MM.number(judged), *(MM.limit(limit, judged) for limit in LIMITS)) == (shown, low, high)


def test_limits_that_are_rounded_themselves_are_told_apart_too() -> None:
    """In inches 1.20 mm is 0.0472441: a value just above is not shown as the same figure, and the limit has the decimals to compare."""
    judged = Measured(Fraction("1.20001"), Fraction("0.01"), LIMITS)
    assert (INCH.number(judged), INCH.limit(LIMITS[1], judged)) == ("0.0472445", "0.0472441")


@given(EXACT, st.sampled_from(["0.01", "0.001", "0.05", "0.0254", "0.00254"]), EXACT, EXACT, st.sampled_from([MM, INCH]))
def test_no_figure_is_on_another_side_of_a_limit_than_its_value(
    value: Fraction, step: str, one: Fraction, other: Fraction, units: object
) -> None:
    """Whatever the gauge and the units: the figures that are read give the verdict that is told."""
    low, high = sorted((one, other))
    judged = Measured(value, Fraction(step), (low, high))
    shown, least, most = (Fraction(text) for text in (units.number(judged), units.limit(low, judged), units.limit(high, judged)))  # type: ignore[attr-defined]
    assert ((shown < least), (shown > most)) == ((value < low), (value > high))


def test_it_is_the_exact_amount_in_every_sum() -> None:
    """Equal to the fraction it is, and a plain one once something is added; only what says so stays measured."""
    judged = read("1.2004", "0.001", LIMITS)
    assert judged == Fraction("1.2004")
    assert hash(judged) == hash(Fraction("1.2004"))
    assert type(judged + 1) is Fraction
    after = moved(judged, Fraction("-0.2"))
    assert (after, isinstance(after, Measured)) == (Fraction("1.0004"), True)
    assert MM.show(after) == "1.00 mm"
    assert type(moved(Fraction(1), Fraction(1))) is Fraction


@pytest.mark.parametrize("copied", [copy.copy, copy.deepcopy, lambda value: pickle.loads(pickle.dumps(value))])  # noqa: S301 - our own
def test_a_copy_knows_as_much(copied: object) -> None:
    """Whatever copies an answer keeps how finely it is known."""
    again = copied(read("1.2004", "0.001", LIMITS))  # type: ignore[operator]
    assert (again, again.step, again.limits, again.digits) == (Fraction("1.2004"), Fraction("0.001"), LIMITS, None)
