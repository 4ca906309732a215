"""past-and-forecast: what was measured beside what the drawings say, by figures worked out here and by the two calculations it joins."""

from __future__ import annotations

import math
import statistics
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine import answer

# A made-up pack: the gap is 3.00 mm, its standard deviation 0.1/3 + 0.1/3 of two even spreads.
DRAWN: dict[str, Any] = {
    "cavity": {"nominal": "20 mm", "plus": "0.1 mm", "minus": "0.1 mm"},
    "parts": [{"name": "plate", "nominal": "17 mm", "plus": "0.1 mm", "minus": "0.1 mm"}],
    "limits": {"min": "0.9 mm", "max": "1.3 mm"},
    "choices": [{"id": "thin", "thickness": "1.8 mm", "stock": 1}, {"id": "thick", "thickness": "2.0 mm"}],
}
SD = math.sqrt(2 * 0.1**2 / 3)


def asked(*rebuilds: tuple[str, str | None], **more: Any) -> dict[str, Any]:
    """The whole reply to some rebuilds, each a clearance in mm and a size."""
    done = [{"clearance": f"{clearance} mm", **({"fitted": size} if size else {})} for clearance, size in rebuilds]
    reply = answer("past-and-forecast", {"rebuilds": done, **DRAWN, **more})
    assert reply["ok"], reply
    return reply


def mm(said: str) -> float:
    """A length of a reply."""
    return float(said.removesuffix(" mm"))


SIZES = st.sampled_from(["thin", "thick", None])


@given(st.lists(st.tuples(st.integers(50, 200), SIZES), min_size=1, max_size=12), st.integers(1, 30))
def test_gaps_shares_and_stock_are_what_plain_arithmetic_gives(rebuilds: list[tuple[int, str | None]], to_come: int) -> None:
    """Whatever was measured; the forecast is that of stack-forecast for the same drawings."""
    result = asked(*((str(hundredths / 100), size) for hundredths, size in rebuilds), next=to_come)["result"]
    alone = answer("stack-forecast", {**DRAWN, "rebuilds": to_come})["result"]
    known = [
        (Fraction(hundredths, 100) + (Fraction(9, 5) if size == "thin" else 2), size) for hundredths, size in rebuilds if size
    ]
    assert result["gaps"] == len(known)
    if known:
        assert mm(result["gap_mean"]) == pytest.approx(float(sum(gap for gap, _ in known) / len(known)), abs=1e-9)
    if len(known) > 1:
        assert mm(result["gap_sd"]) == pytest.approx(statistics.stdev(float(gap) for gap, _ in known), abs=1e-9)
    assert result["beyond"] == sum(not Fraction(28, 10) <= gap <= Fraction(32, 10) for gap, _ in known)
    assert (result["forecast_mean"], result["forecast_sd"]) == (alone["mean"], alone["sd"])
    for size, drawn in zip(result["sizes"], alone["choices"], strict=True):
        times = sum(one == size["id"] for _, one in known)
        likely = math.ceil(Fraction(times * to_come, len(known))) if known else 0
        expected = {"times": times, "likely": likely, "demand": drawn["demand"], "stock": drawn["stock"]}
        assert {name: size[name] for name in expected} == expected
        assert size["keep"] == max(likely, drawn["stock"])
        assert size.get("order") == (max(size["keep"] - 1, 0) if size["id"] == "thin" else None)


def test_gaps_that_agree_with_the_drawings() -> None:
    """Five are enough to say so; each step of the working is there."""
    reply = asked(("1.10", "thick"), ("1.20", "thin"), ("1.00", "thick"), ("1.05", "thick"), ("1.15", "thin"), next=4)
    assert reply["result"]["advice"] == (
        "Median of 5 rebuilds: 1.10 mm; 5 within today's limits. The gaps agree with the forecast. "
        "For 4 more keep 4 × thin, 4 × thick. Order 3 × thin."
    )
    assert reply["working"][4:] == [
        "limits 0.90 to 1.30 mm: 5 of 5 within them",
        "rebuild 1: gap = 1.10 + 2.00 (thick) = 3.10 mm",
        "rebuild 2: gap = 1.20 + 1.80 (thin) = 3.00 mm",
        "rebuild 3: gap = 1.00 + 2.00 (thick) = 3.00 mm",
        "rebuild 4: gap = 1.05 + 2.00 (thick) = 3.05 mm",
        "rebuild 5: gap = 1.15 + 1.80 (thin) = 2.95 mm",
        "mean of 5 gaps = 3.02 mm; forecast 3.00 mm",
        "standard deviation of the gaps ≈ 0.057 mm; forecast 0.082 mm",
        "difference 0.02 mm: within 2 × 0.082 / √5 ≈ 0.073 mm",
        "thin: fitted 2 of 5; forecast 50 in 100; for 4 more 2 by the past, 4 by the forecast: keep 4, order 3",
        "thick: fitted 3 of 5; forecast 50 in 100; for 4 more 3 by the past, 4 by the forecast: keep 4",
    ]
    assert "cautions" not in reply or reply["cautions"] == []


@pytest.mark.parametrize(("off", "says"), [(0.99, False), (1.01, True)])
def test_a_difference_is_told_where_it_is_more_than_chance(off: float, says: bool) -> None:
    """Beyond twice the forecast's standard deviation over the root of their number, and not before."""
    bound = 2 * SD / math.sqrt(5)
    clearance = f"{1 + off * bound:.6f}"
    advice = asked(*[(clearance, "thick")] * 5)["result"]["advice"]
    assert ("above the forecast, more than chance explains" in advice) == says
    assert ("The gaps agree with the forecast." in advice) != says


def test_what_is_not_known_and_what_cannot_be() -> None:
    """A rebuild without its size counts for the clearance alone; a gap beyond the worst case is told."""
    reply = asked(("1.10", None), ("1.90", "thick"))
    assert reply["cautions"] == [
        "Fewer than 5 rebuilds say little (common practice, no source).",
        "Of 1 of the rebuilds the size is not known: they are not in the gaps, nor in what was fitted.",
        "1 of the gaps cannot come from parts within their drawings: worn or swapped parts, or a reading that is wrong.",
    ]
    assert reply["result"]["gaps"] == 1
    assert "gap_sd" not in reply["result"]
    assert reply["result"]["sizes"][0].get("keep") is None


def test_a_size_that_is_not_listed_is_refused() -> None:
    """The names are those of the list."""
    (problem,) = answer("past-and-forecast", {"rebuilds": [{"clearance": "1 mm", "fitted": "thinn"}], **DRAWN})["problems"]
    assert problem == {
        "field": "rebuilds.0.fitted", "code": "unknown-choice", "message": "“thinn” is not in the list of sizes.",
        "remedy": "Name one of: thin, thick.",
    }  # fmt: skip
