"""Believable or not: what is written down, and why it cannot be."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from calc_engine.practice import Exercise, Mark, read_unit
from calc_engine.practice.plausibility import PlausibilityKey, make, mark, why_not


def _made(data: dict[str, Any], seed: int) -> Exercise[PlausibilityKey]:
    unit = read_unit(data)
    exercise = make(unit, unit.packs["first"], seed)
    assert exercise is not None
    return exercise


def _first(data: dict[str, Any], trouble: str) -> Exercise[PlausibilityKey]:
    return next(exercise for seed in range(200) if (exercise := _made(data, seed)).key.recorded.trouble == trouble)


def _wrong(exercise: Exercise[PlausibilityKey]) -> Mark:
    return mark(
        exercise, {ask.id: next(one.id for one in ask.options if one.id != exercise.key.rights[ask.id]) for ask in exercise.asks}
    )


def _troubles(data: dict[str, Any]) -> Counter[str]:
    return Counter(_made(data, seed).key.recorded.trouble for seed in range(120))


@pytest.mark.parametrize(
    ("changes", "troubles"),
    [
        ({}, {"sound", "mistyped", "seized"}),
        ({"method": "feeler", "gauge": "feeler"}, {"sound", "mistyped", "seized"}),
        ({"method": "depth", "gauge": "depth"}, {"sound", "mistyped"}),
        ({"method": "parts", "gauge": "depth"}, {"sound", "mistyped"}),
        ({"min": "0 mm"}, {"sound", "mistyped"}),
    ],
)
def test_what_can_be_wrong_depends_on_the_method(small: dict[str, Any], changes: dict[str, str], troubles: set[str]) -> None:
    """A pack that cannot move shows by lift or leaf where the limits begin above zero; a pack with a wave plate may stand proud."""
    small["packs"][0]["clearance"] |= changes
    assert set(_troubles(small)) == troubles


@pytest.mark.parametrize(
    ("method", "gauge", "offered"),
    [
        ("dial", "dial", ["sound", "mistyped", "seized"]),
        ("feeler", "feeler", ["sound", "mistyped", "seized"]),
        ("depth", "depth", ["sound", "mistyped", "swapped", "seized"]),
        ("parts", "depth", ["sound", "mistyped"]),
    ],
)
def test_only_what_can_go_wrong_with_the_method_is_offered(
    small: dict[str, Any], method: str, gauge: str, offered: list[str]
) -> None:
    """By parts there are no two depths of one position, and nothing that could be bound up."""
    small["packs"][0]["clearance"] |= {"method": method, "gauge": gauge}
    assert [option.id for option in _made(small, 1).asks[0].options] == offered


def test_depths_can_be_swapped_where_others_show_it(small: dict[str, Any]) -> None:
    """Without a wave plate, at several positions, the two depths of one may be swapped; at one alone it could not be told."""
    small["packs"][0]["clearance"] |= {"method": "depth", "gauge": "depth"}
    del small["packs"][0]["parts"][3]
    assert set(_troubles(small)) == {"sound", "mistyped", "swapped"}
    small["packs"][0]["clearance"]["positions"] = 1
    assert set(_troubles(small)) == {"sound", "mistyped"}


def test_a_mistyped_figure_is_one_slip_away_and_beyond_belief(small: dict[str, Any]) -> None:
    """What is written differs from what was read by one slip, by three times the upper limit and more; all else stands."""
    for seed in range(60):
        recorded = _made(small, seed).key.recorded
        if recorded.trouble == "mistyped":
            was, written = (float(text.split()[0]) for text in (recorded.was, recorded.written))
            assert written - was >= 3 * 1.4
            assert len(recorded.written) - len(recorded.was) in {-1, 0, 1}
            assert recorded.readings.rows[recorded.row or 0][1] == recorded.written
            assert recorded.readings.request["lifts"][recorded.row or 0] == recorded.written


def test_why_a_mistyped_figure_cannot_be(small: dict[str, Any]) -> None:
    """Both figures are named, with the position."""
    exercise = _first(small, "mistyped")
    recorded = exercise.key.recorded
    assert _wrong(exercise).why == (
        (
            f"Position {(recorded.row or 0) + 1}: {recorded.was} was read, but {recorded.written} was written down: "
            "one slip of the key or the pen."
        ),
        "No reading of a pack can differ so much from its neighbours: type it again, or measure again, before you work it out.",
    )


def test_why_a_seized_pack_cannot_be(small: dict[str, Any]) -> None:
    """No lift anywhere, and what to do about it."""
    exercise = _first(small, "seized")
    assert exercise.key.recorded.readings.request == {"lifts": ["0.00 mm"] * 4}
    assert exercise.key.rights == {"what": "seized", "where": "all"}
    assert _wrong(exercise).why == (
        "No lift at any position means no clearance, and a pack that was just stacked has some.",
        (
            "It is bound up, the ring pinches it, or the dial's stem does not touch: free the pack, then measure again (common practice, "
            "no source)."
        ),
    )


def test_why_swapped_depths_cannot_be(small: dict[str, Any]) -> None:
    """The position is named, and that it agrees with the rest the other way round."""
    small["packs"][0]["clearance"] |= {"method": "depth", "gauge": "depth"}
    del small["packs"][0]["parts"][3]
    exercise = _first(small, "swapped")
    row = exercise.key.recorded.row
    assert row is not None
    assert _wrong(exercise).why == (
        (
            f"Position {row + 1}: the plate cannot lie nearer than the face that the ring bears on; read the other way round, it agrees with the "
            "rest."
        ),
        "Write both depths down in the same order each time.",
    )
    request = exercise.key.recorded.readings.request
    assert request["to_plate"][row] < request["to_ring"][row]


def test_sound_readings_are_believed(small: dict[str, Any]) -> None:
    """They agree, and the right answer is that nothing is wrong, with none of them."""
    exercise = _first(small, "sound")
    assert exercise.key.rights == {"what": "sound", "where": "none"}
    marked = mark(exercise, exercise.key.rights)
    assert marked.right
    assert marked.why == (
        "They agree with each other as the positions of one pack do, and they are about as large as the limits.",
        "Whether they are within the limits is the next question, not this one.",
    )


def test_by_parts_a_row_is_named(small: dict[str, Any]) -> None:
    """By parts the rows are numbered, the sizes when new are told, and a mistyped thickness is put down to its row."""
    small["packs"][0]["clearance"] |= {"method": "parts", "gauge": "depth"}
    exercise = _first(small, "mistyped")
    facts = {fact["name"]: fact["said"] for fact in exercise.given["facts"]}
    assert facts["Thickness when new"] == "2. 1.50 mm; 3. 1.80 mm; 4. 1.70 mm; 5. 4.00 mm; 6. 1.40 mm"
    assert [option.label for option in exercise.asks[1].options] == [
        "None of them", "1. Cavity", "2. Elm wave", "3. Elm steel", "4. Elm friction", "5. Elm backing", "6. Elm ring, thin", "All of them",
    ]  # fmt: skip
    row = exercise.key.recorded.row
    assert row is not None
    assert _wrong(exercise).why[0].startswith(exercise.key.recorded.readings.rows[row][0])


def test_where_no_slip_would_show_none_is_planted(small: dict[str, Any]) -> None:
    """Of many thin leaves under wide limits one mistyped leaf is not beyond belief, so none is."""
    small["packs"][0]["clearance"] |= {"min": "7 mm", "max": "9 mm", "method": "feeler", "gauge": "feeler"}
    assert "mistyped" not in _troubles(small)


def test_figures_without_a_point_can_be_mistyped_too(small: dict[str, Any]) -> None:
    """In micrometres there is no decimal point to move: a nought too many, a digit changed or typed twice."""
    small["packs"][0]["clearance"] = {"min": "900 um", "max": "1400 um"}
    assert _first(small, "mistyped").key.recorded.written.endswith(" um")
    small["packs"][0]["clearance"] = {"min": "900 um", "max": "1400 um", "method": "depth"}
    assert _first(small, "mistyped").key.recorded.written.endswith(" um")


def test_why_readings_cannot_be_judged(small: dict[str, Any]) -> None:
    """A pack without limits has no readings to judge."""
    del small["packs"][0]["clearance"]
    unit = read_unit(small)
    assert why_not(unit, unit.packs["first"]) == "The pack has no clearance limits."
    assert make(unit, unit.packs["first"], 1) is None
