"""bushing-clearance."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

UNKNOWN = "No gauge data for the {}: the uncertainty leaves out how far off that gauge may be."
FEW = "Fewer than four readings do not show taper and ovality: measure both ends, in two directions (common practice, no source)."
BINDS = "At its tightest place the shaft does not go in: the mean hides it."
KNOWN = {"resolution": "0.01 mm", "max_error": "0.004 mm"}


def test_the_example_by_hand(bench: Any, near: Any) -> None:
    """Means 38.16275 and 38.0995 mm; U by numpy and scipy in tests/oracles."""
    result = bench.result("bushing-clearance")
    assert (result["clearance"], result["bore"], result["shaft"]) == ("0.06325 mm", "38.16275 mm", "38.0995 mm")
    assert (result["bore_spread"], result["shaft_spread"]) == ("0.005 mm", "0.003 mm")
    assert (result["tightest"], result["loosest"]) == ("0.059 mm", "0.067 mm")
    # u^2 = s_D^2/4 + 0.004^2/3 + s_d^2/4 + 0.003^2/3 = (14.75/3)/4e6 + 16/3e6 + (5/3)/4e6 + 9/3e6
    standard = ((14.75 / 3 / 4 + 16 / 3 + 5 / 3 / 4 + 3) * 1e-6) ** 0.5
    assert near(float(result["uncertainty"].split()[0]), standard * result["coverage_factor"])
    assert (result["verdict"], result["certain"], result["advice"]) == ("in", True, "Within the limits, and sure of it.")
    assert bench.cautions("bushing-clearance") == []


def test_the_working_of_the_example(bench: Any) -> None:
    """Both means, both parts of the uncertainty, and the limits."""
    assert bench.working("bushing-clearance") == [
        "mean bore = (38.162 + 38.165 + 38.16 + 38.164) / 4 ≈ 38.163 mm",
        "taper and ovality of the bore = 38.165 − 38.16 = 0.005 mm",
        "mean shaft = (38.10 + 38.098 + 38.101 + 38.099) / 4 ≈ 38.10 mm",
        "taper and ovality of the shaft = 38.101 − 38.098 = 0.003 mm",
        "clearance = 38.163 − 38.10 ≈ 0.063 mm",
        "bore: 0.0011 mm from standard deviation / √4, 0.0023 mm from the largest error / √3, together u₁ ≈ 0.0026 mm",
        "shaft: 0.00065 mm from standard deviation / √4, 0.0017 mm from the largest error / √3, together u₂ ≈ 0.0018 mm",
        "u = √(u₁² + u₂²) ≈ 0.0032 mm; k ≈ 2.014 (degrees of freedom: 177.4; 95.45 %)",
        "uncertainty U = k × u ≈ 0.0064 mm",
        "limits 0.04 to 0.09 mm: 0.063 is within them",
        "could be 0.057 to 0.07 mm: all on one side of each limit: sure",
    ]


@pytest.mark.parametrize(
    ("bore", "gauge", "verdict", "certain", "advice"),
    [
        ("20.05 mm", {"resolution": "0.001 mm"}, "in", True, "Within the limits, and sure of it."),
        ("20.05 mm", ..., "in", False, "Within the limits by the readings, but not sure: measure again with the gauges' data filled in."),
        ("20.02 mm", KNOWN, "low", True, "Too tight: check for dirt, a burr or a bushing pressed in crooked, before you size it."),
        ("20.035 mm", KNOWN, "low", False, "Measure again before you replace anything. Too tight: check for dirt, a burr or a bushing pressed in crooked, before you size it."),
        ("20.10 mm", KNOWN, "high", True, "Too loose: replace the bushing, and the shaft if it is worn below its own size."),
        ("20.065 mm", KNOWN, "high", False, "Measure again before you replace anything. Too loose: replace the bushing, and the shaft if it is worn below its own size."),
    ],
)  # fmt: skip
def test_each_verdict_has_its_advice(bench: Any, bore: Any, gauge: Any, verdict: Any, certain: Any, advice: Any) -> None:
    """Limits 0.04 to 0.06 mm."""
    result = bench.result(
        "bushing-clearance",
        bores=[bore],
        shafts=["20 mm"],
        limits={"min": "0.04 mm", "max": "0.06 mm"},
        bore_gauge=gauge,
        shaft_gauge=...,
    )
    assert (result["verdict"], result["certain"], result["advice"]) == (verdict, certain, advice)


@pytest.mark.parametrize(("clearance", "verdict"), [("0.039", "low"), ("0.04", "in"), ("0.09", "in"), ("0.091", "high")])
def test_a_value_on_a_limit_is_in(bench: Any, clearance: Any, verdict: Any) -> None:
    """Exactly."""
    bore = f"{Fraction(clearance) + 30:.3f} mm"
    assert bench.result("bushing-clearance", bores=[bore], shafts=["30 mm"])["verdict"] == verdict


def test_what_is_not_known_is_told(bench: Any) -> None:
    """Gauges, few readings, and a place that binds."""
    assert bench.cautions("bushing-clearance", bore_gauge=..., shaft_gauge={}) == [UNKNOWN.format("bore and the shaft")]
    assert bench.cautions("bushing-clearance", shaft_gauge=..., shafts=["38.1 mm"]) == [UNKNOWN.format("shaft"), FEW]
    assert bench.cautions("bushing-clearance", bores=["38.2 mm", "38.1 mm", "38.2 mm", "38.2 mm"]) == [BINDS]
    last = bench.working("bushing-clearance", bores=["20.05 mm"], shafts=["20 mm"], bore_gauge=..., shaft_gauge=...)[-2]
    assert last == "uncertainty: not known; it takes readings that differ, or a gauge's smallest division or largest error"


def test_problems_between_the_fields(bench: Any) -> None:
    """A shaft that is as large as the bore, and crossed limits."""
    swapped = (
        "shafts", "negative-clearance", "The shaft is not smaller than the bore.",
        "Check whether bore and shaft are swapped, or whether a reading is a turn of the screw off.",
    )  # fmt: skip
    assert bench.problems("bushing-clearance", bores=["38 mm"], shafts=["38 mm"]) == [swapped]
    assert bench.problems("bushing-clearance", limits={"min": "0.09 mm", "max": "0.04 mm"}) == [
        ("limits", "crossed-limits", "The smallest of the limits is not below the largest.", "Check which is which: min must be below max.")
    ]  # fmt: skip


def test_limits_of_sense(bench: Any) -> None:
    """No diameter, and one of a metre."""
    assert bench.problems("bushing-clearance", bores=["0 mm"], shafts=["1 m"]) == [
        ("bores.0", "out-of-range", "Bore of the bushing: 0.00 mm is too small.", "It must be more than 0 mm."),
        (
            "shafts.0",
            "out-of-range",
            "Shaft where it runs in it: 1 m is far too large.",
            "It can be 0.5 m at most. Wrong unit or decimal point?",
        ),
    ]


@given(
    st.lists(st.integers(30_100, 30_200), min_size=1, max_size=8),
    st.lists(st.integers(30_000, 30_099), min_size=1, max_size=8),
    st.integers(-20, 20),
)
def test_both_diameters_may_grow_together(bench: Any, bores: Any, shafts: Any, by: Any) -> None:
    """The clearance and its uncertainty stay; so does the clearance between tightest and loosest."""
    first, second = (
        bench.result(
            "bushing-clearance", bores=[f"{x + d} um" for x in bores], shafts=[f"{x + d} um" for x in shafts], units="metric"
        )
        for d in (0, by)
    )
    for name in ("clearance", "uncertainty", "verdict", "certain", "tightest", "loosest"):
        assert first[name] == second[name]
    tightest, clearance, loosest = (Fraction(first[name].split()[0]) for name in ("tightest", "clearance", "loosest"))
    assert tightest <= clearance <= loosest
