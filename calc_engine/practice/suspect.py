"""Which element is to blame: a road test that points to one element, and to no other. The engine names it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from calc_engine import answer
from calc_engine.practice.exercise import Ask, AskOption, Exercise, Mark, all_chosen, option_called, read_answer
from calc_engine.practice.gear_set import NOT_A_GEAR_SET, GearSet
from calc_engine.practice.gear_tables import chart_table
from calc_engine.practice.generator import generator_for
from calc_engine.practice.readings import Readings, table
from calc_engine.practice.unit import ExerciseUnit, Pack
from calc_engine.practice.wording import COMMON_PRACTICE

__all__ = ["KIND", "SuspectKey", "make", "mark", "why_not"]

KIND: Final = "suspect"
_FAULTS: Final = {"does-not-hold": "It does not hold", "does-not-let-go": "It does not let go"}
_SEEN: Final = {"does-not-hold": "slips", "does-not-let-go": "binds"}


class _Case(NamedTuple):
    """An element with a fault that the road test tells from every other, and the engine's answer to it."""

    element: str
    fault: str
    reply: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class SuspectKey:
    """What the exercise is marked by: what each gear does, the ids of the right options, and why it is that."""

    gear_set: GearSet
    seen: Mapping[str, str]
    rights: Mapping[str, str]
    reason: str
    working: tuple[str, ...]


def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made of a gear set; None when one can."""
    gear_set = unit.gear_set_for(pack)
    if gear_set is None:
        return NOT_A_GEAR_SET
    if next(_cases(gear_set), None) is None:
        return "No road test over all gears of the chart points to one element alone."
    return None


def _seen(gear_set: GearSet, element: str, fault: str) -> dict[str, str]:
    """What each gear does when an element has a fault."""
    fails_on = fault == "does-not-hold"
    return {gear: _SEEN[fault] if (element in on) is fails_on else "works" for gear, on in gear_set.chart.items()}


def _cases(gear_set: GearSet) -> Iterator[_Case]:
    gears = [{"name": gear, "on": list(on)} for gear, on in gear_set.chart.items()]
    for fault in _FAULTS:
        for element in gear_set.elements:
            seen = _seen(gear_set, element, fault)
            told = [{"gear": gear, "what": what} for gear, what in seen.items()]
            reply = answer("which-element", {"elements": gear_set.kinds, "gears": gears, "seen": told})
            if reply["ok"] and _points_to(reply["result"], element, fault):
                yield _Case(element, fault, reply)


def _points_to(result: Mapping[str, Any], element: str, fault: str) -> bool:
    """Whether one element by itself explains all of it, and no other does."""
    clear = [each for each in result["suspects"] if not each["against"] and len(each["elements"]) == 1]
    found = [(each["elements"][0], each["fault"]) for each in clear]
    return found == [(element, fault)] and not result["outside"] and bool(clear[0]["explains"])


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[SuspectKey] | None:
    """A road test of every gear that points to one element. None when `why_not` says why.

    Args:
        unit: the unit with its gear set.
        pack: stands for the gear set.
        seed: decides all that is drawn; the same one gives the same exercise.
    """
    gear_set = unit.gear_set_for(pack)
    cases = [] if gear_set is None else list(_cases(gear_set))
    if gear_set is None or not cases:
        return None
    draw = generator_for(seed, KIND, unit.id, pack.id)
    case = draw.choice(cases)
    seen = _seen(gear_set, case.element, case.fault)
    elements = tuple(AskOption(f"element-{at}", name) for at, name in enumerate(gear_set.elements, 1))
    faults = tuple(AskOption(fault, said) for fault, said in _FAULTS.items())
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{unit.name}: which element is suspect?",
        question="One element by itself explains this road test. Which is it, and what is wrong with it?",
        given={"seen": seen},
        shown=table("Applied chart, and what each gear does on the road", _rows(gear_set, seen), ()),
        asks=(Ask("element", "choice", "The element", elements), Ask("fault", "choice", "What is wrong with it", faults)),
        key=SuspectKey(
            gear_set,
            seen,
            {"element": option_called(elements, case.element), "fault": case.fault},
            next(each["reason"] for each in case.reply["result"]["suspects"] if each["elements"] == [case.element]),
            tuple(case.reply["working"]),
        ),
    )


def _rows(gear_set: GearSet, seen: Mapping[str, str]) -> Readings:
    chart = chart_table(gear_set, list(seen))
    return Readings({}, chart.heads, (*chart.rows, ("On the road", *seen.values())))


def mark(exercise: Exercise[SuspectKey], given: object) -> Mark:
    """Marks element and fault by the engine's answer, and says which gears speak against another element.

    Raises:
        Refused: something of the answer is missing, or no option.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    key = exercise.key
    answered = read_answer(exercise.asks, given)
    marks = all_chosen(exercise.asks, answered, key.rights)
    element, fault = marks
    why = [f"{element.answer}: {key.reason} {COMMON_PRACTICE}."]
    if not element.right:
        speaks = _against(key, element.given, str(answered["fault"]))
        why.insert(0, f"{element.given}: gear {speaks} speaks against it.")
    elif not fault.right:
        why.insert(0, "Gears that slip lack what should hold; gears that bind have on what should be off.")
    return Mark(marks, tuple(why), key.working)


def _against(key: SuspectKey, element: str, fault: str) -> str:
    """The first gear that would do otherwise with this fault of this element."""
    would = _seen(key.gear_set, element, fault)
    return next(gear for gear, what in key.seen.items() if would[gear] != what)
