"""past-and-forecast: what the rebuilds of a pack came to, beside what its drawings forecast, and what to stock next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from typing import Final

from calc_engine.bench.selective import Choice, find_fitted, not_listed
from calc_engine.bench.verdict import Limits
from calc_engine.calculations.past_clearances import PastClearance, PastClearances, past_clearances
from calc_engine.calculations.stack_forecast import (
    STACK_FORECAST,
    Cavity,
    StackedPart,
    StackForecast,
    StackForecastResult,
    stack_forecast,
)
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import count, group, length, number, text
from calc_engine.maths.functions import square_root
from calc_engine.maths.statistics import mean, sample_variance
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, plain

__all__ = ["PAST_AND_FORECAST", "PastAndForecast", "PastAndForecastResult", "PastRebuild", "SizeBeside", "past_and_forecast"]

_MOST: Final = 500
_MOST_REBUILDS: Final = 1000
_FEW: Final = 5
_WIDTH: Final = 2
"""Standard deviations of a mean beyond which a difference is no chance: JCGM 100:2008, 6.3.3 (about 95 times in 100)."""


@dataclass(frozen=True, slots=True)
class PastRebuild:
    """One rebuild that is done. Lengths in mm."""

    clearance: Fraction = length("Clearance", "As it went out of the door.", least="0 mm", most="50 mm")
    fitted: str | None = text("Size fitted", "By its name in the list of sizes.", optional=True)


@dataclass(frozen=True, slots=True)
class PastAndForecast:
    """The inputs of past-and-forecast. Lengths in mm."""

    rebuilds: tuple[PastRebuild, ...] = group(
        PastRebuild, "Rebuilds", "Those that are done, the oldest first.", many=((1, _MOST),), item_label="Rebuild {n}"
    )
    cavity: Cavity = group(Cavity, "Cavity", "What the parts go into, as drawn.")
    parts: tuple[StackedPart, ...] = group(
        StackedPart, "Parts", "Every part in it but the selective one, as drawn.", many=((1, 40),), item_label="Part {n}"
    )
    limits: Limits = group(Limits, "Limits", "Those that hold today.", role="limits")
    choices: tuple[Choice, ...] = group(
        Choice, "Sizes of the selective part", "It goes into the gap that the parts leave: a thicker one tightens.",
        many=((1, 60),), item_label="Size {n}",
    )  # fmt: skip
    next: int | None = count(
        "Rebuilds to stock for", "How many are expected until parts are ordered again.", most=_MOST_REBUILDS, optional=True
    )
    service: Fraction | None = number(
        "Service", "With what probability the stock of a size is to be enough. 0.95 when left empty.",
        above="0", most="0.999999", optional=True,
    )  # fmt: skip

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        yield from find_fitted(self.choices[0].id, self.choices, "choices", "choices")
        for at, one in enumerate(self.rebuilds):
            if one.fitted is not None:
                yield from not_listed(one.fitted, self.choices, f"rebuilds.{at}.fitted")


@dataclass(frozen=True, slots=True)
class SizeBeside:
    """One size: how often it was fitted, and how often the drawings say that it is needed."""

    id: str = text("Size", "Its name.", role="identity")
    times: int = count("Fitted", "In how many rebuilds.", least=0)
    share: Fraction = number("Share", "Of the rebuilds whose size is known.")
    demand: Fraction = number("Forecast", "The share for which the drawings say that it comes nearest the centre of the limits.")
    likely: int | None = count(
        "By the past", "For the rebuilds to come, if they are like these; rounded up.", least=0, optional=True
    )
    stock: int | None = count("By the forecast", "Pieces that cover them with the wanted probability.", least=0, optional=True)
    keep: int | None = count("Keep", "The larger of the two.", least=0, optional=True)
    order: int | None = count("To order", "Keep less what is on the shelf, where that is given.", least=0, optional=True)


@dataclass(frozen=True, slots=True)
class PastAndForecastResult:
    """The outputs of past-and-forecast. Lengths in mm."""

    advice: str = text("Advice", "What they came to, beside the forecast, and what to order.", role="advice")
    median: Fraction = length("Median clearance", "Half of the rebuilds have less, half have more.")
    lower_quartile: Fraction = length("Lower quartile", "A quarter of the rebuilds have less.")
    upper_quartile: Fraction = length("Upper quartile", "A quarter of the rebuilds have more.")
    inside: int = count("Within the limits", "How many are within today's limits.", least=0)
    gaps: int = count("Gaps known", "Rebuilds whose size is known: the gap is clearance plus size.", least=0)
    gap_mean: Fraction | None = length("Mean gap, measured", "Of these rebuilds.", optional=True)
    gap_sd: Fraction | None = length("Standard deviation, measured", "Of these gaps.", optional=True)
    forecast_mean: Fraction = length("Mean gap, forecast", "The middle of the cavity less the middles of the parts.")
    forecast_sd: Fraction = length("Standard deviation, forecast", "Of the gap, by the drawings.")
    beyond: int = count("Beyond the drawings", "Measured gaps that no parts within their drawings can leave.", least=0)
    rebuilds: tuple[PastClearance, ...] = group(
        PastClearance, "Rebuild by rebuild", "The clearance of each rebuild, the oldest on the left.",
        many=((1, _MOST),), role="dots",
    )  # fmt: skip
    sizes: tuple[SizeBeside, ...] = group(SizeBeside, "Sizes, fitted and forecast", "In the order given.", many=((1, 60),))


def past_and_forecast(request: PastAndForecast, units: AnswerUnits) -> Answer[PastAndForecastResult]:
    """Past rebuilds of a pack beside the forecast of its drawings.

    The forecast is of the gap, before a size is chosen. What was measured is brought to the same: gap = clearance + size fitted.

    Args:
        request: lengths in mm.
        units: for the working.

    Returns:
        Median, quartiles and gaps of the rebuilds, the forecast's mean and standard deviation, and for each size how often it was
        fitted, how often it is forecast, and how many to keep.

    Source: `past_clearances` and `stack_forecast`; JCGM 100:2008, 4.2.3 (standard deviation of a mean) and 6.3.3 (twice it).

    Example:
        >>> from calc_engine import answer
        >>> cavity = {"nominal": "20 mm", "plus": "0.1 mm", "minus": "0.1 mm"}
        >>> plate = {"name": "plate", "nominal": "17 mm", "plus": "0.1 mm", "minus": "0.1 mm"}
        >>> sizes = [{"id": "thin", "thickness": "1.8 mm"}, {"id": "thick", "thickness": "2.0 mm"}]
        >>> rebuilds = [{"clearance": "1.1 mm", "fitted": "thick"}, {"clearance": "1.1 mm", "fitted": "thin"}]
        >>> limits = {"min": "0.9 mm", "max": "1.3 mm"}
        >>> given = {"rebuilds": rebuilds, "cavity": cavity, "parts": [plate], "limits": limits, "choices": sizes}
        >>> result = answer("past-and-forecast", given)["result"]
        >>> result["gap_mean"], result["forecast_mean"]
        ('3 mm', '3 mm')
    """
    past = past_clearances(
        PastClearances(clearances=tuple(one.clearance for one in request.rebuilds), limits=request.limits), units
    )
    forecast = stack_forecast(
        StackForecast(
            cavity=request.cavity,
            parts=request.parts,
            limits=request.limits,
            choices=request.choices,
            rebuilds=request.next,
            service=request.service,
        ),
        units,
    )
    gaps = _gaps(request)
    worst = forecast.result.worst
    sizes = tuple(_beside(request, forecast.result))
    result = PastAndForecastResult(
        advice="",
        median=past.result.median,
        lower_quartile=past.result.lower_quartile,
        upper_quartile=past.result.upper_quartile,
        inside=past.result.inside or 0,
        gaps=len(gaps),
        gap_mean=mean(gaps) if gaps else None,
        gap_sd=square_root(sample_variance(gaps)) if len(gaps) > 1 else None,
        forecast_mean=forecast.result.mean,
        forecast_sd=forecast.result.sd,
        beyond=sum(not worst.min <= gap <= worst.max for gap in gaps),
        rebuilds=past.result.rebuilds,
        sizes=sizes,
    )
    told = replace(result, advice=" ".join(_advice(request, result, units)))
    return Answer(
        told, (*past.working, *_gap_lines(request, told, units), *_size_lines(request, told)), tuple(_cautions(request, told))
    )


def _thicknesses(request: PastAndForecast) -> Mapping[str, Fraction]:
    return {choice.id: choice.thickness for choice in request.choices}


def _gaps(request: PastAndForecast) -> tuple[Fraction, ...]:
    sizes = _thicknesses(request)
    return tuple(one.clearance + sizes[one.fitted] for one in request.rebuilds if one.fitted is not None)


def _beside(request: PastAndForecast, forecast: StackForecastResult) -> Iterable[SizeBeside]:
    fitted = [one.fitted for one in request.rebuilds if one.fitted is not None]
    for given, size in zip(request.choices, forecast.choices or (), strict=True):
        times = fitted.count(given.id)
        share = Fraction(times, len(fitted)) if fitted else Fraction(0)
        likely = None if request.next is None else ceil(share * request.next)
        keep = None if likely is None else max(likely, size.stock or 0)
        order = None if keep is None or given.stock is None else max(keep - given.stock, 0)
        yield SizeBeside(
            id=given.id, times=times, share=share, demand=size.demand, likely=likely, stock=size.stock, keep=keep, order=order
        )


def _offset(result: PastAndForecastResult) -> Fraction | None:
    """How far the measured gaps lie from the forecast, where that is more than chance; else None."""
    if result.gap_mean is None or result.gaps < _FEW:
        return None
    off = result.gap_mean - result.forecast_mean
    return off if off**2 * result.gaps > (_WIDTH * result.forecast_sd) ** 2 else None


def _advice(request: PastAndForecast, result: PastAndForecastResult, units: AnswerUnits) -> Iterable[str]:
    total = len(request.rebuilds)
    yield f"Median of {total} rebuild{'' if total == 1 else 's'}: {units.show(result.median)}; {result.inside} within today's limits."
    off = _offset(result)
    if off is not None:
        side = "above" if off > 0 else "below"
        yield f"The gaps lie {units.show(abs(off))} {side} the forecast, more than chance explains: check the drawing's figures and the wear."
    elif result.gaps >= _FEW:
        yield "The gaps agree with the forecast."
    wanted = [f"{size.order} × {size.id}" for size in result.sizes if size.order]
    if request.next is not None:
        kept = [f"{size.keep} × {size.id}" for size in result.sizes if size.keep]
        yield f"For {request.next} more keep {', '.join(kept)}." + (f" Order {', '.join(wanted)}." if wanted else "")


def _gap_lines(request: PastAndForecast, result: PastAndForecastResult, units: AnswerUnits) -> Iterable[str]:
    sizes = _thicknesses(request)
    for at, one in enumerate(request.rebuilds, 1):
        if one.fitted is not None:
            size = sizes[one.fitted]
            yield f"rebuild {at}: gap = {units.number(one.clearance)} + {units.number(size)} ({one.fitted}) {units.equals(one.clearance + size)}"
    if result.gap_mean is not None:
        number_of = f"{result.gaps} gap{'' if result.gaps == 1 else 's'}"
        yield f"mean of {number_of} {units.equals(result.gap_mean)}; forecast {units.show(result.forecast_mean)}"
    if result.gap_sd is not None:
        yield f"standard deviation of the gaps {units.equals(result.gap_sd)}; forecast {units.show(result.forecast_sd)}"
    if result.gap_mean is not None and result.gaps >= _FEW:
        bound = square_root((_WIDTH * result.forecast_sd) ** 2 / result.gaps)
        off = abs(result.gap_mean - result.forecast_mean)
        state = "more than" if _offset(result) is not None else "within"
        yield f"difference {units.show(off)}: {state} {_WIDTH} × {units.number(result.forecast_sd)} / √{result.gaps} {units.equals(bound)}"


def _size_lines(request: PastAndForecast, result: PastAndForecastResult) -> Iterable[str]:
    for size in result.sizes:
        line = f"{size.id}: fitted {size.times} of {result.gaps}; forecast {plain(size.demand * 100, 2)} in 100"
        if size.keep is not None:
            line += f"; for {request.next} more {size.likely} by the past, {size.stock} by the forecast: keep {size.keep}"
        yield line if size.order is None else f"{line}, order {size.order}"


def _cautions(request: PastAndForecast, result: PastAndForecastResult) -> Iterable[str]:
    if len(request.rebuilds) < _FEW:
        yield f"Fewer than {_FEW} rebuilds say little (common practice, no source)."
    unknown = len(request.rebuilds) - result.gaps
    if unknown:
        yield f"Of {unknown} of the rebuilds the size is not known: they are not in the gaps, nor in what was fitted."
    if result.beyond:
        yield f"{result.beyond} of the gaps cannot come from parts within their drawings: worn or swapped parts, or a reading that is wrong."


PAST_AND_FORECAST: Final = Calculation(
    name="past-and-forecast",
    title="Past rebuilds beside the forecast",
    about="What the rebuilds of a pack came to, beside what its drawings forecast: gaps, sizes fitted, and what to stock next.",
    asked_as=(
        "compare builds with the drawing", "what sizes to stock next", "real against predicted", "history against forecast",
        "do our builds match the forecast", "which rings did we use",
    ),
    request=PastAndForecast,
    result=PastAndForecastResult,
    compute=past_and_forecast,
    formulas=(
        r"g_i = c_i + t_i",
        r"|\bar{g} - g_0| > \frac{2\,s_0}{\sqrt{n}}",
        r"k_j = \max\!\left(\left\lceil \tfrac{n_j}{n} N \right\rceil,\ b_j\right)",
    ),
    sources=(
        Source("JCGM 100:2008, Guide to the expression of uncertainty in measurement", "4.2.3, 6.3.3", "whether a difference is chance"),
        Source("Clearances of past rebuilds; Forecast of a tolerance stack", "", "calculations of this manual"),
        Source("The larger of two stocks is kept", "", "common practice, no source"),
    ),
    example={
        "rebuilds": [
            {"clearance": clearance, "fitted": fitted}
            for clearance, fitted in (
                ("1.12 mm", "one dot"), ("1.05 mm", "two dots"), ("1.21 mm", "one dot"), ("1.15 mm", "one dot"),
                ("1.08 mm", "no dot"), ("1.19 mm", "one dot"), ("1.10 mm", "one dot"),
            )
        ],
        **{name: given for name, given in STACK_FORECAST.example.items() if name in {"cavity", "parts", "limits", "choices"}},
        "next": 10,
    },
)  # fmt: skip
