"""The advice: what a verdict means and what to do next, in a rebuilder's words."""

from __future__ import annotations

from fractions import Fraction

import pytest

from calc_engine.bench.advice import clearance_advice
from calc_engine.bench.verdict import Limits
from calc_engine.quantities.answer_units import choose_units
from calc_engine.quantities.units import BY_NAME

MM = choose_units([("limits.min", BY_NAME["mm"])], None)
LIMITS = Limits(min=Fraction("0.9"), max=Fraction("1.4"))
KIT = ("a", "b")
NEAR_TOP = "In, but too close to the upper limit to trust."
NEAR_BOTTOM = "In, but too close to the lower limit to trust."
MAYBE_LOOSE = "Too loose by the reading, but so near the upper limit that this gauge cannot be sure."
MAYBE_TIGHT = "Too tight by the reading, but so near the lower limit that this gauge cannot be sure."
NO_SIZE = "No size in the list brings it in: check the number of plates and their thickness."
FILL_IN = "nothing here says how sure that is: fill in the gauge's step."
BY_READING = f"Within the limits by the reading; {FILL_IN}"


@pytest.mark.parametrize(
    ("value", "expanded", "fitted", "fit", "sizes", "said"),
    [
        ("1.15", "0.1", None, None, (), "Within the limits, and sure of it."),
        ("1.15", "0.1", "a", "a", KIT, "Within the limits, and sure of it. Keep the size that is fitted."),
        ("1.25", "0.1", "a", "b", KIT, "Within the limits, and sure of it. You can leave it; b would be closer to mid-limit."),
        ("1.35", "0.1", None, None, (), f"{NEAR_TOP} Measure again, or move it towards the centre."),
        ("0.95", "0.1", None, None, (), f"{NEAR_BOTTOM} Measure again, or move it towards the centre."),
        ("1.35", "0.1", "a", "b", KIT, f"{NEAR_TOP} Measure again, or fit b."),
        ("1.35", "0.1", "a", "a", KIT, f"{NEAR_TOP} Measure again; no other size in the list is closer to mid-limit."),
        ("0.5", "0.1", None, None, (), "Too tight. Make the stack 0.65 mm thinner for the centre."),
        ("1.6", "0.1", None, None, (), "Too loose. Make the stack 0.45 mm thicker for the centre."),
        ("0.5", "0.1", "a", "b", KIT, "Too tight. Fit b."),
        ("1.6", "0.1", "a", "b", KIT, "Too loose. Fit b."),
        ("1.6", "0.1", "a", None, KIT, f"Too loose. {NO_SIZE}"),
        ("0.85", "0.1", None, None, (), f"{MAYBE_TIGHT} Measure again, or make the stack 0.30 mm thinner for the centre."),
        ("1.45", "0.1", None, None, (), f"{MAYBE_LOOSE} Measure again, or make the stack 0.30 mm thicker for the centre."),
        ("1.45", "0.1", "a", "b", KIT, f"{MAYBE_LOOSE} Measure again, or fit b."),
        ("1.45", "0.1", "a", None, KIT, f"{MAYBE_LOOSE} {NO_SIZE}"),
        ("1.15", None, None, None, (), BY_READING),
        ("1.4", None, "a", "a", KIT, f"{BY_READING} Keep the size that is fitted."),
        ("0.5", None, None, None, (), f"Too tight by the reading; {FILL_IN} Make the stack 0.65 mm thinner for the centre."),
        ("1.6", None, "a", "b", KIT, f"Too loose by the reading; {FILL_IN} Fit b."),
        ("1.15", "0.3", None, None, (), f"{NEAR_TOP} Measure again, or move it towards the centre."),
    ],
)  # fmt: skip
def test_the_advice_says_what_it_means_and_what_to_do(
    value: str, expanded: str | None, fitted: str | None, fit: str | None, sizes: tuple[str, ...], said: str
) -> None:
    """The whole text, for every case."""
    found = clearance_advice(
        Fraction(value),
        LIMITS,
        expanded=None if expanded is None else Fraction(expanded),
        fill_in="the gauge's step",
        fitted=fitted,
        fit=fit,
        sizes=sizes,
        units=MM,
    )
    assert found == said
