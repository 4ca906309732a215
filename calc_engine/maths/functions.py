"""Roots, angles, logarithms and exponentials that give the same digits on every machine.

The C library's ``cos``, ``exp``, ``log`` and ``pow`` may differ in their last bits between one system and
another, so none of them is used. Two families stand here instead:

- exact in, 70 significant digits out: a `Fraction` goes in, the work is done to 90 digits with `decimal`, whose
  square root, logarithm and exponential are correctly rounded, and a `Fraction` comes out;
- binary floating point with nothing but + - * /, which IEEE 754 rounds in one way only, for the many thousand
  values that a distribution needs (`float_exponential`, `float_sine_cosine`, `float_power`).
"""

from __future__ import annotations

import math
from contextlib import AbstractContextManager
from decimal import (
    ROUND_HALF_EVEN,
    Context,
    Decimal,
    DivisionByZero,
    InvalidOperation,
    Overflow,
    localcontext,
)
from fractions import Fraction
from typing import Final

__all__ = [
    "PI",
    "cosine",
    "exponential",
    "float_exponential",
    "float_power",
    "float_sine_cosine",
    "natural_log",
    "rounded",
    "sine",
    "square_root",
    "tangent",
    "to_decimal",
    "working_precision",
]

PI: Final = Fraction(
    "3.1415926535897932384626433832795028841971693993751058209749445923078164062862089986280348253421170679821480865132823066"
)
"""The ratio of a circle's circumference to its diameter, to 119 significant digits (OEIS A000796)."""

# More than a sum of readings can have, so that `figures.exact_text` tells a root from a sum: the sum it writes whole.
_RESULT_DIGITS: Final = 70
_WORKING_DIGITS: Final = 90
_GUARD: Final = Decimal(1).scaleb(-_WORKING_DIGITS - 2)
# The exponent range is written out because the default differs between 32-bit and 64-bit builds.
_EXPONENT_RANGE: Final = 99_999_999
_LARGEST_EXPONENT: Final = 100_000
_NEAR_ONE: Final = Fraction(1, 1000)


def working_precision(digits: int = _WORKING_DIGITS) -> AbstractContextManager[Context]:
    """A local decimal context that is the same everywhere, whatever the caller's own context is.

    Args:
        digits: significant digits, at least 1.

    Returns:
        A context manager; leaving it brings the caller's context back.
    """
    return localcontext(
        Context(
            prec=digits,
            rounding=ROUND_HALF_EVEN,
            Emin=-_EXPONENT_RANGE,
            Emax=_EXPONENT_RANGE,
            capitals=1,
            clamp=0,
            flags=[],
            traps=[InvalidOperation, DivisionByZero, Overflow],
        )
    )


def to_decimal(value: Fraction) -> Decimal:
    """A fraction as a decimal, rounded once to the precision of the context in force.

    Args:
        value: any fraction.

    Returns:
        numerator / denominator.
    """
    return Decimal(value.numerator) / Decimal(value.denominator)


def rounded(value: Decimal, digits: int = _RESULT_DIGITS) -> Fraction:
    """A decimal rounded half to even, as a fraction.

    Args:
        value: a finite decimal.
        digits: significant digits that are kept.

    Returns:
        The rounded value, exact.
    """
    with working_precision(digits):
        return Fraction(+value)


def square_root(value: Fraction) -> Fraction:
    """The square root, exact where it is rational.

    Args:
        value: zero or more, any unit squared.

    Returns:
        The root: exact when numerator and denominator are squares of whole numbers, otherwise to 70
        significant digits.

    Raises:
        ValueError: the value is negative.

    Source: the square root of the decimal standard (IEEE 754-2008, clause 5.4), which is correctly rounded.
    """
    if value < 0:
        raise ValueError(f"no square root of the negative value {value}")
    over, under = math.isqrt(value.numerator), math.isqrt(value.denominator)
    if over * over == value.numerator and under * under == value.denominator:
        return Fraction(over, under)
    with working_precision():
        return rounded(to_decimal(value).sqrt())


