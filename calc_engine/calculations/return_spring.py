"""return-spring: free lengths of return springs, and their force at the installed length, against limits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from calc_engine.bench.measuring import gauge_that_reads
from calc_engine.bench.micrometer import Micrometer, reading_uncertainty
from calc_engine.bench.verdict import Limits, crossed, is_certain, judge
from calc_engine.declare.alternatives import at_most_one
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, choice, count, flag, group, length, text
from calc_engine.maths.statistics import mean
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.phrases import listed
from calc_engine.quantities.unit_products import product_note
from calc_engine.quantities.units import Dimension

__all__ = [
    "RETURN_SPRING", "ForceLimits", "ReturnSpring", "ReturnSpringResult", "SpringOutcome", "return_spring",
]  # fmt: skip

_D: Final = Dimension
_MOST_SPRINGS: Final = 60
_LENGTHS: Final = {"in": "in", "low": "too short", "high": "too long"}
_FORCES: Final = {"in": "in", "low": "too weak", "high": "too strong"}


@dataclass(frozen=True, slots=True)
class ForceLimits:
    """The smallest and the largest force allowed, in N."""

    min: Fraction = amount(_D.FORCE, "Smallest allowed", "A force on it is in.", least="0 N", most="100 kN")
    max: Fraction = amount(_D.FORCE, "Largest allowed", "A force on it is in.", least="0 N", most="100 kN")

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when the limits are crossed."""
        return crossed(self.min, self.max, field)

    def judge(self, force: Fraction) -> Literal["in", "low", "high"]:
        """Whether a force is within; exact, and a force on a limit is in."""
        if force < self.min:
            return "low"
        return "high" if force > self.max else "in"


