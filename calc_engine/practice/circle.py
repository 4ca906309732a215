"""Points on a circle, in whole hundredths: no C library is asked, whose last bits could differ."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Final

__all__ = ["hundredths", "on_circle"]

_SCALE: Final = 10**18
_TURN: Final = 6_283_185_307_179_586_477  # 2 pi, from memory, to 18 decimals
_TERMS: Final = 32


@cache
def on_circle(turn: Fraction) -> tuple[int, int]:
    """Sine and cosine of a part of a turn.

    Args:
        turn: part of a whole turn, 0 <= turn <= 1.

    Returns:
        Both, times 10^18, right to within 10^-12.

    Source: the Taylor series of sine and cosine about zero, which end below 10^-18 within 32 terms for up to a turn.
    """
    angle = turn.numerator * _TURN // turn.denominator
    sums = [0, 0, 0, 0]
    term = _SCALE
    for power in range(1, 2 * _TERMS):
        sums[(power - 1) % 4] += term
        term = term * angle // (_SCALE * power)
    return sums[1] - sums[3], sums[0] - sums[2]


def hundredths(centre: int, radius: int, part: int) -> str:
    """A coordinate as text: centre + radius times part, rounded to hundredths.

    Args:
        centre: where the circle's centre is, in drawing units.
        radius: in hundredths of a drawing unit.
        part: sine or cosine, times 10^18.
    """
    scaled = 100 * centre + (2 * radius * part + _SCALE) // (2 * _SCALE)
    sign, whole = ("-" if scaled < 0 else ""), abs(scaled)
    decimals = f"{whole % 100:02}".rstrip("0")
    return f"{sign}{whole // 100}{f'.{decimals}' if decimals else ''}"
