"""soak-left."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st


def test_time_left(bench: Any) -> None:
    """30 wanted, 18 gone: 12."""
    assert bench.result("soak-left") == {"done": False, "advice": "Leave them in for 12 min more.", "left": "12 min"}
    assert bench.working("soak-left") == ["left = wanted − elapsed = 30 − 18 = 12 min"]


def test_over_is_none_left(bench: Any) -> None:
    """At the minute it is done; after it, how much longer."""
    done = {"done": True, "advice": "Soaked. Drain them, do not wipe them.", "left": "0 min"}
    assert bench.result("soak-left", elapsed="30 min") == done | {"over": "0 min"}
    assert bench.result("soak-left", elapsed="1 h") == done | {"over": "30 min"}
    assert bench.working("soak-left", elapsed="1 h") == ["left = wanted − elapsed = 30 − 60 = -30 min: over"]


def test_units_of_the_answer(bench: Any) -> None:
    """In the unit of the soak that is wanted; time is the same in metric and inch."""
    assert bench.result("soak-left", wanted="0.5 h")["left"] == "0.2 h"
    assert bench.result("soak-left", wanted="1800 s", units="inch")["left"] == "720 s"


def test_limits_of_sense(bench: Any) -> None:
    """A soak of nothing, of a month, and a clock that ran backwards."""
    assert bench.problems("soak-left", wanted="0 min", elapsed="-1 min") == [
        ("wanted", "out-of-range", "Soak wanted: 0 min is too small.", "It must be more than 0 min."),
        (
            "elapsed",
            "out-of-range",
            "Soaked so far: -1 min is too small.",
            "It must be at least 0 min. Was the minus sign typed by mistake?",
        ),
    ]
    assert bench.problems("soak-left", wanted="720 h")[0][1] == "out-of-range"


@given(st.integers(1, 10000), st.integers(0, 10000))
def test_left_and_over_add_up(bench: Any, figure: Any, wanted: Any, elapsed: Any) -> None:
    """One of them is what is between the two."""
    result = bench.result("soak-left", wanted=f"{wanted} s", elapsed=f"{elapsed} s")
    assert result["done"] is (elapsed >= wanted) is ("over" in result)
    over = figure(result["over"], "s") if "over" in result else 0
    assert figure(result["left"], "s") - over == wanted - elapsed
