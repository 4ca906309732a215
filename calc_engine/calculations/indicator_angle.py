"""indicator-angle: the true travel when a dial is at an angle to the motion."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, length
from calc_engine.maths.functions import cosine
from calc_engine.quantities.answer_units import AnswerUnits, equals_number, plain
from calc_engine.quantities.units import Dimension

__all__ = ["INDICATOR_ANGLE", "IndicatorAngle", "IndicatorAngleResult", "indicator_angle"]

_D: Final = Dimension
_STEEPEST_USUAL: Final = Fraction(10)


@dataclass(frozen=True, slots=True)
class IndicatorAngle:
    """The inputs of indicator-angle. Length in mm, angle in degrees."""

    reading: Fraction = length("Reading", "What the dial shows.", least="-100 mm", most="100 mm")
    angle: Fraction = amount(
        _D.ANGLE, "Angle", "Of a lever: between lever and surface. Of a stem: between stem and motion. 0 when it stands right.",
        least="0 deg", most="80 deg",
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class IndicatorAngleResult:
    """The outputs of indicator-angle. Lengths in mm."""

    true_travel: Fraction = length("True travel", "How far the part moved.")
    error: Fraction = length("Error of the reading", "What the dial showed too much.")


def indicator_angle(request: IndicatorAngle, units: AnswerUnits) -> Answer[IndicatorAngleResult]:
    """The true travel of a part that a dial reads at an angle.

    true = reading x cos a

    Args:
        request: the inputs in base units.
        units: for the working.

    Returns:
        The true travel with its working.

    Source: geometry.

    Example:
        >>> from calc_engine import answer
        >>> answer("indicator-angle", {"reading": "0.50 mm", "angle": "60 deg"})["result"]
        {'true_travel': '0.25 mm', 'error': '0.25 mm'}
    """
    factor = cosine(request.angle)
    true = request.reading * factor
    working = (
        f"cos {plain(request.angle)}° {equals_number(factor)}",
        f"true travel = reading × cos a = {units.number(request.reading)} × {plain(factor)} {units.equals(true)}",
        f"error = {units.number(request.reading)} − {units.number(true)} {units.equals(request.reading - true)}",
    )
    cautions = []
    if request.angle > _STEEPEST_USUAL:
        cautions.append("More than 10° off: set the dial up again rather than correct it (common practice, no source).")
    return Answer(IndicatorAngleResult(true_travel=true, error=request.reading - true), working, tuple(cautions))


INDICATOR_ANGLE: Final = Calculation(
    name="indicator-angle",
    title="Dial at an angle",
    about="The true travel when the lever or the stem of a dial does not stand right to the motion.",
    asked_as=(
        "dial at a slant",
        "stem not straight sum",
        "cosine of the dial",
        "crooked dial correction",
        "lever dial angle factor",
        "indicator leaning ten degrees",
        "error from an angled clock",
    ),
    request=IndicatorAngle,
    result=IndicatorAngleResult,
    compute=indicator_angle,
    formulas=(r"l = l_{\text{read}} \cos a",),
    sources=(Source("Geometry", "", "a table of the same factors stands in catalogues of lever indicators"),),
    example={"reading": "0.48 mm", "angle": "15 deg"},
)
