"""Systems of linear equations, solved exactly. They need not have one solution: what is the same in all of them is found."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
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
    """An equation that is being worked on."""

    coefficients: dict[Name, Fraction]
    constant: Fraction

    def less(self, factor: Fraction, other: _Row[Name]) -> None:
        """Takes another row so many times from this one; what cancels is gone."""
        for name, coefficient in other.coefficients.items():
            left = self.coefficients.get(name, _NONE) - factor * coefficient
            if left:
                self.coefficients[name] = left
            else:
                self.coefficients.pop(name, None)
        self.constant -= factor * other.constant


def solve[Name: Hashable](equations: Iterable[Equation[Name]]) -> dict[Name, Fraction] | None:
    """The unknowns that have the same value in every solution, by Gauss-Jordan elimination over fractions.

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
        row = _Row({name: value for name, value in equation.coefficients.items() if value}, equation.constant)
        for name in [name for name in row.coefficients if name in reduced]:
            row.less(row.coefficients[name], reduced[name])
        if row.coefficients:
            _add(row, reduced)
        elif row.constant:
            return None
    return {name: row.constant for name, row in reduced.items() if len(row.coefficients) == 1}


def _add[Name: Hashable](row: _Row[Name], reduced: dict[Name, _Row[Name]]) -> None:
    """Takes a row, in which no unknown has a row of its own, into the reduced ones."""
    pivot, leading = next(iter(row.coefficients.items()))
    scaled = _Row({name: value / leading for name, value in row.coefficients.items()}, row.constant / leading)
    for other in reduced.values():
        if pivot in other.coefficients:
            other.less(other.coefficients[pivot], scaled)
    reduced[pivot] = scaled
