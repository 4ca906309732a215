"""Planted mistakes: which there are, which are fair, and what is said of each."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from calc_engine.practice import Exercise, Mark, read_unit
from calc_engine.practice.faults import FaultKey, make, mark, why_not
from calc_engine.practice.planting import Planted, fair_faults


def _faults(data: dict[str, Any]) -> tuple[Planted, ...]:
    unit = read_unit(data)
    return fair_faults(unit, unit.packs["first"])


def _made(data: dict[str, Any], kind: str, at: int) -> Exercise[FaultKey]:
    """The first exercise, by seed, that plants this mistake there."""
    unit = read_unit(data)
    found = (make(unit, unit.packs["first"], seed) for seed in range(2000))
    return next(exercise for exercise in found if exercise and (exercise.key.planted.kind, exercise.key.planted.at) == (kind, at))


def _wrong(exercise: Exercise[FaultKey]) -> Mark:
    """The mark of an answer with nothing right in it."""
    return mark(
        exercise, {ask.id: next(one.id for one in ask.options if one.id != exercise.key.rights[ask.id]) for ask in exercise.asks}
    )


def test_all_six_kinds_can_be_planted(small: dict[str, Any]) -> None:
    """The small pack holds a place for each kind of mistake, at the number where the list is first left."""
    counted = Counter((fault.kind, fault.at) for fault in _faults(small))
    assert counted == {
        ("flipped", 1): 1, ("flipped", 2): 1, ("flipped", 3): 1, ("flipped", 11): 1,
        **{("swapped", at): 1 for at in (4, 5, 6, 7, 8, 9, 10)},
        ("groove", 12): 1,
        ("left-out", 4): 1, ("left-out", 11): 1, ("left-out", 12): 1,
        ("count", 11): 1, ("count", 9): 1,
        ("look-alike", 5): 1, ("look-alike", 7): 1, ("look-alike", 9): 1,
    }  # fmt: skip


def test_what_is_no_mistake_is_not_planted(small: dict[str, Any]) -> None:
    """No other size of the kit, no plate that goes either way, no exchange of equal plates, no ring in a taken groove."""
    small["packs"][0]["parts"].insert(-1, {"part": "oak-steel", "groove": "lower"})
    small["parts"][5]["kind"] = "snap-ring"
    faults = _faults(small)
    assert not [fault for fault in faults if fault.kind == "look-alike" and fault.other == "Elm ring, thick"]
    assert not [fault for fault in faults if fault.kind == "flipped" and fault.entry.part.kind in {"wave", "steel", "friction"}]
    assert {fault.other for fault in faults if fault.kind == "groove"} == {"upper"}
    small["packs"][0]["parts"] = [{"part": "steel", "turn": turn, "turns": 3} for turn in (1, 2, 3)]
    assert {fault.kind for fault in _faults(small)} == {"count", "look-alike"}


def test_a_look_alike_that_differs_in_nothing_is_not_planted(small: dict[str, Any]) -> None:
    """A part with the same name and sizes under another id cannot be told, so it is no mistake to be found."""
    small["parts"][5] |= {"name": "Elm steel", "thickness": "1.80 mm"}
    assert "look-alike" not in {fault.kind for fault in _faults(small)}


def test_a_look_alike_that_cannot_be_told_from_a_third_part_is_not_planted(small: dict[str, Any]) -> None:
    """A look-alike of the steel that is the twin of the backing plate could be either."""
    small["parts"][5] |= {"name": "Elm backing", "kind": "backing", "thickness": "4.00 mm"}
    assert "look-alike" not in {fault.kind for fault in _faults(small)}


def test_a_look_alike_shows_its_own_side(small: dict[str, Any]) -> None:
    """In the place of a part with a mark it shows the mark that it has where it belongs, or none."""
    small["parts"][7]["look_alikes"] = ["oak-steel"]
    (fault,) = (fault for fault in _faults(small) if fault.kind == "look-alike" and fault.at == 11)
    assert fault.rows[10].side is None
    small["packs"].append({"id": "second", "name": "Second", "parts": [{"part": "oak-steel", "side": "dimple up"}]})
    (fault,) = (fault for fault in _faults(small) if fault.kind == "look-alike" and fault.at == 11)
    assert fault.rows[10].side == "dimple up"


def test_two_readings_of_one_stack_are_not_planted(small: dict[str, Any]) -> None:
    """A ring that is its own neighbour's look-alike: in its place it could be that one, so neither is planted."""
    small["packs"][0]["parts"] = [{"part": "steel"}, {"part": "oak-steel"}, {"part": "steel"}]
    small["parts"][4]["look_alikes"] = ["oak-steel"]
    looks = Counter(tuple(row.part.id for row in fault.rows) for fault in _faults(small))
    assert max(looks.values()) == 1


