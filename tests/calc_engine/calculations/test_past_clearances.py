"""past-clearances: medians, quartiles and sizes of past rebuilds, held against Python's own statistics."""

from __future__ import annotations

import statistics
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine import answer
from calc_engine.maths.statistics import quantile

HUNDREDTHS = st.lists(st.integers(0, 5000), min_size=2, max_size=60)


def result_of(**request: Any) -> dict[str, Any]:
    """The result of a request."""
    reply = answer("past-clearances", request)
    assert reply["ok"], reply
    return dict(reply["result"])


@given(HUNDREDTHS)
def test_quartiles_are_those_of_the_standard_library(hundredths: list[int]) -> None:
    """`statistics.quantiles` with the inclusive method is definition 7 of Hyndman and Fan."""
    values = [Fraction(one, 100) for one in hundredths]
    quartiles = statistics.quantiles(values, n=4, method="inclusive")
    assert [quantile(values, Fraction(quarter, 4)) for quarter in (1, 2, 3)] == quartiles


def test_one_rebuild_is_its_own_median() -> None:
    """And says little."""
    reply = answer("past-clearances", {"clearances": ["1.10 mm"]})
    assert reply["result"]["median"] == reply["result"]["upper_quartile"] == "1.1 mm"
    assert reply["result"]["advice"] == "Median of 1 rebuild: 1.10 mm."
    assert reply["cautions"] == ["Fewer than 5 rebuilds say little (common practice, no source)."]
    assert "inside" not in reply["result"]


@pytest.mark.parametrize(
    ("clearance", "verdict"), [("0.90 mm", "in"), ("0.8999 mm", "low"), ("1.40 mm", "in"), ("1.4001 mm", "high")]
)
def test_each_rebuild_is_judged_exactly_by_todays_limits(clearance: str, verdict: str) -> None:
    """A value on a limit is in."""
    found = result_of(clearances=["1.10 mm", clearance], limits={"min": "0.90 mm", "max": "1.40 mm"})
    assert found["rebuilds"][1]["verdict"] == verdict
    assert found["inside"] == (2 if verdict == "in" else 1)
    assert ("1 of them would be outside today's limits." in found["advice"]) == (verdict != "in")


def test_sizes_are_counted_and_stocked_in_proportion() -> None:
    """Rounded up, so that the last rebuild does not wait."""
    found = result_of(clearances=["1.10 mm"] * 3, fitted=["thick", "thin", "thick"], rebuilds=10)
    assert found["sizes"] == [{"id": "thick", "times": 2, "likely": 7}, {"id": "thin", "times": 1, "likely": 4}]
    assert found["advice"].endswith("Most often fitted: thick, 2 of 3.")


def test_what_is_no_clearance_is_told() -> None:
    """Negative, without a unit, none at all."""
    problems = [answer("past-clearances", {"clearances": value})["problems"][0]["code"] for value in (["-0.1 mm"], ["1.1"], [])]
    assert problems == ["out-of-range", "no-unit", "too-few"]
