"""stack-forecast: what a tolerance stack will measure at rebuild, and which sizes of a selective part will be needed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, cast

from calc_engine.bench.selective import Choice, find_fitted
from calc_engine.bench.verdict import Limits
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import choice, count, group, length, number, text
from calc_engine.maths import tolerance_stack as stack
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, plain

__all__ = ["STACK_FORECAST", "Cavity", "StackForecast", "StackForecastResult", "StackedPart", "stack_forecast"]

_SHAPES: Final = {"uniform": "Uniform: anywhere alike", "normal": "Normal", "triangular": "Triangular: often near the middle"}
_MOST_PARTS: Final = 40
_BARS: Final = 16
_SERVICE: Final = Fraction(95, 100)
# Probabilities are right to 1e-10; what lies beyond is noise and is not written.
_PROBABILITY_STEPS: Final = 10**10


@dataclass(frozen=True, slots=True)
class Toleranced:
    """A length on a drawing, and how far it may be off. Lengths in mm."""

    nominal: Fraction = length("Nominal", "The length on the drawing.", above="0 mm", most="2 m")
    plus: Fraction = length("Plus", "How far above nominal it may be. 0 when not at all.", least="-100 mm", most="100 mm")
    minus: Fraction = length("Minus", "How far below nominal it may be. 0 when not at all.", least="-100 mm", most="100 mm")
    shape: str | None = choice(
        "Spread", "How the lengths lie over the tolerance. Normal: it is three standard deviations. Uniform when left empty.",
        _SHAPES, optional=True,
    )  # fmt: skip
    count: int | None = count(
        "How many", "Of this length in the stack, each off on its own. 1 when left empty.", most=100, optional=True
    )

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when the largest length is below the smallest."""
        if self.plus + self.minus < 0:
            remedy = "Plus is above nominal, minus is below it: both are usually positive."
            yield Problem(f"{field}.minus", "crossed-limits", "The largest length is below the smallest.", remedy)

    def as_part(self, name: str) -> stack.StackPart:
        """As the arithmetic wants it."""
        shape = cast("stack.Shape", self.shape or "uniform")
        return stack.StackPart(name, self.nominal, self.plus, self.minus, self.count or 1, shape)


@dataclass(frozen=True, slots=True)
class Cavity(Toleranced):
    """What the parts go into."""

    name: str | None = text("Cavity", "What it is called.", optional=True)


@dataclass(frozen=True, slots=True)
class StackedPart(Toleranced):
    """A part in the cavity."""

    name: str = text("Part", "What it is called.")


@dataclass(frozen=True, slots=True)
class StackForecast:
    """The inputs of stack-forecast. Lengths in mm."""

    cavity: Cavity = group(Cavity, "Cavity", "What the parts go into.")
    parts: tuple[StackedPart, ...] = group(
        StackedPart, "Parts", "Every part in it; a selective part only if it has no sizes below.",
        many=((1, _MOST_PARTS),), item_label="Part {n}",
    )  # fmt: skip
    limits: Limits = group(Limits, "Limits", "The clearance that the spec asks for.", role="limits")
    choices: tuple[Choice, ...] | None = group(
        Choice, "Sizes of the selective part", "It goes into the gap that the parts leave: a thicker one tightens.",
        many=((1, 60),), item_label="Size {n}", optional=True,
    )  # fmt: skip
    rebuilds: int | None = count(
        "Rebuilds",
        "How many the stock is to last for. A script may call it units.",
        most=100_000,
        optional=True,
        also_sent_as="units",
    )
    service: Fraction | None = number(
        "Service", "With what probability the stock of a size is to be enough. 0.95 when left empty.",
        above="0", most="0.999999", optional=True,
    )  # fmt: skip

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        if self.choices is not None:
            # No size is fitted here: the first stands in, so that only ids are checked.
            yield from find_fitted(self.choices[0].id, self.choices, "choices", "choices")
        if self.rebuilds is not None and self.choices is None:
            remedy = "List the sizes of the selective part, or leave the number of rebuilds out."
            yield Problem("choices", "missing", "There are no sizes to keep in stock.", remedy)


@dataclass(frozen=True, slots=True)
class Range:
    """From the smallest to the largest."""

    min: Fraction = length("Smallest", "The lower end.")
    max: Fraction = length("Largest", "The upper end.")


