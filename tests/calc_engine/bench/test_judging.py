"""Readings judged: the outputs that pack-clearance and end-play share, and their working."""

from __future__ import annotations

from dataclasses import fields
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.bench.judging import Judged, Selective, judge_readings, settle, uncertainty_lines, verdict_lines
from calc_engine.bench.readings import Positions
from calc_engine.bench.selective import Choice
from calc_engine.bench.verdict import Limits
from calc_engine.maths.functions import square_root
from calc_engine.maths.statistics import expanded_uncertainty
from calc_engine.quantities.answer_units import choose_units
from calc_engine.quantities.units import BY_NAME

MM = choose_units([("limits.min", BY_NAME["mm"])], None)
LIMITS = Limits(min=Fraction("0.9"), max=Fraction("1.4"))
VALUES = tuple(map(Fraction, ("1.31", "1.36", "1.33", "1.40")))
STEP, ERROR = Fraction("0.0001") / 6, Fraction("0.0004") / 3
KIT = (
    Choice(id="no dot", thickness=Fraction("1.37")),
    Choice(id="one dot", thickness=Fraction("1.57")),
    Choice(id="two dots", thickness=Fraction("1.78")),
)
AMOUNTS = st.decimals(min_value=-3, max_value=3, places=3).map(Fraction)

APART = (Fraction(1), Fraction("1.2"))


def read(values: tuple[Fraction, ...], step: Fraction = Fraction(0), error: Fraction = Fraction(0)) -> Positions:
    """Readings with these variances of the gauge."""
    return Positions(values, step, error, (), "")


def test_all_outputs_of_four_readings() -> None:
    """The demo's forward pack by hand: mean 5.40 / 4, s^2 = 0.0046 / 3."""
    found, unsure = judge_readings(read(VALUES, STEP, ERROR), VALUES, LIMITS, Selective("one dot", KIT, -1), MM)
    by_choice = found.pop("by_choice")
    assert unsure is not None
    assert found == {
        "clearance": Fraction("1.35"),
        "smallest": Fraction("1.31"),
        "largest": Fraction("1.40"),
        "spread": Fraction("0.09"),
        "sd": square_root(Fraction("0.0046") / 3),
        "uncertainty": unsure.expanded,
        "coverage_factor": unsure.coverage_factor,
        "verdict": "in",
        "certain": False,
        "advice": "In, but too close to the upper limit to trust. Measure again, or fit two dots.",
        "adjust": Fraction("0.2"),
        "adjust_min": Fraction("-0.05"),
        "adjust_max": Fraction("0.45"),
        "positions": VALUES,
        "fit": "two dots",
    }
    assert unsure == expanded_uncertainty(VALUES, STEP, ERROR)
    assert [(one.id, one.clearance) for one in by_choice] == [
        ("no dot", Fraction("1.55")), ("one dot", Fraction("1.35")), ("two dots", Fraction("1.14")),
    ]  # fmt: skip
    assert set(found) | {"by_choice"} == {field.name for field in fields(Judged)}


def test_one_reading_without_a_kit_has_no_deviation_and_no_size() -> None:
    """What is not known is absent."""
    found, unsure = judge_readings(read((Fraction(1),)), (Fraction(1),), LIMITS, None, MM)
    assert unsure is None
    assert (found["sd"], found["fit"], found["by_choice"]) == (None, None, None)
    assert (found["spread"], found["uncertainty"], found["coverage_factor"], found["certain"]) == (0, None, None, False)
    assert found["advice"] == (
        "Within the limits by the reading; nothing here says how sure that is: "
        "fill in the gauge's smallest division or largest error."
    )
    assert found["adjust"] == Fraction("-0.15")


def test_equal_readings_by_a_gauge_of_which_nothing_is_known_are_never_certain() -> None:
    """However many there are, they only show that the gauge cannot tell them apart."""
    values = (Fraction(1),) * 4
    found, unsure = judge_readings(read(values), values, LIMITS, None, MM)
    assert unsure is None
    assert (found["sd"], found["uncertainty"], found["coverage_factor"], found["certain"]) == (0, None, None, False)
    assert list(uncertainty_lines(values, None, unsure, MM)) == [
        "spread = 1.00 − 1.00 = 0.00 mm",
        "standard deviation of the 4 positions = 0.00 mm",
        "uncertainty: not known; it takes readings that differ, or the gauge's smallest division or largest error",
    ]
    assert list(verdict_lines(Fraction(1), None, LIMITS, MM)) == [
        "limits 0.90 to 1.40 mm: 1.00 is within them",
        "centre of the limits = 1.15 mm; thickness to add = 1.00 − 1.15 = -0.15 mm",
    ]


def test_two_readings_have_a_deviation() -> None:
    """|1.0 - 1.2| / sqrt 2: its square is 0.02."""
    found, _ = judge_readings(read(APART), APART, LIMITS, None, MM)
    assert found["sd"] == square_root(Fraction("0.02"))