WHY = [
    ("left-out", 4, (
        "Not “A part is the wrong way round”: a part that is fitted only once is left out.",
        "Number 4, not number 1: below it the drawing matches the list.",
        "That comes of another mistake. This one: It takes up with a bang.",
        "On the road: It takes up with a bang.",
    ), "At number 4: Wave plate · 1.50 mm is missing."),
    ("look-alike", 7, (
        "Not “A part is the wrong way round”: a look-alike has been fitted.",
        "Number 7, not number 1: below it the drawing matches the list.",
        "That comes of another mistake. This one: It drags.",
        "On the road: It drags.",
        "How to recognise Elm steel: Six lugs.",
    ), "Number 7: Steel plate · 1.60 mm; the list has Steel plate · 1.80 mm."),
    ("swapped", 6, (
        "Not “A part is the wrong way round”: two neighbouring plates have changed places.",
        "Number 6, not number 1: below it the drawing matches the list.",
        "Count and clearance can stay right while a lining rubs on a face that was not made for it, and some faces do no work (common practice, no source).",
    ), "Numbers 6 and 7: Steel plate · 1.80 mm comes before Friction plate · 1.70 mm; the list has them the other way."),
    ("flipped", 3, (
        "Not “Two neighbouring plates have changed places”: a part is the wrong way round.",
        "Number 3, not number 1: below it the drawing matches the list.",
        "It does not seat as it was made to: what follows sits crooked or at the wrong height (common practice, no source).",
    ), "Number 3: Piston lies flat down; the list has flat up."),
    ("count", 11, (
        "Not “A part is the wrong way round”: there are too many or too few of a part that is fitted several times.",
        "Number 11, not number 1: below it the drawing matches the list.",
        "The clearance is off by whole plates: too many and the pack drags, too few and it slips (common practice, no source).",
    ), "Steel plate · 1.80 mm: 4 stand here; the list has 3."),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "at", "why", "found"), WHY, ids=[f"{kind}-{at}" for kind, at, _, _ in WHY])
def test_a_wrong_answer_is_told_from_the_notes(
    small: dict[str, Any], kind: str, at: int, why: tuple[str, ...], found: str
) -> None:
    """What it is, where, and what it does: by the author's note on this mistake, else by the trade, and the author's other note."""
    marked = _wrong(_made(small, kind, at))
    assert marked.why == why
    assert marked.working[0] == found
    assert not marked.right


def test_a_place_behind_the_end_is_told_in_short(small: dict[str, Any]) -> None:
    """Who says that something is missing at the end, and it is not, is told where the drawing leaves the list."""
    exercise = _made(small, "left-out", 4)
    where = next(ask for ask in exercise.asks if ask.id == "where")
    marked = mark(exercise, exercise.key.rights | {"where": where.options[-1].id})
    assert where.options[-1].label == "After number 11: something is missing at the end"
    assert marked.why[0] == "Number 4, not after number 11: below it the drawing matches the list."


def test_a_right_answer_still_says_what_it_does(small: dict[str, Any]) -> None:
    """All right is all right, and the reader still learns what comes of it."""
    exercise = _made(small, "groove", 12)
    marked = mark(exercise, exercise.key.rights)
    assert marked.right
    assert exercise.key.planted.other == "upper"
    assert marked.why == ("On the road: It never grips.",)


