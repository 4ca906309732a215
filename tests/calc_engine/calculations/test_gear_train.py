"""gear-train: examples worked by hand, every state, every problem; numpy, levers and printed answers hold it elsewhere."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from calc_engine import CATALOGUE, answer

EXAMPLE = CATALOGUE["gear-train"].example
SIMPLE: dict[str, Any] = {
    "sets": [{"name": "P", "sun": 30, "ring": 75}],
    "elements": [{"name": "B", "holds": "P.ring"}],
    "gears": [{"name": "low", "on": ["B"]}],
    "input": "P.sun",
    "output": "P.carrier",
}
ONE_PIECE, UNKNOWN, TWICE = "one-piece", "unknown-member", "duplicate-id"


def result(**changes: Any) -> dict[str, Any]:
    """The reply's result for one simple set with some fields changed."""
    reply = answer("gear-train", SIMPLE | changes)
    assert reply["ok"], reply
    found: dict[str, Any] = reply["result"]
    return found


def gears(**changes: Any) -> list[dict[str, Any]]:
    """Its gears."""
    found: list[dict[str, Any]] = result(**changes)["gears"]
    return found


def problems(**changes: Any) -> list[tuple[str, str, str, str]]:
    """Field, code, message and remedy of each problem."""
    request = {name: value for name, value in (SIMPLE | changes).items() if value is not ...}
    reply = answer("gear-train", request)
    assert not reply["ok"], reply
    return [(item["field"], item["code"], item["message"], item["remedy"]) for item in reply["problems"]]


# Worked by hand with z_sun n_sun + z_ring n_ring = (z_sun + z_ring) n_carrier.
@pytest.mark.parametrize(
    ("driven", "drives", "held", "ratio"),
    [
        ("sun", "carrier", "ring", "7/2"),
        ("ring", "carrier", "sun", "7/5"),
        ("sun", "ring", "carrier", "-5/2"),
        ("ring", "sun", "carrier", "-2/5"),
        ("carrier", "sun", "ring", "2/7"),
        ("carrier", "ring", "sun", "5/7"),
    ],
)
def test_the_six_ways_of_a_simple_set(driven: str, drives: str, held: str, ratio: str) -> None:
    """Every textbook has this table; sun 30, ring 75."""
    gear = gears(input=f"P.{driven}", output=f"P.{drives}", elements=[{"name": "B", "holds": f"P.{held}"}])[0]
    assert (gear["state"], gear["ratio_exact"]) == ("fixed", ratio)
    assert gear["reason"] == "With B on, the output follows from the input."


@pytest.mark.parametrize(
    ("teeth", "ratio"),
    [
        # Two planets in mesh turn the ring's sense round: ring held, n_sun - n_c = k (0 - n_c) with k = 75/30.
        ({"sun": 30, "ring": 75, "pairs": True}, "-3/2"),
        # 1 + 75/30 x 20/15
        ({"sun": 30, "ring": 75, "planet_at_sun": 20, "planet_at_ring": 15}, "13/3"),
        ({"sun": 30, "ring": 75, "planet_at_sun": 20, "planet_at_ring": 20}, "7/2"),
    ],
)
def test_the_other_kinds_of_planets(teeth: dict[str, Any], ratio: str) -> None:
    """Ring held, sun drives carrier."""
    assert gears(sets=[{"name": "P", **teeth}])[0]["ratio_exact"] == ratio


@pytest.mark.parametrize(
    ("teeth", "second", "ratio"),
    [
        # n_1 = n_c (1 - z_2/z_1 x p_1/p_2) with the second held, both worked from the meshes.
        ({"sun": 30, "sun2": 24, "planet_at_first": 18, "planet_at_second": 24}, "sun2", "2/5"),
        ({"ring": 75, "ring2": 60, "planet_at_first": 20, "planet_at_second": 20}, "ring2", "1/5"),
        ({"sun": 40, "sun2": 41}, "sun2", "-1/40"),
    ],
)
def test_two_suns_and_two_rings(teeth: dict[str, Any], second: str, ratio: str) -> None:
    """First wheel driven, second held: n_1 / n_carrier."""
    first = "sun" if "sun" in teeth else "ring"
    request = {"elements": [{"name": "B", "holds": f"P.{second}"}], "input": f"P.{first}"}
    assert gears(sets=[{"name": "P", **teeth}], **request)[0]["ratio_exact"] == ratio


