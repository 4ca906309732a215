"""flatness: how flat a face is, from heights measured at several places above a surface plate or below a straightedge."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.finding import Finding, Held, finding_lines, hold
from calc_engine.bench.judging import combined_lines
from calc_engine.bench.measuring import gauge_that_reads
from calc_engine.bench.micrometer import Micrometer
from calc_engine.bench.verdict import certain_flag, uncertainty_length
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Option, choice, count, group, length, text
from calc_engine.maths.flatness import Plane, Point, Zone, fitted_plane, minimum_zone, plan_width_squared, zone_along
from calc_engine.maths.functions import square_root
from calc_engine.maths.statistics import Uncertainty, known_uncertainty
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, plain
from calc_engine.quantities.measured import Measured
from calc_engine.quantities.phrases import listed

__all__ = ["FLATNESS", "Flatness", "FlatnessResult", "MeasuredPlace", "PlaceOutcome", "flatness"]

_MOST_PLACES: Final = 60
_FEWEST_PLACES: Final = 3
_FEW: Final = 9
_FINEST_MM: Final = Fraction(1, 10**9)
_VERDICTS: Final = (
    Option("in", "flat enough", unsure="Flat enough, but close", unjudged="Flat enough, but not sure"),
    Option("high", "not flat enough", unsure="Looks not flat enough"),
)


@dataclass(frozen=True, slots=True)
class MeasuredPlace:
    """One place of the face and its height. Lengths in mm."""

    x: Fraction = length("Along", "How far along the face, from any point that you like.", least="-2 m", most="2 m")
    y: Fraction = length("Across", "How far across the face, from the same point.", least="-2 m", most="2 m")
    height: Fraction = length("Height", "What the gauge reads there. Higher places read more.", least="-100 mm", most="100 mm")

    @property
    def point(self) -> Point:
        """Where it is."""
        return self.x, self.y, self.height


@dataclass(frozen=True, slots=True)
class Flatness:
    """The inputs of flatness. Lengths in mm."""

    places: tuple[MeasuredPlace, ...] = group(
        MeasuredPlace, "Places", "A grid over the whole face, its corners and its middle among them.",
        many=((_FEWEST_PLACES, _MOST_PLACES),), item_label="Place {n}",
    )  # fmt: skip
    limit: Fraction = length(
        "Flatness allowed", "The largest that the spec allows. A value on it is in.", above="0 mm", most="10 mm"
    )
    gauge: Micrometer | None = gauge_that_reads(Micrometer)

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the places."""
        fine = list(_too_fine(self.places))
        yield from fine
        twice = list(_measured_twice(self.places))
        yield from twice
        if not fine and not twice:
            yield from _no_face([place.point for place in self.places])


def _too_fine(places: Sequence[MeasuredPlace]) -> Iterable[Problem]:
    """Figures that no gauge reads would make the exact search count without end."""
    for index, place in enumerate(places):
        for name, figure in (("x", place.x), ("y", place.y), ("height", place.height)):
            if (figure / _FINEST_MM).denominator != 1:
                yield Problem(
                    f"places.{index}.{name}", "too-fine", "This is written finer than any gauge reads.",
                    "Write it as the gauge reads, for example 12.34 mm or 0.486 in.",
                )  # fmt: skip


def _measured_twice(places: Sequence[MeasuredPlace]) -> Iterable[Problem]:
    seen: dict[tuple[Fraction, Fraction], int] = {}
    for index, place in enumerate(places):
        first = seen.setdefault((place.x, place.y), index)
        if first != index:
            message = f"Place {index + 1} is where place {first + 1} is."
            yield Problem(f"places.{index}", "listed-twice", message, "Give each place once.")


def _no_face(points: Sequence[Point]) -> Iterable[Problem]:
    narrowest, heights = plan_width_squared(points), [point[2] for point in points]
    if not narrowest:
        remedy = "Measure beside that line too: three places at least that make a triangle."
        yield Problem("places", "on-one-line", "All places are on one line, which says nothing of the face beside it.", remedy)
    elif (max(heights) - min(heights)) ** 2 >= narrowest:
        remedy = "Check the unit of the heights, and which figure is which."
        yield Problem("places", "out-of-range", "The heights differ by more than the places are apart.", remedy)


