"""stack-forecast through its door: figures by hand, mpmath and numpy; the arithmetic itself is held in test_tolerance_stack.py."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

FORECAST = "This is a forecast from drawings. Every rebuild is measured all the same."
BEYOND = "A normal part lies outside its tolerance 27 times in 10000: the gap can go beyond the worst case."
TWO_UNIFORMS = {
    "cavity": {"nominal": "10 mm", "plus": "0.5 mm", "minus": "0.5 mm"},
    "parts": [{"name": "spacer", "nominal": "9 mm", "plus": "0.5 mm", "minus": "0.5 mm"}],
    "limits": {"min": "0.5 mm", "max": "1.5 mm"},
    "choices": ...,
    "rebuilds": ...,
    "service": ...,
}


def simulated_gaps() -> Any:
    """The gap of a million seeded rebuilds of the example, mm."""
    rng = np.random.default_rng(20260901)
    n = 1_000_000
    gap = 26.72 + rng.uniform(-0.10, 0.10, n) - 1.50 - rng.uniform(-0.03, 0.03, n) - 5.00 - rng.uniform(-0.02, 0.02, n)
    return gap - 9.0 - rng.uniform(-0.03, 0.03, (n, 5)).sum(1) - 8.5 - rng.normal(0, 0.05 / 3, (n, 5)).sum(1)


def part(nominal: str, plus: str, minus: str, **more: Any) -> dict[str, Any]:
    """A part with its tolerance in mm."""
    return {"name": f"part of {nominal}", "nominal": f"{nominal} mm", "plus": f"{plus} mm", "minus": f"{minus} mm"} | more


def test_two_uniforms_are_a_triangle(bench: Any, near: Any) -> None:
    """Cavity and spacer, each +-0.5: the gap is triangular from 0 to 2. Within 0.5 to 1.5 are 3/4, an eighth on each side."""
    result = bench.result("stack-forecast", **TWO_UNIFORMS)
    bars = result.pop("histogram")
    assert near(
        result,
        {
            "advice": "75 in 100 rebuilds come out within the limits.",
            "mean": "1 mm",
            "sd": "0.408248290463863 mm",  # sqrt(1/6)
            "worst": {"min": "0 mm", "max": "2 mm"},
            "rss": {"min": "0.292893218813452 mm", "max": "1.70710678118655 mm"},  # 1 -+ sqrt(1/2)
            "p_in": 0.75,
            "p_low": 0.125,
            "p_high": 0.125,
        },
    )
    assert len(bars) == 16
    assert (bars[0]["low"], bars[-1]["high"]) == ("0 mm", "2 mm")
    assert bars[0]["p"] == pytest.approx(1 / 128, abs=1e-10)  # (1/8)^2 / 2
    assert sum(bar["p"] for bar in bars) == pytest.approx(1, abs=1e-8)


def test_working_puts_the_numbers_in(bench: Any) -> None:
    """Mean, worst case, root sum square, standard deviation, chances."""
    assert bench.working("stack-forecast", **TWO_UNIFORMS) == [
        "mean = 10.00 − 9.00 = 1.00 mm",
        "worst case ± (0.50 + 0.50) = 1.00 mm: 0.00 to 2.00 mm",
        "root sum square ± √(0.50² + 0.50²) ≈ 0.707 mm: 0.293 to 1.707 mm",
        "standard deviation = √(0.50²/3 + 0.50²/3) ≈ 0.408 mm",
        "gap within 0.50 to 1.50 mm: 75 in 100; below: 12.5 in 100; above: 12.5 in 100",
    ]
    assert bench.cautions("stack-forecast", **TWO_UNIFORMS) == [FORECAST]


def test_unequal_tolerances_move_the_middle(bench: Any) -> None:
    """U.C. Jindal, Machine Design, Ex 4-3, p. 113 (READ): hole 50 +0.039/0, shaft 50 -0.009/-0.034, clearance 0.009 to 0.073 mm."""
    request = TWO_UNIFORMS | {
        "cavity": {"nominal": "50 mm", "plus": "0.039 mm", "minus": "0 mm"},
        "parts": [part("50", "-0.009", "0.034")],
        "limits": {"min": "0 mm", "max": "0.1 mm"},
    }
    assert bench.result("stack-forecast", **request)["worst"] == {"min": "0.009 mm", "max": "0.073 mm"}
    assert bench.working("stack-forecast", **request)[:2] == [
        "cavity: middle = 50.00 + (0.039 − 0.00)/2 ≈ 50.02 mm, ± 0.02 mm",
        "part of 50: middle = 50.00 + (-0.009 − 0.034)/2 ≈ 49.979 mm, ± 0.013 mm",
    ]


def test_counts_and_shapes_stand_in_the_working(bench: Any) -> None:
    """Each copy varies on its own; each shape has its divisor."""
    request = TWO_UNIFORMS | {
        "parts": [part("1", "0.06", "0.06", count=4, shape="normal"), part("2", "0.12", "0.12", count=2, shape="triangular")],
    }  # fmt: skip
    lines = bench.working("stack-forecast", **request)
    assert lines[0] == "mean = 10.00 − 4 × 1.00 − 2 × 2.00 = 2.00 mm"
    assert lines[3].startswith("standard deviation = √(0.50²/3 + 4 × 0.06²/9 + 2 × 0.12²/6) ≈ ")
    assert bench.cautions("stack-forecast", **request) == [FORECAST, BEYOND]


def test_the_example_names_what_to_keep(bench: Any) -> None:
    """Rings for 12 forward packs, and what is short on the shelf."""
    result = bench.result("stack-forecast")
    assert result["advice"] == (
        "With the right size 100 in 100 rebuilds come out within the limits. Most often needed: one dot, 78.15 in 100. "
        "For 12 rebuilds keep 3 × no dot, 12 × one dot, 3 × two dots, 0 × three dots."
    )
    assert [size["order"] for size in result["choices"]] == [0, 6, 0, 0]
    assert sum(size["demand"] for size in result["choices"]) == pytest.approx(1, abs=1e-9)
    assert (result["p_fit"], result["p_none"], result["p_in"]) == (1, 0, 0)
    assert bench.working("stack-forecast")[5] == (
        "no dot: in when the gap is 0.90 + 1.37 = 2.27 to 2.77 mm: 71.96 in 100; nearest the centre for 11.53 in 100; stock 3"
    )
    assert bench.working("stack-forecast")[-1] == "no size fits: 0 in 100"


def test_stock_is_the_binomial_quantile(bench: Any) -> None:
    """Held against scipy for every size and several services."""
    for service in ("0.5", "0.9", "0.99"):
        for size in bench.result("stack-forecast", rebuilds=40, service=service)["choices"]:
            assert size["stock"] == int(stats.binom.ppf(float(service), 40, size["demand"]))


def test_service_is_095_when_left_out(bench: Any) -> None:
    """And the reader is told so; a service without rebuilds is told to be unused."""
    assert bench.result("stack-forecast", service=...) == bench.result("stack-forecast")
    assert bench.cautions("stack-forecast", service=...)[-1] == (
        "The stock of each size is enough 95 times in 100, each size by itself."
    )
    reply = bench.reply("stack-forecast", {"rebuilds": ...})
    assert reply["cautions"][-1] == "No number of rebuilds is given: the service is not used."
    assert "stock" not in reply["result"]["choices"][0]
    assert reply["result"]["advice"].endswith("Most often needed: one dot, 78.15 in 100.")


def test_a_shelf_that_is_not_counted_has_nothing_to_order(bench: Any) -> None:
    """Only where stock is given is anything short."""
    sizes = bench.result("stack-forecast", choices=[{"id": "only", "thickness": "1.57 mm"}])["choices"]
    assert sizes[0]["stock"] == 12
    assert "order" not in sizes[0]


def test_a_kit_with_a_hole_in_it_is_a_caution(bench: Any) -> None:
    """Sizes 1.4 and 2.2 mm serve gaps of 2.3 to 2.8 and 3.1 to 3.6 mm: what lies between is served by neither."""
    choices = [{"id": "thin", "thickness": "1.40 mm"}, {"id": "thick", "thickness": "2.20 mm"}]
    reply = bench.reply("stack-forecast", {"choices": choices, "rebuilds": ..., "service": ...})
    gap = simulated_gaps()
    served = ((gap >= 2.3) & (gap <= 2.8)) | ((gap >= 3.1) & (gap <= 3.6))
    assert reply["result"]["p_none"] == pytest.approx(1 - served.mean(), abs=4 * math.sqrt(0.17 * 0.83 / len(gap)))
    assert reply["cautions"][-1] == "For 17.2 in 100 rebuilds no size fits: the kit has a gap, or its ends do not reach."


def test_nothing_but_fixed_parts_is_certain(bench: Any) -> None:
    """Probabilities are 0 or 1, the picture is one bar."""
    fixed = {"cavity": part("10", "0", "0"), "parts": [part("9", "0", "0")]}
    for limits, chances in (
        ({"min": "0.5 mm", "max": "1 mm"}, (1, 0, 0)),
        ({"min": "1 mm", "max": "2 mm"}, (1, 0, 0)),
        ({"min": "1.1 mm", "max": "2 mm"}, (0, 1, 0)),
        ({"min": "0.1 mm", "max": "0.9 mm"}, (0, 0, 1)),
    ):
        result = bench.result("stack-forecast", **TWO_UNIFORMS | fixed | {"limits": limits})
        assert (result["p_in"], result["p_low"], result["p_high"]) == chances
        assert result["histogram"] == [{"low": "1 mm", "high": "1 mm", "p": 1}]
        assert result["sd"] == "0 mm"


def test_units_may_be_a_number_of_rebuilds(bench: Any) -> None:
    """As the contract's scripts send it; a form says metric or inch there and writes rebuilds."""
    by_name = bench.result("stack-forecast", rebuilds=12)
    for units in (12, "12", 12.0, Decimal(12)):
        assert bench.result("stack-forecast", rebuilds=..., units=units) == by_name
    assert bench.result("stack-forecast", units="inch")["mean"] == "0.107086614173228 in"
    assert bench.problems("stack-forecast", rebuilds=..., units=0) == [
        ("units", "out-of-range", "Rebuilds: 0 is too small.", "It must be at least 1.")
    ]
    unknown = ("units", "unknown-word", "The units asked for are not known.", "Write metric or inch.")
    assert bench.problems("stack-forecast", units=12) == [unknown]
    assert bench.problems("stack-forecast", rebuilds=..., units="metirc") == [unknown]
    assert bench.problems("stack-forecast", rebuilds=..., units=True) == [unknown]
    assert bench.problems("stack-forecast", rebuilds="0", units="metric") == [
        ("rebuilds", "out-of-range", "Rebuilds: 0 is too small.", "It must be at least 1.")
    ]


