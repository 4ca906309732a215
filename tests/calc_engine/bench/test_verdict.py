"""Limits: exact verdicts, and the guarded decision."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.bench.verdict import Limits, crossed, is_certain, judge
from calc_engine.problems import Problem

LIMITS = Limits(min=Fraction("0.90"), max=Fraction("1.40"))
TINY = Fraction(1, 10**40)
LENGTHS = st.fractions(min_value=-3, max_value=3, max_denominator=1000)
SPREADS = st.fractions(min_value=0, max_value=3, max_denominator=1000)


def limits(one: Fraction, other: Fraction) -> Limits:
    """Limits from two lengths in any order, apart by a little at least."""
    return Limits(min=min(one, other), max=max(one, other) + TINY)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        (Fraction("0.90"), "in"),
        (Fraction("0.90") - TINY, "low"),
        (Fraction("1.40"), "in"),
        (Fraction("1.40") + TINY, "high"),
        (Fraction(1), "in"),
    ],
)
def test_a_value_on_a_limit_is_in(value: Fraction, verdict: str) -> None:
    """Exact: forty decimals beyond it, it is out."""
    assert judge(value, LIMITS) == verdict


@pytest.mark.parametrize(
    ("value", "expanded", "certain"),
    [
        ("1.15", "0", True), ("1.15", "0.25", True), ("1.15", "0.2500000001", False), ("0.95", "0.05", True),
        ("0.95", "0.0500001", False),
        ("0.90", "0", True), ("0.90", "0.0000001", False), ("1.40", "0", True), ("1.40", "0.0000001", False),
        ("0.80", "0.0999999", True), ("0.80", "0.10", False), ("0.80", "0.11", False), ("1.50", "0.0999999", True),
        ("1.50", "0.10", False),
        ("0.80", "0.6", False), ("1.50", "0.6", False), ("-5", "1", True), ("9", "1", True),
    ],
)  # fmt: skip
def test_a_verdict_is_certain_when_the_whole_interval_agrees(value: str, expanded: str, *, certain: bool) -> None:
    """From within an end may touch a limit; from outside it may not, since the limit itself is in."""
    assert is_certain(Fraction(value), Fraction(expanded), LIMITS) is certain


@given(LENGTHS, SPREADS, SPREADS, LENGTHS, LENGTHS)
def test_more_uncertainty_never_makes_a_verdict_certain(
    value: Fraction, one: Fraction, other: Fraction, low: Fraction, high: Fraction
) -> None:
    """What a better gauge cannot tell, a worse one cannot."""
    small, large = sorted((one, other))
    bounds = limits(low, high)
    assert is_certain(value, small, bounds) or not is_certain(value, large, bounds)


@given(LENGTHS, SPREADS, LENGTHS, LENGTHS, st.fractions(min_value=-1, max_value=1))
def test_a_certain_verdict_holds_wherever_the_true_value_lies(
    value: Fraction, expanded: Fraction, low: Fraction, high: Fraction, share: Fraction
) -> None:
    """Every value within the uncertainty has the same verdict."""
    bounds = limits(low, high)
    if is_certain(value, expanded, bounds):
        assert judge(value + share * expanded, bounds) == judge(value, bounds)
    else:
        ends = {judge(value - expanded, bounds), judge(value + expanded, bounds)}
        assert ends != {judge(value, bounds)}


@given(LENGTHS, LENGTHS, LENGTHS, LENGTHS)
def test_a_larger_value_never_has_a_tighter_verdict(one: Fraction, other: Fraction, low: Fraction, high: Fraction) -> None:
    """low, then in, then high."""
    order = ["low", "in", "high"]
    small, large = sorted((one, other))
    assert order.index(judge(small, limits(low, high))) <= order.index(judge(large, limits(low, high)))


def test_centre_of_limits() -> None:
    """Half way."""
    assert LIMITS.centre == Fraction("1.15")


CROSSED = Problem(
    "packs.0.limits",
    "crossed-limits",
    "The smallest of the limits is not below the largest.",
    "Check which is which: min must be below max.",
)


def test_crossed_or_equal_limits_are_a_problem() -> None:
    """Limits without room between them are no limits."""
    assert list(Limits(min=Fraction(1), max=Fraction(2)).problems("packs.0.limits")) == []
    assert list(Limits(min=Fraction(1), max=Fraction(1)).problems("packs.0.limits")) == [CROSSED]
    assert list(Limits(min=Fraction(2), max=Fraction(1)).problems("packs.0.limits")) == [CROSSED]


def test_crossed_limits_of_something_else_are_named() -> None:
    """The message says whose limits they are."""
    (problem,) = crossed(Fraction(2), Fraction(1), "force", "force limits")
    assert (problem.field, problem.message) == ("force", "The smallest of the force limits is not below the largest.")