@dataclass(frozen=True, slots=True)
class SizeForecast:
    """What one size of the selective part is good for."""

    id: str = text("Which", "The size.", role="identity")
    thickness: Fraction = length("Thickness", "Its thickness.", role="thickness")
    p_in: Fraction = number("In with it", "The probability that a rebuild is within limits if this size is always fitted.")
    demand: Fraction = number("Demand", "The probability that this size comes nearest the centre of the limits.")
    stock: int | None = count(
        "Stock", "Pieces that cover the demand of the rebuilds with the wanted probability.", least=0, most=100_000, optional=True
    )
    order: int | None = count(
        "To order", "Stock less what is on the shelf, where that is given.", least=0, most=100_000, optional=True
    )


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar of the picture."""

    low: Fraction = length("From", "The lower edge.", role="from")
    high: Fraction = length("To", "The upper edge.", role="to")
    p: Fraction = number("Probability", "Of a gap between the two.", role="share")


@dataclass(frozen=True, slots=True)
class StackForecastResult:
    """The outputs of stack-forecast. Lengths in mm."""

    advice: str = text("Advice", "What to expect and what to keep in stock.", role="advice")
    mean: Fraction = length("Mean", "Of the gap: the middle of the cavity less the middles of the parts.")
    sd: Fraction = length("Standard deviation", "Of the gap.")
    worst: Range = group(Range, "Worst case", "Every part at the end of its tolerance.")
    rss: Range = group(Range, "Root sum square", "The middle plus and minus the root of the sum of the squared tolerances.")
    p_in: Fraction = number("Within limits", "The probability that the gap of the parts listed is within the limits as it is.")
    p_low: Fraction = number("Too tight", "The probability that the gap is below them.")
    p_high: Fraction = number("Too loose", "The probability that the gap is above them.")
    choices: tuple[SizeForecast, ...] | None = group(
        SizeForecast, "Each size", "In the order given.", many=((1, 60),), optional=True, role="sizes"
    )
    p_fit: Fraction | None = number(
        "Within limits with the right size", "The probability that some size brings it in.", optional=True
    )
    p_none: Fraction | None = number("No size fits", "The probability that even the nearest size is outside.", optional=True)
    histogram: tuple[Bar, ...] = group(Bar, "Picture of the gap", "How often each gap comes up.", many=((1, _BARS),), role="bars")


def stack_forecast(request: StackForecast, units: AnswerUnits) -> Answer[StackForecastResult]:
    """The distribution of a clearance before anything is measured, and the demand for each size of a selective part.

    gap = cavity - sum(parts); with a size of thickness t the clearance is gap - t.

    Args:
        request: lengths in mm.
        units: for the working.

    Returns:
        Worst case, root sum square, probabilities and demand. Nothing is sampled; see `tolerance_stack`.

    Source: JCGM 100:2008, 5.1.2 (variances add); the distribution is the convolution of the parts' own.

    Example:
        >>> from calc_engine import answer
        >>> cavity = {"name": "drum", "nominal": "20 mm", "plus": "0.1 mm", "minus": "0.1 mm"}
        >>> plate = {"name": "plate", "nominal": "2 mm", "plus": "0.05 mm", "minus": "0.05 mm", "count": 9}
        >>> result = answer("stack-forecast", {"cavity": cavity, "parts": [plate], "limits": {"min": "1 mm", "max": "3 mm"}})["result"]
        >>> result["mean"], result["worst"]
        ('2 mm', {'min': '1.45 mm', 'max': '2.55 mm'})
    """
    cavity = request.cavity.as_part(request.cavity.name or "cavity")
    parts = tuple(part.as_part(part.name) for part in request.parts)
    gap = stack.gap_distribution(cavity, parts)
    limits = stack.Span(request.limits.min, request.limits.max)
    low, within, high = (_probability(share) for share in gap.shares(limits))
    sized = _sizes(request, gap, limits)
    choices = _size_forecasts(request, sized)
    p_fit, p_none = (None, None) if sized is None else (_probability(1.0 - sized.p_none), _probability(sized.p_none))
    result = StackForecastResult(
        advice=_advice(request, within, choices, p_fit), mean=gap.mean, sd=gap.standard_deviation,
        worst=_range(stack.worst_case(cavity, parts)), rss=_range(stack.rss(cavity, parts)),
        p_in=within, p_low=low, p_high=high, choices=choices, p_fit=p_fit, p_none=p_none,
        histogram=tuple(Bar(low=bar.low, high=bar.high, p=_probability(bar.probability)) for bar in gap.histogram(_BARS)),
    )  # fmt: skip
    working = (*_stack_lines((cavity, *parts), result, units), *_chance_lines(request, result, units))
    return Answer(result, working, tuple(_cautions(request, result)))


def _sizes(request: StackForecast, gap: stack.GapDistribution, limits: stack.Span) -> stack.ChoicesForecast | None:
    if request.choices is None:
        return None
    sizes = [stack.SelectiveSize(size.id, size.thickness) for size in request.choices]
    stocking = stack.Stocking(request.rebuilds, request.service or _SERVICE) if request.rebuilds else None
    return stack.forecast_choices(gap, sizes, limits, stocking)


def _probability(p: float) -> Fraction:
    return Fraction(round(p * _PROBABILITY_STEPS), _PROBABILITY_STEPS)


def _range(span: stack.Span) -> Range:
    return Range(min=span.low, max=span.high)


def _size_forecasts(request: StackForecast, sized: stack.ChoicesForecast | None) -> tuple[SizeForecast, ...] | None:
    if sized is None or request.choices is None:
        return None
    return tuple(
        SizeForecast(
            id=given.id,
            thickness=given.thickness,
            p_in=_probability(found.p_in),
            demand=_probability(found.demand),
            stock=found.stock,
            order=None if found.stock is None or given.stock is None else max(found.stock - given.stock, 0),
        )
        for given, found in zip(request.choices, sized.choices, strict=True)
    )


def _in_hundred(p: Fraction) -> str:
    return f"{plain(p * 100, 2)} in 100"


def _advice(request: StackForecast, p_in: Fraction, sizes: tuple[SizeForecast, ...] | None, p_fit: Fraction | None) -> str:
    if sizes is None or p_fit is None:
        return f"{_in_hundred(p_in)} rebuilds come out within the limits."
    most = max(sizes, key=lambda size: size.demand)
    said = f"With the right size {_in_hundred(p_fit)} rebuilds come out within the limits. "
    said += f"Most often needed: {most.id}, {_in_hundred(most.demand)}."
    if request.rebuilds:
        kit = ", ".join(f"{size.stock} × {size.id}" for size in sizes)
        said += f" For {request.rebuilds} rebuilds keep {kit}."
    return said


def _stack_lines(everything: tuple[stack.StackPart, ...], result: StackForecastResult, units: AnswerUnits) -> Iterable[str]:
    for part in everything:
        if part.plus != part.minus:
            yield (
                f"{part.name}: middle = {units.number(part.nominal)} + ({units.number(part.plus)} − {units.number(part.minus)})/2 "
                f"{units.equals(part.middle)}, ± {units.show(part.tolerance)}"
            )
    terms = " − ".join(_times(part.count, units.number(part.middle)) for part in everything)
    yield f"mean = {terms} {units.equals(result.mean)}"
    tolerances = [(part, units.number(part.tolerance)) for part in everything]
    reach = " + ".join(_times(part.count, tolerance) for part, tolerance in tolerances)
    yield f"worst case ± ({reach}) {_half_and_ends(result.worst, units)}"
    squares = " + ".join(_times(part.count, f"{tolerance}²") for part, tolerance in tolerances)
    yield f"root sum square ± √({squares}) {_half_and_ends(result.rss, units)}"
    divisors = {"uniform": "3", "triangular": "6", "normal": "9"}
    variances = " + ".join(_times(part.count, f"{tolerance}²/{divisors[part.shape]}") for part, tolerance in tolerances)
    yield f"standard deviation = √({variances}) {units.equals(result.sd)}"


def _half_and_ends(found: Range, units: AnswerUnits) -> str:
    return f"{units.equals((found.max - found.min) / 2)}: {units.number(found.min)} to {units.show(found.max)}"


def _times(number_of: int, said: str) -> str:
    return said if number_of == 1 else f"{number_of} × {said}"


def _chance_lines(request: StackForecast, result: StackForecastResult, units: AnswerUnits) -> Iterable[str]:
    limits = request.limits
    yield (
        f"gap within {units.number(limits.min)} to {units.show(limits.max)}: {_in_hundred(result.p_in)}; "
        f"below: {_in_hundred(result.p_low)}; above: {_in_hundred(result.p_high)}"
    )
    for size in result.choices or ():
        low, high = limits.min + size.thickness, limits.max + size.thickness
        needed = f"nearest the centre for {_in_hundred(size.demand)}"
        kept = "" if size.stock is None else f"; stock {size.stock}"
        yield (
            f"{size.id}: in when the gap is {units.number(limits.min)} + {units.number(size.thickness)} = {units.number(low)} to "
            f"{units.show(high)}: {_in_hundred(size.p_in)}; {needed}{kept}"
        )
    if result.p_none is not None:
        yield f"no size fits: {_in_hundred(result.p_none)}"


def _cautions(request: StackForecast, result: StackForecastResult) -> Iterable[str]:
    yield "This is a forecast from drawings. Every rebuild is measured all the same."
    if any(part.shape == "normal" for part in (request.cavity, *request.parts)):
        yield "A normal part lies outside its tolerance 27 times in 10000: the gap can go beyond the worst case."
    if result.p_none:
        yield f"For {_in_hundred(result.p_none)} rebuilds no size fits: the kit has a gap, or its ends do not reach."
    if request.rebuilds is None and request.service is not None:
        yield "No number of rebuilds is given: the service is not used."
    if request.rebuilds is not None and request.service is None:
        yield "The stock of each size is enough 95 times in 100, each size by itself."


STACK_FORECAST: Final = Calculation(
    name="stack-forecast",
    title="Forecast of a tolerance stack",
    about="What clearance the drawings lead to before anything is measured, and which sizes of a selective part to keep in stock.",
    asked_as=(
        "tolerance stack up",
        "predicted clearance",
        "which rings to keep in stock",
        "drawing tolerances add up",
        "worst case and likely",
        "before I measure what will it be",
        "stock of selective rings",
        "pronóstico de holgura",
    ),
    request=StackForecast,
    result=StackForecastResult,
    compute=stack_forecast,
    formulas=(
        r"g = C - \sum_j n_j\,p_j",
        r"g_{\text{worst}} = \bar{g} \pm \sum_j n_j t_j, \qquad g_{\text{rss}} = \bar{g} \pm \sqrt{\textstyle\sum_j n_j t_j^2}",
        r"s^2 = \sum_j \frac{n_j t_j^2}{d_j}, \qquad d = 3\ (\text{uniform}),\ 6\ (\text{triangular}),\ 9\ (\text{normal})",
        r"P(g \le x) = \int_{-\infty}^{x} (f_C * f_1 * \cdots * f_m)(u)\,du",
    ),
    sources=(
        Source("JCGM 100:2008, Guide to the expression of uncertainty in measurement", "4.3.7, 4.3.9, 5.1.2"),
        Source("Convolution of independent distributions", "", "computed, nothing is sampled; right to 1e-10"),
        Source("Binomial distribution", "NIST/SEMATECH e-Handbook, 1.3.6.6.18", "for the stock"),
    ),
    example={
        "cavity": {"name": "drum, piston face to ring groove", "nominal": "26.72 mm", "plus": "0.10 mm", "minus": "0.10 mm"},
        "parts": [
            {"name": "wave plate, flat", "nominal": "1.50 mm", "plus": "0.03 mm", "minus": "0.03 mm"},
            {"name": "steel plate", "nominal": "1.80 mm", "plus": "0.03 mm", "minus": "0.03 mm", "count": 5},
            {
                "name": "friction plate",
                "nominal": "1.70 mm",
                "plus": "0.05 mm",
                "minus": "0.05 mm",
                "count": 5,
                "shape": "normal",
            },
            {"name": "reaction plate", "nominal": "5.00 mm", "plus": "0.02 mm", "minus": "0.02 mm"},
        ],
        "limits": {"min": "0.90 mm", "max": "1.40 mm"},
        "choices": [
            {"id": "no dot", "thickness": "1.37 mm", "stock": 3},
            {"id": "one dot", "thickness": "1.57 mm", "stock": 6},
            {"id": "two dots", "thickness": "1.78 mm", "stock": 4},
            {"id": "three dots", "thickness": "1.98 mm", "stock": 2},
        ],
        "rebuilds": 12,
        "service": "0.95",
    },
)
