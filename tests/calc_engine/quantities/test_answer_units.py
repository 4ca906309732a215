"""In which units an answer is given, and how its figures are written in the working."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from calc_engine.declare.calculation import Answer
from calc_engine.quantities.answer_units import AnswerUnits, choose_units, equals_number, plain
from calc_engine.quantities.units import BY_NAME, Dimension, Unit


def names(units: AnswerUnits, *dimensions: Dimension) -> list[str]:
    """The names of the units of some dimensions."""
    return [units.by_dimension[dimension].name for dimension in dimensions]


def seen(*pairs: tuple[str, str]) -> list[tuple[str, Unit]]:
    """Fields with the units typed in them."""
    return [(field, BY_NAME[unit]) for field, unit in pairs]


D = Dimension
TYPED = seen(("outer", "in"), ("limits.min", "um"), ("limits.max", "mm"), ("pressure", "bar"), ("speed", "rpm"))


@pytest.mark.parametrize(
    ("typed", "wanted", "expected"),
    [
        ([], None, ["mm", "kPa", "N", "deg"]),
        ([], "inch", ["in", "psi", "lbf", "deg"]),
        (TYPED, None, ["um", "bar", "N", "deg"]),
        (TYPED[:1], None, ["in", "psi", "lbf", "deg"]),
        (TYPED[3:], None, ["mm", "bar", "N", "deg"]),
        (TYPED, "inch", ["in", "psi", "lbf", "deg"]),
        (TYPED, "metric", ["mm", "kPa", "N", "deg"]),
        (seen(("packs.0.clearance", "mm"), ("packs.0.limits.min", "in")), None, ["in", "psi", "lbf", "deg"]),
        (seen(("a", "rpm"), ("b", "psi")), None, ["in", "psi", "lbf", "deg"]),
        (seen(("a", "thou"), ("b", "in")), None, ["thou", "psi", "lbf", "deg"]),
        (seen(("a", "arcmin"), ("spread_limits", "in"), ("b", "mm")), "metric", ["mm", "kPa", "N", "arcmin"]),
    ],
)
def test_the_units_of_an_answer_follow_the_contract(typed: list[tuple[str, Unit]], wanted: Any, expected: list[str]) -> None:
    """As asked; else of the limits, else of the first input of that dimension, else of the first input's system."""
    limits = ["limits", "packs.0.limits"]
    assert names(choose_units(typed, wanted, limits), D.LENGTH, D.PRESSURE, D.FORCE, D.ANGLE) == expected


def test_every_dimension_has_a_unit_in_every_answer() -> None:
    """A result can always be written."""
    for wanted in (None, "metric", "inch"):
        chosen = choose_units([], wanted).by_dimension
        assert set(chosen) == set(Dimension)
        assert all(unit.dimension is dimension for dimension, unit in chosen.items())


def test_figures_are_written_with_equals_or_about() -> None:
    """The sign of equality stands only where the figure shown is the figure meant."""
    units = choose_units([], "metric")
    third = Fraction(1, 3)
    assert units.show(Fraction("1.3455")) == "1.346 mm"
    assert units.number(Fraction("1.4")) == "1.40"
    assert units.equals(Fraction("1.4")) == "= 1.40 mm"
    assert units.equals(third) == "≈ 0.333 mm"
    assert units.show(Fraction(20), D.TEMPERATURE) == "20 °C"
    assert units.number(Fraction(2500), D.PRESSURE) == "2.5"
    assert units.equals(Fraction(250_050), D.PRESSURE) == "≈ 250.1 kPa"
    assert (equals_number(Fraction("2.5")), equals_number(third), equals_number(third, 2)) == ("= 2.5", "≈ 0.3333", "≈ 0.33")
    assert (plain(Fraction(5)), plain(Fraction(123456789)), plain(third), plain(third, 2)) == ("5", "123456789", "0.3333", "0.33")
    assert str(units.quantity(Fraction("25.4"), D.LENGTH)) == "25.4 mm"
    assert str(choose_units([], "inch").quantity(Fraction(20), D.TEMPERATURE)) == "68 degF"


def test_an_answer_carries_no_cautions_unless_there_are_some() -> None:
    """The default is none."""
    assert Answer(None, ("line",)).cautions == ()
