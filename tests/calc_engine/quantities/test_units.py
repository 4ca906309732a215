"""Units: exact factors from the definitions, and the spellings that people write."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from calc_engine.quantities.units import BY_NAME, INCH_UNITS, METRIC_UNITS, UNITS, Dimension, find_unit, normalised

INCH_IN_M = Fraction("0.0254")
POUND_IN_N = Fraction("0.45359237") * Fraction("9.80665")

# Name, and how many SI units of its dimension it is worth: exact, from the definitions in NIST SP 811, appendix B.8.
IN_SI = [
    ("mm", "0.001"), ("um", "0.000001"), ("m", 1), ("in", INCH_IN_M), ("thou", INCH_IN_M / 1000),
    ("mm2", "0.000001"), ("in2", INCH_IN_M**2),
    ("Pa", 1), ("kPa", 1000), ("MPa", 10**6), ("GPa", 10**9), ("bar", 10**5), ("psi", POUND_IN_N / INCH_IN_M**2),
    ("N", 1), ("kN", 1000), ("lbf", POUND_IN_N),
    ("N.m", 1), ("lbf.ft", POUND_IN_N * 12 * INCH_IN_M), ("lbf.in", POUND_IN_N * INCH_IN_M),
    ("N/mm", 1000), ("N/m", 1), ("lbf/in", POUND_IN_N / INCH_IN_M),
    ("deg", 1), ("arcmin", Fraction(1, 60)), ("rpm", 1), ("kg/m3", 1), ("degC", 1), ("degF", Fraction(5, 9)),
    ("s", 1), ("min", 60), ("h", 3600),
    ("mL", "0.000001"), ("L", "0.001"), ("qt", 231 * INCH_IN_M**3 / 4),
    ("mL/s", "0.000001"), ("L/min", Fraction(1, 60_000)), ("qt/min", 231 * INCH_IN_M**3 / 240), ("1/K", 1),
]  # fmt: skip
# What one base unit of the engine is worth in the SI unit of the table above.
BASE_IN_SI = {
    Dimension.LENGTH: Fraction("0.001"),
    Dimension.AREA: Fraction("0.000001"),
    Dimension.RATE: Fraction(1000),
    Dimension.VOLUME: Fraction("0.000001"),
    Dimension.FLOW: Fraction("0.000001"),
}


@pytest.mark.parametrize(("name", "in_si"), IN_SI)
def test_a_factor_is_exactly_its_definition(name: str, in_si: str | int | Fraction) -> None:
    """Every factor equals the definition, to the last digit."""
    unit = BY_NAME[name]
    assert unit.factor * BASE_IN_SI.get(unit.dimension, Fraction(1)) == Fraction(in_si)


def test_every_unit_is_in_the_table_above() -> None:
    """No unit escapes the check of its factor."""
    assert [name for name, _ in IN_SI] == [unit.name for unit in UNITS]


def test_only_fahrenheit_has_an_offset() -> None:
    """0 degF is -160/9 degC; every other scale begins at zero."""
    assert {unit.name: unit.offset for unit in UNITS if unit.offset} == {"degF": Fraction(-160, 9)}


@pytest.mark.parametrize(
    ("spelling", "name"),
    [
        ("mm", "mm"), ("MM", "mm"), ("millimetre", "mm"), ("Millimeters", "mm"),
        ("um", "um"), ("\u00b5m", "um"), ("\u03bcm", "um"), ("micron", "um"), ("micrometer", "um"),
        ("m", "m"), ("metres", "m"), ("in", "in"), ("inch", "in"), ("Inches", "in"), ('"', "in"), ("″", "in"),
        ("thou", "thou"), ("mil", "thou"),
        ("L/min", "L/min"), ("l/min", "L/min"), ("litres per minute", "L/min"), ("qt/min", "qt/min"), ("mL/s", "mL/s"),
        ("mm2", "mm2"), ("mm²", "mm2"), ("mm^2", "mm2"), ("in2", "in2"), ("in²", "in2"), ("sqin", "in2"),
        ("kPa", "kPa"), ("kpa", "kPa"), ("KPA", "kPa"), ("MPa", "MPa"), ("N/mm2", "MPa"), ("N/mm²", "MPa"),
        ("bar", "bar"), ("psi", "psi"), ("PSI", "psi"), ("lb/in2", "psi"), ("lbf/in²", "psi"),
        ("N", "N"), ("newtons", "N"), ("kN", "kN"), ("lbf", "lbf"), ("lb", "lbf"), ("lbs", "lbf"),
        ("N.m", "N.m"), ("N·m", "N.m"), ("N⋅m", "N.m"), ("N-m", "N.m"), ("N m", "N.m"), ("N  m", "N.m"),
        ("Nm", "N.m"), ("N*m", "N.m"),
        ("lbf.ft", "lbf.ft"), ("lb-ft", "lbf.ft"), ("ft-lb", "lbf.ft"), ("ft lbs", "lbf.ft"), ("ft.lbf", "lbf.ft"),
        ("lbf·ft", "lbf.ft"), ("lbf⋅ft", "lbf.ft"), ("ft*lb", "lbf.ft"), ("LB-FT", "lbf.ft"),
        ("lbf.in", "lbf.in"), ("in-lb", "lbf.in"), ("in lbs", "lbf.in"), ("lb in", "lbf.in"),
        ("N/mm", "N/mm"), ("n/mm", "N/mm"), ("N/m", "N/m"), ("lbf/in", "lbf/in"), ("lb/in", "lbf/in"),
        ("deg", "deg"), ("°", "deg"), ("degrees", "deg"), ("arcmin", "arcmin"), ("′", "arcmin"),
        ("minutes of arc", "arcmin"), ("rpm", "rpm"), ("r/min", "rpm"), ("kg/m3", "kg/m3"), ("kg/m³", "kg/m3"),
        ("degC", "degC"), ("°C", "degC"), ("C", "degC"), ("degF", "degF"), ("°F", "degF"), ("fahrenheit", "degF"),
        ("s", "s"), ("seconds", "s"), ("min", "min"), ("minutes", "min"), ("h", "h"), ("hours", "h"),
        ("mL", "mL"), ("ml", "mL"), ("L", "L"), ("l", "L"), ("litre", "L"), ("qt", "qt"), ("us qt", "qt"), ("quarts", "qt"),
        ("1/K", "1/K"), ("/K", "1/K"), ("K^-1", "1/K"), ("K⁻¹", "1/K"), ("per K", "1/K"), ("/°C", "1/K"),
    ],
)  # fmt: skip
def test_a_spelling_finds_its_unit(spelling: str, name: str) -> None:
    """What people write is read as they mean it."""
    found = find_unit(spelling)
    assert found is not None
    assert found.name == name
    assert str(found) == name


@pytest.mark.parametrize("spelling", ["mPa", "mpa", "M", "", "mmm", "mm mm", "furlong", "N.mm", "K", "%"])
def test_what_cannot_be_told_is_not_guessed(spelling: str) -> None:
    """A mPa is no MPa and a M is no m: capitals carry the meaning there."""
    assert find_unit(spelling) is None


def test_no_spelling_stands_for_two_units() -> None:
    """Even without regard to capitals each spelling names one unit."""
    spelled = [(spelling.casefold(), unit.name) for unit in UNITS for spelling in {unit.name, *unit.spellings}]
    named = Counter(spelling for spelling, _ in set(spelled))
    assert [spelling for spelling, times in named.items() if times > 1] == []


def test_normalising_brings_micro_signs_and_spaces_to_one_form() -> None:
    """Both micro signs and any run of spaces, also unbreakable ones, are alike."""
    assert normalised("  0.5\u00a0\u2009 \u03bcm ") == "0.5 \u00b5m"


def test_the_contract_s_units_of_metric_and_inch_answers() -> None:
    """The units that an answer is given in when the request asks for a system."""
    d = Dimension
    assert {dimension: unit.name for dimension, unit in METRIC_UNITS.items()} == {
        d.LENGTH: "mm", d.AREA: "mm2", d.FORCE: "N", d.TORQUE: "N.m", d.PRESSURE: "kPa", d.RATE: "N/mm",
        d.TEMPERATURE: "degC", d.VOLUME: "L", d.FLOW: "L/min",
    }  # fmt: skip
    assert {dimension: unit.name for dimension, unit in INCH_UNITS.items()} == {
        d.LENGTH: "in", d.AREA: "in2", d.FORCE: "lbf", d.TORQUE: "lbf.ft", d.PRESSURE: "psi", d.RATE: "lbf/in",
        d.TEMPERATURE: "degF", d.VOLUME: "qt", d.FLOW: "qt/min",
    }  # fmt: skip
    assert all(unit.system == "metric" for unit in METRIC_UNITS.values())
    assert all(unit.system == "inch" for unit in INCH_UNITS.values())


def test_every_unit_can_be_written_for_a_reader() -> None:
    """Each has a symbol, and its fewest decimals are not more than its most."""
    assert all(unit.symbol and 0 <= unit.fewest <= unit.most for unit in UNITS)
    assert {unit.dimension for unit in UNITS} == set(Dimension)
