"""sight-size: how high a letter must be to be read from a distance."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, length, text
from calc_engine.maths.functions import tangent
from calc_engine.quantities.answer_units import AnswerUnits, plain
from calc_engine.quantities.units import Dimension

__all__ = ["SIGHT_SIZE", "SightSize", "SightSizeResult", "sight_height", "sight_size"]

_ARC_MINUTES: Final = 60  # in a degree
_SMALLEST, _PREFERRED = 16, 20


@dataclass(frozen=True, slots=True)
class SightSize:
    """The inputs of sight-size. Distance in mm, angle in degrees."""

    distance: Fraction = length("Distance", "From the eye to the letters.", above="0 mm", most="100 m")
    arc_minutes: Fraction = amount(
        Dimension.ANGLE, "Minutes of arc", "The angle under which the letter is seen. 20 or more is easy to read.",
        above="0 arcmin", most="600 arcmin", bare_unit="arcmin",
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class SightSizeResult:
    """The outputs of sight-size. Height in mm."""

    advice: str = text("Advice", "How high to make them.", role="advice")
    height: Fraction = length("Height of a capital", "From foot to top.")


def sight_height(distance: Fraction, angle: Fraction) -> Fraction:
    """The height that is seen under an angle.

    h = 2 d tan(a/2)

    Args:
        distance: d, any unit.
        angle: a, degrees, below 180.

    Returns:
        The height in the unit of the distance, to 33 significant digits.

    Source: geometry; NUREG-0700, revision 3, 11.4.1.5-1.
    """
    return 2 * distance * tangent(angle / 2)


def sight_size(request: SightSize, units: AnswerUnits) -> Answer[SightSizeResult]:
    """The height of letters that are read from a distance; see `sight_height`.

    Args:
        request: the inputs in base units.
        units: for the working.

    Returns:
        The height with its working.

    Source: as `sight_height`.

    Example:
        >>> from calc_engine import answer
        >>> answer("sight-size", {"distance": "5 m", "arc_minutes": "20"})["result"]["advice"]
        'Make capitals at least 0.029089 m high.'
    """
    height = sight_height(request.distance, request.arc_minutes)
    minutes = request.arc_minutes * _ARC_MINUTES
    working = (
        f"height = 2 × d × tan(a/2) = 2 × {units.number(request.distance)} × tan({plain(minutes)}′ / 2) {units.equals(height)}",
    )
    result = SightSizeResult(advice=f"Make capitals at least {units.show(height)} high.", height=height)
    return Answer(result, working, tuple(_cautions(minutes)))


def _cautions(minutes: Fraction) -> Iterable[str]:
    if minutes < _SMALLEST:
        yield "Under 16 minutes of arc letters are not read with certainty (ISO 9241-3): make them larger or come nearer."
    elif minutes < _PREFERRED:
        yield "Under 20 minutes of arc letters are read, but not easily (ISO 9241-3 prefers 20 to 22)."


SIGHT_SIZE: Final = Calculation(
    name="sight-size",
    title="Height of letters on a screen",
    about="How high letters must be to be read from a distance, at an angle of sight in minutes of arc.",
    asked_as=(
        "how big must letters be",
        "font size for the screen",
        "read from across the bay",
        "viewing distance",
        "letter height",
        "TV text size",
        "tamaño de letra",
    ),
    request=SightSize,
    result=SightSizeResult,
    compute=sight_size,
    formulas=(r"h = 2\,d\,\tan\frac{a}{2}",),
    sources=(
        Source("NUREG-0700, revision 3", "11.4.1.5-1", "at least 15 minutes of arc, 20 preferred"),
        Source("ISO 9241-3", "", "16 at least, 20 to 22 preferred, as quoted by others"),
    ),
    example={"distance": "3500 mm", "arc_minutes": "20"},
)
