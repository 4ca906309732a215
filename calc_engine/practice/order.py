"""Put the stack in order: the parts of a pack as cards, with the side and the groove of each part."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from calc_engine import Element, element, sentence
from calc_engine.practice.effects import general_effect, noted_effect
from calc_engine.practice.exercise import Answer, Ask, AskMark, AskOption, Exercise, Mark, all_chosen, order_in, read_answer
from calc_engine.practice.generator import Generator, generator_for
from calc_engine.practice.part_kinds import PART_KINDS
from calc_engine.practice.seen import labels
from calc_engine.practice.unit import EITHER_WAY, Entry, ExerciseUnit, Pack, has_way_round, turned_over
from calc_engine.practice.wording import COMMON_PRACTICE

__all__ = ["KIND", "OrderKey", "make", "mark", "why_not"]

KIND: Final = "order"
_FEWEST_CARDS: Final = 3
_MOST_CARDS: Final = 40
# Of a repeat so many turns are laid out: enough to show its order, and no work of patience.
_TURNS_SHOWN: Final = 2
_SEALS: Final = frozenset({"seal", "lip-seal"})


@dataclass(frozen=True, slots=True)
class OrderKey:
    """What the order is marked by.

    Attributes:
        entries: the entries laid out, in their right order.
        cards: the entry behind each card, by the card's id.
        rights: by the id of an ask for a side or a groove: the right option.
    """

    entries: tuple[Entry, ...]
    cards: dict[str, Entry]
    rights: dict[str, str]


def why_not(_unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made of a pack; None when one can."""
    entries = _laid_out(pack)
    if len(entries) < _FEWEST_CARDS:
        return f"The pack has fewer than {_FEWEST_CARDS} parts to put in order."
    if len(entries) > _MOST_CARDS:
        return f"The pack has {len(entries)} parts to lay out; more than {_MOST_CARDS} are too many for one exercise."
    if labels(pack.parts, named=True) is None:
        return "Two parts of the pack have the same name, thickness, mark and number, so their cards could not be told apart."
    if all(
        entries[other].part.id == entry.part.id for entry, early in zip(entries, _before(entries), strict=True) for other in early
    ):
        return "Every order of these parts is right."
    return None


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[OrderKey] | None:
    """An exercise in stack order.

    Every order in which the parts can be built is right: parts that are the same may change places, seals that follow each other
    too (each has its own groove), and what the data calls free. Of a repeat two turns are laid out. None when `why_not` says why.

    Args:
        unit: the unit that the pack belongs to.
        pack: what it is made of.
        seed: decides all that is drawn; the same one gives the same exercise.
    """
    if why_not(unit, pack) is not None:
        return None
    draw = generator_for(seed, KIND, unit.id, pack.id)
    entries = _laid_out(pack)
    names = labels(pack.parts, named=True)
    assert names is not None  # noqa: S101 - why_not has seen to it
    mixed = _mixed(draw, entries)
    cards = {f"card-{number}": entry for number, entry in enumerate(mixed, 1)}
    options = tuple(AskOption(card, names[entry.part.id]) for card, entry in cards.items())
    ways, rights = _ways(pack, cards, names)
    order = Ask("order", "order", "In which order do they go in? The first one first.", options)
    left_out = len(pack.entries) - len(entries)
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{unit.name}, {pack.name}: stack order",
        question=_question(pack, left_out, asks_ways=bool(ways)),
        given={"cards": [{"id": option.id, "label": option.label} for option in options], "left_out": left_out},
        shown=_shown(options),
        asks=(order, *ways),
        key=OrderKey(entries, cards, rights),
    )


