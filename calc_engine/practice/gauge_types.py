"""The gauges that are drawn to be read: dials and depth micrometers, metric and inch."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine import Unit, find_unit
from calc_engine.practice.figures import at_step

__all__ = ["DIALS", "DIVISIONS", "MICROMETERS", "TURNS", "DepthMicrometer", "Dial", "Reading", "figure"]


def _unit(name: str) -> Unit:
    unit = find_unit(name)
    assert unit is not None  # noqa: S101 - the engine knows mm and in
    return unit


MILLIMETRE: Final = _unit("mm")
INCH: Final = _unit("in")
_HALVES: Final = 2
TURNS: Final = 10
"""How far a dial's small hand counts."""
DIVISIONS: Final = 100
"""How many lines a dial has round its face."""


@dataclass(frozen=True, slots=True)
class Dial:
    """A dial indicator with a long hand and a small hand that counts its turns.

    A face of 100 lines is the usual one (common practice, no source); a turn is 100 steps.

    Attributes:
        id: for the data of the exercise.
        name: what it is called.
        unit: what it shows.
        step: the value of one line, in the unit.
        numeral: what every tenth line counts on the face, in thousandths or hundredths as such faces are written.
        scale: what the numerals count.
    """

    id: str
    name: str
    unit: Unit
    step: Fraction
    numeral: Fraction
    scale: str

    @property
    def turn(self) -> Fraction:
        """What one turn of the long hand is worth."""
        return self.step * DIVISIONS


@dataclass(frozen=True, slots=True)
class DepthMicrometer:
    """A depth micrometer: it reads the wrong way round, as its thimble covers the lines of the sleeve.

    Source: read "exactly opposite" to an outside micrometer, by several makers' instructions; sleeve and thimble as in the US Army's
    TM 9-243: 0.5 mm a turn and 50 lines, 0.025 in a turn and 25 lines.

    Attributes:
        id: for the data of the exercise.
        name: what it is called.
        unit: what it shows.
        step: the value of one line of the thimble, in the unit.
        lines: how many lines the thimble has.
        long_every: every how many sleeve lines one is long.
        numbered_every: every how many sleeve lines one is numbered.
        number: what that many sleeve lines count in the numbers.
        reach: how many sleeve lines there are.
    """

    id: str
    name: str
    unit: Unit
    step: Fraction
    lines: int
    long_every: int
    numbered_every: int
    number: int
    reach: int

    @property
    def halves(self) -> bool:
        """Whether every second sleeve line is a half, as on a metric sleeve."""
        return self.long_every == _HALVES

    @property
    def turn(self) -> Fraction:
        """What one turn of the thimble, from sleeve line to sleeve line, is worth."""
        return self.step * self.lines


@dataclass(frozen=True, slots=True)
class Reading:
    """What a gauge shows.

    Attributes:
        turns: whole turns: what the small hand has passed, or how many sleeve lines are covered.
        tenths: on top of them, in tenths of a line: of the long hand, or of the thimble.
    """

    turns: int
    tenths: int

    @property
    def line(self) -> int:
        """The last whole line passed."""
        return self.tenths // 10

    @property
    def between(self) -> int:
        """How far past that line, in tenths of the way to the next one."""
        return self.tenths % 10

    def value(self, gauge: Dial | DepthMicrometer) -> Fraction:
        """The value, in the gauge's unit."""
        return self.turns * gauge.turn + Fraction(self.tenths, 10) * gauge.step


def figure(value: Fraction, gauge: Dial | DepthMicrometer) -> str:
    """A value with the gauge's decimals and its unit.

    Args:
        value: in the gauge's unit.
        gauge: whose step says how many decimals.
    """
    return f"{at_step(value, gauge.step)} {gauge.unit.name}"


DIALS: Final = (
    Dial(
        "dial-0.01-mm",
        "metric dial, one line is 0.01 mm",
        MILLIMETRE,
        Fraction(1, 100),
        Fraction(10),
        "hundredths of a millimetre",
    ),
    Dial(
        "dial-0.001-mm",
        "metric dial, one line is 0.001 mm",
        MILLIMETRE,
        Fraction(1, 1000),
        Fraction(10),
        "thousandths of a millimetre",
    ),
    Dial("dial-0.001-in", "inch dial, one line is 0.001 in", INCH, Fraction(1, 1000), Fraction(10), "thousandths of an inch"),
    Dial("dial-0.0005-in", "inch dial, one line is 0.0005 in", INCH, Fraction(1, 2000), Fraction(5), "thousandths of an inch"),
)
MICROMETERS: Final = (
    DepthMicrometer(
        "depth-0.01-mm", "metric depth micrometer, one line is 0.01 mm", MILLIMETRE, Fraction(1, 100), 50, 2, 10, 5, 50
    ),
    DepthMicrometer("depth-0.001-in", "inch depth micrometer, one line is 0.001 in", INCH, Fraction(1, 1000), 25, 4, 4, 1, 40),
)
