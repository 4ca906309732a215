"""What an exercise is, what it asks, and how an answer to it is marked: plain data, the same on every machine."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from calc_engine import Dimension, Element, Quantity, Refused, find_unit, parse_quantity
from calc_engine.practice.edition import EDITION
from calc_engine.practice.reading import MessageReader

__all__ = [
    "Answer",
    "Ask",
    "AskMark",
    "AskOption",
    "Exercise",
    "Further",
    "Given",
    "Mark",
    "PageLink",
    "all_chosen",
    "chosen",
    "option_called",
    "order_in",
    "quantity_in",
    "read_answer",
]

type Given = str | tuple[str, ...] | Quantity
"""One answer, read: the id of an option, the ids of the cards in order, or a quantity."""

_MOST_ANSWERS: Final = 400


@dataclass(frozen=True, slots=True)
class AskOption:
    """One of the things to choose from, or one card to lay in order."""

    id: str
    label: str


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing that is asked.

    Attributes:
        id: the key of its answer.
        form: ``choice`` (one option), ``order`` (every option, first to last) or ``quantity`` (figures with a unit).
        label: the question.
        options: what to choose from, or the cards as they lie before they are put in order.
        unit: of a quantity: the unit that the entry shows.
        about: options of the order that a choice belongs to, so that a page can show it beside them.
    """

    id: str
    form: Literal["choice", "order", "quantity"]
    label: str
    options: tuple[AskOption, ...] = ()
    unit: str | None = None
    about: tuple[str, ...] = ()

    def label_of(self, option: str) -> str:
        """The label of one of the options."""
        return next(known.label for known in self.options if known.id == option)

    def as_json(self) -> dict[str, Any]:
        """The ask as a page gets it."""
        made: dict[str, Any] = {"id": self.id, "form": self.form, "label": self.label}
        if self.form != "quantity":
            made["options"] = [{"id": option.id, "label": option.label} for option in self.options]
        if self.unit is not None:
            made["unit"] = self.unit
        if self.about:
            made["about"] = list(self.about)
        return made


@dataclass(frozen=True, slots=True)
class Exercise[K]:
    """An exercise.

    Attributes:
        kind: its kind, see `kinds`.
        seed: what it was drawn from. The same seed, data and edition give the same exercise.
        unit, pack: ids of what it is about.
        title: a heading.
        question: what is to be done, in words.
        given: what is shown, as plain data.
        shown: what is shown, as a page fragment.
        asks: what is asked.
        key: what `mark` goes by; it never leaves this package.
    """

    kind: str
    seed: int
    unit: str
    pack: str
    title: str
    question: str
    given: Mapping[str, Any]
    shown: Element
    asks: tuple[Ask, ...]
    key: K

    def as_json(self) -> dict[str, Any]:
        """The exercise as a page gets it, without what it is marked by."""
        return {
            "edition": EDITION,
            "kind": self.kind,
            "seed": self.seed,
            "unit": self.unit,
            "pack": self.pack,
            "title": self.title,
            "question": self.question,
            "given": dict(self.given),
            "shown": self.shown,
            "answer_form": [ask.as_json() for ask in self.asks],
        }


@dataclass(frozen=True, slots=True)
class AskMark:
    """How one ask was answered: right or not, what was given and what is right, in words."""

    id: str
    right: bool
    given: str
    answer: str


@dataclass(frozen=True, slots=True)
class PageLink:
    """A place in the manual: what it is called, and its address below the site."""

    title: str
    address: str


@dataclass(frozen=True, slots=True)
class Further:
    """What an answer leads to before the exercise is marked: what is shown then, and what is asked beside what was asked before."""

    shown: Element
    asks: tuple[Ask, ...]

    def as_json(self) -> dict[str, Any]:
        """It as a page gets it."""
        return {"shown": self.shown, "answer_form": [ask.as_json() for ask in self.asks]}


