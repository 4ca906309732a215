"""convert: against pint, and exact where a decimal can say it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.quantities.units import UNITS

PINT = pint.UnitRegistry(non_int_type=Decimal)
# Our name of a unit, and pint's expression for it.
IN_PINT = {
    "mm": "millimeter", "um": "micrometer", "m": "meter", "in": "inch", "thou": "thou", "mm2": "millimeter ** 2",
    "in2": "inch ** 2", "Pa": "pascal", "kPa": "kilopascal", "MPa": "megapascal", "GPa": "gigapascal", "bar": "bar",
    "psi": "force_pound / inch ** 2", "N": "newton", "kN": "kilonewton", "lbf": "force_pound", "N.m": "newton * meter",
    "lbf.ft": "force_pound * foot", "lbf.in": "force_pound * inch", "N/mm": "newton / millimeter", "N/m": "newton / meter",
    "lbf/in": "force_pound / inch", "rpm": "revolution / minute", "kg/m3": "kilogram / meter ** 3", "s": "second", "min": "minute",
    "h": "hour", "mL": "milliliter", "L": "liter", "qt": "quart", "mL/s": "milliliter / second", "L/min": "liter / minute", "qt/min": "quart / minute", "1/K": "1 / kelvin",
}  # fmt: skip


def test_an_inch_is_exact(bench: Any) -> None:
    """25.4 mm by definition."""
    assert bench.result("convert") == {"converted": "0.889 mm", "exact": True}
    assert bench.working("convert") == ["1 in = 25.4 mm", "0.035 × 25.4 = 0.889 mm"]


def test_into_the_larger_unit_is_a_division(bench: Any) -> None:
    """0.85 mm are a repeating decimal of an inch: right to 15 digits, and said not to be exact."""
    assert bench.result("convert", value="0.85 mm", to="in") == {"converted": "0.0334645669291339 in", "exact": False}
    assert bench.working("convert", value="0.85 mm", to="in") == ["1 in = 25.4 mm", "0.85 / 25.4 ≈ 0.0334645669291339 in"]


def test_a_factor_that_no_decimal_can_say(bench: Any) -> None:
    """1 psi is lbf over in2: 6894.757293168361... Pa, NIST SP 811 gives 6.894757 E+03."""
    assert bench.result("convert", value="30 psi", to="kPa") == {"converted": "206.842718795051 kPa", "exact": False}
    assert bench.working("convert", value="30 psi", to="kPa") == [
        "1 psi ≈ 6.89475729316836 kPa",
        "30 × 6.89475729316836 ≈ 206.842718795051 kPa",
    ]


@pytest.mark.parametrize(
    ("value", "to", "converted", "line"),
    [
        ("68 degF", "degC", "20 degC", "(68 − 32) × 5/9 = 20 °C"),
        ("212 °F", "C", "100 degC", "(212 − 32) × 5/9 = 100 °C"),
        ("-40 degC", "°F", "-40 degF", "-40 × 9/5 + 32 = -40 °F"),
        ("20 degC", "degF", "68 degF", "20 × 9/5 + 32 = 68 °F"),
        ("20 degC", "celsius", "20 degC", "°C is the unit already: 20 °C"),
    ],
)
def test_temperatures_have_a_zero_of_their_own(bench: Any, value: Any, to: Any, converted: Any, line: Any) -> None:
    """By the formula that is taught."""
    assert bench.result("convert", value=value, to=to) == {"converted": converted, "exact": True}
    assert bench.working("convert", value=value, to=to) == [line]


def test_common_spellings_on_both_sides(bench: Any) -> None:
    """As people write them."""
    assert bench.result("convert", value="25 lb-ft", to="N·m")["converted"] == "33.89544870828501 N.m"
    assert bench.result("convert", value="1,35 mm", to="µm")["converted"] == "1350 um"
    assert bench.result("convert", value="3/64 in", to="thou") == {"converted": "46.875 thou", "exact": True}


def test_units_asked_for_do_not_change_what_is_asked(bench: Any) -> None:
    """The request says the unit itself."""
    assert bench.result("convert", units="inch")["converted"] == "0.889 mm"
    assert bench.result("convert", value="1 kN", to="lbf", units="metric")["converted"].startswith("224.8089430997")


def test_what_cannot_be_converted(bench: Any) -> None:
    """Another dimension, an unknown unit, nothing at all, too much, too cold."""
    assert bench.problems("convert", to="psi") == [
        ("to", "wrong-unit", "“psi” measures pressure, but a length is wanted.", "Write it in mm, um, m, in or thou.")
    ]
    assert bench.problems("convert", to="inhc") == [
        ("to", "unknown-unit", "“inhc” is not a unit that is known here.", "Did you mean in?")
    ]
    assert bench.problems("convert", value="5", to=...) == [
        ("value", "no-unit", "“5” has no unit.", "Write the unit too, for example 0.85 mm."),
        ("to", "missing", "Into: nothing is filled in.", "The unit that is wanted, for example mm."),
    ]
    assert bench.problems("convert", value="5 furlongs")[0][:3] == (
        "value",
        "unknown-unit",
        "“furlongs” is not a unit that is known here.",
    )
    assert bench.problems("convert", value="1e16 mm") == [
        ("value", "out-of-range", "The amount is far too large.", "Check the decimal mark.")
    ]
    assert bench.problems("convert", value="-274 degC", to="degF") == [
        ("value", "out-of-range", "This is below absolute zero.", "Nothing is colder than -273.15 degC.")
    ]
    assert bench.result("convert", value="-459.67 degF", to="degC")["converted"] == "-273.15 degC"


@pytest.mark.parametrize("unit", [unit for unit in UNITS if unit.name in IN_PINT], ids=str)
def test_every_factor_agrees_with_pint(bench: Any, figure: Any, unit: Any) -> None:
    """Into every other unit of its dimension, to 13 digits; pint reckons in decimals here."""
    for other in UNITS:
        if other.dimension is unit.dimension:
            found = figure(bench.result("convert", value=f"7.3 {unit.name}", to=other.name)["converted"], other.name)
            expected = PINT.Quantity(Decimal("7.3"), IN_PINT[unit.name]).to(IN_PINT[other.name]).magnitude
            assert abs(found / expected - 1) < Decimal("1e-13")


def test_every_unit_was_compared(bench: Any, figure: Any) -> None:
    """But for angles and temperatures, whose factors are their definitions."""
    assert {unit.name for unit in UNITS} - set(IN_PINT) == {"deg", "arcmin", "degC", "degF"}
    assert bench.result("convert", value="90 arcmin", to="deg") == {"converted": "1.5 deg", "exact": True}


@given(st.sampled_from(UNITS), st.integers(-(10**9), 10**9), st.integers(0, 6), st.data())
def test_there_and_back_is_where_it_was(bench: Any, figure: Any, unit: Any, whole: Any, places: Any, data: Any) -> None:
    """To 13 digits, and exactly when both ways were exact."""
    value = Decimal(whole).scaleb(-places)
    other = data.draw(st.sampled_from([item for item in UNITS if item.dimension is unit.dimension]))
    there = bench.reply("convert", {"value": f"{value:f} {unit.name}", "to": other.name})
    if not there["ok"]:  # colder than can be
        assert unit.name in {"degC", "degF"}
        return
    back = bench.result("convert", value=there["result"]["converted"], to=unit.name)
    found = figure(back["converted"], unit.name)
    if there["result"]["exact"] and back["exact"]:
        assert found == value
    scale = abs(value) + (500 if unit.dimension == "temperature" else 0)
    assert abs(found - value) <= scale * Decimal("1e-13")
