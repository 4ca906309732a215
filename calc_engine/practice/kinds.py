"""The kinds of exercise there are."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from calc_engine.practice import (
    applied,
    clearance,
    faults,
    gauges,
    gear_ratio,
    judgement,
    next_check,
    order,
    plausibility,
    suspect,
    what_goes_here,
)
from calc_engine.practice.exercise import Exercise, Further, Mark
from calc_engine.practice.unit import ExerciseUnit, Pack

__all__ = ["KINDS", "Kind"]


def _nothing_further(_exercise: Exercise[Any], _answer: object) -> None:
    """What is asked is asked at once."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of exercise.

    Attributes:
        name: as requests call it.
        title: as a page calls it.
        about: what is practised.
        why_not: why no fair exercise can be made of a pack; None when one can. It does not depend on the seed.
        make: the exercise of a seed; None exactly when `why_not` says why.
        mark: the mark of an answer.
        further: what is asked once an answer has been given, before it is marked; None where that was all.
    """

    name: str
    title: str
    about: str
    why_not: Callable[[ExerciseUnit, Pack], str | None]
    make: Callable[[ExerciseUnit, Pack, int], Exercise[Any] | None]
    mark: Callable[[Exercise[Any], object], Mark]
    further: Callable[[Exercise[Any], object], Further | None] = _nothing_further


def _kind(module: Any, title: str, about: str) -> Kind:
    """The kind that a module holds; each has the same four names."""
    return Kind(module.KIND, title, about, module.why_not, module.make, module.mark)


def _of_packs(module: Any, title: str, about: str) -> Kind:
    """A kind that asks about a pack: of what only stands for one nothing can be asked."""

    def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
        other = unit.stands_for(pack)
        return module.why_not(unit, pack) if other is None else f"This is asked of a pack, not of {other}."

    def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[Any] | None:
        return module.make(unit, pack, seed) if unit.stands_for(pack) is None else None

    return Kind(module.KIND, title, about, why_not, make, module.mark)


_ALL: Final = (
    _of_packs(order, "Stack order", "Put the parts of a pack in order, with side and groove."),
    _of_packs(faults, "Find the mistake", "A stack with one mistake: which, where, and what it does."),
    _of_packs(gauges, "Read the gauge", "A dial or a depth micrometer, metric or inch."),
    _of_packs(clearance, "Clearance and ring", "From readings to clearance, verdict and size."),
    _of_packs(what_goes_here, "What goes here", "Which caution, gauge, tool or consumable."),
    _of_packs(plausibility, "Is this believable", "Readings that may be mistyped, swapped or of a bound pack."),
    _kind(applied, "What is on", "Which elements are on in a gear, and which gear it is."),
    _kind(gear_ratio, "What is the ratio", "From teeth to the ratio of a planetary set."),
    _kind(suspect, "Which element", "From a road test to the one element that explains it."),
    Kind(
        judgement.KIND,
        "Use again, measure or replace",
        "A part as it is found, and what the standard does with it.",
        judgement.why_not,
        judgement.make,
        judgement.mark,
        judgement.further,
    ),
    _kind(next_check, "What next", "From a complaint and what was found to the next check, or to the suspect."),
)
KINDS: Final[Mapping[str, Kind]] = {kind.name: kind for kind in _ALL}
