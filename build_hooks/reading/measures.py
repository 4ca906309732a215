"""Sizes with their tolerance, as a drawing or a maker's table writes them: ``1.57 mm ± 0.02``, ``1.57 mm +0.02 -0.01``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, NoReturn

from calc_engine import Dimension, Problem, Quantity, Refused, System, parse_quantity, show

__all__ = ["THICKNESSES", "Toleranced", "parse_toleranced", "show_limits", "show_toleranced"]

_LONGEST: Final = 120
THICKNESSES: Final[dict[System, tuple[str, str]]] = {
    "metric": ("1.57 mm ± 0.02", "1.57 mm +0.02 -0.01"),
    "inch": ("0.062 in ± 0.001", "0.062 in +0.001 -0.0005"),
}
"""Thicknesses as they may be written, for those who work in either units: one tolerance both ways, and one each way."""

_SYMMETRIC: Final = re.compile(r"±|\+\s*/?\s*[-−]")
# A sign behind an e belongs to a power of ten.
_SIGN: Final = re.compile(r"(?<=[^\seE])\s*(?=[+\-−])|\s+(?=[+\-−])")


@dataclass(frozen=True, slots=True)
class Toleranced:
    """A size and how far it may be off.

    Attributes:
        nominal: the size aimed at [length].
        plus: how much larger a good part may be, zero or more [length].
        minus: how much smaller a good part may be, zero or more [length].
    """

    nominal: Quantity
    plus: Quantity
    minus: Quantity

    @property
    def largest(self) -> Quantity:
        """The largest size of a good part, in the unit of the nominal size."""
        return Quantity(self.nominal.value + self.plus.to(self.nominal.unit).value, self.nominal.unit)

    @property
    def widest(self) -> Quantity:
        """How far a good part may be off at most, either way."""
        return max(self.plus, self.minus, key=lambda length: length.base)

    @property
    def smallest(self) -> Quantity:
        """The smallest size of a good part, in the unit of the nominal size."""
        return Quantity(self.nominal.value - self.minus.to(self.nominal.unit).value, self.nominal.unit)

    @property
    def is_toleranced(self) -> bool:
        """Whether a tolerance was given."""
        return bool(self.plus.value or self.minus.value)

    def __str__(self) -> str:
        return show_toleranced(self)


def show_toleranced(size: Toleranced) -> str:
    """A size for a reader: ``1.57 mm ± 0.02 mm``, ``1.57 mm +0.02 mm −0.01 mm``, ``1.57 mm``."""
    nominal = show(size.nominal)
    if not size.is_toleranced:
        return nominal
    unit = size.nominal.unit
    plus, minus = size.plus.to(unit), size.minus.to(unit)
    if plus == minus:
        return f"{nominal} ± {show(plus)}"
    return f"{nominal} +{show(plus)} −{show(minus)}"


def show_limits(low: Quantity, high: Quantity) -> str:
    """Two limits as they are read: the unit once when both have the same.

    Args:
        low: the smaller.
        high: the larger.

    Returns:
        "0.90 to 1.40 mm".
    """
    first = show(low)
    if low.unit == high.unit:
        first = first.removesuffix(low.unit.symbol).rstrip()
    return f"{first} to {show(high)}"


def parse_toleranced(given: object, field: str = "", system: System = "metric") -> Toleranced:
    """A length with or without its tolerance.

    Args:
        given: the text; the tolerance is in the unit of the size unless it has its own.
        field: the name used in the problem.
        system: the units of whoever reads the problem, for the examples in it.

    Returns:
        The size; without a tolerance both deviations are zero.

    Raises:
        Refused: it is no length, the tolerance is not one, or the tolerance is as large as the size.
    """
    if not isinstance(given, str) or len(given) > _LONGEST:
        return _exactly(parse_quantity(given, Dimension.LENGTH, field, system=system))
    context = _Context(field, system)
    symmetric = _SYMMETRIC.search(given)
    if symmetric is not None:
        nominal = _nominal(given[: symmetric.start()], context)
        plus = minus = _deviation(given[symmetric.end() :], nominal, context)
    else:
        text, *signed = _split_at_signs(given)
        if not signed:
            return _exactly(parse_quantity(given, Dimension.LENGTH, field, system=system))
        nominal = _nominal(text, context)
        plus, minus = _two_deviations(signed, nominal, context)
    if max(plus.base, minus.base) >= nominal.base:
        context.refuse("tolerance-too-large", f"The tolerance of “{given.strip()}” is as large as the size itself.")
    return Toleranced(nominal, plus, minus)


def _exactly(size: Quantity) -> Toleranced:
    nothing = Quantity(Fraction(0), size.unit)
    return Toleranced(size, nothing, nothing)


def _split_at_signs(text: str) -> list[str]:
    """The size, then each deviation with its sign. A sign at the very start belongs to the size."""
    first, rest = text[:1], text[1:]
    pieces = [piece.strip() for piece in _SIGN.split(rest)]
    return [first + pieces[0], *pieces[1:]]


@dataclass(frozen=True, slots=True)
class _Context:
    """For a problem: the name of the field, and the units of whoever reads it."""

    field: str
    system: System

    def refuse(self, code: str, message: str) -> NoReturn:
        raise Refused(Problem(self.field, code, message, f"Write for example {', or '.join(THICKNESSES[self.system])}."))


def _nominal(text: str, context: _Context) -> Quantity:
    try:
        return parse_quantity(text, Dimension.LENGTH, context.field, system=context.system)
    except Refused as refused:
        problem = refused.problems[0]
        if problem.code != "no-unit":
            raise
        remedy = f"Write the unit right behind the size, for example {THICKNESSES[context.system][0]}."
        raise Refused(Problem(context.field, problem.code, problem.message, remedy)) from refused


def _deviation(text: str, nominal: Quantity, context: _Context) -> Quantity:
    if not text.strip():
        context.refuse("no-tolerance", "The tolerance behind the sign is missing.")
    found = parse_quantity(text, Dimension.LENGTH, context.field, bare_unit=nominal.unit.name)
    if found.value < 0:
        context.refuse("negative-tolerance", f"The tolerance “{text.strip()}” is below zero.")
    return found


def _two_deviations(signed: list[str], nominal: Quantity, context: _Context) -> tuple[Quantity, Quantity]:
    by_sign = {"-" if text[0] in "-−" else "+": text[1:].rstrip("/, ") for text in signed}
    if len(signed) != len(by_sign) or set(by_sign) != {"+", "-"}:
        context.refuse("one-sided", "A tolerance needs one + and one -.")
    return _deviation(by_sign["+"], nominal, context), _deviation(by_sign["-"], nominal, context)
