"""The limit of compressed air: `compressed_air.yml`, and where the engine warns of it."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from calc_engine import answer, parse_quantity

CASES = yaml.safe_load((Path(__file__).parent / "compressed_air.yml").read_text(encoding="utf-8"))["cases"]


@pytest.mark.parametrize("case", [pytest.param(case, id=case["id"]) for case in CASES])
def test_the_limit_in_the_other_unit(case: dict[str, Any]) -> None:
    """By the exact definitions."""
    reply = answer("convert", {"value": case["inputs"]["pressure"], "to": "kPa"})
    found = parse_quantity(reply["result"]["converted"], None, "").value
    assert abs(found - Fraction(case["expected"])) <= Fraction(case["tolerance"])


@pytest.mark.parametrize(
    ("pressure", "warned"), [("30 psi", False), ("206.8 kPa", False), ("206.9 kPa", True), ("30.1 psi", True)]
)
def test_air_above_the_limit_is_warned_of(pressure: str, *, warned: bool) -> None:
    """At the limit not yet: common practice for air checks, and the figure that OSHA sets for cleaning."""
    reply = answer("piston-force", {"outer": "150 mm", "inner": "100 mm", "pressure": pressure, "medium": "air"})
    assert any("30 psi" in caution for caution in reply["cautions"]) is warned
