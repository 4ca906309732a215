"""Sizes with their tolerance, as a drawing or a maker's table writes them: ``1.57 mm ± 0.02``, ``1.57 mm +0.02 -0.01``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, NoReturn

from calc_engine import Dimension, Problem, Quantity, Refused, parse_quantity, show

__all__ = ["Toleranced", "parse_toleranced", "show_limits", "show_toleranced"]

_LONGEST: Final = 120
_EXAMPLE: Final = "Write for example 1.57 mm ± 0.02, or 1.57 mm +0.02 -0.01."

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


def parse_toleranced(given: object, field: str = "") -> Toleranced:
    """A length with or without its tolerance.

    Args:
        given: the text; the tolerance is in the unit of the size unless it has its own.
        field: the name used in the problem.

    Returns:
        The size; without a tolerance both deviations are zero.

    Raises:
        Refused: it is no length, the tolerance is not one, or the tolerance is as large as the size.
    """
    if not isinstance(given, str) or len(given) > _LONGEST:
        return _exactly(parse_quantity(given, Dimension.LENGTH, field))
    symmetric = _SYMMETRIC.search(given)
    if symmetric is not None:
        nominal = _nominal(given[: symmetric.start()], field)
        plus = minus = _deviation(given[symmetric.end() :], nominal, field)
    else:
        text, *signed = _split_at_signs(given)
        if not signed:
            return _exactly(parse_quantity(given, Dimension.LENGTH, field))
        nominal = _nominal(text, field)
        plus, minus = _two_deviations(signed, nominal, field)
    if max(plus.base, minus.base) >= nominal.base:
        _refuse(field, "tolerance-too-large", f"The tolerance of “{given.strip()}” is as large as the size itself.", _EXAMPLE)
    return Toleranced(nominal, plus, minus)


def _exactly(size: Quantity) -> Toleranced:
    nothing = Quantity(Fraction(0), size.unit)
    return Toleranced(size, nothing, nothing)


def _split_at_signs(text: str) -> list[str]:
    """The size, then each deviation with its sign. A sign at the very start belongs to the size."""
    first, rest = text[:1], text[1:]
    pieces = [piece.strip() for piece in _SIGN.split(rest)]
    return [first + pieces[0], *pieces[1:]]


def _nominal(text: str, field: str) -> Quantity:
    try:
        return parse_quantity(text, Dimension.LENGTH, field)
    except Refused as refused:
        problem = refused.problems[0]
        if problem.code != "no-unit":
            raise
        remedy = "Write the unit right behind the size, for example 1.57 mm ± 0.02."
        raise Refused(Problem(field, problem.code, problem.message, remedy)) from refused


def _deviation(text: str, nominal: Quantity, field: str) -> Quantity:
    if not text.strip():
        _refuse(field, "no-tolerance", "The tolerance behind the sign is missing.", _EXAMPLE)
    found = parse_quantity(text, Dimension.LENGTH, field, bare_unit=nominal.unit.name)
    if found.value < 0:
        _refuse(field, "negative-tolerance", f"The tolerance “{text.strip()}” is below zero.", _EXAMPLE)
    return found


def _two_deviations(signed: list[str], nominal: Quantity, field: str) -> tuple[Quantity, Quantity]:
    by_sign = {"-" if text[0] in "-−" else "+": text[1:].rstrip("/, ") for text in signed}
    if len(signed) != len(by_sign) or set(by_sign) != {"+", "-"}:
        _refuse(field, "one-sided", "A tolerance needs one + and one -.", _EXAMPLE)
    return _deviation(by_sign["+"], nominal, field), _deviation(by_sign["-"], nominal, field)


def _refuse(field: str, code: str, message: str, remedy: str) -> NoReturn:
    raise Refused(Problem(field, code, message, remedy))
