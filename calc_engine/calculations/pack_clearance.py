"""pack-clearance: the clearance of a clutch pack from readings, how sure it is, and the ring to fit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.judging import Judged, Selective, judge_readings, uncertainty_lines, verdict_lines
from calc_engine.bench.pack_readings import (
    PackReadings,
    PackSpec,
    clearance_lines,
    negative_clearance,
    plate_past_ring,
    read_pack,
    reading_cautions,
    uneven_words,
)
from calc_engine.bench.selective import Choice, choice_lines, find_fitted
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import flag, group, length, text
from calc_engine.problems import Problem, Refused
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import Measured

__all__ = ["PACK_CLEARANCE", "PackClearance", "PackClearanceResult", "pack_clearance"]


@dataclass(frozen=True, slots=True)
class PackClearance(PackSpec, PackReadings):
    """The inputs of pack-clearance. Lengths in mm."""

    fitted: str | None = text("Ring fitted now", "Which ring was in the drum when you measured.", optional=True, role="fitted")
    choices: tuple[Choice, ...] | None = group(
        Choice, "Rings to choose from", "The sizes that the selective ring comes in. A thicker ring tightens the pack.",
        many=((1, 60),), item_label="Size {n}", optional=True, role="sizes",
    )  # fmt: skip

    def problems(self, field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        yield from PackReadings.problems(self, field)
        yield from plate_past_ring(self, self)
        if self.choices is not None and self.fitted is None:
            yield Problem(
                "fitted",
                "missing",
                "The ring fitted now is missing.",
                "Enter the size that was in the drum when you measured.",
            )
        if self.fitted is not None and self.choices is None:
            yield Problem(
                "choices",
                "missing",
                "The rings to choose from are missing.",
                "List the sizes, or leave the fitted one out.",
            )
        if self.fitted is not None and self.choices is not None:
            yield from find_fitted(self.fitted, self.choices, "fitted", "choices")


@dataclass(frozen=True, slots=True)
class PackClearanceResult(Judged):
    """The outputs of pack-clearance. Lengths in mm."""

    clearance: Fraction = length(
        "Clearance", "The average of the positions, with the wave plate as the limits take it.", role="measured"
    )
    even: bool | None = flag(
        "Readings even", "Whether the spread is allowed. Absent without a largest difference.", optional=True, role="even"
    )
    per_friction: Fraction | None = length(
        "For each friction plate", "Clearance divided by the number of friction plates.", optional=True
    )


def pack_clearance(request: PackClearance, units: AnswerUnits) -> Answer[PackClearanceResult]:
    """The clearance of a clutch pack, its uncertainty, the verdict and what to fit.

    c = mean(c_i) + wave correction; adjust = c - (min + max)/2.

    Args:
        request: the readings, lengths in mm.
        units: for the working.

    Returns:
        The result with its working.

    Raises:
        Refused: ``negative-clearance``, when the readings leave less than no clearance.

    Source: mean and uncertainty by JCGM 100:2008 (see `statistics`); guarded decision by ISO 14253-1:2017 (see `verdict`);
    the wave plate's correction is geometry.

    Example:
        >>> from calc_engine import answer
        >>> request = {"method": "dial", "lifts": ["1.00 mm", "1.04 mm"], "limits": {"min": "0.80 mm", "max": "1.20 mm"}}
        >>> result = answer("pack-clearance", request)["result"]
        >>> result["clearance"], result["spread"], result["verdict"]
        ('1.02 mm', '0.04 mm', 'in')
    """
    read = read_pack(request, request, units)
    if read.clearance < 0:
        raise Refused(_negative(request))
    selective = Selective(request.fitted, request.choices, -1) if request.fitted and request.choices else None
    found, unsure = judge_readings(read.positions, read.values, request.limits, selective, units)
    if read.even is False and request.spread_limit is not None:
        found["advice"] = _seat_again(read.spread, request.spread_limit, units)
    found["spread"] = read.spread
    step, plates = read.positions.step, request.friction_plates
    result = PackClearanceResult(
        **found,
        even=read.even,
        per_friction=Measured(read.clearance / plates, step) if plates else None,
    )
    working = (
        *clearance_lines(read, request, units),
        *uncertainty_lines(read.values, step, unsure, units),
        *verdict_lines(read.clearance, result.uncertainty, request.limits, units),
        *(
            choice_lines(result.by_choice, selective.fitted, read.clearance, -1, units)
            if result.by_choice and selective and read.even is not False
            else ()
        ),
    )
    return Answer(result, working, _cautions(request, result, units))


def _seat_again(spread: Fraction, limit: Fraction, units: AnswerUnits) -> str:
    """Nothing is chosen by readings that contradict each other."""
    return f"Uneven: {uneven_words(spread, limit, units)}. Seat the pack again and read it again before you choose a part."


def _negative(request: PackClearance) -> Problem:
    # Lifts, leaves and depths that leave less than nothing are refused one by one; only these two can do it together.
    field = "wave" if request.wave and request.wave.correction < 0 else "cavity"
    return negative_clearance(field)


def _cautions(request: PackClearance, result: PackClearanceResult, units: AnswerUnits) -> tuple[str, ...]:
    found = [*reading_cautions(request, request, result.positions, result.uncertainty, units)]
    if result.by_choice is not None and result.fit is None and result.even is not False:
        found.append("No ring in the list brings the pack within its limits: check the number of plates and their thickness.")
    return tuple(found)


_EXAMPLE: Final = {
    "method": "dial",
    "lifts": ["1.31 mm", "1.36 mm", "1.33 mm", "1.40 mm"],
    "limits": {"min": "0.90 mm", "max": "1.40 mm"},
    "friction_plates": 5,
    "gauge": {"resolution": "0.01 mm", "max_error": "0.02 mm"},
    "spread_limit": "0.15 mm",
    "fitted": "one dot",
    "choices": [
        {"id": "no dot", "thickness": "1.37 mm"},
        {"id": "one dot", "thickness": "1.57 mm"},
        {"id": "two dots", "thickness": "1.78 mm"},
        {"id": "three dots", "thickness": "1.98 mm"},
    ],
}

PACK_CLEARANCE: Final = Calculation(
    name="pack-clearance",
    subject="pack",
    measures="clearance",
    title="Clearance of a clutch pack",
    about="The clearance from readings round the drum, how sure it is, whether it is within its limits, and the ring to fit.",
    asked_as=(
        "clutch clearance calculator",
        "type the feeler readings",
        "which snap ring for the pack",
        "pack clearance sum",
        "calculate the clutch gap",
        "feeler leaves sum",
        "stack depth minus parts",
        "clearance from depth readings",
        "how sure is my clearance",
        "calculadora de holgura del paquete",
    ),
    request=PackClearance,
    result=PackClearanceResult,
    compute=pack_clearance,
    formulas=(
        r"c = \frac{1}{n}\sum_{i=1}^{n} c_i + w",
        r"u^2 = \max\left(\frac{s^2}{n}, \frac{q}{n}\right) + \frac{a^2}{3}",
        r"U = k\,u",
        r"\text{add} = c - \frac{c_{\min} + c_{\max}}{2}",
    ),
    sources=(
        Source(
            "JCGM 100:2008, Guide to the expression of uncertainty in measurement",
            "4.2, 4.3.7, 5.1.2, G.3, G.4.1",
        ),
        Source(
            "ISO 14253-1:2017",
            "decision rules",
            "the limits are judged exactly; the verdict is called certain when the whole interval agrees",
        ),
        Source("Clearance as a mean over positions round the drum", "", "common practice, no source"),
    ),
    example=_EXAMPLE,
)