@dataclass(frozen=True, slots=True)
class Mark:
    """How an exercise was answered.

    Attributes:
        asks: ask by ask.
        why: what to know about it: of a wrong answer, why it is wrong.
        working: the right answer worked out, line by line.
        read: the places in the manual that say so.
    """

    asks: tuple[AskMark, ...]
    why: tuple[str, ...]
    working: tuple[str, ...] = ()
    read: tuple[PageLink, ...] = ()

    @property
    def right(self) -> bool:
        """Whether everything was answered right."""
        return all(ask.right for ask in self.asks)

    @property
    def quality(self) -> int:
        """The grade for the scheduler, 0 to 5, see `repetition`.

        5 when all is right; else 2 when at least half is, 1 when something is, 0 when nothing is. The steps are ours: the
        published grades below 3 tell how well the right answer was known once it was seen.
        """
        right = sum(ask.right for ask in self.asks)
        if right == len(self.asks):
            return 5
        return 2 if 2 * right >= len(self.asks) else min(right, 1)

    def as_json(self) -> dict[str, Any]:
        """The mark as a page gets it."""
        return {
            "right": self.right,
            "quality": self.quality,
            "asks": [{"id": ask.id, "right": ask.right, "given": ask.given, "answer": ask.answer} for ask in self.asks],
            "why": list(self.why),
            "working": list(self.working),
            "read": [{"title": link.title, "address": link.address} for link in self.read],
            "answer": {ask.id: ask.answer for ask in self.asks},
        }


type Answer = Mapping[str, Given]
"""By the id of an ask: what was answered."""


def order_in(answer: Answer, ask: str) -> tuple[str, ...]:
    """The ids of the cards in the order that was answered.

    Args:
        answer: what was answered.
        ask: the id of an ask for an order.
    """
    found = answer[ask]
    assert isinstance(found, tuple)  # noqa: S101 - `read_answer` has seen to it
    return found


def quantity_in(answer: Answer, ask: str) -> Quantity:
    """The quantity that was answered.

    Args:
        answer: what was answered.
        ask: the id of an ask for a quantity.

    Returns:
        It, in the unit that it was answered in.
    """
    found = answer[ask]
    assert isinstance(found, Quantity)  # noqa: S101 - `read_answer` has seen to it
    return found


def chosen(ask: Ask, answer: Answer, right: str) -> AskMark:
    """The mark of a choice.

    Args:
        ask: the choice.
        answer: what was answered.
        right: the id of the right option.
    """
    given = str(answer[ask.id])
    return AskMark(ask.id, given == right, ask.label_of(given), ask.label_of(right))


def all_chosen(asks: Iterable[Ask], answer: Answer, rights: Mapping[str, str]) -> tuple[AskMark, ...]:
    """The marks of several choices.

    Args:
        asks: the choices.
        answer: what was answered.
        rights: the id of the right option of each, by the id of the ask.
    """
    return tuple(chosen(ask, answer, rights[ask.id]) for ask in asks)


def option_called(options: Iterable[AskOption], label: str) -> str:
    """The id of the option with a label; no two have one."""
    return next(option.id for option in options if option.label == label)


def read_answer(asks: Sequence[Ask], given: object) -> dict[str, Given]:
    """An answer, read against what is asked.

    Args:
        asks: what the exercise asks.
        given: an object with one value for each ask: an option's id, a list of all ids, or a quantity as text.

    Returns:
        One value for each ask.

    Raises:
        Refused: with every problem, under ``answer`` and the id of the ask.
    """
    reader = MessageReader()
    values = reader.mapping(given, "answer", tuple(ask.id for ask in asks)) or {}
    found: dict[str, Given] = {}
    for ask in asks:
        if ask.id in values:
            read = _read(reader, ask, values[ask.id], f"answer.{ask.id}")
            if read is not None:
                found[ask.id] = read
    reader.refuse_if_any()
    return found


def _read(reader: MessageReader, ask: Ask, value: object, field: str) -> Given | None:
    if ask.form == "choice":
        return reader.choice(value, field, (option.id for option in ask.options))
    if ask.form == "order":
        return _order(reader, ask, value, field)
    return _quantity(reader, ask, value, field)


def _order(reader: MessageReader, ask: Ask, value: object, field: str) -> tuple[str, ...] | None:
    known = tuple(option.id for option in ask.options)
    items = reader.items(value, field)
    names = [reader.choice(name, f"{field}.{index}", known) for index, name in enumerate(items[:_MOST_ANSWERS])]
    if None in names:
        return None
    order = tuple(name for name in names if name is not None)
    if sorted(order) == sorted(known):
        return order
    missing = len(set(known) - set(order))
    message = f"{missing} of {len(known)} are missing from the order, or one appears twice."
    reader.report(field, "not-an-order", message, "Name each of them once.")
    return None


def _quantity(reader: MessageReader, ask: Ask, value: object, field: str) -> Quantity | None:
    unit = find_unit(ask.unit or "")
    try:
        return parse_quantity(value, Dimension.LENGTH, field, system=unit.system if unit else None)
    except Refused as refused:
        reader.problems.extend(refused.problems)
        return None
