"""converter-pullback: how far the pads of a torque converter that is pushed fully home are from the flexplate."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.finding import Finding, Held, finding_lines, hold
from calc_engine.bench.judging import combined_lines, gauge_caution, uncertainty_lines
from calc_engine.bench.measuring import MOST_POSITIONS, gauge_that_reads
from calc_engine.bench.micrometer import Micrometer, mean_uncertainty
from calc_engine.bench.verdict import Limits, certain_flag, uncertainty_length
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Option, choice, group, length, text
from calc_engine.maths.functions import square_root
from calc_engine.maths.statistics import Uncertainty, mean, uncertainty_of_difference
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import Measured, mean_step

__all__ = ["CONVERTER_PULLBACK", "ConverterPullback", "ConverterPullbackResult", "converter_pullback"]

_METHODS: Final = {"direct": "gap measured at the flexplate", "depths": "two depths, before the case meets the engine"}
_VERDICTS: Final = (
    Option("in", "in", unsure="In, but close", unjudged="In, but not sure"),
    Option("low", "too little", unsure="Looks too little"),
    Option("high", "too far", unsure="Looks too far"),
)
_NEVER: Final = (
    "Never draw the converter or the case up with bolts: that breaks the pump. With the case tight on the engine, the converter "
    "turns by hand and comes forward to the flexplate by hand (common practice, no source)."
)


@dataclass(frozen=True, slots=True)
class ConverterPullback:
    """The inputs of converter-pullback. Lengths in mm."""

    method: str = choice("How it is measured", "Between the parts, or worked out before they meet.", _METHODS)
    gaps: tuple[Fraction, ...] | None = length(
        "Gap at each pad", "From the pad to the flexplate, with the case tight on the engine and the converter pushed fully home.",
        least="0 mm", most="100 mm", many=((1, MOST_POSITIONS),), item_label="Gap at pad {n}", when=("method", ("direct",)),
    )  # fmt: skip
    pad_depths: tuple[Fraction, ...] | None = length(
        "Depth to each pad", "From a straightedge across the face of the case to the pad, with the converter pushed fully home.",
        least="0 mm", most="500 mm", many=((1, MOST_POSITIONS),), item_label="Depth to pad {n}", when=("method", ("depths",)),
    )  # fmt: skip
    flexplate_heights: tuple[Fraction, ...] | None = length(
        "Height of the flexplate", "How far its face for the pads stands out from the engine's face. Below zero where it lies deeper.",
        least="-500 mm", most="500 mm", many=((1, MOST_POSITIONS),), item_label="Height {n}", when=("method", ("depths",)),
    )  # fmt: skip
    between: Fraction | None = length(
        "Plate between the faces", "Thickness of a plate that lies between engine and case. None when left empty.",
        least="0 mm", most="50 mm", optional=True, when=("method", ("depths",)),
    )  # fmt: skip
    limits: Limits = group(Limits, "Limits", "How far the converter is to come forward.", role="limits")
    gauge: Micrometer | None = gauge_that_reads(Micrometer)


@dataclass(frozen=True, slots=True)
class ConverterPullbackResult:
    """The outputs of converter-pullback. Lengths in mm."""

    pullback: Fraction = length(
        "Pull-back", "From the pads to the flexplate. Negative: they would meet too early.", role="measured"
    )
    verdict: str = choice("Verdict", "Exact: a value on a limit is in.", _VERDICTS, role="verdict")
    certain: bool = certain_flag()
    advice: str = text("Advice", "What the verdict means and what to do.", role="advice")
    uncertainty: Fraction | None = uncertainty_length()
    spread: Fraction = length("Spread", "Of the pads: largest less smallest. A large one means that the converter is askew.")


@dataclass(frozen=True, slots=True)
class _Read:
    """What the readings come to.

    Attributes:
        value: the pull-back, mm.
        pads: the readings at the pads, mm.
        unsure: what is known of its uncertainty.
        step: how finely it is known.
        lines: the working up to the uncertainty.
    """

    value: Fraction
    pads: tuple[Fraction, ...]
    unsure: Uncertainty | None
    step: Fraction | None
    lines: tuple[str, ...]


def converter_pullback(request: ConverterPullback, units: AnswerUnits) -> Answer[ConverterPullbackResult]:
    """How far a converter comes forward to the flexplate, how sure that is, and the verdict.

    p = mean(gap), or mean(depth to the pads) + plate - mean(height of the flexplate)

    Args:
        request: the readings, lengths in mm.
        units: for the working.

    Returns:
        The result with its working.

    Source: common practice, no source; JCGM 100:2008, 5.1.2 and G.4.1; ISO 14253-1:2017 (see `verdict`).

    Example:
        >>> from calc_engine import answer
        >>> request = {"method": "direct", "gaps": ["3.0 mm", "3.2 mm"], "limits": {"min": "2 mm", "max": "5 mm"}}
        >>> answer("converter-pullback", request)["result"]["pullback"]
        '3.1 mm'
    """
    read = _direct(request, units) if request.method == "direct" else _from_depths(request, units)
    found = hold(read.value, read.unsure, read.step, Held(request.limits.min, request.limits.max))
    result = ConverterPullbackResult(
        pullback=found.value,
        verdict=found.verdict,
        certain=found.certain,
        advice=_advice(found),
        uncertainty=found.uncertainty,
        spread=Measured(max(read.pads) - min(read.pads), read.step),
    )
    working = (*read.lines, *finding_lines(found, units))
    return Answer(result, working, tuple(_cautions(request, read)))


def _step(request: ConverterPullback, readings: Sequence[Fraction]) -> Fraction | None:
    return mean_step(request.gauge.resolution, len(readings)) if request.gauge else None


def _mean_line(name: str, values: Sequence[Fraction], step: Fraction | None, units: AnswerUnits) -> str:
    value = Measured(mean(values), step)
    if len(values) == 1:
        return f"{name} {units.equals(value)}"
    terms = " + ".join(units.number(each) if each >= 0 else f"({units.number(each)})" for each in values)
    return f"{name} = ({terms}) / {len(values)} {units.equals(value)}"


def _direct(request: ConverterPullback, units: AnswerUnits) -> _Read:
    gaps = request.gaps or ()
    step, found = _step(request, gaps), mean_uncertainty(gaps, request.gauge)
    unsure = found if found.expanded else None
    lines = (_mean_line("pull-back", gaps, step, units), *uncertainty_lines(gaps, step, unsure, units, readings="pads"))
    return _Read(mean(gaps), gaps, unsure, step, lines)


def _from_depths(request: ConverterPullback, units: AnswerUnits) -> _Read:
    pads, heights, plate = request.pad_depths or (), request.flexplate_heights or (), request.between or Fraction(0)
    step = _step(request, min(pads, heights, key=len))
    parts = mean_uncertainty(pads, request.gauge), mean_uncertainty(heights, request.gauge)
    unsure = uncertainty_of_difference(*parts)
    value = mean(pads) + plate - mean(heights)
    terms = [units.number(Measured(mean(each), step)) for each in (pads, heights)]
    taken = terms[1] if mean(heights) >= 0 else f"({terms[1]})"
    added = f" + {units.number(plate)}" if plate else ""
    lines = (
        _mean_line("depth to the pads", pads, step, units),
        _mean_line("height of the flexplate", heights, step, units),
        f"pull-back = {terms[0]}{added} − {taken} {units.equals(Measured(value, step))}",
        *_difference_lines(parts, unsure, units),
    )
    return _Read(value, pads, unsure, step, lines)


def _difference_lines(parts: Sequence[Uncertainty], unsure: Uncertainty | None, units: AnswerUnits) -> Iterable[str]:
    if unsure is None:
        yield "uncertainty: not known; it takes readings that differ, or the gauge's smallest division or largest error"
        return
    pads, heights = (units.equals(square_root(part.spread_part + part.gauge_part)) for part in parts)
    yield f"of the depth to the pads: u₁ {pads}; of the height of the flexplate: u₂ {heights}"
    yield from combined_lines(unsure, units)


def _advice(found: Finding) -> str:
    again = "" if found.certain else "Measure again. "
    if found.verdict == "low":
        return (
            f"{again}Too little: most likely the converter is not home. Take the case off the engine, then turn and push the converter "
            "until it drops in at every step; bolt nothing up before."
        )
    if found.verdict == "high":
        return f"{again}Too far: drawn forward so far, it may leave the pump's drive. Check converter, flexplate and spacers."
    if found.certain:
        return "Within the limits, and sure of it."
    return "Within the limits by the readings, but not sure: measure again, or fill in what is known of the gauge."


def _cautions(request: ConverterPullback, read: _Read) -> Iterable[str]:
    yield _NEVER
    if request.gauge is None or (request.gauge.resolution, request.gauge.max_error) == (None, None):
        yield gauge_caution("pads", read.unsure.expanded if read.unsure else None)
    if len(read.pads) == 1:
        yield "One pad does not show a converter that is askew: measure at every pad (common practice, no source)."


CONVERTER_PULLBACK: Final = Calculation(
    name="converter-pullback",
    title="Pull-back of a torque converter",
    about="How far a converter that is pushed fully home must come forward to the flexplate: whether it is home, and whether it stays in its drive.",
    asked_as=(
        "pull back calculator",
        "converter depth sum",
        "flexplate gap sum",
        "how far does the converter come forward",
        "converter setback",
        "converter spacing calculator",
        "is my converter home number",
        "distancia convertidor cálculo",
    ),
    request=ConverterPullback,
    result=ConverterPullbackResult,
    compute=converter_pullback,
    formulas=(r"p = \bar{g}", r"p = \bar{t}_{\text{pads}} + t_{\text{plate}} - \bar{h}_{\text{flexplate}}"),
    sources=(
        Source("Pull-back of the converter before it is bolted to the flexplate", "", "common practice, no source"),
        Source("JCGM 100:2008, Guide to the expression of uncertainty in measurement", "4.2, 4.3.7, 5.1.2, G.3, G.4.1"),
        Source("ISO 14253-1:2017", "decision rules", "the verdict is called certain when the whole interval agrees"),
    ),
    # Invented, as all figures of the demo.
    example={
        "method": "depths",
        "pad_depths": ["21.4 mm", "21.6 mm", "21.5 mm"],
        "flexplate_heights": ["18.0 mm", "18.2 mm", "18.1 mm"],
        "limits": {"min": "2.0 mm", "max": "5.0 mm"},
        "gauge": {"resolution": "0.1 mm", "max_error": "0.1 mm"},
    },
)