def test_a_part_that_loosens_is_added_the_other_way() -> None:
    """Effect 1: a thicker part opens the clearance."""
    found, _ = judge_readings(read((Fraction(1),)), (Fraction(1),), LIMITS, Selective("one dot", KIT, 1), MM)
    assert (found["adjust"], found["adjust_min"], found["adjust_max"]) == (Fraction("0.15"), Fraction("-0.1"), Fraction("0.4"))
    assert [one.clearance for one in found["by_choice"]] == [Fraction("0.8"), Fraction("1"), Fraction("1.21")]


@pytest.mark.parametrize(
    ("value", "effect", "centre", "least", "most"),
    [
        ("1.35", -1, "0.2", "-0.05", "0.45"),
        ("0.5", -1, "-0.65", "-0.9", "-0.4"),
        ("1.35", 1, "-0.2", "-0.45", "0.05"),
        ("2", -1, "0.85", "0.6", "1.1"),
    ],
)
def test_what_to_add_for_the_centre_and_for_the_limits(value: str, effect: int, centre: str, least: str, most: str) -> None:
    """Positive: add; negative: take away. The least is never above the most."""
    assert settle(Fraction(value), LIMITS, effect) == (Fraction(centre), Fraction(least), Fraction(most))


@given(AMOUNTS, AMOUNTS, AMOUNTS, st.sampled_from([-1, 1]))
def test_adding_what_is_told_brings_the_value_there(value: Fraction, one: Fraction, other: Fraction, effect: int) -> None:
    """To the centre, and to either limit."""
    limits = Limits(min=min(one, other), max=max(one, other) + 1)
    centre, least, most = settle(value, limits, effect)
    assert value + effect * centre == limits.centre
    assert {value + effect * least, value + effect * most} == {limits.min, limits.max}
    assert least < centre < most


def test_the_working_of_an_uncertainty() -> None:
    """Spread, deviation, both parts, the factor and its freedom."""
    unsure = expanded_uncertainty(VALUES, STEP, ERROR)
    assert list(uncertainty_lines(VALUES, None, unsure, MM)) == [
        "spread = 1.40 − 1.31 = 0.09 mm",
        "standard deviation of the 4 positions ≈ 0.039 mm",
        "from standard deviation / √4: u₁ ≈ 0.02 mm; from the largest error / √3: u₂ ≈ 0.012 mm",
        "u = √(u₁² + u₂²) ≈ 0.023 mm; k ≈ 2.582 (degrees of freedom: 5.4; 95.45 %)",
        "uncertainty U = k × u ≈ 0.059 mm",
    ]


def test_the_working_of_one_reading() -> None:
    """No spread, and freedom without end."""
    values = (Fraction(1),)
    unsure = expanded_uncertainty(values, Fraction("0.0006"), Fraction("0.0003"))
    assert list(uncertainty_lines(values, None, unsure, MM)) == [
        "from the gauge's steps: u₁ ≈ 0.024 mm; from the largest error / √3: u₂ ≈ 0.017 mm",
        "u = √(u₁² + u₂²) = 0.03 mm; k ≈ 2 (degrees of freedom: infinite; 95.45 %)",
        "uncertainty U = k × u ≈ 0.06 mm",
    ]


@pytest.mark.parametrize(
    ("value", "expanded", "effect", "lines"),
    [
        ("1.35", "0.06", -1, ["limits 0.90 to 1.40 mm: 1.35 is within them", "could be 1.29 to 1.41 mm: a limit lies in between: not sure",
                              "centre of the limits = 1.15 mm; thickness to add = 1.35 − 1.15 = 0.20 mm"]),
        ("1.35", "0.05", -1, ["limits 0.90 to 1.40 mm: 1.35 is within them", "could be 1.30 to 1.40 mm: all on one side of each limit: sure",
                              "centre of the limits = 1.15 mm; thickness to add = 1.35 − 1.15 = 0.20 mm"]),
        ("0.8", "0", -1, ["limits 0.90 to 1.40 mm: 0.80 is below them", "could be 0.80 to 0.80 mm: all on one side of each limit: sure",
                          "centre of the limits = 1.15 mm; thickness to add = 0.80 − 1.15 = -0.35 mm"]),
        ("1.5", "0", 1, ["limits 0.90 to 1.40 mm: 1.50 is above them", "could be 1.50 to 1.50 mm: all on one side of each limit: sure",
                         "centre of the limits = 1.15 mm; thickness to add = 1.15 − 1.50 = -0.35 mm"]),
    ],
)  # fmt: skip
def test_the_working_of_a_guarded_verdict(value: str, expanded: str, effect: int, lines: list[str]) -> None:
    """Where it is, where it could be, and what to add."""
    assert list(verdict_lines(Fraction(value), Fraction(expanded), LIMITS, MM, effect)) == lines
    if effect == -1:
        assert list(verdict_lines(Fraction(value), Fraction(expanded), LIMITS, MM)) == lines
