"""Grooves of retaining rings against printed tables: `retaining_rings.yml`, each row with its source."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from calc_engine import answer, parse_quantity
from calc_engine.quantities.quantity import Quantity
from calc_engine.quantities.units import Dimension

CONTENT = yaml.safe_load((Path(__file__).parent / "retaining_rings.yml").read_text(encoding="utf-8"))
LIMITS = {"min": "0.05 mm", "max": "0.15 mm"}


def clearance(cavity: str, name: str, thickness: str) -> str:
    """What a part leaves of a space, as pack-clearance by parts tells it."""
    parts = [{"name": name, "thickness": thickness, "count": 1}]
    reply = answer("pack-clearance", {"method": "parts", "cavity": cavity, "parts": parts, "limits": LIMITS})
    assert reply["ok"], reply
    return reply["result"]["clearance"]


def depth(inputs: dict[str, str]) -> Fraction:
    """Half of what the groove's diameter is less than the shaft's, mm."""
    left = clearance(inputs["shaft"], "shaft in the groove", inputs["groove"])
    return parse_quantity(left, Dimension.LENGTH, "").value / 2


def off(case: dict[str, Any]) -> Fraction:
    """How far the depth is from the printed one, in units of its tolerance."""
    return abs(depth(case["inputs"]) - Fraction(case["expected"])) / Fraction(case["tolerance"])


@pytest.mark.parametrize("case", [pytest.param(case, id=case["id"]) for case in CONTENT["cases"]])
def test_depth_and_play_of_a_ring_are_the_table_s(case: dict[str, Any]) -> None:
    """The groove's depth as tabulated; the ring's play in it exactly."""
    assert case["label"] == "READ"
    assert case["source"]
    assert off(case) <= 1
    play = clearance(case["inputs"]["width"], "ring", case["inputs"]["ring"])
    assert parse_quantity(play, Dimension.LENGTH, "") == Quantity(Fraction("0.1"), parse_quantity(case["play"], None, "").unit)


@pytest.mark.parametrize("case", [pytest.param(case, id=case["id"]) for case in CONTENT["does_not_follow"]])
def test_a_misprint_of_the_table_stays_different(case: dict[str, Any]) -> None:
    """If it ever agreed, the case or the engine would be wrong."""
    assert case["why"]
    assert off(case) > 1
