"""The scheduler, held against the published rule worked by hand."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.practice.repetition import Card, due, new_card, review

DAY = date(2026, 9, 1)


def _after(grades: list[int]) -> list[Card]:
    """A new card reviewed on each due day with these grades; the card after each."""
    card, cards = new_card("x", DAY), []
    for grade in grades:
        card = review(card, grade, card.due)
        cards.append(card)
    return cards


# Worked by hand from the published rule: E' = E + (0.1 - (5 - q)(0.08 + (5 - q) 0.02)), that is +0.10, 0, -0.14 for q = 5, 4, 3;
# I = 1, 6, then I E rounded up: 6 x 2.8 = 16.8 -> 17, 17 x 2.9 = 49.3 -> 50; 6 x 2.5 = 15, 15 x 2.5 = 37.5 -> 38;
# 6 x 2.08 = 12.48 -> 13, 13 x 1.94 = 25.22 -> 26, and so on to the floor 1.3.
BY_HAND = [
    ([5, 5, 5, 5], [("2.6", 1), ("2.7", 6), ("2.8", 17), ("2.9", 50)]),
    ([4, 4, 4, 4], [("2.5", 1), ("2.5", 6), ("2.5", 15), ("2.5", 38)]),
    ([3, 3, 3, 3], [("2.36", 1), ("2.22", 6), ("2.08", 13), ("1.94", 26)]),
    ([5, 5, 2, 5, 5], [("2.6", 1), ("2.7", 6), ("2.7", 1), ("2.8", 1), ("2.9", 6)]),
    ([0, 4, 4], [("2.5", 1), ("2.5", 1), ("2.5", 6)]),
]


@pytest.mark.parametrize(("grades", "expected"), BY_HAND)
def test_the_published_rule(grades: list[int], expected: list[tuple[str, int]]) -> None:
    """Easiness and interval after each grade, worked by hand. Source: Wozniak 1990, 3.2, algorithm SM-2."""
    assert [(card.easiness, card.interval) for card in _after(grades)] == [
        (Decimal(easiness), days) for easiness, days in expected
    ]


def test_the_reduced_form_agrees() -> None:
    """The same text gives E' = E - 0.8 + 0.28 q - 0.02 q^2; both forms agree for every grade that passes."""
    for grade in (3, 4, 5):
        expected = Decimal("2.5") - Decimal("0.8") + Decimal("0.28") * grade - Decimal("0.02") * grade * grade
        assert review(new_card("x", DAY), grade, DAY).easiness == expected


def test_the_easiness_has_a_floor() -> None:
    """Passed with difficulty again and again, it falls to 1.3 and no further: (2.5 - 1.3) / 0.14 is between 8 and 9."""
    easiness = [card.easiness for card in _after([3] * 12)]
    assert easiness[7] == Decimal("1.38")
    assert easiness[8:] == [Decimal("1.3")] * 4


def test_a_failed_one_starts_anew_and_keeps_its_easiness() -> None:
    """Below 3 the intervals begin again, the easiness stays, and it is asked again the same day."""
    card = review(Card("x", 4, Decimal("2.1"), 40, DAY), 2, DAY)
    assert card == Card("x", 0, Decimal("2.1"), 1, DAY + timedelta(days=1), again=True, reviewed=DAY)


def test_what_was_not_good_is_asked_until_it_is() -> None:
    """Graded 3 it comes again the same day, until a 4 or better; neither changes the interval set by the day's first grade."""
    first = review(Card("x", 2, Decimal("2.5"), 6, DAY), 3, DAY)
    assert (first.again, first.interval, first.easiness) == (True, 15, Decimal("2.36"))
    second = review(first, 1, DAY)
    assert (second.again, second.interval, second.repetitions, second.easiness) == (True, 15, 3, Decimal("2.36"))
    third = review(second, 4, DAY)
    assert (third.again, third.due) == (False, DAY + timedelta(days=15))
    assert review(first, 5, DAY + timedelta(days=15)).repetitions == 4


def test_what_is_due_comes_in_order() -> None:
    """The longest due first, then by name; what is to be asked again the same day comes last; what is not due stays away."""
    cards = [
        Card("b", 1, Decimal("2.5"), 1, DAY),
        Card("a", 1, Decimal("2.5"), 1, DAY),
        Card("old", 1, Decimal("2.5"), 1, DAY - timedelta(days=9)),
        Card("later", 1, Decimal("2.5"), 6, DAY + timedelta(days=1)),
        Card("again", 0, Decimal("2.5"), 1, DAY + timedelta(days=1), again=True, reviewed=DAY),
        Card("yesterday", 0, Decimal("2.5"), 1, DAY, again=True, reviewed=DAY - timedelta(days=1)),
    ]
    assert [card.id for card in due(cards, DAY)] == ["old", "a", "b", "yesterday", "again"]


def test_intervals_stay_within_a_hundred_years() -> None:
    """However often it is right, the next review lies within a hundred years, and so within the calendar."""
    assert review(Card("x", 9, Decimal("2.5"), 36_000, DAY), 5, DAY).interval == 36_500


@given(st.lists(st.integers(0, 5), max_size=40))
def test_no_grades_break_the_rule(grades: list[int]) -> None:
    """Whatever the grades: the easiness is 1.3 and more, and an interval is at least a day."""
    for card in _after(grades):
        assert card.easiness >= Decimal("1.3")
        assert card.interval >= 1
        assert card.due == card.reviewed + timedelta(days=card.interval)  # type: ignore[operator]
