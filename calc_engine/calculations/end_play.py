"""end-play: how far a shaft moves along its own line, and the thrust washer that sets it right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.judging import (
    Judged,
    Selective,
    as_judged,
    gauge_caution,
    judge_readings,
    uncertainty_lines,
    verdict_lines,
)
from calc_engine.bench.measuring import MOST_POSITIONS, gauge_that_reads
from calc_engine.bench.readings import Gauge, dial_positions
from calc_engine.bench.selective import THICKER_LABELS, THICKER_SIGNS, Choice, ChoiceOutcome, choice_lines, find_fitted
from calc_engine.bench.verdict import Limits
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import choice, group, length, text
from calc_engine.maths.statistics import mean
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits

__all__ = ["END_PLAY", "EndPlay", "EndPlayResult", "end_play"]


@dataclass(frozen=True, slots=True)
class EndPlay:
    """The inputs of end-play. Lengths in mm."""

    lifts: tuple[Fraction, ...] = length(
        "Travel of the shaft", "Dial at zero with the shaft pushed home, then pull it out to the stop. Read the dial, and do it again.",
        least="0 mm", most="20 mm", many=((1, MOST_POSITIONS),), item_label="Travel, reading {n}", role="reading",
    )  # fmt: skip
    limits: Limits = group(Limits, "Limits", "The end play that the spec asks for.", role="limits")
    gauge: Gauge | None = gauge_that_reads(Gauge, "gauge")
    fitted: str | None = text(
        "Washer fitted now", "The size of thrust washer that it was measured with.", optional=True, role="fitted"
    )
    choices: tuple[Choice, ...] | None = group(
        Choice, "Washers to choose from", "The sizes that the thrust washer comes in.",
        many=((1, 60),), item_label="Size {n}", optional=True, role="sizes",
    )  # fmt: skip
    effect: str | None = choice(
        "A thicker washer",
        "Whether it makes the end play smaller or larger. Smaller when left empty.",
        THICKER_LABELS,
        optional=True,
        role="effect",
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        if self.choices is not None and self.fitted is None:
            remedy = "Name the size that the end play was measured with."
            yield Problem("fitted", "missing", "The washer fitted now is missing.", remedy)
        if self.fitted is not None and self.choices is None:
            remedy = "List the sizes, or leave the fitted one out."
            yield Problem("choices", "missing", "The washers to choose from are missing.", remedy)
        if self.effect is not None and self.choices is None:
            remedy = "Leave it out, or list the sizes."
            yield Problem("effect", "not-used", "The effect has no meaning without washers to choose from.", remedy)
        if self.fitted is not None and self.choices is not None:
            yield from find_fitted(self.fitted, self.choices, "fitted", "choices")


@dataclass(frozen=True, slots=True)
class EndPlayResult(Judged):
    """The outputs of end-play. Lengths in mm."""

    end_play: Fraction = length("End play", "The mean of the readings.")
    choice: str | None = text(
        "Washer to fit", "The size nearest the centre of the limits. Absent when none is within them.", optional=True
    )
    shim: Fraction | None = length("Its thickness", "Of the washer to fit.", optional=True)
    resulting: Fraction | None = length("End play with it", "Measured, plus what the change of washer does.", optional=True)


def end_play(request: EndPlay, units: AnswerUnits) -> Answer[EndPlayResult]:
    """The end play of a shaft, how sure it is, the verdict and the thrust washer to fit.

    e = mean(lift x cos a); with a washer of thickness t instead of t0: e - (t - t0), or plus where a thicker one loosens.

    Args:
        request: the readings, lengths in mm.
        units: for the working.

    Returns:
        The result with its working.

    Source: mean and uncertainty by JCGM 100:2008 (see `statistics`); guarded decision by ISO 14253-1:2017 (see `verdict`).

    Example:
        >>> from calc_engine import answer
        >>> request = {"lifts": ["0.40 mm", "0.44 mm"], "limits": {"min": "0.20 mm", "max": "0.50 mm"}}
        >>> result = answer("end-play", request)["result"]
        >>> result["end_play"], result["verdict"]
        ('0.42 mm', 'in')
    """
    read = dial_positions(request.lifts, request.gauge, units)
    effect = THICKER_SIGNS[request.effect or "tightens"]
    selective = Selective(request.fitted, request.choices, effect) if request.fitted and request.choices else None
    found, unsure = judge_readings(read, read.values, request.limits, selective, units)
    measured = as_judged(mean(read.values), read.step, request.limits)
    chosen = _chosen(found["by_choice"] or (), found["fit"])
    result = EndPlayResult(
        **found,
        end_play=measured,
        choice=found["fit"],
        shim=chosen.thickness if chosen else None,
        resulting=chosen.clearance if chosen else None,
    )
    number = len(read.values)
    working = (
        *read.working,
        *([f"mean = ({read.expression}) / {number} {units.equals(measured)}"] if number > 1 else []),
        f"end play {units.equals(measured)}",
        *uncertainty_lines(read.values, read.step, unsure, units),
        *verdict_lines(measured, result.uncertainty, request.limits, units, effect),
        *(choice_lines(result.by_choice, selective.fitted, measured, effect, units) if result.by_choice and selective else ()),
    )
    return Answer(result, working, tuple(_cautions(request, result)))


def _chosen(found: tuple[ChoiceOutcome, ...], fit: str | None) -> ChoiceOutcome | None:
    return next((outcome for outcome in found if outcome.id == fit), None)


def _cautions(request: EndPlay, result: EndPlayResult) -> Iterable[str]:
    if request.gauge is None or (request.gauge.resolution is None and request.gauge.max_error is None):
        yield gauge_caution("readings", result.uncertainty)
    if len(request.lifts) == 1:
        yield "One reading cannot show a dial that slips: push, pull and read at least three times (common practice, no source)."
    if request.choices is not None and result.choice is None:
        yield "No washer of the list brings the end play within its limits: check that every part is home and none is left out."


_EXAMPLE: Final = {
    "lifts": ["0.62 mm", "0.61 mm", "0.63 mm"],
    "limits": {"min": "0.20 mm", "max": "0.50 mm"},
    "gauge": {"resolution": "0.01 mm", "max_error": "0.02 mm"},
    "fitted": "plain",
    "choices": [
        {"id": "plain", "thickness": "1.50 mm"},
        {"id": "one notch", "thickness": "1.70 mm"},
        {"id": "two notches", "thickness": "1.90 mm"},
    ],
}

END_PLAY: Final = Calculation(
    name="end-play",
    subject="shaft",
    measures="end play",
    title="End play of a shaft",
    about="The end play from repeated dial readings, how sure it is, whether it is within its limits, and the thrust washer to fit.",
    asked_as=(
        "end play calculator",
        "end float sum",
        "which thrust washer to fit",
        "washer thickness from the dial",
        "three pulls average",
        "shaft float sum",
        "selective washer chooser",
        "juego axial cálculo",
    ),
    request=EndPlay,
    result=EndPlayResult,
    compute=end_play,
    formulas=(
        r"e = \frac{1}{n}\sum_{i=1}^{n} l_i \cos a",
        r"U = k \sqrt{\max\left(\frac{s^2}{n}, \frac{r^2}{6n}\right) + \frac{a_{\max}^2}{3}}",
        r"e_{\text{new}} = e \mp (t_{\text{new}} - t_{\text{fitted}})",
    ),
    sources=(
        Source("JCGM 100:2008, Guide to the expression of uncertainty in measurement", "4.2, 4.3.7, 5.1.2, G.3, G.4.1"),
        Source("ISO 14253-1:2017", "decision rules", "the verdict is called certain when the whole interval agrees"),
        Source("At least three readings", "", "common practice, no source"),
    ),
    example=_EXAMPLE,
)
