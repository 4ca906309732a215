"""What a product of two units is worth in the unit of the answer, said where a reader would else wonder."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from calc_engine.quantities.answer_units import AnswerUnits, equals_number
from calc_engine.quantities.units import Dimension

__all__ = ["product_note"]

_D: Final = Dimension
# Base units of the product in one product of base units: 1 Pa x 1 mm2 is a millionth of a newton.
_PRODUCTS: Final = {
    (_D.PRESSURE, _D.AREA): (_D.FORCE, Fraction(1, 1_000_000)),
    (_D.FORCE, _D.LENGTH): (_D.TORQUE, Fraction(1, 1000)),
    (_D.RATE, _D.LENGTH): (_D.FORCE, Fraction(1)),
}


def product_note(first: Dimension, second: Dimension, units: AnswerUnits) -> str:
    """In brackets, how the product of two units becomes the unit of the answer; empty when one makes one.

    Args:
        first: pressure, force or spring rate.
        second: area or length, as it goes with the first.
        units: of the answer.

    Returns:
        For example `` (1 N = 1000 kPa·mm²)``.
    """
    dimension, scale = _PRODUCTS[first, second]
    one, other, made = (units.by_dimension[item] for item in (first, second, dimension))
    worth = one.factor * other.factor * scale / made.factor
    if worth == 1:
        return ""
    if worth < 1:
        return f" (1 {made.symbol} {equals_number(1 / worth)} {one.symbol}·{other.symbol})"
    return f" (1 {one.symbol}·{other.symbol} {equals_number(worth)} {made.symbol})"
