"""Planetary gear trains against printed answers, those of planetary.yml; a case may be driven at two members at once."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from calc_engine import answer
from tests.published.files import HERE, read

FILE = HERE / "planetary.yml"


def load(part: str) -> list[Any]:
    """Every case of one part of the file."""
    return [pytest.param(case, id=case["id"]) for case in read(FILE, part)]


def worked_out(case: dict[str, Any]) -> Decimal:
    """The sum of the outputs that the case names, each times its figure."""
    reply = answer("gear-train", case["request"])
    assert reply["ok"], reply
    gears = {gear["name"]: gear for gear in reply["result"]["gears"]}
    assert all(gear["state"] == "fixed" for gear in gears.values())
    total = sum((_output(gears[term["gear"]], term) * Decimal(term["times"]) for term in case["terms"]), Decimal(0))
    return Decimal(case["over"]) / total if "over" in case else total


def _output(gear: dict[str, Any], term: dict[str, str]) -> Decimal:
    found = gear[term["of"]]
    return Decimal(repr(found[term["name"]] if "name" in term else found))


@pytest.mark.parametrize("case", load("cases"))
def test_the_printed_answer_comes_out(case: dict[str, Any]) -> None:
    """Within half a unit of the last printed digit."""
    assert case["label"] in {"READ", "MEMORY", "EXACT"}
    assert case["source"]
    assert abs(worked_out(case) - Decimal(case["expected"])) <= Decimal(case["tolerance"])


@pytest.mark.parametrize("case", load("does_not_follow"))
def test_a_printed_answer_that_does_not_follow_stays_different(case: dict[str, Any]) -> None:
    """If it ever agreed, either the case or the engine would be wrong."""
    assert case["source"]
    assert case["why"]
    assert Decimal(case["tolerance"]) < abs(worked_out(case) - Decimal(case["expected"])) < Decimal("0.05")
