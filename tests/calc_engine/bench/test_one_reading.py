"""One reading against limits: the comparison and the gauge's error, worked out here by hand."""

from __future__ import annotations

import math

import pytest

from calc_engine import Dimension, Quantity, judged_reading, parse_quantity


def _mm(text: str | None) -> Quantity | None:
    return None if text is None else parse_quantity(f"{text} mm", Dimension.LENGTH, "reading")


@pytest.mark.parametrize(
    ("reading", "low", "high", "verdict"),
    [
        ("1.89", "1.90", None, "low"),
        ("1.90", "1.90", None, "in"),
        ("1.95", "1.90", None, "in"),
        ("0.10", None, "0.10", "in"),
        ("0.11", None, "0.10", "high"),
        ("0.03", "0.04", "0.10", "low"),
    ],
)
def test_the_verdict_is_the_comparison(reading: str, low: str | None, high: str | None, verdict: str) -> None:
    """A reading on a limit is in; nothing is certain where nothing is known of the gauge."""
    value = _mm(reading)
    assert value is not None
    judged = judged_reading(value, _mm(low), _mm(high))
    assert (judged.verdict, judged.certain) == (verdict, False)
    assert len(judged.working) == 1


@pytest.mark.parametrize("steps", range(-4, 5))
def test_it_is_certain_when_the_limit_is_further_than_the_gauge_may_be_off(steps: int) -> None:
    """U = 2 sqrt(r^2/12 + a^2/3) with a step r and a largest error a: JCGM 100:2008, 4.3.7; k = 2.00 for 95.45 %, 6.2.1 and G.1."""
    step, error = 0.01, 0.02
    unsure = 2 * math.sqrt(step**2 / 12 + error**2 / 3)
    reading = _mm(f"{1.90 + steps * step:.2f}")
    assert reading is not None
    judged = judged_reading(reading, _mm("1.90"), None, _mm("0.01"), _mm("0.02"))
    assert judged.certain == (abs(steps * step) > unsure)


def test_the_working_says_both() -> None:
    """Where the reading lies, and where the true value may lie."""
    reading, low = _mm("1.89"), _mm("1.90")
    assert reading is not None
    assert judged_reading(reading, low, None, _mm("0.01"), _mm("0.004")).working == (
        "at least 1.90 mm: 1.89 is below it",
        "could be 1.88 to 1.897 mm: all on one side of the limit: sure",
    )