def test_tells_every_problem_between_the_fields(bench: Any) -> None:
    """Sizes that stand twice, stock without sizes, a tolerance turned inside out."""
    sizes = [{"id": "a", "thickness": "1 mm"}, {"id": "a", "thickness": "2 mm"}]
    assert bench.problems("stack-forecast", choices=sizes) == [
        ("choices.1.id", "duplicate-id", "“a” appears twice in the list.", "Give each size once.")
    ]
    assert bench.problems("stack-forecast", choices=...) == [
        (
            "choices",
            "missing",
            "There are no sizes to keep in stock.",
            "List the sizes of the selective part, or leave the number of rebuilds out.",
        )
    ]
    assert bench.problems("stack-forecast", parts=[part("9", "-0.02", "0.01", shape="square")]) == [
        (
            "parts.0.shape",
            "unknown-word",
            "Spread: “square” is not known here.",
            "Write one of: uniform, normal, triangular.",
        ),
        (
            "parts.0.minus",
            "crossed-limits",
            "The largest length is below the smallest.",
            "Plus is above nominal, minus is below it: both are usually positive.",
        ),
    ]
    found = bench.problems(
        "stack-forecast", cavity={"nominal": "0 mm", "plus": "1 m", "minus": "0"}, service="1", rebuilds=200_000
    )
    assert [(field, code) for field, code, _, _ in found] == [
        ("cavity.nominal", "out-of-range"),
        ("cavity.plus", "out-of-range"),
        ("cavity.minus", "no-unit"),
        ("rebuilds", "out-of-range"),
        ("service", "out-of-range"),
    ]


