"""Reading a unit: what is sound comes through, and everything else is told by its field's name, all at once."""

from __future__ import annotations

from typing import Any

import pytest

from calc_engine import Refused
from calc_engine.practice import read_unit
from calc_engine.practice.unit import Caution, has_way_round, turned_over


def _problems(data: object) -> list[tuple[str, str, str, str]]:
    with pytest.raises(Refused) as refused:
        read_unit(data)
    return [(problem.field, problem.code, problem.message, problem.remedy) for problem in refused.value.problems]


def _change(data: dict[str, Any], path: str, value: object) -> dict[str, Any]:
    """Sets a value by its dotted path; ... takes the key out."""
    target: Any = data
    *parents, last = path.split(".")
    for step in parents:
        target = target[int(step)] if isinstance(target, list) else target[step]
    if value is ...:
        del target[last]
    elif isinstance(target, list) and int(last) == len(target):
        target.append(value)
    elif isinstance(target, list):
        target[int(last)] = value
    else:
        target[last] = value
    return data


def test_a_sound_unit_is_read(small: dict[str, Any]) -> None:
    """Parts, packs, kits and gauges come through with what they refer to."""
    unit = read_unit(small)
    pack = unit.packs["first"]
    assert [entry.part.id for entry in pack.entries][3:6] == ["wave", "steel", "friction"]
    assert pack.repeats == ((4, 2, 3),)
    assert [part.id for part in pack.parts][-1] == "ring-a"
    assert pack.entries[-1].caution == Caution("caution", "The ring springs outwards")
    assert pack.clearance is not None
    assert pack.clearance.gauge == unit.gauges[0]
    assert unit.kits[0].fitted == unit.parts["ring-a"]
    assert unit.kit_of(unit.parts["ring-b"]) == unit.kits[0]
    assert unit.kit_of(unit.parts["steel"]) is None


def test_sides() -> None:
    """A side has a way round unless it is either way or not said; turned over, its mark points the other way."""
    assert [has_way_round(side) for side in ("lip up", "either way", None)] == [True, False, False]
    assert [turned_over(side) for side in ("lip up", "chamfer down", "flat in", "step out")] == [
        "lip down", "chamfer up", "flat out", "step in",
    ]  # fmt: skip


def test_repeats_one_after_the_other_are_told_apart(small: dict[str, Any]) -> None:
    """Two repeats with as many turns are two, also when nothing stands between them."""
    small["packs"][0]["parts"] = [
        {"part": part, "turn": turn, "turns": 2}
        for run in (("steel",), ("friction", "backing"))
        for turn in (1, 2)
        for part in run
    ]
    assert read_unit(small).packs["first"].repeats == ((0, 1, 2), (2, 2, 2))


