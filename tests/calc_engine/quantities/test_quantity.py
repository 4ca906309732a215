"""Quantities: read as written, kept exactly, written without exponent, negative zero or lost digits."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.problems import Refused
from calc_engine.quantities.quantity import (
    Quantity,
    kind_of,
    parse_number,
    parse_quantity,
    parse_unit,
    show,
)
from calc_engine.quantities.units import BY_NAME, UNITS, Dimension, System

LENGTH = Dimension.LENGTH
FRACTIONS = st.fractions(max_denominator=10**9)
DECIMALS = st.decimals(min_value=-1000, max_value=1000, allow_nan=False, places=6)


def told(call: Any, *given: Any) -> tuple[str, str, str]:
    """Code, message and remedy of the one problem that a call must raise, told at field ``lifts.2``."""
    with pytest.raises(Refused) as caught:
        call(*given)
    (problem,) = caught.value.problems
    assert problem.field == "lifts.2"
    assert str(caught.value) == f"lifts.2: {problem.message}"
    return problem.code, problem.message, problem.remedy


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("0.85 mm", "0.85", "mm"), ("0.85mm", "0.85", "mm"), ("  0.85   mm ", "0.85", "mm"), (".85 mm", "0.85", "mm"),
        ("5. mm", 5, "mm"), ("0,85 mm", "0.85", "mm"), (",85 mm", "0.85", "mm"), ("0,345 mm", "0.345", "mm"),
        ("1,35 mm", "1.35", "mm"), ("1,3455 mm", "1.3455", "mm"), ("1234,567 mm", "1234.567", "mm"), ("12,5 mm", "12.5", "mm"),
        ("+0.85 mm", "0.85", "mm"), ("-0.85 mm", "-0.85", "mm"), ("−0.85 mm", "-0.85", "mm"), ("- 0.85 mm", "-0.85", "mm"),
        ("3/64 in", Fraction(3, 64), "in"), ("1 3/8 in", Fraction(11, 8), "in"), ("-1 3/8 in", Fraction(-11, 8), "in"),
        ("1/3 in", Fraction(1, 3), "in"), ("0/5 in", 0, "in"), ("1/9999 in", Fraction(1, 9999), "in"),
        ("3 / 64 in", Fraction(3, 64), "in"),
        ("8.5e-1 mm", "0.85", "mm"), ("8.5E+2 mm", 850, "mm"), ("1e30 mm", 10**30, "mm"),
        ("1e-30 mm", Fraction(1, 10**30), "mm"),
        ("35 thou", 35, "thou"), ('0.035"', "0.035", "in"), ("850 \u00b5m", 850, "um"), ("850 \u03bcm", 850, "um"),
        ("0.85\u00a0mm", "0.85", "mm"), ("0.85\u2009mm", "0.85", "mm"), ("0 mm", 0, "mm"), ("-0 mm", 0, "mm"),
    ],
)  # fmt: skip
def test_a_length_is_read_as_written(text: str, value: str | int | Fraction, unit: str) -> None:
    """Decimal point or comma, fraction, sign, power of ten, any space: the exact value in the unit typed."""
    assert parse_quantity(text, LENGTH, "lifts.2") == Quantity(Fraction(value), BY_NAME[unit])


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("25 N·m", "N.m"),
        ("18 lb-ft", "lbf.ft"),
        ("30 psi", "psi"),
        ("20 °C", "degC"),
        ("12°", "deg"),
        ("5 1/K", "1/K"),
        ("5 /K", "1/K"),
    ],
)
def test_any_dimension_is_read_when_none_is_wanted(text: str, unit: str) -> None:
    """Without a dimension the unit says what is measured."""
    assert parse_quantity(text, None, "lifts.2").unit.name == unit


@pytest.mark.parametrize("given", ["12", 12, Decimal(12), Fraction(12), 12.0])
def test_a_bare_number_has_the_unit_that_the_contract_gives_it(given: Any) -> None:
    """Only where a field defines it so."""
    assert parse_quantity(given, Dimension.ANGLE, "angle", "arcmin") == Quantity(Fraction(12), BY_NAME["arcmin"])


@pytest.mark.parametrize(
    ("given", "code", "message", "remedy"),
    [
        ("0.85", "no-unit", "“0.85” has no unit.", "Write the unit too, for example 0.85 mm."),
        (0.85, "no-unit", "“0.85” has no unit.", "Write the unit too, for example 0.85 mm."),
        (Decimal("0.85"), "no-unit", "“0.85” has no unit.", "Write the unit too, for example 0.85 mm."),
        (1, "no-unit", "“1” has no unit.", "Write the unit too, for example 0.85 mm."),
        ("1.80 mn", "unknown-unit", "“mn” is not a unit that is known here.", "Did you mean mm?"),
        ("0.85 mmm", "unknown-unit", "“mmm” is not a unit that is known here.", "Did you mean mm?"),
        ("0.85 lightyears", "unknown-unit", "“lightyears” is not a unit that is known here.", "Write it in mm, um, m, in or thou."),
        ("1/K", "wrong-unit", "“1/K” measures expansion per kelvin, but a length is wanted.", "Write it in mm, um, m, in or thou."),
        ("0.85 kPaa", "unknown-unit", "“kPaa” is not a unit that is known here.", "Write it in mm, um, m, in or thou."),
        ("5 mm 3", "unknown-unit", "“mm 3” is not a unit that is known here.", "Did you mean mm?"),
        ("0x10 mm", "unknown-unit", "“x10 mm” is not a unit that is known here.", "Did you mean mm?"),
        ("0.85 psi", "wrong-unit", "“psi” measures pressure, but a length is wanted.", "Write it in mm, um, m, in or thou."),
        ("0.85 nm", "wrong-unit", "“N.m” measures torque, but a length is wanted.", "Write it in mm, um, m, in or thou."),
        ("", "missing", "This field is empty.", "Write a value, for example 0.85 mm."),
        ("  \t\n", "missing", "This field is empty.", "Write a value, for example 0.85 mm."),
        (None, "wrong-type", "Nothing was given where a value is expected.", "Write a value, for example 0.85 mm."),
        (True, "wrong-type", "A true or false value was given where a value is expected.", "Write a value, for example 0.85 mm."),
        (["0.85 mm"], "wrong-type", "A list was given where a value is expected.", "Write a value, for example 0.85 mm."),
        ({"value": 1}, "wrong-type", "An object was given where a value is expected.", "Write a value, for example 0.85 mm."),
        (b"0.85 mm", "wrong-type", "Something else was given where a value is expected.", "Write a value, for example 0.85 mm."),
        ("mm", "not-a-number", "“mm” does not start with a number.", "Write figures first, then the unit."),
        ("about 0.85 mm", "not-a-number", "“about 0.85 mm” does not start with a number.", "Write figures first, then the unit."),
        ("\uff11 mm", "not-a-number", "“\uff11 mm” does not start with a number.", "Write figures first, then the unit."),
        (float("nan"), "not-a-number", "“nan” does not start with a number.", "Write figures first, then the unit."),
        (float("inf"), "not-a-number", "“inf” does not start with a number.", "Write figures first, then the unit."),
        (Decimal("NaN"), "not-a-number", "“NaN” does not start with a number.", "Write figures first, then the unit."),
        *(
            (text, "not-a-number", f"“{text}” is not one number.", "Write one number with one decimal mark and no grouping, for example 1.35.")
            for text in (
                "1.35.2 mm", "1,345.5 mm", "1.345,5 mm", "1'345 mm", "1’345 mm", "1 345 mm", "5 - 3 mm", "5 − 3 mm", "5+3 mm", "1/2/3 in",
                "1.5/2 in", "1 2 mm",
            )
        ),
        ("1/0 in", "not-a-number", "A fraction over zero is not a number.", "Write for example 3/64 in."),
        ("1 1/0 in", "not-a-number", "A fraction over zero is not a number.", "Write for example 3/64 in."),
        ("1/10000 in", "not-a-number", "A fraction beyond 9999 is no reading.", "Write for example 3/64 in."),
        ("1,345 mm", "ambiguous-comma", "“1,345” can be read in two ways.", "Write 1.345 or 1345."),
        ("-12,345 mm", "ambiguous-comma", "“12,345” can be read in two ways.", "Write 12.345 or 12345."),
        ("123,345 mm", "ambiguous-comma", "“123,345” can be read in two ways.", "Write 123.345 or 123345."),
        ("1e31 mm", "out-of-range", "The power of ten is beyond any reading.", "Write the number out."),
        ("1e-31 mm", "out-of-range", "The power of ten is beyond any reading.", "Write the number out."),
        (5e-324, "out-of-range", "The power of ten is beyond any reading.", "Write the number out."),
        (f"0.{'1' * 41} mm", "out-of-range", "The number has more than 40 decimals.", "Write what the gauge shows."),
        (f"0.{'1' * 11}e-30 mm", "out-of-range", "The number has more than 40 decimals.", "Write what the gauge shows."),
        (2**200, "out-of-range", "The number is far too large.", "Write a value, for example 0.85 mm."),
        (-(10**4000), "out-of-range", "The number is far too large.", "Write a value, for example 0.85 mm."),
        ("1" * 78 + " mm", "too-long", "81 characters are too many for a value.", "Write a value, for example 0.85 mm."),
    ],
)  # fmt: skip
def test_what_is_no_length_is_told_with_its_remedy(given: Any, code: str, message: str, remedy: str) -> None:
    """The whole message, because it stands beside the field."""
    assert told(parse_quantity, given, LENGTH, "lifts.2") == (code, message, remedy)


@pytest.mark.parametrize("text", ["1e30 mm", f"0.{'1' * 40} mm", f"0.{'1' * 10}e-30 mm", f"{'1' * 77} mm", f"0.{'1' * 41}e1 mm"])
def test_the_largest_that_is_let_in_is_let_in(text: str) -> None:
    """Up to 80 characters, 40 decimals and a power of 30."""
    assert parse_quantity(text, LENGTH, "lifts.2").value == Fraction(text.removesuffix(" mm"))
    assert parse_number(2**200 - 1, "count") == 2**200 - 1


@pytest.mark.parametrize(
    ("dimension", "system", "remedy"),
    [
        (Dimension.EXPANSION, None, "Write a value, for example 0.0000115 1/K."),
        (Dimension.TEMPERATURE, None, "Write a value, for example 20 degC."),
        (Dimension.PRESSURE, None, "Write a value, for example 30 kPa."),
        (None, None, "Write a value, for example 0.85 mm."),
        (Dimension.LENGTH, "metric", "Write a value, for example 0.85 mm."),
        (Dimension.LENGTH, "inch", "Write a value, for example 0.034 in."),
        (Dimension.TEMPERATURE, "inch", "Write a value, for example 68 degF."),
        (Dimension.PRESSURE, "inch", "Write a value, for example 30 psi."),
        (Dimension.SPEED, "inch", "Write a value, for example 30 rpm."),
        (None, "inch", "Write a value, for example 0.034 in."),
    ],
)
def test_the_remedy_shows_an_example_of_the_dimension(dimension: Dimension | None, system: System | None, remedy: str) -> None:
    """A pressure is not asked for in millimetres, nor a length from who works in inches."""
    assert told(parse_quantity, "", dimension, "lifts.2", None, system)[2] == remedy


def test_the_remedy_of_a_wrong_unit_lists_the_right_ones() -> None:
    """One unit alone, or all of them."""
    wrong = told(parse_quantity, "1 mm", Dimension.DENSITY, "lifts.2")
    assert wrong == ("wrong-unit", "“mm” measures length, but a density is wanted.", "Write it in kg/m3.")
    assert told(parse_unit, "zzzz", Dimension.SPEED, "lifts.2")[2] == "Write it in rpm."
    assert told(parse_unit, "zzzz", None, "lifts.2")[2] == f"Write it in {', '.join(u.name for u in UNITS[:-1])} or 1/K."
    assert parse_unit("N·m", Dimension.TORQUE, "to") is BY_NAME["N.m"]


@pytest.mark.parametrize(
    ("given", "value"),
    [
        (5, 5),
        ("5", 5),
        (0.1, "0.1"),
        (1e-7, "0.0000001"),
        (Decimal("2.50"), "2.5"),
        ("0,12", "0.12"),
        ("-3", -3),
        (Fraction(1, 3), Fraction(1, 3)),
    ],
)
def test_a_plain_number_is_exact(given: Any, value: str | int | Fraction) -> None:
    """A float counts as the shortest decimal that stands for it: 0.1 is one tenth."""
    assert parse_number(given, "lifts.2") == Fraction(value)


@pytest.mark.parametrize(
    ("given", "code", "message", "remedy"),
    [
        ("5 mm", "not-a-number", "“5 mm” is not a plain number.", "Leave “mm” out: this figure has no unit."),
        ("five", "not-a-number", "“five” does not start with a number.", "Write figures first, then the unit."),
        (True, "wrong-type", "A true or false value was given where a value is expected.", "Write a number."),
        (None, "wrong-type", "Nothing was given where a value is expected.", "Write a number."),
        ("", "missing", "This field is empty.", "Write a number."),
        ("5,000", "ambiguous-comma", "“5,000” can be read in two ways.", "Write 5.000 or 5000."),
    ],
)
def test_what_is_no_plain_number_is_told(given: Any, code: str, message: str, remedy: str) -> None:
    """The whole message."""
    assert told(parse_number, given, "lifts.2") == (code, message, remedy)


def test_kinds_of_values_are_named_for_a_reader() -> None:
    """Every JSON value has a name to begin a sentence with."""
    values: tuple[Any, ...] = (None, False, "x", 1, 1.5, Decimal(1), Fraction(1), [], (), {}, b"")
    assert [kind_of(value) for value in values] == [
        "Nothing", "A true or false value", "Text", "A number", "A number", "A number", "A number", "A list", "A list", "An object", "Something else",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("1.345 mm", "1.345 mm"), ("1.4 mm", "1.40 mm"), ("850 um", "850 \u00b5m"), ("0.035 in", "0.035 in"),
        ("12 deg", "12°"), ("20 degC", "20 °C"),
        ("25 N.m", "25.0 N·m"), ("18 lbf.ft", "18.0 lbf·ft"), ("2 qt", "2.0 qt (US)"), ("20 arcmin", "20 arcmin"),
        ("3 mm2", "3 mm²"), ("1/3 mm", "0.333 mm"),
    ],
)  # fmt: skip
def test_a_quantity_is_shown_by_the_rule_of_its_unit(text: str, shown: str) -> None:
    """Decimals and symbol come from the unit; only the degree sign stands close."""
    assert show(parse_quantity(text, None, "x")) == shown


@given(DECIMALS, st.sampled_from(UNITS), st.sampled_from(UNITS))
def test_a_round_trip_between_units_is_exact(value: Decimal, one: Any, other: Any) -> None:
    """There and back is the same quantity; another dimension is refused."""
    quantity = Quantity(Fraction(value), one)
    if one.dimension is other.dimension:
        assert quantity.to(other).to(one) == quantity
        assert quantity.to(other).base == quantity.base
        return
    message = f"^{re.escape(f'{one} measures {one.dimension}, {other} measures {other.dimension}')}$"
    with pytest.raises(ValueError, match=message):
        quantity.to(other)


def test_the_same_unit_costs_no_conversion() -> None:
    """The very same quantity comes back."""
    quantity = parse_quantity("0.1 degF", None, "x")
    assert quantity.to(BY_NAME["degF"]) is quantity


@pytest.mark.parametrize(
    ("text", "unit", "result"),
    [
        ("1 in", "mm", "25.4 mm"), ("0.035 in", "mm", "0.889 mm"), ("25.4 mm", "in", "1 in"), ("1 thou", "um", "25.4 um"),
        ("32 degF", "degC", "0 degC"),
        ("20 degC", "degF", "68 degF"), ("-40 degC", "degF", "-40 degF"), ("1 qt", "mL", "946.352946 mL"),
        ("1 lbf.ft", "lbf.in", "12 lbf.in"), ("1 MPa", "bar", "10 bar"),
        ("1 bar", "kPa", "100 kPa"), ("1 lbf", "N", "4.4482216152605 N"), ("90 s", "min", "1.5 min"),
        ("1 deg", "arcmin", "60 arcmin"), ("30 psi", "kPa", "206.842718795051 kPa"),
    ],
)  # fmt: skip
def test_a_conversion_is_exact_where_its_definition_is(text: str, unit: str, result: str) -> None:
    """An inch is 25.4 mm and nothing else."""
    assert str(parse_quantity(text, None, "x").to(BY_NAME[unit])) == result


@given(DECIMALS, st.sampled_from(["mm", "in", "thou", "um", "m"]))
def test_comma_and_point_are_alike_where_the_comma_is_unambiguous(value: Decimal, unit: str) -> None:
    """Six decimals cannot be thousands."""
    point = f"{value:f} {unit}"
    assert parse_quantity(point.replace(".", ","), LENGTH, "x") == parse_quantity(point, LENGTH, "x")


@given(FRACTIONS, st.sampled_from(UNITS))
def test_a_quantity_s_text_is_read_back(value: Fraction, unit: Any) -> None:
    """What the engine writes it can read, to the digits written."""
    text = str(Quantity(value, unit))
    read = parse_quantity(text, unit.dimension, "x")
    assert read.unit is unit
    assert str(read) == text


@given(st.text(max_size=90))
def test_any_text_is_a_quantity_or_a_problem(text: str) -> None:
    """No text whatever gives anything else."""
    fields: list[str] = []
    try:
        parse_quantity(text, None, "x")
    except Refused as refused:
        fields = [problem.field for problem in refused.problems]
    assert fields in ([], ["x"])
