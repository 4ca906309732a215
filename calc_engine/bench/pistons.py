"""An apply piston and what pushes it back: what piston-force and air-check have in common."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.annulus import annulus_area, area_line, crossed_diameters
from calc_engine.declare.fields import amount, count, length
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.unit_products import product_note
from calc_engine.quantities.units import BY_NAME, Dimension

__all__ = ["AIR_CAUTION", "AIR_LIMIT", "EYES_CAUTION", "Piston", "PistonSpring", "pressed_lines", "signed", "to_move_lines"]

_D: Final = Dimension
_PA_PER_N_MM2: Final = 1_000_000
_RATE_FIELDS: Final = ("rate", "free_length", "installed_length", "count")

AIR_LIMIT: Final = 30 * BY_NAME["psi"].factor
"""30 psi in Pa."""

AIR_CAUTION: Final = (
    "More than 30 psi of air: keep an air check at 30 psi or less "
    "(common practice, no source; OSHA 29 CFR 1910.242(b) sets the same figure for cleaning)."
)
EYES_CAUTION: Final = (
    "Wear eye protection and keep hands and face clear: on air the piston moves at once, and fluid is blown out."
)


@dataclass(frozen=True, slots=True)
class PistonSpring:
    """What pushes the piston back: one force, or a number of springs of one rate."""

    force: Fraction | None = amount(
        _D.FORCE, "Force of the springs", "All together, at the installed length. Leave empty when you give the rate.",
        least="0 N", most="100 kN", optional=True,
    )  # fmt: skip
    rate: Fraction | None = amount(
        _D.RATE, "Rate of one spring", "How much its force grows for each length that it is pressed.",
        above="0 N/mm", most="10000 N/mm", optional=True,
    )  # fmt: skip
    free_length: Fraction | None = length("Free length", "Of one spring lying free.", above="0 mm", most="500 mm", optional=True)
    installed_length: Fraction | None = length(
        "Installed length", "Between its seats with the piston at rest.", above="0 mm", most="500 mm", optional=True
    )
    count: int | None = count("How many springs", "In the cage or in the pockets.", most=200, optional=True)

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when neither form is whole, or both are begun."""
        given = [name for name in _RATE_FIELDS if getattr(self, name) is not None]
        if self.force is not None:
            for name in given:
                yield Problem(
                    f"{field}.{name}",
                    "both-given",
                    "The springs' force is given already.",
                    "Leave this out, or leave the force out.",
                )
        elif not given:
            remedy = "Write their force, or rate, free length, installed length and count of the springs."
            yield Problem(field, "missing", "Nothing is said of the springs.", remedy)
        else:
            for name in _RATE_FIELDS:
                if name not in given:
                    remedy = "Give rate, free length, installed length and count, or the force alone."
                    yield Problem(f"{field}.{name}", "missing", f"The springs' {name.replace('_', ' ')} is missing.", remedy)
        if self.free_length is not None and self.installed_length is not None and self.free_length < self.installed_length:
            yield Problem(
                f"{field}.installed_length",
                "crossed-limits",
                "The springs are longer installed than free.",
                "Check which length is which.",
            )

    @property
    def total(self) -> Fraction:
        """The force of all springs at the installed length, N: exact."""
        if self.rate is None or self.free_length is None or self.installed_length is None or self.count is None:
            return self.force or Fraction(0)
        return self.count * self.rate * (self.free_length - self.installed_length)

    def lines(self, units: AnswerUnits) -> Iterable[str]:
        """The working of `total`."""
        said = units.equals(self.total, _D.FORCE)
        if self.rate is None or self.free_length is None or self.installed_length is None:
            yield f"force of the springs {said}"
            return
        lengths = f"({units.number(self.free_length)} − {units.number(self.installed_length)}) {units.symbol(_D.LENGTH)}"
        yield (
            f"force of the springs = count × rate × (free − installed) = {self.count} × {units.show(self.rate, _D.RATE)} × "
            f"{lengths} {said}{product_note(_D.RATE, _D.LENGTH, units)}"
        )


@dataclass(frozen=True, slots=True)
class Piston:
    """The ring that pressure acts on. Lengths in mm."""

    outer: Fraction = length("Outer diameter", "Where the outer seal runs: the bore.", above="0 mm", most="1 m")
    inner: Fraction = length("Inner diameter", "Where the inner seal runs. 0 for a full piston.", least="0 mm", most="1 m")

    def problems(self, _field: str) -> Iterable[Problem]:
        """Says when the diameters are crossed."""
        return crossed_diameters(self.outer, self.inner)

    @property
    def area(self) -> Fraction:
        """Of the ring, mm^2."""
        return annulus_area(self.outer, self.inner)

    def pressed(self, pressure: Fraction) -> Fraction:
        """The force of a pressure in Pa, N."""
        return pressure * self.area / _PA_PER_N_MM2

    def holding(self, force: Fraction) -> Fraction:
        """The pressure that balances a force in N, Pa."""
        return force * _PA_PER_N_MM2 / self.area


def pressed_lines(piston: Piston, pressure: Fraction, units: AnswerUnits) -> Iterable[str]:
    """The working of area and force of the pressure.

    Args:
        piston: its diameters, mm.
        pressure: of the air or oil, Pa.
        units: for the figures.
    """
    yield area_line(piston.outer, piston.inner, units)
    force = units.equals(piston.pressed(pressure), _D.FORCE)
    yield (
        f"force of the pressure = p × A = {units.show(pressure, _D.PRESSURE)} × {units.show(piston.area, _D.AREA)} {force}"
        f"{product_note(_D.PRESSURE, _D.AREA, units)}"
    )


def signed(value: Fraction, units: AnswerUnits) -> str:
    """A force as a further term of a sum, its sign before it.

    Args:
        value: a force, N.
        units: for the figure.
    """
    return f" {'−' if value < 0 else '+'} {units.number(abs(value), _D.FORCE)}"


def to_move_lines(
    spring: Fraction | None, spinning: Fraction | None, area: Fraction, to_move: Fraction, units: AnswerUnits
) -> Iterable[str]:
    """The working of the pressure that it takes to move.

    Args:
        spring: force of the springs, N.
        spinning: force of the oil that turns with the drum, N.
        area: of the piston, mm2.
        to_move: the pressure that it takes, Pa.
        units: for the figures.
    """
    if spring is None:
        return
    top = f"{units.number(spring, _D.FORCE)}"
    if spinning is not None:
        top = f"({top}{signed(-spinning, units)})"
        if spinning >= spring:
            yield "the spinning fluid alone overcomes the springs: no pressure is needed"
            return
    yield f"pressure to move = {top} {units.symbol(_D.FORCE)} / {units.show(area, _D.AREA)} {units.equals(to_move, _D.PRESSURE)}"
