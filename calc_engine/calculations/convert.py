"""convert: an amount in another unit, exact where a decimal can say it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, flag, text
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.figures import exact_text
from calc_engine.quantities.quantity import Quantity, parse_unit
from calc_engine.quantities.units import BY_NAME, Dimension, Unit

__all__ = ["CONVERT", "Convert", "ConvertResult", "convert"]

_LARGEST: Final = 10**15
_ABSOLUTE_ZERO: Final = Fraction("-273.15")  # degC, the base unit of temperature
# How one temperature scale becomes the other, as it is taught.
_SCALES: Final = {("degF", "degC"): "({} − 32) × 5/9", ("degC", "degF"): "{} × 9/5 + 32"}


@dataclass(frozen=True, slots=True)
class Convert:
    """The inputs of convert."""

    value: Quantity = amount(None, "Amount", "With its unit, for example 0.035 in.")
    to: str = text("Into", "The unit that is wanted, for example mm.")

    def problems(self, _field: str) -> Iterable[Problem]:
        """Says when the amount is far too large or below absolute zero."""
        if abs(self.value.value) > _LARGEST:
            yield Problem("value", "out-of-range", "The amount is far too large.", "Check the decimal mark.")
        if self.value.unit.dimension is Dimension.TEMPERATURE and self.value.base < _ABSOLUTE_ZERO:
            yield Problem("value", "out-of-range", "This is below absolute zero.", "Nothing is colder than -273.15 degC.")


@dataclass(frozen=True, slots=True)
class ConvertResult:
    """The outputs of convert."""

    converted: Quantity = amount(None, "Converted", "The same amount in the unit wanted.")
    exact: bool = flag("Exact", "Whether the figure is the exact value. If not, it is right to 15 digits.")


def convert(request: Convert, _units: AnswerUnits) -> Answer[ConvertResult]:
    """An amount in another unit of what it measures.

    Args:
        request: the amount and the name or a spelling of the unit wanted.
        _units: not used: the request itself says in which unit the answer is.

    Returns:
        The same amount in that unit. Every factor is exact; the figure is, when a decimal of 64 digits can say it.

    Raises:
        Refused: ``unknown-unit`` or ``wrong-unit``.

    Source: the exact definitions in `units` (NIST SP 811, appendix B.8).

    Example:
        >>> from calc_engine import answer
        >>> answer("convert", {"value": "2 in", "to": "mm"})["result"]
        {'converted': '50.8 mm', 'exact': True}
    """
    unit = parse_unit(request.to, request.value.unit.dimension, "to")
    found = request.value.to(unit)
    exact = Fraction(exact_text(found.value)) == found.value
    return Answer(ConvertResult(converted=found, exact=exact), tuple(_lines(request.value, found, exact=exact)))


def _lines(given: Quantity, found: Quantity, *, exact: bool) -> Iterable[str]:
    value, sign = exact_text(given.value), "=" if exact else "≈"
    scale = _SCALES.get((given.unit.name, found.unit.name))
    if given.unit is found.unit:
        yield f"{given.unit.symbol} is the unit already: {value} {found.unit.symbol}"
    elif scale is not None:
        yield f"{scale.format(value)} {sign} {exact_text(found.value)} {found.unit.symbol}"
    else:
        ratio = given.unit.factor / found.unit.factor
        yield _worth(given.unit, found.unit, ratio)
        times = f"{value} × {exact_text(ratio)}" if ratio >= 1 else f"{value} / {exact_text(1 / ratio)}"
        yield f"{times} {sign} {exact_text(found.value)} {found.unit.symbol}"


def _worth(given: Unit, wanted: Unit, ratio: Fraction) -> str:
    """One of the larger unit in the smaller one."""
    large, small, worth = (given, wanted, ratio) if ratio >= 1 else (wanted, given, 1 / ratio)
    sign = "=" if Fraction(exact_text(worth)) == worth else "≈"
    return f"1 {large.symbol} {sign} {exact_text(worth)} {small.symbol}"


CONVERT: Final = Calculation(
    name="convert",
    title="Conversion of units",
    about="An amount in another unit, by the exact definitions: inch, pound, standard gravity and US gallon.",
    asked_as=(
        "inch to mm",
        "thousandths to millimetres",
        "thou to mm calculator",
        "psi to bar",
        "bar to psi",
        "foot pounds to newton metres",
        "quarts to litres",
        "litres to quarts",
        "kPa to psi",
        "decimal inches",
        "fractions to decimals",
        "fahrenheit to celsius",
        "metric imperial converter",
        "pulgadas a milímetros conversión",
        "libras pie a newton metro",
    ),
    request=Convert,
    result=ConvertResult,
    compute=convert,
    formulas=(
        rf"1\,\mathrm{{in}} = {exact_text(BY_NAME['in'].factor)}\,\mathrm{{mm}}",
        r"1\,\mathrm{lbf} = 0.45359237 \times 9.80665\,\mathrm{N}",
        r"t_{^\circ\mathrm{C}} = (t_{^\circ\mathrm{F}} - 32) \times \tfrac{5}{9}",
    ),
    sources=(Source("NIST SP 811, Guide for the use of the SI", "appendix B.8"),),
    example={"value": "0.035 in", "to": "mm"},
)