@dataclass(frozen=True, slots=True)
class ReturnSpring:
    """The inputs of return-spring. Lengths in mm, forces in N."""

    free_lengths: tuple[Fraction, ...] = length(
        "Free length of each spring", "Standing free on a flat plate, not pressed.",
        above="0 mm", most="500 mm", many=((1, _MOST_SPRINGS),), item_label="Free length {n}",
    )  # fmt: skip
    free_limits: Limits = group(Limits, "Limits of the free length", "That the spec asks for.")
    gauge: Micrometer | None = gauge_that_reads(Micrometer)
    rate: Fraction | None = amount(
        _D.RATE, "Rate of one spring", "To work out its force at the installed length.",
        above="0 N/mm", most="10000 N/mm", optional=True,
    )  # fmt: skip
    installed_length: Fraction | None = length(
        "Installed length", "Between the seats with the piston at rest.", above="0 mm", most="500 mm", optional=True
    )
    forces: tuple[Fraction, ...] | None = amount(
        _D.FORCE, "Force of each spring", "Measured in a spring tester at the installed length, in the order of the lengths.",
        least="0 N", most="100 kN", many=((1, _MOST_SPRINGS),), item_label="Force {n}", optional=True,
    )  # fmt: skip
    force_limits: ForceLimits | None = group(
        ForceLimits, "Limits of the force", "At the installed length, for one spring.", optional=True
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        yield from at_most_one({"rate": self.rate, "forces": self.forces})
        if self.rate is not None and self.installed_length is None:
            remedy = "With a rate it is wanted; or leave the rate out."
            yield Problem("installed_length", "missing", "The installed length is missing.", remedy)
        if self.rate is None and self.installed_length is not None:
            remedy = "Leave it out, or give the rate."
            yield Problem("installed_length", "not-used", "The installed length has no meaning without a rate.", remedy)
        if self.force_limits is not None and self.rate is None and self.forces is None:
            remedy = "Give the measured forces, or rate and installed length; or leave the limits of the force out."
            yield Problem("forces", "missing", "There is no force to hold against its limits.", remedy)
        if self.forces is not None and len(self.forces) != len(self.free_lengths):
            message = f"There are {len(self.free_lengths)} free lengths and {len(self.forces)} forces."
            yield Problem("forces", "length-mismatch", message, "Measure both of every spring.")
        if self.installed_length is not None:
            for index, free in enumerate(self.free_lengths):
                if free < self.installed_length:
                    message = "The spring is shorter free than installed: it does not push at all."
                    yield Problem(f"free_lengths.{index}", "crossed-limits", message, "Check both lengths; else replace it.")


@dataclass(frozen=True, slots=True)
class SpringOutcome:
    """What is known of one spring."""

    spring: int = count("Spring", "Its number, in the order measured.")
    free_length: Fraction = length("Free length", "As measured.")
    length_verdict: str = choice("Length", "Against its limits.", _LENGTHS)
    certain: bool | None = flag("Certain", "Whether the length's verdict holds whatever the gauge's error.", optional=True)
    force: Fraction | None = amount(_D.FORCE, "Force", "At the installed length.", optional=True)
    force_verdict: str | None = choice("Strength", "The force against its limits.", _FORCES, optional=True)

    @property
    def good(self) -> bool:
        """Whether both length and force, where known, are within their limits."""
        return self.length_verdict == "in" and self.force_verdict in {None, "in"}


@dataclass(frozen=True, slots=True)
class ReturnSpringResult:
    """The outputs of return-spring. Lengths in mm, forces in N."""

    verdict: str = choice(
        "Verdict", "Of the whole set.", {"good": "good", "unsure": "measure again", "replace": "replace"}, role="verdict"
    )
    advice: str = text("Advice", "What to do.", role="advice")
    mean: Fraction = length("Mean free length", "Of all springs.")
    smallest: Fraction = length("Shortest", "Of all springs.")
    largest: Fraction = length("Longest", "Of all springs.")
    spread: Fraction = length("Spread", "Longest less shortest.")
    uncertainty: Fraction | None = length("Uncertainty", "Of one reading, plus or minus, 95.45 times in 100.", optional=True)
    total_force: Fraction | None = amount(
        _D.FORCE, "Force of all springs", "At the installed length: what the piston must overcome.", optional=True
    )
    springs: tuple[SpringOutcome, ...] = group(SpringOutcome, "Each spring", "In the order measured.", many=((1, _MOST_SPRINGS),))


def return_spring(request: ReturnSpring, units: AnswerUnits) -> Answer[ReturnSpringResult]:
    """Which return springs are within their limits.

    F_i = rate (free_i - installed), or as measured.

    Args:
        request: the inputs in base units.
        units: for the working.

    Returns:
        The verdict of each spring and of the set, with the working.

    Source: Hooke's law; guarded decision by ISO 14253-1:2017 (see `verdict`).

    Example:
        >>> from calc_engine import answer
        >>> request = {"free_lengths": ["40.2 mm", "38.1 mm"], "free_limits": {"min": "39.5 mm", "max": "40.5 mm"}}
        >>> answer("return-spring", request)["result"]["advice"]
        'Replace spring 2, or the whole cage.'
    """
    unsure = reading_uncertainty(request.gauge) if request.gauge else None
    forces = _forces(request)
    springs = tuple(
        SpringOutcome(
            spring=number,
            free_length=free,
            length_verdict=judge(free, request.free_limits),
            certain=None if unsure is None else is_certain(free, unsure, request.free_limits),
            force=force,
            force_verdict=request.force_limits.judge(force) if request.force_limits and force is not None else None,
        )
        for number, (free, force) in enumerate(zip(request.free_lengths, forces, strict=True), 1)
    )
    known = [force for force in forces if force is not None]
    result = ReturnSpringResult(
        verdict=_verdict(springs), advice=_advice(springs), mean=mean(request.free_lengths), smallest=min(request.free_lengths),
        largest=max(request.free_lengths), spread=max(request.free_lengths) - min(request.free_lengths), uncertainty=unsure,
        total_force=sum(known, Fraction(0)) if known else None, springs=springs,
    )  # fmt: skip
    return Answer(result, tuple(_lines(request, result, units)), tuple(_cautions(request)))


def _forces(request: ReturnSpring) -> tuple[Fraction | None, ...]:
    if request.forces is not None:
        return request.forces
    if request.rate is None or request.installed_length is None:
        return (None,) * len(request.free_lengths)
    return tuple(request.rate * (free - request.installed_length) for free in request.free_lengths)


def _verdict(springs: tuple[SpringOutcome, ...]) -> str:
    if not all(spring.good for spring in springs):
        return "replace"
    return "unsure" if any(spring.certain is False for spring in springs) else "good"


def _advice(springs: tuple[SpringOutcome, ...]) -> str:
    bad = [str(spring.spring) for spring in springs if not spring.good]
    if bad:
        which = "spring" if len(bad) == 1 else "springs"
        return f"Replace {which} {listed(bad)}, or the whole cage."
    close = [str(spring.spring) for spring in springs if spring.certain is False]
    if close:
        which = "Spring" if len(close) == 1 else "Springs"
        return f"{which} {listed(close)}: in, but too close to a limit to trust. Measure again."
    return "All are within their limits."


def _lines(request: ReturnSpring, result: ReturnSpringResult, units: AnswerUnits) -> Iterable[str]:
    limits = request.free_limits
    yield f"free length: limits {units.number(limits.min)} to {units.show(limits.max)}"
    if result.uncertainty is not None:
        yield f"one reading could be off by U {units.equals(result.uncertainty)}"
    for spring in result.springs:
        yield _spring_line(request, spring, units)
    total = " + ".join(units.number(spring.free_length) for spring in result.springs)
    yield f"mean = ({total}) / {len(result.springs)} {units.equals(result.mean)}"
    yield f"spread = {units.number(result.largest)} − {units.number(result.smallest)} {units.equals(result.spread)}"
    if result.total_force is not None:
        terms = " + ".join(units.number(spring.force, _D.FORCE) for spring in result.springs if spring.force is not None)
        yield f"force of all springs = {terms} {units.equals(result.total_force, _D.FORCE)}"


def _spring_line(request: ReturnSpring, spring: SpringOutcome, units: AnswerUnits) -> str:
    said = f"spring {spring.spring}: {units.show(spring.free_length)} is {_LENGTHS[spring.length_verdict]}"
    if spring.force is None:
        return said
    shown = units.show(spring.force, _D.FORCE)
    if request.rate is not None and request.installed_length is not None:
        shown = (
            f"{units.show(request.rate, _D.RATE)} × ({units.number(spring.free_length)} − {units.number(request.installed_length)}) "
            f"{units.symbol(_D.LENGTH)} {units.equals(spring.force, _D.FORCE)}{product_note(_D.RATE, _D.LENGTH, units)}"
        )
    judged = "" if spring.force_verdict is None else f", {_FORCES[spring.force_verdict]}"
    return f"{said}; force {shown}{judged}"


def _cautions(request: ReturnSpring) -> Iterable[str]:
    if request.gauge is None:
        yield "No gauge data: the verdicts are only as sure as the reading."
    if request.force_limits is None:
        yield "Only the free length is judged: a spring that was overheated can have its length and no force."


RETURN_SPRING: Final = Calculation(
    name="return-spring",
    title="Check of return springs",
    about="Free lengths of the return springs, and their force at the installed length, each against its limits.",
    asked_as=(
        "spring test calculator",
        "free length of springs",
        "spring rate check",
        "weak spring number",
        "spring force at height",
        "set of springs compare",
        "springs shorter than new",
        "largo libre del resorte",
    ),
    request=ReturnSpring,
    result=ReturnSpringResult,
    compute=return_spring,
    formulas=(r"F_i = k\,(L_{0,i} - L)", r"U = k_U \sqrt{\frac{r^2}{12} + \frac{a^2}{3}}"),
    sources=(
        Source("Hooke's law"),
        Source("JCGM 100:2008", "4.3.7, 5.1.2", "uncertainty of one reading"),
        Source("ISO 14253-1:2017", "decision rules", "a verdict is called certain when the whole interval agrees"),
        Source("An overheated spring loses its force", "", "common practice, no source"),
    ),
    example={
        "free_lengths": ["32.1 mm", "31.9 mm", "32.0 mm", "30.6 mm"],
        "free_limits": {"min": "31.5 mm", "max": "32.5 mm"},
        "gauge": {"resolution": "0.05 mm", "max_error": "0.05 mm"},
        "rate": "9 N/mm",
        "installed_length": "25 mm",
        "force_limits": {"min": "58 N", "max": "68 N"},
    },
)
