"""pan-depth: how far the filter stands off the floor of the pan. A calculation as a shop may write it; its figures are made up."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from calc_engine.declaring import Answer, AnswerUnits, Calculation, Limits, Option, Source, choice, group, judge, length, text


@dataclass(frozen=True, slots=True)
class Request:
    """The inputs. Lengths in mm."""

    depth: Fraction = length("Depth of the pan", "From its rail to its floor.", above="0 mm", most="200 mm")
    filter: Fraction = length("Height of the filter", "From the rail to its lowest edge.", above="0 mm", most="200 mm")
    limits: Limits = group(Limits, "Limits", "Of the gap.", role="limits")


VERDICTS = (Option("in", "gap is right"), Option("low", "gap too small"), Option("high", "gap too large"))


@dataclass(frozen=True, slots=True)
class Result:
    """The outputs. Lengths in mm."""

    verdict: str = choice("Verdict", "Where the gap lies.", VERDICTS, role="verdict")
    advice: str = text("Advice", "What to do.", role="advice")
    gap: Fraction = length("Gap", "Between filter and floor.", role="measured")


ADVICE = {"in": "Fit the pan.", "low": "Look for a dent in the pan.", "high": "Look for the right filter."}


def work_out(request: Request, units: AnswerUnits) -> Answer[Result]:
    """The depth less the height."""
    gap = request.depth - request.filter
    verdict = judge(gap, request.limits)
    working = (f"gap = {units.number(request.depth)} - {units.number(request.filter)} {units.equals(gap)}",)
    return Answer(Result(verdict=verdict, advice=ADVICE[verdict], gap=gap), working)


PAN_DEPTH = Calculation(
    name="pan-depth",
    title="Filter: <gap> below it",
    about="How far the filter stands off the floor of the pan | made up.",
    request=Request,
    result=Result,
    compute=work_out,
    formulas=(r"g = d - f",),
    sources=(Source("made up for the tests"),),
    example={"depth": "52 mm", "filter": "46.5 mm", "limits": {"min": "4 mm", "max": "8 mm"}},
)
