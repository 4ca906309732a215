"""fluid-from-level: how much fluid stands between two levels in a pan, and how much to add or drain to get from one to the other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Final

from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, choice, group, length, text
from calc_engine.maths.statistics import known_uncertainty
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import uncertain
from calc_engine.quantities.units import Dimension

__all__ = ["FLUID_FROM_LEVEL", "FluidFromLevel", "FluidFromLevelResult", "PanSection", "fluid_from_level"]

_D: Final = Dimension
_MOST_SECTIONS: Final = 13
_METHODS: Final = {"sides": "length and width inside", "areas": "areas, taken from a drawing or a grid"}
_EVEN_RULE: Final = "the mean of the end areas"
_RULES: Final = {3: "the prismoidal formula"}
_DECIDES: Final = "The maker's level check decides."
_AGAIN: Final = f"Then read the level again. {_DECIDES}"
_HOT: Final = "Hot fluid burns skin: gloves, glasses, and the pan below the plug before you open it (common practice, no source)."
_ELSEWHERE: Final = (
    "What is in the converter, the cooler and the passages does not show in the pan, and runs back into it with the engine off: "
    "read both levels in the state and at the temperature that the maker names (common practice, no source)."
)


@dataclass(frozen=True, slots=True)
class PanSection:
    """The inside of the pan at one height. Lengths in mm."""

    long: Fraction = length("Length", "Inside, from wall to wall.", above="0 mm", most="2000 mm")
    wide: Fraction = length("Width", "Inside, from wall to wall; of a stepped pan the mean.", above="0 mm", most="2000 mm")


@dataclass(frozen=True, slots=True)
class FluidFromLevel:
    """The inputs of fluid-from-level. Lengths in mm, areas in mm², volumes in mL."""

    level: Fraction = length(
        "Level read", "Above the floor of the pan, or from any one mark upwards.", least="0 mm", most="500 mm"
    )
    wanted: Fraction = length("Level wanted", "From the same mark.", least="0 mm", most="500 mm")
    method: str = choice("How the pan is measured", "At equal steps of height between the two levels.", _METHODS)
    sides: tuple[PanSection, ...] | None = group(
        PanSection, "Pan at each step", "Lower level first, upper level last, the others at equal steps between.",
        many=((2, _MOST_SECTIONS),), item_label="Step {n}", when=("method", ("sides",)),
    )  # fmt: skip
    areas: tuple[Fraction, ...] | None = amount(
        _D.AREA, "Area at each step", "Lower level first, upper level last, the others at equal steps between.",
        least="0 mm2", most="4000000 mm2", many=((2, _MOST_SECTIONS),), item_label="Step {n}", when=("method", ("areas",)),
    )  # fmt: skip
    displaced: Fraction | None = amount(
        _D.VOLUME, "Room taken up", "By the filter and what else stands between the two levels.", least="0 L", most="100 L", optional=True
    )  # fmt: skip
    added: Fraction | None = amount(
        _D.VOLUME, "Already added", "What was poured in after the level was read.", least="0 L", most="100 L", optional=True
    )
    level_error: Fraction | None = length(
        "Largest error of a level", "How far off each of the two levels may be.", least="0 mm", most="50 mm", optional=True
    )
    side_error: Fraction | None = length(
        "Largest error of a side", "How far off each length and width may be.", least="0 mm", most="100 mm", optional=True,
        when=("method", ("sides",)),
    )  # fmt: skip
    area_error: Fraction | None = amount(
        _D.AREA, "Largest error of an area", "How far off each area may be.", least="0 mm2", most="400000 mm2", optional=True,
        when=("method", ("areas",)),
    )  # fmt: skip
    volume_error: Fraction | None = amount(
        _D.VOLUME, "Largest error of a volume", "How far off the jug, and the room taken up, may be.", least="0 L", most="10 L", optional=True
    )  # fmt: skip

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        if self.displaced is not None and self.displaced > _space(self):
            message = "The room taken up is larger than the room between the two levels."
            yield Problem("displaced", "out-of-range", message, "Count only what stands between them.")


@dataclass(frozen=True, slots=True)
class FluidFromLevelResult:
    """The outputs of fluid-from-level. Areas in mm², volumes in mL."""

    advice: str = text("Advice", "What to do.", role="advice")
    between: Fraction = amount(_D.VOLUME, "Between the levels", "The fluid that stands between them, without what takes up room.")
    add: Fraction | None = amount(_D.VOLUME, "To add", "Only when fluid is to be added.", optional=True)
    drain: Fraction | None = amount(_D.VOLUME, "To drain", "Only when fluid is to be drained.", optional=True)
    uncertainty: Fraction | None = amount(
        _D.VOLUME,
        "Uncertainty",
        "What is to be added or drained lies within plus or minus this, 95.45 times in 100, if the pan's walls are even. "
        "Absent when no error is given.",
        optional=True,
    )
    mean_area: Fraction = amount(_D.AREA, "Mean area", "The volume for each step of height.")


@dataclass(frozen=True, slots=True)
class _Mean:
    """The mean of areas at equal steps of height.

    Attributes:
        area: the mean, mm².
        rule: what it was worked out by.
        terms: each area with how often it counts.
        over: what their sum is divided by.
    """

    area: Fraction
    rule: str
    terms: tuple[tuple[int, Fraction], ...]
    over: int


def fluid_from_level(request: FluidFromLevel, units: AnswerUnits) -> Answer[FluidFromLevelResult]:
    """The volume between two levels of a pan, and what to add or to drain.

    V = h/6 (A_1 + 4 A_m + A_2) for three areas, which is exact for prisms, wedges, pyramids and what is put together from them; Simpson's
    rule for more of an odd number, the mean of the end areas for an even number. Of two sections by length and width the one midway has
    the mean length and the mean width.

    Args:
        request: levels and pan, in base units.
        units: for the working.

    Returns:
        The volumes with their working.

    Source: prismoidal formula, Simpson's rule and end areas: Merritt, Standard Handbook for Civil Engineers, surveying (from memory), and
        CRC Concise Encyclopedia of Mathematics, Prismatoid; JCGM 100:2008, 4.3.7 and 5.1.2.

    Example:
        >>> from calc_engine import answer
        >>> pan = {"method": "areas", "areas": ["4800 mm2", "1200 mm2", "0 mm2"]}
        >>> answer("fluid-from-level", {"level": "0 mm", "wanted": "100 mm", **pan})["result"]["add"]
        '0.16 L'
    """
    mean = _mean_of(request)
    height = abs(request.wanted - request.level)
    between = _space(request) - (request.displaced or 0)
    need = (between if request.wanted >= request.level else -between) - (request.added or 0)
    unsure = known_uncertainty((need,), Fraction(0), _variance(request, mean, height))
    expanded = uncertain(unsure.expanded) if unsure else None
    result = FluidFromLevelResult(
        advice=_advice(need, expanded, units),
        between=between,
        add=need if need > 0 else None,
        drain=-need if need < 0 else None,
        uncertainty=expanded,
        mean_area=mean.area,
    )
    working = [*_side_lines(request, units), *_volume_lines(request, mean, height, between, need, units)]
    if unsure is not None and expanded is not None:
        working.append(
            f"each largest error / √3, times what it changes the volume by: u {units.equals(unsure.standard, _D.VOLUME)}"
        )
        working.append(f"uncertainty U = k × u, k ≈ 2: {units.show(expanded, _D.VOLUME)} (95.45 %)")
    return Answer(result, tuple(working), (_HOT, _ELSEWHERE))


def _sections(request: FluidFromLevel) -> tuple[tuple[Fraction, Fraction], ...]:
    """Length and width at each step; of an even number those midway between two steps as well, so that there is always a middle."""
    measured = tuple((section.long, section.wide) for section in request.sides or ())
    if len(measured) % 2:
        return measured
    midway = (((one[0] + other[0]) / 2, (one[1] + other[1]) / 2) for one, other in pairwise(measured))
    return tuple(section for pair in zip(measured, midway, strict=False) for section in pair) + measured[-1:]


def _areas(request: FluidFromLevel) -> tuple[Fraction, ...]:
    if request.method == "areas":
        return request.areas or ()
    return tuple(one * other for one, other in _sections(request))


def _times(number: int) -> tuple[int, ...]:
    """How often each of so many areas counts: 1 4 1, 1 4 2 4 1 ...; for an even number 1 1, 1 2 2 1 ..."""
    inner = (4 - 2 * (index % 2) if number % 2 else 2 for index in range(number - 2))
    return (1, *inner, 1)


def _mean_of(request: FluidFromLevel) -> _Mean:
    areas = _areas(request)
    times = _times(len(areas))
    rule = _EVEN_RULE if len(areas) % 2 == 0 else _RULES.get(len(areas), "Simpson's rule")
    over = sum(times)
    terms = tuple(zip(times, areas, strict=True))
    return _Mean(sum((count * area for count, area in terms), Fraction(0)) / over, rule, terms, over)


def _space(request: FluidFromLevel) -> Fraction:
    """The room between the two levels, mL."""
    return abs(request.wanted - request.level) * _mean_of(request).area / 1000


def _variance(request: FluidFromLevel, mean: _Mean, height: Fraction) -> Fraction:
    """The variance in mL²: a²/3 of each figure that was read, times the square of what it changes the volume by."""
    by_level = 2 * (mean.area * (request.level_error or 0)) ** 2
    weights = [Fraction(times, mean.over) for times, _ in mean.terms]
    by_area = sum((weight * height * (request.area_error or 0)) ** 2 for weight in weights)
    by_side = sum((change * height * (request.side_error or 0)) ** 2 for change in _changes_by_sides(request, weights))
    volumes = sum(volume is not None for volume in (request.displaced, request.added))
    return ((by_level + by_area + by_side) / 1000**2 + volumes * (request.volume_error or Fraction(0)) ** 2) / 3


def _changes_by_sides(request: FluidFromLevel, weights: Sequence[Fraction]) -> Iterable[Fraction]:
    """By how much the mean area changes with each length and width that was measured, mm."""
    if request.sides is None:
        return
    sections = _sections(request)
    # A side counts whole where it was measured, and half in each section midway that was made with it.
    apart = (len(sections) - 1) // (len(request.sides) - 1)
    beside = (-1, 1) if apart > 1 else ()
    for number in range(len(request.sides)):
        place = number * apart
        near = [place, *(place + step for step in beside if 0 <= place + step < len(sections))]
        for other in (1, 0):
            yield sum((weights[at] * sections[at][other] / (1 if at == place else 2) for at in near), Fraction(0))


def _side_lines(request: FluidFromLevel, units: AnswerUnits) -> Iterable[str]:
    for number, (one, other) in enumerate(_sections(request) if request.method == "sides" else (), 1):
        made = len(request.sides or ()) % 2 == 0 and number % 2 == 0
        called = f"area {number}, midway: mean length × mean width" if made else f"area {number}"
        yield f"{called} = {units.number(one)} × {units.number(other)} {units.equals(one * other, _D.AREA)}"


def _volume_lines(
    request: FluidFromLevel, mean: _Mean, height: Fraction, between: Fraction, need: Fraction, units: AnswerUnits
) -> Iterable[str]:
    upper, lower = max(request.level, request.wanted), min(request.level, request.wanted)
    yield f"height = {units.number(upper)} − {units.number(lower)} {units.equals(height)}"
    terms = " + ".join(
        f"{times} × {units.number(area, _D.AREA)}" if times > 1 else units.number(area, _D.AREA) for times, area in mean.terms
    )
    yield f"mean area by {mean.rule} = ({terms}) / {mean.over} {units.equals(mean.area, _D.AREA)}"
    space = _space(request)
    yield f"room between the levels = height × mean area {units.equals(space, _D.VOLUME)}"
    if request.displaced is not None:
        yield f"fluid = {units.number(space, _D.VOLUME)} − {units.number(request.displaced, _D.VOLUME)} {units.equals(between, _D.VOLUME)}"
    if request.added is not None:
        signed = units.number(between, _D.VOLUME) if request.wanted >= request.level else f"−{units.number(between, _D.VOLUME)}"
        yield f"to add = {signed} − {units.number(request.added, _D.VOLUME)} {units.equals(need, _D.VOLUME)}"


def _advice(need: Fraction, expanded: Fraction | None, units: AnswerUnits) -> str:
    if need == 0:
        return f"Nothing to add or to drain. {_DECIDES}"
    shown = units.show(abs(need), _D.VOLUME)
    if expanded is not None and abs(need) <= expanded:
        return f"{shown} to {'add' if need > 0 else 'drain'} by the readings, which could be none: read the level again first. {_DECIDES}"
    return f"Add {shown}, half of it first. {_AGAIN}" if need > 0 else f"Drain {shown}. {_AGAIN}"


FLUID_FROM_LEVEL: Final = Calculation(
    name="fluid-from-level",
    title="Fluid between two levels",
    about="How much fluid stands between two levels in a pan, and how much to add or drain to get from one to the other.",
    asked_as=(
        "millimetres in the pan to litres",
        "how many litres is a centimetre of level",
        "how much to top up from the level",
        "how much to drain when it is overfilled",
        "volume of the pan",
        "quarts between two marks",
        "pan holds how much",
        "litros según el nivel del cárter",
        "Füllmenge aus dem Ölstand",
    ),
    request=FluidFromLevel,
    result=FluidFromLevelResult,
    compute=fluid_from_level,
    formulas=(
        r"V = \frac{h}{6} \left(A_1 + 4 A_m + A_2\right)",
        r"V = \frac{h}{3 n} \left(A_0 + 4 A_1 + 2 A_2 + \dots + 4 A_{n-1} + A_n\right), \quad n \text{ even}",
        r"V = \frac{h}{n} \left(\frac{A_0 + A_n}{2} + A_1 + \dots + A_{n-1}\right), \quad n \text{ odd}",
        r"U = k \sqrt{\tfrac{1}{3} \sum_i \left(\frac{\partial V}{\partial x_i} a_i\right)^2}",
    ),
    sources=(
        Source("CRC Concise Encyclopedia of Mathematics", "Prismatoid", "prismoidal formula"),
        Source(
            "Merritt, Standard Handbook for Civil Engineers",
            "surveying",
            "end areas, prismoidal formula, Simpson's rule (from memory)",
        ),
        Source("NIST SP 811", "appendix B.8", "US gallon of 231 cubic inches, a quart is a quarter of it"),
        Source("JCGM 100:2008, Guide to the expression of uncertainty in measurement", "4.3.7, 5.1.2"),
    ),
    # Invented, as all figures of the demo.
    example={
        "level": "22 mm",
        "wanted": "38 mm",
        "method": "sides",
        "sides": [
            {"long": "330 mm", "wide": "230 mm"},
            {"long": "334 mm", "wide": "236 mm"},
            {"long": "340 mm", "wide": "240 mm"},
        ],
        "displaced": "0.2 L",
        "added": "0.5 L",
        "level_error": "0.5 mm",
        "side_error": "2 mm",
        "volume_error": "0.02 L",
    },
)
