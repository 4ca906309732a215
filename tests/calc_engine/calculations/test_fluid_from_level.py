"""fluid-from-level: exact for solids whose volume is known, Simpson's rule as SciPy has it, uncertainty against random draws."""

from __future__ import annotations

import random
import statistics
from fractions import Fraction
from itertools import pairwise
from typing import Any, Final

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import simpson, trapezoid

HOT: Final = "Hot fluid burns skin: gloves, glasses, and the pan below the plug before you open it (common practice, no source)."
ELSEWHERE: Final = (
    "What is in the converter, the cooler and the passages does not show in the pan, and runs back into it with the engine off: "
    "read both levels in the state and at the temperature that the maker names (common practice, no source)."
)
BARE: Final = dict.fromkeys(("displaced", "added", "level_error", "side_error", "area_error", "volume_error"), ...)


def by_sides(*sections: tuple[object, object]) -> dict[str, Any]:
    """A pan by length and width, mm, and nothing else known."""
    return {**BARE, "method": "sides", "sides": [{"long": f"{one} mm", "wide": f"{other} mm"} for one, other in sections]}


def by_areas(*areas: object) -> dict[str, Any]:
    """A pan by areas, mm²."""
    return {**BARE, "method": "areas", "sides": ..., "areas": [f"{area} mm2" for area in areas]}


def millilitres(text: str) -> Fraction:
    """A volume of a reply."""
    figure, unit = text.split(" ")
    return Fraction(figure) * {"L": 1000, "mL": 1}[unit]


def test_the_example(bench: Any) -> None:
    """16 mm between the levels, 0.2 L of it a filter, 0.5 L poured in already."""
    result = bench.result("fluid-from-level")
    assert result["advice"] == "Add 0.561 L, half of it first. Then read the level again. The maker's level check decides."
    assert abs(millilitres(result["between"]) - (Fraction(16, 6) * (75900 + 4 * 78824 + 81600) / 1000 - 200)) < Fraction(1, 10**9)
    assert "drain" not in result
    assert bench.cautions("fluid-from-level") == [HOT, ELSEWHERE]
    assert bench.working("fluid-from-level") == [
        "area 1 = 330.00 × 230.00 = 75900 mm²",
        "area 2 = 334.00 × 236.00 = 78824 mm²",
        "area 3 = 340.00 × 240.00 = 81600 mm²",
        "height = 38.00 − 22.00 = 16.00 mm",
        "mean area by the prismoidal formula = (75900 + 4 × 78824 + 81600) / 6 ≈ 78799.3 mm²",
        "room between the levels = height × mean area ≈ 1.261 L",
        "fluid = 1.261 − 0.2 ≈ 1.061 L",
        "to add = 1.061 − 0.5 ≈ 0.561 L",
        "each largest error / √3, times what it changes the volume by: u ≈ 0.036 L",
        "uncertainty U = k × u, k ≈ 2: 0.073 L (95.45 %)",
    ]


@pytest.mark.parametrize(
    ("pan", "volume"),
    [
        (by_sides((200, 100), (200, 100)), "2 L"),  # a box, 100 mm high
        (by_sides((200, 100), (100, 100)), "1.5 L"),  # one wall sloping: a wedge cut off a box
        (by_sides((200, 200), (100, 100)), "2.33333333333333 L"),  # frustum of a pyramid: h/3 (A + √(A A') + A')
        (by_sides((200, 200), (150, 150), (100, 100)), "2.33333333333333 L"),
        (by_areas(40000, 22500, 10000), "2.33333333333333 L"),
        (by_areas(30000, 7500, 0), "1 L"),  # a pyramid: h A / 3
        (by_areas(20000, 10000), "1.5 L"),  # end areas
        (by_areas(20000, 10000, 10000, 20000), "1.33333333333333 L"),  # a third of the height each: (15 + 10 + 15) / 3 × 1000 mm²
        (by_areas(0, 0), "0 L"),
    ],
)
def test_solids_whose_volume_is_known(bench: Any, pan: dict[str, Any], volume: str) -> None:
    """Between 0 and 100 mm, the same volume whichever way."""
    assert bench.result("fluid-from-level", level="0 mm", wanted="100 mm", **pan)["between"] == volume
    assert bench.result("fluid-from-level", level="100 mm", wanted="0 mm", **pan)["between"] == volume


