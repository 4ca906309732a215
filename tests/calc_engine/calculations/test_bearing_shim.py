"""bearing-shim."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

PROVE_THE_PRELOAD = (
    "Prove the preload by the turning torque that the maker's manual gives: "
    "thickness does not know how the case gives way (common practice, no source)."
)


def mm(value: Fraction | int) -> str:
    """Hundredths of a millimetre as a quantity."""
    return f"{Decimal(value) / 100} mm"


class TestBearingShim:
    """bearing-shim."""

    def test_preload_in_steps(self, bench: Any) -> None:
        """Play 0.14 with 1.20 fitted, 0.05 preload wanted: 1.20 + 0.14 + 0.05 = 1.39, nearest step 1.40."""
        result = bench.result("bearing-shim")
        assert result == {
            "shim": "1.39 mm",
            "advice": "Fit a shim of 1.40 mm. That leaves a preload of 0.06 mm.",
            "stepped": "1.4 mm",
            "resulting": "-0.06 mm",
            "off_target": "-0.01 mm",
        }
        assert bench.working("bearing-shim") == [
            "a thicker shim tightens: shim = fitted + (measured − wanted) = 1.20 + (0.14 − (-0.05)) = 1.39 mm",
            "in steps of 0.05 mm: 1.40 mm",
            "end play with it = 0.14 − (1.40 − 1.20) = -0.06 mm",
            "0.01 mm less play than wanted",
        ]
        assert bench.cautions("bearing-shim") == [
            PROVE_THE_PRELOAD,
        ]

    def test_a_shim_that_loosens(self, bench: Any) -> None:
        """Play 0.05 with 1.20 fitted, 0.15 wanted, thicker loosens: 1.30."""
        request = {"measured_end_play": "0.05 mm", "thicker": "loosens", "target": "0.15 mm", "step": ...}
        result = bench.result("bearing-shim", **request)
        assert (result["shim"], result["resulting"], result["off_target"]) == ("1.3 mm", "0.15 mm", "0 mm")
        assert result["advice"] == "Fit a shim of 1.30 mm. That leaves an end play of 0.15 mm."
        assert {"choice", "stepped"}.isdisjoint(result)
        assert bench.working("bearing-shim", **request) == [
            "a thicker shim loosens: shim = fitted − (measured − wanted) = 1.20 − (0.05 − 0.15) = 1.30 mm",
            "end play with it = 0.05 + (1.30 − 1.20) = 0.15 mm",
        ]
        assert bench.cautions("bearing-shim", **request) == []

    def test_takes_the_nearest_size_of_a_list_that_is_on_the_shelf(self, bench: Any) -> None:
        """1.39 wanted: 1.40 is out of stock, so 1.35."""
        sizes = [
            {"id": "blue", "thickness": "1.30 mm"},
            {"id": "red", "thickness": "1.35 mm", "stock": 2},
            {"id": "green", "thickness": "1.40 mm", "stock": 0},
        ]
        result = bench.result("bearing-shim", step=..., choices=sizes)
        assert (result["choice"], result["resulting"], result["off_target"]) == ("red", "-0.01 mm", "0.04 mm")
        assert result["advice"] == "Fit red (1.35 mm). That leaves a preload of 0.01 mm."
        assert "stepped" not in result
        lines = bench.working("bearing-shim", step=..., choices=sizes)
        assert lines[1] == "nearest of the list: red, 1.35 mm"
        assert lines[-1] == "0.04 mm more play than wanted"

    def test_an_empty_shelf_leaves_the_choice_out(self, bench: Any) -> None:
        """The exact shim still stands."""
        result = bench.result("bearing-shim", step=..., choices=[{"id": "blue", "thickness": "1.30 mm", "stock": 0}])
        assert "choice" not in result
        assert (result["shim"], result["resulting"]) == ("1.39 mm", "-0.05 mm")
        assert result["advice"] == "No shim of the list is on the shelf. Get one of 1.39 mm."

    @pytest.mark.parametrize(("thicker", "expected"), [("tightens", "thin"), ("loosens", "thick")])
    def test_of_two_sizes_as_near_the_one_that_leaves_more_play(self, bench: Any, thicker: Any, expected: Any) -> None:
        """1.20 is wanted, 1.15 and 1.25 are there, whatever their order."""
        sizes = [{"id": "thick", "thickness": "1.25 mm"}, {"id": "thin", "thickness": "1.15 mm"}]
        for choices in (sizes, sizes[::-1]):
            request = {"measured_end_play": "0.10 mm", "target": "0.10 mm", "thicker": thicker, "step": ..., "choices": choices}
            assert bench.result("bearing-shim", **request)["choice"] == expected

    @pytest.mark.parametrize(("thicker", "expected"), [("tightens", "1.2 mm"), ("loosens", "1.3 mm")])
    def test_half_way_between_two_steps_the_one_that_leaves_more_play(self, bench: Any, thicker: Any, expected: Any) -> None:
        """1.25 in steps of 0.1."""
        request = {"measured_end_play": "0.10 mm", "target": "0.10 mm", "fitted_shim": "1.25 mm", "thicker": thicker}
        assert bench.result("bearing-shim", **request, step="0.1 mm")["stepped"] == expected

    def test_a_step_can_mean_no_shim_at_all(self, bench: Any) -> None:
        """0.02 in steps of 0.05 is nearest to none."""
        request = {"measured_end_play": "0.02 mm", "fitted_shim": "0 mm", "target": "0 mm"}
        result = bench.result("bearing-shim", **request)
        assert (result["shim"], result["stepped"], result["resulting"]) == ("0.02 mm", "0 mm", "0.02 mm")
        assert result["advice"] == "The nearest step is no shim at all. That leaves an end play of 0.02 mm."

    def test_warns_when_play_is_none_and_when_a_step_preloads_what_should_have_play(self, bench: Any) -> None:
        """Neither play nor preload is said as such."""
        request = {"measured_end_play": "0 mm", "fitted_shim": "1.20 mm", "target": "0 mm", "step": "0.20 mm"}
        assert bench.result("bearing-shim", **request)["advice"] == (
            "Fit a shim of 1.20 mm. That leaves neither play nor preload."
        )
        assert bench.cautions("bearing-shim", **request) == [
            "No end play can hide a preload: measure with a shim that leaves some play, or by depth."
        ]
        request = {"measured_end_play": "0.19 mm", "target": "0.01 mm", "step": "0.20 mm", "fitted_shim": "1.20 mm"}
        assert bench.cautions("bearing-shim", **request) == [
            "The nearest shim would preload the bearing, though an end play is wanted: find a size between."
        ]

    @pytest.mark.parametrize(("target", "shown"), [("1.34 mm", "0.00 mm"), ("1.40 mm", "-0.06 mm")])
    def test_refuses_a_shim_of_no_thickness(self, bench: Any, target: Any, shown: Any) -> None:
        """Zero is no shim either."""
        assert bench.problems("bearing-shim", target=target) == [
            (
                "target",
                "no-shim",
                f"For this the shim would be {shown} thick.",
                "Check whether a thicker shim tightens or loosens, the sign of the preload, and whether a part is left out.",
            )
        ]

    def test_refuses_a_list_and_a_step_and_a_size_that_stands_twice(self, bench: Any) -> None:
        """Both problems at once."""
        sizes = [{"id": "a", "thickness": "1 mm"}, {"id": "a", "thickness": "2 mm"}]
        assert bench.problems("bearing-shim", choices=sizes) == [
            ("step", "both-given", "Choices and step are both given.", "Give choices or step, not both."),
            ("choices.1.id", "duplicate-id", "“a” appears twice in the list.", "Give each size once."),
        ]

    def test_limits_of_sense(self, bench: Any) -> None:
        """A preload of more than 5 mm, play of 40 mm and a negative trial shim are typing errors."""
        request = {"measured_end_play": "40 mm", "fitted_shim": "-1 mm", "target": "-6 mm", "thicker": "tighten", "step": "0 mm"}
        assert bench.problems("bearing-shim", **request) == [
            (
                "measured_end_play",
                "out-of-range",
                "End play now: 40.00 mm is far too large.",
                "It can be 20 mm at most. Wrong unit or decimal point?",
            ),
            (
                "fitted_shim",
                "out-of-range",
                "Shim fitted now: -1.00 mm is too small.",
                "It must be at least 0 mm. Was the minus sign typed by mistake?",
            ),
            ("thicker", "unknown-word", "A thicker shim: “tighten” is not known here.", "Did you mean “tightens”?"),
            ("target", "out-of-range", "Wanted: -6.00 mm is too small.", "It must be at least -5 mm."),
            ("step", "out-of-range", "Step of the shims: 0.00 mm is too small.", "It must be more than 0 mm."),
        ]

    def test_inch_readings_give_inch_answers(self, bench: Any) -> None:
        """US Army TM 10-3930-660-34, p. 16-137: 0.028 in for no play, 0.008 in preload wanted, shim 0.020 in."""
        request = {
            "measured_end_play": "0 in", "fitted_shim": "0.028 in", "thicker": "loosens", "target": "-0.008 in", "step": ...,
        }  # fmt: skip
        assert bench.result("bearing-shim", **request)["shim"] == "0.02 in"
        assert bench.result("bearing-shim", **request, units="metric")["shim"] == "0.508 mm"

    @given(st.integers(0, 300), st.integers(0, 300), st.integers(-100, 300), st.sampled_from(["tightens", "loosens"]))
    def test_the_exact_shim_gives_exactly_what_is_wanted(
        self, bench: Any, measured: Any, fitted: Any, target: Any, thicker: Any
    ) -> None:
        """And nothing is off; what is refused has no thickness."""
        changes = {
            "measured_end_play": mm(measured), "fitted_shim": mm(fitted), "target": mm(target), "thicker": thicker, "step": ...,
        }  # fmt: skip
        reply = bench.reply("bearing-shim", changes)
        needed = fitted + (measured - target if thicker == "tightens" else target - measured)
        assert reply["ok"] is (needed > 0)
        if needed > 0:
            assert Decimal(reply["result"]["shim"].split()[0]) == Decimal(needed) / 100
            assert Decimal(reply["result"]["resulting"].split()[0]) == Decimal(target) / 100
            assert reply["result"]["off_target"] == "0 mm"

    @given(st.integers(1, 500), st.integers(1, 40))
    def test_a_step_is_never_further_off_than_half_of_it(self, bench: Any, figure: Any, measured: Any, step: Any) -> None:
        """And the shim is a whole number of steps."""
        result = bench.result("bearing-shim", measured_end_play=mm(measured), target="0 mm", step=mm(step))
        stepped = figure(result["stepped"], "mm")
        assert stepped % (Decimal(step) / 100) == 0
        assert abs(figure(result["off_target"], "mm")) <= Decimal(step) / 200
