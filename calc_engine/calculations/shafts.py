"""end-play and bearing-shim: how far a shaft moves along its own line, and what sets it right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.judging import (
    MOST_POSITIONS,
    Judged,
    Selective,
    gauge_caution,
    judge_readings,
    uncertainty_lines,
    verdict_lines,
)
from calc_engine.bench.readings import Gauge, dial_positions
from calc_engine.bench.selective import Choice, ChoiceOutcome, choice_lines, find_fitted
from calc_engine.bench.verdict import Limits
from calc_engine.declare.alternatives import at_most_one
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import choice, group, length, text
from calc_engine.maths.statistics import mean
from calc_engine.problems import Problem, Refused
from calc_engine.quantities.answer_units import AnswerUnits

__all__ = ["BEARING_SHIM", "END_PLAY", "BearingShim", "BearingShimResult", "EndPlay", "EndPlayResult", "bearing_shim", "end_play"]

_EFFECTS: Final = {"tightens": "A thicker one tightens", "loosens": "A thicker one loosens"}
_SIGNS: Final = {"tightens": -1, "loosens": 1}


@dataclass(frozen=True, slots=True)
class EndPlay:
    """The inputs of end-play. Lengths in mm."""

    lifts: tuple[Fraction, ...] = length(
        "Travel of the shaft", "Dial at zero with the shaft pushed home, then pull it out to the stop. Read the dial, and do it again.",
        least="0 mm", most="20 mm", many=((1, MOST_POSITIONS),), item_label="Travel, reading {n}", role="reading",
    )  # fmt: skip
    limits: Limits = group(Limits, "Limits", "The end play that the spec asks for.", role="limits")
    gauge: Gauge | None = group(
        Gauge,
        "Gauge",
        "How finely it reads and how far off it may be: this decides how sure the answer is.",
        optional=True,
        role="gauge",
    )
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
        _EFFECTS,
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
    """
    read = dial_positions(request.lifts, request.gauge, units)
    effect = _SIGNS[request.effect or "tightens"]
    selective = Selective(request.fitted, request.choices, effect) if request.fitted and request.choices else None
    found, unsure = judge_readings(read, read.values, request.limits, selective, units)
    measured = mean(read.values)
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
        *uncertainty_lines(read.values, unsure, units),
        *verdict_lines(measured, result.uncertainty, request.limits, units, effect),
        *(choice_lines(result.by_choice, selective.fitted, measured, effect, units) if result.by_choice and selective else ()),
    )
    return Answer(result, working, tuple(_end_play_cautions(request, result)))


def _chosen(found: tuple[ChoiceOutcome, ...], fit: str | None) -> ChoiceOutcome | None:
    return next((outcome for outcome in found if outcome.id == fit), None)


def _end_play_cautions(request: EndPlay, result: EndPlayResult) -> Iterable[str]:
    if request.gauge is None or (request.gauge.resolution is None and request.gauge.max_error is None):
        yield gauge_caution("readings", result.uncertainty)
    if len(request.lifts) == 1:
        yield "One reading cannot show a dial that slips: push, pull and read at least three times (common practice, no source)."
    if request.choices is not None and result.choice is None:
        yield "No washer of the list brings the end play within its limits: check that every part is home and none is left out."


