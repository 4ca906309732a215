"""piston-force: what pressure, springs and spinning fluid do to an apply piston."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.pistons import (
    AIR_CAUTION,
    AIR_LIMIT,
    EYES_CAUTION,
    Piston,
    PistonSpring,
    pressed_lines,
    signed,
    to_move_lines,
)
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, choice, flag, group, length, text
from calc_engine.maths.functions import PI
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, equals_number, plain
from calc_engine.quantities.units import Dimension

__all__ = ["PISTON_FORCE", "PistonForce", "PistonForceResult", "piston_force", "spinning_fluid_force"]

_D: Final = Dimension


@dataclass(frozen=True, slots=True)
class PistonForce(Piston):
    """The inputs of piston-force. Lengths in mm, forces in N, pressure in Pa."""

    pressure: Fraction = amount(
        _D.PRESSURE, "Pressure", "Behind the piston. 0 for a released pack.", least="0 kPa", most="10 MPa"
    )
    spring: PistonSpring | None = group(PistonSpring, "Return spring", "What pushes the piston back.", optional=True)
    speed: Fraction | None = amount(
        _D.SPEED,
        "Speed of the drum",
        "Only when the fluid behind the piston spins.",
        least="0 rpm",
        most="20000 rpm",
        optional=True,
    )
    fluid_density: Fraction | None = amount(
        _D.DENSITY, "Density of the fluid", "About 850 kg/m3 for transmission fluid, less when hot. Wanted with a speed.",
        above="0 kg/m3", most="3000 kg/m3", optional=True,
    )  # fmt: skip
    fluid_inner_diameter: Fraction | None = length(
        "Where the fluid's surface stands", "Diameter of the inner surface of the spinning fluid: that of its feed hole. Wanted with a speed.",
        least="0 mm", most="1 m", optional=True,
    )  # fmt: skip
    medium: str | None = choice("Pressed by", "Oil when left empty.", {"oil": "Oil", "air": "Air"}, optional=True)

    def problems(self, field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        yield from Piston.problems(self, field)
        if self.speed is not None:
            for name in ("fluid_density", "fluid_inner_diameter"):
                if getattr(self, name) is None:
                    message = f"The {name.replace('_', ' ')} is missing."
                    yield Problem(name, "missing", message, "With a speed it is wanted; or leave the speed out.")
        if self.fluid_inner_diameter is not None and self.fluid_inner_diameter >= self.outer:
            yield Problem(
                "fluid_inner_diameter",
                "crossed-limits",
                "The fluid's surface does not stand inside the piston's outer diameter.",
                "No fluid would lie behind the piston: check the diameter.",
            )


@dataclass(frozen=True, slots=True)
class PistonForceResult:
    """The outputs of piston-force. Forces in N, pressures in Pa."""

    moves: bool = flag(
        "Moves",
        "Whether the net force is more than none. Seal drag is not counted.",
        role="verdict",
        headlines=("It moves", "It does not move"),
    )
    advice: str = text("Advice", "What that means.", role="advice")
    area: Fraction = amount(_D.AREA, "Area", "Of the ring between the two diameters.")
    pressure_force: Fraction = amount(_D.FORCE, "Force of the pressure", "Pressure times area.")
    spring_force: Fraction | None = amount(_D.FORCE, "Force of the springs", "Against the pressure.", optional=True)
    spinning_force: Fraction | None = amount(
        _D.FORCE, "Force of the spinning fluid", "With the pressure: fluid thrown outwards presses too.", optional=True
    )
    net_force: Fraction = amount(_D.FORCE, "Net force", "Pressure and spinning fluid less springs. Negative: it stays back.")
    pressure_to_move: Fraction = amount(
        _D.PRESSURE, "Pressure to move it", "Above this the piston starts to move. 0 when it moves without."
    )


def spinning_fluid_force(piston: Piston, surface: Fraction, density: Fraction, speed: Fraction) -> Fraction:
    """The force of fluid that spins behind a piston, beyond that of the pressure at its surface.

    F = (pi rho w^2 / 4) [(ro^4 - ri^4) - 2 r0^2 (ro^2 - ri^2)]

    Args:
        piston: outer and inner diameter, 2 ro and 2 ri, mm.
        surface: diameter 2 r0 where the fluid's surface stands, or where it is fed, mm.
        density: rho, kg/m^3.
        speed: rpm; w = 2 pi n / 60.

    Returns:
        The force, N. Negative where the surface stands so far out that the fluid would pull.

    Source: the pressure of a forced vortex, p = p0 + rho w^2 (r^2 - r0^2)/2, integrated over the ring.
    """
    outer, inner, at = (diameter / 2000 for diameter in (piston.outer, piston.inner, surface))  # radii in m
    shape = (outer**4 - inner**4) - 2 * at**2 * (outer**2 - inner**2)
    return PI * density * _turning(speed) ** 2 / 4 * shape


def _turning(speed: Fraction) -> Fraction:
    """Radians per second, from rpm."""
    return 2 * PI * speed / 60


def piston_force(request: PistonForce, units: AnswerUnits) -> Answer[PistonForceResult]:
    """The force of an apply piston, and whether it moves.

    net = p A + F_spinning - F_springs; pressure to move = (F_springs - F_spinning) / A, at least 0.

    Args:
        request: the inputs in base units.
        units: for the working.

    Returns:
        The forces with their working.

    Source: geometry and statics; see `spinning_fluid_force`.

    Example:
        >>> from calc_engine import answer
        >>> spring = {"rate": "10 N/mm", "free_length": "30 mm", "installed_length": "25 mm", "count": 8}
        >>> result = answer("piston-force", {"outer": "90 mm", "inner": "50 mm", "pressure": "800 kPa", "spring": spring})["result"]
        >>> result["spring_force"], result["advice"]
        ('400 N', 'It moves, and presses the pack with 3118.6 N.')
    """
    pressed = request.pressed(request.pressure)
    spring = request.spring.total if request.spring else None
    spinning = _spinning(request)
    back = (spring or Fraction(0)) - (spinning or Fraction(0))
    net = pressed - back
    to_move = max(request.holding(back), Fraction(0))
    result = PistonForceResult(
        moves=net > 0, advice=_piston_advice(net, to_move, units), area=request.area, pressure_force=pressed, spring_force=spring,
        spinning_force=spinning, net_force=net, pressure_to_move=to_move,
    )  # fmt: skip
    return Answer(result, tuple(_piston_lines(request, result, units)), tuple(_piston_cautions(request, result)))


def _spinning(request: PistonForce) -> Fraction | None:
    if request.speed is None or request.fluid_density is None or request.fluid_inner_diameter is None:
        return None
    return spinning_fluid_force(request, request.fluid_inner_diameter, request.fluid_density, request.speed)


def _piston_advice(net: Fraction, to_move: Fraction, units: AnswerUnits) -> str:
    if net > 0:
        return f"It moves, and presses the pack with {units.show(net, _D.FORCE)}."
    return f"It does not move: that takes more than {units.show(to_move, _D.PRESSURE)}."


def _piston_lines(request: PistonForce, result: PistonForceResult, units: AnswerUnits) -> Iterable[str]:
    yield from pressed_lines(request, request.pressure, units)
    if request.spring:
        yield from request.spring.lines(units)
    if result.spinning_force is not None:
        yield from _spinning_lines(request, result.spinning_force, units)
    terms = units.number(result.pressure_force, _D.FORCE)
    terms += signed(result.spinning_force, units) if result.spinning_force is not None else ""
    terms += f" − {units.number(result.spring_force, _D.FORCE)}" if result.spring_force is not None else ""
    yield f"net force = {terms} {units.equals(result.net_force, _D.FORCE)}"
    yield from to_move_lines(result.spring_force, result.spinning_force, result.area, result.pressure_to_move, units)


def _spinning_lines(request: PistonForce, force: Fraction, units: AnswerUnits) -> Iterable[str]:
    speed, density, surface = (
        item or Fraction(0) for item in (request.speed, request.fluid_density, request.fluid_inner_diameter)
    )
    turning = _turning(speed)
    outer, inner, at = (plain(diameter / 2000, 6) for diameter in (request.outer, request.inner, surface))
    yield f"turning w = 2π × {plain(speed)} rpm / 60 {equals_number(turning, 3)} rad/s; radii in m: {outer}, {inner}, surface {at}"
    in_newtons = f"{equals_number(force, 2)} N"
    yield (
        f"force of the spinning fluid = (π × density × w² / 4) × [(ro⁴ − ri⁴) − 2 r0² (ro² − ri²)] "
        f"= (π × {plain(density)} × {plain(turning, 3)}² / 4) × [({outer}⁴ − {inner}⁴) − 2 × {at}² × ({outer}² − {inner}²)] {in_newtons}"
        + ("" if units.by_dimension[_D.FORCE].name == "N" else f" {units.equals(force, _D.FORCE)}")
    )


def _piston_cautions(request: PistonForce, result: PistonForceResult) -> Iterable[str]:
    if request.medium == "air":
        yield EYES_CAUTION
        if request.pressure > AIR_LIMIT:
            yield AIR_CAUTION
    if result.spinning_force is None:
        if request.fluid_density is not None or request.fluid_inner_diameter is not None:
            yield "No speed is given: the fluid's density and surface are not used."
        return
    if result.spring_force is not None and result.spinning_force >= result.spring_force:
        yield (
            "The spinning fluid alone overcomes the springs: at this speed a released pack drags, "
            "unless a check ball or a balance chamber lets the fluid out."
        )
    if _pressure_at_inner_edge(request) < 0:
        yield "At the inner edge the fluid would have less than no pressure: the chamber is not full there, and the force is larger than told."


def _pressure_at_inner_edge(request: PistonForce) -> Fraction:
    speed, density, surface = (
        item or Fraction(0) for item in (request.speed, request.fluid_density, request.fluid_inner_diameter)
    )
    return request.pressure + density * _turning(speed) ** 2 * ((request.inner / 2000) ** 2 - (surface / 2000) ** 2) / 2


PISTON_FORCE: Final = Calculation(
    name="piston-force",
    title="Force of an apply piston",
    about="What pressure, return springs and spinning fluid do to a piston: the net force, and the pressure that it takes to move.",
    asked_as=(
        "apply force",
        "how hard does the clutch squeeze",
        "pressure times area",
        "piston area",
        "centrifugal oil pressure",
        "spinning oil force",
        "clamp load",
        "clamping force",
        "fuerza del pistón",
    ),
    request=PistonForce,
    result=PistonForceResult,
    compute=piston_force,
    formulas=(
        r"A = \frac{\pi}{4}\,(d_o^2 - d_i^2), \qquad F_p = p\,A",
        r"F_s = n\,k\,(L_0 - L)",
        r"F_\omega = \frac{\pi \rho \omega^2}{4}\left[(r_o^4 - r_i^4) - 2 r_0^2 (r_o^2 - r_i^2)\right]",
        r"p_{\text{move}} = \frac{F_s - F_\omega}{A}",
    ),
    sources=(
        Source("Statics and geometry"),
        Source("Forced vortex: p = p0 + ρ ω² (r² − r0²)/2, integrated over the ring", "", "as in textbooks of fluid mechanics"),
        Source("Air checks at 30 psi or less", "", "common practice, no source"),
        Source("OSHA 29 CFR 1910.242(b)", "", "sets 30 psi for cleaning with compressed air"),
    ),
    example={
        "outer": "128 mm",
        "inner": "60 mm",
        "pressure": "900 kPa",
        "spring": {"rate": "9 N/mm", "free_length": "32 mm", "installed_length": "25 mm", "count": 16},
        "speed": "2400 rpm",
        "fluid_density": "850 kg/m3",
        "fluid_inner_diameter": "52 mm",
    },
)
