"""temperature."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.calculations.temperature import EXPANSIONS

TYPICAL = "The expansion is a typical one: alloys differ by a tenth and more."
WARM_GAUGE = "The gauge is taken to be at 20 °C: a warm gauge reads short."


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
                "It can be 200 °C at most. Wrong unit or decimal point?",
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
