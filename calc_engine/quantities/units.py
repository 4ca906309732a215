"""The units the engine knows: names, spellings and exact factors.

Every factor is an exact rational number in the base unit of its dimension, from the exact definitions
inch = 25.4 mm, pound = 0.45359237 kg, standard gravity = 9.80665 m/s2 and US gallon = 231 in3 (NIST SP 811,
appendix B.8; the pound and the inch by the 1959 agreement).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal

__all__ = [
    "BY_NAME",
    "INCH_UNITS",
    "METRIC_UNITS",
    "UNITS",
    "Dimension",
    "System",
    "Unit",
    "find_unit",
    "normalised",
]

System = Literal["metric", "inch"]


class Dimension(StrEnum):
    """What a quantity measures. Two quantities compare only within one dimension."""

    LENGTH = "length"
    AREA = "area"
    PRESSURE = "pressure"
    FORCE = "force"
    TORQUE = "torque"
    RATE = "spring rate"
    ANGLE = "angle"
    SPEED = "speed of rotation"
    DENSITY = "density"
    TEMPERATURE = "temperature"
    TIME = "time"
    VOLUME = "volume"
    FLOW = "flow"
    EXPANSION = "expansion per kelvin"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of one dimension.

    Attributes:
        name: the name in the contract, used in every result (``N.m``).
        dimension: what it measures.
        factor: base units in one of this unit, exact.
        offset: base units at the zero of this unit; only temperature scales have one.
        spellings: other ways people write it; compared after `normalised`.
        system: ``metric`` or ``inch`` where the unit belongs to one of them.
        fewest: decimals always shown.
        most: decimals shown at most.
        symbol: how the unit is written for a reader.
    """

    name: str
    dimension: Dimension
    factor: Fraction
    spellings: tuple[str, ...] = ()
    system: System | None = None
    fewest: int = 0
    most: int = 3
    symbol: str = ""
    offset: Fraction = Fraction(0)

    def __str__(self) -> str:
        return self.name

    # Every figure of every answer comes through these two, and most are in base units already.
    def to_base(self, value: Fraction) -> Fraction:
        """So many of this unit in the base unit of its dimension, exact."""
        return value if self._is_base else value * self.factor + self.offset

    def from_base(self, base: Fraction) -> Fraction:
        """So many base units in this unit, exact."""
        return base if self._is_base else (base - self.offset) / self.factor

    @property
    def _is_base(self) -> bool:
        return self.factor.numerator == self.factor.denominator and not self.offset.numerator


_INCH: Final = Fraction("25.4")  # mm
_POUND_FORCE: Final = Fraction("0.45359237") * Fraction("9.80665")  # N
_PSI: Final = _POUND_FORCE / (_INCH / 1000) ** 2  # Pa
_GALLON: Final = 231 * (_INCH / 10) ** 3  # mL


def _torque_spellings(length: str) -> tuple[str, ...]:
    """Every way a torque in pounds and feet or inches is written: either word first, any mark between."""
    return tuple(
        f"{first}{mark}{second}"
        for force in ("lbf", "lb", "lbs")
        for first, second in ((force, length), (length, force))
        for mark in (".", "-", " ", "·", "⋅", "*")
    )


