"""Means, deviations, components and coverage factors against printed values: `uncertainty.yml`, each with its source."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from calc_engine.bench.readings import Gauge, dial_positions
from calc_engine.maths.distributions import coverage_factor, student_t_quantile
from calc_engine.maths.functions import square_root
from calc_engine.maths.statistics import expanded_uncertainty, mean, sample_variance
from calc_engine.quantities.answer_units import choose_units

CASES = yaml.safe_load((Path(__file__).parent / "uncertainty.yml").read_text(encoding="utf-8"))["cases"]


def values(inputs: dict[str, Any]) -> list[Fraction]:
    """The readings of a case; `then` stands `times` times after the rest."""
    return [Fraction(text) for text in [*inputs["values"], *inputs.get("then", []) * inputs.get("times", 0)]]


def rectangle(inputs: dict[str, Any]) -> Fraction:
    """The engine's standard uncertainty of a largest error, times how much the result changes with it."""
    gauge = Gauge(max_error=Fraction(inputs["half_width"]))
    variance = dial_positions([Fraction(1)], gauge, choose_units([], "metric")).error_variance
    return square_root(variance) * Fraction(inputs["sensitivity"])


WORKED_OUT: dict[str, Callable[[dict[str, Any]], Fraction]] = {
    "mean": lambda inputs: mean(values(inputs)),
    "sample_sd": lambda inputs: square_root(sample_variance(values(inputs))),
    "sd_of_mean": lambda inputs: expanded_uncertainty(values(inputs), Fraction(0), Fraction(0)).standard,
    "root_sum_of_squares": lambda inputs: square_root(sum((value**2 for value in values(inputs)), Fraction(0))),
    "rectangle": rectangle,
    "student_t": lambda inputs: student_t_quantile((1 + Fraction(inputs["confidence"])) / 2, Fraction(inputs["degrees"])),
    "coverage_factor": lambda inputs: coverage_factor(None if inputs["degrees"] is None else Fraction(inputs["degrees"])),
}


@pytest.mark.parametrize("case", [pytest.param(case, id=case["id"]) for case in CASES])
def test_the_printed_value_comes_out(case: dict[str, Any]) -> None:
    """Within half a unit of the last printed digit; certified exact values exactly."""
    assert case["label"] in {"READ", "MEMORY", "EXACT"}
    assert case["source"]
    assert abs(WORKED_OUT[case["what"]](case["inputs"]) - Fraction(case["expected"])) <= Fraction(case["tolerance"])
