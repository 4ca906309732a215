"""What goes here: each question has one answer in the data, and the wrong ones cannot be argued for."""

from __future__ import annotations

from typing import Any

import pytest

from calc_engine.practice import Exercise, read_unit
from calc_engine.practice.what_goes_here import WhatGoesHereKey, make, mark, why_not


def _made(data: dict[str, Any], about: str) -> Exercise[WhatGoesHereKey]:
    """The first exercise, by seed, about this."""
    unit = read_unit(data)
    made = (make(unit, unit.packs["first"], seed) for seed in range(300))
    return next(exercise for exercise in made if exercise and exercise.given["about"] == about)


def _abouts(data: dict[str, Any]) -> set[str]:
    unit = read_unit(data)
    made = (make(unit, unit.packs["first"], seed) for seed in range(80))
    return {exercise.given["about"] for exercise in made if exercise}


def _labels(exercise: Exercise[WhatGoesHereKey]) -> set[str]:
    return {option.label for option in exercise.asks[0].options}


def _answer(exercise: Exercise[WhatGoesHereKey], label: str) -> tuple[bool, tuple[str, ...]]:
    (option,) = (option.id for option in exercise.asks[0].options if option.label == label)
    marked = mark(exercise, {"which": option})
    return marked.right, marked.why


@pytest.fixture
def shop(small: dict[str, Any]) -> dict[str, Any]:
    """The small unit in a shop with enough to choose from, and with more cautions."""
    small["packs"][0]["parts"][2]["caution"] = {"signal": "warning", "text": "Wear safety glasses under the press."}
    small["packs"][0]["parts"][3]["caution"] = {"signal": "notice", "text": "Do not nick the edges."}
    small["packs"][0]["parts"][-1]["tool"] = "pliers"
    small["tools"] = [
        {"id": "pliers", "name": "Ring pliers", "note": "Sharp tips."},
        {"id": "hoist", "name": "Hoist", "note": "Rated for the unit."},
        {"id": "adapter", "name": "Torque adapter"},
        {"id": "lamp", "name": "Bench lamp", "note": "Low light."},
    ]
    small["consumables"] = [
        {"id": "lube", "name": "Assembly lubricant", "note": "Dissolves in the fluid."},
        {"id": "fluid", "name": "Clean fluid"},
        {"id": "cleaner", "name": "Parts cleaner", "note": "Not on rubber."},
        {"id": "marker", "name": "Paint marker"},
    ]
    small["gauges"].append({"id": "wrench", "name": "Wrench", "kind": "wrench"})
    return small


def test_all_six_questions_come_up(shop: dict[str, Any]) -> None:
    """Cautions both ways, gauges, uses, tools and notes are asked about in turn."""
    assert _abouts(shop) == {"caution", "place", "gauge", "use", "tool", "note"}


def test_which_caution(shop: dict[str, Any]) -> None:
    """The part's own signal is right; another says before which part it stands."""
    exercise = _made(shop, "caution")
    signals = {
        "Elm piston · ": "WARNING: Wear safety glasses under the press.",
        "Elm wave · 1.50 mm": "NOTICE: Do not nick the edges.",
        "Elm ring, thin · 1.40 mm · no dot": "CAUTION: The ring springs outwards.",
    }
    assert _labels(exercise) == set(signals.values())
    right = exercise.key.matter.right
    assert _answer(exercise, right)[0]
    wrong = next(label for label in signals.values() if label != right)
    answered, why = _answer(exercise, wrong)
    assert not answered
    assert why[0].startswith("That one is for the Elm ")
    assert why[1].endswith(right)


def test_a_caution_that_says_the_same_is_not_offered(shop: dict[str, Any]) -> None:
    """Two texts that share half their words could each be argued for, so neither is offered against the other."""
    shop["packs"][0]["parts"][3]["caution"]["text"] = "The ring springs outwards fast."
    unit = read_unit(shop)
    made = [make(unit, unit.packs["first"], seed) for seed in range(200)]
    asked = {exercise.question for exercise in made if exercise and exercise.given["about"] == "caution"}
    assert asked == {"In the First pack, which warning applies when you fit this part: Elm piston (in the bottom)?"}


def test_a_part_with_two_cautions_is_not_asked(shop: dict[str, Any]) -> None:
    """A part that goes in twice with different signals has no one answer."""
    shop["packs"][0]["parts"].append({"part": "piston", "caution": {"signal": "danger", "text": "Mind the load."}})
    unit = read_unit(shop)
    for seed in range(200):
        exercise = make(unit, unit.packs["first"], seed)
        assert exercise is not None
        assert not (exercise.given["about"] == "caution" and "Elm piston" in exercise.question)


def test_before_which_part(shop: dict[str, Any]) -> None:
    """The one part that has the signal is right; another says what stands before it, or that nothing does."""
    exercise = _made(shop, "place")
    right = exercise.key.matter.right
    assert _answer(exercise, right)[0]
    said = {why for label in _labels(exercise) if label != right for why in _answer(exercise, label)[1][:1]}
    assert all(text.startswith("The ") for text in said)
    assert any(text.endswith(" has no warning.") for text in said)


