"""band-adjustment."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

COUNTS = "The spec's turns are what counts: the gap only lets you check them with a gauge."
LOCK = "Turn the nut, not the screw, when you lock it: a screw that turns along changes the gap (common practice, no source)."
NO_TORQUE = "Without the torque of the spec there is no snug to count the turns from."


def test_the_example_by_hand(bench: Any) -> None:
    """2.25 × 1.25 = 2.8125 mm, × 1.6 = 4.5 mm."""
    assert bench.result("band-adjustment") == {
        "advice": "Tighten the screw to 7.0 N·m, back it off 2.25 turns, hold it there and tighten its locknut.",
        "travel": "2.8125 mm",
        "gap": "4.5 mm",
        "gap_per_turn": "2 mm",
    }
    assert bench.cautions("band-adjustment") == [COUNTS, LOCK]
    assert bench.working("band-adjustment") == [
        "travel of the screw = 2.25 × 1.25 mm ≈ 2.813 mm",
        "gap = 2.813 mm × 1.6 = 4.50 mm",
    ]


def test_an_inch_thread_without_lever_and_torque(bench: Any) -> None:
    """20 threads to the inch: 0.05 in a turn."""
    request = {"turns": 1, "pitch": ..., "threads_per_inch": 20, "lever_ratio": ..., "tightening": ..., "units": "inch"}
    result = bench.result("band-adjustment", **request)
    assert (result["travel"], result["gap"]) == ("0.05 in", "0.05 in")
    assert (
        result["advice"]
        == "Tighten the screw to the torque of the spec, back it off 1 turn, hold it there and tighten its locknut."
    )
    assert bench.cautions("band-adjustment", **request) == [COUNTS, LOCK, NO_TORQUE]
    assert bench.working("band-adjustment", **request) == [
        "pitch = 1.000 in / 20 = 0.050 in",
        "travel of the screw = 1 × 0.050 in = 0.050 in",
    ]


def test_problems(bench: Any) -> None:
    """The thread in both ways and in none, no turns, a lever of ten."""
    assert bench.problems("band-adjustment", pitch=...) == [
        ("pitch", "missing", "Neither pitch nor threads per inch is given.", "Give pitch or threads per inch.")
    ]
    assert bench.problems("band-adjustment", threads_per_inch=20) == [
        (
            "threads_per_inch",
            "both-given",
            "Pitch and threads per inch are both given.",
            "Give pitch or threads per inch, not both.",
        )
    ]
    assert [found[:2] for found in bench.problems("band-adjustment", turns=0, lever_ratio=11)] == [
        ("turns", "out-of-range"),
        ("lever_ratio", "out-of-range"),
    ]


@given(st.integers(1, 160), st.integers(1, 500), st.integers(1, 100))
def test_gap_is_turns_times_pitch_times_ratio(bench: Any, eighths: Any, pitch: Any, ratio: Any) -> None:
    """Exactly."""
    result = bench.result("band-adjustment", turns=f"{eighths}/8", pitch=f"{pitch}/100 mm", lever_ratio=f"{ratio}/10")
    assert Fraction(result["gap"].split()[0]) == Fraction(eighths, 8) * Fraction(pitch, 100) * Fraction(ratio, 10)
