"""torque-capacity: the torque that a clutch pack or brake holds before it slips."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.annulus import annulus_area, area_line, crossed_diameters
from calc_engine.declare.alternatives import exactly_one
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, count, length, number, text
from calc_engine.maths.functions import PI
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, equals_number, plain
from calc_engine.quantities.unit_products import product_note
from calc_engine.quantities.units import Dimension

__all__ = ["TORQUE_CAPACITY", "TorqueCapacity", "TorqueCapacityResult", "torque_capacity"]

_D: Final = Dimension
_PA_PER_N_MM2: Final = 1_000_000
_MM_PER_M: Final = 1000


@dataclass(frozen=True, slots=True)
class TorqueCapacity:
    """The inputs of torque-capacity. Lengths in mm, force in N, torque in N.m."""

    friction_plates: int | None = count("Friction plates", "Lined on both faces. Or give the faces.", most=60, optional=True)
    faces: int | None = count("Friction faces", "Pairs of faces that rub. Or give the friction plates.", most=120, optional=True)
    outer: Fraction = length("Outer lining diameter", "Of the lining, not of the teeth.", above="0 mm", most="1 m")
    inner: Fraction = length("Inner lining diameter", "Of the lining.", least="0 mm", most="1 m")
    friction_coefficient: Fraction = number(
        "Coefficient of friction", "Of lining on steel, from the lining's data; in oil often 0.10 to 0.15.", above="0", most="1.5"
    )
    force: Fraction = amount(
        _D.FORCE, "Clamping force", "The piston's net force, from piston-force.", above="0 N", most="1000 kN"
    )
    demand: Fraction | None = amount(
        _D.TORQUE, "Torque demanded", "The most that the pack must hold.", above="0 N.m", most="100000 N.m", optional=True
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        yield from exactly_one({"friction_plates": self.friction_plates, "faces": self.faces})
        yield from crossed_diameters(self.outer, self.inner)

    @property
    def rubbing(self) -> int:
        """Pairs of faces that rub."""
        return self.faces or 2 * (self.friction_plates or 0)


@dataclass(frozen=True, slots=True)
class TorqueCapacityResult:
    """The outputs of torque-capacity. Torques in N.m, pressures in Pa."""

    advice: str | None = text("Advice", "Whether the pack holds what is demanded.", optional=True, role="advice")
    uniform_wear: Fraction = amount(_D.TORQUE, "Torque, run-in", "With uniform wear: the careful figure.")
    uniform_pressure: Fraction = amount(_D.TORQUE, "Torque, new", "With uniform pressure: faces that have not worn.")
    factor: Fraction | None = number("Factor", "Torque with uniform wear divided by the demand: above 1 it holds.", optional=True)
    lining_pressure: Fraction = amount(
        _D.PRESSURE, "Lining pressure", "Force over the whole ring of the lining; grooves are not taken off."
    )
    peak_pressure: Fraction | None = amount(
        _D.PRESSURE, "Pressure at the inner edge", "With uniform wear. Absent for a full disc.", optional=True
    )


def torque_capacity(request: TorqueCapacity, units: AnswerUnits) -> Answer[TorqueCapacityResult]:
    """The torque that a pack holds.

    Uniform wear: T = N mu F (ro + ri)/2. Uniform pressure: T = N mu F (2/3)(ro^3 - ri^3)/(ro^2 - ri^2).

    Args:
        request: the inputs in base units.
        units: for the working.

    Returns:
        Both torques, the lining's pressures and the factor against the demand, with their working.

    Source: the two classical assumptions for disc clutches, as in R.S. Khurmi and J.K. Gupta, Theory of Machines, chapter 10.

    Example:
        >>> from calc_engine import answer
        >>> pack = {"friction_plates": 4, "outer": "120 mm", "inner": "80 mm", "friction_coefficient": "0.1", "force": "5 kN"}
        >>> answer("torque-capacity", pack)["result"]["uniform_wear"]
        '200 N.m'
    """
    outer, inner = request.outer / 2, request.inner / 2
    grip = request.rubbing * request.friction_coefficient * request.force / _MM_PER_M
    worn = grip * (outer + inner) / 2
    factor = worn / request.demand if request.demand else None
    peak = request.force / (2 * PI * inner * (outer - inner)) * _PA_PER_N_MM2 if inner else None
    result = TorqueCapacityResult(
        advice=None if factor is None else _advice(factor),
        uniform_wear=worn,
        uniform_pressure=grip * Fraction(2, 3) * (outer**3 - inner**3) / (outer**2 - inner**2),
        factor=factor,
        lining_pressure=request.force / annulus_area(request.outer, request.inner) * _PA_PER_N_MM2,
        peak_pressure=peak,
    )
    return Answer(result, tuple(_lines(request, result, units)), tuple(_cautions(factor)))


def _advice(factor: Fraction) -> str:
    said = plain(factor, 2)
    if factor > 1:
        return f"It holds {said} times what is demanded, by the careful figure."
    return f"It slips: it holds only {said} times what is demanded. More force, more faces or a better lining is wanted."


def _lines(request: TorqueCapacity, result: TorqueCapacityResult, units: AnswerUnits) -> Iterable[str]:
    outer, inner = (units.number(diameter / 2) for diameter in (request.outer, request.inner))
    if request.friction_plates is not None:
        yield f"faces N = 2 × {request.friction_plates} = {request.rubbing}"
    yield f"radii: ro = {units.number(request.outer)} / 2 = {outer}, ri = {units.number(request.inner)} / 2 = {units.show(request.inner / 2)}"
    grip = f"{request.rubbing} × {plain(request.friction_coefficient)} × {units.show(request.force, _D.FORCE)}"
    note = product_note(_D.FORCE, _D.LENGTH, units)
    yield (
        f"uniform wear: T = N × μ × F × (ro + ri)/2 = {grip} × ({outer} + {inner})/2 {units.symbol(_D.LENGTH)} "
        f"{units.equals(result.uniform_wear, _D.TORQUE)}{note}"
    )
    yield (
        f"uniform pressure: T = N × μ × F × (2/3) × (ro³ − ri³)/(ro² − ri²) = {grip} × (2/3) × "
        f"({outer}³ − {inner}³)/({outer}² − {inner}²) {units.symbol(_D.LENGTH)} {units.equals(result.uniform_pressure, _D.TORQUE)}"
    )
    yield area_line(request.outer, request.inner, units)
    yield (
        f"lining pressure = F / A = {units.show(request.force, _D.FORCE)} / "
        f"{units.show(annulus_area(request.outer, request.inner), _D.AREA)} {units.equals(result.lining_pressure, _D.PRESSURE)}"
        f"{product_note(_D.PRESSURE, _D.AREA, units)}"
    )
    if result.peak_pressure is not None:
        yield (
            f"at the inner edge, uniform wear: p = F / (2π × ri × (ro − ri)) = {units.show(request.force, _D.FORCE)} / "
            f"(2π × {inner} × ({outer} − {inner})) {units.equals(result.peak_pressure, _D.PRESSURE)}"
        )
    if request.demand is not None and result.factor is not None:
        torques = units.show(result.uniform_wear, _D.TORQUE), units.show(request.demand, _D.TORQUE)
        yield f"factor = {torques[0]} / {torques[1]} {equals_number(result.factor, 3)}"


def _cautions(factor: Fraction | None) -> Iterable[str]:
    yield "Friction differs with fluid, heat and wear: this is a comparison, not a promise. The maker's manual decides."
    if factor is not None and factor <= 1:
        yield "A pack that slips burns within seconds. Do not hand the unit over like this."


TORQUE_CAPACITY: Final = Calculation(
    name="torque-capacity",
    title="Torque that a pack holds",
    about="The torque at which a clutch pack or brake begins to slip, run-in and new, and the pressure on its linings.",
    asked_as=(
        "how much torque can the clutch hold",
        "will the pack slip",
        "clutch holding power",
        "torque the frictions carry",
        "add a friction plate more torque",
        "lining pressure",
        "friction coefficient",
        "horsepower and the clutch",
        "par que aguanta el embrague",
    ),
    request=TorqueCapacity,
    result=TorqueCapacityResult,
    compute=torque_capacity,
    formulas=(
        r"T_{\text{wear}} = N \mu F\,\frac{r_o + r_i}{2}",
        r"T_{\text{pressure}} = N \mu F\,\frac{2}{3}\,\frac{r_o^3 - r_i^3}{r_o^2 - r_i^2}",
        r"p_{\text{mean}} = \frac{F}{\pi (r_o^2 - r_i^2)}, \qquad p_{\text{inner}} = \frac{F}{2 \pi r_i (r_o - r_i)}",
    ),
    sources=(
        Source("R.S. Khurmi and J.K. Gupta, Theory of Machines", "chapter 10", "both assumptions, with worked examples"),
        Source("V.B. Bhandari, Design of Machine Elements", "chapter 11"),
    ),
    example={
        "friction_plates": 5,
        "outer": "134 mm",
        "inner": "104 mm",
        "friction_coefficient": "0.12",
        "force": "8520 N",
        "demand": "450 N.m",
    },
)
