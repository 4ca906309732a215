"""Numbers as text: exact for whoever works on with them, rounded for whoever reads them."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Final

__all__ = ["decimals_shown", "exact_text", "loses_nothing", "magnitude", "rounded_text", "rounded_value"]

# A repeating decimal is written to this many significant digits; the contract asks for at least 12.
_SIGNIFICANT_DIGITS: Final = 15
# A finite decimal up to this many digits is written out whole, so that sums and differences stay exact. Roots and
# cosines carry more digits than this (see `functions`), so they are told apart and written to 15.
_LONGEST_EXACT: Final = 64
# One answer writes many figures several times, in its working, its tables and its reply; so does the next answer on the same form.
_REMEMBERED: Final = 2048


@lru_cache(_REMEMBERED)
def exact_text(value: Fraction) -> str:
    """A number as decimal text: exact where a finite decimal says it, else to 15 significant digits.

    Half goes to the even digit. There is never an exponent, a trailing zero or a negative zero.

    Args:
        value: any number.

    Returns:
        Its digits, with a point where there are decimals.

    Example:
        >>> exact_text(Fraction(17, 20)), exact_text(Fraction(1, 3))
        ('0.85', '0.333333333333333')
    """
    places = _decimals_of(value.denominator)
    if places is not None:
        scaled = str(abs(value.numerator) * 10**places // value.denominator)
        if len(scaled) <= _LONGEST_EXACT:
            return ("-" if value.numerator < 0 else "") + _with_point(scaled, places)
    return _stripped(_fixed(value, _SIGNIFICANT_DIGITS - 1 - magnitude(value)))


def _decimals_of(denominator: int) -> int | None:
    """How many decimals a fraction in lowest terms has; None where they do not end."""
    twos = (denominator & -denominator).bit_length() - 1
    rest, fives = denominator >> twos, 0
    while rest % 5 == 0:
        rest //= 5
        fives += 1
    return max(twos, fives) if rest == 1 else None


def magnitude(value: Fraction) -> int:
    """The power of ten of the first significant digit; 0 for zero."""
    if value == 0:
        return 0
    top, bottom = abs(value.numerator), value.denominator
    guess = len(str(top)) - len(str(bottom))
    reached = top >= bottom * 10**guess if guess >= 0 else top * 10**-guess >= bottom
    return guess if reached else guess - 1


def _fixed(value: Fraction, places: int) -> str:
    if places <= 0:
        return str(round(value / 10**-places) * 10**-places)
    scaled = round(value * 10**places)
    return ("-" if scaled < 0 else "") + _with_point(str(abs(scaled)), places)


def _with_point(scaled: str, places: int) -> str:
    """Scaled / 10^places, for the digits of a whole number of zero or more."""
    if places == 0:
        return scaled
    digits = scaled.rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}"


def _stripped(text: str, fewest: int = 0) -> str:
    if "." not in text:
        return text
    whole, decimals = text.split(".")
    decimals = decimals.rstrip("0").ljust(fewest, "0")
    return f"{whole}.{decimals}" if decimals else whole


@lru_cache(_REMEMBERED)
def rounded_text(value: Fraction, fewest: int, most: int, *, strict: bool = False) -> str:
    """A number rounded for a reader: at most `most` decimals, at least `fewest`; two significant digits always survive.

    This is the only place where a number is rounded to be read. Half goes away from zero, as taught at school
    and as a bench sheet is read.

    Args:
        value: the number.
        fewest: decimals that are always shown.
        most: decimals that are shown at most, unless fewer than two significant digits would be left.
        strict: whether no more are shown, and no more at least, even then: finer figures would mean nothing.

    Returns:
        Its digits, with a point where there are decimals.

    Example:
        >>> rounded_text(Fraction("0.125"), 2, 2), rounded_text(Fraction(2), 2, 3), rounded_text(Fraction("0.00012"), 2, 3)
        ('0.13', '2.00', '0.00012')
        >>> rounded_text(Fraction("0.0464"), 2, 2), rounded_text(Fraction("0.0464"), 2, 2, strict=True)
        ('0.046', '0.05')
    """
    nearest, places = _nearest(value, most, strict=strict)
    fewest = min(fewest, most) if strict else fewest
    sign = "-" if value.numerator < 0 and nearest else ""
    return sign + _stripped(_with_point(str(nearest), places), fewest)


def rounded_value(value: Fraction, most: int, *, strict: bool = False) -> Fraction:
    """The number that `rounded_text` writes, to be compared with another that is shown beside it."""
    nearest, places = _nearest(value, most, strict=strict)
    return Fraction(-nearest if value < 0 else nearest, 10**places)


def loses_nothing(value: Fraction, most: int, *, strict: bool = False) -> bool:
    """Whether `rounded_text` with so many decimals says the number exactly."""
    nearest, places = _nearest(value, most, strict=strict)
    return bool(abs(value.numerator) * 10**places == nearest * value.denominator)


def _nearest(value: Fraction, most: int, *, strict: bool) -> tuple[int, int]:
    """The size of a number in steps of its last place that is shown, and how many places those are.

    In whole numbers, because every figure of every working line comes through here.
    """
    top, bottom = abs(value.numerator), value.denominator
    places = most
    if top and not strict and top * 10**most < 10 * bottom:  # fewer than two significant digits would be left
        places = 1 - magnitude(value)
    return (2 * top * 10**places + bottom) // (2 * bottom), places


def decimals_shown(value: Fraction, most: int) -> int:
    """How many decimals `rounded_text` gives a number that may have so many; what it adds to a tiny one is not counted."""
    return min(len(rounded_text(value, 0, most).partition(".")[2]), most)
