"""cooler-flow: how much fluid comes back from the cooler in a minute, against the least that the spec asks for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.finding import Finding, Held, finding_lines, hold
from calc_engine.bench.judging import uncertainty_lines
from calc_engine.bench.verdict import certain_flag
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Option, amount, choice, count, group, text
from calc_engine.maths.statistics import known_uncertainty, mean
from calc_engine.quantities.answer_units import AnswerUnits, plain
from calc_engine.quantities.units import Dimension

__all__ = ["COOLER_FLOW", "CoolerFlow", "CoolerFlowResult", "CoolerRun", "RunOutcome", "cooler_flow"]

_D: Final = Dimension
_MOST_RUNS: Final = 24
_ENOUGH_RUNS: Final = 3
_SHORTEST: Final = 3  # s
_VERDICTS: Final = (
    Option("in", "enough", unsure="Enough, but close", unjudged="Enough, but not sure"),
    Option("low", "too little", unsure="Looks too little"),
)


@dataclass(frozen=True, slots=True)
class CoolerRun:
    """One vessel filled. Volume in mL, time in s."""

    volume: Fraction = amount(_D.VOLUME, "Volume", "What ran into the vessel.", above="0 L", most="100 L")
    time: Fraction = amount(_D.TIME, "Time", "In which it ran in.", above="0 s", most="1 h")


@dataclass(frozen=True, slots=True)
class CoolerFlow:
    """The inputs of cooler-flow. Volumes in mL, times in s, flow in mL/s, temperature in degrees Celsius."""

    runs: tuple[CoolerRun, ...] = group(
        CoolerRun, "Runs", "Each time that you let it run into a vessel.", many=((1, _MOST_RUNS),), item_label="Run {n}"
    )
    least: Fraction = amount(
        _D.FLOW, "Least flow", "What the spec asks for. A flow on it is enough.", above="0 L/min", most="100 L/min"
    )
    temperature: Fraction | None = amount(
        _D.TEMPERATURE, "Temperature of the fluid", "Noted with the answer; nothing is worked out from it.",
        least="-50 degC", most="200 degC", optional=True,
    )  # fmt: skip
    volume_error: Fraction | None = amount(
        _D.VOLUME, "Largest error of the volume", "How far off the vessel's marks and your reading may be.", least="0 L", most="10 L", optional=True
    )  # fmt: skip
    time_error: Fraction | None = amount(
        _D.TIME, "Largest error of the time", "How far off starting and stopping may be.", least="0 s", most="60 s", optional=True
    )


@dataclass(frozen=True, slots=True)
class RunOutcome:
    """What one run came to. Flow in mL/s."""

    run: int = count("Run", "Its number.", most=_MOST_RUNS)
    flow: Fraction = amount(_D.FLOW, "Flow", "Volume divided by time.")


@dataclass(frozen=True, slots=True)
class CoolerFlowResult:
    """The outputs of cooler-flow. Flows in mL/s."""

    flow: Fraction = amount(_D.FLOW, "Flow", "The mean of the runs.", role="measured")
    verdict: str = choice("Verdict", "Exact: a flow on the limit is enough.", _VERDICTS, role="verdict")
    certain: bool = certain_flag()
    advice: str = text("Advice", "What the verdict means and what to do.", role="advice")
    uncertainty: Fraction | None = amount(
        _D.FLOW,
        "Uncertainty",
        "The true flow lies within plus or minus this, 95.45 times in 100. Absent when the runs do not differ and no error is given.",
        optional=True,
        role="uncertainty",
    )
    runs: tuple[RunOutcome, ...] = group(RunOutcome, "Each run", "In the order measured.", many=((1, _MOST_RUNS),))


def cooler_flow(request: CoolerFlow, units: AnswerUnits) -> Answer[CoolerFlowResult]:
    """The flow through a cooler, how sure it is, and whether it is enough.

    q = mean(V / t); the largest errors of volume and time count in each run alike.

    Args:
        request: the runs, in base units.
        units: for the working.

    Returns:
        The flow with its working.

    Source: volume over time: Connected Waters, Volumetric streamflow method, equation 1; JCGM 100:2008, 4.2, 4.3.7 and 5.1.2;
        ISO 14253-1:2017 (see `verdict`).

    Example:
        >>> from calc_engine import answer
        >>> result = answer("cooler-flow", {"runs": [{"volume": "1 L", "time": "30 s"}], "least": "1.5 L/min"})["result"]
        >>> result["flow"], result["verdict"]
        ('2 L/min', 'in')
    """
    flows = tuple(run.volume / run.time for run in request.runs)
    unsure = known_uncertainty(flows, Fraction(0), _error_variance(request))
    found = hold(mean(flows), unsure, None, Held(request.least, None))
    result = CoolerFlowResult(
        flow=found.value,
        verdict=found.verdict,
        certain=found.certain,
        advice=_advice(found),
        uncertainty=found.uncertainty,
        runs=tuple(RunOutcome(run=number, flow=flow) for number, flow in enumerate(flows, 1)),
    )
    working = (
        *_run_lines(request, flows, units),
        *([f"flow = {_sum(flows, units)} / {len(flows)} {units.equals(found.value, _D.FLOW)}"] if len(flows) > 1 else []),
        *([] if request.temperature is None else [f"at {units.show(request.temperature, _D.TEMPERATURE)}, as noted"]),
        *uncertainty_lines(flows, None, unsure, units, _D.FLOW, readings="runs"),
        *finding_lines(found, units, _D.FLOW),
    )
    return Answer(result, working, tuple(_cautions(request)))


def _error_variance(request: CoolerFlow) -> Fraction:
    """The variance (c_V^2 a_V^2 + c_t^2 a_t^2) / 3, with the sensitivities 1/t and V/t^2 as means over the runs."""
    by_volume = mean([1 / run.time for run in request.runs]) * (request.volume_error or 0)
    by_time = mean([run.volume / run.time**2 for run in request.runs]) * (request.time_error or 0)
    return (by_volume**2 + by_time**2) / 3


def _run_lines(request: CoolerFlow, flows: tuple[Fraction, ...], units: AnswerUnits) -> Iterable[str]:
    for number, (run, flow) in enumerate(zip(request.runs, flows, strict=True), 1):
        time = f"{plain(units.quantity(run.time, _D.TIME).value, 3)} {units.symbol(_D.TIME)}"
        yield f"run {number}: {units.show(run.volume, _D.VOLUME)} / {time} {units.equals(flow, _D.FLOW)}"


def _sum(flows: tuple[Fraction, ...], units: AnswerUnits) -> str:
    return f"({' + '.join(units.number(flow, _D.FLOW) for flow in flows)})"


def _advice(found: Finding) -> str:
    if found.verdict == "in":
        if found.certain:
            return "Enough, and sure of it."
        return "Enough by the runs, but not sure: do more runs, or fill in how far off volume and time may be."
    again = "" if found.certain else "Do more runs before you decide. "
    return f"{again}Too little: look for a kinked line, a blocked cooler or a stuck bypass, flush it, and measure again."


def _cautions(request: CoolerFlow) -> Iterable[str]:
    yield "Hot fluid under pressure: hold the hose fast, wear gloves and glasses, and stop before the level gets low (common practice, no source)."
    if request.temperature is None:
        yield "Cold fluid flows more slowly: note its temperature, and compare at the one that the spec names (common practice, no source)."
    if len(request.runs) < _ENOUGH_RUNS:
        yield "Do at least three runs: one alone does not show a slip of the watch."
    if any(run.time < _SHORTEST for run in request.runs):
        yield "A vessel that fills in less than three seconds is too small to be timed by hand: take a larger one."


COOLER_FLOW: Final = Calculation(
    name="cooler-flow",
    title="Flow through the cooler",
    about="The flow from the cooler's return line, by vessel and watch, against the least that the spec asks for.",
    asked_as=(
        "flow rate of the cooler",
        "litres a minute sum",
        "quarts a minute",
        "jug and stopwatch sum",
        "gallons per minute",
        "is the cooler flow enough",
        "volume over time",
        "flujo del enfriador cálculo",
    ),
    request=CoolerFlow,
    result=CoolerFlowResult,
    compute=cooler_flow,
    formulas=(
        r"q = \frac{1}{n} \sum_i \frac{V_i}{t_i}",
        r"U = k \sqrt{\frac{s^2}{n} + \frac{1}{3}\left(\overline{1/t}^2 a_V^2 + \overline{V/t^2}^2 a_t^2\right)}",
    ),
    sources=(
        Source(
            "Connected Waters, Volumetric streamflow method", "equation 1", "three runs or more, three seconds or more to fill"
        ),
        Source("NIST SP 811", "appendix B.8", "US gallon of 231 cubic inches, a quart is a quarter of it"),
        Source("JCGM 100:2008, Guide to the expression of uncertainty in measurement", "4.2, 4.3.7, 5.1.2, G.3, G.4.1"),
        Source("ISO 14253-1:2017", "decision rules", "the verdict is called certain when the whole interval agrees"),
    ),
    # Invented, as all figures of the demo.
    example={
        "runs": [{"volume": "1.0 L", "time": "21 s"}, {"volume": "1.0 L", "time": "20 s"}, {"volume": "1.0 L", "time": "20.5 s"}],
        "least": "2.4 L/min",
        "temperature": "70 degC",
        "volume_error": "0.02 L",
        "time_error": "0.3 s",
    },
)
