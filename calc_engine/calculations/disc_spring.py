"""disc-spring: the force of a disc spring, the spring washer that some pistons have for a return spring."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.annulus import crossed_diameters
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, length, number
from calc_engine.maths.functions import PI, natural_log
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, equals_number, plain
from calc_engine.quantities.unit_products import product_note
from calc_engine.quantities.units import Dimension

__all__ = ["DISC_SPRING", "DiscSpring", "DiscSpringResult", "diameter_constant", "disc_spring"]

_D: Final = Dimension
_PA_PER_N_MM2: Final = 1_000_000
# A narrower ring is not a disc spring, and the constant would be a difference of two huge numbers.
_WIDEST_HOLE: Final = Fraction(95, 100)
_TRUSTED_DEFLECTION: Final = Fraction(3, 4)


@dataclass(frozen=True, slots=True)
class DiscSpring:
    """The inputs of disc-spring. Lengths in mm, modulus in Pa."""

    outer: Fraction = length("Outer diameter", "Of the disc.", above="0 mm", most="1 m")
    inner: Fraction = length("Inner diameter", "Of its hole.", above="0 mm", most="1 m")
    thickness: Fraction = length("Thickness", "Of the sheet.", above="0 mm", most="50 mm")
    cone_height: Fraction = length("Cone height", "Free height less thickness.", above="0 mm", most="50 mm")
    deflection: Fraction = length("Deflection", "How far it is pressed from free.", least="0 mm", most="50 mm")
    modulus: Fraction = amount(_D.PRESSURE, "Modulus of elasticity", "206 GPa for spring steel.", least="1 GPa", most="1000 GPa")
    poisson: Fraction = number("Poisson's ratio", "0.3 for steel.", least="0", most="0.5")

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        crossed = tuple(crossed_diameters(self.outer, self.inner))
        yield from crossed
        if not crossed and self.inner > _WIDEST_HOLE * self.outer:
            remedy = "The hole can be 0.95 of the outer diameter at most."
            yield Problem("inner", "out-of-range", "The ring is too narrow for a disc spring.", remedy)
        if self.deflection > self.cone_height:
            remedy = "Pressed flat it is deflected by its cone height, no further."
            yield Problem("deflection", "out-of-range", "The deflection is more than the cone height.", remedy)


@dataclass(frozen=True, slots=True)
class DiscSpringResult:
    """The outputs of disc-spring. Forces in N, rate in N/mm."""

    force: Fraction = amount(_D.FORCE, "Force", "At the deflection.")
    flat_force: Fraction = amount(_D.FORCE, "Force when flat", "At a deflection of the cone height.")
    rate: Fraction = amount(_D.RATE, "Rate", "How fast the force grows there. Negative: it falls.")
    constant: Fraction = number("Constant K1", "Of the two diameters, by DIN 2092 / EN 16984.")


def diameter_constant(ratio: Fraction) -> Fraction:
    """The constant of the two diameters.

    K1 = ((d - 1)/d)^2 / (pi ((d + 1)/(d - 1) - 2/ln d))

    Args:
        ratio: d, outer over inner diameter, at least 1.05.

    Returns:
        K1, without a unit, to at least 25 digits.

    Source: DIN 2092 / EN 16984. Textbooks often use the classical 6/(pi ln d) ((d - 1)/d)^2, about 0.5 % lower at d = 1.75.
    """
    return ((ratio - 1) / ratio) ** 2 / (PI * ((ratio + 1) / (ratio - 1) - 2 / natural_log(ratio)))


def disc_spring(request: DiscSpring, units: AnswerUnits) -> Answer[DiscSpringResult]:
    """The force and the rate of one disc spring without friction.

    F = 4 E/(1 - v^2) t^4/(K1 D^2) (s/t) [(h/t - s/t)(h/t - s/2t) + 1], rate = dF/ds.

    Args:
        request: the inputs in base units.
        units: for the working.

    Returns:
        Force, force when flat and rate, with their working.

    Source: J.O. Almen and A. Laszlo 1936, with the constant of DIN 2092 / EN 16984.

    Example:
        >>> from calc_engine import answer
        >>> spring = {"outer": "60 mm", "inner": "30 mm", "thickness": "2 mm", "cone_height": "1.5 mm", "deflection": "1 mm"}
        >>> answer("disc-spring", {**spring, "modulus": "206 GPa", "poisson": "0.3"})["result"]["force"]
        '3260.3024828874 N'
    """
    constant = diameter_constant(request.outer / request.inner)
    height, pressed = request.cone_height / request.thickness, request.deflection / request.thickness
    modulus = request.modulus / _PA_PER_N_MM2
    scale = 4 * modulus * request.thickness**4 / ((1 - request.poisson**2) * constant * request.outer**2)
    slope = height**2 - 3 * height * pressed + Fraction(3, 2) * pressed**2 + 1
    result = DiscSpringResult(
        force=scale * pressed * _bracket(height, pressed),
        flat_force=scale * height,
        rate=scale / request.thickness * slope,
        constant=constant,
    )
    return Answer(result, tuple(_lines(request, result, units)), tuple(_cautions(request, result)))


def _bracket(height: Fraction, pressed: Fraction) -> Fraction:
    return (height - pressed) * (height - pressed / 2) + 1


def _lines(request: DiscSpring, result: DiscSpringResult, units: AnswerUnits) -> Iterable[str]:
    ratio = request.outer / request.inner
    d, k = plain(ratio, 4), plain(result.constant, 4)
    yield f"d = outer / inner = {units.number(request.outer)} / {units.number(request.inner)} {equals_number(ratio)}"
    yield (
        f"K1 = ((d − 1)/d)² / (π × ((d + 1)/(d − 1) − 2/ln d)) "
        f"= (({d} − 1)/{d})² / (π × (({d} + 1)/({d} − 1) − 2/ln {d})) {equals_number(result.constant)}"
    )
    t, outer = units.number(request.thickness), units.number(request.outer)
    height, pressed = request.cone_height / request.thickness, request.deflection / request.thickness
    yield (
        f"h/t = {units.number(request.cone_height)} / {t} {equals_number(height)}; "
        f"s/t = {units.number(request.deflection)} / {t} {equals_number(pressed)}"
    )
    modulus = units.show(request.modulus, _D.PRESSURE)
    flat = f"4 × {modulus} / (1 − {plain(request.poisson)}²) × {t}⁴ / ({k} × {outer}²)"
    h, s, note = plain(height), plain(pressed), product_note(_D.PRESSURE, _D.AREA, units)
    yield (
        f"force = 4E/(1 − ν²) × t⁴/(K1 × D²) × s/t × [(h/t − s/t) × (h/t − s/2t) + 1] "
        f"= {flat} × {s} × [({h} − {s}) × ({h} − {s}/2) + 1] {units.equals(result.force, _D.FORCE)}{note}"
    )
    yield f"force when flat = {flat} × {h} {units.equals(result.flat_force, _D.FORCE)}"
    stiffness = flat.replace(f"{t}⁴", f"{t}³")
    yield (
        f"rate = 4E/(1 − ν²) × t³/(K1 × D²) × [(h/t)² − 3 × (h/t) × (s/t) + 1.5 × (s/t)² + 1] "
        f"= {stiffness} × [{h}² − 3 × {h} × {s} + 1.5 × {s}² + 1] {units.equals(result.rate, _D.RATE)}"
    )


def _cautions(request: DiscSpring, result: DiscSpringResult) -> Iterable[str]:
    if request.deflection > _TRUSTED_DEFLECTION * request.cone_height:
        yield "Beyond three quarters of the cone height the real force is higher than this (DIN 2092 / EN 16984, from memory)."
    if result.rate < 0:
        yield "Here the force falls as the disc is pressed: it can snap through. Press it under full control, hands clear."


DISC_SPRING: Final = Calculation(
    name="disc-spring",
    title="Force of a disc spring",
    about="The force of a single disc spring at a deflection and when flat, and its rate there. Friction is not counted.",
    asked_as=(
        "belleville force",
        "coned spring force",
        "dished spring load",
        "how strong is the cone spring",
        "cup spring calculator",
        "diaphragm spring rate",
        "fuerza del resorte de disco",
        "Tellerfeder",
    ),
    request=DiscSpring,
    result=DiscSpringResult,
    compute=disc_spring,
    formulas=(
        (
            r"F = \frac{4E}{1-\nu^2}\,\frac{t^4}{K_1 D^2}\,\frac{s}{t}"
            r"\left[\left(\frac{h}{t}-\frac{s}{t}\right)\left(\frac{h}{t}-\frac{s}{2t}\right)+1\right]"
        ),
        r"K_1 = \frac{1}{\pi}\,\frac{\left(\frac{d-1}{d}\right)^2}{\frac{d+1}{d-1}-\frac{2}{\ln d}}, \qquad d = \frac{D}{D_i}",
        (
            r"\frac{dF}{ds} = \frac{4E}{1-\nu^2}\,\frac{t^3}{K_1 D^2}"
            r"\left[\left(\frac{h}{t}\right)^2 - 3\,\frac{h}{t}\,\frac{s}{t} + \frac{3}{2}\left(\frac{s}{t}\right)^2 + 1\right]"
        ),
    ),
    sources=(
        Source(
            "J.O. Almen and A. Laszlo, The uniform-section disk spring, Transactions of the ASME 58 (1936)", "", "from memory"
        ),
        Source("DIN 2092 / EN 16984", "constant K1", "textbooks often use the classical constant, about 0.5 % apart"),
    ),
    example={
        "outer": "80 mm",
        "inner": "41 mm",
        "thickness": "2.25 mm",
        "cone_height": "2.95 mm",
        "deflection": "1.50 mm",
        "modulus": "206 GPa",
        "poisson": "0.3",
    },
)
