"""pack-clearance: the clearance of a clutch pack from readings, how sure it is, and the ring to fit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.judging import (
    Judged,
    Selective,
    gauge_caution,
    judge_readings,
    uncertainty_lines,
    verdict_lines,
)
from calc_engine.bench.measuring import MOST_POSITIONS
from calc_engine.bench.readings import (
    Gauge,
    MeasuredPart,
    Positions,
    depth_positions,
    dial_positions,
    feeler_positions,
    nearer_than_ring,
    parts_position,
    same_length,
)
from calc_engine.bench.selective import Choice, choice_lines, find_fitted
from calc_engine.bench.verdict import Limits
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import choice, count, flag, group, length, text
from calc_engine.maths.statistics import mean
from calc_engine.problems import Problem, Refused
from calc_engine.quantities.answer_units import AnswerUnits

__all__ = ["PACK_CLEARANCE", "PackClearance", "PackClearanceResult", "Wave", "pack_clearance"]

_METHODS: Final = {
    "dial": "Dial: lift of the pack",
    "feeler": "Feeler: leaves that just go in",
    "depth": "Depth: from one straightedge",
    "parts": "Parts: cavity less every thickness",
}
_STATES: Final = {"free": "Sitting free", "flat": "Pressed flat"}


@dataclass(frozen=True, slots=True)
class Wave:
    """The wave plate of a pack: its height free and flat, and which of the two counts."""

    free: Fraction = length("Free height", "Height of the wave plate with nothing pressing on it.", above="0 mm", most="50 mm")
    flat: Fraction = length("Flat thickness", "Its thickness pressed flat.", above="0 mm", most="50 mm")
    measured: str = choice(
        "How it sat when you measured", "Whether it was pressed flat or sitting free while you took the readings.", _STATES
    )
    specified: str = choice("Limits are for the wave plate", "How the wave plate sits in the spec's limits.", _STATES)

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when the plate is thicker flat than free."""
        if self.free < self.flat:
            yield Problem(
                f"{field}.free",
                "crossed-limits",
                "The wave plate's free height is less than its flat thickness.",
                "Check which height is which.",
            )

    @property
    def correction(self) -> Fraction:
        """What the measured clearance changes by, to mean what the limits mean, mm."""
        if self.measured == self.specified:
            return Fraction(0)
        step = self.free - self.flat
        return step if self.measured == "free" else -step


@dataclass(frozen=True, slots=True)
class PackClearance:
    """The inputs of pack-clearance. Lengths in mm."""

    method: str = choice("How it was measured", "The gauge decides what is read and how sure it is.", _METHODS, role="method")
    lifts: tuple[Fraction, ...] | None = length(
        "Lift at each position", "Dial at zero with the pack down, then lift it solid against its ring. Read at each position round the drum.",
        least="0 mm", most="100 mm", many=((1, MOST_POSITIONS),), item_label="Lift at {n}", when=("method", ("dial",)), role="reading",
    )  # fmt: skip
    leaves: tuple[tuple[Fraction, ...], ...] | None = length(
        "Feeler leaves at each position", "The leaves that together just go in between plate and ring, at each position.",
        least="0 mm", most="100 mm", many=((1, MOST_POSITIONS), (1, 12)), item_label="Leaves at {n}", when=("method", ("feeler",)), role="reading",
    )  # fmt: skip
    to_plate: tuple[Fraction, ...] | None = length(
        "Depth to the plate", "From the straightedge down to the top plate, at each position.",
        least="0 mm", most="500 mm", many=((1, MOST_POSITIONS),), item_label="To the plate at {n}", when=("method", ("depth",)), role="reading",
    )  # fmt: skip
    to_ring: tuple[Fraction, ...] | None = length(
        "Depth to the ring's face", "From the same straightedge down to the face the plate bears on, at the same positions.",
        least="0 mm", most="500 mm", many=((1, MOST_POSITIONS),), item_label="To the ring at {n}", when=("method", ("depth",)), role="reading",
    )  # fmt: skip
    cavity: Fraction | None = length(
        "Cavity",
        "From the piston's face to the wall of the groove that the ring bears on.",
        above="0 mm",
        most="1 m",
        when=("method", ("parts",)),
    )
    parts: tuple[MeasuredPart, ...] | None = group(
        MeasuredPart, "Parts of the stack", "Every part between those two faces, the ring among them.",
        many=((1, 60),), item_label="Part {n}", when=("method", ("parts",)),
    )  # fmt: skip
    limits: Limits = group(Limits, "Limits", "The clearance that the spec asks for.", role="limits")
    friction_plates: int | None = count(
        "Friction plates", "How many friction plates the pack has.", most=60, optional=True, role="plate count"
    )
    wave: Wave | None = group(Wave, "Wave plate", "Only when the pack has one.", optional=True, role="wave")
    gauge: Gauge | None = group(
        Gauge,
        "Gauge",
        "How finely it reads and how far off it may be: this decides how sure the answer is.",
        optional=True,
        role="gauge",
    )
    spread_limit: Fraction | None = length(
        "Largest difference allowed", "Between the smallest and the largest reading. More means that something sits crooked.",
        above="0 mm", most="10 mm", optional=True, role="spread limit",
    )  # fmt: skip
    fitted: str | None = text("Ring fitted now", "Which ring was in the drum when you measured.", optional=True, role="fitted")
    choices: tuple[Choice, ...] | None = group(
        Choice, "Rings to choose from", "The sizes that the selective ring comes in. A thicker ring tightens the pack.",
        many=((1, 60),), item_label="Size {n}", optional=True, role="sizes",
    )  # fmt: skip

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        if self.to_plate is not None and self.to_ring is not None:
            yield from same_length(self.to_plate, self.to_ring)
            # With the wave plate free the pack may stand proud of the ring's face, and be right once it is flat.
            slack = max(self.wave.correction, Fraction(0)) if self.wave else Fraction(0)
            yield from nearer_than_ring(self.to_plate, self.to_ring, slack)
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
        "Readings even", "Whether the spread is allowed. Absent without a largest difference.", optional=True
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
    read = _positions(request, units)
    correction = request.wave.correction if request.wave else Fraction(0)
    values = tuple(value + correction for value in read.values)
    clearance = mean(values)
    if clearance < 0:
        raise Refused(_negative(request))
    selective = Selective(request.fitted, request.choices, -1) if request.fitted and request.choices else None
    found, unsure = judge_readings(read, values, request.limits, selective, units)
    result = PackClearanceResult(
        **found,
        even=None if request.spread_limit is None else found["spread"] <= request.spread_limit,
        per_friction=clearance / request.friction_plates if request.friction_plates else None,
    )
    working = (
        *read.working,
        *_clearance_lines(request, read, clearance, units),
        *uncertainty_lines(values, unsure, units),
        *verdict_lines(clearance, result.uncertainty, request.limits, units),
        *(choice_lines(result.by_choice, selective.fitted, clearance, -1, units) if result.by_choice and selective else ()),
    )
    return Answer(result, working, _cautions(request, result, units))