def cosine(degrees: Fraction) -> Fraction:
    """The cosine of an angle, exact where it is rational.

    The angle is first reduced exactly to between 0 and 90 degrees. A cosine of a whole fraction of a turn is
    rational only for multiples of 60 and of 90 degrees (Niven's theorem); those are given exactly.

    Args:
        degrees: the angle in degrees, of any size and sign.

    Returns:
        The cosine, from -1 to 1, to 70 significant digits.

    Source: the Maclaurin series of sine and cosine, NIST Digital Library of Mathematical Functions 4.19.1-2.
    """
    angle = abs(degrees) % 360
    if angle > 180:  # noqa: PLR2004 - half a turn
        angle = 360 - angle
    if angle > 90:  # noqa: PLR2004 - a quarter of a turn
        return -_cosine_up_to_quarter_turn(180 - angle)
    return _cosine_up_to_quarter_turn(angle)


def _cosine_up_to_quarter_turn(degrees: Fraction) -> Fraction:
    exact = {Fraction(0): Fraction(1), Fraction(60): Fraction(1, 2), Fraction(90): Fraction(0)}
    if degrees in exact:
        return exact[degrees]
    with working_precision():
        # The complement is taken before rounding, so a cosine near zero keeps all its digits.
        if degrees > 45:  # noqa: PLR2004 - half of a quarter turn
            radians = to_decimal((90 - degrees) * PI / 180)
            return rounded(_alternating_series(radians, radians, first_index=1))
        return rounded(_alternating_series(Decimal(1), to_decimal(degrees * PI / 180), first_index=0))


def _alternating_series(term: Decimal, radians: Decimal, first_index: int) -> Decimal:
    """x^n/n! - x^(n+2)/(n+2)! + ..., whose first term is given: sine for n = 1, cosine for n = 0."""
    square = radians * radians
    total, index = term, first_index
    while abs(term) > _GUARD * abs(total):
        term = -term * square / ((index + 1) * (index + 2))
        total += term
        index += 2
    return total


def sine(degrees: Fraction) -> Fraction:
    """The sine of an angle, exact where it is rational.

    Args:
        degrees: the angle in degrees, of any size and sign.

    Returns:
        The sine, from -1 to 1, to 70 significant digits.

    Source: as `cosine`, of 90 degrees less the angle.
    """
    return cosine(90 - degrees)


def tangent(degrees: Fraction) -> Fraction:
    """The tangent of an angle, exact at multiples of 45 degrees.

    Args:
        degrees: the angle in degrees.

    Returns:
        Sine over cosine, to at least 69 significant digits.

    Raises:
        ValueError: the angle is 90 degrees, or differs from it by half turns.

    Source: NIST Digital Library of Mathematical Functions 4.14.4.
    """
    within = degrees % 180
    if within == 90:  # noqa: PLR2004 - a quarter of a turn
        raise ValueError(f"an angle of {degrees} degrees has no tangent")
    exact = {Fraction(45): Fraction(1), Fraction(135): Fraction(-1)}
    if within in exact:
        return exact[within]
    with working_precision():
        return rounded(to_decimal(sine(within) / cosine(within)))


def natural_log(value: Fraction) -> Fraction:
    """The logarithm to the base e.

    Args:
        value: greater than zero, without a unit.

    Returns:
        The logarithm to 70 significant digits, also close to 1, where it is close to 0; exactly 0 for 1.

    Raises:
        ValueError: the value is zero or negative.

    Source: the logarithm of the decimal standard; close to 1 the series of the inverse hyperbolic tangent,
    ln x = 2 (z + z^3/3 + z^5/5 + ...) with z = (x - 1)/(x + 1), NIST Digital Library of Mathematical Functions
    4.6.4.
    """
    if value <= 0:
        raise ValueError(f"no logarithm of {value}, which is not greater than zero")
    ratio = (value - 1) / (value + 1)
    with working_precision():
        if abs(ratio) > _NEAR_ONE:
            return rounded(to_decimal(value).ln())
        power = total = to_decimal(ratio)
        square, odd = power * power, 1
        while abs(power) > _GUARD * abs(total):
            power *= square
            odd += 2
            total += power / odd
        return rounded(2 * total)


