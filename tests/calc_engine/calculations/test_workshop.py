"""wrench-adapter, temperature and indicator-angle."""

from __future__ import annotations

from typing import Any

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.calculations.workshop import EXPANSIONS

GRIP = "Pull at the middle of the grip and nowhere else: the length was measured to there."
TYPICAL = "The expansion is a typical one: alloys differ by a tenth and more."
WARM_GAUGE = "The gauge is taken to be at 20 °C: a warm gauge reads short."


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
            ("torque", "out-of-range", "Torque wanted: 0.0 N·m is too small.", "It must be more than 0 N.m."),
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
                "It can be 180 deg at most. Wrong unit or decimal point?",
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


class TestTemperature:
    """temperature."""

    def test_the_example_by_mpmath(self, bench: Any, near: Any) -> None:
        """128.06 mm of aluminium at 35 degC."""
        assert near(
            bench.result("temperature"),
            {
                "at_20": "128.015642579846 mm",  # 128.01564257984608
                "correction": "-0.0443574201539167 mm",  # -0.044357420153916669
                "expansion": "0.0000231 1/K",
            },
        )
        assert bench.working("temperature") == [
            "35 °C is 15 K warmer than 20 °C",
            "length at 20 °C = 128.06 / (1 + 0.0000231 × 15) ≈ 128.016 mm",
            "correction = 128.016 − 128.06 ≈ -0.044 mm",
        ]
        assert bench.cautions("temperature") == [TYPICAL, WARM_GAUGE]

    def test_at_20_nothing_changes(self, bench: Any) -> None:
        """Neither for a material nor for an expansion of its own."""
        result = bench.result("temperature", measured_at="20 degC")
        assert (result["at_20"], result["correction"]) == ("128.06 mm", "0 mm")
        assert bench.working("temperature", measured_at="20 degC")[0] == "20 °C is 0 K warmer than 20 °C"

    @pytest.mark.parametrize("expansion", ["11.7e-6 1/K", "0.0000117", "11.7e-6 per K", "11.7e-6/K", 1.17e-5])
    def test_expansion_of_its_own(self, bench: Any, near: Any, expansion: Any) -> None:
        """However it is written: per kelvin is understood."""
        reply = bench.reply(
            "temperature", {"length": "500.035 mm", "measured_at": "23.7 degC", "material": ..., "expansion": expansion}
        )
        assert near(reply["result"]["at_20"], "500.013354421887 mm")  # mpmath 500.01335442188708
        assert reply["result"]["expansion"] == "0.0000117 1/K"
        assert reply["cautions"] == [WARM_GAUGE]

    def test_cold_parts_grow_on_paper(self, bench: Any) -> None:
        """The working says colder."""
        lines = bench.working("temperature", measured_at="5 degC")
        assert lines[:2] == [
            "5 °C is 15 K colder than 20 °C",
            "length at 20 °C = 128.06 / (1 − 0.0000231 × 15) ≈ 128.104 mm",
        ]

    def test_fahrenheit(self, bench: Any) -> None:
        """95 degF is 35 degC, exactly; the answer is the same."""
        assert bench.result("temperature", measured_at="95 degF")["at_20"] == bench.result("temperature")["at_20"]
        assert bench.working("temperature", measured_at="95 degF")[0] == "95 °F = 35 °C is 15 K warmer than 20 °C"
        inch = bench.result("temperature", length="5 in", measured_at="68 degF", units=...)
        assert inch["at_20"] == "5 in"
        assert bench.result("temperature", units="inch")["correction"].endswith(" in")
        assert bench.result("temperature", length="5 in", measured_at="68 degF", units="metric")["at_20"] == "127 mm"

    @pytest.mark.parametrize(("material", "expansion"), EXPANSIONS.items())
    def test_every_material_has_its_expansion(self, bench: Any, material: Any, expansion: Any) -> None:
        """What is declared is what is used; magnesium more than aluminium, iron less than steel."""
        assert bench.result("temperature", material=material)["expansion"] == f"{float(expansion):.7f} 1/K".replace("0 ", " ")

    def test_tells_every_problem_between_the_fields(self, bench: Any) -> None:
        """Both, neither."""
        assert bench.problems("temperature", expansion="11.5e-6") == [
            ("material", "both-given", "Expansion and material are both given.", "Give expansion or material, not both.")
        ]
        assert bench.problems("temperature", material=...) == [
            ("expansion", "missing", "Neither expansion nor material is given.", "Give expansion or material.")
        ]
        assert bench.problems("temperature", material="iron", measured_at="300 degC", length="0 mm") == [
            ("length", "out-of-range", "Length measured: 0.00 mm is too small.", "It must be more than 0 mm."),
            (
                "measured_at",
                "out-of-range",
                "Temperature of the part: 300 °C is far too large.",
                "It can be 200 degC at most. Wrong unit or decimal point?",
            ),
            ("material", "unknown-word", "Material: “iron” is not known here.", "Did you mean “cast-iron”?"),
        ]

    @given(st.integers(-40, 200), st.integers(-40, 200))
    def test_the_warmer_it_was_the_shorter_it_is(self, bench: Any, figure: Any, first: Any, second: Any) -> None:
        """Of one measured length, the hotter part is the shorter one at 20 degC."""
        cold, hot = (
            figure(bench.result("temperature", measured_at=f"{degrees} degC")["at_20"], "mm")
            for degrees in sorted((first, second))
        )
        assert (cold > hot) is (first != second)


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