@pytest.mark.parametrize(
    ("changed", "field", "volume", "advice"),
    [
        ({}, "add", "2 L", "Add 2.0 L, half of it first. Then read the level again. The maker's level check decides."),
        ({"added": "0.5 L"}, "add", "1.5 L", "Add 1.5 L, half of it first. Then read the level again. The maker's level check decides."),
        ({"displaced": "0.5 L"}, "add", "1.5 L", "Add 1.5 L, half of it first. Then read the level again. The maker's level check decides."),
        ({"added": "2 L"}, None, None, "Nothing to add or to drain. The maker's level check decides."),
        ({"added": "2.5 L"}, "drain", "0.5 L", "Drain 0.5 L. Then read the level again. The maker's level check decides."),
        ({"level": "100 mm", "wanted": "0 mm", "added": "0.5 L"}, "drain", "2.5 L",
         "Drain 2.5 L. Then read the level again. The maker's level check decides."),
        ({"wanted": "0 mm"}, None, None, "Nothing to add or to drain. The maker's level check decides."),
        # Exactly as much as may be wrong is not enough to pour by.
        ({"wanted": "1 mm", "level_error": "1 mm"}, "add", "0.02 L",
         "0.02 L to add by the readings, which could be none: read the level again first. The maker's level check decides."),
        ({"level": "1 mm", "wanted": "0 mm", "level_error": "1 mm"}, "drain", "0.02 L",
         "0.02 L to drain by the readings, which could be none: read the level again first. The maker's level check decides."),
    ],
)  # fmt: skip
def test_what_to_do(bench: Any, changed: dict[str, str], field: str | None, volume: str | None, advice: str) -> None:
    """A box of 2 L between 0 and 100 mm."""
    result = bench.result(
        "fluid-from-level", **{"level": "0 mm", "wanted": "100 mm", **by_sides((200, 100), (200, 100)), **changed}
    )
    said = {key: result[key].replace("0.0200000000000000", "0.02") for key in ("add", "drain") if key in result}
    assert (said, result["advice"]) == ({field: volume} if field else {}, advice)


@given(st.lists(st.integers(0, 90_000), min_size=2, max_size=13), st.integers(1, 200))
def test_areas_are_summed_as_scipy_does(bench: Any, areas: list[int], height: int) -> None:
    """Simpson's rule for an odd number of areas, trapezia for an even one."""
    found = millilitres(bench.result("fluid-from-level", level="0 mm", wanted=f"{height} mm", **by_areas(*areas))["between"])
    rule = simpson if len(areas) % 2 else trapezoid
    expected = float(rule([float(area) for area in areas], dx=height / (len(areas) - 1))) / 1000
    assert abs(float(found) - expected) <= 1e-9 * max(expected, 1)


@given(
    st.lists(st.tuples(st.integers(1, 600), st.integers(1, 600)), min_size=2, max_size=13).filter(
        lambda sides: len(sides) % 2 == 0
    ),
    st.integers(1, 200),
)
def test_slabs_with_flat_walls_are_exact(bench: Any, sides: list[tuple[int, int]], height: int) -> None:
    """The integral of length times width, each straight from step to step: h (2ac + ad + bc + 2bd) / 6 for each slab."""
    slab = Fraction(height, len(sides) - 1)
    expected = sum(slab * (2 * a * c + a * d + b * c + 2 * b * d) / 6 for (a, c), (b, d) in pairwise(sides)) / 1000
    found = millilitres(bench.result("fluid-from-level", level="0 mm", wanted=f"{height} mm", **by_sides(*sides))["between"])
    assert abs(found - expected) <= expected * Fraction(1, 10**13)


