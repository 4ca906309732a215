"""Figures of gears for a reader."""

from __future__ import annotations

from fractions import Fraction

from calc_engine import rounded_text

__all__ = ["figure"]


def figure(value: Fraction, decimals: int = 3) -> str:
    """A ratio, a factor or a speed with so many decimals, and a minus sign that is as wide as a plus."""
    text = rounded_text(value, decimals, decimals)
    return text.replace("-", "−")
