"""pressure-check."""

from __future__ import annotations

from typing import Any

import pytest

NO_ERROR = "No error of the gauge: the verdicts leave out how far off it may be. Fill in its class and full scale."
CLASS = "The class of a gauge holds at its reference temperature, 20 °C (EN 837-1, from memory), and only until it is knocked."
SMALL = "Below a quarter of full scale the error is large beside the reading: use a gauge with a shorter scale (common practice, no source)."


def idle(*readings: str, name: str = "idle") -> dict[str, Any]:
    """A range with limits of 4 and 6 bar."""
    return {"name": name, "readings": [f"{reading} bar" for reading in readings], "limits": {"min": "4 bar", "max": "6 bar"}}


def test_the_example(bench: Any) -> None:
    """1.6 % of 16 bar is 0.256 bar; of a single reading U = 2 √(0.2²/12 + 0.256²/3) = 0.317 bar."""
    result = bench.result("pressure-check")
    assert (result["verdict"], result["certain"], result["max_error"]) == ("low", True, "0.256 bar")
    assert result["advice"] == "Too low: reverse, idle. Too close to a limit for this gauge: drive, fast."
    assert result["ranges"][1]["uncertainty"].startswith("0.317356")
    assert [(row["pressure"], row["verdict"], row["certain"]) for row in result["ranges"]] == [
        ("4.7 bar", "in", True),
        ("10.2 bar", "in", False),
        ("6.1 bar", "low", True),
    ]
    assert bench.cautions("pressure-check") == [CLASS]
    assert bench.working("pressure-check") == [
        "largest error = 1.6 % × 16.00 bar = 0.256 bar",
        "drive, idle: mean = (4.60 + 4.80) / 2 = 4.70 bar",
        "drive, idle: uncertainty U ≈ 0.41 bar",
        "drive, idle: limits 4.00 to 5.50 bar: 4.70 is within them; could be 4.29 to 5.11 bar: all on one side of each limit: sure",
        "drive, fast: uncertainty U ≈ 0.32 bar",
        "drive, fast: limits 9.00 to 10.50 bar: 10.2 is within them; could be 9.9 to 10.52 bar: a limit lies in between: not sure",
        "reverse, idle: uncertainty U ≈ 0.32 bar",
        "reverse, idle: limits 7.00 to 9.00 bar: 6.1 is below them; could be 5.8 to 6.4 bar: all on one side of each limit: sure",
    ]


@pytest.mark.parametrize(
    ("reading", "gauge", "verdict", "certain", "advice"),
    [
        ("5", {"max_error": "0.1 bar"}, "in", True, "Every pressure is within its limits, and sure of it."),
        ("5", ..., "in", False, "Every pressure is within its limits by the readings."),
        ("4.05", {"max_error": "0.1 bar"}, "in", False, "Too close to a limit for this gauge: idle."),
        ("3", {"max_error": "0.1 bar"}, "low", True, "Too low: idle."),
        ("6.05", {"max_error": "0.1 bar"}, "high", False, "Too high: idle. Too close to a limit for this gauge: idle."),
        ("7", ..., "high", False, "Too high: idle."),
        ("4", {"max_error": "0 bar"}, "in", False, "Every pressure is within its limits by the readings."),
    ],
)
def test_each_verdict_has_its_advice(bench: Any, reading: Any, gauge: Any, verdict: Any, certain: Any, advice: Any) -> None:
    """Limits 4 to 6 bar, both in."""
    result = bench.result("pressure-check", ranges=[idle(reading)], gauge=gauge)
    assert (result["verdict"], result["certain"], result["advice"]) == (verdict, certain, advice)


def test_cautions(bench: Any) -> None:
    """No error known, and a reading at the foot of the scale."""
    assert bench.cautions("pressure-check", ranges=[idle("5")], gauge=...) == [NO_ERROR]
    assert bench.cautions("pressure-check", ranges=[idle("5")], gauge={"full_scale": "25 bar"}) == [NO_ERROR, SMALL]
    assert bench.cautions("pressure-check", ranges=[idle("5")], gauge={"max_error": "0.1 bar"}) == []


def test_problems(bench: Any) -> None:
    """Of the gauge, of names, of readings, of limits."""
    both = {"accuracy_class": "1.6", "max_error": "0.1 bar"}
    assert bench.problems("pressure-check", gauge=both) == [
        ("gauge.full_scale", "missing", "The full scale of the gauge is missing.", "Give the full scale: the class is a percentage of it."),
        ("gauge.max_error", "both-given", "Accuracy class and largest error are both given.", "Give one of them, the largest error if it is from a calibration."),
    ]  # fmt: skip
    assert bench.problems("pressure-check", ranges=[idle("5"), idle("5", "17")]) == [
        ("ranges.1.name", "duplicate-id", "“idle” appears twice.", "Give each its own name."),
        ("ranges.1.readings.1", "out-of-range", "This reading is beyond the full scale of the gauge.", "Check reading, unit and full scale."),
    ]  # fmt: skip
    crossed = {"name": "idle", "readings": ["5 bar"], "limits": {"min": "6 bar", "max": "4 bar"}}
    assert bench.problems("pressure-check", ranges=[crossed]) == [
        ("ranges.0.limits", "crossed-limits", "The smallest of the limits is not below the largest.", "Check which is which: min must be below max.")
    ]  # fmt: skip
    assert [found[:2] for found in bench.problems("pressure-check", gauge={"full_scale": "16 bar", "accuracy_class": "0"})] == [
        ("gauge.accuracy_class", "out-of-range")
    ]
