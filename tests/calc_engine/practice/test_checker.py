"""The checker: a sound stack has no difference, a planted mistake always has, and any broken stack is told."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from calc_engine.practice import read_unit
from calc_engine.practice.checker import differences
from calc_engine.practice.planting import fair_faults, sound_rows
from calc_engine.practice.seen import Row
from tests.calc_engine.practice.conftest import SMALL
from tests.calc_engine.practice.strategies import units

NAMES = {part["id"]: part["name"] for part in SMALL["parts"]}


def test_a_sound_stack_has_no_difference(small: dict[str, Any]) -> None:
    """The list compared with itself gives nothing."""
    pack = read_unit(small).packs["first"]
    assert differences(sound_rows(pack), pack, NAMES) == ()


@given(units())
def test_every_planted_mistake_is_found(data: dict[str, Any]) -> None:
    """Whatever can be planted is found, by its kind, at its number, and nothing is found below it."""
    unit = read_unit(data)
    for pack in unit.packs.values():
        for fault in fair_faults(unit, pack):
            found = differences(fault.rows, pack, fault.labels)
            assert {difference.kind for difference in found} == {fault.kind}
            assert min(difference.at for difference in found) == fault.at


def _differences(small: dict[str, Any], rows: list[Row]) -> list[tuple[str, int, str]]:
    pack = read_unit(small).packs["first"]
    return [(found.kind, found.at, found.words) for found in differences(rows, pack, NAMES)]


def test_several_mistakes_are_all_named(small: dict[str, Any]) -> None:
    """A flipped seal, a plate exchanged, a ring in no groove: each is told, from the bottom up."""
    unit = read_unit(small)
    rows = list(sound_rows(unit.packs["first"]))
    rows[0] = Row(rows[0].part, "lip up")
    rows[2] = Row(rows[2].part, None)
    rows[4], rows[5] = rows[5], rows[4]
    rows[10] = Row(unit.parts["oak-steel"])
    rows[11] = Row(rows[11].part)
    assert _differences(small, rows) == [
        ("flipped", 1, "Number 1: Inner seal lies lip up; the list has lip down."),
        ("flipped", 3, "Number 3: Elm piston shows no mark; the list has flat up."),
        ("swapped", 5, "Numbers 5 and 6: Elm friction comes before Elm steel; the list has them the other way."),
        ("look-alike", 11, "Number 11: Oak steel; the list has Elm backing."),
        ("groove", 12, "Number 12: Elm ring, thin sits in no groove; the list has the middle groove."),
    ]


def test_parts_too_many_and_too_few_are_counted(small: dict[str, Any]) -> None:
    """An extra part that the list does not have, a single part left out, and a plate short are told in one go."""
    unit = read_unit(small)
    rows = list(sound_rows(unit.packs["first"]))
    changed = [*rows[:3], *rows[4:9], *rows[10:], Row(unit.parts["oak-steel"])]
    assert _differences(small, changed) == [
        ("left-out", 4, "At number 4: Elm wave is missing."),
        ("count", 9, "Elm friction: 2 stand here; the list has 3."),
        ("count", 11, "Oak steel: 1 stand here; the list has 0."),
    ]
    assert _differences(small, [Row(rows[0].part, "lip up"), *rows[1:], Row(unit.parts["oak-steel"])]) == [
        ("flipped", 1, "Number 1: Inner seal lies lip up; the list has lip down."),
        ("count", 13, "Oak steel: 1 stand here; the list has 0."),
    ]


@given(st.permutations(range(12)), st.lists(st.integers(0, 11), max_size=4))
def test_no_broken_stack_passes(order: list[int], dropped: list[int]) -> None:
    """Whatever is done to a stack, it passes only when it is the list's own again."""
    pack = read_unit(SMALL).packs["first"]
    sound = sound_rows(pack)
    rows = [sound[place] for place in order if place not in dropped]
    assert bool(differences(rows, pack, NAMES)) == (tuple(rows) != sound)
