"""Sine and cosine in whole numbers, held against the C library."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from calc_engine.practice.circle import hundredths, on_circle


def test_circle_agrees_with_the_c_library() -> None:
    """At every thousandth of a turn both are right to 1e-12, which is far below a drawing's hundredth."""
    for step in range(1001):
        sine, cosine = on_circle(Fraction(step, 1000))
        assert abs(sine / 10**18 - math.sin(math.tau * step / 1000)) < 1e-12
        assert abs(cosine / 10**18 - math.cos(math.tau * step / 1000)) < 1e-12


@pytest.mark.parametrize(
    ("centre", "radius", "part", "text"),
    [
        (160, 0, 10**18, "160"),
        (160, 12_345, 10**18, "283.45"),
        (160, -12_340, 10**18, "36.6"),
        (0, -5, 10**18, "-0.05"),
        (0, -250, 10**18, "-2.5"),
        (0, 1, 5 * 10**17, "0.01"),
        (0, 1, 4 * 10**17, "0"),
    ],
)
def test_coordinates_are_rounded_to_hundredths(centre: int, radius: int, part: int, text: str) -> None:
    """A coordinate has at most two decimals and no trailing zero."""
    assert hundredths(centre, radius, part) == text
