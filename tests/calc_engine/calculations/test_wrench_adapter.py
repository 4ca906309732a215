"""wrench-adapter."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

GRIP = "Pull at the middle of the grip and nowhere else: the length was measured to there."


class TestWrenchAdapter:
    """wrench-adapter."""

    def test_the_example(self, bench: Any) -> None:
        """24 x 340/380 N.m."""
        assert bench.result("wrench-adapter") == {
            "advice": "Set the wrench to 21.47 N·m.",
            "setting": "21.4736842105263 N.m",
            "effective_length": "380 mm",
            "factor": 0.894736842105263,
        }
        assert bench.working("wrench-adapter") == [
            "effective length = L + E × cos a = 340.00 + 40.00 × 1 = 380.00 mm",
            "setting = T × L / effective length = 24.0 N·m × 340.00 / 380.00 ≈ 21.47 N·m",
        ]
        assert bench.cautions("wrench-adapter") == [GRIP]

    def test_square_to_the_wrench_needs_no_correction(self, bench: Any) -> None:
        """At 90 degrees the setting is the torque, exactly."""
        result = bench.result("wrench-adapter", angle="90 deg")
        assert (result["setting"], result["factor"]) == ("24 N.m", 1)
        assert bench.working("wrench-adapter", angle="90 deg")[0] == "cos 90° = 0"

    def test_turned_aside(self, bench: Any, near: Any) -> None:
        """At 45 degrees by mpmath."""
        result = bench.result("wrench-adapter", angle="45°")
        assert near(result["setting"], "22.1567974444313 N.m")  # 22.156797444431280
        assert near(result["effective_length"], "368.284271247462 mm")  # 368.28427124746190

    def test_straight_back_shortens_the_lever(self, bench: Any) -> None:
        """US Army TM 9-254, p. 92: divide by the wrench less the adapter."""
        assert bench.result("wrench-adapter", angle="180 deg")["setting"] == "27.2 N.m"  # 24 x 340/300

    def test_refuses_a_lever_that_is_all_but_gone(self, bench: Any) -> None:
        """Down to a tenth of the wrench it works; less, and the setting would be beyond any wrench."""
        assert bench.result("wrench-adapter", angle="180 deg", extension="306 mm")["setting"] == "240 N.m"
        assert bench.problems("wrench-adapter", angle="180 deg", extension="306.1 mm") == [
            (
                "extension",
                "no-lever",
                "The adapter points back so far that 33.90 mm of lever is left.",
                "Use a shorter adapter, a longer wrench, or turn the adapter outwards.",
            )
        ]

    def test_inch_request_gives_inch_answers(self, bench: Any) -> None:
        """NAVEDTRA 14315: 100 lbf.in, 12 in and 6 in give 66.7."""
        request = {"torque": "100 lbf.in", "wrench_length": "12 in", "extension": "6 in"}
        result = bench.result("wrench-adapter", **request)
        assert (result["setting"], result["effective_length"]) == ("66.6666666666667 lbf.in", "18 in")
        assert bench.result("wrench-adapter", **request, units="inch")["setting"] == "5.55555555555556 lbf.ft"
        assert bench.result("wrench-adapter", **request, units="metric")["effective_length"] == "457.2 mm"

    def test_limits_of_sense(self, bench: Any) -> None:
        """All four at once."""
        found = bench.problems("wrench-adapter", torque="0 N.m", wrench_length="40 m", extension="-1 mm", angle="181 deg")
        assert found == [
            ("torque", "out-of-range", "Torque wanted: 0.0 N·m is too small.", "It must be more than 0 N·m."),
            (
                "wrench_length",
                "out-of-range",
                "Length of the wrench: 40 m is far too large.",
                "It can be 3 m at most. Wrong unit or decimal point?",
            ),
            (
                "extension",
                "out-of-range",
                "Length of the adapter: -1.00 mm is too small.",
                "It must be at least 0 mm. Was the minus sign typed by mistake?",
            ),
            (
                "angle",
                "out-of-range",
                "Angle of the adapter: 181° is far too large.",
                "It can be 180° at most. Wrong unit or decimal point?",
            ),
        ]

    @given(st.integers(50, 2000), st.integers(0, 400), st.integers(0, 90), st.integers(0, 90))
    def test_turning_outwards_never_raises_the_setting(
        self, bench: Any, figure: Any, wrench: Any, extension: Any, first: Any, second: Any
    ) -> None:
        """From square to straight out the lever grows, so the setting falls; it never exceeds the torque."""
        settings = [
            figure(
                bench.result("wrench-adapter", wrench_length=f"{wrench} mm", extension=f"{extension} mm", angle=f"{angle} deg")[
                    "setting"
                ],
                "N.m",
            )
            for angle in sorted((first, second))
        ]
        assert settings[0] <= settings[1] <= 24
