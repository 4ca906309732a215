"""The ring between two diameters: pistons and linings are such rings."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from calc_engine.maths.functions import PI
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.units import Dimension

__all__ = ["annulus_area", "area_line", "crossed_diameters"]


def annulus_area(outer: Fraction, inner: Fraction) -> Fraction:
    """The area between two circles on one centre.

    A = pi/4 (outer^2 - inner^2)

    Args:
        outer: diameter of the larger circle, mm.
        inner: diameter of the smaller one, mm; 0 for a full disc.

    Returns:
        The area, mm^2, as exact as pi is here: 63 digits.

    Source: geometry.
    """
    return PI * (outer**2 - inner**2) / 4


def crossed_diameters(outer: Fraction, inner: Fraction, prefix: str = "") -> Iterable[Problem]:
    """The problem of an inner diameter that is not below the outer one, if it is not.

    Args:
        outer: outer diameter, mm.
        inner: inner diameter, mm.
        prefix: what stands before the names of the fields.
    """
    if inner >= outer:
        yield Problem(
            f"{prefix}.inner" if prefix else "inner",
            "crossed-limits",
            "The inner diameter is not below the outer one.",
            "Check which diameter is which.",
        )


def area_line(outer: Fraction, inner: Fraction, units: AnswerUnits) -> str:
    """The working of `annulus_area`.

    Args:
        outer: outer diameter, mm.
        inner: inner diameter, mm.
        units: for the figures.
    """
    area = units.equals(annulus_area(outer, inner), Dimension.AREA)
    return f"area A = π/4 × (outer² − inner²) = π/4 × ({units.number(outer)}² − {units.number(inner)}²) {area}"
