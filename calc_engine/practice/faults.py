"""Find the mistake: a stack drawn with one thing wrong. Which mistake is it, where, and what would it do on the road?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from calc_engine import alike, sentence, uncapitalised
from calc_engine.practice.checker import differences
from calc_engine.practice.effects import FAULTS, general_effect, noted_effect
from calc_engine.practice.exercise import Ask, AskMark, AskOption, Exercise, Mark, all_chosen, read_answer
from calc_engine.practice.generator import Generator, generator_for
from calc_engine.practice.planting import Planted, fair_faults
from calc_engine.practice.stack_drawing import stack_drawing
from calc_engine.practice.unit import Entry, ExerciseUnit, Pack

__all__ = ["KIND", "FaultKey", "make", "mark", "why_not"]

KIND: Final = "fault"
_FEWEST_OTHERS: Final = 2
_MOST_OTHERS: Final = 3


@dataclass(frozen=True, slots=True)
class FaultKey:
    """What the search for a mistake is marked by.

    Attributes:
        planted: the mistake.
        pack: the pack as it should be.
        rights: by the id of an ask: the right option.
    """

    planted: Planted
    pack: Pack
    rights: dict[str, str]


def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made of a pack; None when one can."""
    if fair_faults(unit, pack):
        return None
    return "No single mistake in this pack could be told from its drawing: nothing has a way round, a groove or a neighbour to mix up."


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[FaultKey] | None:
    """An exercise in finding a planted mistake.

    The kind of mistake is drawn first, so that a pack with many plates to flip is not all flipped plates. What it would do on the
    road is asked where the author's notes speak of this very mistake. None when `why_not` says why.

    Args:
        unit: the unit that the pack belongs to.
        pack: what it is made of.
        seed: decides all that is drawn; the same one gives the same exercise.
    """
    faults = fair_faults(unit, pack)
    if not faults:
        return None
    draw = generator_for(seed, KIND, unit.id, pack.id)
    kind = draw.choice(list(dict.fromkeys(fault.kind for fault in faults)))
    planted = draw.choice([fault for fault in faults if fault.kind == kind])
    last = len(planted.rows) + 1
    places = (
        *(AskOption(str(number), f"Number {number}") for number in range(1, last)),
        AskOption(str(last), f"After number {last - 1}: something is missing at the end"),
    )
    asks = [
        Ask("what", "choice", "What is wrong?", tuple(AskOption(name, said) for name, said in FAULTS.items())),
        Ask("where", "choice", "Count up from 1. Which number is the first wrong one?", places),
    ]
    rights = {"what": planted.kind, "where": str(planted.at)}
    road = _road(draw, unit, planted)
    if road is not None:
        asks.append(road[0])
        rights["road"] = road[1]
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{unit.name}, {pack.name}: find the mistake",
        question=(
            f"The {pack.name} is drawn with exactly one mistake. What is it, and where? A different size of a selective part is not a mistake."
        ),
        given={
            "stack": [
                {"number": number, "label": planted.labels[row.part.id], "side": row.side, "groove": row.groove}
                for number, row in enumerate(planted.rows, 1)
            ]
        },
        shown=stack_drawing(planted.rows, planted.labels),
        asks=tuple(asks),
        key=FaultKey(planted, pack, rights),
    )


def mark(exercise: Exercise[FaultKey], given: object) -> Mark:
    """Marks what was found.

    Raises:
        Refused: something of the answer is missing or no option.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    answer = read_answer(exercise.asks, given)
    marks = all_chosen(exercise.asks, answer, exercise.key.rights)
    planted, pack = exercise.key.planted, exercise.key.pack
    found = differences(planted.rows, pack, planted.labels)
    why = [_why(found_mark) for found_mark in marks if not found_mark.right]
    why.extend(_consequence(planted))
    return Mark(marks, tuple(why), tuple(difference.words for difference in found))


def _why(found: AskMark) -> str:
    if found.id == "what":
        return f"Not “{found.given}”: {uncapitalised(found.answer)}."
    if found.id == "where":
        given, _, _ = found.given.partition(":")
        return f"{found.answer}, not {uncapitalised(given)}: below it the drawing matches the list."
    return f"That comes of another mistake. This one: {sentence(found.answer)}"


def _consequence(planted: Planted) -> list[str]:
    """What it would do: the author's words for this very mistake, else what the trade knows of it."""
    entry = planted.entry
    noted = noted_effect(entry, planted.kind, planted.other)
    lines = []
    if noted is not None:
        lines.append(f"On the road: {sentence(noted)}")
    else:
        lines.append(general_effect(planted.kind, entry.part.kind))
    apart = entry.tell_apart or entry.part.tell_apart
    if planted.kind == "look-alike" and apart:
        lines.append(f"How to recognise {entry.part.name}: {sentence(apart)}")
    return lines


def _road(draw: Generator, unit: ExerciseUnit, planted: Planted) -> tuple[Ask, str] | None:
    """What the notes say that it does, among what they say of other mistakes to other kinds of parts."""
    right = noted_effect(planted.entry, planted.kind, planted.other)
    if right is None:
        return None
    others = _other_effects(unit, planted.entry, right)
    if len(others) < _FEWEST_OTHERS:
        return None
    texts = draw.shuffled((right, *draw.shuffled(others)[:_MOST_OTHERS]))
    options = tuple(AskOption(f"effect-{number}", sentence(text)) for number, text in enumerate(texts, 1))
    label = "What does this mistake do on the road?"
    return Ask("road", "choice", label, options), options[texts.index(right)].id


def _other_effects(unit: ExerciseUnit, entry: Entry, right: str) -> tuple[str, ...]:
    """What the notes of the unit say of other kinds of parts, and of none of this kind."""
    found: dict[str, str] = {}
    own = {alike(right)}
    for pack in unit.packs.values():
        for other in pack.entries:
            cue, _, effect = (other.wrong or "").partition(":")
            if other.part.kind == entry.part.kind:
                own.add(alike(effect))
            elif cue.strip() and effect.strip():
                found.setdefault(alike(effect), effect.strip())
    return tuple(text for same, text in found.items() if same not in own)