@dataclass(frozen=True, slots=True)
class PlaceOutcome:
    """One place against the thinnest zone. Lengths in mm."""

    place: int = count("Place", "Its number, in the order given.", most=_MOST_PLACES)
    x: Fraction = length("Along", "As given.")
    y: Fraction = length("Across", "As given.")
    height: Fraction = length("Height", "As measured.")
    above: Fraction = length("Above the lowest", "How far it is above the lower plane of the thinnest zone.")


@dataclass(frozen=True, slots=True)
class FlatnessResult:
    """The outputs of flatness. Lengths in mm."""

    flatness: Fraction = length(
        "Flatness", "The thinnest zone between two parallel planes that holds every place.", role="measured"
    )
    verdict: str = choice("Verdict", "Exact: a value on the limit is in.", _VERDICTS, role="verdict")
    certain: bool = certain_flag()
    advice: str = text("Advice", "What the verdict means and what to do.", role="advice")
    uncertainty: Fraction | None = uncertainty_length("when nothing is known of the gauge")
    least_squares: Fraction = length("From the fitted plane", "The zone along the plane of least squares: never thinner.")
    highest: tuple[str, ...] = text("Highest places", "Those on the upper plane.", many=((1, _MOST_PLACES),))
    lowest: tuple[str, ...] = text("Lowest places", "Those on the lower plane.", many=((1, _MOST_PLACES),))
    places: tuple[PlaceOutcome, ...] = group(
        PlaceOutcome, "Each place", "How far each is above the lower plane.", many=((_FEWEST_PLACES, _MOST_PLACES),)
    )


def flatness(request: Flatness, units: AnswerUnits) -> Answer[FlatnessResult]:
    """How flat a face is, and whether that is flat enough.

    Args:
        request: places and heights, lengths in mm.
        units: for the working.

    Returns:
        The flatness by the minimum zone and by least squares, with the working.

    Source: ISO 12781-1:2011 (minimum zone and least squares reference planes), see `maths.flatness`; the uncertainty by JCGM 100:2008,
        4.3.7 and 5.1.2, of a difference of two readings: the heights of one plane weigh no more than one reading.

    Example:
        >>> from calc_engine import answer
        >>> corners = [{"x": x, "y": y, "height": "0 mm"} for x in ("0 mm", "100 mm") for y in ("0 mm", "80 mm")]
        >>> middle = {"x": "50 mm", "y": "40 mm", "height": "0.03 mm"}
        >>> answer("flatness", {"places": [*corners, middle], "limit": "0.05 mm"})["result"]["flatness"]
        '0.03 mm'
    """
    points = [place.point for place in request.places]
    step, unsure = _known(request.gauge)
    thinnest, fitted = minimum_zone(points), fitted_plane(points)
    found = hold(thinnest.width, unsure, step, Held(None, request.limit))
    result = FlatnessResult(
        flatness=found.value,
        verdict=found.verdict,
        certain=found.certain,
        advice=_advice(found, thinnest),
        uncertainty=found.uncertainty,
        least_squares=Measured(zone_along(points, fitted).width, step),
        highest=_numbers(thinnest.touching_high),
        lowest=_numbers(thinnest.touching_low),
        places=tuple(_outcomes(request.places, thinnest.lower, step)),
    )
    return Answer(result, tuple(_lines(result, thinnest, fitted, found, unsure, units)), tuple(_cautions(request)))


def _known(gauge: Micrometer | None) -> tuple[Fraction | None, Uncertainty | None]:
    """The gauge's step, and the uncertainty of the difference of two of its readings."""
    if gauge is None:
        return None, None
    step, error = gauge.resolution or Fraction(0), gauge.max_error or Fraction(0)
    return gauge.resolution, known_uncertainty([Fraction(0)], step**2 / 6, error**2 / 3)


def _outcomes(places: Sequence[MeasuredPlace], lower: Plane, step: Fraction | None) -> Iterable[PlaceOutcome]:
    longer = square_root(lower.steepness_squared)
    for number, place in enumerate(places, 1):
        above = lower.above(place.point) / longer
        yield PlaceOutcome(place=number, x=place.x, y=place.y, height=Measured(place.height, step), above=Measured(above, step))


def _numbers(indices: Iterable[int]) -> tuple[str, ...]:
    return tuple(str(index + 1) for index in indices)


