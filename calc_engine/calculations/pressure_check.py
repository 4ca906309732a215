"""pressure-check: line pressures read in each range, held against their limits with what the gauge may be off."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.choosing import twice
from calc_engine.bench.finding import Finding, Held, finding_lines, hold_mean, is_whole_certain, whole_verdict
from calc_engine.bench.measuring import MOST_POSITIONS
from calc_engine.bench.verdict import crossed
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Option, amount, choice, flag, group, number, text
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, plain
from calc_engine.quantities.phrases import listed
from calc_engine.quantities.units import Dimension

__all__ = [
    "PRESSURE_CHECK",
    "PressureCheck",
    "PressureCheckResult",
    "PressureGauge",
    "PressureLimits",
    "PressureOutcome",
    "PressureRange",
    "pressure_check",
]

_D: Final = Dimension
_MOST_RANGES: Final = 24
_LOW_SHARE: Final = Fraction(1, 4)
_VERDICTS: Final = (
    Option("in", "in", unsure="In, but close", unjudged="In, but not sure"),
    Option("low", "too low", unsure="Looks too low"),
    Option("high", "too high", unsure="Looks too high"),
)


@dataclass(frozen=True, slots=True)
class PressureLimits:
    """The smallest and the largest pressure allowed, in Pa."""

    min: Fraction = amount(_D.PRESSURE, "Smallest allowed", "A pressure on it is in.", least="0 kPa", most="10 MPa")
    max: Fraction = amount(_D.PRESSURE, "Largest allowed", "A pressure on it is in.", least="0 kPa", most="10 MPa")

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when the limits are crossed."""
        return crossed(self.min, self.max, field)


