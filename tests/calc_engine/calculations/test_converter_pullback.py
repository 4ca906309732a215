"""converter-pullback."""

from __future__ import annotations

from typing import Any

import pytest

NEVER = (
    "Never draw the converter or the case up with bolts: that breaks the pump. With the case tight on the engine, the converter "
    "turns by hand and comes forward to the flexplate by hand (common practice, no source)."
)
ONE_PAD = "One pad does not show a converter that is askew: measure at every pad (common practice, no source)."
LOW = (
    "Too little: most likely the converter is not home. Take the case off the engine, then turn and push the converter "
    "until it drops in at every step; bolt nothing up before."
)
HIGH = "Too far: drawn forward so far, it may leave the pump's drive. Check converter, flexplate and spacers."
NOT_SURE = "Within the limits by the readings, but not sure: measure again, or fill in what is known of the gauge."


def test_the_example_by_hand(bench: Any) -> None:
    """21.5 less 18.1 is 3.4 mm."""
    result = bench.result("converter-pullback")
    assert (result["pullback"], result["spread"], result["verdict"], result["certain"]) == ("3.4 mm", "0.2 mm", "in", True)
    assert result["advice"] == "Within the limits, and sure of it."
    assert bench.cautions("converter-pullback") == [NEVER]
    assert bench.working("converter-pullback") == [
        "depth to the pads = (21.40 + 21.60 + 21.50) / 3 = 21.50 mm",
        "height of the flexplate = (18.00 + 18.20 + 18.10) / 3 = 18.10 mm",
        "pull-back = 21.50 − 18.10 = 3.40 mm",
        "of the depth to the pads: u₁ ≈ 0.082 mm; of the height of the flexplate: u₂ ≈ 0.082 mm",
        "u = √(u₁² + u₂²) ≈ 0.115 mm; k ≈ 2.169 (degrees of freedom: 16; 95.45 %)",
        "uncertainty U = k × u ≈ 0.25 mm",
        "limits 2.00 to 5.00 mm: 3.40 is within them",
        "could be 3.15 to 3.65 mm: all on one side of each limit: sure",
    ]


def test_a_plate_between_adds_and_a_flexplate_that_lies_deep_adds(bench: Any) -> None:
    """1.2 mm more, and minus a minus."""
    assert bench.result("converter-pullback", between="1.2 mm")["pullback"] == "4.6 mm"
    changes = {"pad_depths": ["2 mm"], "flexplate_heights": ["-1 mm"], "gauge": ...}
    assert bench.result("converter-pullback", **changes)["pullback"] == "3 mm"
    assert bench.working("converter-pullback", **changes) == [
        "depth to the pads = 2.00 mm",
        "height of the flexplate = -1.00 mm",
        "pull-back = 2.00 − (-1.00) = 3.00 mm",
        "uncertainty: not known; it takes readings that differ, or the gauge's smallest division or largest error",
        "limits 2.00 to 5.00 mm: 3.00 is within them",
    ]
    assert bench.cautions("converter-pullback", **changes)[2] == ONE_PAD


@pytest.mark.parametrize(
    ("gap", "gauge", "verdict", "certain", "advice"),
    [
        ("3 mm", {"max_error": "0.1 mm"}, "in", True, "Within the limits, and sure of it."),
        ("3 mm", ..., "in", False, NOT_SURE),
        ("2.05 mm", {"max_error": "0.1 mm"}, "in", False, NOT_SURE),
        ("0 mm", {"max_error": "0.1 mm"}, "low", True, LOW),
        ("1.95 mm", {"max_error": "0.1 mm"}, "low", False, f"Measure again. {LOW}"),
        ("6 mm", {"max_error": "0.1 mm"}, "high", True, HIGH),
        ("5.05 mm", {"max_error": "0.1 mm"}, "high", False, f"Measure again. {HIGH}"),
    ],
)
def test_each_verdict_has_its_advice(bench: Any, gap: Any, gauge: Any, verdict: Any, certain: Any, advice: Any) -> None:
    """Limits 2 to 5 mm; the warning always stays."""
    reply = bench.reply(
        "converter-pullback", {"method": "direct", "gaps": [gap], "pad_depths": ..., "flexplate_heights": ..., "gauge": gauge}
    )
    result = reply["result"]
    assert (result["verdict"], result["certain"], result["advice"]) == (verdict, certain, advice)
    assert reply["cautions"][0] == NEVER


def test_pads_that_would_meet_too_early(bench: Any) -> None:
    """A pull-back below zero is told, not refused: it is what the check is for."""
    result = bench.result("converter-pullback", pad_depths=["15 mm", "15.1 mm"])
    assert (result["pullback"], result["verdict"], result["advice"]) == ("-3.05 mm", "low", LOW)


def test_problems(bench: Any) -> None:
    """What the other method reads, and what this one lacks."""
    assert bench.problems(
        "converter-pullback", method="direct", pad_depths=..., flexplate_heights=..., gaps=["3 mm"], between="1 mm"
    ) == [
        (
            "between",
            "not-used",
            "Plate between the faces: no meaning with method “direct”.",
            "Leave it out, or set method to depths.",
        )
    ]
    assert [found[:2] for found in bench.problems("converter-pullback", pad_depths=...)] == [("pad_depths", "missing")]
    assert [found[:2] for found in bench.problems("converter-pullback", between="60 mm")] == [("between", "out-of-range")]
