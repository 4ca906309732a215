"""Which caution, gauge, tool or consumable goes here: asked from the data of unit and shop, with wrong options that are wrong."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from calc_engine import GAUGES_OF_METHOD, alike, element, sentence
from calc_engine.practice.exercise import Ask, AskOption, Exercise, Mark, chosen, read_answer
from calc_engine.practice.generator import generator_for
from calc_engine.practice.seen import labels
from calc_engine.practice.setup import METHODS
from calc_engine.practice.unit import Entry, ExerciseUnit, Pack, ShopGauge, Supply
from calc_engine.practice.wording import COMMON_PRACTICE

__all__ = ["KIND", "WhatGoesHereKey", "make", "mark", "why_not"]

KIND: Final = "which"
_FEWEST_OTHERS: Final = 2
_MOST_OTHERS: Final = 3


@dataclass(frozen=True, slots=True)
class Matter:
    """A question with its right option and the wrong ones, before they are shuffled.

    Attributes:
        question: what is asked.
        right: the right option.
        others: wrong ones, at least two, no two alike.
        why: by option: what is to be said of it.
        always: what is to be said of the right answer.
    """

    question: str
    right: str
    others: tuple[str, ...]
    why: dict[str, str]
    always: str


@dataclass(frozen=True, slots=True)
class WhatGoesHereKey:
    """What the exercise is marked by: its matter and the id of the right option."""

    matter: Matter
    right: str


@dataclass(frozen=True, slots=True)
class Use:
    """What a kind of part needs, as the trade knows it; common practice, no source.

    Attributes:
        kinds: the kinds of part.
        wanted: words that name what it needs.
        possible: words of what could be argued for as well, and so is no wrong option.
        question: what is asked; ``{}`` stands for the part.
        why: why it is that.
    """

    kinds: tuple[str, ...]
    wanted: str
    possible: str
    question: str
    why: str


_USES: Final = (
    Use(
        ("lip-seal", "seal"),
        r"assembly (lubricant|lube|gel)",
        r"lubricant|lube|gel|grease|fluid|oil|jelly|glove|cloth|rag",
        "Which of these goes on the {} before it goes in?",
        "A seal that goes in dry rolls or tears; the assembly lubricant dissolves in the fluid and leaves nothing behind",
    ),
    Use(
        ("friction",),
        r"(clean|new|fresh|transmission) (transmission )?fluid",
        r"fluid|oil|glove|cloth|rag|tag|marker",
        "In which of these does the {} stand before it goes in?",
        "A dry lining burns in its first second of slip; it soaks in the fluid that goes into the unit",
    ),
)
_AT_EVERY_JOB: Final = r"glasses|goggles|lamp|light|mirror|stand|tray|glove"
# What could be argued for beside the tool that the data names, by the kind of part, and so is no wrong option.
_POSSIBLE_TOOLS: Final = {
    "lip-seal": r"sleeve|seal|wire|press",
    "seal": r"sleeve|seal|wire|press",
    "snap-ring": r"ring|pliers|pick|press|driver",
    "return-spring": r"press|pliers|pick|clamp|vice",
    "retainer": r"press|pliers|pick|clamp|vice",
}


def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made of a pack; None when one can."""
    if any(True for _ in _matters(unit, pack)):
        return None
    return "Neither the pack's cautions nor the shop's gauges, tools and consumables leave enough to choose from."


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[WhatGoesHereKey] | None:
    """An exercise in what stands before a step. None when `why_not` says why.

    Only what cannot be argued for as well is offered as a wrong option.

    Args:
        unit: the unit that the pack belongs to.
        pack: what it is made of.
        seed: decides all that is drawn; the same one gives the same exercise.
    """
    matters = tuple(_matters(unit, pack))
    if not matters:
        return None
    draw = generator_for(seed, KIND, unit.id, pack.id)
    of_kind = draw.choice(list(dict.fromkeys(kind for kind, _ in matters)))
    matter = draw.choice([found for kind, found in matters if kind == of_kind])
    others = draw.shuffled(matter.others)[:_MOST_OTHERS]
    texts = draw.shuffled((matter.right, *others))
    options = tuple(AskOption(f"option-{number}", text) for number, text in enumerate(texts, 1))
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{unit.name}, {pack.name}: what goes here?",
        question=matter.question,
        given={"about": of_kind},
        shown=element("div", {"class": "practice-nothing-shown"}),
        asks=(Ask("which", "choice", "Choose one", options),),
        key=WhatGoesHereKey(matter, options[texts.index(matter.right)].id),
    )