NO_OBJECT = ("wrong-type", "A number was given where an object with named fields is expected.", "Write {…}.")
ONE_BAD = [
    ("name", ..., ("name", "missing", "Name: nothing is filled in.", "What the unit is called.")),
    ("name", 4, ("name", "wrong-type", "Name: a text is wanted.", "What the unit is called.")),
    ("name", " ", ("name", "wrong-type", "Name: a text is wanted.", "What the unit is called.")),
    ("name", "x" * 2001, ("name", "too-long", "Name: 2001 characters are too many.", "Use at most 2000.")),
    ("partz", [], ("partz", "unknown-field", "There is no field “partz” here: did you mean “parts”?", "Known here: id, name, parts, packs, kits, gauges, tools, consumables, gear_set, findings, trees.")),
    ("zzzz", [], ("zzzz", "unknown-field", "There is no field “zzzz” here.", "Known here: id, name, parts, packs, kits, gauges, tools, consumables, gear_set, findings, trees.")),
    ("tools", {}, ("tools", "wrong-type", "An object was given where a list is expected.", "Write a list of 0 to 5000 entries.")),
    ("tools.0", 5, ("tools.0", *NO_OBJECT)),
    ("tools.0.note", 5, ("tools.0.note", "wrong-type", "Note: a text is wanted.", "What to know of it.")),
    ("parts.10", 5, ("parts.10", *NO_OBJECT)),
    ("parts.4.kind", "stel", ("parts.4.kind", "unknown-word", "Kind of part: “stel” is not known here.", "Did you mean “steel”?")),
    ("parts.4.thickness", "1.80", ("parts.4.thickness", "no-unit", "“1.80” has no unit.", "Write the unit too, for example 0.85 mm.")),
    ("parts.4.thickness", "0 mm", ("parts.4.thickness", "out-of-range", "Thickness: 0.00 mm is too small.", "It must be more than 0 mm.")),
    ("parts.4.thickness", "-1 mm", ("parts.4.thickness", "out-of-range", "Thickness: -1.00 mm is too small.", "It must be more than 0 mm. Was the minus sign typed by mistake?")),
    ("parts.4.thickness", 5, ("parts.4.thickness", "no-unit", "“5” has no unit.", "Write the unit too, for example 0.85 mm.")),
    ("parts.4.look_alikes", ["oak-stee"], ("parts.4.look_alikes.0", "unknown-word", "“oak-stee” is not known here.", "Did you mean “oak-steel”?")),
    ("gauges.1", None, ("gauges.1", "wrong-type", "Nothing was given where an object with named fields is expected.", "Write {…}.")),
    ("gauges.0.resolution", "0 mm", ("gauges.0.resolution", "out-of-range", "Smallest division: 0.00 mm is too small.", "It must be more than 0 mm.")),
    ("packs.1", None, ("packs.1", "wrong-type", "Nothing was given where an object with named fields is expected.", "Write {…}.")),
    ("packs.0.parts.0", None, ("packs.0.parts.0", "wrong-type", "Nothing was given where an object with named fields is expected.", "Write {…}.")),
    ("packs.0.parts.0.part", ..., ("packs.0.parts.0.part", "missing", "Part: nothing is filled in.", "The id of the part.")),
    ("packs.0.parts.0.once_only", "yes", ("packs.0.parts.0.once_only", "wrong-type", "Once only: true or false is wanted.", "Write true or false.")),
    ("packs.0.parts.0.caution", 1, ("packs.0.parts.0.caution", *NO_OBJECT)),
    ("packs.0.parts.3.any_time_before", "piston", ("packs.0.parts.3.any_time_before", "unknown-word", "“piston” is not known here.", "Write one of: steel, friction, steel, friction, steel, friction, backing, ring-a.")),
    ("packs.0.parts.3.any_time_after", "stel", ("packs.0.parts.3.any_time_after", "unknown-word", "“stel” is not known here.", "Write one of: seal-in, seal-out, piston.")),
    ("packs.0.parts.4.any_time_before", "backing", ("packs.0.parts.4.part", "not-alone", "“steel” goes in more than once, so its place in the order cannot be free.", "Take “any_time_before” and “any_time_after” out.")),
    ("packs.0.parts.3.tool", "plier", ("packs.0.parts.3.tool", "unknown-word", "“plier” is not known here.", "Did you mean “pliers”?")),
    ("packs.0.parts.0.turns", 61, ("packs.0.parts.0.turns", "out-of-range", "Turns: 61 is far too large.", "It can be 60 at most. Wrong unit or decimal point?")),
    ("packs.0.clearance", 1, ("packs.0.clearance", *NO_OBJECT)),
    ("packs.0.clearance.min", ..., ("packs.0.clearance.min", "missing", "Smallest allowed: nothing is filled in.", "The lower limit.")),
    ("packs.0.clearance.max", "1.40", ("packs.0.clearance.max", "no-unit", "“1.40” has no unit.", "Write the unit too, for example 0.85 mm.")),
    ("packs.0.clearance.min", "1.40 mm", ("packs.0.clearance", "crossed-limits", "The smallest is not below the largest.", "Check which is which.")),
    ("packs.0.clearance.target", "2 mm", ("packs.0.clearance.target", "out-of-range", "The target lies outside the limits.", "Aim within them.")),
    ("packs.0.clearance.positions", 25, ("packs.0.clearance.positions", "out-of-range", "Positions: 25 is far too large.", "It can be 24 at most. Wrong unit or decimal point?")),
    ("packs.0.clearance.spread_limit", "0 mm", ("packs.0.clearance.spread_limit", "out-of-range", "Largest spread: 0.00 mm is too small.", "It must be more than 0 mm.")),
    ("kits.0", 1, ("kits.0", *NO_OBJECT)),
    ("kits.0.choices", ["ring-a", "ring-a"], ("kits.0.choices.1", "duplicate-id", "“ring-a” appears twice.", "Give each size once.")),
    ("kits.0.choices", ["ring-a", "piston"], ("kits.0.choices.1", "no-thickness", "“piston” has no thickness.", "Give it one.")),
    ("kits.0.effect", 1, ("kits.0.effect", "wrong-type", "Effect: an object of names is wanted.", "Write {name: -1 or 1}.")),
    ("kits.0.effect", {"first": 2}, ("kits.0.effect.first", "unknown-word", "Effect: 2 is not known here.", "Write -1 or 1.")),
    ("kits.0.effect", {"first": True}, ("kits.0.effect.first", "unknown-word", "Effect: a true or false value is not known here.", "Write -1 or 1.")),
    ("kits.0.effect", {"furst": -1}, ("kits.0.effect.furst", "unknown-word", "“furst” is not known here.", "Did you mean “first”?")),
    ("kits.0.stock", {"ring-a": -1}, ("kits.0.stock.ring-a", "out-of-range", "On the shelf: -1 is too small.", "It must be at least 0. Was the minus sign typed by mistake?")),
    ("kits.0.fitted", "steel", ("kits.0.fitted", "unknown-word", "“steel” is not known here.", "Write one of: ring-a, ring-b.")),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value", "problem"), ONE_BAD, ids=[f"{path}={str(value)[:20]}" for path, value, _ in ONE_BAD])
def test_one_bad_value_is_one_problem(small: dict[str, Any], path: str, value: object, problem: tuple[str, ...]) -> None:
    """A bad value is told once, with its field, what is wrong and what would be right."""
    assert _problems(_change(small, path, value)) == [problem]


def test_ids_stand_once(small: dict[str, Any]) -> None:
    """An id that appears twice is reported at the second one."""
    small["parts"][1]["id"] = "seal-in"
    small["packs"][0]["parts"] = small["packs"][0]["parts"][:1]
    assert _problems(small) == [("parts.1.id", "duplicate-id", "“seal-in” appears twice.", "Give each its own id.")]


def test_too_many_of_anything_is_refused(small: dict[str, Any]) -> None:
    """A pack holds up to 200 parts, a kit at least one size, a list up to 5000 items."""
    small["packs"][0]["parts"] = [{"part": "steel"}] * 201
    small["kits"][0]["choices"] = []
    del small["kits"][0]["fitted"]
    small["tools"] = [{"id": str(number), "name": "Tool"} for number in range(5001)]
    assert _problems(small) == [
        ("packs.0.parts", "too-many", "Parts: 201 entries given.", "Give 0 to 200."),
        ("kits.0.choices", "too-few", "Size: 0 entries given.", "Give 1 to 5000."),
        ("tools", "too-many", "Tools: 5001 entries given.", "Give 0 to 5000."),
    ]


BROKEN = ("broken-repeat", "The turns of this repeat do not follow each other with the same parts.", "Give every turn the same parts in the same order, numbered from 1.")  # fmt: skip
REPEATS = [
    ([("steel", 1), ("friction", 1), ("steel", 2)], 2),
    ([("steel", 1), ("friction", 2)], 1),
    ([("steel", 1), ("steel", 2), ("steel", 2)], 2),
]


@pytest.mark.parametrize(("turns", "at"), REPEATS)
def test_broken_repeats_are_told(small: dict[str, Any], turns: list[tuple[str, int]], at: int) -> None:
    """A repeat whose turns differ, or end too soon, is told at the entry where it breaks."""
    small["packs"][0]["parts"] = [{"part": part, "turn": turn, "turns": 2} for part, turn in turns]
    found = _problems(small)
    assert found[0][0] == f"packs.0.parts.{at}.turn"
    assert found[0][1] == "broken-repeat"


def test_a_broken_repeat_says_what_is_wanted(small: dict[str, Any]) -> None:
    """The message of a repeat that ends too soon, and of one that does not begin with its first turn."""
    small["packs"][0]["parts"] = [{"part": "steel", "turn": 1, "turns": 2}]
    assert _problems(small) == [("packs.0.parts.0.turn", *BROKEN)]
    small["packs"][0]["parts"] = [{"part": "steel", "turn": 2, "turns": 2}]
    assert _problems(small) == [
        ("packs.0.parts.0.turn", "broken-repeat", "This repeat does not begin with its first turn.", BROKEN[2])
    ]


def test_everything_is_told_at_once(small: dict[str, Any]) -> None:
    """Problems in several places come together, in the order of the data, but for what refers to something wrong itself."""
    _change(small, "parts.0.kind", "lip-sel")
    _change(small, "packs.0.parts.0.side", "lip sideways")
    _change(small, "packs.0.parts.10.groove", "top")
    _change(small, "tools.0.note", 4)
    assert [problem[0] for problem in _problems(small)] == [
        "parts.0.kind", "packs.0.parts.0.side", "packs.0.parts.10.groove", "tools.0.note",
    ]  # fmt: skip


@pytest.mark.parametrize(("data", "kind"), [(None, "Nothing"), ([], "A list"), ("unit", "Text"), (5, "A number")])
def test_what_is_no_object_is_no_unit(data: object, kind: str) -> None:
    """Anything but an object is refused as a whole."""
    message = f"{kind} was given where an object with named fields is expected."
    assert _problems(data) == [("", "wrong-type", message, "Write {…}.")]


REFERENCES = [
    ("packs.0.clearance.gauge", "dail", "Did you mean “dial”?"),
    ("packs.0.parts.0.part", "seal-im", "Did you mean “seal-in”?"),
    ("packs.0.parts.10.groove", "top", "Write one of: lower, middle, upper."),
    ("kits.0.choices.1", "ring-c", "Did you mean “ring-b”?"),
]


@pytest.mark.parametrize(("path", "name", "remedy"), REFERENCES)
def test_a_reference_to_what_is_not_there_is_told(small: dict[str, Any], path: str, name: str, remedy: str) -> None:
    """Gauge, part, groove and size, each with what was meant."""
    assert _problems(_change(small, path, name)) == [(path, "unknown-word", f"“{name}” is not known here.", remedy)]


def test_a_turn_without_a_repeat_is_told(small: dict[str, Any]) -> None:
    """A second turn where there is one turn only."""
    small["packs"][0]["parts"] = [{"part": "steel", "turn": 2}]
    assert [problem[:2] for problem in _problems(small)] == [("packs.0.parts.0.turn", "broken-repeat")]
