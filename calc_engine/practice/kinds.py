"""The kinds of exercise there are."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from calc_engine.practice import clearance, faults, gauges, order, plausibility, what_goes_here
from calc_engine.practice.exercise import Exercise, Mark
from calc_engine.practice.unit import ExerciseUnit, Pack

__all__ = ["KINDS", "Kind"]


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
    """

    name: str
    title: str
    about: str
    why_not: Callable[[ExerciseUnit, Pack], str | None]
    make: Callable[[ExerciseUnit, Pack, int], Exercise[Any] | None]
    mark: Callable[[Exercise[Any], object], Mark]


def _kind(module: Any, title: str, about: str) -> Kind:
    """The kind that a module holds; each has the same four names."""
    return Kind(module.KIND, title, about, module.why_not, module.make, module.mark)


_ALL: Final = (
    _kind(order, "Stack order", "Put the parts of a pack in order, with side and groove."),
    _kind(faults, "Find the mistake", "A stack with one mistake: which, where, and what it does."),
    _kind(gauges, "Read the gauge", "A dial or a depth micrometer, metric or inch."),
    _kind(clearance, "Clearance and ring", "From readings to clearance, verdict and size."),
    _kind(what_goes_here, "What goes here", "Which caution, gauge, tool or consumable."),
    _kind(plausibility, "Is this believable", "Readings that may be mistyped, swapped or of a bound pack."),
)
KINDS: Final[Mapping[str, Kind]] = {kind.name: kind for kind in _ALL}