D = Dimension
UNITS: Final[tuple[Unit, ...]] = (
    Unit("mm", D.LENGTH, Fraction(1), ("millimetre", "millimetres", "millimeter", "millimeters"), "metric", 2, 3, "mm"),
    Unit("um", D.LENGTH, Fraction(1, 1000), ("µm", "micron", "microns", "micrometre", "micrometer"), "metric", 0, 1, "µm"),
    Unit("m", D.LENGTH, Fraction(1000), ("metre", "metres", "meter", "meters"), "metric", 0, 6, "m"),
    Unit("in", D.LENGTH, _INCH, ("inch", "inches", '"', "″"), "inch", 3, 4, "in"),
    Unit("thou", D.LENGTH, _INCH / 1000, ("mil", "mils"), "inch", 0, 1, "thou"),
    Unit("mm2", D.AREA, Fraction(1), ("mm²", "mm^2", "sqmm"), "metric", 0, 1, "mm²"),
    Unit("in2", D.AREA, _INCH**2, ("in²", "in^2", "sqin"), "inch", 2, 3, "in²"),
    Unit("Pa", D.PRESSURE, Fraction(1), ("pascal",), "metric", 0, 0, "Pa"),
    Unit("kPa", D.PRESSURE, Fraction(1000), (), "metric", 0, 1, "kPa"),
    Unit("MPa", D.PRESSURE, Fraction(1_000_000), ("n/mm2", "n/mm²"), "metric", 3, 4, "MPa"),
    Unit("GPa", D.PRESSURE, Fraction(1_000_000_000), (), "metric", 0, 3, "GPa"),
    Unit("bar", D.PRESSURE, Fraction(100_000), (), "metric", 2, 3, "bar"),
    Unit("psi", D.PRESSURE, _PSI, ("lbf/in2", "lbf/in²", "lb/in2", "lb/in²"), "inch", 0, 1, "psi"),
    Unit("N", D.FORCE, Fraction(1), ("newton", "newtons"), "metric", 0, 1, "N"),
    Unit("kN", D.FORCE, Fraction(1000), (), "metric", 2, 3, "kN"),
    Unit("lbf", D.FORCE, _POUND_FORCE, ("lb", "lbs", "pounds-force"), "inch", 0, 1, "lbf"),
    Unit("N.m", D.TORQUE, Fraction(1), ("nm", "n·m", "n-m", "n m", "n*m", "n⋅m"), "metric", 1, 2, "N·m"),
    Unit(
        "lbf.ft", D.TORQUE, _POUND_FORCE * 12 * _INCH / 1000,
        _torque_spellings("ft"),
        "inch", 1, 2, "lbf·ft",
    ),
    Unit(
        "lbf.in", D.TORQUE, _POUND_FORCE * _INCH / 1000,
        _torque_spellings("in"),
        "inch", 0, 1, "lbf·in",
    ),
    Unit("N/mm", D.RATE, Fraction(1), (), "metric", 1, 2, "N/mm"),
    Unit("N/m", D.RATE, Fraction(1, 1000), (), "metric", 0, 1, "N/m"),
    Unit("lbf/in", D.RATE, _POUND_FORCE / _INCH, ("lb/in",), "inch", 1, 2, "lbf/in"),
    Unit("deg", D.ANGLE, Fraction(1), ("°", "degree", "degrees"), None, 0, 3, "°"),
    Unit("arcmin", D.ANGLE, Fraction(1, 60), ("′", "minutes of arc", "minute of arc", "arc minutes", "arc minute"), None, 0, 2, "arcmin"),
    Unit("rpm", D.SPEED, Fraction(1), ("r/min", "rev/min"), None, 0, 0, "rpm"),
    Unit("kg/m3", D.DENSITY, Fraction(1), ("kg/m³", "kg/m^3"), None, 0, 1, "kg/m³"),
    Unit("degC", D.TEMPERATURE, Fraction(1), ("°c", "c", "celsius"), "metric", 0, 1, "°C", Fraction(0)),
    Unit("degF", D.TEMPERATURE, Fraction(5, 9), ("°f", "f", "fahrenheit"), "inch", 0, 1, "°F", Fraction(-160, 9)),
    Unit("s", D.TIME, Fraction(1), ("sec", "second", "seconds"), None, 0, 1, "s"),
    Unit("min", D.TIME, Fraction(60), ("minute", "minutes"), None, 0, 1, "min"),
    Unit("h", D.TIME, Fraction(3600), ("hour", "hours"), None, 0, 2, "h"),
    Unit("mL", D.VOLUME, Fraction(1), ("millilitre", "millilitres", "milliliter", "milliliters"), "metric", 0, 1, "mL"),
    Unit("L", D.VOLUME, Fraction(1000), ("litre", "litres", "liter", "liters"), "metric", 1, 3, "L"),
    Unit("qt", D.VOLUME, _GALLON / 4, ("quart", "quarts", "us qt"), "inch", 1, 3, "qt (US)"),
    Unit("mL/s", D.FLOW, Fraction(1), (), "metric", 0, 1, "mL/s"),
    Unit("L/min", D.FLOW, Fraction(1000, 60), ("l/min", "litres per minute", "liters per minute", "lpm"), "metric", 1, 3, "L/min"),
    Unit("qt/min", D.FLOW, _GALLON / 4 / 60, ("quarts per minute", "us qt/min", "qpm"), "inch", 1, 3, "qt/min (US)"),
    Unit("1/K", D.EXPANSION, Fraction(1), ("/k", "k^-1", "k⁻¹", "per k", "/°c", "/degc", "1/degc", "per degc"), None, 0, 9, "1/K"),
)  # fmt: skip

BY_NAME: Final = {unit.name: unit for unit in UNITS}

# What `"units": "metric"` and `"inch"` give, by the contract. Dimensions that are the same in both are left out.
METRIC_UNITS: Final = {
    D.LENGTH: BY_NAME["mm"], D.AREA: BY_NAME["mm2"], D.FORCE: BY_NAME["N"], D.TORQUE: BY_NAME["N.m"],
    D.PRESSURE: BY_NAME["kPa"], D.RATE: BY_NAME["N/mm"], D.TEMPERATURE: BY_NAME["degC"], D.VOLUME: BY_NAME["L"],
    D.FLOW: BY_NAME["L/min"],
}  # fmt: skip
INCH_UNITS: Final = {
    D.LENGTH: BY_NAME["in"], D.AREA: BY_NAME["in2"], D.FORCE: BY_NAME["lbf"], D.TORQUE: BY_NAME["lbf.ft"],
    D.PRESSURE: BY_NAME["psi"], D.RATE: BY_NAME["lbf/in"], D.TEMPERATURE: BY_NAME["degF"], D.VOLUME: BY_NAME["qt"],
    D.FLOW: BY_NAME["qt/min"],
}  # fmt: skip


def normalised(spelling: str) -> str:
    """A unit as typed, brought to one form: both micro signs alike, outer spaces gone, inner ones single."""
    return " ".join(spelling.replace("μ", "µ").split())


def _index() -> tuple[dict[str, Unit], dict[str, Unit]]:
    exact: dict[str, Unit] = {}
    folded: dict[str, Unit] = {}
    for unit in UNITS:
        for spelling in (unit.name, *unit.spellings):
            exact.setdefault(spelling, unit)
            folded.setdefault(spelling.casefold(), unit)
    # Capitals tell these apart, so a small or capital letter in the wrong place is not guessed at.
    for ambiguous in ("mpa", "m"):
        folded.pop(ambiguous, None)
    return exact, folded


_EXACT, _FOLDED = _index()


# A bench writes the same few units again and again.
@lru_cache(maxsize=512)
def find_unit(spelling: str) -> Unit | None:
    """The unit that a spelling names, or None.

    The spelling is tried as it stands, then without regard to capitals, except where capitals carry meaning
    (``MPa`` is not ``mPa``).

    Example:
        >>> str(find_unit("inches")), find_unit("furlong")
        ('in', None)
    """
    text = normalised(spelling)
    return _EXACT.get(text) or _FOLDED.get(text.casefold())
