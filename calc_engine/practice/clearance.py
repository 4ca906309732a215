"""Readings to clearance, verdict and ring: drawn so that the answer is decided, marked by the engine itself."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from calc_engine.practice.clearance_words import (
    FIND_FIRST,
    VERDICTS,
    exact_enough,
    facts,
    question,
    ring_ask,
    why_clearance,
    why_ring,
    why_verdict,
)
from calc_engine.practice.exercise import Ask, AskMark, AskOption, Exercise, Mark, all_chosen, quantity_in, read_answer
from calc_engine.practice.generator import generator_for
from calc_engine.practice.readings import table
from calc_engine.practice.ring_choice import right_size, ring_task
from calc_engine.practice.setup import METHODS, setup_of, why_not_measured
from calc_engine.practice.trial import Trial, decided_trial
from calc_engine.practice.unit import ExerciseUnit, Pack

__all__ = ["KIND", "ClearanceKey", "make", "mark", "why_not"]

KIND: Final = "clearance"
# A clearance is right within half a step of the gauge, and within half of this where its steps are coarser.
_COARSEST: Final = {
    "mm": Fraction(1, 100), "um": Fraction(10), "m": Fraction(1, 100_000), "in": Fraction(1, 1000), "thou": Fraction(1),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class ClearanceKey:
    """What the exercise is marked by: the readings with the engine's answers, and by the id of a choice its right option."""

    trial: Trial
    rights: dict[str, str]

    @property
    def tolerance(self) -> Fraction:
        """How far a clearance may be off and still be right: what rounding to the gauge's step can do."""
        setup = self.trial.setup
        return min(setup.step, _COARSEST[setup.unit.name]) / 2


def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made of a pack; None when one can."""
    return why_not_measured(unit, pack)


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[ClearanceKey] | None:
    """An exercise from readings to the ring; see `trial` for how they are drawn. None when `why_not` says why.

    Args:
        unit: the unit that the pack belongs to.
        pack: what it is made of.
        seed: decides all that is drawn; the same one gives the same exercise.
    """
    if why_not(unit, pack) is not None:
        return None
    draw = generator_for(seed, KIND, unit.id, pack.id)
    setup = setup_of(unit, pack)
    task = ring_task(draw, unit, pack)
    trial = decided_trial(draw, pack, setup, task)
    even = setup.spread_limit is None
    verdicts = tuple(AskOption(name, said) for name, said in VERDICTS.items() if name != "uneven" or not even)
    asks = [
        Ask("clearance", "quantity", "The clearance", unit=setup.unit.name),
        Ask("verdict", "choice", "The verdict", verdicts),
    ]
    rights = {"verdict": trial.verdict}
    if task is not None:
        asks.append(ring_ask(task, may_be_uneven=not even))
        rights["ring"] = FIND_FIRST if trial.verdict == "uneven" else right_size(task, trial.reply, trial.parts_reply)
    known = facts(trial)
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{unit.name}, {pack.name}: from readings to the ring"
        if task
        else f"{unit.name}, {pack.name}: from readings to the verdict",
        question=question(trial),
        given=_given(trial, known),
        shown=table(f"Readings {METHODS[setup.method].split(':')[0]}", trial.readings, known),
        asks=tuple(asks),
        key=ClearanceKey(trial, rights),
    )


def mark(exercise: Exercise[ClearanceKey], given: object) -> Mark:
    """Marks clearance, verdict and size against the engine's answer, and shows its working.

    Raises:
        Refused: something of the answer is missing, or not a length, or no option.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    key, trial = exercise.key, exercise.key.trial
    answered = read_answer(exercise.asks, given)
    figure, *choices = exercise.asks
    read = quantity_in(answered, figure.id)
    value = trial.setup.read(read)
    right = abs(value - trial.clearance) <= key.tolerance
    marks = (
        AskMark(figure.id, right, str(read), exact_enough(trial.setup, trial.clearance)),
        *all_chosen(choices, answered, key.rights),
    )
    why = [] if right else [why_clearance(trial, value, key.tolerance)]
    for ask in choices:
        wanted, found = key.rights[ask.id], str(answered[ask.id])
        if found != wanted:
            why.append((why_verdict if ask.id == "verdict" else why_ring)(trial, found, wanted))
    chosen_by_parts = trial.parts_reply is not None and trial.verdict != "uneven"
    working = [*trial.reply["working"], *((trial.parts_reply or {})["working"] if chosen_by_parts else ())]
    return Mark(marks, (*why, *_advice(trial)), tuple(working))


def _advice(trial: Trial) -> list[str]:
    """What the engine says is to be done; of an uneven pack only that the cause comes first."""
    if trial.verdict == "uneven":
        return [trial.reply["result"]["advice"]]
    return [(trial.parts_reply or trial.reply)["result"]["advice"]]


def _given(trial: Trial, known: list[tuple[str, str]]) -> dict[str, Any]:
    return {
        "method": trial.setup.method,
        "readings": trial.readings.request,
        "facts": [{"name": name, "said": said} for name, said in known],
    }
