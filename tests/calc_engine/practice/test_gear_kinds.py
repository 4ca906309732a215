"""Exercises on gear sets: one right answer, worked out here a second time, by the chart and by Willis, without the engine."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import pytest

from calc_engine import CATALOGUE
from calc_engine.practice import GEAR_SET, KINDS, Exercise, ExerciseUnit, Mark, read_unit

SEEDS = range(40)


def _made(unit: ExerciseUnit, kind: str, seed: int) -> Exercise[Any]:
    exercise = KINDS[kind].make(unit, unit.packs[GEAR_SET], seed)
    assert exercise is not None
    return exercise


def _marks(exercise: Exercise[Any], ask: str) -> Mapping[str, Mark]:
    """The mark of each option of one ask, the others answered with their first."""
    given = {each.id: each.options[0].id for each in exercise.asks}
    options = next(each.options for each in exercise.asks if each.id == ask)
    mark = KINDS[exercise.kind].mark
    return {option.label: mark(exercise, {**given, ask: option.id}) for option in options}


def _right(exercise: Exercise[Any], ask: str) -> str:
    """The label of the one right option."""
    marks = _marks(exercise, ask)
    (right,) = [label for label, mark in marks.items() if next(each for each in mark.asks if each.id == ask).right]
    return right


def _chart(data: Mapping[str, Any]) -> dict[str, set[str]]:
    held = data["gear_set"].get("held", ())
    gears = {gear["name"]: {*gear["on"]} - {*held} for gear in data["gear_set"]["train"]["gears"]}
    return {gear: on for gear, on in gears.items() if on}


def test_what_is_on_is_that_of_the_chart(demo: dict[str, dict[str, Any]]) -> None:
    """The right option names what the chart has on; no two options of an ask are alike, and no other gear has the same on."""
    for data in demo.values():
        unit, chart = read_unit(data), _chart(data)
        for seed in SEEDS:
            exercise = _made(unit, "applied", seed)
            first, second = exercise.given["gears"]
            on, which = exercise.asks
            assert {*_right(exercise, "on").split(" and ")} == chart[first]
            assert len({option.label for option in on.options}) == len(on.options)
            assert _right(exercise, "gear") == second
            assert which.label.removesuffix(" on: which gear is that?").split(" and ") == [
                name
                for name in unit.gear_set.elements
                if name in chart[second]  # type: ignore[union-attr]
            ]
            assert sum(other == chart[second] for other in chart.values()) == 1


def test_the_ratio_is_that_of_willis(demo: dict[str, dict[str, Any]]) -> None:
    """Ratio of every way to use a set, from the equation; the other options are the ratios of other ways, and none is near."""
    unit = read_unit(demo["alder-4"])
    for seed in SEEDS:
        exercise = _made(unit, "ratio", seed)
        sun, ring = (Fraction(exercise.given["teeth"][wheel]) for wheel in ("sun", "ring"))
        weight = {"sun": sun, "ring": ring, "carrier": -(sun + ring)}
        driver, held, driven = re.findall(r"the (sun|ring|carrier)", exercise.question)
        expected = -weight[driven] / weight[driver]
        assert {driver, held, driven} == {*weight}
        assert abs(Fraction(_right(exercise, "ratio").replace("−", "-")) - expected) <= Fraction(1, 2000)
        figures = sorted(Fraction(option.label.replace("−", "-")) for option in exercise.asks[0].options)
        assert len(figures) == 4
        assert all(other - one > Fraction(2, 100) * max(abs(one), abs(other)) for one, other in itertools.pairwise(figures))


def test_the_suspect_is_the_only_one_that_explains_it(demo: dict[str, dict[str, Any]]) -> None:
    """Of all elements with either fault, one alone gives this road test."""
    for data in demo.values():
        unit, chart = read_unit(data), _chart(data)
        for seed in SEEDS:
            exercise = _made(unit, "suspect", seed)
            seen = exercise.given["seen"]
            explains = [
                (element.label, fault)
                for element in exercise.asks[0].options
                for fault, bad in (("It does not hold", "slips"), ("It does not let go", "binds"))
                if {gear: bad if (element.label in on) is (bad == "slips") else "works" for gear, on in chart.items()} == seen
            ]
            assert explains == [(_right(exercise, "element"), _right(exercise, "fault"))]


def test_why_it_is_wrong(demo: dict[str, dict[str, Any]]) -> None:
    """Each wrong answer is told what it would be, or which gear speaks against it."""
    unit = read_unit(demo["alder-4"])
    assert _marks(_made(unit, "applied", 7), "gear")["R"].why[-2:] == (
        "In gear 2 the chart has Forward clutch and Intermediate brake on.",
        "In gear R it has Intermediate brake and Low-reverse brake.",
    )
    assert _marks(_made(unit, "ratio", 7), "ratio")["0.733"].why == (
        "0.733 is the ratio when the carrier drives, the sun is held, the ring is the output.",
    )
    assert _marks(_made(unit, "suspect", 7), "element")["Direct clutch"].why == (
        "Direct clutch: gear 1 speaks against it.",
        "Forward clutch: on in 1, 2, 3 and 1 in L, all fail; off in 4 and R, both work (common practice, no source).",
    )


@pytest.mark.parametrize(
    ("kind", "why"),
    [
        ("order", "This is asked of a pack, not of a gear set."),
        ("applied", "Fewer than two gears have elements on that no other gear has."),
        ("ratio", "The gear set has no planetary set of one sun and one ring with single planets."),
        ("suspect", "No road test over all gears of the chart points to one element alone."),
    ],
)
def test_a_gear_set_that_gives_no_exercise_says_why(demo: dict[str, dict[str, Any]], kind: str, why: str) -> None:
    """One gear only, and a set with planets in pairs."""
    example = CATALOGUE["gear-train"].example
    train = {**example, "gears": example["gears"][:1], "sets": [{**each, "pairs": True} for each in example["sets"]]}
    unit = read_unit({**demo["alder-4"], "gear_set": {"train": train}})
    assert KINDS[kind].why_not(unit, unit.packs[GEAR_SET]) == why
    assert KINDS[kind].make(unit, unit.packs[GEAR_SET], 1) is None


def test_a_pack_gives_no_exercise_on_gears(demo: dict[str, dict[str, Any]]) -> None:
    """A pack is not what is asked about."""
    unit = read_unit(demo["alder-4"])
    for kind in ("applied", "ratio", "suspect"):
        assert KINDS[kind].why_not(unit, unit.packs["forward"]) == "This is asked of a gear set, not of a pack."
