"""wrench-adapter: what to set a torque wrench to when an adapter makes it longer."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, length, number, text
from calc_engine.maths.functions import cosine
from calc_engine.problems import Problem, Refused
from calc_engine.quantities.answer_units import AnswerUnits, equals_number, plain
from calc_engine.quantities.units import Dimension

__all__ = ["WRENCH_ADAPTER", "WrenchAdapter", "WrenchAdapterResult", "wrench_adapter"]

_D: Final = Dimension
# An adapter that points back so far leaves no lever to speak of.
_SHORTEST_LEVER: Final = Fraction(1, 10)


@dataclass(frozen=True, slots=True)
class WrenchAdapter:
    """The inputs of wrench-adapter. Torque in N.m, lengths in mm, angle in degrees."""

    torque: Fraction = amount(_D.TORQUE, "Torque wanted", "At the fastener, from the spec.", above="0 N.m", most="3000 N.m")
    wrench_length: Fraction = length(
        "Length of the wrench", "From the square drive to the middle of the grip.", above="0 mm", most="3 m"
    )
    extension: Fraction = length(
        "Length of the adapter", "From the square drive to the middle of the fastener.", least="0 mm", most="1 m"
    )
    angle: Fraction | None = amount(
        _D.ANGLE, "Angle of the adapter", "Between adapter and wrench: 0 straight out, 90 square, 180 straight back. 0 when left empty.",
        least="0 deg", most="180 deg", optional=True,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class WrenchAdapterResult:
    """The outputs of wrench-adapter. Torque in N.m, lengths in mm."""

    advice: str = text("Advice", "What to set.", role="advice")
    setting: Fraction = amount(_D.TORQUE, "Setting", "What the wrench is set to, or reads.")
    effective_length: Fraction = length("Effective length", "From the fastener to the hand, along the wrench.")
    factor: Fraction = number("Factor", "Setting divided by the torque wanted.")


def wrench_adapter(request: WrenchAdapter, units: AnswerUnits) -> Answer[WrenchAdapterResult]:
    """The setting of a torque wrench that has an adapter on it.

    setting = T L / (L + E cos a)

    Args:
        request: the inputs in base units.
        units: for the working.

    Returns:
        The setting with its working.

    Raises:
        Refused: ``no-lever``, when the adapter points back so far that less than a tenth of the wrench is left.

    Source: statics; NAVEDTRA 14315 (US Navy aviation training manual), figures 3-44 and 3-45; with an angle US Army TM 9-254, p. 92.

    Example:
        >>> from calc_engine import answer
        >>> answer("wrench-adapter", {"torque": "30 N.m", "wrench_length": "400 mm", "extension": "100 mm"})["result"]["advice"]
        'Set the wrench to 24.0 N·m.'
    """
    factor = cosine(request.angle or Fraction(0))
    effective = request.wrench_length + request.extension * factor
    if effective < request.wrench_length * _SHORTEST_LEVER:
        raise Refused(
            Problem(
                "extension",
                "no-lever",
                f"The adapter points back so far that {units.show(effective)} of lever is left.",
                "Use a shorter adapter, a longer wrench, or turn the adapter outwards.",
            )
        )
    share = request.wrench_length / effective
    setting = request.torque * share
    wrench, extension = units.number(request.wrench_length), units.number(request.extension)
    turned = request.angle or Fraction(0)
    working = (
        *([f"cos {plain(turned)}° {equals_number(factor)}"] if turned else []),
        f"effective length = L + E × cos a = {wrench} + {extension} × {plain(factor)} {units.equals(effective)}",
        (
            f"setting = T × L / effective length = {units.show(request.torque, _D.TORQUE)} × {wrench} / {units.number(effective)} "
            f"{units.equals(setting, _D.TORQUE)}"
        ),
    )
    result = WrenchAdapterResult(
        advice=f"Set the wrench to {units.show(setting, _D.TORQUE)}.", setting=setting, effective_length=effective, factor=share
    )
    cautions = ("Pull at the middle of the grip and nowhere else: the length was measured to there.",)
    return Answer(result, working, cautions)


WRENCH_ADAPTER: Final = Calculation(
    name="wrench-adapter",
    title="Torque wrench with an adapter",
    about="What to set a torque wrench to when an adapter or crow-foot makes it longer.",
    asked_as=(
        "crow foot calculator",
        "what do I set the wrench to",
        "torque with extension sum",
        "adapter length formula",
        "offset wrench setting",
        "crowfoot setting",
        "longer lever torque",
        "ajuste del torquímetro con extensión",
    ),
    request=WrenchAdapter,
    result=WrenchAdapterResult,
    compute=wrench_adapter,
    formulas=(r"T_{\text{set}} = \frac{T\,L}{L + E \cos a}",),
    sources=(
        Source("NAVEDTRA 14315, US Navy aviation training manual", "figures 3-44 and 3-45"),
        Source("US Army TM 9-254", "p. 92", "with an angle"),
    ),
    example={"torque": "24 N.m", "wrench_length": "340 mm", "extension": "40 mm"},
)
