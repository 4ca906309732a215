"""What next: of every case of a tree the right option is what the tree leads to, walked here a second time."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from calc_engine import Refused
from calc_engine.practice import KINDS, Exercise, read_unit
from tests.calc_engine.practice.conftest import SMALL

NEXT = KINDS["next"]


def _made(data: dict[str, Any], seed: int) -> Exercise[Any]:
    unit = read_unit(data)
    exercise = NEXT.make(unit, unit.packs["noise"], seed)
    assert exercise is not None
    return exercise


def _labels(data: Mapping[str, Any]) -> dict[str, str]:
    tree = data["trees"][0]
    checks = {each["id"]: f"Check: {each['check']}" for each in tree["questions"]}
    ends = {
        each["id"]: f"Suspect: {each['suspect']}. {each['do']}." if "suspect" in each else f"{each['do']}."
        for each in tree["ends"]
    }
    return checks | ends


def _led_to(data: Mapping[str, Any], found: list[list[str]]) -> str:
    """Where a list of questions with their answers leads in the data."""
    tree = data["trees"][0]
    here = tree["start"]
    for name, answer in found:
        assert name == here
        (question,) = [each for each in tree["questions"] if each["id"] == name]
        (here,) = [branch["to"] for branch in question["branches"] if branch["answer"] == answer]
    return str(here)


def _can_lead_to(data: Mapping[str, Any], here: str, complaint: str) -> bool:
    """Whether the complaint is one of an end that can still be reached."""
    tree = data["trees"][0]
    ends = {each["id"]: each.get("complaints", []) for each in tree["ends"]}
    if here in ends:
        return complaint in ends[here]
    (question,) = [each for each in tree["questions"] if each["id"] == here]
    return any(_can_lead_to(data, branch["to"], complaint) for branch in question["branches"])


def test_what_comes_next_is_what_the_tree_leads_to(standards: dict[str, Any]) -> None:
    """One option is right, no two are alike, and the complaint is one of an end that can still come."""
    labels = _labels(standards)
    seen = set()
    for seed in range(101, 190):
        exercise = _made(standards, seed)
        right = _led_to(standards, exercise.given["found"])
        (ask,) = exercise.asks
        marks = {option.label: NEXT.mark(exercise, {"next": option.id}) for option in ask.options}
        assert [label for label, mark in marks.items() if mark.right] == [labels[right]]
        assert len(marks) == len(ask.options) >= 4
        assert _can_lead_to(standards, right, exercise.given["complaint"])
        assert exercise.given["complaint"] in exercise.question
        seen.add(right)
        assert all(mark.as_json()["read"] == [standards["trees"][0]["page"]] for mark in marks.values())
    # No exercise comes to the end without a complaint.
    assert seen == {"pump", "gears", "set", "load"}


def test_in_a_set_no_case_comes_twice_before_each_has_come(standards: dict[str, Any]) -> None:
    """The tree has eight: one way to each end with each of its complaints, after one answer, two or three."""
    exercises = [_made(standards, 500 + at) for at in range(1, 9)]
    assert len({(each.given["complaint"], str(each.given["found"])) for each in exercises}) == 8


def test_a_wrong_answer_is_told_by_the_branch_where_it_leaves(standards: dict[str, Any]) -> None:
    """Already answered, too early, or behind another branch."""
    told = {}
    for seed in range(101, 190):
        exercise = _made(standards, seed)
        if exercise.given["found"] != [["standing", "no"], ["gears", "all"]]:
            continue
        for option in exercise.asks[0].options:
            told[option.label] = NEXT.mark(exercise, {"next": option.id}).why[0]
    assert told == {
        "Check: Coast": "“In which gears?” All. That leads on to: Check: Coast.",
        "Check: Drive": "“Check: Drive” is answered already: All.",
        "Suspect: the gear set. Take it out.": "“Suspect: the gear set. Take it out.” stands behind another branch. "
        "To “In which gears?” the answer would have to be: One. Here it is: All.",
        "Suspect: the pump. Pan off.": "“Suspect: the pump. Pan off.” comes later. First: Check: Coast.",
        "Ask once more.": "“Ask once more.” comes later. First: Check: Coast.",
    }


def test_a_tree_that_gives_no_exercise_says_why(standards: dict[str, Any]) -> None:
    """No complaint, or too little to choose from; and a pack is no tree."""
    small = read_unit(SMALL)
    assert NEXT.why_not(small, small.packs["first"]) == "This is asked of a decision tree of the standards."
    for end in standards["trees"][0]["ends"]:
        end.pop("complaints", None)
    unit = read_unit(standards)
    assert NEXT.why_not(unit, unit.packs["noise"]) == "No end of the tree has a complaint."
    assert NEXT.make(unit, unit.packs["noise"], 1) is None
    tree = standards["trees"][0]
    tree["questions"] = [{**tree["questions"][0], "branches": [{"answer": "yes", "to": "pump"}, {"answer": "no", "to": "set"}]}]
    tree["ends"] = [{"id": "pump", "do": "Pan off", "complaints": ["It whines"]}, {"id": "set", "do": "Out"}]
    unit = read_unit(standards)
    assert NEXT.why_not(unit, unit.packs["noise"]) == "The tree has too few questions and ends to choose from."


@pytest.mark.parametrize(
    ("at", "to", "problems"),
    [
        ((0, 1), "nowhere", [("trees.0.questions.0.branches.1.to", "unknown-word"), *[("trees.0", "unreached")] * 4]),
        ((1, 0), "load", [("trees.0.questions.2.id", "reached-twice"), ("trees.0", "unreached")]),
        ((2, 1), "standing", [("trees.0.questions.0.id", "reached-twice")]),
    ],
)
def test_a_tree_that_leads_nowhere_is_told(
    standards: dict[str, Any], at: tuple[int, int], to: str, problems: list[tuple[str, str]]
) -> None:
    """Unknown ids, questions that are reached twice, and what is reached in no way."""
    standards["trees"][0]["questions"][at[0]]["branches"][at[1]]["to"] = to
    with pytest.raises(Refused) as refused:
        read_unit(standards)
    assert [(each.field, each.code) for each in refused.value.problems] == problems


def test_ids_that_stand_for_two_things_are_told(standards: dict[str, Any]) -> None:
    """A set of findings and a tree of one name, and a tree called like a pack."""
    standards["trees"][0]["id"] = "plates"
    with pytest.raises(Refused) as refused:
        read_unit(standards)
    assert [(each.field, each.code) for each in refused.value.problems] == [("trees.0.id", "duplicate-id")]
