"""end-play."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

WASHERS = [
    {"id": "plain", "thickness": "1.50 mm"},
    {"id": "one notch", "thickness": "1.70 mm"},
    {"id": "two notches", "thickness": "1.90 mm"},
]


def mm(value: Fraction | int) -> str:
    """Hundredths of a millimetre as a quantity."""
    return f"{Decimal(value) / 100} mm"


class TestEndPlay:
    """end-play."""

    def test_names_the_washer_nearest_the_centre_with_its_thickness_and_what_it_gives(self, bench: Any) -> None:
        """0.62 mm with 1.50 mm fitted, limits 0.20 to 0.50: 1.70 gives 0.42, 1.90 gives 0.22; 0.42 is nearer 0.35."""
        result = bench.result("end-play")
        assert (result["end_play"], result["clearance"]) == ("0.62 mm", "0.62 mm")
        assert (result["verdict"], result["certain"]) == ("high", True)
        assert (result["choice"], result["shim"], result["resulting"]) == ("one notch", "1.7 mm", "0.42 mm")
        assert result["fit"] == result["choice"]
        assert (result["adjust"], result["adjust_min"], result["adjust_max"]) == ("0.27 mm", "0.12 mm", "0.42 mm")
        assert result["advice"] == "Too loose. Fit one notch."

    def test_a_washer_that_loosens_moves_the_other_way(self, bench: Any) -> None:
        """With a thicker washer giving more play, too much play wants a thinner one."""
        result = bench.result("end-play", effect="loosens", fitted="two notches")
        assert (result["choice"], result["shim"], result["resulting"]) == ("one notch", "1.7 mm", "0.42 mm")
        assert (result["adjust"], result["adjust_min"], result["adjust_max"]) == ("-0.27 mm", "-0.42 mm", "-0.12 mm")

    def test_reads_a_dial_at_an_angle_by_its_cosine(self, bench: Any) -> None:
        """At 60 degrees half the reading is travel, exactly."""
        gauge = {"resolution": "0.01 mm", "angle": "60 deg"}
        reply = bench.reply("end-play", {"lifts": ["0.60 mm", "0.80 mm"], "gauge": gauge})
        assert reply["result"]["positions"] == ["0.3 mm", "0.4 mm"]
        assert reply["result"]["end_play"] == "0.35 mm"
        assert reply["working"][0] == ("stem 60° off the line of motion: true lift = reading × cos 60° = reading × 0.5")

    def test_leaves_out_what_needs_washers_when_there_are_none(self, bench: Any) -> None:
        """Without a list there is nothing to fit, but still a verdict."""
        result = bench.result("end-play", fitted=..., choices=...)
        assert {"choice", "shim", "resulting", "fit", "by_choice"}.isdisjoint(result)
        assert result["advice"] == "Too loose. Make the stack 0.27 mm thicker for the centre."

    def test_says_so_when_no_washer_brings_it_in(self, bench: Any) -> None:
        """The choice is absent, and a caution says what to look for."""
        reply = bench.reply("end-play", {"lifts": ["2.00 mm", "2.01 mm", "2.00 mm"]})
        assert {"choice", "shim", "resulting"}.isdisjoint(reply["result"])
        assert reply["cautions"] == [
            "No washer of the list brings the end play within its limits: check that every part is home and none is left out."
        ]

    @pytest.mark.parametrize("gauge", [..., {}, {"angle": "0 deg"}])
    def test_warns_when_nothing_is_known_of_the_gauge_and_of_one_reading(self, bench: Any, gauge: Any) -> None:
        """Both cautions stand beside the answer, they do not refuse it."""
        assert bench.cautions("end-play", lifts=["0.42 mm"], gauge=gauge) == [
            "No gauge data: how sure the verdict is cannot be worked out. Fill in the gauge's smallest division or largest error.",
            "One reading cannot show a dial that slips: push, pull and read at least three times (common practice, no source).",
        ]

    def test_working_of_a_single_reading_has_no_mean(self, bench: Any) -> None:
        """One reading is the end play."""
        lines = bench.working("end-play", lifts=["0.42 mm"], fitted=..., choices=...)
        assert lines[0] == "end play = 0.42 mm"
        assert not any(line.startswith("mean") for line in lines)

    def test_working_shows_the_sum_and_each_other_washer(self, bench: Any) -> None:
        """A senior can follow every figure."""
        lines = bench.working("end-play")
        assert lines[:2] == ["mean = (0.62 + 0.61 + 0.63) / 3 = 0.62 mm", "end play = 0.62 mm"]
        assert lines[-2:] == [
            "with one notch: 0.62 − (1.70 − 1.50) = 0.42 mm",
            "with two notches: 0.62 − (1.90 − 1.50) = 0.22 mm",
        ]

    def test_tells_every_problem_between_the_fields(self, bench: Any) -> None:
        """Washers without the fitted one, the other way round, and an effect of nothing."""
        assert bench.problems("end-play", fitted=...) == [
            ("fitted", "missing", "The washer fitted now is missing.", "Name the size that the end play was measured with.")
        ]
        assert bench.problems("end-play", choices=..., effect="tightens") == [
            ("choices", "missing", "The washers to choose from are missing.", "List the sizes, or leave the fitted one out."),
            (
                "effect",
                "not-used",
                "The effect has no meaning without washers to choose from.",
                "Leave it out, or list the sizes.",
            ),
        ]
        assert bench.problems("end-play", fitted="green", choices=[*WASHERS, WASHERS[0]]) == [
            ("choices.3.id", "duplicate-id", "“plain” appears twice in the list.", "Give each size once."),
            (
                "fitted",
                "unknown-choice",
                "“green” is not in the list of sizes.",
                "Name one of: plain, one notch, two notches, plain.",
            ),
        ]

    def test_inch_readings_give_inch_answers(self, bench: Any) -> None:
        """0.020 in with 0.060 in fitted."""
        request = {
            "lifts": ["0.020 in"], "limits": {"min": "0.008 in", "max": "0.016 in"}, "gauge": {"resolution": "0.001 in"},
            "fitted": "A", "choices": [{"id": "A", "thickness": "0.060 in"}, {"id": "B", "thickness": "0.067 in"}],
        }  # fmt: skip
        result = bench.result("end-play", **request)
        assert (result["choice"], result["shim"], result["resulting"]) == ("B", "0.067 in", "0.013 in")
        metric = bench.result("end-play", **request, units="metric")
        assert (metric["shim"], metric["resulting"]) == ("1.7018 mm", "0.3302 mm")

    def test_the_mean_of_two_readings_is_told(self, bench: Any) -> None:
        """From two on there is a mean to follow."""
        assert bench.working("end-play", lifts=["0.62 mm", "0.64 mm"])[0] == "mean = (0.62 + 0.64) / 2 = 0.63 mm"

    @pytest.mark.parametrize("gauge", [{"resolution": "0.01 mm"}, {"max_error": "0.02 mm"}])
    def test_half_of_what_is_known_of_a_gauge_is_something(self, bench: Any, gauge: Any) -> None:
        """Only when nothing at all is known is that said."""
        assert not any("Nothing is known" in told for told in bench.cautions("end-play", gauge=gauge))

    @given(
        st.lists(st.integers(1, 200), min_size=1, max_size=6), st.sampled_from(["tightens", "loosens"]), st.sampled_from(WASHERS)
    )
    def test_resulting_is_measured_plus_the_change_of_washer(
        self, bench: Any, figure: Any, lifts: Any, effect: Any, fitted: Any
    ) -> None:
        """Exact, whatever the readings; and it is within the limits."""
        result = bench.result("end-play", lifts=[mm(lift) for lift in lifts], effect=effect, fitted=fitted["id"], units="metric")
        if "choice" not in result:
            return
        change = figure(result["shim"], "mm") - Decimal(fitted["thickness"].split()[0])
        expected = Fraction(sum(lifts), 100 * len(lifts)) + Fraction(change) * (-1 if effect == "tightens" else 1)
        assert abs(Fraction(figure(result["resulting"], "mm")) - expected) < Fraction(1, 10**13)
        assert Decimal("0.20") <= figure(result["resulting"], "mm") <= Decimal("0.50")
