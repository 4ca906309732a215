"""wrench-adapter, temperature and indicator-angle: corrections of what a tool shows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.declare.alternatives import exactly_one
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, choice, length, number, text
from calc_engine.maths.functions import cosine
from calc_engine.problems import Problem, Refused
from calc_engine.quantities.answer_units import AnswerUnits, equals_number, plain
from calc_engine.quantities.units import Dimension

__all__ = [
    "EXPANSIONS", "INDICATOR_ANGLE", "TEMPERATURE", "WRENCH_ADAPTER", "IndicatorAngle", "IndicatorAngleResult", "Temperature",
    "TemperatureResult", "WrenchAdapter", "WrenchAdapterResult", "indicator_angle", "temperature", "wrench_adapter",
]  # fmt: skip

_D: Final = Dimension
_REFERENCE: Final = Fraction(20)
# An adapter that points back so far leaves no lever to speak of.
_SHORTEST_LEVER: Final = Fraction(1, 10)
_STEEPEST_USUAL: Final = Fraction(10)

EXPANSIONS: Final = {
    "steel": Fraction("0.0000115"),
    "aluminium": Fraction("0.0000231"),
    "cast-iron": Fraction("0.0000114"),
    "magnesium": Fraction("0.000026"),
}
"""Expansion per kelvin. Steel and aluminium: D.A. Swyt, J. Res. NIST 99 (1994) 31. Grey cast iron and magnesium alloys AZ31B and
AZ91D: W.D. Callister and D.G. Rethwisch, Fundamentals of Materials Science and Engineering, 3rd edition, table B.6."""


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


@dataclass(frozen=True, slots=True)
class Temperature:
    """The inputs of temperature. Length in mm, temperature in degC, expansion in 1/K."""

    length: Fraction = length("Length measured", "As the gauge read it, on the part.", above="0 mm")
    measured_at: Fraction = amount(
        _D.TEMPERATURE, "Temperature of the part", "Its own, not that of the room.", least="-40 degC", most="200 degC"
    )
    expansion: Fraction | None = amount(
        _D.EXPANSION, "Expansion", "Share of its length for each kelvin. Or name the material.",
        above="0 1/K", most="0.0002 1/K", bare_unit="1/K", optional=True,
    )  # fmt: skip
    material: str | None = choice(
        "Material", "Of the part. Or give its expansion.",
        {"steel": "Steel", "aluminium": "Aluminium", "cast-iron": "Cast iron", "magnesium": "Magnesium"}, optional=True,
    )  # fmt: skip

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        return exactly_one({"expansion": self.expansion, "material": self.material})


@dataclass(frozen=True, slots=True)
class TemperatureResult:
    """The outputs of temperature. Lengths in mm, expansion in 1/K."""

    at_20: Fraction = length("Length at 20 °C", "The temperature at which drawings and specs hold.")
    correction: Fraction = length("Correction", "What is added to the length measured.")
    expansion: Fraction = amount(_D.EXPANSION, "Expansion", "That was used.")


def temperature(request: Temperature, units: AnswerUnits) -> Answer[TemperatureResult]:
    """The length that a part has at 20 degC.

    L20 = L / (1 + alpha (t - 20 degC))

    Args:
        request: the inputs in base units.
        units: for the working.

    Returns:
        The length at 20 degC with its working.

    Source: ISO 1:2022 (20 degC is the reference temperature); expansion by its definition.
    """
    expansion = EXPANSIONS[request.material] if request.material else request.expansion
    assert expansion is not None  # noqa: S101 - exactly one of the two is given
    warmer = request.measured_at - _REFERENCE
    at_20 = request.length / (1 + expansion * warmer)
    celsius, shown = f"{plain(request.measured_at)} °C", units.show(request.measured_at, _D.TEMPERATURE)
    said = celsius if shown == celsius else f"{shown} = {celsius}"
    term = f"{'−' if warmer < 0 else '+'} {plain(expansion, 9)} × {plain(abs(warmer))}"
    working = (
        f"{said} is {plain(abs(warmer))} K {'colder' if warmer < 0 else 'warmer'} than 20 °C",
        f"length at 20 °C = {units.number(request.length)} / (1 {term}) {units.equals(at_20)}",
        f"correction = {units.number(at_20)} − {units.number(request.length)} {units.equals(at_20 - request.length)}",
    )
    result = TemperatureResult(at_20=at_20, correction=at_20 - request.length, expansion=expansion)
    return Answer(result, working, tuple(_temperature_cautions(request)))


def _temperature_cautions(request: Temperature) -> Iterable[str]:
    if request.material:
        yield "The expansion is a typical one: alloys differ by a tenth and more."
    yield "The gauge is taken to be at 20 °C: a warm gauge reads short."


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


WRENCH_ADAPTER: Final = Calculation(
    name="wrench-adapter",
    title="Torque wrench with an adapter",
    about="What to set a torque wrench to when an adapter or crow-foot makes it longer.",
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

TEMPERATURE: Final = Calculation(
    name="temperature",
    title="Length at 20 °C",
    about="The length that a warm or cold part has at the temperature where drawings and specs hold.",
    request=Temperature,
    result=TemperatureResult,
    compute=temperature,
    formulas=(r"L_{20} = \frac{L}{1 + \alpha\,(t - 20\,^\circ\mathrm{C})}",),
    sources=(
        Source("ISO 1:2022", "", "20 °C is the reference temperature"),
        Source("D.A. Swyt, J. Res. NIST 99 (1994) 31", "section 1", "expansion of steel and aluminium"),
        Source(
            "W.D. Callister and D.G. Rethwisch, Fundamentals of Materials Science and Engineering, 3rd edition",
            "table B.6",
            "expansion of grey cast iron and of magnesium alloys",
        ),
    ),
    example={"length": "128.06 mm", "measured_at": "35 degC", "material": "aluminium"},
)

INDICATOR_ANGLE: Final = Calculation(
    name="indicator-angle",
    title="Dial at an angle",
    about="The true travel when the lever or the stem of a dial does not stand right to the motion.",
    request=IndicatorAngle,
    result=IndicatorAngleResult,
    compute=indicator_angle,
    formulas=(r"l = l_{\text{read}} \cos a",),
    sources=(Source("Geometry", "", "a table of the same factors stands in catalogues of lever indicators"),),
    example={"reading": "0.48 mm", "angle": "15 deg"},
)
