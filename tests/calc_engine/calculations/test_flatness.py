"""flatness."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

PLATE = "The plate or straightedge counts as flat here: what it is out of flat comes on top."
UNKNOWN = "No gauge data: how sure the verdict is cannot be worked out. Fill in the gauge's smallest division or largest error."
THREE = "Three places always make a plane: measure at more."
FEW = "Fewer than nine places miss much of a face: corners, middles of the sides and the centre at least (common practice, no source)."


def grid(*heights: int | str, wide: int = 3, step: int = 50) -> list[dict[str, str]]:
    """Heights in hundredths of a millimetre, row by row."""
    return [
        {"x": f"{index % wide * step} mm", "y": f"{index // wide * step} mm", "height": f"{Fraction(height) / 100} mm"}
        for index, height in enumerate(heights)
    ]


def test_the_example(bench: Any) -> None:
    """The zone of tests/oracles; place 6 is high, four at the ends are low."""
    result = bench.result("flatness")
    assert (result["flatness"], result["least_squares"]) == ("0.0516666660894033 mm", "0.0544999995609722 mm")
    assert (result["highest"], result["lowest"]) == (["6"], ["1", "4", "9", "12"])
    assert (result["verdict"], result["certain"], result["advice"]) == ("in", True, "Flat enough, and sure of it.")
    assert bench.cautions("flatness") == [PLATE]
    assert bench.working("flatness") == [
        "the fitted plane rises -0.117 in 1000 along and -0.05 in 1000 across; zone along it ≈ 0.054 mm",
        "the thinnest zone rises -0.111 in 1000 along and -0.1 in 1000 across",
        "it touches place 6 above and places 1, 4, 9 and 12 below: flatness ≈ 0.052 mm",
        "from the gauge's steps, twice: u₁ ≈ 0.00082 mm; from the largest error / √3: u₂ ≈ 0.0017 mm",
        "u = √(u₁² + u₂²) ≈ 0.0019 mm; k ≈ 2 (degrees of freedom: infinite; 95.45 %)",
        "uncertainty U = k × u ≈ 0.0038 mm",
        "at most 0.06 mm: 0.052 keeps to it",
        "could be 0.048 to 0.055 mm: all on one side of the limit: sure",
    ]


def test_three_and_one(bench: Any) -> None:
    """A bump in the middle: four corners below, the middle above, 0.05 mm."""
    result = bench.result("flatness", places=grid(0, 0, 0, 0, 5, 0, 0, 0, 0))
    assert (result["flatness"], result["least_squares"], result["highest"]) == ("0.05 mm", "0.05 mm", ["5"])
    assert [row["above"] for row in result["places"]] == ["0 mm"] * 4 + ["0.05 mm"] + ["0 mm"] * 4


def test_two_and_two(bench: Any) -> None:
    """A twisted face: two corners up, two down."""
    result = bench.result("flatness", places=grid(0, 4, 4, 0, wide=2))
    assert (result["flatness"], result["highest"], result["lowest"]) == ("0.04 mm", ["2", "3"], ["1", "4"])


def test_a_tilt_is_no_fault(bench: Any) -> None:
    """A plane at any slope is flat; distances count square to it."""
    result = bench.result("flatness", places=grid(0, 30, 60, 40, 70, 100, 80, 110, 140))
    assert (result["flatness"], result["least_squares"]) == ("0 mm", "0 mm")
    # A groove 1.2 mm below the line from its first to its last edge, which rises 12 in 16.
    steep = [
        {"x": x, "y": y, "height": h}
        for x, h in (("0 mm", "0 mm"), ("10 mm", "6 mm"), ("16 mm", "12 mm"))
        for y in ("0 mm", "40 mm")
    ]
    assert bench.result("flatness", places=steep)["flatness"] == "1.2 mm"


@pytest.mark.parametrize(
    ("height", "gauge", "verdict", "certain", "advice"),
    [
        (5, {"resolution": "0.002 mm"}, "in", True, "Flat enough, and sure of it."),
        (5, ..., "in", False, "Flat enough by the readings, but not sure: measure again with a finer gauge, or fill in what is known of this one."),
        (6, {"max_error": "0.01 mm"}, "in", False, "Flat enough by the readings, but not sure: measure again with a finer gauge, or fill in what is known of this one."),
        (9, {"max_error": "0.01 mm"}, "high", True, "Not flat enough: highest at place 5, lowest at places 1, 2, 3, 4, 6, 7, 8 and 9."),
        ("6.1", {"max_error": "0.01 mm"}, "high", False, "Measure again before you machine or replace it. Not flat enough: highest at place 5, lowest at places 1, 2, 3, 4, 6, 7, 8 and 9."),
    ],
)  # fmt: skip
def test_each_verdict_has_its_advice(bench: Any, height: Any, gauge: Any, verdict: Any, certain: Any, advice: Any) -> None:
    """Allowed: 0.06 mm, itself in."""
    result = bench.result("flatness", places=grid(0, 0, 0, 0, height, 0, 0, 0, 0), gauge=gauge)
    assert (result["verdict"], result["certain"], result["advice"]) == (verdict, certain, advice)


def test_cautions(bench: Any) -> None:
    """Of few places, and of a gauge of which nothing is known."""
    assert bench.cautions("flatness", places=grid(0, 1, 2, 3, wide=2), gauge=...) == [PLATE, UNKNOWN, FEW]
    assert bench.cautions("flatness", places=grid(0, 1, 2, wide=2), gauge={}) == [PLATE, UNKNOWN, THREE]
    without = bench.working("flatness", gauge=...)[3]
    assert without == "uncertainty: not known; it takes the gauge's smallest division or largest error"


def test_problems_between_the_places(bench: Any) -> None:
    """One line, one place twice, too fine, too steep."""
    assert bench.problems("flatness", places=grid(0, 1, 2)) == [
        (
            "places", "on-one-line", "All places are on one line, which says nothing of the face beside it.",
            "Measure beside that line too: three places at least that make a triangle.",
        )
    ]  # fmt: skip
    assert bench.problems("flatness", places=[*grid(0, 1, 2, wide=2), grid(5)[0]]) == [
        ("places.3", "listed-twice", "Place 4 is where place 1 is.", "Give each place once.")
    ]
    fine = {"x": "0 mm", "y": "1/3 mm", "height": "0 mm"}
    assert bench.problems("flatness", places=[*grid(0, 1, 2, wide=2), fine]) == [
        ("places.3.y", "too-fine", "This is written finer than any gauge reads.", "Write it as the gauge reads, for example 12.34 mm or 0.486 in.")
    ]  # fmt: skip
    assert bench.problems("flatness", places=grid(0, 0, 3600, wide=2)) == [
        ("places", "out-of-range", "The heights differ by more than the places are apart.", "Check the unit of the heights, and which figure is which.")
    ]  # fmt: skip
    assert bench.result("flatness", places=grid(0, 0, 3500, wide=2))["flatness"] == "0 mm"  # 50 / √2 is 35.36


def test_limits_of_sense(bench: Any) -> None:
    """Too few places, a place in the next room, no limit to speak of."""
    assert bench.problems("flatness", places=grid(0, 0)) == [("places", "too-few", "Places: 2 entries given.", "Give 3 to 60.")]
    assert [problem[:2] for problem in bench.problems("flatness", places=grid(0, 0, 0, step=3000, wide=2), limit="0 mm")] == [
        ("places.1.x", "out-of-range"),
        ("places.2.y", "out-of-range"),
        ("limit", "out-of-range"),
    ]


@settings(max_examples=25)
@given(st.lists(st.integers(-20, 20), min_size=9, max_size=9), st.integers(-30, 30), st.integers(-30, 30))
def test_tilting_and_turning_over_change_nothing_to_speak_of(bench: Any, heights: Any, along: Any, across: Any) -> None:
    """Turned over it is the same to the last digit; tilted, the same but for the square of the slope."""

    def flat(of: list[int]) -> Fraction:
        return Fraction(bench.result("flatness", places=grid(*of))["flatness"].split()[0])

    plain = flat(heights)
    assert plain == flat([-height for height in heights])
    tilted = flat([height + along * (index % 3) + across * (index // 3) for index, height in enumerate(heights)])
    assert abs(plain - tilted) <= plain * Fraction(1, 5000)