def test_a_ring_is_planted_in_no_groove_that_is_covered(small: dict[str, Any]) -> None:
    """In the groove nearest the open end it can sit in no other: what went in before it is in the way."""
    small["packs"][0]["parts"][-1]["groove"] = "upper"
    assert "groove" not in {fault.kind for fault in _faults(small)}


def test_what_comes_of_one_mistake_is_not_told_of_another(small: dict[str, Any]) -> None:
    """The note speaks of the ring the wrong way round; left out, only what the trade knows of that is told."""
    small["packs"][0]["parts"][-1] |= {"side": "chamfer up", "wrong": "bevel down: it hammers out"}
    exercise = _made(small, "left-out", 12)
    assert mark(exercise, exercise.key.rights).why == (
        "What the ring held, or pushed against, has nothing to stop it (common practice, no source).",
    )


def test_the_road_is_asked_where_the_notes_speak_of_it(small: dict[str, Any]) -> None:
    """The wave plate's own effect is right; the others are said of other kinds of parts, and there are at least two."""
    exercise = _made(small, "left-out", 4)
    (road,) = (ask for ask in exercise.asks if ask.id == "road")
    assert road.label_of(exercise.key.rights["road"]) == "It takes up with a bang."
    assert {option.label for option in road.options} <= {
        "It takes up with a bang.", "It slips when hot.", "It drags.", "Faces do no work.", "The lining is cut.", "It never grips.",
    }  # fmt: skip
    assert len(road.options) == 4
    assert [ask.id for ask in _made(small, "flipped", 2).asks] == ["what", "where"]


def test_the_road_is_not_asked_without_enough_other_effects(small: dict[str, Any]) -> None:
    """With notes on one other kind of part there are not two wrong options, so it is not asked."""
    for entry in small["packs"][0]["parts"]:
        if entry["part"] not in {"wave", "backing"}:
            entry.pop("wrong", None)
    assert [ask.id for ask in _made(small, "left-out", 4).asks] == ["what", "where"]


def test_what_is_said_of_the_same_kind_is_no_wrong_option(small: dict[str, Any]) -> None:
    """An effect that another ring's note claims is not offered against this ring's."""
    small["parts"].append({"id": "ring-c", "name": "Third ring", "kind": "snap-ring", "thickness": "2.00 mm"})
    small["packs"].append({"id": "second", "name": "Second", "parts": [{"part": "ring-c", "wrong": "left out: it drags"}]})
    for seed in range(300):
        unit = read_unit(small)
        exercise = make(unit, unit.packs["first"], seed)
        assert exercise is not None
        if exercise.key.planted.kind == "groove" and len(exercise.asks) == 3:
            assert "It drags." not in {option.label for option in exercise.asks[2].options}
            break
    else:
        pytest.fail("no ring in the wrong groove in 300 seeds")


def test_why_no_mistake_can_be_planted(small: dict[str, Any]) -> None:
    """A pack with nothing to mix up is refused in words."""
    small["packs"][0]["parts"] = [{"part": "piston"}]
    unit = read_unit(small)
    reason = "No single mistake in this pack could be told from its drawing: nothing has a way round, a groove or a neighbour to mix up."
    assert why_not(unit, unit.packs["first"]) == reason
    assert make(unit, unit.packs["first"], 1) is None
    small["parts"].append({"id": "twin", "name": "Elm piston", "kind": "piston"})
    small["packs"][0]["parts"] = [{"part": "piston", "side": "flat up"}, {"part": "twin", "side": "flat up"}]
    unit = read_unit(small)
    assert why_not(unit, unit.packs["first"]) == reason


def test_kinds_are_drawn_evenly(small: dict[str, Any]) -> None:
    """Of 600 seeds each of the six kinds is planted about 100 times, though there are three times as many flips as grooves."""
    unit = read_unit(small)
    made = (make(unit, unit.packs["first"], seed) for seed in range(600))
    counted = Counter(exercise.key.planted.kind for exercise in made if exercise)
    assert len(counted) == 6
    assert all(60 < count < 145 for count in counted.values())