def mark(exercise: Exercise[OrderKey], given: object) -> Mark:
    """Marks an order with its sides and grooves.

    Raises:
        Refused: the answer is no order of the cards, or something of it is missing.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    answer = read_answer(exercise.asks, given)
    order, *ways = exercise.asks
    marked = _mark_order(exercise.key, order, answer)
    marks = (marked, *all_chosen(ways, answer, exercise.key.rights))
    why = [] if marked.right else _why_order(exercise.key, order, answer)
    for found in marks[1:]:
        if not found.right:
            why.extend(_why_way(exercise.key, found))
    return Mark(marks, tuple(why), tuple(_working(exercise)))


def _laid_out(pack: Pack) -> tuple[Entry, ...]:
    return tuple(entry for entry in pack.entries if entry.turn <= _TURNS_SHOWN)


def _before(entries: Sequence[Entry]) -> tuple[frozenset[int], ...]:
    """For each entry, the places of all the entries that must be in before it.

    Seals that follow each other may change places. An entry that is free has no place of its own: it must only be in before the
    one part, or after the other, that the data names.
    """
    found: list[set[int]] = [set() for _ in entries]
    ids = [entry.part.id for entry in entries]
    ranks = _ranks(entries)
    for place, entry in enumerate(entries):
        rank = ranks[place]
        if rank is not None:
            found[place].update(other for other in range(place) if (ranks[other] or rank) < rank)
        if entry.any_time_before is not None:
            found[ids.index(entry.any_time_before)].add(place)
        if entry.any_time_after is not None:
            found[place].update(other for other, part in enumerate(ids) if part == entry.any_time_after)
    for place in range(len(entries)):
        # What must be in before it stands before it in the list, so is complete already.
        found[place].update(*(found[other] for other in found[place]))
    return tuple(map(frozenset, found))


def _ranks(entries: Sequence[Entry]) -> list[int | None]:
    """The place of each entry among those whose place is fixed, a run of seals being one place; None where it is free."""
    found: list[int | None] = []
    rank, follows_seal = 0, False
    for entry in entries:
        seal = entry.part.kind in _SEALS
        if not entry.is_free:
            rank += not (seal and follows_seal)
            follows_seal = seal
        found.append(None if entry.is_free else rank)
    return found


def _places(entries: Sequence[Entry], laid: Sequence[Entry]) -> list[int]:
    """The place in the list of each part laid out: of parts that are the same, the first laid is the first of the list."""
    waiting: dict[str, list[int]] = {}
    for place, entry in enumerate(entries):
        waiting.setdefault(entry.part.id, []).append(place)
    return [waiting[entry.part.id].pop(0) for entry in laid]


def _first_wrong(entries: Sequence[Entry], laid: Sequence[Entry]) -> tuple[int, int] | None:
    """The number laid, from 0, that is too early, and the place in the list of what should be in before it; None if all is right."""
    before = _before(entries)
    done: set[int] = set()
    for number, place in enumerate(_places(entries, laid)):
        missing = before[place] - done
        if missing:
            return number, min(missing)
        done.add(place)
    return None


def _is_right(entries: Sequence[Entry], laid: Sequence[Entry]) -> bool:
    """Whether the parts can go in as they are laid out."""
    return _first_wrong(entries, laid) is None


def _mixed(draw: Generator, entries: tuple[Entry, ...]) -> tuple[Entry, ...]:
    """The entries in an order that is not right yet."""
    mixed = draw.shuffled(entries)
    while _is_right(entries, mixed):
        mixed = draw.shuffled(entries)
    return mixed


def _question(pack: Pack, left_out: int, *, asks_ways: bool) -> str:
    turns = f" Only the first {_TURNS_SHOWN} of the repeated sets are shown." if left_out else ""
    ways = " Say which way round and into which groove they go, where that is asked." if asks_ways else ""
    return (
        f"Put the parts of the {pack.name} in order, the first to go in first.{turns}{ways}"
        " Every order that can be built is right: identical parts may change places, and so may neighbouring seals."
    )


def _shown(options: Sequence[AskOption]) -> Element:
    return element("ul", {"class": "practice-cards"}, *(element("li", {"data-card": card.id}, card.label) for card in options))


def _ways(pack: Pack, cards: Mapping[str, Entry], names: Mapping[str, str]) -> tuple[tuple[Ask, ...], dict[str, str]]:
    """Which way round and which groove, once for each part of which every one goes in alike; and the right options."""
    asks: list[Ask] = []
    rights: dict[str, str] = {}
    for part in dict.fromkeys(entry.part.id for entry in cards.values()):
        uses = [entry for entry in pack.entries if entry.part.id == part]
        about = tuple(card for card, entry in cards.items() if entry.part.id == part)
        side, groove = uses[0].side, uses[0].groove
        if side is not None and has_way_round(side) and all(use.side == side for use in uses):
            ways = tuple(AskOption(way, way) for way in (*sorted((side, turned_over(side))), EITHER_WAY))
            asks.append(Ask(f"side-{part}", "choice", f"{names[part]}: which way round?", ways, about=about))
            rights[f"side-{part}"] = side
        if groove is not None and len(pack.grooves) > 1 and all(use.groove == groove for use in uses):
            grooves = tuple(AskOption(name, f"{name} groove") for name in pack.grooves)
            asks.append(Ask(f"groove-{part}", "choice", f"{names[part]}: which groove?", grooves, about=about))
            rights[f"groove-{part}"] = groove
    return tuple(asks), rights


def _mark_order(key: OrderKey, ask: Ask, answer: Answer) -> AskMark:
    given = order_in(answer, ask.id)
    names = {entry.part.id: ask.label_of(card) for card, entry in key.cards.items()}
    return AskMark(
        ask.id,
        _is_right(key.entries, [key.cards[card] for card in given]),
        "; ".join(ask.label_of(card) for card in given),
        "; ".join(names[entry.part.id] for entry in key.entries),
    )


def _why_order(key: OrderKey, ask: Ask, answer: Answer) -> list[str]:
    """Where the order first goes wrong, and what the notes say of the part that should be in by then."""
    laid = [key.cards[card] for card in order_in(answer, ask.id)]
    wrong = _first_wrong(key.entries, laid)
    assert wrong is not None  # noqa: S101 - the order is wrong
    number, missing = wrong
    right, found = key.entries[missing], laid[number]
    names = {entry.part.id: ask.label_of(card) for card, entry in key.cards.items()}
    where = f" ({right.place})" if right.place else ""
    lines = [f"Number {number + 1}: you have {names[found.part.id]} there. {names[right.part.id]}{where} goes in before it."]
    if found.part.id in right.part.look_alikes or right.part.id in found.part.look_alikes:
        lines.extend(_apart(entry) for entry in (right, found) if entry.tell_apart or entry.part.tell_apart)
    noted = noted_effect(right, "order", PART_KINDS[found.part.kind])
    if noted is not None:
        lines.append(f"The notes on {right.part.name}: {sentence(right.wrong or '')}")
    else:
        lines.append(
            f"Out of its place a part bears on the wrong neighbour; count and clearance can still look right {COMMON_PRACTICE}."
        )
    return lines


def _apart(entry: Entry) -> str:
    return f"How to recognise {entry.part.name}: {sentence(entry.tell_apart or entry.part.tell_apart or '')}"


def _why_way(key: OrderKey, found: AskMark) -> list[str]:
    """Why a side or a groove is wrong, from the notes on its part."""
    what, _, part = found.id.partition("-")
    entry = next(entry for entry in key.entries if entry.part.id == part)
    where = f" ({entry.place})" if entry.place else ""
    lines = [f"{entry.part.name}{where}: {found.answer}, not {found.given}."]
    fault = "flipped" if what == "side" else "groove"
    if noted_effect(entry, fault, found.given.removesuffix(" groove")) is not None:
        return [*lines, f"The notes on it: {sentence(entry.wrong or '')}"]
    return [*lines, general_effect(fault, entry.part.kind)]


def _working(exercise: Exercise[OrderKey]) -> list[str]:
    """The list of the data, of the parts that were laid out; where a part is free, that is said."""
    ask = exercise.asks[0]
    names = {entry.part.id: ask.label_of(card) for card, entry in exercise.key.cards.items()}
    return [
        " · ".join(
            fact
            for fact in (
                f"{number}. {names[entry.part.id]}",
                entry.side,
                f"{entry.groove} groove" if entry.groove else None,
                entry.place,
                _freedom(exercise.key, entry),
            )
            if fact
        )
        for number, entry in enumerate(exercise.key.entries, 1)
    ]


def _freedom(key: OrderKey, entry: Entry) -> str | None:
    """Between which parts a part may go in at any time."""
    names = {other.part.id: other.part.name for other in key.entries}
    ways = [
        f"{word} {names[other]}"
        for word, other in (("after", entry.any_time_after), ("before", entry.any_time_before))
        if other is not None
    ]
    return f"at any time {' and '.join(ways)}" if ways else None