def test_twins_are_not_asked_for(shop: dict[str, Any]) -> None:
    """Where two parts cannot be told apart, no question names a part."""
    shop["parts"].append({"id": "twin", "name": "Elm steel", "kind": "steel", "thickness": "1.80 mm"})
    shop["packs"][0]["parts"].insert(4, {"part": "twin"})
    assert _abouts(shop) == {"gauge", "use", "tool", "note"}


def test_which_gauge(shop: dict[str, Any]) -> None:
    """The gauge that the data names is right; one of its own kind is never offered."""
    exercise = _made(shop, "gauge")
    assert exercise.question == (
        "The clearance of the First pack is measured by dial: the lift at each position. Which gauge is used for it?"
    )
    assert _labels(exercise) == {"Bench dial", "Depth gauge", "Feelers", "Wrench"}
    assert _answer(exercise, "Feelers") == (
        False, ("Feelers (kind: feeler): it does not measure this way.", "The gauge for it is the Bench dial. Keep it dry."),
    )  # fmt: skip
    shop["packs"][0]["clearance"]["gauge"] = "wrench"
    assert "gauge" not in _abouts(shop)
    del shop["packs"][0]["clearance"]["method"]
    assert "gauge" not in _abouts(shop)


def test_what_the_trade_uses(shop: dict[str, Any]) -> None:
    """A seal gets the assembly lubricant; what could be argued for as well is not offered."""
    unit = read_unit(shop)
    asked = {}
    for seed in range(400):
        exercise = make(unit, unit.packs["first"], seed)
        if exercise is not None and exercise.given["about"] == "use":
            asked[exercise.question] = exercise
    seal = asked["Which of these goes on the Inner seal before it goes in?"]
    assert _labels(seal) == {"Assembly lubricant", "Parts cleaner", "Paint marker"}
    assert _answer(seal, "Parts cleaner") == (False, (
        "Parts cleaner: Not on rubber.",
        ("A seal that goes in dry rolls or tears; the assembly lubricant dissolves in the fluid and leaves nothing behind (common practice, no "
        "source). Dissolves in the fluid."),
    ))  # fmt: skip
    assert _answer(seal, "Paint marker")[1][0] == "Paint marker. That is not the right answer here."
    friction = asked["In which of these does the Elm friction stand before it goes in?"]
    assert _labels(friction) == {"Clean fluid", "Assembly lubricant", "Parts cleaner"}
    assert _answer(friction, "Clean fluid")[1] == (
        "A dry lining burns in its first second of slip; it soaks in the fluid that goes into the unit (common practice, no source).",
    )


def test_which_tool_is_what_the_data_says(shop: dict[str, Any]) -> None:
    """The tool that the part's entry names is right, whatever another of a like name would be good for; without one nothing is asked."""
    ring = _made(shop, "tool")
    assert ring.question == "In the First pack, which of these do you fit the Elm ring, thin with?"
    assert _labels(ring) == {"Ring pliers", "Hoist", "Torque adapter"}
    assert _answer(ring, "Hoist") == (
        False, ("Hoist: Rated for the unit.", "The Elm ring, thin is fitted with this: Ring pliers. Sharp tips."),
    )  # fmt: skip
    shop["tools"] += [{"id": "sleeve", "name": "Seal sleeve"}, {"id": "wire", "name": "Seal wire"}]
    entries = shop["packs"][0]["parts"]
    del entries[-1]["tool"]
    entries[1]["tool"] = "wire"
    seal = _made(shop, "tool")
    assert (seal.question, seal.key.matter.right) == (
        "In the First pack, which of these do you fit the Outer seal with?",
        "Seal wire",
    )
    assert "Seal sleeve" not in seal.key.matter.others
    del entries[1]["tool"]
    assert "tool" not in _abouts(shop)


def test_of_which_is_it_said(shop: dict[str, Any]) -> None:
    """A note that stands at one tool alone asks for that tool; the same note at two asks for none."""
    exercise = _made(shop, "note")
    assert exercise.question.startswith("Which of these does this hold for? “")
    assert _answer(exercise, exercise.key.matter.right) == (True, (f"It holds for this: {exercise.key.matter.right}.",))
    for tool in shop["tools"]:
        tool["note"] = "Sharp tips."
    shop["consumables"] = []
    assert "note" not in _abouts(shop)


def test_things_of_one_name_are_not_offered_together(shop: dict[str, Any]) -> None:
    """Two options that read the same would be two right answers or none."""
    shop["gauges"] += [{"id": "more", "name": "Feelers", "kind": "feeler"}]
    assert "gauge" not in _abouts(shop)


def test_why_nothing_can_be_asked(small: dict[str, Any]) -> None:
    """A pack without cautions in a shop without things leaves nothing to choose from."""
    del small["packs"][0]["parts"][-1]["caution"]
    small["gauges"], small["tools"] = [], []
    del small["packs"][0]["clearance"]["gauge"]
    unit = read_unit(small)
    assert why_not(unit, unit.packs["first"]) == (
        "Neither the pack's cautions nor the shop's gauges, tools and consumables leave enough to choose from."
    )
    assert make(unit, unit.packs["first"], 1) is None
