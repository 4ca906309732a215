"""In which units an answer is given, and how its figures are written in the working."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from calc_engine.quantities.figures import decimals_shown, exact_text, loses_nothing, rounded_text
from calc_engine.quantities.measured import limit_places, places
from calc_engine.quantities.quantity import Quantity, amount_text, with_symbol
from calc_engine.quantities.units import INCH_UNITS, METRIC_UNITS, UNITS, Dimension, System, Unit

__all__ = ["AnswerUnits", "choose_units", "equals_number", "plain"]


@dataclass(frozen=True, slots=True)
class AnswerUnits:
    """The unit of each dimension in one answer.

    Attributes:
        by_dimension: the unit that each dimension is given in.
    """

    by_dimension: Mapping[Dimension, Unit]

    def quantity(self, base: Fraction, dimension: Dimension) -> Quantity:
        """An amount in base units as a quantity in this answer's unit."""
        unit = self.by_dimension[dimension]
        return Quantity(unit.from_base(base), unit)

    def text(self, base: Fraction, dimension: Dimension) -> str:
        """An amount as a reply tells it: exact, with the name of its unit."""
        unit = self.by_dimension[dimension]
        return amount_text(unit.from_base(base), unit)

    def show(self, base: Fraction, dimension: Dimension = Dimension.LENGTH, fewest: int = 0) -> str:
        """An amount for a reader: rounded once, with its unit and at least so many decimals; a measured one as finely as it is known."""
        return with_symbol(self.number(base, dimension, fewest), self.by_dimension[dimension])

    def number(self, base: Fraction, dimension: Dimension = Dimension.LENGTH, fewest: int = 0) -> str:
        """As `show`, without the unit: for the terms of a sum whose unit stands at its end."""
        unit = self.by_dimension[dimension]
        most, strict = places(base, unit)
        return rounded_text(unit.from_base(base), max(fewest, unit.fewest), most, strict=strict)

    def decimals(self, base: Fraction, dimension: Dimension = Dimension.LENGTH) -> int:
        """How many decimals `show` gives an amount."""
        unit = self.by_dimension[dimension]
        return decimals_shown(unit.from_base(base), places(base, unit)[0])

    def limit(self, base: Fraction, beside: Fraction, dimension: Dimension = Dimension.LENGTH) -> str:
        """A limit without its unit, as it is read beside a value that is judged by it: no rounding lets the two look equal.

        Args:
            base: the limit, in the base unit of its dimension.
            beside: the value.
            dimension: of both.
        """
        unit = self.by_dimension[dimension]
        return rounded_text(unit.from_base(base), unit.fewest, limit_places(beside, unit))

    def show_apart(self, base: Fraction, other: Fraction, dimension: Dimension = Dimension.LENGTH) -> tuple[str, str]:
        """Two amounts that differ, with as many decimals as it takes to see that they do.

        Args:
            base: the one, in the base unit of its dimension.
            other: the other one, not equal to it.
            dimension: of both.

        Returns:
            Both for a reader, each with its unit.
        """
        unit = self.by_dimension[dimension]
        values = (unit.from_base(base), unit.from_base(other))
        most = max(places(base, unit)[0], places(other, unit)[0])
        while values[0] != values[1] and len({rounded_text(value, unit.fewest, most) for value in values}) == 1:
            most += 1
        first, second = (f"{rounded_text(value, unit.fewest, most)} {unit.symbol}" for value in values)
        return first, second

    def symbol(self, dimension: Dimension) -> str:
        """The symbol of a dimension's unit, for the end of a product whose factors stand without it."""
        return self.by_dimension[dimension].symbol

    def equals(self, base: Fraction, dimension: Dimension = Dimension.LENGTH) -> str:
        """As `show`, after ``=``, or after ``≈`` when the figure shown is rounded."""
        unit = self.by_dimension[dimension]
        most, strict = places(base, unit)
        return f"{_sign(unit.from_base(base), most, strict=strict)} {self.show(base, dimension)}"


def _sign(value: Fraction, most: int, *, strict: bool = False) -> str:
    return "=" if loses_nothing(value, most, strict=strict) else "≈"


def equals_number(value: Fraction, most: int = 4) -> str:
    """A plain number after ``=``, or after ``≈`` when the figure shown is rounded.

    Args:
        value: the number, without a unit.
        most: decimals shown at most.

    Returns:
        The sign and the figure.

    Example:
        >>> equals_number(Fraction(1, 2)), equals_number(Fraction(1, 3))
        ('= 0.5', '≈ 0.3333')
    """
    return f"{_sign(value, most)} {rounded_text(value, 0, most)}"


def plain(value: Fraction, most: int = 4) -> str:
    """A plain number for a reader: a whole one in full, any other rounded.

    Args:
        value: the number, without a unit.
        most: decimals shown at most.

    Returns:
        The figure.
    """
    return rounded_text(value, 0, most) if value.denominator != 1 else exact_text(value)


def choose_units(seen: Iterable[tuple[str, Unit]], wanted: System | None, limits: Iterable[str] = ()) -> AnswerUnits:
    """The units of an answer, by the contract.

    What `wanted` says; else the unit of the limits, else of the first input of that dimension, else the unit of
    the system that the first input belongs to.

    Args:
        seen: the dotted field name and unit of every quantity in the request, in order.
        wanted: ``metric``, ``inch`` or None.
        limits: the dotted names of the fields that hold limits.

    Returns:
        A unit for every dimension.
    """
    within = tuple(f"{field}." for field in limits)
    ordered = sorted(seen, key=lambda item: not item[0].startswith(within))
    system = wanted or next((unit.system for _, unit in ordered if unit.system), "metric")
    units = {dimension: next(unit for unit in UNITS if unit.dimension is dimension) for dimension in Dimension}
    units.update(METRIC_UNITS)
    if system == "inch":
        units.update(INCH_UNITS)
    # With "units" the contract names one unit for each dimension; what both systems share stays as it was given.
    fixed = METRIC_UNITS if wanted else {}
    units.update({unit.dimension: unit for _, unit in reversed(ordered) if unit.dimension not in fixed})
    return AnswerUnits(units)
