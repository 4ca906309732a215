"""sight-size: letters against the angle of sight."""

from __future__ import annotations

from typing import Any

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

SMALL = "Under 16 minutes of arc letters are not read with certainty (ISO 9241-3): make them larger or come nearer."
FAIR = "Under 20 minutes of arc letters are read, but not easily (ISO 9241-3 prefers 20 to 22)."


def test_the_example_by_mpmath(bench: Any, near: Any) -> None:
    """20 minutes of arc at 3.5 m: 20.36 mm."""
    assert near(
        bench.result("sight-size"),
        {"advice": "Make capitals at least 20.362 mm high.", "height": "20.3622320389531 mm"},  # 20.362232038953139
    )
    assert bench.working("sight-size") == ["height = 2 × d × tan(a/2) = 2 × 3500.00 × tan(20′ / 2) ≈ 20.362 mm"]


@pytest.mark.parametrize("arc_minutes", [20, "20", "20 arcmin", "20′", "1/3 deg"])
def test_a_bare_number_is_minutes_of_arc(bench: Any, arc_minutes: Any) -> None:
    """And a unit is understood."""
    assert bench.result("sight-size", arc_minutes=arc_minutes)["height"].startswith("20.36223203895")


@pytest.mark.parametrize(("minutes", "cautions"), [("15.9", [SMALL]), ("16", [FAIR]), ("19.9", [FAIR]), ("20", []), ("22", [])])
def test_small_angles_are_warned_of(bench: Any, minutes: Any, cautions: Any) -> None:
    """Under 16 not at all, under 20 not easily."""
    assert bench.cautions("sight-size", arc_minutes=minutes) == cautions


def test_units_of_the_answer(bench: Any, near: Any) -> None:
    """In the unit of the distance, or as asked."""
    assert near(bench.result("sight-size", distance="100 in")["height"], "0.581778058255804 in")  # 0.58177805825580398
    assert bench.result("sight-size", distance="3.5 m")["height"].endswith(" m")
    assert bench.result("sight-size", distance="100 in", units="metric")["height"].endswith(" mm")
    assert bench.result("sight-size", units="inch")["height"].endswith(" in")


def test_limits_of_sense(bench: Any) -> None:
    """No distance, a distance of a kilometre, no angle, an angle of a quarter turn."""
    found = bench.problems("sight-size", distance="0 m", arc_minutes="0")
    assert found == [
        ("distance", "out-of-range", "Distance: 0 m is too small.", "It must be more than 0 m."),
        ("arc_minutes", "out-of-range", "Minutes of arc: 0 arcmin is too small.", "It must be more than 0 arcmin."),
    ]
    assert [code for _, code, _, _ in bench.problems("sight-size", distance="1000 m", arc_minutes="90 deg")] == [
        "out-of-range",
        "out-of-range",
    ]


@given(st.integers(1, 20000), st.integers(1, 600))
def test_agrees_with_mpmath(bench: Any, near: Any, distance: Any, minutes: Any) -> None:
    """To 12 digits, and never smaller from farther away."""
    result = bench.result("sight-size", distance=f"{distance} mm", arc_minutes=str(minutes))
    with mpmath.workdps(30):
        expected = 2 * distance * mpmath.tan(mpmath.mpf(minutes) / 120 * mpmath.pi / 180)
    assert near(result["height"], f"{mpmath.nstr(expected, 20, min_fixed=-30, max_fixed=30)} mm")
