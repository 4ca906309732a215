"""When to practise again what was missed: the published scheduler SM-2, in exact decimals, with days given in.

Source: P. A. Wozniak, "Optimization of learning", Master's thesis, University of Technology in Poznan, 1990, section 3.2, algorithm
SM-2. Its rules: the easiness E starts at 2.5; the intervals are 1 day, 6 days, then the last one times E, a fraction rounded up; after
each review E' = E + (0.1 - (5 - q)(0.08 + (5 - q) 0.02)), not below 1.3; a grade q below 3 starts the intervals anew and leaves E as it
is; what was graded below 4 is asked again the same day until it is not. (The rounding, the start anew and the same day are quoted
from memory of the text; the formulas were read.)
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_CEILING, Context, Decimal
from typing import Any, Final

from calc_engine.practice.reading import MessageReader

__all__ = ["Card", "due", "new_card", "read_card", "read_day", "review"]

_START: Final = Decimal("2.5")
_FLOOR: Final = Decimal("1.3")
_HIGHEST: Final = Decimal(100)
_FIRST: Final = 1
_SECOND: Final = 6
_PASSED: Final = 3
_GOOD: Final = 4
# A hundred years: longer intervals mean the same, and leave the calendar.
_LONGEST: Final = 36_500
_EXACT: Final = Context(prec=60)
_DAY: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LAST_DAY: Final = date(9000, 1, 1)


@dataclass(frozen=True, slots=True)
class Card:
    """Something to be practised again.

    Attributes:
        id: what it is.
        repetitions: how often in a row it was passed.
        easiness: the E-factor, 1.3 and more, exact.
        interval: days from the last review to the next.
        due: the day of the next review.
        again: whether it is to be asked again on the day of its last review.
        reviewed: the day of that review; None before the first.
    """

    id: str
    repetitions: int
    easiness: Decimal
    interval: int
    due: date
    again: bool = False
    reviewed: date | None = None

    def as_json(self) -> dict[str, Any]:
        """The card as it is kept."""
        return {
            "id": self.id,
            "repetitions": self.repetitions,
            "easiness": str(self.easiness),
            "interval": self.interval,
            "due": self.due.isoformat(),
            "again": self.again,
            "reviewed": self.reviewed.isoformat() if self.reviewed else None,
        }


def new_card(name: str, today: date) -> Card:
    """A card that was never reviewed; it is due at once.

    Args:
        name: the card's id.
        today: the day that it is made.
    """
    return Card(name, 0, _START, 0, today)


def review(card: Card, quality: int, today: date) -> Card:
    """The card after a review.

    A second look on the same day, at a card that is to be asked again, only settles whether it must be asked once more: the
    day's first grade has set its interval.

    Args:
        card: as it was.
        quality: the grade, 0 (nothing known) to 5 (right at once).
        today: the day of the review.
    """
    if card.again and card.reviewed == today:
        return Card(card.id, card.repetitions, card.easiness, card.interval, card.due, again=quality < _GOOD, reviewed=today)
    if quality < _PASSED:
        repetitions, easiness, interval = 0, card.easiness, _FIRST
    else:
        repetitions, easiness = card.repetitions + 1, _easier(card.easiness, quality)
        interval = _interval(repetitions, card.interval, easiness)
    return Card(card.id, repetitions, easiness, interval, today + timedelta(days=interval), again=quality < _GOOD, reviewed=today)


def _easier(easiness: Decimal, quality: int) -> Decimal:
    short = 5 - quality
    change = Decimal("0.1") - short * (Decimal("0.08") + short * Decimal("0.02"))
    return max(_EXACT.add(easiness, change), _FLOOR)


def _interval(repetitions: int, last: int, easiness: Decimal) -> int:
    """Days to the next review; the easiness is the one that this review has left."""
    if repetitions == 1:
        return _FIRST
    if repetitions == 2:  # noqa: PLR2004 - the second one
        return _SECOND
    days = _EXACT.multiply(Decimal(last), easiness).to_integral_value(rounding=ROUND_CEILING, context=_EXACT)
    return min(int(days), _LONGEST)


def due(cards: Sequence[Card], today: date) -> tuple[Card, ...]:
    """The cards to practise today: those whose day has come, the longest due first, and those to be asked again.

    Args:
        cards: all cards of a person.
        today: the day of practice.
    """
    waiting = [card for card in cards if card.due <= today or (card.again and card.reviewed == today)]
    return tuple(sorted(waiting, key=lambda card: (card.again and card.reviewed == today, card.due, card.id)))


def read_day(reader: MessageReader, value: object, field: str) -> date | None:
    """A day as year-month-day; None, with a problem kept, if it is none.

    Args:
        reader: keeps the problem.
        value: what the message holds.
        field: its dotted name.
    """
    if isinstance(value, str) and _DAY.fullmatch(value):
        try:
            day = date.fromisoformat(value)
        except ValueError:
            day = _LAST_DAY
        if day < _LAST_DAY:
            return day
    reader.report(field, "bad-date", "A day is wanted here.", "Write year-month-day, for example 2026-09-01.")
    return None


def read_card(reader: MessageReader, value: object, field: str) -> Card | None:
    """A kept card; None, with a problem kept for each fault, if it is none.

    Args:
        reader: keeps the problems.
        value: what the message holds.
        field: its dotted name.
    """
    given = reader.mapping(value, field, ("id", "repetitions", "easiness", "interval", "due", "again", "reviewed"))
    if given is None:
        return None
    easiness = _read_easiness(reader, given.get("easiness", "2.5"), f"{field}.easiness")
    day = read_day(reader, given.get("due", "2000-01-01"), f"{field}.due")
    reviewed = given.get("reviewed")
    last = None if reviewed is None else read_day(reader, reviewed, f"{field}.reviewed")
    name = reader.text(given.get("id", "?"), f"{field}.id")
    repetitions = reader.whole(given.get("repetitions", 0), f"{field}.repetitions", 0, 1_000_000)
    interval = reader.whole(given.get("interval", 0), f"{field}.interval", 0, _LONGEST)
    again = reader.flag(given.get("again", False), f"{field}.again")
    if easiness is None or day is None:
        return None
    return Card(name, repetitions, easiness, interval, day, again=again, reviewed=last)


def _read_easiness(reader: MessageReader, value: object, field: str) -> Decimal | None:
    if (
        isinstance(value, str)
        and re.fullmatch(r"[0-9]{1,2}(\.[0-9]{1,12})?", value, re.ASCII)
        and _FLOOR <= Decimal(value) < _HIGHEST
    ):
        return Decimal(value)
    reader.report(
        field, "out-of-range", "An easiness is wanted here.", 'Write a decimal of 1.3 or more as text, for example "2.5".'
    )
    return None