def test_speeds_torques_and_power_of_a_simple_set() -> None:
    """Sun 30, ring 75 held: carrier 2/7; torques as 1 : 5/2 : -7/2; the planet of 22.5 teeth cannot be."""
    gear = gears(input_torque="100 N.m")[0]
    assert gear["speeds"] == {"P.sun": 1, "P.carrier": 0.285714285714286, "P.ring": 0}
    assert gear["torques"] == {"P.sun": 1, "P.carrier": -3.5, "P.ring": 2.5}
    assert (gear["carries"], gear["slips"], gear["power"], gear["planets"]) == ({"B": 2.5}, {}, {"P": 1}, {})
    assert (gear["output_torque"], gear["carried"]) == ("350 N.m", {"B": "250 N.m"})


def test_the_example_by_hand() -> None:
    """Front 36 and 66: low 1 + 66/36 = 17/6. Rear 30 and 72: over 1 / (1 + 30/72) = 12/17, reverse -72/30 = -12/5."""
    found = answer("gear-train", dict(EXAMPLE))["result"]
    assert [gear["ratio_exact"] for gear in found["gears"]] == ["17/6", "2", "1", "12/17", "-34/5"]
    assert found["advice"] == "1: 2.833 to 1; 2: 2 to 1; 3: 1 to 1; 4: 0.706 to 1; R: -6.8 to 1"
    assert [gear.get("step") for gear in found["gears"][:4]] == [None, 1.41666666666667, 2, 1.41666666666667]
    # Third: front turns as one, n = 1, so every brake and the open clutch see the whole speed or none.
    assert found["gears"][2]["slips"] == {"low brake": 1, "sun brake": 1, "reverse brake": 1}
    # Reverse: 200 x 17/6 x (1 + 12/5) on the rear carrier, against the output.
    assert found["gears"][4]["carried"]["reverse brake"] == "-1926.66666666667 N.m"


def test_a_clutch_passes_from_its_first_member_to_its_second() -> None:
    """Its torque changes its sign with the order, and so does its slip."""
    clutch = {"name": "C", "joins": ["drive", "P.sun"]}
    for joins, sign in ((["drive", "P.sun"], 1), (["P.sun", "drive"], -1)):
        request = {"input": "drive", "elements": [*SIMPLE["elements"], {**clutch, "joins": joins}]}
        on, off = gears(gears=[{"name": "on", "on": ["B", "C"]}, {"name": "off", "on": ["B"]}], **request)
        assert on["carries"] == {"B": 2.5, "C": sign}
        assert off["state"] == "free"
        both = gears(gears=[{"name": "lift", "on": ["B"]}], **request, output="P.carrier")[0]
        assert both["speeds"] == {"drive": 1, "P.ring": 0}


def test_free_says_why() -> None:
    """With nothing on a set is a differential."""
    gear = gears(gears=[{"name": "N", "on": []}])[0]
    assert gear["state"] == "free"
    assert (
        gear["reason"]
        == "With nothing on, the output does not follow from the input: it can stand still while the input turns. No torque passes."
    )
    assert (gear["speeds"], gear["torques"], gear["carries"], gear["slips"]) == ({"P.sun": 1}, {}, {}, {})
    assert "ratio" not in gear


def test_locked_says_what_would_free_it() -> None:
    """Ring and carrier held: either of them off, and it turns."""
    elements = [{"name": "B", "holds": "P.ring"}, {"name": "D", "holds": "P.carrier"}, {"name": "E", "holds": "P.sun"}]
    found = gears(elements=elements, gears=[{"name": "x", "on": ["B", "D"]}, {"name": "y", "on": ["B", "D", "E"]}])
    assert [gear["state"] for gear in found] == ["locked", "locked"]
    assert (
        found[0]["reason"]
        == "With B and D on, the input cannot turn: more is held than the train can do with. With B or D off it turns."
    )
    assert (
        found[1]["reason"]
        == "With B, D and E on, the input cannot turn: more is held than the train can do with. It turns only with more than one of them off."
    )
    assert (found[0]["speeds"], found[0]["torques"], found[0]["slips"]) == ({}, {}, {})


def test_an_output_that_is_held_is_fixed_without_a_ratio() -> None:
    """The input turns all the same, and nothing balances it."""
    gear = gears(elements=[{"name": "B", "holds": "P.carrier"}])[0]
    assert gear["state"] == "fixed"
    assert gear["reason"] == "With B on, the output is held still while the input turns. No torque passes."
    assert ("ratio" in gear, gear["speeds"], gear["torques"]) == (False, {"P.sun": 1, "P.carrier": 0, "P.ring": -0.4}, {})
    assert result(elements=[{"name": "B", "holds": "P.carrier"}])["advice"] == "low: output held"


