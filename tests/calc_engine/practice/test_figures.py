"""Figures with the decimals of their step, or rounded by their unit."""

from __future__ import annotations

from fractions import Fraction

import pytest

from calc_engine import find_unit
from calc_engine.practice.figures import at_step, places_of, shown


@pytest.mark.parametrize(
    ("value", "step", "text"),
    [
        ("13/10", "1/100", "1.30"),
        ("1", "1/20", "1.00"),
        ("1/8", "1/10", "0.125"),
        ("1350", "10", "1350"),
        ("0", "1/1000", "0.000"),
    ],
)
def test_figures_have_the_decimals_of_their_step(value: str, step: str, text: str) -> None:
    """1.30 where the step is 0.01; a finer value keeps all its digits."""
    assert at_step(Fraction(value), Fraction(step)) == text


def test_the_decimals_of_a_step_and_of_a_unit() -> None:
    """A step of a two-thousandth has four; inches are shown with four as well."""
    assert places_of(Fraction(1, 2000)) == 4
    inch = find_unit("in")
    assert inch is not None
    assert shown(Fraction(567, 10_000), inch) == "0.0567 in"
