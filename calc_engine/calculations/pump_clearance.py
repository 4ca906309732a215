"""pump-clearance: the clearances of an oil pump, each read at several places and held against its own limits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.choosing import twice
from calc_engine.bench.finding import Finding, Held, finding_lines, hold, is_whole_certain, reading_of, whole_verdict
from calc_engine.bench.measuring import MOST_POSITIONS, gauge_that_reads
from calc_engine.bench.micrometer import Micrometer
from calc_engine.bench.verdict import Limits
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Option, choice, flag, group, length, text
from calc_engine.maths.statistics import Uncertainty
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import uncertain
from calc_engine.quantities.phrases import listed

__all__ = ["PUMP_CLEARANCE", "PumpClearance", "PumpClearanceResult", "PumpGap", "PumpGapOutcome", "pump_clearance"]

_MOST_GAPS: Final = 20
_VERDICTS: Final = (
    Option("in", "in", unsure="In, but close", unjudged="In, but not sure"),
    Option("low", "too tight", unsure="Looks too tight"),
    Option("high", "too loose", unsure="Looks too loose"),
)


@dataclass(frozen=True, slots=True)
class PumpGap:
    """One clearance of the pump. Lengths in mm."""

    name: str = text("Clearance", "What is measured: side clearance, tip to crescent, gear to body.", role="identity")
    readings: tuple[Fraction, ...] = length(
        "Readings", "The leaves that together just go in, at several places round the pump.",
        least="0 mm", most="10 mm", many=((1, MOST_POSITIONS),), item_label="Reading {n}",
    )  # fmt: skip
    limits: Limits = group(Limits, "Limits", "What the spec asks for, at every place.")


@dataclass(frozen=True, slots=True)
class PumpClearance:
    """The inputs of pump-clearance. Lengths in mm."""

    clearances: tuple[PumpGap, ...] = group(
        PumpGap,
        "Clearances",
        "Each clearance of the pump, with its own limits.",
        many=((1, _MOST_GAPS),),
        item_label="Clearance {n}",
    )
    gauge: Micrometer | None = gauge_that_reads(Micrometer)

    def problems(self, _field: str) -> Iterable[Problem]:
        """Says when a name appears twice."""
        yield from twice([gap.name for gap in self.clearances], "clearances")


@dataclass(frozen=True, slots=True)
class PumpGapOutcome:
    """What is known of one clearance. Lengths in mm."""

    name: str = text("Clearance", "Its name.", role="identity")
    smallest: Fraction = length("Smallest", "Of its readings.")
    largest: Fraction = length("Largest", "Of its readings.")
    verdict: str = choice("Verdict", "Of its worst place.", _VERDICTS)
    certain: bool = flag("Sure", "Whether that holds whatever the gauge's error. Never where nothing is known of the gauge.")


@dataclass(frozen=True, slots=True)
class PumpClearanceResult:
    """The outputs of pump-clearance. Lengths in mm."""

    verdict: str = choice("Verdict", "Of the whole pump: its worst clearance.", _VERDICTS, role="verdict")
    certain: bool = flag(
        "Sure", "Whether the verdict holds whatever the gauge's error. Never where nothing is known of the gauge.", role="certain"
    )
    advice: str = text("Advice", "What to do.", role="advice")
    uncertainty: Fraction | None = length(
        "Uncertainty", "Of one reading, plus or minus, 95.45 times in 100. Absent when nothing is known of the gauge.",
        optional=True, role="uncertainty",
    )  # fmt: skip
    clearances: tuple[PumpGapOutcome, ...] = group(
        PumpGapOutcome, "Each clearance", "In the order measured.", many=((1, _MOST_GAPS),)
    )


def pump_clearance(request: PumpClearance, units: AnswerUnits) -> Answer[PumpClearanceResult]:
    """Which clearances of a pump are within their limits, at every place.

    A clearance is held against its limits place by place, not by its mean: a tight place seizes, a loose one leaks.

    Args:
        request: the readings, lengths in mm.
        units: for the working.

    Returns:
        A verdict for each clearance and one for the pump, with the working.

    Source: US Army TM 9-2320-365-34-2, p. 21-17 (clearances of a pump, place by place); JCGM 100:2008, 4.3.7 and 5.1.2;
        ISO 14253-1:2017 (see `verdict`).

    Example:
        >>> from calc_engine import answer
        >>> side = {"name": "side", "readings": ["0.05 mm", "0.09 mm"], "limits": {"min": "0.03 mm", "max": "0.08 mm"}}
        >>> answer("pump-clearance", {"clearances": [side]})["result"]["clearances"][0]["verdict"]
        'high'
    """
    found = [_findings(gap, request.gauge) for gap in request.clearances]
    outcomes = tuple(_outcome(gap, findings) for gap, findings in zip(request.clearances, found, strict=True))
    every = [finding for findings in found for finding in findings]
    unsure = _uncertainty(Fraction(0), request.gauge)
    result = PumpClearanceResult(
        verdict=whole_verdict(every),
        certain=is_whole_certain(every),
        advice=_advice(outcomes, known=unsure is not None),
        uncertainty=uncertain(unsure.expanded) if unsure else None,
        clearances=outcomes,
    )
    return Answer(result, tuple(_lines(request, found, result, units)), tuple(_cautions(request, found, result)))


def _uncertainty(value: Fraction, gauge: Micrometer | None) -> Uncertainty | None:
    return reading_of([value], gauge.resolution, gauge.max_error) if gauge else None


def _findings(gap: PumpGap, gauge: Micrometer | None) -> list[Finding]:
    held, step = Held(gap.limits.min, gap.limits.max), gauge.resolution if gauge else None
    return [hold(reading, _uncertainty(reading, gauge), step, held) for reading in gap.readings]


def _outcome(gap: PumpGap, findings: Sequence[Finding]) -> PumpGapOutcome:
    values = [finding.value for finding in findings]
    return PumpGapOutcome(
        name=gap.name,
        smallest=min(values),
        largest=max(values),
        verdict=whole_verdict(findings),
        certain=is_whole_certain(findings),
    )


def _advice(outcomes: Sequence[PumpGapOutcome], *, known: bool) -> str:
    said = []
    for verdict, words in (("low", "Too tight"), ("high", "Too loose")):
        names = [outcome.name for outcome in outcomes if outcome.verdict == verdict]
        if names:
            said.append(f"{words}: {listed(names)}.")
    close = [outcome.name for outcome in outcomes if not outcome.certain]
    if close and known:
        said.append(f"Too close to a limit to trust, measure again: {listed(close)}.")
    return " ".join(said) or (
        "Every clearance is within its limits, and sure of it." if known else "Every reading is within its limits."
    )


def _lines(
    request: PumpClearance, found: Sequence[Sequence[Finding]], result: PumpClearanceResult, units: AnswerUnits
) -> Iterable[str]:
    if result.uncertainty is not None:
        yield f"one reading could be off by U {units.equals(result.uncertainty)}"
    for gap, findings in zip(request.clearances, found, strict=True):
        worst = {min(findings, key=_value), max(findings, key=_value)}
        for finding in sorted(worst, key=_value):
            which = "reading" if len(findings) == 1 else "every reading" if len(worst) == 1 else _which(finding, findings)
            yield f"{gap.name}, {which}: {'; '.join(finding_lines(finding, units))}"


def _value(finding: Finding) -> Fraction:
    return finding.value


def _which(finding: Finding, findings: Sequence[Finding]) -> str:
    return "smallest" if finding.value == min(map(_value, findings)) else "largest"


def _cautions(request: PumpClearance, found: Sequence[Sequence[Finding]], result: PumpClearanceResult) -> Iterable[str]:
    if result.uncertainty is None:
        yield "No gauge data: the verdicts are only as sure as the readings. Fill in the smallest division or largest error."
    for gap, findings in zip(request.clearances, found, strict=True):
        if {"low", "high"} <= {finding.verdict for finding in findings}:
            yield f"{gap.name} is too tight at one place and too loose at another: look for a burr, wear on one side, or a bent part."
    if any(len(gap.readings) == 1 for gap in request.clearances):
        yield "One reading does not show wear on one side: turn the gears and measure at three places at least (common practice, no source)."


PUMP_CLEARANCE: Final = Calculation(
    name="pump-clearance",
    title="Clearances of an oil pump",
    about="Side, tip and face clearances of an oil pump by straightedge and feeler: each at several places against its own limits.",
    asked_as=(
        "pump gear gaps sum",
        "pump feeler readings",
        "crescent clearance form",
        "side tip and face clearance",
        "is the pump worn out number",
        "pump calculator",
        "holguras de la bomba",
    ),
    request=PumpClearance,
    result=PumpClearanceResult,
    compute=pump_clearance,
    formulas=(r"x_{\min} \le x_i \le x_{\max} \text{ at every place}", r"U = k \sqrt{\frac{r^2}{12} + \frac{a_{\max}^2}{3}}"),
    sources=(
        Source("US Army TM 9-2320-365-34-2", "p. 21-17", "clearances of a pump, place by place"),
        Source("JCGM 100:2008, Guide to the expression of uncertainty in measurement", "4.3.7, 5.1.2"),
        Source("ISO 14253-1:2017", "decision rules", "a verdict is called certain when the whole interval agrees"),
        Source("The worst place decides, not the mean", "", "common practice, no source"),
    ),
    # Invented, as all figures of the demo.
    example={
        "clearances": [
            {
                "name": "side clearance, inner gear",
                "readings": ["0.04 mm", "0.05 mm", "0.04 mm"],
                "limits": {"min": "0.02 mm", "max": "0.07 mm"},
            },
            {
                "name": "tip to crescent",
                "readings": ["0.18 mm", "0.20 mm", "0.19 mm"],
                "limits": {"min": "0.10 mm", "max": "0.25 mm"},
            },
            {
                "name": "outer gear to body",
                "readings": ["0.12 mm", "0.13 mm", "0.17 mm"],
                "limits": {"min": "0.08 mm", "max": "0.15 mm"},
            },
        ],
        "gauge": {"resolution": "0.01 mm", "max_error": "0.005 mm"},
    },
)
