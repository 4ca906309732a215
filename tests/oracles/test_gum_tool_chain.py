"""pack-clearance against GTC, the GUM Tree Calculator of a national measurement institute (MSLNZ/GTC): an outside oracle."""

from __future__ import annotations

from math import cos, radians
from typing import Any

import pytest
from GTC import reporting, type_a, ureal
from hypothesis import assume, given
from hypothesis import strategies as st

from calc_engine import answer

LIMITS = {"min": "0.90 mm", "max": "1.40 mm"}
READINGS = st.lists(st.decimals(min_value="0.5", max_value=2, places=2), min_size=2, max_size=12)
COVERAGE = 95.45  # per cent


def result(**request: Any) -> dict[str, Any]:
    """The engine's answer."""
    reply = answer("pack-clearance", {"limits": LIMITS} | request)
    assert reply["ok"], reply
    return reply["result"]


def figure(text: str) -> float:
    """The figure of a length in mm."""
    return float(text.removesuffix(" mm"))


def rectangle(half_width: float) -> Any:
    """A type B contribution of zero with a rectangular distribution."""
    return ureal(0, half_width / 3**0.5)


@given(READINGS, st.sampled_from(["0", "0.002", "0.02", "0.1"]))
def test_lifts_with_a_gauge_s_error_agree(lifts: list[Any], max_error: str) -> None:
    """Mean, standard deviation, effective degrees of freedom through k, and U, where the readings' spread is what counts."""
    assume(len(set(lifts)) > 1)
    found = result(method="dial", lifts=[f"{lift} mm" for lift in lifts], gauge={"max_error": f"{max_error} mm"})
    spread = type_a.estimate([float(lift) for lift in lifts])
    both = spread + rectangle(float(max_error))
    factor = reporting.k_factor(both.df, COVERAGE)
    assert figure(found["clearance"]) == pytest.approx(both.x, rel=1e-12)
    assert figure(found["sd"]) == pytest.approx(spread.u * len(lifts) ** 0.5, rel=1e-9)
    assert found["coverage_factor"] == pytest.approx(factor, rel=1e-7)
    assert figure(found["uncertainty"]) == pytest.approx(factor * both.u, rel=1e-7)


@given(
    st.integers(1, 12),
    st.sampled_from(["0.01", "0.05", "0.1"]),
    st.sampled_from(["0", "0.02"]),
    st.sampled_from(["dial", "feeler"]),
)
def test_readings_that_agree_have_the_uncertainty_of_the_gauge_s_steps(
    count: int, resolution: str, max_error: str, method: str
) -> None:
    """A dial's step counts twice in each lift, a feeler's once; n lifts have a mean that is surer by the root of n."""
    values: Any = ["1.00 mm"] * count if method == "dial" else [["1.00 mm"]] * count
    gauge = {"resolution": f"{resolution} mm", "max_error": f"{max_error} mm"}
    found = result(**{"method": method, "lifts" if method == "dial" else "leaves": values, "gauge": gauge})
    steps = 2 if method == "dial" else 1
    readings = [sum((rectangle(float(resolution) / 2) for _ in range(steps)), ureal(1, 0)) for _ in range(count)]
    both = sum(readings[1:], readings[0]) / count + rectangle(float(max_error))
    assert figure(found["uncertainty"]) == pytest.approx(reporting.k_factor(both.df, COVERAGE) * both.u, rel=1e-9)


@given(st.lists(st.tuples(st.integers(1, 8), st.decimals(min_value=0, max_value="0.05", places=3)), min_size=1, max_size=5))
def test_the_same_error_stands_in_every_part_of_its_kind(kinds: list[tuple[int, Any]]) -> None:
    """Parts of one kind are measured with one micrometer: their errors add up, those of different kinds do not."""
    parts = [
        {"name": f"kind {index}", "thickness": "1.00 mm", "count": count, "max_error": f"{error} mm"}
        for index, (count, error) in enumerate(kinds)
    ]
    found = result(method="parts", cavity="60 mm", parts=parts)
    stack = ureal(60, 0)
    for count, error in kinds:
        thickness = ureal(1, float(error) / 3**0.5)
        for _ in range(count):
            stack -= thickness
    assert figure(found["clearance"]) == pytest.approx(stack.x, rel=1e-12)
    if not stack.u:
        assert "uncertainty" not in found
        return
    assert figure(found["uncertainty"]) == pytest.approx(reporting.k_factor(float("inf"), COVERAGE) * stack.u, rel=1e-9)


@given(READINGS, st.integers(0, 60))
def test_a_stem_at_an_angle_scales_the_readings(lifts: list[Any], angle: int) -> None:
    """Reading times cosine, with the spread of the corrected lifts."""
    assume(len(set(lifts)) > 1)
    found = result(method="dial", lifts=[f"{lift} mm" for lift in lifts], gauge={"angle": f"{angle} deg"})
    spread = type_a.estimate([float(lift) * cos(radians(angle)) for lift in lifts])
    assert figure(found["clearance"]) == pytest.approx(spread.x, rel=1e-12)
    assert figure(found["uncertainty"]) == pytest.approx(reporting.k_factor(spread.df, COVERAGE) * spread.u, rel=1e-7)
