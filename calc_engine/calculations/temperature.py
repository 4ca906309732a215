"""temperature: the length that a warm or cold part has at 20 degC."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.declare.alternatives import exactly_one
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, choice, length
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, plain
from calc_engine.quantities.units import Dimension

__all__ = ["EXPANSIONS", "TEMPERATURE", "Temperature", "TemperatureResult", "temperature"]

_D: Final = Dimension
_REFERENCE: Final = Fraction(20)

EXPANSIONS: Final = {
    "steel": Fraction("0.0000115"),
    "aluminium": Fraction("0.0000231"),
    "cast-iron": Fraction("0.0000114"),
    "magnesium": Fraction("0.000026"),
}
"""Expansion per kelvin. Steel and aluminium: D.A. Swyt, J. Res. NIST 99 (1994) 31. Grey cast iron and magnesium alloys AZ31B and
AZ91D: W.D. Callister and D.G. Rethwisch, Fundamentals of Materials Science and Engineering, 3rd edition, table B.6."""


@dataclass(frozen=True, slots=True)
class Temperature:
    """The inputs of temperature. Length in mm, temperature in degC, expansion in 1/K."""

    length: Fraction = length("Length measured", "As the gauge read it, on the part.", above="0 mm")
    measured_at: Fraction = amount(
        _D.TEMPERATURE, "Temperature of the part", "Its own, not that of the room.", least="-40 degC", most="200 degC"
    )
    expansion: Fraction | None = amount(
        _D.EXPANSION, "Expansion", "Share of its length for each kelvin. Or name the material.",
        above="0 1/K", most="0.0002 1/K", bare_unit="1/K", optional=True,
    )  # fmt: skip
    material: str | None = choice(
        "Material", "Of the part. Or give its expansion.",
        {"steel": "Steel", "aluminium": "Aluminium", "cast-iron": "Cast iron", "magnesium": "Magnesium"}, optional=True,
    )  # fmt: skip

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        return exactly_one({"expansion": self.expansion, "material": self.material})


@dataclass(frozen=True, slots=True)
class TemperatureResult:
    """The outputs of temperature. Lengths in mm, expansion in 1/K."""

    at_20: Fraction = length("Length at 20 °C", "The temperature at which drawings and specs hold.")
    correction: Fraction = length("Correction", "What is added to the length measured.")
    expansion: Fraction = amount(_D.EXPANSION, "Expansion", "That was used.")


def temperature(request: Temperature, units: AnswerUnits) -> Answer[TemperatureResult]:
    """The length that a part has at 20 degC.

    L20 = L / (1 + alpha (t - 20 degC))

    Args:
        request: the inputs in base units.
        units: for the working.

    Returns:
        The length at 20 degC with its working.

    Source: ISO 1:2022 (20 degC is the reference temperature); expansion by its definition.

    Example:
        >>> from calc_engine import answer
        >>> answer("temperature", {"length": "100.0231 mm", "measured_at": "30 degC", "material": "aluminium"})["result"]["at_20"]
        '100 mm'
    """
    expansion = EXPANSIONS[request.material] if request.material else request.expansion
    assert expansion is not None  # noqa: S101 - exactly one of the two is given
    warmer = request.measured_at - _REFERENCE
    at_20 = request.length / (1 + expansion * warmer)
    celsius, shown = f"{plain(request.measured_at)} °C", units.show(request.measured_at, _D.TEMPERATURE)
    said = celsius if shown == celsius else f"{shown} = {celsius}"
    term = f"{'−' if warmer < 0 else '+'} {plain(expansion, 9)} × {plain(abs(warmer))}"
    working = (
        f"{said} is {plain(abs(warmer))} K {'colder' if warmer < 0 else 'warmer'} than 20 °C",
        f"length at 20 °C = {units.number(request.length)} / (1 {term}) {units.equals(at_20)}",
        f"correction = {units.number(at_20)} − {units.number(request.length)} {units.equals(at_20 - request.length)}",
    )
    result = TemperatureResult(at_20=at_20, correction=at_20 - request.length, expansion=expansion)
    return Answer(result, working, tuple(_cautions(request)))


def _cautions(request: Temperature) -> Iterable[str]:
    if request.material:
        yield "The expansion is a typical one: alloys differ by a tenth and more."
    yield "The gauge is taken to be at 20 °C: a warm gauge reads short."


TEMPERATURE: Final = Calculation(
    name="temperature",
    title="Length at 20 °C",
    about="The length that a warm or cold part has at the temperature where drawings and specs hold.",
    asked_as=(
        "warm part measured",
        "hot part shrinks",
        "thermal growth",
        "expansion of aluminium",
        "part from the wash measured too big",
        "correct to twenty degrees",
        "heat expansion sum",
        "dilatación",
    ),
    request=Temperature,
    result=TemperatureResult,
    compute=temperature,
    formulas=(r"L_{20} = \frac{L}{1 + \alpha\,(t - 20\,^\circ\mathrm{C})}",),
    sources=(
        Source("ISO 1:2022", "", "20 °C is the reference temperature"),
        Source("D.A. Swyt, J. Res. NIST 99 (1994) 31", "section 1", "expansion of steel and aluminium"),
        Source(
            "W.D. Callister and D.G. Rethwisch, Fundamentals of Materials Science and Engineering, 3rd edition",
            "table B.6",
            "expansion of grey cast iron and of magnesium alloys",
        ),
    ),
    example={"length": "128.06 mm", "measured_at": "35 degC", "material": "aluminium"},
)