def test_torques_that_cannot_be_told_are_left_out() -> None:
    """Three clutches where two lock the set: no sum of torques says how they share."""
    pairs = {"C": ["P.sun", "P.ring"], "D": ["P.ring", "P.carrier"], "E": ["P.sun", "P.carrier"]}
    elements = [{"name": name, "joins": joins} for name, joins in pairs.items()]
    gear = gears(elements=elements, gears=[{"name": "direct", "on": ["C", "D", "E"]}])[0]
    assert (gear["ratio_exact"], gear["torques"], gear["carries"]) == ("1", {}, {})
    assert (
        gear["reason"]
        == "With C, D and E on, the output follows from the input. More is on than is needed: how C, D and E share the torque cannot be said."
    )


def test_a_set_that_idles_is_told() -> None:
    """A second set of which only one member is joined carries nothing and turns as it likes."""
    sets = [*SIMPLE["sets"], {"name": "Q", "sun": 20, "ring": 60}]
    gear = gears(sets=sets, joined=[["P.carrier", "Q.carrier"]])[0]
    assert gear["reason"] == "With B on, the output follows from the input. Nothing sets the speed of Q.sun and Q.ring."
    assert (gear["torques"]["Q.sun"], gear["ratio_exact"]) == (0, "7/2")


def test_a_one_way_element_that_would_have_to_hold_both_ways_is_a_caution() -> None:
    """With the sun driven it keeps the ring from turning back; with the ring's place taken by the carrier it is the other way."""
    sets = [*SIMPLE["sets"], {"name": "Q", "sun": 30, "ring": 75}]
    request = {
        "sets": sets, "input": "drive", "output": "out", "joined": [["out", "P.carrier", "Q.ring"], ["P.ring", "Q.carrier"]],
        "elements": [{"name": "F", "holds": "P.ring", "one_way": True}, {"name": "C", "joins": ["drive", "P.sun"]}, {"name": "D", "joins": ["drive", "Q.sun"]}],
        "gears": [{"name": "low", "on": ["F", "C"]}, {"name": "back", "on": ["F", "D"]}],
    }  # fmt: skip
    reply = answer("gear-train", SIMPLE | request)
    assert [gear["carries"]["F"] for gear in reply["result"]["gears"]] == [2.5, -3.5]
    teeth = "No planet runs between a sun of 30 and a ring of 75 teeth: half their difference is not whole. Count the teeth again: ring = sun + 2 × planet."
    assert reply["cautions"] == [
        f"P: {teeth}",
        f"Q: {teeth}",
        "“F” holds one way only, but would have to hold one way in low and the other way in back.",
    ]


@pytest.mark.parametrize("clutch", [False, True])
def test_a_one_way_element_that_is_off_must_be_able_to_overrun(clutch: bool) -> None:
    """In reverse its member turns the way that it holds: it cannot be off."""
    one_way = {"name": "F", "joins": ["case", "P.ring"]} if clutch else {"name": "F", "holds": "P.ring"}
    request = {
        "sets": [{"name": "P", "sun": 30, "ring": 70}], "joined": [["case"]],
        "elements": [{**one_way, "one_way": True}, {"name": "B", "holds": "P.carrier"}, {"name": "C", "joins": ["P.sun", "P.ring"]}, {"name": "H", "holds": "case"}],
        "gears": [{"name": "low", "on": ["F", "H"]}, {"name": "high", "on": ["C", "H"]}, {"name": "stop", "on": ["B", "H"]}],
    }  # fmt: skip
    reply = answer("gear-train", SIMPLE | request)
    assert reply["cautions"] == ["“F” is off in stop, but there its member would turn the way that it holds: it would be on."]


def test_the_working_can_be_followed() -> None:
    """The equation with its teeth, what is known, what follows, torques."""
    reply = answer("gear-train", SIMPLE | {"input_torque": "100 N.m"})
    assert reply["working"] == [
        "P: k = ring / sun = 75 / 30 = 5/2; Willis: n(sun) − n(carrier) = −k × (n(ring) − n(carrier))",
        "low: n(P.sun) = 1; B: n(P.ring) = 0",
        "low: P: 1 − n(P.carrier) = -5/2 × (0 − n(P.carrier)): n(P.carrier) = 2/7 ≈ 0.2857",
        "low: ratio = n(P.sun) / n(P.carrier) = 1 / (2/7) = 7/2 = 3.5",
        "low: P: torques sun : ring : carrier = 1 : k : −(1 + k) = 1, 5/2, -7/2",
        "low: for input torque 1: B carries 5/2 = 2.5; the output gives 7/2 = 3.5",
        "low: B: 5/2 × 100.0 N·m = 250.0 N·m",
    ]


