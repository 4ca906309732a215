"""Answers are read against what is asked, and graded."""

from __future__ import annotations

import pytest

from calc_engine import Refused
from calc_engine.practice import Ask, AskMark, AskOption, Mark
from calc_engine.practice.exercise import chosen, order_in, quantity_in, read_answer

ASKS = (
    Ask("order", "order", "In which order?", (AskOption("a", "A"), AskOption("b", "B"), AskOption("c", "C"))),
    Ask("side", "choice", "Which way round?", (AskOption("up", "lip up"), AskOption("down", "lip down")), about=("a",)),
    Ask("reading", "quantity", "The reading", unit="mm"),
)
GOOD = {"order": ["b", "a", "c"], "side": "up", "reading": "1.35 mm"}


def _problems(given: object) -> list[tuple[str, str, str, str]]:
    with pytest.raises(Refused) as refused:
        read_answer(ASKS, given)
    return [(problem.field, problem.code, problem.message, problem.remedy) for problem in refused.value.problems]


def test_an_answer_is_read() -> None:
    """Each ask gets its value, whatever its form."""
    answer = read_answer(ASKS, GOOD)
    assert order_in(answer, "order") == ("b", "a", "c")
    assert str(quantity_in(answer, "reading")) == "1.35 mm"
    assert chosen(ASKS[1], answer, "down") == AskMark("side", right=False, given="lip up", answer="lip down")


@pytest.mark.parametrize(
    ("given", "problems"),
    [
        ([], [("answer", "wrong-type", "An object is wanted here.", "Write one with order, side, reading.")]),
        ({**GOOD, "sid": 1}, [("answer.sid", "unknown-field", "This field is not known.", "Did you mean “side”?")]),
        ({"order": ["a", "b", "c"]}, [
            ("answer.side", "missing", "This field is missing.", "Add it."),
            ("answer.reading", "missing", "This field is missing.", "Add it."),
        ]),
        ({**GOOD, "side": "upp"}, [("answer.side", "unknown-word", "“upp” is not known here.", "Did you mean “up”?")]),
        ({**GOOD, "side": 5}, [("answer.side", "unknown-word", "What stands here is not known here.", "Write one of: up, down.")]),
        ({**GOOD, "order": "abc"}, [
            ("answer.order", "wrong-type", "A list is wanted here.", "Write one in square brackets."),
            ("answer.order", "not-an-order", "3 of 3 are missing from the order, or one appears twice.", "Name each of them once."),
        ]),
        ({**GOOD, "order": ["a", "b", "x"]}, [("answer.order.2", "unknown-word", "“x” is not known here.", "Write one of: a, b, c.")]),
        ({**GOOD, "order": ["a", "b", "b"]}, [
            ("answer.order", "not-an-order", "1 of 3 are missing from the order, or one appears twice.", "Name each of them once."),
        ]),
        ({**GOOD, "reading": "1.35"}, [
            ("answer.reading", "no-unit", "“1.35” has no unit.", "Write the unit too, for example 0.85 mm."),
        ]),
    ],
)  # fmt: skip
def test_what_is_wrong_with_an_answer_is_told(given: object, problems: list[tuple[str, ...]]) -> None:
    """Every problem of an answer comes with the id of its ask."""
    assert _problems(given) == problems


def test_a_reading_of_an_inch_gauge_is_asked_for_in_inches() -> None:
    """The example in the message has the unit that stands behind the entry."""
    with pytest.raises(Refused) as refused:
        read_answer((Ask("reading", "quantity", "The reading", unit="in"),), {"reading": "0.034"})
    assert refused.value.problems[0].remedy == "Write the unit too, for example 0.034 in."


@pytest.mark.parametrize(
    ("rights", "quality"),
    [((True,), 5), ((True, True), 5), ((False,), 0), ((True, False), 2), ((True, False, False), 1), ((False, False), 0)],
)
def test_the_grade_follows_what_was_right(rights: tuple[bool, ...], quality: int) -> None:
    """5 when all is right; else 2 when half is, 1 when something is, 0 when nothing is."""
    mark = Mark(tuple(AskMark(str(place), right, "", "") for place, right in enumerate(rights)), ())
    assert mark.quality == quality
    assert mark.right == all(rights)
    assert mark.as_json()["quality"] == quality


def test_what_a_page_gets_of_an_ask() -> None:
    """Options for a choice and an order, a unit for a quantity, and what a choice is about."""
    assert ASKS[1].as_json() == {
        "id": "side",
        "form": "choice",
        "label": "Which way round?",
        "options": [{"id": "up", "label": "lip up"}, {"id": "down", "label": "lip down"}],
        "about": ["a"],
    }
    assert ASKS[2].as_json() == {"id": "reading", "form": "quantity", "label": "The reading", "unit": "mm"}