def test_agrees_with_a_simulation(bench: Any) -> None:
    """A million seeded rebuilds of the example by numpy, within four of its own standard errors."""
    gap = simulated_gaps()
    n = len(gap)
    result = bench.result("stack-forecast")
    off = np.abs(gap[:, None] - np.array([1.37, 1.57, 1.78, 1.98]) - 1.15)
    nearest = np.bincount(off.argmin(1), minlength=4) / n
    for size, share, inside in zip(result["choices"], nearest, (off <= 0.25).mean(0), strict=True):
        for ours, theirs in ((size["demand"], share), (size["p_in"], inside)):
            assert abs(ours - theirs) <= 4 * math.sqrt(max(ours * (1 - ours), 1e-6) / n)


@given(
    st.lists(st.tuples(st.integers(1, 30), st.integers(0, 30), st.integers(1, 4)), min_size=1, max_size=4), st.integers(-40, 40)
)
def test_chances_sum_to_one_and_shift_with_the_stack(bench: Any, parts: Any, shift: int) -> None:
    """Too tight, in and too loose are all there is; a longer cavity with the limits moved as much changes nothing."""

    def ask(by: int) -> Any:
        return bench.result(
            "stack-forecast",
            **TWO_UNIFORMS
            | {
                "cavity": part(str(Decimal(100000 + by) / 1000), "0.05", "0.05"),
                "parts": [part("5", str(t / 100), str(m / 100), count=count) for t, m, count in parts],
                "limits": {"min": f"{Decimal(49500 + by) / 1000} mm", "max": f"{Decimal(90500 + by) / 1000} mm"},
            },
        )  # fmt: skip

    first, second = ask(0), ask(shift)
    assert first["p_in"] + first["p_low"] + first["p_high"] == pytest.approx(1, abs=1e-9)
    for chance in ("p_in", "p_low", "p_high"):
        assert first[chance] == second[chance]
    assert (first["sd"], [bar["p"] for bar in first["histogram"]]) == (second["sd"], [bar["p"] for bar in second["histogram"]])