def test_the_working_of_other_kinds_of_sets() -> None:
    """Where k comes from, and why it is negative."""
    sets = [
        {"name": "A", "sun": 30, "ring": 75, "pairs": True},
        {"name": "B", "sun": 30, "ring": 75, "planet_at_sun": 20, "planet_at_ring": 15},
        {"name": "C", "ring": 75, "ring2": 60},
    ]
    reply = answer(
        "gear-train",
        SIMPLE | {"sets": sets, "input": "A.sun", "output": "A.carrier", "elements": [{"name": "B", "holds": "A.ring"}]},
    )
    assert reply["working"][:3] == [
        "A: k = -ring / sun = -75 / 30 = -5/2 (planets in pairs); Willis: n(sun) − n(carrier) = −k × (n(ring) − n(carrier))",
        "B: k = ring / sun × planet at sun / planet at ring = 75 / 30 × 20 / 15 = 10/3; Willis: n(sun) − n(carrier) = −k × (n(ring) − n(carrier))",
        "C: k = -ring2 / ring = -60 / 75 = -4/5 (ring and ring2 turn alike); Willis: n(ring) − n(carrier) = −k × (n(ring2) − n(carrier))",
    ]


def test_sets_that_can_only_be_solved_together_are_shown_together() -> None:
    """Two sets that share two members, neither of them known."""
    request = {
        "sets": [{"name": "P", "sun": 30, "ring": 70}, {"name": "Q", "sun": 20, "ring": 60}],
        "joined": [["P.ring", "Q.carrier"], ["P.carrier", "Q.ring"]],
        "elements": [{"name": "B", "holds": "Q.sun"}],
    }
    reply = answer("gear-train", SIMPLE | request)
    # 3 + 7 r = 10 c and r = 3/4 c: c = 12/19, r = 9/19.
    assert reply["result"]["gears"][0]["ratio_exact"] == "19/12"
    assert reply["working"][4:9] == [
        "low: n(P.sun) = 1; B: n(Q.sun) = 0",
        "low: P: 1 − n(P.carrier) = -7/3 × (n(P.ring) − n(P.carrier))",
        "low: Q: 0 − n(P.ring) = -3 × (n(P.carrier) − n(P.ring))",
        "low: together: n(P.ring) = 9/19 ≈ 0.4737, n(P.carrier) = 12/19 ≈ 0.6316",
        "low: ratio = n(P.sun) / n(P.carrier) = 1 / (12/19) = 19/12 ≈ 1.5833",
    ]


def test_a_set_that_is_one_piece_gives_no_speed_in_the_working() -> None:
    """Its equation says that nothing is nothing, whatever the speed."""
    request = {
        "sets": [{"name": "Q", "sun": 20, "ring": 60}, {"name": "P", "sun": 30, "ring": 70}],
        "joined": [["Q.sun", "Q.ring", "Q.carrier", "P.carrier"]],
    }
    reply = answer("gear-train", SIMPLE | request)
    assert reply["working"][3:6] == [
        "low: n(P.sun) = 1; B: n(P.ring) = 0",
        "low: P: 1 − n(P.carrier) = -7/3 × (0 − n(P.carrier)): n(P.carrier) = 3/10 = 0.3",
        "low: ratio = n(P.sun) / n(P.carrier) = 1 / (3/10) = 10/3 ≈ 3.3333",
    ]
    # What its members put on each other nobody can tell.
    assert [name for name in reply["result"]["gears"][0]["torques"] if name.startswith("Q")] == []


def test_with_very_much_on_only_the_lock_is_told() -> None:
    """Which single one to take off is not looked for among more than any transmission has."""
    names = [f"B{at}" for at in range(11)]
    elements = [{"name": name, "holds": "P.ring"} for name in names[:-1]] + [{"name": names[-1], "holds": "P.carrier"}]
    gear = gears(elements=elements, gears=[{"name": "x", "on": names}])[0]
    assert gear["reason"] == "With B0, B1, B2, B3 and 7 more on, the input cannot turn: more is held than the train can do with."