def exponential(value: Fraction) -> Fraction:
    """The number e to the power of the value.

    Args:
        value: from -100 000 to 100 000, without a unit.

    Returns:
        The power to 70 significant digits; exactly 1 for 0.

    Raises:
        ValueError: the value is out of that range.

    Source: the exponential of the decimal standard, which is correctly rounded.
    """
    if abs(value) > _LARGEST_EXPONENT:
        raise ValueError(f"the exponent {value} is not between -{_LARGEST_EXPONENT} and {_LARGEST_EXPONENT}")
    with working_precision():
        return rounded(to_decimal(value).exp())


_EXPONENTIAL_TERMS: Final = tuple(1.0 / math.factorial(n) for n in range(14, -1, -1))
_SINE_TERMS: Final = tuple((-1) ** (n // 2) / math.factorial(n) for n in range(17, 0, -2))
_COSINE_TERMS: Final = tuple((-1) ** (n // 2) / math.factorial(n) for n in range(18, -1, -2))
# ln 2 in two parts. The first ends in zeros, so that a small whole multiple of it is exact.
_LN2_HIGH: Final = float.fromhex("0x1.62e42feep-1")
_LN2_LOW: Final = float(Fraction("0.693147180559945309417232121458176568075500134360") - Fraction(_LN2_HIGH))
_LN2: Final = _LN2_HIGH + _LN2_LOW
_FLOAT_PI: Final = float(PI)
_SMALLEST_FLOAT_EXPONENT: Final = -708.0
_LARGEST_FLOAT_EXPONENT: Final = 709.0


def float_exponential(value: float) -> float:
    """The number e to the power of a float, the same bits on every machine, within 3e-16 of itself.

    Args:
        value: at most 709.

    Returns:
        The power; 0.0 below -708, where the format itself loses digits.

    Raises:
        ValueError: the value is above 709 or not a number.

    Source: reduction by whole multiples k of ln 2, the Maclaurin series to the 14th power for the rest (at most
    0.35, so the first term left out is below 1e-18), and 2^k put back in the exponent. Only + - * / are used,
    each of which IEEE 754 rounds in one way.
    """
    if not value <= _LARGEST_FLOAT_EXPONENT:
        raise ValueError(f"the exponent {value} is above {_LARGEST_FLOAT_EXPONENT}")
    if value < _SMALLEST_FLOAT_EXPONENT:
        return 0.0
    doublings = round(value / _LN2)
    rest = (value - doublings * _LN2_HIGH) - doublings * _LN2_LOW
    return math.ldexp(_polynomial(_EXPONENTIAL_TERMS, rest), doublings)


def float_sine_cosine(half_turns: float) -> tuple[float, float]:
    """Sine and cosine of pi times a float, the same bits on every machine, within 3e-16.

    Args:
        half_turns: the angle as a multiple of pi radians, finite.

    Returns:
        The sine and the cosine.

    Source: exact reduction to an eighth of a turn, then the Maclaurin series to the 18th power (the first term
    left out is below 1e-19). Only + - * / are used, each of which IEEE 754 rounds in one way.
    """
    quarters = round(2.0 * half_turns)
    angle = (half_turns - 0.5 * quarters) * _FLOAT_PI
    square = angle * angle
    sine_part = angle * _polynomial(_SINE_TERMS, square)
    cosine_part = _polynomial(_COSINE_TERMS, square)
    turned = (
        (sine_part, cosine_part),
        (cosine_part, -sine_part),
        (-sine_part, -cosine_part),
        (-cosine_part, sine_part),
    )
    return turned[quarters % 4]


def _polynomial(coefficients: tuple[float, ...], x: float) -> float:
    """Horner's rule, highest power first."""
    total = 0.0
    for coefficient in coefficients:
        total = total * x + coefficient
    return total


def float_power(base: float, exponent: int) -> float:
    """A whole power by repeated squaring, because ``**`` on floats calls the C library.

    Args:
        base: any float.
        exponent: a whole number, zero or more.

    Returns:
        base multiplied by itself; 1.0 for the exponent 0.
    """
    result = 1.0
    while exponent:
        if exponent & 1:
            result *= base
        base *= base
        exponent >>= 1
    return result
