"""Readings of each kind of gauge, turned into one value a position with its variances and its working."""

from __future__ import annotations

from fractions import Fraction

import pytest

from calc_engine.bench.readings import (
    Gauge,
    MeasuredPart,
    depth_positions,
    dial_positions,
    feeler_positions,
    nearer_than_ring,
    parts_position,
    same_length,
)
from calc_engine.maths.functions import cosine
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import choose_units
from calc_engine.quantities.units import BY_NAME

MM = choose_units([("limits.min", BY_NAME["mm"])], None)
GAUGE = Gauge(resolution=Fraction("0.06"), max_error=Fraction("0.03"))
NOTHING = Gauge()


def fractions(*texts: str) -> tuple[Fraction, ...]:
    """Readings from their texts."""
    return tuple(map(Fraction, texts))


def test_a_dial_s_lift_is_a_difference_of_two_readings() -> None:
    """The step r counts twice: q = r^2/6. a^2/3 for the largest error. Nothing to work out when the stem is in line."""
    found = dial_positions(fractions("1.31", "1.4"), GAUGE, MM)
    assert found.values == fractions("1.31", "1.4")
    assert (found.step_variance, found.error_variance) == (Fraction("0.0006"), Fraction("0.0003"))
    assert found.working == ()
    assert found.expression == "1.31 + 1.40"


def test_a_stem_at_an_angle_reads_too_much() -> None:
    """Reading times cosine: exactly half at 60 degrees."""
    found = dial_positions(fractions("1.3", "1.41"), Gauge(angle=Fraction(60)), MM)
    assert found.values == fractions("0.65", "0.705")
    assert (found.step_variance, found.error_variance) == (Fraction(0), Fraction(0))
    assert found.working == (
        "stem 60° off the line of motion: true lift = reading × cos 60° = reading × 0.5",
        "position 1: 1.30 × 0.5 = 0.65 mm",
        "position 2: 1.41 × 0.5 = 0.705 mm",
    )
    assert found.expression == "0.65 + 0.705"


def test_a_cosine_that_is_rounded_for_display_is_not_rounded_in_the_value() -> None:
    """12.5 degrees: 0.976296 is shown as 0.9763, and marked as about."""
    found = dial_positions(fractions("1"), Gauge(angle=Fraction("12.5")), MM)
    assert found.values == (cosine(Fraction("12.5")),)
    assert found.working == (
        "stem 12.5° off the line of motion: true lift = reading × cos 12.5° = reading × 0.9763",
        "position 1: 1.00 × 0.9763 ≈ 0.976 mm",
    )


@pytest.mark.parametrize("gauge", [None, NOTHING, Gauge(angle=Fraction(0))])
def test_a_gauge_of_which_nothing_is_known_adds_nothing(gauge: Gauge | None) -> None:
    """No variance is invented."""
    found = dial_positions(fractions("1"), gauge, MM)
    assert (found.values, found.step_variance, found.error_variance, found.working) == (
        (Fraction(1),),
        Fraction(0),
        Fraction(0),
        (),
    )


def test_feeler_leaves_are_summed_and_read_once() -> None:
    """The step r counts once: q = r^2/12; a position with one leaf needs no working."""
    found = feeler_positions([fractions("0.5", "0.35"), fractions("0.9")], GAUGE, MM)
    assert found.values == fractions("0.85", "0.9")
    assert (found.step_variance, found.error_variance) == (Fraction("0.0003"), Fraction("0.0003"))
    assert found.working == ("position 1: 0.50 + 0.35 = 0.85 mm",)
    assert found.expression == "0.85 + 0.90"


def test_a_depth_is_a_difference_of_two_readings() -> None:
    """The plate's depth less the ring's; a negative one stays, for the caller to refuse."""
    found = depth_positions(fractions("12.35", "12.4"), fractions("11", "12.5"), GAUGE, MM)
    assert found.values == fractions("1.35", "-0.1")
    assert (found.step_variance, found.error_variance) == (Fraction("0.0006"), Fraction("0.0003"))
    assert found.working == ("position 1: 12.35 − 11.00 = 1.35 mm", "position 2: 12.40 − 12.50 = -0.10 mm")
    assert found.expression == "1.35 + (-0.10)"
    with pytest.raises(ValueError, match=r"^zip\(\) argument 2 is shorter than argument 1$"):
        depth_positions(fractions("12.35", "12.4"), fractions("11"), None, MM)


def part(name: str, thickness: str, count: int, max_error: str | None = None) -> MeasuredPart:
    """One kind of part in a stack."""
    return MeasuredPart(
        name=name, thickness=Fraction(thickness), count=count, max_error=None if max_error is None else Fraction(max_error)
    )


def test_parts_are_taken_from_the_cavity_with_their_count() -> None:
    """The same error stands in each of the count: 5^2 x 0.01^2 / 3 + 0.02^2 / 3 = 0.0029 / 3."""
    found = parts_position(
        Fraction(30), [part("friction", "1.7", 5, "0.01"), part("ring", "1.57", 1, "0.02"), part("steel", "1.8", 2)], MM
    )
    assert found.values == (Fraction("16.33"),)
    assert (found.step_variance, found.error_variance) == (Fraction(0), Fraction("0.0029") / 3)
    assert found.working == (
        "friction: 5 × 1.70 = 8.50 mm",
        "steel: 2 × 1.80 = 3.60 mm",
        "stack = 8.50 + 1.57 + 3.60 = 13.67 mm",
        "cavity − stack = 30.00 − 13.67 = 16.33 mm",
    )
    assert found.expression == "16.33"


def test_depths_that_do_not_pair_up_are_a_problem() -> None:
    """Counted for the reader."""
    assert list(same_length(fractions("2", "2"), fractions("1", "1"))) == []
    assert list(same_length(fractions("2", "2"), fractions("1"))) == [
        Problem(
            "to_ring", "length-mismatch", "There are 2 depths to the plate and 1 to the ring.", "Measure both at every position."
        )
    ]


def test_each_plate_nearer_than_its_ring_is_a_problem() -> None:
    """Level with the ring is no clearance, but not less; a free wave plate may push the plate past it."""
    plates, rings = fractions("2", "1", "0.9", "5"), fractions("1", "1", "1")
    assert list(nearer_than_ring(plates, rings, Fraction(0))) == [
        Problem(
            "to_plate.2",
            "negative-clearance",
            "The plate is nearer than the ring here: a negative clearance.",
            "Check whether the two readings are swapped. If not, the pack is bound up.",
        )
    ]
    assert list(nearer_than_ring(plates, rings, Fraction("0.1"))) == []
    assert [problem.field for problem in nearer_than_ring(fractions("0.5", "0.8"), fractions("1", "1"), Fraction("0.3"))] == [
        "to_plate.0"
    ]