def test_the_working_of_a_free_and_a_locked_gear_says_why() -> None:
    """Instead of a ratio."""
    request = SIMPLE | {
        "gears": [{"name": "N", "on": []}, {"name": "x", "on": ["B", "D"]}],
        "elements": [*SIMPLE["elements"], {"name": "D", "holds": "P.sun"}],
    }
    assert answer("gear-train", request)["working"][1:] == [
        "N: n(P.sun) = 1",
        "N: P: 1 − n(P.carrier) = -5/2 × (n(P.ring) − n(P.carrier))",
        "N: open: n(P.ring) and n(P.carrier) may have any speed that fits",
        "N: With nothing on, the output does not follow from the input: it can stand still while the input turns. No torque passes.",
        "x: n(P.sun) = 1; B: n(P.ring) = 0; D: n(P.sun) = 0",
        "x: With B and D on, the input cannot turn: more is held than the train can do with. With D off it turns.",
    ]


WHEELS = "Give the teeth of sun and ring, of sun and sun2, or of ring and ring2."


@pytest.mark.parametrize(
    ("teeth", "told"),
    [
        ({}, [("sets.0.sun", "missing", "The set has no wheels.", WHEELS)]),
        ({"sun": 30}, [("sets.0.ring", "missing", "The set has only one wheel, sun.", WHEELS)]),
        ({"ring2": 30}, [("sets.0.ring", "missing", "The set has only one wheel, ring2.", WHEELS)]),
        ({"sun": 30, "ring2": 70}, [("sets.0.ring2", "both-given", "sun and ring2 do not make one set.", WHEELS)]),
        (
            {"sun": 30, "ring": 70, "sun2": 25},
            [("sets.0.sun2", "both-given", "sun, ring and sun2 do not make one set.", f"{WHEELS} A third wheel on the same planets is a set of its own: join its carrier to this one.")],
        ),
        ({"sun": 0, "ring": 70}, [("sets.0.sun", "out-of-range", "Teeth of the sun: 0 is too small.", "It must be at least 1.")]),
        ({"sun": -30, "ring": 70}, [("sets.0.sun", "out-of-range", "Teeth of the sun: -30 is too small.", "It must be at least 1. Was the minus sign typed by mistake?")]),
        ({"sun": 30.5, "ring": 70}, [("sets.0.sun", "not-whole", "Teeth of the sun: 30.5 is not a whole number.", "Count whole pieces.")]),
        ({"sun": 30, "ring": 1001}, [("sets.0.ring", "out-of-range", "Teeth of the ring: 1001 is far too large.", "It can be 1000 at most. Wrong unit or decimal point?")]),
        ({"sun": 30, "ring": 70, "planet_at_sun": 20}, [("sets.0.planet_at_ring", "missing", "Only planet_at_sun is given of the planet.", "Give planet_at_ring as well; for a planet that is not stepped, leave both out.")]),
        ({"sun": 30, "ring": 70, "planet_at_first": 20}, [("sets.0.planet_at_first", "not-used", "planet_at_first has no meaning with sun and ring.", "For a stepped planet give planet_at_sun and planet_at_ring here.")]),
        ({"sun": 30, "sun2": 25, "pairs": True}, [("sets.0.pairs", "not-used", "Planets in pairs: no meaning with sun and sun2.", "Leave it out, or give the teeth of sun and ring.")]),
    ],
)  # fmt: skip
def test_teeth_that_make_no_set_are_told(teeth: dict[str, Any], told: list[tuple[str, str, str, str]]) -> None:
    """At the field, with what would be right."""
    assert problems(sets=[{"name": "P", **teeth}]) == told


