"""Tolerance stacks and sums of uniforms against printed values: `stack_up.yml`, each with its source."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from calc_engine import answer, parse_quantity
from calc_engine.maths.tolerance_stack import StackPart, mean, worst_case

CONTENT = yaml.safe_load((Path(__file__).parent / "stack_up.yml").read_text(encoding="utf-8"))
NOTHING = StackPart("", Fraction(0), Fraction(0), Fraction(0))


def weighted(case: dict[str, Any]) -> Fraction:
    """Dimensions that count with a sensitivity are parts of that many times their size and tolerance, taken from nothing."""
    rows = [[Fraction(text) for text in row] for row in case["inputs"]]
    parts = [StackPart("", -weight * nominal, abs(weight) * off, abs(weight) * off) for nominal, off, weight in rows]
    if case["what"] == "weighted_mean":
        return mean(NOTHING, parts)
    span = worst_case(NOTHING, parts)
    return (span.high - span.low) / 2


def forecast(case: dict[str, Any]) -> Fraction:
    """An output of stack-forecast, asked as a script asks."""
    reply = answer(case["calculation"], case["request"])
    assert reply["ok"], reply
    found = reply["result"]
    for step in case["output"].split("."):
        found = found[step]
    if "unit" not in case:
        return Fraction(str(found))
    quantity = parse_quantity(found, None, "")
    assert quantity.unit.name == case["unit"]
    return quantity.value


def off(case: dict[str, Any]) -> Fraction:
    """How far the engine is from the printed value, in units of its tolerance."""
    found = weighted(case) if "what" in case else forecast(case)
    return abs(found - Fraction(case["expected"])) / Fraction(case["tolerance"])


@pytest.mark.parametrize("case", [pytest.param(case, id=case["id"]) for case in CONTENT["cases"]])
def test_the_printed_value_comes_out(case: dict[str, Any]) -> None:
    """Within half a unit of the last printed digit."""
    assert case["label"] in {"READ", "MEMORY", "EXACT"}
    assert case["source"]
    assert off(case) <= 1


@pytest.mark.parametrize("case", [pytest.param(case, id=case["id"]) for case in CONTENT["does_not_follow"]])
def test_a_printed_value_that_does_not_follow_stays_different(case: dict[str, Any]) -> None:
    """If it ever agreed, the case or the engine would be wrong."""
    assert case["why"]
    assert off(case) > 1
