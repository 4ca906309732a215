"""indicator-angle."""

from __future__ import annotations

from typing import Any

import mpmath
from hypothesis import given
from hypothesis import strategies as st


class TestIndicatorAngle:
    """indicator-angle."""

    def test_the_example_by_mpmath(self, bench: Any, near: Any) -> None:
        """0.48 cos 15 degrees."""
        assert near(
            bench.result("indicator-angle"),
            {"true_travel": "0.463644396618753 mm", "error": "0.0163556033812472 mm"},  # 0.46364439661875278
        )
        assert bench.working("indicator-angle") == [
            "cos 15° ≈ 0.9659",
            "true travel = reading × cos a = 0.48 × 0.9659 ≈ 0.464 mm",
            "error = 0.48 − 0.464 ≈ 0.016 mm",
        ]

    def test_more_than_ten_degrees_is_set_up_again(self, bench: Any) -> None:
        """10 itself is not warned of."""
        assert bench.cautions("indicator-angle") == [
            "More than 10° off: set the dial up again rather than correct it (common practice, no source)."
        ]
        assert bench.cautions("indicator-angle", angle="10 deg") == []

    def test_exact_where_the_cosine_is(self, bench: Any) -> None:
        """Upright the reading is true, at 60 degrees half of it; a dial that runs backwards stays negative."""
        assert bench.result("indicator-angle", angle="0 deg") == {"true_travel": "0.48 mm", "error": "0 mm"}
        assert bench.result("indicator-angle", angle="60 deg", reading="-0.48 mm")["true_travel"] == "-0.24 mm"

    def test_inch_request_gives_inch_answers(self, bench: Any) -> None:
        """0.010 in at 60 degrees: 0.005 in."""
        assert bench.result("indicator-angle", reading="0.010 in", angle="60 deg")["true_travel"] == "0.005 in"
        assert bench.result("indicator-angle", reading="0.010 in", angle="60 deg", units="metric")["error"] == "0.127 mm"
        assert bench.result("indicator-angle", units="inch")["true_travel"].endswith(" in")

    def test_limits_of_sense(self, bench: Any) -> None:
        """A dial does not read a metre, and at 81 degrees it reads nothing."""
        found = bench.problems("indicator-angle", reading="1 m", angle="81 deg")
        assert [(field, code) for field, code, _, _ in found] == [("reading", "out-of-range"), ("angle", "out-of-range")]

    @given(st.integers(-1000, 1000), st.integers(0, 4800))
    def test_agrees_with_mpmath(self, bench: Any, near: Any, reading: Any, arc_minutes: Any) -> None:
        """Any reading at any minute of arc up to 80 degrees."""
        result = bench.result("indicator-angle", reading=f"{reading / 100} mm", angle=f"{arc_minutes} arcmin")
        with mpmath.workdps(30):
            expected = mpmath.mpf(reading) / 100 * mpmath.cos(mpmath.mpf(arc_minutes) / 60 * mpmath.pi / 180)
        assert near(result["true_travel"], f"{mpmath.nstr(expected, 20, min_fixed=-30, max_fixed=30)} mm")