@pytest.mark.parametrize("number", [2, 3, 4, 5])
def test_the_uncertainty_is_that_of_random_readings(bench: Any, number: int) -> None:
    """Readings drawn evenly within their largest errors scatter as it says."""
    draw = random.Random(number)
    sides = [(300 + 7 * step, 200 + 11 * step) for step in range(number)]

    def once() -> float:
        read = [(one + draw.uniform(-3, 3), other + draw.uniform(-3, 3)) for one, other in sides]
        height = 30 + draw.uniform(-1, 1) - draw.uniform(-1, 1)
        if number % 2:
            return float(simpson([one * other for one, other in read], dx=height / (number - 1))) / 1000 - draw.uniform(-20, 20)
        slabs = pairwise(read)
        whole = sum((2 * a * c + a * d + b * c + 2 * b * d) / 6 for (a, c), (b, d) in slabs)
        return whole * height / (number - 1) / 1000 - draw.uniform(-20, 20)

    errors = {"level_error": "1 mm", "side_error": "3 mm", "added": "0.1 L", "volume_error": "20 mL"}
    result = bench.result("fluid-from-level", **{"level": "10 mm", "wanted": "40 mm", **by_sides(*sides), **errors})
    scatter = statistics.stdev(once() for _ in range(20_000))
    assert abs(float(millilitres(result["uncertainty"])) / 2 / scatter - 1) < 0.03


def test_errors_of_areas_and_of_two_volumes(bench: Any) -> None:
    """Areas of weight 1/6, 4/6, 1/6 over 60 mm, with 300 mm² each: 18 mL × √18 / 6; and twice 10 mL; all / √3, times 2."""
    request = {
        **by_areas(9000, 9000, 9000),
        "area_error": "300 mm2",
        "volume_error": "10 mL",
        "displaced": "0.1 L",
        "added": "0.1 L",
    }
    result = bench.result("fluid-from-level", **{"level": "0 mm", "wanted": "60 mm", **request})
    expected = 2.0000024 * ((18 * 18**0.5 / 6) ** 2 / 3 + 2 * 10**2 / 3) ** 0.5
    assert abs(float(millilitres(result["uncertainty"])) - expected) < 1e-5


def test_quarts(bench: Any) -> None:
    """A box of 11 by 10.5 by 1 inch is 2 US quarts, of 57.75 cubic inches each."""
    pan = {"sides": [{"long": "11 in", "wide": "10.5 in"}] * 2, "level": "1 in", "wanted": "2 in", "units": "inch"}
    result = bench.result("fluid-from-level", **{**by_sides(), **pan})
    assert (result["add"], result["mean_area"]) == ("2 qt", "115.5 in2")
    assert result["advice"].startswith("Add 2.0 qt (US), half of it first.")


def test_what_takes_up_room_fits_in(bench: Any) -> None:
    """Exactly the room is possible, more is not."""
    box = {"level": "0 mm", "wanted": "100 mm", **by_sides((200, 100), (200, 100))}
    assert bench.result("fluid-from-level", **{**box, "displaced": "2 L"})["between"] == "0 L"
    assert bench.problems("fluid-from-level", **{**box, "displaced": "2.001 L"}) == [
        (
            "displaced",
            "out-of-range",
            "The room taken up is larger than the room between the two levels.",
            "Count only what stands between them.",
        )
    ]


def test_limits_of_sense(bench: Any) -> None:
    """No side of nothing, no level below the mark, no pan like a pool; at the limit itself it answers."""
    found = bench.problems("fluid-from-level", **{**by_sides((0, 100), (2000.1, 100)), "level": "-1 mm", "wanted": "500.1 mm"})
    assert [problem[:3] for problem in found] == [
        ("level", "out-of-range", "Level read: -1.00 mm is too small."),
        ("wanted", "out-of-range", "Level wanted: 500.10 mm is far too large."),
        ("sides.0.long", "out-of-range", "Length: 0.00 mm is too small."),
        ("sides.1.long", "out-of-range", "Length: 2000.10 mm is far too large."),
    ]
    widest = by_sides((2000, 2000), (2000, 2000))
    assert bench.result("fluid-from-level", **{**widest, "level": "0 mm", "wanted": "500 mm"})["add"] == "2000 L"


@pytest.mark.parametrize("count", [0, 1, 14])
def test_so_many_steps_are_wanted(bench: Any, count: int) -> None:
    """2 to 13."""
    code = "too-many" if count > 13 else "too-few"
    assert [found[:2] for found in bench.problems("fluid-from-level", **by_sides(*[(200, 100)] * count))] == [("sides", code)]
