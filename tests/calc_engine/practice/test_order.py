"""Stack order: what is laid out, what is right, and what is said of what is not."""

from __future__ import annotations

from typing import Any

import pytest

from calc_engine.practice import Exercise, Mark, read_unit
from calc_engine.practice.order import KIND, OrderKey, make, mark, why_not

type Made = Exercise[OrderKey]


def _made(data: dict[str, Any], seed: int = 1) -> Made:
    unit = read_unit(data)
    exercise = make(unit, unit.packs["first"], seed)
    assert exercise is not None
    return exercise


def _right(exercise: Made) -> dict[str, Any]:
    """The answer that is right: the cards by the list, the sides and grooves by the key."""
    free = dict(exercise.key.cards)
    order = []
    for entry in exercise.key.entries:
        card = next(name for name, other in free.items() if other.part.id == entry.part.id)
        del free[card]
        order.append(card)
    return {"order": order, **exercise.key.rights}


def _marked(exercise: Made, **changes: Any) -> Mark:
    return mark(exercise, _right(exercise) | changes)


def _card(exercise: Made, part: str) -> int:
    """The place of the first card of a part in the right order."""
    return next(place for place, entry in enumerate(exercise.key.entries) if entry.part.id == part)


def test_two_turns_of_a_repeat_are_laid_out(small: dict[str, Any]) -> None:
    """Of three turns of two plates two are laid out, and the reader is told so."""
    exercise = _made(small)
    assert len(exercise.key.cards) == 10
    assert exercise.given["left_out"] == 2
    assert exercise.question == (
        "Put the parts of the First pack in order, the first to go in first. Only the first 2 of the repeated sets are shown. Say which "
        "way round and into which groove they go, where that is asked. Every order that can be built is right: identical parts may change "
        "places, and so may neighbouring seals."
    )
    assert [ask.id for ask in exercise.asks if ask.id.startswith("groove")] == ["groove-ring-a"]


def test_nothing_repeated_and_nothing_to_ask_is_not_mentioned(small: dict[str, Any]) -> None:
    """A pack without repeats, sides and grooves is asked for its order alone."""
    small["packs"][0]["parts"] = [{"part": part} for part in ("wave", "steel", "friction")]
    exercise = _made(small)
    assert [ask.id for ask in exercise.asks] == ["order"]
    assert exercise.question == (
        "Put the parts of the First pack in order, the first to go in first. Every order that can be built is right: identical parts may "
        "change places, and so may neighbouring seals."
    )


def test_the_right_answer_is_right(small: dict[str, Any]) -> None:
    """The list's order with the list's sides and grooves is right, and nothing is left to say."""
    marked = _marked(_made(small))
    assert marked.right
    assert marked.why == ()
    assert marked.working[0] == "1. Inner seal · lip down"
    assert marked.working[2] == "3. Elm piston · flat up · in the bottom"
    assert marked.working[-1] == "10. Elm ring, thin · 1.40 mm · no dot · either way · middle groove"


def test_equal_parts_and_seals_may_change_places(small: dict[str, Any]) -> None:
    """The two steels exchanged, and the two seals exchanged, are as right as before."""
    exercise = _made(small)
    order = _right(exercise)["order"]
    steels = [place for place, entry in enumerate(exercise.key.entries) if entry.part.id == "steel"]
    order[steels[0]], order[steels[1]] = order[steels[1]], order[steels[0]]
    order[0], order[1] = order[1], order[0]
    assert _marked(exercise, order=order).right


def test_a_wrong_order_is_told_at_its_first_place(small: dict[str, Any]) -> None:
    """The first wrong number is named, with what belongs there and what the notes say of it."""
    exercise = _made(small)
    order = _right(exercise)["order"]
    wave = _card(exercise, "wave")
    order[wave - 1], order[wave] = order[wave], order[wave - 1]
    assert _marked(exercise, order=order).why == (
        "Number 3: you have Elm wave · 1.50 mm there. Elm piston (in the bottom) goes in before it.",
        "Out of its place a part bears on the wrong neighbour; count and clearance can still look right (common practice, no source).",
    )
    order = _right(exercise)["order"]
    order[wave], order[wave + 1] = order[wave + 1], order[wave]
    assert _marked(exercise, order=order).why == (
        "Number 4: you have Elm steel · 1.80 mm there. Elm wave · 1.50 mm goes in before it.",
        "Out of its place a part bears on the wrong neighbour; count and clearance can still look right (common practice, no source).",
    )


def test_a_note_is_only_told_of_the_mistake_that_it_speaks_of(small: dict[str, Any]) -> None:
    """A friction plate before the first steel: what the note on the steel says of just that, and of no other mistake."""
    for entry in small["packs"][0]["parts"]:
        if entry["part"] == "steel":
            entry["wrong"] = "friction first: lining runs against the piston"
    exercise = _made(small)
    order = _right(exercise)["order"]
    steel = _card(exercise, "steel")
    order[steel], order[steel + 1] = order[steel + 1], order[steel]
    assert _marked(exercise, order=order).why == (
        "Number 5: you have Elm friction · 1.70 mm there. Elm steel · 1.80 mm goes in before it.",
        "The notes on Elm steel: Friction first: lining runs against the piston.",
    )


def _orders(small: dict[str, Any], *orders: str) -> list[bool]:
    """Which of these orders of the parts are right; a letter stands for a part: p, w, s, f, b."""
    letters = {"p": "piston", "w": "wave", "s": "steel", "f": "friction", "b": "backing"}
    exercise = _made(small)
    cards = {entry.part.id: card for card, entry in exercise.key.cards.items()}
    return [_marked(exercise, order=[cards[letters[letter]] for letter in order]).asks[0].right for order in orders]