NAMES = "Name one of: P.sun, P.ring, P.carrier."


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"input": "P.son"}, [("input", UNKNOWN, "There is no member “P.son”.", "Did you mean “P.sun”?")]),
        ({"output": "Q.gear"}, [("output", UNKNOWN, "There is no member “Q.gear”.", NAMES)]),
        ({"joined": [["P.ring", "Q.ring"]]}, [("joined.0.1", UNKNOWN, "There is no member “Q.ring”.", "Did you mean “P.ring”?")]),
        (
            {"elements": [{"name": "B", "joins": ["shaft", "P.ring"]}]},
            [("elements.0.joins.0", UNKNOWN, "There is no member “shaft”.", f"{NAMES} A shaft that only elements name goes into “joined” as well, in a list of its own if need be.")],
        ),
        ({"elements": [{"name": "B", "holds": "P.rong"}]}, [("elements.0.holds", UNKNOWN, "There is no member “P.rong”.", "Did you mean “P.ring”?")]),
        ({"joined": [["P.ring", "P.ring"]]}, [("joined.0.1", ONE_PIECE, "“P.ring” is joined to itself.", "Name each member once.")]),
        ({"elements": [{"name": "B", "joins": ["P.ring", "P.ring"]}]}, [("elements.0.joins", ONE_PIECE, "“B” joins “P.ring” to itself.", "Name members of two pieces.")]),
        (
            {"joined": [["P.ring", "drum"]], "elements": [{"name": "B", "joins": ["P.ring", "drum"]}]},
            [("elements.0.joins", ONE_PIECE, "“B” joins “P.ring” and “drum”, which are one piece already.", "Name members of two pieces.")],
        ),
        ({"output": "P.sun"}, [("output", ONE_PIECE, "Input “P.sun” and output “P.sun” are one piece.", "Name a member of another piece.")]),
        ({"elements": [{"name": "B"}]}, [("elements.0.joins", "missing", "Neither joins nor holds is given.", "Give joins or holds.")]),
        ({"elements": [{"name": "B", "holds": "P.ring", "joins": ["P.sun", "P.ring"]}]}, [("elements.0.holds", "both-given", "Joins and holds are both given.", "Give joins or holds, not both.")]),
        ({"gears": [{"name": "low", "on": ["C"]}]}, [("gears.0.on.0", "unknown-element", "There is no element “C”.", "Name one of: B.")]),
        ({"elements": []}, [("gears.0.on.0", "unknown-element", "There is no element “B”.", "There are no elements: enter them first.")]),
        ({"gears": [{"name": "low", "on": ["B", "B"]}]}, [("gears.0.on.1", TWICE, "“B” appears twice.", "Name each element once.")]),
        ({"gears": SIMPLE["gears"] * 2}, [("gears.1.name", TWICE, "“low” appears twice.", "Give each its own name.")]),
        ({"elements": SIMPLE["elements"] * 2}, [("elements.1.name", TWICE, "“B” appears twice.", "Give each its own name.")]),
        ({"sets": SIMPLE["sets"] * 2}, [("sets.1.name", TWICE, "“P” appears twice.", "Give each its own name.")]),
        ({"output": ...}, [("output", "missing", "Output: nothing is filled in.", "The member or shaft that drives.")]),
        ({"input": ["P.sun", "P.ring"]}, [("input", "wrong-type", "Input: a text is wanted.", "The member or shaft that is driven.")]),
        ({"input_torque": "0 N.m"}, [("input_torque", "out-of-range", "Input torque: 0.0 N·m is too small.", "It must be more than 0 N·m.")]),
    ],
)  # fmt: skip
def test_names_that_do_not_fit_are_told(changes: dict[str, Any], told: list[tuple[str, str, str, str]]) -> None:
    """At the field, with what would be right."""
    assert problems(**changes) == told


def test_thousands_of_sets_are_refused() -> None:
    """At once; what no train has is not worked on."""
    sets = [{"name": f"P{at}", "sun": 30, "ring": 70} for at in range(5000)]
    assert problems(sets=sets) == [("sets", "too-many", "Planetary sets: 5000 entries given.", "Give 1 to 12.")]


def test_all_problems_are_told_at_once() -> None:
    """Also those that do not hang on what is wrong itself."""
    found = problems(
        sets=[{"name": "P", "sun": 0, "ring": 70}], gears=[{"name": "low", "on": ["X"]}], output=..., input_torque="9 psi"
    )
    assert [(field, code) for field, code, _, _ in found] == [
        ("sets.0.sun", "out-of-range"),
        ("output", "missing"),
        ("input_torque", "wrong-unit"),
        ("gears.0.on.0", "unknown-element"),
    ]


def test_what_if_two_more_are_on_is_one_more_gear() -> None:
    """It changes nothing about the others but the step after it."""
    asked = copy.deepcopy(dict(EXAMPLE))
    asked["gears"].append({"name": "what if", "on": ["low brake", "high clutch"]})
    found = answer("gear-train", asked)["result"]["gears"]
    assert found[:-1] == answer("gear-train", dict(EXAMPLE))["result"]["gears"]
    assert (found[-1]["state"], found[-1]["reason"]) == (
        "locked",
        "With low brake and high clutch on, the input cannot turn: more is held than the train can do with. With low brake or high clutch off it turns.",
    )