def mark(exercise: Exercise[WhatGoesHereKey], given: object) -> Mark:
    """Marks a choice, and says why.

    Raises:
        Refused: the answer is missing or no option.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    answer = read_answer(exercise.asks, given)
    matter = exercise.key.matter
    marked = chosen(exercise.asks[0], answer, exercise.key.right)
    why = [] if marked.right else [matter.why.get(marked.given, f"{sentence(marked.given)} That is not the right answer here.")]
    return Mark((marked,), (*why, matter.always))


def _matters(unit: ExerciseUnit, pack: Pack) -> Iterator[tuple[str, Matter]]:
    for kind, found in (
        ("caution", _cautions),
        ("place", _places),
        ("gauge", _gauges),
        ("use", _uses),
        ("tool", _tools),
        ("note", _notes),
    ):
        find: Callable[[ExerciseUnit, Pack], Iterator[Matter]] = found
        yield from ((kind, matter) for matter in find(unit, pack) if _is_fair(matter))


def _is_fair(matter: Matter) -> bool:
    texts = [alike(text) for text in (matter.right, *matter.others)]
    return len(matter.others) >= _FEWEST_OTHERS and len(set(texts)) == len(texts)


def _entries(pack: Pack) -> tuple[Entry, ...]:
    """One entry for each part."""
    return tuple({entry.part.id: entry for entry in reversed(pack.entries)}.values())[::-1]


# --- cautions -----------------------------------------------------------------------------------------------------------------


def _signal(entry: Entry) -> str:
    assert entry.caution is not None  # noqa: S101 - the callers have seen to it
    return f"{entry.caution.signal.upper()}: {sentence(entry.caution.text)}"


def _signals(unit: ExerciseUnit) -> dict[str, Entry]:
    """Every caution of the unit once, by what a reader takes in of it."""
    entries = [entry for pack in unit.packs.values() for entry in pack.entries if entry.caution is not None]
    return {alike(entry.caution.text): entry for entry in reversed(entries) if entry.caution is not None}


def _cautions(unit: ExerciseUnit, pack: Pack) -> Iterator[Matter]:
    """Which caution stands before this part? The wrong ones stand before others and say something else; no part has two texts."""
    known, names = _signals(unit), labels(pack.parts, named=True)
    if names is None:
        return
    for entry in _entries(pack):
        if entry.caution is None or len(_texts_of(pack, entry)) > 1:
            continue
        others = {text: other for text, other in known.items() if not _say_the_same(text, alike(entry.caution.text))}
        place = f" ({entry.place})" if entry.place else ""
        yield Matter(
            question=f"In the {pack.name}, which warning applies when you fit this part: {names[entry.part.id]}{place}?",
            right=_signal(entry),
            others=tuple(_signal(other) for other in others.values()),
            why={_signal(other): f"That one is for the {other.part.name}." for other in others.values()},
            always=f"The warning for the {entry.part.name}: {_signal(entry)}",
        )


def _say_the_same(first: str, second: str) -> bool:
    """Whether two cautions share half of their words: then one could be argued for in the other's place."""
    words, others = set(first.split()), set(second.split())
    return 2 * len(words & others) >= len(words | others)


def _texts_of(pack: Pack, entry: Entry) -> set[str]:
    """The different cautions that stand before one part in its pack."""
    uses = (other for other in pack.entries if other.part.id == entry.part.id)
    return {alike(use.caution.text) if use.caution else "" for use in uses}


def _places(_unit: ExerciseUnit, pack: Pack) -> Iterator[Matter]:
    """Before which part does this caution stand? Before one alone, and the other parts have another or none."""
    names = labels(pack.parts, named=True)
    entries = _entries(pack)
    if names is None:
        return
    for entry in entries:
        if entry.caution is None:
            continue
        text = alike(entry.caution.text)
        others = [other for other in entries if other is not entry]
        if any(text in _texts_of(pack, other) for other in others):
            continue
        yield Matter(
            question=f"To which part of the {pack.name} does this warning apply? {_signal(entry)}",
            right=names[entry.part.id],
            others=tuple(names[other.part.id] for other in others),
            why={names[other.part.id]: _has_instead(other) for other in others},
            always=f"It applies to the {entry.part.name}.",
        )


