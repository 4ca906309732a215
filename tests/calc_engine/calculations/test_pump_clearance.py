"""pump-clearance."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

LIMITS = {"min": "0.02 mm", "max": "0.07 mm"}
UNKNOWN = "No gauge data: the verdicts are only as sure as the readings. Fill in the smallest division or largest error."
ONE = "One reading does not show wear on one side: turn the gears and measure at three places at least (common practice, no source)."


def gap(*readings: str, name: str = "side") -> dict[str, Any]:
    """A clearance with readings in mm."""
    return {"name": name, "readings": [f"{reading} mm" for reading in readings], "limits": LIMITS}


def test_the_example(bench: Any) -> None:
    """Two clearances are in, one place of the third is loose: U = 2 √(0.01²/12 + 0.005²/3) = 0.0082 mm."""
    result = bench.result("pump-clearance")
    assert (result["verdict"], result["certain"], result["advice"]) == ("high", True, "Too loose: outer gear to body.")
    assert result["uncertainty"].startswith("0.0081649")
    assert result["clearances"][2] == {
        "name": "outer gear to body",
        "smallest": "0.12 mm",
        "largest": "0.17 mm",
        "verdict": "high",
        "certain": True,
    }
    assert bench.cautions("pump-clearance") == []
    assert bench.working("pump-clearance")[:2] == [
        "one reading could be off by U ≈ 0.0082 mm",
        "side clearance, inner gear, smallest: limits 0.02 to 0.07 mm: 0.04 is within them; could be 0.03 to 0.05 mm: all on one side of each limit: sure",
    ]


@pytest.mark.parametrize(
    ("readings", "verdict", "certain", "advice"),
    [
        (("0.04", "0.05"), "in", True, "Every clearance is within its limits, and sure of it."),
        (("0.04", "0.07"), "in", False, "Too close to a limit to trust, measure again: side."),
        (("0.00", "0.05"), "low", True, "Too tight: side."),
        (("0.04", "0.09"), "high", True, "Too loose: side."),
        (("0.04", "0.075"), "high", False, "Too loose: side. Too close to a limit to trust, measure again: side."),
        (("0.00", "0.09"), "low", True, "Too tight: side."),
    ],
)  # fmt: skip
def test_the_worst_place_decides(bench: Any, readings: Any, verdict: Any, certain: Any, advice: Any) -> None:
    """Never the mean."""
    result = bench.result("pump-clearance", clearances=[gap(*readings)])
    assert (result["verdict"], result["certain"], result["advice"]) == (verdict, certain, advice)


def test_nothing_known_of_the_gauge(bench: Any) -> None:
    """Nothing is sure then."""
    result = bench.result("pump-clearance", clearances=[gap("0.04", "0.05")], gauge=...)
    assert (result["verdict"], result["certain"], result["advice"]) == ("in", False, "Every reading is within its limits.")
    assert bench.cautions("pump-clearance", clearances=[gap("0.04")], gauge={}) == [UNKNOWN, ONE]


def test_tight_and_loose_at_once(bench: Any) -> None:
    """Asks for the reason."""
    assert bench.cautions("pump-clearance", clearances=[gap("0.01", "0.09")]) == [
        "side is too tight at one place and too loose at another: look for a burr, wear on one side, or a bent part."
    ]


def test_working_names_which_reading(bench: Any) -> None:
    """One, equal ones, different ones."""
    lines = bench.working(
        "pump-clearance", clearances=[gap("0.04"), gap("0.05", "0.05", name="tip"), gap("0.06", "0.03", name="face")], gauge=...
    )
    assert lines == [
        "side, reading: limits 0.02 to 0.07 mm: 0.04 is within them",
        "tip, every reading: limits 0.02 to 0.07 mm: 0.05 is within them",
        "face, smallest: limits 0.02 to 0.07 mm: 0.03 is within them",
        "face, largest: limits 0.02 to 0.07 mm: 0.06 is within them",
    ]


def test_problems(bench: Any) -> None:
    """A name twice, crossed limits, a reading of a finger's width."""
    assert bench.problems("pump-clearance", clearances=[gap("0.04"), gap("0.04")]) == [
        ("clearances.1.name", "duplicate-id", "“side” appears twice.", "Give each its own name.")
    ]
    crossed = {"name": "side", "readings": ["0.04 mm"], "limits": {"min": "0.07 mm", "max": "0.02 mm"}}
    assert bench.problems("pump-clearance", clearances=[crossed]) == [
        ("clearances.0.limits", "crossed-limits", "The smallest of the limits is not below the largest.", "Check which is which: min must be below max.")
    ]  # fmt: skip
    assert [found[:2] for found in bench.problems("pump-clearance", clearances=[gap("11")])] == [
        ("clearances.0.readings.0", "out-of-range")
    ]


@given(st.lists(st.lists(st.integers(0, 90), min_size=1, max_size=5), min_size=1, max_size=4))
def test_the_whole_is_in_only_if_every_reading_is(bench: Any, found: Any) -> None:
    """In thousandths; limits 20 to 70."""
    clearances = [
        gap(*(f"{reading / 1000:.3f}" for reading in readings), name=str(index)) for index, readings in enumerate(found)
    ]
    result = bench.result("pump-clearance", clearances=clearances)
    flat = [reading for readings in found for reading in readings]
    expected = "low" if min(flat) < 20 else "high" if max(flat) > 70 else "in"
    assert result["verdict"] == expected
    assert result["certain"] == (
        all(29 <= reading <= 61 for reading in flat)
        if expected == "in"
        else min(flat) < 12
        if expected == "low"
        else max(flat) > 78
    )
