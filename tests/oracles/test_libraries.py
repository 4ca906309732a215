"""Quantities, spread and decisions against general libraries: pint, uncertainties, scipy, and Python's own statistics module."""

from __future__ import annotations

import statistics
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from uncertainties import ufloat

from calc_engine import answer
from calc_engine.maths.distributions import coverage_factor
from calc_engine.maths.statistics import expanded_uncertainty, mean, sample_variance
from calc_engine.quantities.quantity import Quantity
from calc_engine.quantities.units import UNITS

REGISTRY = pint.UnitRegistry()
# Our names where pint spells a unit in another way.
IN_PINT = {
    "um": "micrometer", "in": "inch", "thou": "thou", "mm2": "mm**2", "in2": "inch**2", "lbf.ft": "lbf * foot", "lbf.in": "lbf * inch",
    "N.m": "N * m", "lbf/in": "lbf / inch", "kg/m3": "kg / m**3", "deg": "degree", "arcmin": "arcminute", "min": "minute", "h": "hour",
    "qt": "quart", "mL/s": "milliliter / second", "L/min": "liter / minute", "qt/min": "quart / minute", "1/K": "1 / kelvin",
}  # fmt: skip
PAIRS = [(one, other) for one in UNITS for other in UNITS if one.dimension is other.dimension]
READINGS = st.lists(st.fractions(min_value=0, max_value=5, max_denominator=1000), min_size=2, max_size=24)


@pytest.mark.parametrize(("one", "other"), PAIRS, ids=[f"{one} to {other}" for one, other in PAIRS])
@pytest.mark.parametrize("value", ["0.035", "30", "-40"])
def test_every_conversion_agrees_with_pint(one: Any, other: Any, value: str) -> None:
    """To 13 digits, temperatures with their offsets included."""
    ours = Quantity(Fraction(value), one).to(other).value
    theirs = REGISTRY.Quantity(float(value), IN_PINT.get(one.name, one.name)).to(IN_PINT.get(other.name, other.name))
    assert float(ours) == pytest.approx(theirs.magnitude, rel=1e-13, abs=1e-12)


@given(READINGS)
def test_mean_and_variance_agree_with_the_statistics_module(values: list[Fraction]) -> None:
    """Exactly: both work on fractions."""
    assert mean(values) == statistics.mean(values)
    assert sample_variance(values) == statistics.variance(values)


@given(st.fractions(min_value=1, max_value=500, max_denominator=100))
def test_the_coverage_factor_agrees_with_scipy(degrees: Fraction) -> None:
    """At any degrees of freedom, whole or not."""
    assert float(coverage_factor(degrees)) == pytest.approx(stats.t.ppf((1 + 0.9545) / 2, float(degrees)), rel=1e-10)


def test_the_coverage_factor_of_endless_freedom_agrees_with_scipy() -> None:
    """The normal distribution's."""
    assert float(coverage_factor(None)) == pytest.approx(stats.norm.ppf((1 + 0.9545) / 2), rel=1e-14)


@given(READINGS, st.fractions(min_value=0, max_value="0.01"), st.fractions(min_value=0, max_value="0.01"))
def test_the_expanded_uncertainty_agrees_with_scipy(values: list[Fraction], step: Fraction, error: Fraction) -> None:
    """Worked out again in floats from the contract's words."""
    count = len(values)
    spread = float(statistics.variance(values)) / count
    variance = max(spread, float(step) / count)
    total = variance + float(error)
    degrees = (count - 1) * total**2 / variance**2 if spread > float(step) / count else float("inf")
    expected = stats.t.ppf((1 + 0.9545) / 2, degrees) * total**0.5 if total else 0.0
    assert float(expanded_uncertainty(values, step, error).expanded) == pytest.approx(expected, rel=1e-9)


@given(st.lists(st.tuples(st.integers(1, 6), st.decimals(min_value="0.001", max_value="0.05", places=3)), min_size=1, max_size=6))
def test_the_error_of_a_stack_agrees_with_uncertainties(kinds: list[tuple[int, Any]]) -> None:
    """Linear error propagation with the same error in every part of a kind."""
    parts = [
        {"name": str(index), "thickness": "1 mm", "count": count, "max_error": f"{error} mm"}
        for index, (count, error) in enumerate(kinds)
    ]
    limits = {"min": "1 mm", "max": "100 mm"}
    reply = answer("pack-clearance", {"method": "parts", "cavity": "80 mm", "parts": parts, "limits": limits})
    first, *rest = (count * ufloat(1, float(error) / 3**0.5) for count, error in kinds)
    stack = sum(rest, first)
    ours = float(reply["result"]["uncertainty"].removesuffix(" mm"))
    assert ours == pytest.approx(float(coverage_factor(None)) * stack.s, rel=1e-12)
    assert float(reply["result"]["clearance"].removesuffix(" mm")) == pytest.approx(80 - stack.n, rel=1e-14)
