"""A clutch pack as it is measured: what its spec says, its readings, and the clearance that they come to."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.judging import as_judged, gauge_caution
from calc_engine.bench.measuring import MOST_POSITIONS, gauge_that_reads
from calc_engine.bench.misreadings import misreadings
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
from calc_engine.bench.verdict import Limits
from calc_engine.declare.fields import choice, count, group, length
from calc_engine.maths.statistics import Uncertainty, known_uncertainty, mean
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import Measured
from calc_engine.quantities.units import Dimension

__all__ = [
    "PackClearanceRead",
    "PackReadings",
    "PackSpec",
    "Wave",
    "clearance_lines",
    "negative_clearance",
    "plate_past_ring",
    "read_pack",
    "reading_cautions",
    "uneven_words",
]

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
        "How the wave plate sat when you measured",
        "Whether it was pressed flat or sitting free while you took the readings.",
        _STATES,
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


# Without slots, like `PackSpec`: a request may have the fields of both, and Python joins no two classes with slots.
@dataclass(frozen=True)
class PackReadings:
    """The readings of one pack. Lengths in mm."""

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
        "Depth to the ring or shoulder", "From the same straightedge down to the face that stops the plate or the piston, at the same positions.",
        least="0 mm", most="500 mm", many=((1, MOST_POSITIONS),), item_label="To the ring or shoulder at {n}",
        when=("method", ("depth",)), role="reading",
    )  # fmt: skip
    cavity: Fraction | None = length(
        "Cavity",
        "From the piston's face to the wall of the groove that the ring bears on.",
        above="0 mm",
        most="1 m",
        when=("method", ("parts",)),
        role="cavity",
    )
    parts: tuple[MeasuredPart, ...] | None = group(
        MeasuredPart, "Parts of the stack", "Every part between those two faces, the ring among them.",
        many=((1, 60),), item_label="Part {n}", when=("method", ("parts",)), role="measured parts",
    )  # fmt: skip

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when depths do not pair up."""
        if self.to_plate is not None and self.to_ring is not None:
            yield from same_length(self.to_plate, self.to_ring, f"{field}." if field else "")


@dataclass(frozen=True)
class PackSpec:
    """What a pack is held against, and what it is measured with. Lengths in mm."""

    limits: Limits = group(Limits, "Limits", "The clearance that the spec asks for.", role="limits")
    friction_plates: int | None = count(
        "Friction plates", "How many friction plates the pack has.", most=60, optional=True, role="plate count"
    )
    wave: Wave | None = group(Wave, "Wave plate", "Only when the pack has one.", optional=True, role="wave")
    gauge: Gauge | None = gauge_that_reads(Gauge, "gauge")
    spread_limit: Fraction | None = length(
        "Largest difference allowed", "Between the smallest and the largest reading. More means that something sits crooked.",
        above="0 mm", most="10 mm", optional=True, role="spread limit",
    )  # fmt: skip

    @property
    def correction(self) -> Fraction:
        """What the wave plate changes the measured clearance by, mm."""
        return self.wave.correction if self.wave else Fraction(0)


@dataclass(frozen=True, slots=True)
class PackClearanceRead:
    """What the readings of a pack come to.

    Attributes:
        positions: the readings, with what is known of the gauge.
        values: the clearance at each position, with the wave plate as the limits take it, mm.
        clearance: their mean, mm.
        spread: the largest less the smallest, mm.
        even: whether the spread is allowed; None without a largest difference.
    """

    positions: Positions
    values: tuple[Fraction, ...]
    clearance: Fraction
    spread: Fraction
    even: bool | None

    @property
    def uncertainty(self) -> Uncertainty | None:
        """How sure the clearance is; None when nothing is known of that."""
        return known_uncertainty(self.values, self.positions.step_variance, self.positions.error_variance)


def read_pack(readings: PackReadings, spec: PackSpec, units: AnswerUnits) -> PackClearanceRead:
    """The clearance of a pack from its readings.

    c = mean(c_i) + wave correction.

    Args:
        readings: lengths in mm.
        spec: of the same pack.
        units: for the working.

    Returns:
        What they come to; a negative clearance stays, for the caller to refuse.

    Source: JCGM 100:2008, 4.2.1 for the mean; the wave plate's correction is geometry.
    """
    read = _positions(readings, spec.gauge, units)
    values = tuple(value + spec.correction for value in read.values)
    allowed = None if spec.spread_limit is None else (Fraction(0), spec.spread_limit)
    spread = Measured(max(values) - min(values), read.step, allowed)
    return PackClearanceRead(
        read,
        values,
        as_judged(mean(values), read.step, spec.limits),
        spread,
        None if spec.spread_limit is None else spread <= spec.spread_limit,
    )


