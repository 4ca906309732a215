"""Systems of linear equations, solved exactly. They need not have one solution: what is the same in all of them is found."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm
from typing import Final

__all__ = ["Equation", "solve"]

_NONE: Final = Fraction(0)


@dataclass(frozen=True, slots=True)
class Equation[Name: Hashable]:
    """A sum of unknowns, each with its coefficient, that equals a constant.

    Attributes:
        coefficients: of each unknown; those with zero may be left out.
        constant: what the sum comes to.
    """

    coefficients: Mapping[Name, Fraction]
    constant: Fraction = _NONE


@dataclass(slots=True)
class _Row[Name: Hashable]:
    """An equation that is being worked on, times whatever makes it one of whole numbers: these are much quicker than fractions."""

    coefficients: dict[Name, int]
    constant: int

    def without(self, name: Name, other: _Row[Name]) -> None:
        """Adds as much of another row as rids this one of an unknown."""
        mine, others = self.coefficients[name], other.coefficients[name]
        summed = {each: others * value for each, value in self.coefficients.items()}
        for each, value in other.coefficients.items():
            summed[each] = summed.get(each, 0) - mine * value
        constant = others * self.constant - mine * other.constant
        common = gcd(constant, *summed.values()) or 1
        self.coefficients = {each: value // common for each, value in summed.items() if value}
        self.constant = constant // common


def solve[Name: Hashable](equations: Iterable[Equation[Name]]) -> dict[Name, Fraction] | None:
    """The unknowns that have the same value in every solution, by Gauss-Jordan elimination, exactly.

    Args:
        equations: in any number; which unknowns they have is taken from them.

    Returns:
        The value of each unknown that the equations determine; those that they leave open are absent. None when the equations
        contradict each other.

    Source: Gauss-Jordan elimination; in reduced form an unknown is determined exactly when its row holds no other.

    Example:
        >>> one = Fraction(1)
        >>> solve([Equation({"x": one, "y": one}, Fraction(3)), Equation({"x": one, "y": -one}, one), Equation({"z": one, "u": one})])
        {'x': Fraction(2, 1), 'y': Fraction(1, 1)}
    """
    reduced: dict[Name, _Row[Name]] = {}
    for equation in equations:
        row = _whole(equation)
        for name in [name for name in row.coefficients if name in reduced]:
            row.without(name, reduced[name])
        if row.coefficients:
            _add(row, reduced)
        elif row.constant:
            return None
    return {
        name: Fraction(row.constant, row.coefficients[name]) for name, row in reduced.items() if len(row.coefficients) == 1
    }


def _whole[Name: Hashable](equation: Equation[Name]) -> _Row[Name]:
    values = equation.coefficients.values()
    times = lcm(equation.constant.denominator, *(value.denominator for value in values))
    whole = {name: value.numerator * (times // value.denominator) for name, value in equation.coefficients.items() if value}
    return _Row(whole, equation.constant.numerator * (times // equation.constant.denominator))


def _add[Name: Hashable](row: _Row[Name], reduced: dict[Name, _Row[Name]]) -> None:
    """Takes a row, in which no unknown has a row of its own, into the reduced ones."""
    pivot = next(iter(row.coefficients))
    for other in reduced.values():
        if pivot in other.coefficients:
            other.without(pivot, row)
    reduced[pivot] = row
