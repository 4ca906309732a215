"""Amounts that come from readings: exact to work with, and shown no finer than the gauge reads."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Any, Self, override

from calc_engine.quantities.figures import magnitude, rounded_value
from calc_engine.quantities.units import Unit

__all__ = ["Measured", "decimals_of_step", "limit_places", "mean_step", "moved", "places", "uncertain"]

# JCGM 100:2008, 7.2.6: two significant digits at most for an uncertainty.
_DIGITS_OF_UNCERTAINTY = 2
_REMEMBERED = 256  # Gauges with units.


class Measured(Fraction):
    """An exact amount that remembers how finely it is known, for whoever shows it.

    What is worked out from it is a plain fraction again: whoever works it out says anew how finely it is known.

    Attributes:
        step: the finest difference that means something, in the base unit; None where nothing is known of it.
        limits: what it is judged by, in the base unit: the figure shown has the verdict of the exact one. None without a verdict.
        digits: significant digits at most; None where the step decides.
    """

    __slots__ = ("digits", "limits", "step")

    step: Fraction | None
    limits: tuple[Fraction, Fraction] | None
    digits: int | None

    def __new__(
        cls,
        value: Fraction,
        step: Fraction | None = None,
        limits: tuple[Fraction, Fraction] | None = None,
        digits: int | None = None,
    ) -> Self:
        """Takes an exact amount and what is known of it; see the attributes."""
        made = super().__new__(cls, value)
        made.step, made.limits, made.digits = step, limits, digits
        return made

    # A fraction copies itself from two numbers, which would be taken for value and step here.
    @override
    def __reduce__(self) -> tuple[Any, ...]:
        return Measured, (Fraction(self.numerator, self.denominator), self.step, self.limits, self.digits)

    @override
    def __copy__(self) -> Measured:
        return self

    @override
    def __deepcopy__(self, memo: dict[int, Any]) -> Measured:
        return self


def moved(value: Fraction, by: Fraction) -> Fraction:
    """An amount and what is added to it, known as finely as the amount.

    Args:
        value: measured or not.
        by: in the same unit.
    """
    return Measured(value + by, value.step, value.limits, value.digits) if isinstance(value, Measured) else value + by


def mean_step(step: Fraction | None, readings: int) -> Fraction | None:
    """The step of the mean of so many readings: of several, a tenth of the gauge's (common practice, no source).

    Args:
        step: the gauge's; None where it is not known.
        readings: how many there are.
    """
    return step / 10 if step is not None and readings > 1 else step


def uncertain(expanded: Fraction) -> Measured:
    """An uncertainty, shown with two significant digits at most.

    Args:
        expanded: plus or minus, in the base unit.

    Source: JCGM 100:2008, 7.2.6.
    """
    return Measured(expanded, digits=_DIGITS_OF_UNCERTAINTY)


def decimals_of_step(step: Fraction) -> int:
    """How many decimals a scale with this step supports.

    Args:
        step: above zero, in the unit that is shown.

    Example:
        >>> [decimals_of_step(Fraction(step)) for step in ("0.01", "0.05", "0.025", "0.0005", "0.0254", "1")]
        [2, 2, 3, 4, 2, 0]
    """
    decimals = max(0, -magnitude(step))
    finer = step * 10 ** (decimals + 1)
    # A step of two figures, such as 0.025, takes both of them; a converted one has many, and only its size counts.
    return decimals + 1 if step < 1 and finer.denominator == 1 and finer % 10 else decimals


def places(base: Fraction, unit: Unit) -> tuple[int, bool]:
    """How many decimals an amount may be shown with in a unit.

    Args:
        base: the amount, measured or not, in the base unit.
        unit: what it is shown in.

    Returns:
        The decimals; and whether they hold strictly, also where fewer than two significant digits are left.
    """
    if not isinstance(base, Measured):
        return unit.most, False
    most, strict = _by_gauge(base, unit)
    while not _keeps_verdict(base, unit, most, strict=strict):
        most += 1
    return most, strict


def _by_gauge(base: Measured, unit: Unit) -> tuple[int, bool]:
    if base.digits is not None:
        return max(0, base.digits - 1 - magnitude(unit.from_base(base))), True
    if base.step is None:
        return unit.most, False
    return min(unit.most, _decimals_of_step_in(base.step, unit.factor)), True


# One gauge, and hundreds of figures that it has read.
@lru_cache(_REMEMBERED)
def _decimals_of_step_in(step: Fraction, factor: Fraction) -> int:
    return decimals_of_step(step / factor)


def _keeps_verdict(base: Measured, unit: Unit, most: int, *, strict: bool) -> bool:
    if base.limits is None:
        return True
    shown = rounded_value(unit.from_base(base), most, strict=strict)
    ends = [(limit, rounded_value(unit.from_base(limit), max(unit.most, most))) for limit in base.limits]
    low, high = ends
    return ((base < low[0]) == (shown < low[1])) and ((base > high[0]) == (shown > high[1]))


def limit_places(beside: Fraction, unit: Unit) -> int:
    """How many decimals a limit is shown with beside an amount that is judged by it, so that the two can be told apart.

    Args:
        beside: the amount, in the base unit.
        unit: what both are shown in.
    """
    return max(unit.most, places(beside, unit)[0]) if isinstance(beside, Measured) and beside.limits else unit.most
