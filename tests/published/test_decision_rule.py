"""Conformance and the guarded decision against printed values: `decision_rule.yml`, each with its source."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from calc_engine.bench.verdict import Limits, is_certain, judge
from calc_engine.maths.distributions import normal_cdf, normal_quantile

CONTENT = yaml.safe_load((Path(__file__).parent / "decision_rule.yml").read_text(encoding="utf-8"))


def conformance(inputs: dict[str, Any]) -> float:
    """The share of a normal distribution within its limits, by the engine's distribution function."""
    centre, sd = float(inputs["mean"]), float(inputs["sd"])
    below = normal_cdf((float(inputs["high"]) - centre) / sd) if "high" in inputs else 1.0
    return (below - (normal_cdf((float(inputs["low"]) - centre) / sd) if "low" in inputs else 0.0)) * inputs.get("multiply", 1)


WORKED_OUT: dict[str, Callable[[dict[str, Any]], float]] = {
    "conformance": conformance,
    "share_outside": lambda inputs: 1.0 - conformance(inputs),
    "quantile": lambda inputs: normal_quantile(float(inputs["confidence"])),
}


def cases(part: str, *, decisions: bool) -> list[Any]:
    """The cases of one part, with their names."""
    return [pytest.param(case, id=case["id"]) for case in CONTENT[part] if (case["what"] == "decision") is decisions]


@pytest.mark.parametrize("case", cases("cases", decisions=False))
def test_the_printed_value_comes_out(case: dict[str, Any]) -> None:
    """Within half a unit of the last printed digit."""
    assert case["label"] in {"READ", "MEMORY"}
    assert case["source"]
    assert abs(WORKED_OUT[case["what"]](case["inputs"]) - float(case["expected"])) <= float(case["tolerance"])


@pytest.mark.parametrize("case", cases("does_not_follow", decisions=False))
def test_a_printed_value_that_does_not_follow_stays_different(case: dict[str, Any]) -> None:
    """If it ever agreed, the case or the engine would be wrong."""
    assert case["why"]
    assert abs(WORKED_OUT[case["what"]](case["inputs"]) - float(case["expected"])) > float(case["tolerance"])


@pytest.mark.parametrize("case", cases("cases", decisions=True))
def test_the_rule_decides_as_its_words_say(case: dict[str, Any]) -> None:
    """Proven in, proven out, or neither."""
    inputs = {name: Fraction(text) for name, text in case["inputs"].items()}
    limits = Limits(min=inputs["low"], max=inputs["high"])
    certain = is_certain(inputs["value"], inputs["uncertainty"], limits)
    assert f"{judge(inputs['value'], limits)} {'certain' if certain else 'not certain'}" == case["expected"]