def _at(numbers: Sequence[str]) -> str:
    return f"{'place' if len(numbers) == 1 else 'places'} {listed(numbers)}"


def _advice(found: Finding, zone: Zone) -> str:
    if found.verdict == "in":
        if found.certain:
            return "Flat enough, and sure of it."
        return (
            "Flat enough by the readings, but not sure: measure again with a finer gauge, or fill in what is known of this one."
        )
    again = "" if found.certain else "Measure again before you machine or replace it. "
    return (
        f"{again}Not flat enough: highest at {_at(_numbers(zone.touching_high))}, lowest at {_at(_numbers(zone.touching_low))}."
    )


def _lines(
    result: FlatnessResult, zone: Zone, fitted: Plane, found: Finding, unsure: Uncertainty | None, units: AnswerUnits
) -> Iterable[str]:
    yield f"the fitted plane rises {_slope(fitted.a)} along and {_slope(fitted.b)} across; zone along it {units.equals(result.least_squares)}"
    yield f"the thinnest zone rises {_slope(zone.lower.a)} along and {_slope(zone.lower.b)} across"
    yield f"it touches {_at(result.highest)} above and {_at(result.lowest)} below: flatness {units.equals(found.value)}"
    if unsure is None:
        yield "uncertainty: not known; it takes the gauge's smallest division or largest error"
    else:
        parts = [units.equals(square_root(part)) for part in (unsure.spread_part, unsure.gauge_part)]
        yield f"from the gauge's steps, twice: u₁ {parts[0]}; from the largest error / √3: u₂ {parts[1]}"
        yield from combined_lines(unsure, units)
    yield from finding_lines(found, units)


def _slope(rise: Fraction) -> str:
    """A slope as a rise over a thousand: no reader sees anything in 0.00031."""
    return f"{plain(rise * 1000, 3)} in 1000"


def _cautions(request: Flatness) -> Iterable[str]:
    yield "The plate or straightedge counts as flat here: what it is out of flat comes on top."
    if request.gauge is None or (request.gauge.resolution, request.gauge.max_error) == (None, None):
        yield "No gauge data: how sure the verdict is cannot be worked out. Fill in the gauge's smallest division or largest error."
    if len(request.places) == _FEWEST_PLACES:
        yield "Three places always make a plane: measure at more."
    elif len(request.places) < _FEW:
        yield "Fewer than nine places miss much of a face: corners, middles of the sides and the centre at least (common practice, no source)."


_HEIGHTS: Final = (("0.02", "0.03", "0.01", "0.00"), ("0.03", "0.06", "0.05", "0.01"), ("0.01", "0.02", "0.02", "-0.01"))

FLATNESS: Final = Calculation(
    name="flatness",
    title="Flatness of a face",
    about="How flat a face is, from heights at places of a grid over a surface plate or under a straightedge, and where it is high and low.",
    asked_as=(
        "flatness calculator",
        "is the face flat sum",
        "warp of a face",
        "heights on a grid",
        "surface plate readings",
        "twist and bow of a face",
        "warped cover reading",
        "planitud",
    ),
    request=Flatness,
    result=FlatnessResult,
    compute=flatness,
    formulas=(
        r"f = \min_{a,b} \frac{\max_i (z_i - a x_i - b y_i) - \min_i (z_i - a x_i - b y_i)}{\sqrt{1 + a^2 + b^2}}",
        r"U = k \sqrt{\frac{r^2}{6} + \frac{a_{\max}^2}{3}}",
    ),
    sources=(
        Source("ISO 12781-1:2011", "terms", "minimum zone and least squares reference planes, as quoted by others"),
        Source("Houle and Toussaint, Computing the width of a set, IEEE PAMI 10 (1988)", "761 to 765", "from memory"),
        Source("JCGM 100:2008, Guide to the expression of uncertainty in measurement", "4.3.7, 5.1.2"),
        Source("ISO 14253-1:2017", "decision rules", "the verdict is called certain when the whole interval agrees"),
    ),
    # Invented, as all figures of the demo.
    example={
        "places": [
            {"x": f"{x * 60} mm", "y": f"{y * 50} mm", "height": f"{height} mm"}
            for y, row in enumerate(_HEIGHTS)
            for x, height in enumerate(row)
        ],
        "limit": "0.06 mm",
        "gauge": {"resolution": "0.002 mm", "max_error": "0.003 mm"},
    },
)
