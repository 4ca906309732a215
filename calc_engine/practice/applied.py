"""What is on: which elements carry a gear, and which gear some elements make. Marked by the chart itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from calc_engine import element, listed
from calc_engine.practice.exercise import Ask, AskOption, Exercise, Mark, all_chosen, option_called, read_answer
from calc_engine.practice.gear_set import NOT_A_GEAR_SET, GearSet, options_of
from calc_engine.practice.generator import generator_for
from calc_engine.practice.unit import ExerciseUnit, Pack

__all__ = ["KIND", "AppliedKey", "make", "mark", "why_not"]

KIND: Final = "applied"
_FEWEST_GEARS: Final = 2
_MOST_OTHERS: Final = 3


@dataclass(frozen=True, slots=True)
class AppliedKey:
    """What the exercise is marked by: the gear set, the gear of each ask, and the id of its right option."""

    gear_set: GearSet
    gears: dict[str, str]
    rights: dict[str, str]


def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made of a gear set; None when one can."""
    gear_set = unit.gear_set_for(pack)
    if gear_set is None:
        return NOT_A_GEAR_SET
    if len(_told_apart(gear_set)) < _FEWEST_GEARS:
        return "Fewer than two gears have elements on that no other gear has."
    return None


def _told_apart(gear_set: GearSet) -> list[str]:
    """The gears whose elements no other gear has."""
    sets = [frozenset(on) for on in gear_set.chart.values()]
    return [gear for gear, on in gear_set.chart.items() if sets.count(frozenset(on)) == 1]


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[AppliedKey] | None:
    """Two questions on the chart: what is on in one gear, and which gear it is when these are on. None when `why_not` says why.

    Args:
        unit: the unit with its gear set.
        pack: stands for the gear set.
        seed: decides all that is drawn; the same one gives the same exercise.
    """
    gear_set = unit.gear_set_for(pack)
    if gear_set is None or why_not(unit, pack) is not None:
        return None
    draw = generator_for(seed, KIND, unit.id, pack.id)
    first, second, *_ = draw.shuffled(_told_apart(gear_set))
    chart = gear_set.chart
    right = _said(gear_set, chart[first])
    others = draw.shuffled([said for said in dict.fromkeys(_other_sets(gear_set, first)) if said != right])[:_MOST_OTHERS]
    on = Ask("on", "choice", f"Which elements are on and carry torque in gear {first}?", options_of(draw, (right, *others)))
    gears = tuple(AskOption(f"gear-{at}", gear) for at, gear in enumerate(chart, 1))
    which = Ask("gear", "choice", f"{_said(gear_set, chart[second])} on: which gear is that?", gears)
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{unit.name}: what is on?",
        question="Answer from the applied chart, without looking at it.",
        given={"gears": [first, second]},
        shown=element("div", {"class": "practice-nothing-shown"}),
        asks=(on, which),
        key=AppliedKey(
            gear_set,
            {"on": first, "gear": second},
            {"on": option_called(on.options, right), "gear": option_called(gears, second)},
        ),
    )


def _said(gear_set: GearSet, on: tuple[str, ...] | list[str]) -> str:
    """Elements in the order of the chart: the order in which they are named must tell nothing."""
    return listed([name for name in gear_set.elements if name in on], "and")


def _other_sets(gear_set: GearSet, gear: str) -> Iterator[str]:
    """What is on in the other gears, and in this one with one element taken for another."""
    chart = gear_set.chart
    yield from (_said(gear_set, on) for on in chart.values())
    for wrong in chart[gear]:
        for instead in gear_set.elements:
            if instead not in chart[gear]:
                yield _said(gear_set, [*(name for name in chart[gear] if name != wrong), instead])


def mark(exercise: Exercise[AppliedKey], given: object) -> Mark:
    """Marks both choices by the chart, and says what the wrong ones would be.

    Raises:
        Refused: something of the answer is missing, or no option.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    key = exercise.key
    answered: Any = read_answer(exercise.asks, given)
    marks = all_chosen(exercise.asks, answered, key.rights)
    chart = key.gear_set.chart
    why = []
    for ask, found in zip(exercise.asks, marks, strict=True):
        if not found.right:
            gear = key.gears[ask.id]
            why.append(f"In gear {gear} the chart has {_said(key.gear_set, chart[gear])} on.")
            why.extend(_what_that_is(key.gear_set, ask, found.given))
    return Mark(marks, tuple(why), key.gear_set.working_of(key.gears["on"]))


def _what_that_is(gear_set: GearSet, ask: Ask, given: str) -> Iterator[str]:
    chart = gear_set.chart
    if ask.id == "gear":
        yield f"In gear {given} it has {_said(gear_set, chart[given])}."
        return
    gear = next((gear for gear, on in chart.items() if _said(gear_set, on) == given), None)
    yield f"{given}: that is gear {gear}." if gear else f"{given}: no gear of the chart has these."
