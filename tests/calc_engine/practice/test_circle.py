"""Points on a circle, held against the C library."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from calc_engine.practice.circle import hundredths, on_circle


def test_circle_agrees_with_the_c_library() -> None:
    """At every thousandth of a turn both are right to 1e-14, which is far below a drawing's hundredth."""
    for step in range(1001):
        sine, cosine = on_circle(Fraction(step, 1000))
        assert abs(sine - math.sin(math.tau * step / 1000)) < 1e-14
        assert abs(cosine - math.cos(math.tau * step / 1000)) < 1e-14


@pytest.mark.parametrize(
    ("centre", "radius", "part", "text"),
    [
        (160, 0, 1.0, "160"),
        (160, 12_345, 1.0, "283.45"),
        (160, -12_340, 1.0, "36.6"),
        (0, -5, 1.0, "-0.05"),
        (0, -250, 1.0, "-2.5"),
        (0, 1, 0.5, "0.01"),
        (0, 1, 0.4, "0"),
    ],
)
def test_coordinates_are_rounded_to_hundredths(centre: int, radius: int, part: float, text: str) -> None:
    """A coordinate has at most two decimals and no trailing zero."""
    assert hundredths(centre, radius, part) == text