@dataclass(frozen=True, slots=True)
class PressureGauge:
    """What is known of a pressure gauge. Pressures in Pa."""

    full_scale: Fraction | None = amount(
        _D.PRESSURE,
        "Full scale",
        "The last figure of the dial, which begins at zero.",
        above="0 kPa",
        most="20 MPa",
        optional=True,
    )
    accuracy_class: Fraction | None = number(
        "Accuracy class",
        "On the dial: 1.6 means 1.6 per cent of full scale, anywhere on it.",
        above="0",
        most="10",
        optional=True,
    )
    max_error: Fraction | None = amount(
        _D.PRESSURE, "Largest error", "From its calibration, in place of the class.", least="0 kPa", most="1 MPa", optional=True
    )
    resolution: Fraction | None = amount(
        _D.PRESSURE, "Smallest division", "The smallest step that you read.", above="0 kPa", most="1 MPa", optional=True
    )

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when the class lacks its scale, or is given beside the error."""
        if self.accuracy_class is not None and self.full_scale is None:
            remedy = "Give the full scale: the class is a percentage of it."
            yield Problem(f"{field}.full_scale", "missing", "The full scale of the gauge is missing.", remedy)
        if self.accuracy_class is not None and self.max_error is not None:
            message = "Accuracy class and largest error are both given."
            yield Problem(
                f"{field}.max_error", "both-given", message, "Give one of them, the largest error if it is from a calibration."
            )

    @property
    def error(self) -> Fraction | None:
        """The most that it may be off, anywhere on its scale."""
        if self.accuracy_class is None or self.full_scale is None:
            return self.max_error
        return self.full_scale * self.accuracy_class / 100


@dataclass(frozen=True, slots=True)
class PressureRange:
    """The pressure in one range or gear. Pressures in Pa."""

    name: str = text("Range", "Range or gear, and engine speed: “reverse, idle”.", role="identity")
    readings: tuple[Fraction, ...] = amount(
        _D.PRESSURE, "Readings", "With the fluid warm and the pointer at rest. Read it again after a shift.",
        least="0 kPa", most="10 MPa", many=((1, MOST_POSITIONS),), item_label="Reading {n}",
    )  # fmt: skip
    limits: PressureLimits = group(PressureLimits, "Limits", "What the spec asks for in this range.")


@dataclass(frozen=True, slots=True)
class PressureCheck:
    """The inputs of pressure-check. Pressures in Pa."""

    ranges: tuple[PressureRange, ...] = group(
        PressureRange, "Ranges", "Each range with its own limits.", many=((1, _MOST_RANGES),), item_label="Range {n}"
    )
    gauge: PressureGauge | None = group(
        PressureGauge, "Gauge", "How far off it may be: this decides how sure the answer is.", optional=True
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """Says when a name appears twice, or a reading is off the scale."""
        yield from twice([each.name for each in self.ranges], "ranges")
        full = self.gauge.full_scale if self.gauge else None
        for place, each in enumerate(self.ranges):
            for index, reading in enumerate(each.readings):
                if full is not None and reading > full:
                    message = "This reading is beyond the full scale of the gauge."
                    yield Problem(
                        f"ranges.{place}.readings.{index}", "out-of-range", message, "Check reading, unit and full scale."
                    )


@dataclass(frozen=True, slots=True)
class PressureOutcome:
    """What is known of one range. Pressures in Pa."""

    name: str = text("Range", "Its name.", role="identity")
    pressure: Fraction = amount(_D.PRESSURE, "Pressure", "The mean of its readings.")
    uncertainty: Fraction | None = amount(
        _D.PRESSURE, "Uncertainty", "Plus or minus, 95.45 times in 100. Absent where nothing is known of it.", optional=True
    )
    verdict: str = choice("Verdict", "Exact: a pressure on a limit is in.", _VERDICTS)
    certain: bool = flag("Sure", "Whether that holds for every true pressure within the uncertainty. Never without one.")


@dataclass(frozen=True, slots=True)
class PressureCheckResult:
    """The outputs of pressure-check. Pressures in Pa."""

    verdict: str = choice("Verdict", "Of all ranges together: the worst.", _VERDICTS, role="verdict")
    certain: bool = flag("Sure", "Whether that holds for every true pressure within its uncertainty.", role="certain")
    advice: str = text("Advice", "What to do.", role="advice")
    max_error: Fraction | None = amount(
        _D.PRESSURE, "Largest error of the gauge", "From its class, or as given. Absent where it is not known.", optional=True
    )
    ranges: tuple[PressureOutcome, ...] = group(PressureOutcome, "Each range", "In the order read.", many=((1, _MOST_RANGES),))


def pressure_check(request: PressureCheck, units: AnswerUnits) -> Answer[PressureCheckResult]:
    """Which line pressures are within their limits, and how sure that is with this gauge.

    a = class / 100 x full scale; U = k sqrt(max(s^2/n, r^2/(12 n)) + a^2/3)

    Args:
        request: the readings, pressures in Pa.
        units: for the working.

    Returns:
        A verdict for each range and one for all, with the working.

    Source: EN 837-1:1996, table 11 (permissible error as a percentage of the span, by accuracy class); JCGM 100:2008, 4.3.7 and
        5.1.2; ISO 14253-1:2017 (see `verdict`).

    Example:
        >>> from calc_engine import answer
        >>> idle = {"name": "idle", "readings": ["5 bar"], "limits": {"min": "4 bar", "max": "6 bar"}}
        >>> result = answer("pressure-check", {"ranges": [idle], "gauge": {"full_scale": "16 bar", "accuracy_class": "1.6"}})["result"]
        >>> result["verdict"], result["certain"], result["max_error"]
        ('in', True, '0.256 bar')
    """
    gauge = request.gauge or PressureGauge()
    found = [
        hold_mean(each.readings, gauge.resolution, gauge.error, Held(each.limits.min, each.limits.max)) for each in request.ranges
    ]
    outcomes = tuple(_outcome(each.name, finding) for each, finding in zip(request.ranges, found, strict=True))
    result = PressureCheckResult(
        verdict=whole_verdict(found),
        certain=is_whole_certain(found),
        advice=_advice(outcomes),
        max_error=gauge.error,
        ranges=outcomes,
    )
    return Answer(result, tuple(_lines(request, gauge, found, units)), tuple(_cautions(request, gauge)))


def _outcome(name: str, finding: Finding) -> PressureOutcome:
    return PressureOutcome(
        name=name, pressure=finding.value, uncertainty=finding.uncertainty, verdict=finding.verdict, certain=finding.certain
    )


def _advice(outcomes: Sequence[PressureOutcome]) -> str:
    said = []
    for verdict, words in (("low", "Too low"), ("high", "Too high")):
        names = [outcome.name for outcome in outcomes if outcome.verdict == verdict]
        if names:
            said.append(f"{words}: {listed(names)}.")
    close = [outcome.name for outcome in outcomes if not outcome.certain and outcome.uncertainty is not None]
    if close:
        said.append(f"Too close to a limit for this gauge: {listed(close)}.")
    if not said:
        sure = all(outcome.certain for outcome in outcomes)
        return (
            "Every pressure is within its limits, and sure of it."
            if sure
            else "Every pressure is within its limits by the readings."
        )
    return " ".join(said)


def _lines(request: PressureCheck, gauge: PressureGauge, found: Sequence[Finding], units: AnswerUnits) -> Iterable[str]:
    if gauge.accuracy_class is not None and gauge.full_scale is not None and gauge.error is not None:
        scale, error = units.show(gauge.full_scale, _D.PRESSURE), units.equals(gauge.error, _D.PRESSURE)
        yield f"largest error = {plain(gauge.accuracy_class)} % × {scale} {error}"
    for each, finding in zip(request.ranges, found, strict=True):
        count = len(each.readings)
        if count > 1:
            terms = " + ".join(units.number(reading, _D.PRESSURE) for reading in each.readings)
            yield f"{each.name}: mean = ({terms}) / {count} {units.equals(finding.value, _D.PRESSURE)}"
        if finding.uncertainty is not None:
            yield f"{each.name}: uncertainty U {units.equals(finding.uncertainty, _D.PRESSURE)}"
        yield f"{each.name}: {'; '.join(finding_lines(finding, units, _D.PRESSURE))}"


def _cautions(request: PressureCheck, gauge: PressureGauge) -> Iterable[str]:
    if gauge.error is None:
        yield "No error of the gauge: the verdicts leave out how far off it may be. Fill in its class and full scale."
    elif gauge.accuracy_class is not None:
        yield "The class of a gauge holds at its reference temperature, 20 °C (EN 837-1, from memory), and only until it is knocked."
    full = gauge.full_scale
    if full is not None and any(min(each.readings) < full * _LOW_SHARE for each in request.ranges):
        yield "Below a quarter of full scale the error is large beside the reading: use a gauge with a shorter scale (common practice, no source)."


PRESSURE_CHECK: Final = Calculation(
    name="pressure-check",
    title="Line pressures against their limits",
    about="Line pressure in each range or gear against its limits, and how sure that is with a gauge of a given accuracy class.",
    asked_as=(
        "check my line pressures",
        "pressure table checker",
        "gauge class accuracy",
        "is the pressure inside limits",
        "enter psi for each gear",
        "gauge error doubt",
        "presiones contra límites",
    ),
    request=PressureCheck,
    result=PressureCheckResult,
    compute=pressure_check,
    formulas=(
        r"a = \frac{\text{class}}{100} \cdot p_{\text{full scale}}",
        r"U = k \sqrt{\max\left(\frac{s^2}{n}, \frac{r^2}{12\,n}\right) + \frac{a^2}{3}}",
    ),
    sources=(
        Source("EN 837-1:1996", "table 11", "permissible error as a percentage of the span, as quoted by others"),
        Source("JCGM 100:2008, Guide to the expression of uncertainty in measurement", "4.2, 4.3.7, 5.1.2, G.3, G.4.1"),
        Source("ISO 14253-1:2017", "decision rules", "a verdict is called certain when the whole interval agrees"),
    ),
    # Invented, as all figures of the demo.
    example={
        "ranges": [
            {"name": "drive, idle", "readings": ["4.6 bar", "4.8 bar"], "limits": {"min": "4.0 bar", "max": "5.5 bar"}},
            {"name": "drive, fast", "readings": ["10.2 bar"], "limits": {"min": "9.0 bar", "max": "10.5 bar"}},
            {"name": "reverse, idle", "readings": ["6.1 bar"], "limits": {"min": "7.0 bar", "max": "9.0 bar"}},
        ],
        "gauge": {"full_scale": "16 bar", "accuracy_class": "1.6", "resolution": "0.2 bar"},
    },
)