def test_a_part_that_is_free_may_go_in_at_any_time_before_its_part(small: dict[str, Any]) -> None:
    """The wave plate goes in anywhere before the friction plate, and nowhere behind it; the others keep their order."""
    small["packs"][0]["parts"] = [
        {"part": "piston"}, {"part": "steel"}, {"part": "wave", "any_time_before": "friction"}, {"part": "friction"}, {"part": "backing"},
    ]  # fmt: skip
    assert _orders(small, "pswfb", "pwsfb", "wpsfb", "psfwb", "wspfb") == [True, True, True, False, False]
    assert _made(small).asks[0].id == "order"
    working = _marked(_made(small)).working
    assert working[2] == "3. Elm wave · 1.50 mm · at any time before Elm friction"


def test_a_part_that_is_free_after_and_before_has_room_between(small: dict[str, Any]) -> None:
    """After the steel and before the backing plate: two places and no others."""
    small["packs"][0]["parts"] = [
        {"part": "piston"}, {"part": "steel"}, {"part": "wave", "any_time_after": "steel", "any_time_before": "backing"},
        {"part": "friction"}, {"part": "backing"},
    ]  # fmt: skip
    assert _orders(small, "pswfb", "psfwb", "pwsfb", "psfbw", "wpsfb") == [True, True, False, False, False]
    assert _marked(_made(small)).working[2] == "3. Elm wave · 1.50 mm · at any time after Elm steel and before Elm backing"


def test_look_alikes_are_told_apart(small: dict[str, Any]) -> None:
    """When a look-alike lies in the place, it is said how to tell the two apart."""
    small["packs"][0]["parts"] = [{"part": "wave"}, {"part": "steel"}, {"part": "oak-steel", "tell_apart": "notched"}]
    exercise = _made(small)
    order = _right(exercise)["order"]
    order[1], order[2] = order[2], order[1]
    assert _marked(exercise, order=order).why == (
        "Number 2: you have Oak steel · 1.60 mm there. Elm steel · 1.80 mm goes in before it.",
        "How to recognise Elm steel: Six lugs.",
        "How to recognise Oak steel: Notched.",
        "Out of its place a part bears on the wrong neighbour; count and clearance can still look right (common practice, no source).",
    )


@pytest.mark.parametrize(
    ("ask", "given", "why"),
    [
        ("side-seal-in", "lip up", ("Inner seal: lip down, not lip up.", "The notes on it: Lip up: it slips when hot.")),
        (
            "side-seal-out",
            "either way",
            (
                "Outer seal: lip down, not either way.",
                "A seal that points away from the pressure does not hold it: the pack slips, most of all when hot (common practice, no source).",
            ),
        ),
        (
            "side-piston",
            "flat down",
            (
                "Elm piston (in the bottom): flat up, not flat down.",
                "It does not seat as it was made to: what follows sits crooked or at the wrong height (common practice, no source).",
            ),
        ),
        (
            "groove-ring-a",
            "upper",
            ("Elm ring, thin: middle groove, not upper groove.", "The notes on it: In the upper groove: it never grips."),
        ),
    ],
)
def test_a_wrong_side_or_groove_is_told_from_the_notes(small: dict[str, Any], ask: str, given: str, why: tuple[str, ...]) -> None:
    """What is right, then the author's note; where there is none, what the trade knows, marked so."""
    marked = _marked(_made(small), **{ask: given})
    assert not marked.right
    assert marked.why == why


def test_a_part_that_lies_both_ways_is_not_asked(small: dict[str, Any]) -> None:
    """A part that goes in twice, each time another way round, has no one side to ask for."""
    small["packs"][0]["parts"] = [
        {"part": "backing", "side": "chamfer up"}, {"part": "steel"}, {"part": "backing", "side": "chamfer down"},
    ]  # fmt: skip
    assert [ask.id for ask in _made(small).asks] == ["order"]


@pytest.mark.parametrize(
    ("parts", "reason"),
    [
        (["steel", "friction"], "The pack has fewer than 3 parts to put in order."),
        (["steel"] * 41, "The pack has 41 parts to lay out; more than 40 are too many for one exercise."),
        (["steel"] * 3, "Every order of these parts is right."),
        (["seal-in", "seal-out", "seal-in"], "Every order of these parts is right."),
        (["steel", "wave", "twin"], "Two parts of the pack have the same name, thickness, mark and number, so their cards could not be told apart."),
    ],
)  # fmt: skip
def test_why_no_order_can_be_asked(small: dict[str, Any], parts: list[str], reason: str) -> None:
    """Where no order would be fair, none is made, and it is said why."""
    small["parts"].append({"id": "twin", "name": "Elm steel", "kind": "steel", "thickness": "1.80 mm"})
    small["packs"][0]["parts"] = [{"part": part} for part in parts]
    unit = read_unit(small)
    assert why_not(unit, unit.packs["first"]) == reason
    assert make(unit, unit.packs["first"], 1) is None


def test_no_exercise_lies_right_from_the_start(small: dict[str, Any]) -> None:
    """Of three cards one order in six is right; none of 60 seeds lays them out in it."""
    small["packs"][0]["parts"] = [{"part": part} for part in ("wave", "steel", "friction")]
    for seed in range(60):
        exercise = _made(small, seed)
        as_laid = [option.id for option in exercise.asks[0].options]
        assert not _marked(exercise, order=as_laid).right, seed


def test_seeds_give_other_orders(small: dict[str, Any]) -> None:
    """Twenty seeds give twenty orders, and the same seed gives the same one."""
    orders = [tuple(entry.part.id for entry in _made(small, seed).key.cards.values()) for seed in range(20)]
    assert len(set(orders)) == 20
    assert _made(small, 3).as_json() == _made(small, 3).as_json()
    assert _made(small).kind == KIND
