"""plate-wear: a measured set of friction plates against the new and the worn limits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.measuring import gauge_that_reads
from calc_engine.bench.micrometer import Micrometer, reading_uncertainty
from calc_engine.bench.verdict import Limits
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import choice, count, flag, group, length, text
from calc_engine.maths.statistics import mean
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.phrases import listed

__all__ = ["PLATE_WEAR", "PlateOutcome", "PlateWear", "PlateWearResult", "plate_wear"]

_MOST_PLATES: Final = 60
_STATES: Final = {"new": "as new", "usable": "usable", "worn": "worn", "thick": "too thick"}


@dataclass(frozen=True, slots=True)
class PlateWear:
    """The inputs of plate-wear. Lengths in mm."""

    thicknesses: tuple[Fraction, ...] = length(
        "Thickness of each plate", "Over both linings, with a micrometer, wiped and not pressed. The thinnest place counts.",
        above="0 mm", most="20 mm", many=((1, _MOST_PLATES),), item_label="Thickness {n}",
    )  # fmt: skip
    new_limits: Limits = group(Limits, "Limits of a new plate", "The thickness that a new plate may have.")
    worn_below: Fraction = length(
        "Worn below", "A plate thinner than this is worn. On it, it may stay.", above="0 mm", most="20 mm"
    )
    gauge: Micrometer | None = gauge_that_reads(Micrometer)

    def problems(self, _field: str) -> Iterable[Problem]:
        """Says when the worn limit is not below a new plate."""
        if self.worn_below >= self.new_limits.min:
            remedy = "Check which is which: a worn plate is thinner than a new one."
            yield Problem("worn_below", "crossed-limits", "The worn limit is not below the thinnest new plate.", remedy)


@dataclass(frozen=True, slots=True)
class PlateOutcome:
    """What is known of one plate. Lengths in mm."""

    plate: int = count("Plate", "Its number, in the order measured.")
    thickness: Fraction = length("Thickness", "As measured.")
    state: str = choice("State", "Against the limits.", _STATES)
    left: Fraction = length("Left to wear", "Thickness above the worn limit. Negative: below it.")
    certain: bool | None = flag(
        "Certain",
        "Whether it is worn or not, whatever the gauge's error. Absent when nothing is known of the gauge.",
        optional=True,
    )


@dataclass(frozen=True, slots=True)
class PlateWearResult:
    """The outputs of plate-wear. Lengths in mm."""

    verdict: str = choice("Verdict", "Of the whole set: its worst plate.", _STATES, role="verdict")
    advice: str = text("Advice", "What to do.", role="advice")
    worn: tuple[str, ...] = text("Worn plates", "Their numbers.", many=((0, _MOST_PLATES),))
    mean: Fraction = length("Mean", "Of all plates.")
    smallest: Fraction = length("Thinnest", "Of all plates.")
    largest: Fraction = length("Thickest", "Of all plates.")
    spread: Fraction = length("Spread", "Thickest less thinnest.")
    uncertainty: Fraction | None = length("Uncertainty", "Of one reading, plus or minus, 95.45 times in 100.", optional=True)
    clearance_gained: Fraction = length(
        "Clearance gained by wear", "How much looser the pack is than with new plates of middle thickness."
    )
    plates: tuple[PlateOutcome, ...] = group(PlateOutcome, "Each plate", "In the order measured.", many=((1, _MOST_PLATES),))


def plate_wear(request: PlateWear, units: AnswerUnits) -> Answer[PlateWearResult]:
    """Which friction plates of a set are worn.

    Args:
        request: the inputs, lengths in mm.
        units: for the working.

    Returns:
        The state of each plate and of the set, with the working.

    Source: comparison; guarded decision by ISO 14253-1:2017 (see `verdict`).

    Example:
        >>> from calc_engine import answer
        >>> request = {"thicknesses": ["2.02 mm", "1.88 mm"], "new_limits": {"min": "2.05 mm", "max": "2.15 mm"}, "worn_below": "1.90 mm"}
        >>> answer("plate-wear", request)["result"]["advice"]
        'Replace plate 2: worn below 1.90 mm.'
    """
    unsure = reading_uncertainty(request.gauge) if request.gauge else None
    plates = tuple(
        PlateOutcome(
            plate=number,
            thickness=thickness,
            state=_state(thickness, request),
            left=thickness - request.worn_below,
            certain=None if unsure is None else _is_certain(thickness - request.worn_below, unsure),
        )
        for number, thickness in enumerate(request.thicknesses, 1)
    )
    result = PlateWearResult(
        verdict=next(state for state in ("worn", "thick", "usable", "new") if any(plate.state == state for plate in plates)),
        advice=_advice(plates, request, units),
        worn=_numbers(plates, "worn"),
        mean=mean(request.thicknesses),
        smallest=min(request.thicknesses),
        largest=max(request.thicknesses),
        spread=max(request.thicknesses) - min(request.thicknesses),
        uncertainty=unsure,
        clearance_gained=sum((request.new_limits.centre - thickness for thickness in request.thicknesses), Fraction(0)),
        plates=plates,
    )
    return Answer(result, tuple(_lines(request, result, units)), tuple(_cautions(request, plates)))


def _state(thickness: Fraction, request: PlateWear) -> str:
    if thickness < request.worn_below:
        return "worn"
    if thickness > request.new_limits.max:
        return "thick"
    return "new" if thickness >= request.new_limits.min else "usable"


def _is_certain(left: Fraction, unsure: Fraction) -> bool:
    """Whether all that the reading could be lies on one side of the worn limit; on it counts as not worn."""
    return left - unsure >= 0 or left + unsure < 0


def _numbers(plates: tuple[PlateOutcome, ...], state: str) -> tuple[str, ...]:
    return tuple(str(plate.plate) for plate in plates if plate.state == state)


def _plates(numbers: tuple[str, ...]) -> str:
    return f"{'plate' if len(numbers) == 1 else 'plates'} {listed(numbers)}"


def _advice(plates: tuple[PlateOutcome, ...], request: PlateWear, units: AnswerUnits) -> str:
    said = []
    worn, thick = _numbers(plates, "worn"), _numbers(plates, "thick")
    if worn:
        said.append(f"Replace {_plates(worn)}: worn below {units.show(request.worn_below)}.")
    if thick:
        said.append(f"Check {_plates(thick)}: thicker than a new one. Wrong plate, dirt, or swollen lining.")
    close = tuple(str(plate.plate) for plate in plates if plate.certain is False)
    if close:
        said.append(f"Measure {_plates(close)} again: too close to the worn limit to trust.")
    return " ".join(said) or "No plate is worn."


def _lines(request: PlateWear, result: PlateWearResult, units: AnswerUnits) -> Iterable[str]:
    new = request.new_limits
    yield f"new: {units.number(new.min)} to {units.show(new.max)}; worn below {units.show(request.worn_below)}"
    if result.uncertainty is not None:
        yield f"one reading could be off by U {units.equals(result.uncertainty)}"
    for plate in result.plates:
        yield (
            f"plate {plate.plate}: left to wear = {units.number(plate.thickness)} − {units.number(request.worn_below)} "
            f"{units.equals(plate.left)}: {_STATES[plate.state]}"
        )
    total = " + ".join(units.number(plate.thickness) for plate in result.plates)
    number = len(result.plates)
    yield f"mean = ({total}) / {number} {units.equals(result.mean)}"
    yield f"spread = {units.number(result.largest)} − {units.number(result.smallest)} {units.equals(result.spread)}"
    yield (
        f"clearance gained = {number} × {units.number(new.centre)} − ({total}) {units.equals(result.clearance_gained)}, "
        f"against new plates of {units.show(new.centre)}"
    )


def _cautions(request: PlateWear, plates: tuple[PlateOutcome, ...]) -> Iterable[str]:
    yield "Burnt, glazed, flaking or bent plates are replaced whatever they measure (common practice, no source)."
    if request.gauge is None:
        yield "No gauge data: the verdicts are only as sure as the reading."
    if 0 < len(_numbers(plates, "worn")) < len(plates):
        yield "New plates beside used ones take up unevenly: many shops replace the whole set (common practice, no source)."


PLATE_WEAR: Final = Calculation(
    name="plate-wear",
    title="Wear of friction plates",
    about="A set of measured friction plates against the thickness of new ones and the worn limit: which are worn, and what is left.",
    asked_as=(
        "how much lining is left",
        "friction wear calculator",
        "worn frictions count",
        "average of the discs",
        "new against worn thickness",
        "minimum friction thickness sum",
        "desgaste de discos cálculo",
    ),
    request=PlateWear,
    result=PlateWearResult,
    compute=plate_wear,
    formulas=(
        r"\text{left}_i = t_i - t_{\text{worn}}",
        r"\text{gained} = \sum_i \left(\frac{t_{\min} + t_{\max}}{2} - t_i\right)",
    ),
    sources=(
        Source("Comparison with the limits of the spec"),
        Source("JCGM 100:2008", "4.3.7, 5.1.2", "uncertainty of one reading"),
        Source("ISO 14253-1:2017", "decision rules", "a verdict is called certain when the whole interval agrees"),
        Source("Burnt or glazed plates go, and sets are replaced whole", "", "common practice, no source"),
    ),
    example={
        "thicknesses": ["1.62 mm", "1.58 mm", "1.51 mm", "1.49 mm", "1.60 mm"],
        "new_limits": {"min": "1.65 mm", "max": "1.75 mm"},
        "worn_below": "1.50 mm",
        "gauge": {"resolution": "0.01 mm", "max_error": "0.004 mm"},
    },
)
