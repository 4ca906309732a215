"""Points on a circle, in whole hundredths: no C library is asked, whose last bits could differ."""

from __future__ import annotations

import math
from fractions import Fraction

from calc_engine import float_sine_cosine

__all__ = ["hundredths", "on_circle"]


def on_circle(turn: Fraction) -> tuple[float, float]:
    """Sine and cosine of a part of a turn, the same bits on every machine.

    Args:
        turn: part of a whole turn.

    Returns:
        Both, to within 1e-15 for up to a turn.

    Source: see `float_sine_cosine`.
    """
    return float_sine_cosine(float(2 * turn))


def hundredths(centre: int, radius: int, part: float = 1.0) -> str:
    """A coordinate as text: centre + radius times part, rounded to hundredths.

    Args:
        centre: where the circle's centre is, in drawing units.
        radius: in hundredths of a drawing unit.
        part: sine or cosine; 1 for a length along an axis.

    Returns:
        The coordinate in drawing units.

    Example:
        >>> hundredths(160, 12_345), hundredths(160, -12_345, 0.5)
        ('283.45', '98.28')
    """
    scaled = 100 * centre + math.floor(radius * part + 0.5)
    sign, whole = ("-" if scaled < 0 else ""), abs(scaled)
    decimals = f"{whole % 100:02}".rstrip("0")
    return f"{sign}{whole // 100}{f'.{decimals}' if decimals else ''}"
