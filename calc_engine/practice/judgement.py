"""Use again, measure or replace: a part as it is found, judged by the standard; where a number decides, by the reading too."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from calc_engine import Element, JudgedReading, Quantity, element, judged_reading, sentence
from calc_engine.practice.exercise import Ask, AskOption, Exercise, Further, Mark, chosen, read_answer
from calc_engine.practice.figures import at_step, shown
from calc_engine.practice.finding_drawings import finding_drawing
from calc_engine.practice.generator import Generator, generator_for, in_turn
from calc_engine.practice.standards import JUDGEMENTS, MEASURE, REPLACE, USE_AGAIN, Finding, Measured
from calc_engine.practice.unit import ExerciseUnit, Pack

__all__ = ["AGAIN", "KIND", "JudgementKey", "further", "make", "mark", "why_not"]

KIND: Final = "judge"
AGAIN: Final = "measure-again"
_AFTER: Final = {USE_AGAIN: JUDGEMENTS[USE_AGAIN], REPLACE: JUDGEMENTS[REPLACE], AGAIN: "Measure again: the gauge cannot tell"}
_NEAR: Final = (-1, 0, 1)  # Steps of the gauge from a limit.
_FAR: Final = (-9, -7, -5, -4, 4, 5, 7, 9)
_WRONG: Final = {
    (USE_AGAIN, MEASURE): "Its looks do not decide: a figure does.",
    (USE_AGAIN, REPLACE): "What is seen here does not go back in.",
    (MEASURE, USE_AGAIN): "No figure is needed: what is seen is as it should be.",
    (MEASURE, REPLACE): "No figure saves it: what is seen decides.",
    (REPLACE, USE_AGAIN): "Nothing that is seen here says scrap.",
    (REPLACE, MEASURE): "It is not scrap yet: a figure decides.",
}


@dataclass(frozen=True, slots=True)
class _Read:
    """A reading, and what the engine says of it."""

    value: Quantity
    judged: JudgedReading

    @property
    def right(self) -> str:
        """What is to be done with the part."""
        if not self.judged.certain:
            return AGAIN
        return USE_AGAIN if self.judged.verdict == "in" else REPLACE


@dataclass(frozen=True, slots=True)
class JudgementKey:
    """What the exercise is marked by: the finding, and the reading where a number decides."""

    finding: Finding
    read: _Read | None


def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made; None when one can."""
    return None if pack.id in unit.findings else "This is asked of a set of findings of the standards."


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[JudgementKey] | None:
    """A part as it is found. In a set none comes twice before each has come once. None when `why_not` says why.

    Args:
        unit: the standards.
        pack: stands for a set of findings.
        seed: decides all that is drawn; the same one gives the same exercise.
    """
    if pack.id not in unit.findings:
        return None
    finding = in_turn(unit.findings[pack.id], seed, KIND, unit.id, pack.id)
    draw = generator_for(seed, KIND, unit.id, pack.id, "reading")
    options = tuple(AskOption(name, words) for name, words in JUDGEMENTS.items())
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{pack.name}: use again, measure or replace?",
        question=f"{sentence(finding.part)} {sentence(finding.found)} What do you do with it?",
        given={"drawing": finding.drawing},
        shown=finding_drawing(finding.drawing),
        asks=(Ask("judgement", "choice", "What you do with it", options),),
        key=JudgementKey(finding, _read(finding.measured, draw) if finding.measured else None),
    )


def _read(measured: Measured, draw: Generator) -> _Read:
    """A reading near one of the limits or clear of it, in whole steps of the gauge; both are in one unit."""
    limit = draw.choice([end for end in (measured.low, measured.high) if end is not None])
    step = measured.step.value
    at_limit = round(limit.value / step)
    away = draw.choice([steps for steps in (_NEAR if draw.chance(1, 3) else _FAR) if at_limit + steps > 0])
    value = Quantity((at_limit + away) * step, limit.unit)
    return _Read(value, judged_reading(value, measured.low, measured.high, measured.step, measured.error))


def _after_reading() -> Ask:
    options = tuple(AskOption(name, words) for name, words in _AFTER.items())
    return Ask("reading", "choice", "And now", options)


def further(exercise: Exercise[JudgementKey], given: object) -> Further | None:
    """The reading, for whoever wants to measure where a number decides and has not been asked about it yet.

    Raises:
        Refused: the answer is missing or no option.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    key = exercise.key
    if key.read is None or (isinstance(given, Mapping) and "reading" in given):
        return None
    answer = read_answer(exercise.asks, given)
    if answer["judgement"] != MEASURE:
        return None
    assert key.finding.measured is not None  # noqa: S101 - there is a reading
    return Further(_reading_shown(key.finding.measured, key.read.value), (_after_reading(),))


def _reading_shown(measured: Measured, value: Quantity) -> Element:
    facts = (
        (measured.what, f"{at_step(value.value, measured.step.value)} {value.unit.name}"),
        ("Limits", f"{_limits(measured)}, {measured.source}"),
        ("Gauge", _gauge(measured)),
    )
    rows = (piece for name, text in facts for piece in (element("dt", {}, name), element("dd", {}, text)))
    return element("div", {"class": "practice-readings"}, element("dl", {}, *rows))


def _limits(measured: Measured) -> str:
    low, high = (None if end is None else shown(end.value, end.unit) for end in (measured.low, measured.high))
    return f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"


def _gauge(measured: Measured) -> str:
    reads = f"{measured.gauge}, reads to {shown(measured.step.value, measured.step.unit)}"
    return reads if measured.error is None else f"{reads}, may be {shown(measured.error.value, measured.error.unit)} off"


def mark(exercise: Exercise[JudgementKey], given: object) -> Mark:
    """Marks a judgement by the standard, and what follows from a reading by the engine's comparison.

    Raises:
        Refused: something of the answer is missing, or no option.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    key = exercise.key
    finding = key.finding
    asks_reading = key.read is not None and isinstance(given, Mapping) and "reading" in given
    asks = (*exercise.asks, _after_reading()) if asks_reading else exercise.asks
    answer = read_answer(asks, given)
    judged = chosen(asks[0], answer, finding.judgement)
    marks = [judged]
    why = [] if judged.right else [_WRONG[str(answer["judgement"]), finding.judgement]]
    working: tuple[str, ...] = ()
    if asks_reading and key.read is not None:
        marks.append(chosen(asks[1], answer, key.read.right))
        why += _why_reading(key.read)
        working = key.read.judged.working
    why += [sentence(finding.reason), f"The standard: “{finding.says}”"]
    return Mark(tuple(marks), tuple(why), working, (finding.page,))


def _why_reading(read: _Read) -> list[str]:
    if read.right == AGAIN:
        return ["The limit lies within what the gauge may be off: measure again, with a finer gauge if you have one."]
    within = "within the limits" if read.right == USE_AGAIN else "outside the limits"
    return [f"The reading is {within}, whatever the gauge may be off."]
