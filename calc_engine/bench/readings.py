"""Dial, feeler, depth and part readings, each turned into one value for every position measured."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from calc_engine.declare.fields import amount, count, length, text
from calc_engine.maths.functions import cosine
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, plain
from calc_engine.quantities.measured import Measured, mean_step
from calc_engine.quantities.units import Dimension

__all__ = [
    "Gauge",
    "MeasuredPart",
    "Positions",
    "depth_positions",
    "dial_positions",
    "feeler_positions",
    "nearer_than_ring",
    "parts_position",
    "same_length",
]


@dataclass(frozen=True, slots=True)
class Gauge:
    """How finely a gauge reads, and how far off it may be."""

    resolution: Fraction | None = length(
        "Smallest division",
        "The smallest step the gauge shows. It is on the dial's face or in its papers.",
        above="0 mm",
        most="1 mm",
        optional=True,
    )
    max_error: Fraction | None = length(
        "Largest error",
        "The most it may be wrong, from its calibration or its papers.",
        least="0 mm",
        most="1 mm",
        optional=True,
    )
    angle: Fraction | None = amount(
        Dimension.ANGLE, "Stem off the line of motion", "Angle between the stem and the way the part moves. 0 when in line. Dial only.",
        least="0 deg", most="60 deg", optional=True,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class MeasuredPart:
    """One kind of part in the stack, measured with a micrometer."""

    name: str = text("Part", "What the part is called.", role="identity")
    thickness: Fraction = length("Thickness", "Measured with the micrometer.", above="0 mm", most="200 mm", role="thickness")
    count: int = count("How many", "How many of them are in the stack.", most=100, role="count")
    max_error: Fraction | None = length(
        "Largest error", "The most each thickness may be wrong.", least="0 mm", most="1 mm", optional=True
    )


@dataclass(frozen=True, slots=True)
class Positions:
    """The measured value at each position, and how they were worked out.

    Attributes:
        values: one value a position, mm.
        step_variance: q, the variance of one value from the gauge's steps, mm^2.
        error_variance: the variance from the gauge's largest error, mm^2.
        working: lines for the bench sheet.
        expression: the values as the terms of a sum, for the line that takes their mean.
        fill_in: what would tell how sure the values are, where nothing does.
        step: how finely the values and what comes of them are shown, mm; None where nothing is known of the gauge.
    """

    values: tuple[Fraction, ...]
    step_variance: Fraction
    error_variance: Fraction
    working: tuple[str, ...]
    expression: str
    fill_in: str = "the gauge's smallest division or largest error"
    step: Fraction | None = None


def _gauge_variances(gauge: Gauge | None, divisor: int) -> tuple[Fraction, Fraction]:
    resolution = (gauge.resolution if gauge else None) or Fraction(0)
    error = (gauge.max_error if gauge else None) or Fraction(0)
    return resolution**2 / divisor, error**2 / 3


def _step(gauge: Gauge | None, readings: Sequence[object]) -> Fraction | None:
    return mean_step(gauge.resolution, len(readings)) if gauge else None


def _terms(values: Sequence[Fraction], units: AnswerUnits) -> str:
    return " + ".join(units.number(value) if value >= 0 else f"({units.number(value)})" for value in values)


def dial_positions(lifts: Sequence[Fraction], gauge: Gauge | None, units: AnswerUnits) -> Positions:
    """The lift at each position; reading times cosine when the stem stands at an angle.

    Args:
        lifts: shape (n,), n >= 1, mm.
        gauge: the dial; its step counts twice, since a lift is the difference of two readings (q = r^2/6).
        units: for the working.

    Returns:
        The positions.

    Source: JCGM 100:2008, 4.3.7 (a step r as a rectangle of half-width r/2 has variance r^2/12, twice for a difference); cosine by geometry.
    """
    steps, error = _gauge_variances(gauge, 6)
    angle = (gauge.angle if gauge else None) or Fraction(0)
    if not angle:
        return Positions(tuple(lifts), steps, error, (), _terms(lifts, units), step=_step(gauge, lifts))
    factor = cosine(angle)
    values = tuple(Measured(lift * factor, _step(gauge, lifts)) for lift in lifts)
    working = [
        f"stem {plain(angle)}° off the line of motion: true lift = reading × cos {plain(angle)}° = reading × {plain(factor)}"
    ]
    for number, (lift, value) in enumerate(zip(lifts, values, strict=True), 1):
        working.append(f"position {number}: {units.number(lift)} × {plain(factor)} {units.equals(value)}")
    return Positions(values, steps, error, tuple(working), _terms(values, units), step=_step(gauge, lifts))


def feeler_positions(leaves: Sequence[Sequence[Fraction]], gauge: Gauge | None, units: AnswerUnits) -> Positions:
    """The sum of the leaves that together just go in at each position.

    Args:
        leaves: shape (n, m >= 1), n >= 1, mm.
        gauge: the feeler set; its step is the next size (q = r^2/12).
        units: for the working.

    Returns:
        The positions.

    Source: as `dial_positions`; one reading, so the step counts once.
    """
    steps, error = _gauge_variances(gauge, 12)
    values = tuple(sum(pack, Fraction(0)) for pack in leaves)
    working = tuple(
        f"position {number}: {_terms(pack, units)} {units.equals(value)}"
        for number, (pack, value) in enumerate(zip(leaves, values, strict=True), 1)
        if len(pack) > 1
    )
    return Positions(values, steps, error, working, _terms(values, units), step=_step(gauge, values))


def depth_positions(
    to_plate: Sequence[Fraction], to_ring: Sequence[Fraction], gauge: Gauge | None, units: AnswerUnits
) -> Positions:
    """The depth to the plate less the depth to the ring's bearing face, from one straightedge.

    Args:
        to_plate: shape (n,), n >= 1, mm.
        to_ring: shape (n,), mm.
        gauge: the depth micrometer; its step counts twice (q = r^2/6).
        units: for the working.

    Returns:
        The positions; a negative value stays, for the caller to refuse.

    Source: as `dial_positions`.
    """
    steps, error = _gauge_variances(gauge, 6)
    values = tuple(plate - ring for plate, ring in zip(to_plate, to_ring, strict=True))
    working = tuple(
        f"position {number}: {units.number(plate)} − {units.number(ring)} {units.equals(value)}"
        for number, (plate, ring, value) in enumerate(zip(to_plate, to_ring, values, strict=True), 1)
    )
    return Positions(values, steps, error, working, _terms(values, units), step=_step(gauge, values))


def parts_position(cavity: Fraction, parts: Sequence[MeasuredPart], units: AnswerUnits) -> Positions:
    """The cavity less every thickness times its count.

    Args:
        cavity: from the piston's face to the ring groove's bearing wall, mm.
        parts: shape (m,), m >= 1, the ring among them.
        units: for the working.

    Returns:
        One position.

    Source: JCGM 100:2008, 5.1.2: the same error stands in each of the count, so it counts count^2 a^2/3.
    """
    total = sum((part.thickness * part.count for part in parts), Fraction(0))
    working = [
        f"{part.name}: {part.count} × {units.number(part.thickness)} {units.equals(part.thickness * part.count)}"
        for part in parts
        if part.count > 1
    ]
    working.append(f"stack = {_terms([part.thickness * part.count for part in parts], units)} {units.equals(total)}")
    working.append(f"cavity − stack = {units.number(cavity)} − {units.number(total)} {units.equals(cavity - total)}")
    error = sum((part.count**2 * (part.max_error or Fraction(0)) ** 2 / 3 for part in parts), Fraction(0))
    expression = units.number(cavity - total)
    return Positions(
        (cavity - total,), Fraction(0), error, tuple(working), expression, "the largest error of each part's thickness"
    )


def same_length(to_plate: Sequence[Fraction], to_ring: Sequence[Fraction], prefix: str = "") -> Iterable[Problem]:
    """The problem of two lists of depths that do not pair up.

    Args:
        to_plate: depths to the plate, mm.
        to_ring: depths to the ring, mm, at the same positions.
        prefix: what stands before the names of the two in the request: empty, or dotted with a dot at its end.
    """
    if len(to_plate) != len(to_ring):
        yield Problem(
            f"{prefix}to_ring",
            "length-mismatch",
            f"There are {len(to_plate)} depths to the plate and {len(to_ring)} to the ring.",
            "Measure both at every position.",
        )


def nearer_than_ring(
    to_plate: Sequence[Fraction], to_ring: Sequence[Fraction], slack: Fraction, prefix: str = ""
) -> Iterable[Problem]:
    """The problem of each position where the plate stands nearer than the ring's face allows.

    Args:
        to_plate: shape (n,), mm.
        to_ring: shape (m,), mm.
        slack: how far a free wave plate may push the plate past the ring's face without harm, mm, >= 0.
        prefix: as in `same_length`.
    """
    for index, (plate, ring) in enumerate(zip(to_plate, to_ring, strict=False)):
        if plate + slack < ring:
            yield Problem(
                f"{prefix}to_plate.{index}", "negative-clearance", "The plate is nearer than the ring here: a negative clearance.",
                "Check whether the two readings are swapped. If not, the pack is bound up.",
            )  # fmt: skip