def _positions(readings: PackReadings, gauge: Gauge | None, units: AnswerUnits) -> Positions:
    if readings.method == "dial" and readings.lifts:
        return dial_positions(readings.lifts, gauge, units)
    if readings.method == "feeler" and readings.leaves:
        return feeler_positions(readings.leaves, gauge, units)
    if readings.method == "depth" and readings.to_plate and readings.to_ring:
        return depth_positions(readings.to_plate, readings.to_ring, gauge, units)
    assert readings.cavity is not None and readings.parts is not None  # noqa: S101, PT018 - the reader has seen to it
    return parts_position(readings.cavity, readings.parts, units)


def plate_past_ring(readings: PackReadings, spec: PackSpec, prefix: str = "") -> Iterable[Problem]:
    """The problem of each depth where the plate stands nearer than the ring's face.

    Args:
        readings: lengths in mm.
        spec: of the same pack.
        prefix: what stands before the readings' names in the request: empty, or dotted with a dot at its end.
    """
    if readings.to_plate is not None and readings.to_ring is not None:
        # With the wave plate free the pack may stand proud of the ring's face, and be right once it is flat.
        yield from nearer_than_ring(readings.to_plate, readings.to_ring, max(spec.correction, Fraction(0)), prefix)


def negative_clearance(field: str) -> Problem:
    """The problem of readings that come to less than no clearance.

    Args:
        field: dotted name of the field that is to blame.
    """
    return Problem(
        field,
        "negative-clearance",
        "These figures give a negative clearance.",
        "The pack is bound up, or two readings are swapped: measure again.",
    )


def clearance_lines(read: PackClearanceRead, spec: PackSpec, units: AnswerUnits) -> Iterable[str]:
    """The working from the value of each position to the clearance.

    Args:
        read: what the readings came to.
        spec: of the same pack.
        units: for the figures.
    """
    yield from read.positions.working
    number = len(read.values)
    step = read.positions.step
    measured = Measured(mean(read.positions.values), step, None if spec.correction else (spec.limits.min, spec.limits.max))
    if number > 1:
        yield f"mean = ({read.positions.expression}) / {number} {units.equals(measured)}"
    if spec.wave and spec.wave.correction:
        wave, sign = spec.wave, "+" if spec.wave.correction > 0 else "−"
        yield (
            f"wave plate {wave.measured} when measured, {wave.specified} in the limits: "
            f"{units.number(measured)} {sign} ({units.number(wave.free)} − {units.number(wave.flat)}) {units.equals(read.clearance)}"
        )
    yield f"clearance {units.equals(read.clearance)}"
    if spec.friction_plates:
        yield (
            f"for each friction plate: {units.number(read.clearance)} / {spec.friction_plates} "
            f"{units.equals(Measured(read.clearance / spec.friction_plates, step))}"
        )


def reading_cautions(
    readings: PackReadings, spec: PackSpec, values: Sequence[Fraction], uncertainty: Fraction | None, units: AnswerUnits
) -> Iterable[str]:
    """What the reader must mind about the gauge, the number of readings, and readings that may have been meant otherwise.

    Args:
        readings: as they were given.
        spec: of the same pack.
        values: the clearance at each position, mm.
        uncertainty: of their mean, mm; None when nothing is known of it.
        units: for the figures.
    """
    gauge = spec.gauge
    if readings.method != "parts":
        yield from misreadings(values, gauge if readings.method == "dial" else None, spec.limits, spec.spread_limit, units)
    if readings.method == "parts":
        if gauge is not None:
            yield "The gauge is not used with measured parts: give each part its own largest error."
        if readings.parts and all(part.max_error is None for part in readings.parts):
            yield "No part has a largest error, so the verdict may not be sure. Fill in the largest error of each part."
    elif gauge is None or (gauge.resolution is None and gauge.max_error is None):
        yield gauge_caution("positions", uncertainty)
    if gauge is not None and gauge.angle and readings.method != "dial":
        yield "The stem's angle is only used with a dial."
    if len(values) == 1 and readings.method != "parts":
        yield "One position cannot show a crooked pack: measure at three or more (common practice, no source)."


def uneven_words(spread: Fraction, limit: Fraction, units: AnswerUnits) -> str:
    """How far the positions differ, where that is more than is allowed, and what it means.

    Args:
        spread: the largest less the smallest, mm, above the limit; of `PackClearanceRead`, so that no rounding hides that it is.
        limit: the largest difference allowed, mm.
        units: for the figures.
    """
    allowed = f"{units.limit(limit, spread)} {units.symbol(Dimension.LENGTH)}"
    return f"positions differ by {units.show(spread)}, more than {allowed}: something sits crooked or is trapped"