def _has_instead(other: Entry) -> str:
    return f"{f'The warning for the {other.part.name} is {_signal(other)}' if other.caution else f'The {other.part.name} has no warning.'}"


# --- gauges, tools, consumables -------------------------------------------------------------------------------------------------


def _gauges(unit: ExerciseUnit, pack: Pack) -> Iterator[Matter]:
    """Which gauge measures this pack? The wrong ones are of kinds that cannot do it the way that the data says."""
    spec = pack.clearance
    if spec is None or spec.gauge is None or spec.method is None or spec.gauge.kind not in GAUGES_OF_METHOD[spec.method]:
        return
    right = spec.gauge
    others = tuple(gauge for gauge in unit.gauges if gauge.kind not in {right.kind, *GAUGES_OF_METHOD[spec.method]})
    yield Matter(
        question=f"The clearance of the {pack.name} is measured {METHODS[spec.method]}. Which gauge is used for it?",
        right=right.name,
        others=tuple(gauge.name for gauge in others),
        why={gauge.name: f"{gauge.name} (kind: {gauge.kind}): {_note(gauge)}" for gauge in others},
        always=f"The gauge for it is the {right.name}. {_note(right)}".strip(),
    )


def _note(thing: ShopGauge | Supply) -> str:
    return sentence(thing.note) if thing.note else "it does not measure this way."


def _uses(unit: ExerciseUnit, pack: Pack) -> Iterator[Matter]:
    """What the trade puts on this part, among consumables of the shop that nobody would use there."""
    for use in _USES:
        parts = [entry.part for entry in _entries(pack) if entry.part.kind in use.kinds]
        wanted = [thing for thing in unit.consumables if _speaks(use.wanted, thing)]
        others = tuple(thing for thing in unit.consumables if not _speaks(use.wanted, thing) and not _speaks(use.possible, thing))
        for part in parts:
            for thing in wanted[:1]:
                yield Matter(
                    question=use.question.format(part.name),
                    right=thing.name,
                    others=tuple(other.name for other in others),
                    why={other.name: f"{other.name}: {sentence(other.note)}" for other in others if other.note},
                    always=f"{use.why} {COMMON_PRACTICE}. {sentence(thing.note) if thing.note else ''}".strip(),
                )


def _tools(unit: ExerciseUnit, pack: Pack) -> Iterator[Matter]:
    """Which tool fits this part? The one that the data names, among tools of the shop that nobody would use there."""
    tools = {tool.id: tool for tool in unit.tools}
    for entry in _entries(pack):
        possible = _POSSIBLE_TOOLS.get(entry.part.kind)
        used = {other.tool for other in pack.entries if other.part.id == entry.part.id}
        if possible is None or entry.tool is None or len(used) > 1:
            continue
        right = tools[entry.tool]
        others = tuple(tool for tool in unit.tools if tool is not right and not _speaks(f"{possible}|{_AT_EVERY_JOB}", tool))
        yield Matter(
            question=f"In the {pack.name}, which of these do you fit the {entry.part.name} with?",
            right=right.name,
            others=tuple(other.name for other in others),
            why={other.name: f"{other.name}: {sentence(other.note)}" for other in others if other.note},
            always=f"The {entry.part.name} is fitted with this: {right.name}. {sentence(right.note) if right.note else ''}".strip(),
        )


def _speaks(words: str, thing: Supply) -> bool:
    """Whether a thing's name holds one of the words."""
    return re.search(words, alike(thing.name)) is not None


def _notes(unit: ExerciseUnit, _pack: Pack) -> Iterator[Matter]:
    """For which tool or consumable does this hold? For one alone."""
    for things in (unit.tools, unit.consumables):
        for thing in things:
            if thing.note is None or any(
                other.note and alike(other.note) == alike(thing.note) for other in things if other is not thing
            ):
                continue
            others = tuple(other for other in things if other is not thing)
            yield Matter(
                question=f"Which of these does this hold for? “{thing.note}”",
                right=thing.name,
                others=tuple(other.name for other in others),
                why={other.name: f"{other.name}: {sentence(other.note)}" for other in others if other.note},
                always=f"It holds for this: {thing.name}.",
            )
