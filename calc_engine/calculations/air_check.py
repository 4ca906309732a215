"""air-check: whether regulated air moves an apply piston on the bench, and with what margin."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.pistons import AIR_CAUTION, AIR_LIMIT, EYES_CAUTION, Piston, PistonSpring, pressed_lines, to_move_lines
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, flag, group, number, text
from calc_engine.quantities.answer_units import AnswerUnits, equals_number, plain
from calc_engine.quantities.units import Dimension

__all__ = ["AIR_CHECK", "AirCheck", "AirCheckResult", "air_check"]

_D: Final = Dimension
_DRAG: Final = "The drag of the seals is not counted: a dry or new lip seal needs more than this."


@dataclass(frozen=True, slots=True)
class AirCheck(Piston):
    """The inputs of air-check. Lengths in mm, forces in N, pressure in Pa."""

    pressure: Fraction = amount(_D.PRESSURE, "Air pressure", "At the nozzle, as regulated.", above="0 kPa", most="1 MPa")
    spring: PistonSpring = group(PistonSpring, "Return spring", "What pushes the piston back.")


@dataclass(frozen=True, slots=True)
class AirCheckResult:
    """The outputs of air-check. Forces in N, pressures in Pa."""

    moves: bool = flag(
        "Moves",
        "Whether the air overcomes the springs. Seal drag is not counted.",
        role="verdict",
        headlines=("It moves", "It does not move"),
    )
    advice: str = text("Advice", "What to expect at the bench.", role="advice")
    margin: Fraction | None = number(
        "Margin", "Air pressure divided by the pressure to move it. Absent when the springs do not push.", optional=True
    )
    pressure_to_move: Fraction = amount(_D.PRESSURE, "Pressure to move it", "Above this the piston starts to move.")
    area: Fraction = amount(_D.AREA, "Area", "Of the ring between the two diameters.")
    pressure_force: Fraction = amount(_D.FORCE, "Force of the air", "Pressure times area.")
    spring_force: Fraction = amount(_D.FORCE, "Force of the springs", "Against the air.")
    net_force: Fraction = amount(_D.FORCE, "Net force", "Air less springs. Negative: it stays back.")


def air_check(request: AirCheck, units: AnswerUnits) -> Answer[AirCheckResult]:
    """Whether regulated air moves a piston against its springs, and with what margin.

    margin = p A / F_springs

    Args:
        request: the inputs in base units.
        units: for the working.

    Returns:
        What to expect, with its working.

    Source: statics.

    Example:
        >>> from calc_engine import answer
        >>> spring = {"rate": "10 N/mm", "free_length": "30 mm", "installed_length": "25 mm", "count": 8}
        >>> result = answer("air-check", {"outer": "90 mm", "inner": "50 mm", "pressure": "200 kPa", "spring": spring})["result"]
        >>> result["moves"], result["advice"]
        (True, 'Expect it to move: the air gives 2.2 times the pressure that the springs need.')
    """
    area, spring = request.area, request.spring.total
    pressed = request.pressed(request.pressure)
    to_move = request.holding(spring)
    margin = request.pressure / to_move if to_move else None
    result = AirCheckResult(
        moves=pressed > spring, advice=_air_advice(request.pressure, to_move, margin, units), margin=margin,
        pressure_to_move=to_move, area=area, pressure_force=pressed, spring_force=spring, net_force=pressed - spring,
    )  # fmt: skip
    working = [*pressed_lines(request, request.pressure, units), *request.spring.lines(units)]
    net = units.equals(result.net_force, _D.FORCE)
    working.append(f"net force = {units.number(pressed, _D.FORCE)} − {units.number(spring, _D.FORCE)} {net}")
    working += to_move_lines(spring, None, area, to_move, units)
    if margin is not None:
        shown = units.show(request.pressure, _D.PRESSURE), units.show(to_move, _D.PRESSURE)
        working.append(f"margin = {shown[0]} / {shown[1]} {equals_number(margin, 2)}")
    cautions = (EYES_CAUTION, _DRAG, *([AIR_CAUTION] if request.pressure > AIR_LIMIT else []))
    return Answer(result, tuple(working), cautions)


def _air_advice(pressure: Fraction, to_move: Fraction, margin: Fraction | None, units: AnswerUnits) -> str:
    if margin is None:
        return "Expect it to move: the springs do not push at this length."
    if margin > 1:
        return f"Expect it to move: the air gives {plain(margin, 2)} times the pressure that the springs need."
    needed = units.show(to_move, _D.PRESSURE)
    if to_move >= AIR_LIMIT:
        return f"Air of 30 psi or less cannot move it: the springs need more than {needed}. Listen for leaks, and do not call it stuck."
    return (
        f"Do not expect it to move at {units.show(pressure, _D.PRESSURE)}: the springs need more than {needed}. That is no leak."
    )


AIR_CHECK: Final = Calculation(
    name="air-check",
    title="What to expect of an air check",
    about="Whether regulated air moves a piston against its return springs, and with what margin.",
    asked_as=(
        "how much air pushes the piston",
        "will thirty psi lift the springs",
        "regulated air against the springs",
        "air force on the piston",
        "minimum air pressure to move the clutch",
        "air test calculator",
        "is the air pressure enough",
        "margin of an air test",
        "fuerza del aire en el pistón",
    ),
    request=AirCheck,
    result=AirCheckResult,
    compute=air_check,
    formulas=(
        r"p_{\text{move}} = \frac{n\,k\,(L_0 - L)}{\frac{\pi}{4}\,(d_o^2 - d_i^2)}",
        r"\text{margin} = \frac{p}{p_{\text{move}}}",
    ),
    sources=(
        Source("Statics and geometry"),
        Source("Air checks at 30 psi or less", "", "common practice, no source"),
        Source("OSHA 29 CFR 1910.242(b)", "", "sets 30 psi for cleaning with compressed air"),
    ),
    example={
        "outer": "128 mm",
        "inner": "60 mm",
        "pressure": "25 psi",
        "spring": {"rate": "9 N/mm", "free_length": "32 mm", "installed_length": "25 mm", "count": 16},
    },
)
