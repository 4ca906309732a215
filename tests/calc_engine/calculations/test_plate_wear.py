"""plate-wear: a measured set of friction plates."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

LOOKS = "Burnt, glazed, flaking or bent plates are replaced whatever they measure (common practice, no source)."
MIXED = "New plates beside used ones take up unevenly: many shops replace the whole set (common practice, no source)."
NO_GAUGE = "No gauge data: the verdicts are only as sure as the reading."


def test_the_example_finds_the_worn_plate(bench: Any, near: Any) -> None:
    """Plate 4 is 0.01 mm below the worn limit of 1.50."""
    result = bench.result("plate-wear")
    assert (result["verdict"], result["worn"]) == ("worn", ["4"])
    assert result["advice"] == "Replace plate 4: worn below 1.50 mm."
    assert [plate["state"] for plate in result["plates"]] == ["usable", "usable", "usable", "worn", "usable"]
    assert [plate["left"] for plate in result["plates"]] == ["0.12 mm", "0.08 mm", "0.01 mm", "-0.01 mm", "0.1 mm"]
    assert (result["mean"], result["smallest"], result["largest"], result["spread"]) == (
        "1.56 mm",
        "1.49 mm",
        "1.62 mm",
        "0.13 mm",
    )
    assert result["clearance_gained"] == "0.7 mm"  # 5 x 1.70 - 7.80
    assert near(result["uncertainty"], "0.0073937000389922 mm")  # mpmath: 2.0000024 sqrt(0.01^2/12 + 0.004^2/3)
    assert bench.cautions("plate-wear") == [LOOKS, MIXED]


def test_working_shows_each_plate(bench: Any) -> None:
    """What is left of each, and the sums."""
    lines = bench.working("plate-wear")
    assert lines[:3] == [
        "new: 1.65 to 1.75 mm; worn below 1.50 mm",
        "one reading could be off by U ≈ 0.0074 mm",
        "plate 1: left to wear = 1.62 − 1.50 = 0.12 mm: usable",
    ]
    assert lines[-3:] == [
        "mean = (1.62 + 1.58 + 1.51 + 1.49 + 1.60) / 5 = 1.56 mm",
        "spread = 1.62 − 1.49 = 0.13 mm",
        ("clearance gained = 5 × 1.70 − (1.62 + 1.58 + 1.51 + 1.49 + 1.60) = 0.70 mm, against new plates of 1.70 mm"),
    ]


def test_limits_themselves(bench: Any) -> None:
    """On the worn limit it may stay; on the limits of a new plate it is new; above them it is too thick."""
    result = bench.result(
        "plate-wear", gauge=..., thicknesses=["1.50 mm", "1.65 mm", "1.75 mm", "1.751 mm", "1.649 mm", "1.499 mm"]
    )
    assert [plate["state"] for plate in result["plates"]] == ["usable", "new", "new", "thick", "usable", "worn"]
    assert {"certain"}.isdisjoint(result["plates"][0])


def test_verdict_is_that_of_the_worst_plate(bench: Any) -> None:
    """Worn before too thick before usable before new; the words for each."""
    for thicknesses, verdict, advice in (
        (["1.70 mm", "1.66 mm"], "new", "No plate is worn."),
        (["1.70 mm", "1.60 mm"], "usable", "No plate is worn."),
        (
            ["1.80 mm", "1.60 mm"],
            "thick",
            "Check plate 1: thicker than a new one. Wrong plate, dirt, or swollen lining.",
        ),
        (
            ["1.80 mm", "1.40 mm", "1.30 mm", "1.90 mm", "1.20 mm"],
            "worn",
            (
                "Replace plates 2, 3 and 5: worn below 1.50 mm. "
                "Check plates 1 and 4: thicker than a new one. Wrong plate, dirt, or swollen lining."
            ),
        ),
    ):
        result = bench.result("plate-wear", gauge=..., thicknesses=thicknesses)
        assert (result["verdict"], result["advice"]) == (verdict, advice)


def test_nearer_the_worn_limit_than_the_gauge_can_tell(bench: Any) -> None:
    """U is 0.0074 mm: 1.505 and 1.495 could be either side; 1.51 could not."""
    result = bench.result("plate-wear", thicknesses=["1.505 mm", "1.495 mm", "1.51 mm", "1.60 mm"])
    assert [plate["certain"] for plate in result["plates"]] == [False, False, True, True]
    assert result["advice"] == (
        "Replace plate 2: worn below 1.50 mm. Measure plates 1 and 2 again: too close to the worn limit to trust."
    )


def test_cautions_of_a_set_that_is_all_worn_or_all_good(bench: Any) -> None:
    """There is nothing mixed about either."""
    assert bench.cautions("plate-wear", thicknesses=["1.40 mm", "1.30 mm"]) == [LOOKS]
    assert bench.cautions("plate-wear", thicknesses=["1.60 mm"], gauge=...) == [LOOKS, NO_GAUGE]


def test_crossed_limits(bench: Any) -> None:
    """A worn plate is thinner than a new one."""
    assert bench.problems("plate-wear", worn_below="1.65 mm") == [
        (
            "worn_below",
            "crossed-limits",
            "The worn limit is not below the thinnest new plate.",
            "Check which is which: a worn plate is thinner than a new one.",
        )
    ]
    found = bench.problems("plate-wear", thicknesses=[], new_limits={"min": "1.75 mm", "max": "1.65 mm"}, worn_below="1.5")
    assert [(field, code) for field, code, _, _ in found] == [
        ("thicknesses", "too-few"),
        ("new_limits", "crossed-limits"),
        ("worn_below", "no-unit"),
    ]


def test_inch_request_gives_inch_answers(bench: Any) -> None:
    """Plates of 0.060 in against 0.065 to 0.069 and 0.059."""
    request = {
        "thicknesses": ["0.060 in"], "new_limits": {"min": "0.065 in", "max": "0.069 in"}, "worn_below": "0.059 in", "gauge": ...,
    }  # fmt: skip
    assert bench.result("plate-wear", **request)["plates"][0]["left"] == "0.001 in"
    assert bench.result("plate-wear", **request, units="metric")["clearance_gained"] == "0.1778 mm"
    assert bench.result("plate-wear", units="inch")["mean"].endswith(" in")


@given(st.lists(st.integers(1, 300), min_size=1, max_size=12), st.integers(-50, 50))
def test_moving_plates_and_limits_together_changes_no_state(bench: Any, thicknesses: Any, shift: Any) -> None:
    """States depend on differences only."""

    def mm(hundredths: int) -> str:
        return f"{Decimal(hundredths) / 100} mm"

    def states(by: int) -> Any:
        request = {
            "thicknesses": [mm(400 + value + by) for value in thicknesses],
            "new_limits": {"min": mm(565 + by), "max": mm(575 + by)},
            "worn_below": mm(550 + by),
        }
        return [(plate["state"], plate["left"], plate["certain"]) for plate in bench.result("plate-wear", **request)["plates"]]

    assert states(0) == states(shift)