def _positions(request: PackClearance, units: AnswerUnits) -> Positions:
    if request.method == "dial" and request.lifts:
        return dial_positions(request.lifts, request.gauge, units)
    if request.method == "feeler" and request.leaves:
        return feeler_positions(request.leaves, request.gauge, units)
    if request.method == "depth" and request.to_plate and request.to_ring:
        return depth_positions(request.to_plate, request.to_ring, request.gauge, units)
    assert request.cavity is not None and request.parts is not None  # noqa: S101, PT018 - the reader has seen to it
    return parts_position(request.cavity, request.parts, units)


def _negative(request: PackClearance) -> Problem:
    # Lifts, leaves and depths that leave less than nothing are refused one by one; only these two can do it together.
    field = "wave" if request.wave and request.wave.correction < 0 else "cavity"
    return Problem(
        field,
        "negative-clearance",
        "These figures give a negative clearance.",
        "The pack is bound up, or two readings are swapped: measure again.",
    )


def _clearance_lines(request: PackClearance, read: Positions, clearance: Fraction, units: AnswerUnits) -> Iterable[str]:
    number = len(read.values)
    measured = mean(read.values)
    if number > 1:
        yield f"mean = ({read.expression}) / {number} {units.equals(measured)}"
    if request.wave and request.wave.correction:
        wave, sign = request.wave, "+" if request.wave.correction > 0 else "−"
        yield (
            f"wave plate {wave.measured} when measured, {wave.specified} in the limits: "
            f"{units.number(measured)} {sign} ({units.number(wave.free)} − {units.number(wave.flat)}) {units.equals(clearance)}"
        )
    yield f"clearance {units.equals(clearance)}"
    if request.friction_plates:
        yield f"for each friction plate: {units.number(clearance)} / {request.friction_plates} {units.equals(clearance / request.friction_plates)}"


def _cautions(request: PackClearance, result: PackClearanceResult, units: AnswerUnits) -> tuple[str, ...]:
    found = []
    gauge = request.gauge
    if request.method == "parts":
        if gauge is not None:
            found.append("The gauge is not used with measured parts: give each part its own largest error.")
        if request.parts and all(part.max_error is None for part in request.parts):
            found.append("No part has a largest error, so the verdict may not be sure. Fill in the largest error of each part.")
    elif gauge is None or (gauge.resolution is None and gauge.max_error is None):
        found.append(gauge_caution("positions", result.uncertainty))
    if gauge is not None and gauge.angle and request.method != "dial":
        found.append("The stem's angle is only used with a dial.")
    if len(result.positions) == 1 and request.method != "parts":
        found.append("One position cannot show a crooked pack: measure at three or more (common practice, no source).")
    if result.even is False and request.spread_limit is not None:
        spread, limit = units.show_apart(result.spread, request.spread_limit)
        found.append(
            f"The positions differ by {spread}, more than {limit}: "
            "something sits crooked or is trapped. Find it before you choose a ring."
        )
    if result.by_choice is not None and result.fit is None:
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