@dataclass(frozen=True, slots=True)
class BearingShim:
    """The inputs of bearing-shim. Lengths in mm."""

    measured_end_play: Fraction = length(
        "End play now", "Measured with the trial shim fitted, the bearing turned and settled.", least="0 mm", most="20 mm"
    )
    fitted_shim: Fraction = length(
        "Shim fitted now", "Thickness of the trial shim. 0 when none is in.", least="0 mm", most="50 mm"
    )
    thicker: str = choice("A thicker shim", "Whether it makes the end play smaller or larger.", _EFFECTS)
    target: Fraction = length(
        "Wanted", "The end play that the spec asks for; a preload as a negative one.", least="-5 mm", most="20 mm"
    )
    choices: tuple[Choice, ...] | None = group(
        Choice, "Shims to choose from", "The sizes that the shim comes in.",
        many=((1, 60),), item_label="Size {n}", optional=True,
    )  # fmt: skip
    step: Fraction | None = length(
        "Step of the shims", "When they come in equal steps instead of a list.", above="0 mm", most="10 mm", optional=True
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        yield from at_most_one({"choices": self.choices, "step": self.step})
        if self.choices is not None:
            # The trial shim need not be of the list: the first size stands in, so that only ids are checked.
            yield from find_fitted(self.choices[0].id, self.choices, "choices", "choices")


@dataclass(frozen=True, slots=True)
class BearingShimResult:
    """The outputs of bearing-shim. Lengths in mm."""

    shim: Fraction = length("Shim, exact", "The thickness that gives exactly what is wanted.")
    advice: str = text("Advice", "What to fit.", role="advice")
    choice: str | None = text("Shim to fit", "The size nearest the exact one. Given with a list of sizes.", optional=True)
    stepped: Fraction | None = length("Nearest step", "The exact thickness brought to the nearest step.", optional=True)
    resulting: Fraction = length("End play then", "With the shim to fit. Negative: a preload.")
    off_target: Fraction = length("Off what is wanted", "What that is more than wanted. Negative: less.")


def bearing_shim(request: BearingShim, units: AnswerUnits) -> Answer[BearingShimResult]:
    """The shim that gives a wanted end play or preload.

    shim = fitted + (measured - target) where a thicker shim tightens, fitted - (measured - target) where it loosens.

    Args:
        request: the inputs, lengths in mm.
        units: for the working.

    Returns:
        The exact shim, the nearest that can be had, and what it leaves.

    Raises:
        Refused: ``no-shim``, when the shim would have no thickness or less.

    Source: arithmetic, as in shim procedures of public technical manuals (US Army TM 10-3930-660-34, p. 16-137).
    """
    sign = _SIGNS[request.thicker]
    exact = request.fitted_shim - sign * (request.measured_end_play - request.target)
    if exact <= 0:
        raise Refused(
            Problem(
                "target",
                "no-shim",
                f"For this the shim would be {units.show(exact)} thick.",
                "Check whether a thicker shim tightens or loosens, the sign of the preload, and whether a part is left out.",
            )
        )
    chosen = _nearest(request.choices, exact, sign) if request.choices else None
    stepped = None if request.step is None else _nearest_step(exact, request.step, sign)
    used = chosen.thickness if chosen else stepped if stepped is not None else exact
    resulting = request.measured_end_play + sign * (used - request.fitted_shim)
    result = BearingShimResult(
        shim=exact,
        advice=_shim_advice(request, chosen, used, resulting, units),
        choice=chosen.id if chosen else None,
        stepped=stepped,
        resulting=resulting,
        off_target=resulting - request.target,
    )
    working = tuple(_shim_lines(request, result, used, units))
    return Answer(result, working, tuple(_shim_cautions(request, result)))


def _looser_first(thickness: Fraction, exact: Fraction, sign: int) -> tuple[Fraction, Fraction]:
    """Orders by nearness; of two that are as near, the one that leaves more play comes first: too much preload kills a bearing."""
    return abs(thickness - exact), -sign * thickness


def _nearest(choices: tuple[Choice, ...], exact: Fraction, sign: int) -> Choice | None:
    at_hand = [size for size in choices if size.stock != 0]
    return min(at_hand, key=lambda size: _looser_first(size.thickness, exact, sign), default=None)


def _nearest_step(exact: Fraction, step: Fraction, sign: int) -> Fraction:
    below = exact // step * step
    return min((below, below + step), key=lambda thickness: _looser_first(thickness, exact, sign))


def _said(play: Fraction, units: AnswerUnits) -> str:
    if play < 0:
        return f"a preload of {units.show(-play)}"
    return f"an end play of {units.show(play)}" if play else "neither play nor preload"


def _shim_advice(request: BearingShim, chosen: Choice | None, used: Fraction, resulting: Fraction, units: AnswerUnits) -> str:
    if request.choices and chosen is None:
        return f"No shim of the list is on the shelf. Get one of {units.show(used)}."
    if used == 0:
        return f"The nearest step is no shim at all. That leaves {_said(resulting, units)}."
    shim = f"{chosen.id} ({units.show(used)})" if chosen else f"a shim of {units.show(used)}"
    return f"Fit {shim}. That leaves {_said(resulting, units)}."


def _shim_lines(request: BearingShim, result: BearingShimResult, used: Fraction, units: AnswerUnits) -> Iterable[str]:
    sign, word = ("+", "tightens") if request.thicker == "tightens" else ("−", "loosens")
    yield (
        f"a thicker shim {word}: shim = fitted {sign} (measured − wanted) = {units.number(request.fitted_shim)} {sign} "
        f"({units.number(request.measured_end_play)} − {_bracketed(request.target, units)}) {units.equals(result.shim)}"
    )
    if result.stepped is not None and request.step is not None:
        yield f"in steps of {units.show(request.step)}: {units.show(result.stepped)}"
    if result.choice is not None:
        yield f"nearest of the list: {result.choice}, {units.show(used)}"
    back = "−" if sign == "+" else "+"
    yield (
        f"end play with it = {units.number(request.measured_end_play)} {back} "
        f"({units.number(used)} − {units.number(request.fitted_shim)}) {units.equals(result.resulting)}"
    )
    if result.off_target:
        yield f"{units.show(abs(result.off_target))} {'more' if result.off_target > 0 else 'less'} play than wanted"


def _bracketed(value: Fraction, units: AnswerUnits) -> str:
    return f"({units.number(value)})" if value < 0 else units.number(value)


def _shim_cautions(request: BearingShim, result: BearingShimResult) -> Iterable[str]:
    if request.target < 0:
        yield (
            "Prove the preload by the turning torque that the maker's manual gives: "
            "thickness does not know how the case gives way (common practice, no source)."
        )
    if request.measured_end_play == 0:
        yield "No end play can hide a preload: measure with a shim that leaves some play, or by depth."
    if request.target >= 0 > result.resulting:
        yield "The nearest shim would preload the bearing, though an end play is wanted: find a size between."


_END_PLAY_EXAMPLE: Final = {
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
    example=_END_PLAY_EXAMPLE,
)

BEARING_SHIM: Final = Calculation(
    name="bearing-shim",
    title="Shim for a bearing",
    about="The shim that gives a wanted end play or preload, from the end play measured with a trial shim.",
    request=BearingShim,
    result=BearingShimResult,
    compute=bearing_shim,
    formulas=(
        r"s = s_{\text{fitted}} + (e_{\text{measured}} - e_{\text{wanted}}) \quad \text{where a thicker shim tightens}",
        r"s = s_{\text{fitted}} - (e_{\text{measured}} - e_{\text{wanted}}) \quad \text{where a thicker shim loosens}",
    ),
    sources=(
        Source("Arithmetic; a preload counts as a negative end play"),
        Source("US Army TM 10-3930-660-34", "p. 16-137", "a shim for the preload of tapered bearings, as worked there"),
        Source("Of two sizes as near, the one that leaves more play", "", "our choice"),
    ),
    example={
        "measured_end_play": "0.14 mm",
        "fitted_shim": "1.20 mm",
        "thicker": "tightens",
        "target": "-0.05 mm",
        "step": "0.05 mm",
    },
)
