"""Values held against limits of which one may be missing."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from calc_engine.bench.finding import Held, finding_lines, hold, hold_mean, is_whole_certain, whole_verdict
from calc_engine.quantities.answer_units import choose_units

F = Fraction
UNITS = choose_units([], "metric")
BOTH, LEAST, MOST = Held(F("0.8"), F("1.2")), Held(F("0.8"), None), Held(None, F("1.2"))


def found(value: str, held: Held, error: str | None = "0.02") -> Any:
    """A single reading of a gauge with a largest error; U is 2 × 0.02 / √3 = 0.0231."""
    return hold_mean([F(value)], None, None if error is None else F(error), held)


@pytest.mark.parametrize(
    ("value", "held", "verdict", "certain"),
    [
        ("1.0", BOTH, "in", True), ("0.81", BOTH, "in", False), ("0.79", BOTH, "low", False), ("0.7", BOTH, "low", True), ("1.3", BOTH, "high", True),
        ("0.7", LEAST, "low", True), ("9", LEAST, "in", True), ("0.81", LEAST, "in", False),
        ("0", MOST, "in", True), ("1.19", MOST, "in", False), ("1.21", MOST, "high", False), ("2", MOST, "high", True),
    ],
)  # fmt: skip
def test_a_missing_limit_is_no_limit(value: str, held: Held, verdict: str, certain: bool) -> None:
    """Nor does it leave anything in doubt."""
    finding = found(value, held)
    assert (finding.verdict, finding.certain) == (verdict, certain)
    unknown = found(value, held, None)
    assert (unknown.verdict, unknown.certain, unknown.uncertainty) == (verdict, False, None)


def test_several_together() -> None:
    """One that is out makes them all out; one that is not sure leaves “in” unsure, but not an “out” that is sure."""
    good, close, low, high, near_low = (found(value, BOTH) for value in ("1", "0.81", "0.7", "1.3", "0.79"))
    assert (whole_verdict([good, close]), is_whole_certain([good, good]), is_whole_certain([good, close])) == ("in", True, False)
    assert (whole_verdict([good, high, low]), is_whole_certain([close, low])) == ("low", True)
    assert (whole_verdict([good, high]), is_whole_certain([good, high])) == ("high", True)
    assert (whole_verdict([high, near_low]), is_whole_certain([high, near_low])) == ("low", False)


def test_the_lines() -> None:
    """Both limits, one, and nothing known of the gauge."""
    assert list(finding_lines(found("1.0", BOTH), UNITS)) == [
        "limits 0.80 to 1.20 mm: 1.00 is within them",
        "could be 0.977 to 1.023 mm: all on one side of each limit: sure",
    ]
    assert next(iter(finding_lines(found("0.9", LEAST), UNITS))) == "at least 0.80 mm: 0.90 keeps to it"
    assert list(finding_lines(found("0.7", LEAST), UNITS)) == [
        "at least 0.80 mm: 0.70 is below it",
        "could be 0.677 to 0.723 mm: all on one side of the limit: sure",
    ]
    assert list(finding_lines(found("1.21", MOST), UNITS)) == [
        "at most 1.20 mm: 1.21 is above it",
        "could be 1.187 to 1.233 mm: a limit lies in between: not sure",
    ]
    assert list(finding_lines(found("1.21", MOST, None), UNITS)) == ["at most 1.20 mm: 1.21 is above it"]


def test_a_figure_never_looks_to_be_on_the_other_side() -> None:
    """As many decimals as it takes, also with one limit."""
    finding = hold(F("1.2004"), None, F("0.01"), MOST)
    assert next(iter(finding_lines(finding, UNITS))) == "at most 1.20 mm: 1.2004 is above it"
