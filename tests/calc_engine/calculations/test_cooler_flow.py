"""cooler-flow."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

HOT = "Hot fluid under pressure: hold the hose fast, wear gloves and glasses, and stop before the level gets low (common practice, no source)."
COLD = (
    "Cold fluid flows more slowly: note its temperature, and compare at the one that the spec names (common practice, no source)."
)
FEW = "Do at least three runs: one alone does not show a slip of the watch."
SHORT = "A vessel that fills in less than three seconds is too small to be timed by hand: take a larger one."
LITTLE = "Too little: look for a kinked line, a blocked cooler or a stuck bypass, flush it, and measure again."


def runs(*times: str, volume: str = "1 L") -> list[dict[str, str]]:
    """Runs of the same volume."""
    return [{"volume": volume, "time": time} for time in times]


def test_the_example(bench: Any) -> None:
    """60/21, 60/20 and 60/20.5 L/min."""
    result = bench.result("cooler-flow")
    assert abs(float(result["flow"].split()[0]) - (60 / 21 + 3 + 60 / 20.5) / 3) < 1e-12
    assert (result["verdict"], result["certain"], result["advice"]) == ("in", True, "Enough, and sure of it.")
    assert bench.cautions("cooler-flow") == [HOT]
    assert bench.working("cooler-flow") == [
        "run 1: 1.0 L / 21 s ≈ 2.857 L/min",
        "run 2: 1.0 L / 20 s = 3.0 L/min",
        "run 3: 1.0 L / 20.5 s ≈ 2.927 L/min",
        "flow = (2.857 + 3.0 + 2.927) / 3 ≈ 2.928 L/min",
        "at 70 °C, as noted",
        "spread = 3.0 − 2.857 ≈ 0.143 L/min",
        "standard deviation of the 3 runs ≈ 0.071 L/min",
        "from standard deviation / √3: u₁ ≈ 0.041 L/min; from the largest error / √3: u₂ ≈ 0.042 L/min",
        "u = √(u₁² + u₂²) ≈ 0.059 L/min; k ≈ 2.353 (degrees of freedom: 8.3; 95.45 %)",
        "uncertainty U = k × u ≈ 0.14 L/min",
        "at least 2.4 L/min: 2.928 keeps to it",
        "could be 2.79 to 3.066 L/min: all on one side of the limit: sure",
    ]


def test_one_run_has_the_errors_of_vessel_and_watch(bench: Any) -> None:
    """2 L/min from 1 L in 30 s: 1 % of volume and of time give 2 √(2/3) % of it."""
    result = bench.result("cooler-flow", runs=runs("30 s"), volume_error="0.01 L", time_error="0.3 s")
    assert result["flow"] == "2 L/min"
    assert abs(float(result["uncertainty"].split()[0]) - 2.0000244 * 2 * 0.01 * (2 / 3) ** 0.5) < 1e-6


@pytest.mark.parametrize(
    ("time", "error", "verdict", "certain", "advice"),
    [
        ("20 s", "0.01 L", "in", True, "Enough, and sure of it."),
        (
            "25 s",
            "0.01 L",
            "in",
            False,
            "Enough by the runs, but not sure: do more runs, or fill in how far off volume and time may be.",
        ),
        (
            "20 s",
            ...,
            "in",
            False,
            "Enough by the runs, but not sure: do more runs, or fill in how far off volume and time may be.",
        ),
        ("40 s", "0.01 L", "low", True, LITTLE),
        ("25.1 s", "0.01 L", "low", False, f"Do more runs before you decide. {LITTLE}"),
    ],
)
def test_each_verdict_has_its_advice(bench: Any, time: Any, error: Any, verdict: Any, certain: Any, advice: Any) -> None:
    """At least 2.4 L/min: 1 L in 25 s, itself enough."""
    result = bench.result("cooler-flow", runs=runs(time), volume_error=error, time_error=...)
    assert (result["verdict"], result["certain"], result["advice"]) == (verdict, certain, advice)


def test_cautions(bench: Any) -> None:
    """Of the temperature, of one run, of a cup."""
    assert bench.cautions("cooler-flow", runs=runs("2.9 s"), temperature=...) == [HOT, COLD, FEW, SHORT]


def test_quarts(bench: Any) -> None:
    """A US quart is a quarter of 231 cubic inches: 57.75 × 16.387064 mL."""
    result = bench.result("cooler-flow", runs=runs("30 s", volume="1 qt"), least="1 qt/min", temperature="160 degF", units="inch")
    assert result["flow"] == "2 qt/min"
    assert bench.result("cooler-flow", runs=runs("60 s", volume="1 qt"), units="metric")["flow"] == "0.946352946 L/min"


def test_limits_of_sense(bench: Any) -> None:
    """No time, no volume, boiling lead."""
    found = bench.problems("cooler-flow", runs=[{"volume": "0 L", "time": "0 s"}], temperature="300 degC")
    assert found[:2] == [
        ("runs.0.volume", "out-of-range", "Volume: 0.0 L is too small.", "It must be more than 0 L."),
        ("runs.0.time", "out-of-range", "Time: 0 s is too small.", "It must be more than 0 s."),
    ]
    assert found[2][:2] == ("temperature", "out-of-range")


@given(st.lists(st.tuples(st.integers(1, 5000), st.integers(1, 600)), min_size=1, max_size=6))
def test_the_flow_is_the_mean_of_volume_over_time(bench: Any, found: Any) -> None:
    """In mL/s, whatever the runs."""
    given_runs = [{"volume": f"{volume} mL", "time": f"{time} s"} for volume, time in found]
    flow = Fraction(bench.result("cooler-flow", runs=given_runs, least="1 mL/s")["flow"].split()[0])
    expected = sum(Fraction(volume, time) for volume, time in found) / len(found)
    assert abs(flow - expected) <= expected * Fraction(1, 10**13)
