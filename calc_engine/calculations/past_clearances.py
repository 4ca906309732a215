"""past-clearances: what the last rebuilds of a pack came to, against its limits, and which sizes they took."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Final

from calc_engine.bench.verdict import Limits, judge
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import choice, count, group, length, text
from calc_engine.maths.statistics import quantile
from calc_engine.quantities.answer_units import AnswerUnits

__all__ = ["PAST_CLEARANCES", "PastClearance", "PastClearances", "PastClearancesResult", "SizeTaken", "past_clearances"]

_MOST: Final = 500
_MOST_REBUILDS: Final = 1000
_FEW: Final = 5
_VERDICTS: Final = {"in": "in", "low": "too tight", "high": "too loose"}


@dataclass(frozen=True, slots=True)
class PastClearances:
    """The inputs of past-clearances. Lengths in mm."""

    clearances: tuple[Fraction, ...] = length(
        "Clearance of each rebuild", "As it went out of the door, the oldest first.",
        least="0 mm", most="50 mm", many=((1, _MOST),), item_label="Clearance {n}",
    )  # fmt: skip
    limits: Limits | None = group(Limits, "Limits", "Those that hold today.", optional=True, role="limits")
    fitted: tuple[str, ...] | None = text(
        "Size fitted in each", "By its name, as many or fewer than there are rebuilds.", many=((0, _MOST),), optional=True
    )
    rebuilds: int | None = count(
        "Rebuilds to stock for", "How many are expected until parts are ordered again.", most=_MOST_REBUILDS, optional=True
    )


@dataclass(frozen=True, slots=True)
class PastClearance:
    """One rebuild. Lengths in mm."""

    rebuild: int = count("Rebuild", "Its number, the oldest first.")
    clearance: Fraction = length("Clearance", "As it went out.", role="measured")
    verdict: str | None = choice("Today", "Against the limits that hold today.", _VERDICTS, optional=True)


@dataclass(frozen=True, slots=True)
class SizeTaken:
    """How often one size was fitted."""

    id: str = text("Size", "Its name.", role="identity")
    times: int = count("Fitted", "In how many rebuilds.")
    likely: int | None = count("For the next", "For the rebuilds to come, if they are like these; rounded up.", optional=True)


@dataclass(frozen=True, slots=True)
class PastClearancesResult:
    """The outputs of past-clearances. Lengths in mm."""

    advice: str = text("Advice", "What they came to.", role="advice")
    median: Fraction = length("Median", "Half of the rebuilds have less, half have more.")
    lower_quartile: Fraction = length("Lower quartile", "A quarter of the rebuilds have less.")
    upper_quartile: Fraction = length("Upper quartile", "A quarter of the rebuilds have more.")
    smallest: Fraction = length("Smallest", "Of all.")
    largest: Fraction = length("Largest", "Of all.")
    inside: int | None = count("Within the limits", "How many are within today's limits.", least=0, optional=True)
    rebuilds: tuple[PastClearance, ...] = group(
        PastClearance,
        "Rebuild by rebuild",
        "The clearance of each rebuild, the oldest on the left.",
        many=((1, _MOST),),
        role="dots",
    )
    sizes: tuple[SizeTaken, ...] = group(SizeTaken, "Sizes fitted", "The most frequent first.", many=((0, _MOST),))


def past_clearances(request: PastClearances, units: AnswerUnits) -> Answer[PastClearancesResult]:
    """What past rebuilds of a pack came to.

    Args:
        request: the inputs, lengths in mm.
        units: for the working.

    Returns:
        Median and quartiles, each rebuild against the limits, and the sizes that were fitted, with the working.

    Source: Hyndman and Fan, Sample Quantiles in Statistical Packages, The American Statistician 50 (1996), definition 7 (from memory).

    Example:
        >>> from calc_engine import answer
        >>> answer("past-clearances", {"clearances": ["1.10 mm", "1.20 mm", "1.00 mm"]})["result"]["median"]
        '1.1 mm'
    """
    values = request.clearances
    states = [None if request.limits is None else judge(value, request.limits) for value in values]
    result = PastClearancesResult(
        advice=_advice(request, states, units),
        median=quantile(values, Fraction(1, 2)),
        lower_quartile=quantile(values, Fraction(1, 4)),
        upper_quartile=quantile(values, Fraction(3, 4)),
        smallest=min(values),
        largest=max(values),
        inside=None if request.limits is None else states.count("in"),
        rebuilds=tuple(
            PastClearance(rebuild=number, clearance=value, verdict=state)
            for number, (value, state) in enumerate(zip(values, states, strict=True), 1)
        ),
        sizes=_sizes(request),
    )
    return Answer(result, tuple(_lines(request, result, units)), tuple(_cautions(request)))


def _sizes(request: PastClearances) -> tuple[SizeTaken, ...]:
    fitted = request.fitted or ()
    counted = sorted(Counter(fitted).items(), key=lambda one: -one[1])
    return tuple(
        SizeTaken(
            id=name,
            times=times,
            likely=None if request.rebuilds is None else ceil(Fraction(times * request.rebuilds, len(fitted))),
        )
        for name, times in counted
    )


def _advice(request: PastClearances, states: Sequence[str | None], units: AnswerUnits) -> str:
    values = request.clearances
    number = f"{len(values)} rebuild{'' if len(values) == 1 else 's'}"
    said = [f"Median of {number}: {units.show(quantile(values, Fraction(1, 2)))}."]
    outside = sum(state not in {"in", None} for state in states)
    if outside:
        said.append(f"{outside} of them would be outside today's limits.")
    sizes = _sizes(request)
    if sizes:
        said.append(f"Most often fitted: {sizes[0].id}, {sizes[0].times} of {len(request.fitted or ())}.")
    return " ".join(said)


def _lines(request: PastClearances, result: PastClearancesResult, units: AnswerUnits) -> Iterable[str]:
    ordered = ", ".join(units.number(value) for value in sorted(request.clearances))
    yield f"in order of size: {ordered} (n = {len(request.clearances)})"
    for name, value, share in (
        ("lower quartile", result.lower_quartile, "0.25"),
        ("median", result.median, "0.5"),
        ("upper quartile", result.upper_quartile, "0.75"),
    ):
        yield f"{name}: place 1 + (n − 1) × {share}, between neighbours in proportion {units.equals(value)}"
    if request.limits is not None:
        low, high = units.number(request.limits.min), units.show(request.limits.max)
        yield f"limits {low} to {high}: {result.inside} of {len(request.clearances)} within them"
    for size in result.sizes:
        more = "" if size.likely is None else f"; for {request.rebuilds} more: {size.likely}"
        yield f"{size.id}: {size.times} of {len(request.fitted or ())}{more}"


def _cautions(request: PastClearances) -> Iterable[str]:
    if len(request.clearances) < _FEW:
        yield f"Fewer than {_FEW} rebuilds say little (common practice, no source)."


PAST_CLEARANCES: Final = Calculation(
    name="past-clearances",
    title="Clearances of past rebuilds",
    about="What the last rebuilds of a pack came to, rebuild by rebuild against its limits, and which sizes they took.",
    asked_as=(
        "history of clearances",
        "last ten builds",
        "trend of the readings",
        "drift in our builds",
        "old jobs statistics",
        "average of past builds",
        "what sizes did we fit before",
        "control chart",
    ),
    request=PastClearances,
    result=PastClearancesResult,
    compute=past_clearances,
    formulas=(r"Q(p) = x_{(k)} + (h - k)\,(x_{(k+1)} - x_{(k)}), \quad h = 1 + (n - 1)\,p, \quad k = \lfloor h \rfloor",),
    sources=(
        Source(
            "Hyndman and Fan, Sample Quantiles in Statistical Packages, The American Statistician 50 (1996)",
            "definition 7",
            "median and quartiles",
        ),
        Source("Sizes are stocked in proportion to what was fitted", "", "common practice, no source"),
    ),
    example={
        "clearances": ["1.12 mm", "1.05 mm", "1.21 mm", "1.15 mm", "0.98 mm", "1.30 mm", "1.18 mm"],
        "limits": {"min": "0.90 mm", "max": "1.40 mm"},
        "fitted": ["one dot", "two dots", "one dot", "one dot", "two dots", "no dot", "one dot"],
        "rebuilds": 10,
    },
)
