"""What the ratio of a planetary set comes to: one member driven, one held, one driving. The engine works it out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import permutations
from typing import Any, Final

from calc_engine import rounded_text, work_out
from calc_engine.practice.exercise import Ask, Exercise, Mark, chosen, option_called, read_answer
from calc_engine.practice.gear_set import NOT_A_GEAR_SET, GearSet, options_of
from calc_engine.practice.gear_tables import teeth_table
from calc_engine.practice.generator import generator_for
from calc_engine.practice.readings import table
from calc_engine.practice.unit import ExerciseUnit, Pack

__all__ = ["KIND", "RatioKey", "make", "mark", "why_not"]

KIND: Final = "ratio"
_MEMBERS: Final = ("sun", "ring", "carrier")
_MOST_OTHERS: Final = 3
# Options that lie nearer than this could be mixed up by rounding on the way.
_APART: Final = Fraction(3, 100)


@dataclass(frozen=True, slots=True)
class RatioKey:
    """What the exercise is marked by: the id of the right option, the engine's working, and what each figure would belong to."""

    right: str
    working: tuple[str, ...]
    belongs: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class _Way:
    """A way to use the set: what drives, what is held, what is driven."""

    driver: str
    held: str
    driven: str

    @property
    def said(self) -> str:
        return f"the {self.driver} drives, the {self.held} is held, the {self.driven} is the output"


def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made of a gear set; None when one can."""
    gear_set = unit.gear_set_for(pack)
    if gear_set is None:
        return NOT_A_GEAR_SET
    return None if _simple_sets(gear_set) else "The gear set has no planetary set of one sun and one ring with single planets."


def _simple_sets(gear_set: GearSet) -> list[Mapping[str, Any]]:
    plain = {"name", "sun", "ring", "planets"}
    return [each for each in gear_set.train["sets"] if {"sun", "ring"} <= {*each} <= plain]


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[RatioKey] | None:
    """The ratio of one planetary set of the unit, used in a way that is drawn. None when `why_not` says why.

    Args:
        unit: the unit with its gear set.
        pack: stands for the gear set.
        seed: decides all that is drawn; the same one gives the same exercise.
    """
    gear_set = unit.gear_set_for(pack)
    if gear_set is None or why_not(unit, pack) is not None:
        return None
    draw = generator_for(seed, KIND, unit.id, pack.id)
    planetary = draw.choice(_simple_sets(gear_set))
    ways = [_Way(*members) for members in permutations(_MEMBERS)]
    way = draw.choice(ways)
    worked = {each: _ratio(planetary, each) for each in ways}
    ratios = {each: ratio for each, (ratio, _) in worked.items()}
    others: list[Fraction] = []
    for each in draw.shuffled([ratio for other, ratio in ratios.items() if other != way]):
        if len(others) < _MOST_OTHERS and all(_far(each, known) for known in (ratios[way], *others)):
            others.append(each)
    options = options_of(draw, [_figure(value) for value in (ratios[way], *others)])
    right = option_called(options, _figure(ratios[way]))
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{unit.name}: what does the ratio come to?",
        question=f"One planetary set by itself: {way.said}. Work out its ratio, input speed over output speed; below zero turns backwards.",
        given={"set": planetary["name"], "teeth": {wheel: planetary[wheel] for wheel in ("sun", "ring")}},
        shown=table(f"The {planetary['name']} set", teeth_table(planetary), ()),
        asks=(Ask("ratio", "choice", "The ratio", options),),
        key=RatioKey(right, worked[way][1], {_figure(value): each.said for each, value in ratios.items()}),
    )


def _far(one: Fraction, other: Fraction) -> bool:
    return abs(one - other) > _APART * max(abs(one), abs(other))


def _figure(value: Fraction) -> str:
    return rounded_text(value, 3, 3).replace("-", "−")


def _ratio(planetary: Mapping[str, Any], way: _Way) -> tuple[Fraction, tuple[str, ...]]:
    """The ratio of a set by itself, and its working."""
    name = planetary["name"]
    request = {
        "sets": [planetary],
        "elements": [{"name": "brake", "holds": f"{name}.{way.held}"}],
        "gears": [{"name": "1", "on": ["brake"]}],
        "input": f"{name}.{way.driver}",
        "output": f"{name}.{way.driven}",
    }
    found = work_out("gear-train", request).answer
    return found.result.gears[0].ratio, tuple(found.working)


def mark(exercise: Exercise[RatioKey], given: object) -> Mark:
    """Marks the choice by the engine's ratio, and says what the other figure would be the ratio of.

    Raises:
        Refused: something of the answer is missing, or no option.

    Args:
        exercise: as it was made.
        given: the answer by the id of the ask.
    """
    (ask,) = exercise.asks
    found = chosen(ask, read_answer(exercise.asks, given), exercise.key.right)
    why = () if found.right else (f"{found.given} is the ratio when {exercise.key.belongs[found.given]}.",)
    return Mark((found,), why, exercise.key.working)
