"""which-element: charts worked by hand, an oracle by the plain words of the rule, every problem. Common practice, no source."""

from __future__ import annotations

import random
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc_engine import CATALOGUE, answer

CHART = {"1": "AB", "2": "AC", "3": "BC", "4": "CD"}
KINDS = {"A": "clutch", "B": "brake", "C": "clutch", "D": "brake"}


def request(seen: dict[str, str], chart: dict[str, Any] = CHART, kinds: dict[str, str] = KINDS) -> dict[str, Any]:
    """A chart of one-letter elements and what was seen."""
    return {
        "elements": [{"name": name, "kind": kind} for name, kind in kinds.items()],
        "gears": [{"name": gear, "on": list(on)} for gear, on in chart.items()],
        "seen": [{"gear": gear, "what": what} for gear, what in seen.items()],
    }


def result(*given_: Any) -> dict[str, Any]:
    """What comes of it."""
    reply = answer("which-element", request(*given_))
    assert reply["ok"], reply
    found: dict[str, Any] = reply["result"]
    return found


def named(found: dict[str, Any], *, clear: bool = True) -> list[str]:
    """The suspects, or those with nothing against them, as short words."""
    sign = {"does-not-hold": "-", "does-not-let-go": "+"}
    return ["".join(each["elements"]) + sign[each["fault"]] for each in found["suspects"] if not (clear and each["against"])]


def problems(**changes: Any) -> list[tuple[str, str, str, str]]:
    """Field, code, message and remedy of each problem."""
    reply = answer("which-element", request({"1": "works"}) | changes)
    assert not reply["ok"], reply
    return [(item["field"], item["code"], item["message"], item["remedy"]) for item in reply["problems"]]


def test_one_element_explains_what_slips() -> None:
    """C is on in 2, 3 and 4 and nowhere else."""
    found = result({"1": "works", "2": "slips", "3": "no-drive", "4": "slips"})
    assert found["suspects"][0] == {
        "elements": ["C"], "fault": "does-not-hold", "explains": ["2", "3", "4"], "against": [],
        "reason": "on in 2, 3 and 4, all fail; off in 1, which works",
    }  # fmt: skip
    assert found["advice"] == "It fits that C does not hold."
    assert (found["outside"], "try_next" in found) == (False, False)


def test_one_element_explains_what_binds() -> None:
    """B is off in 2 and 4."""
    found = result({"1": "works", "2": "binds", "3": "works", "4": "binds"})
    assert found["suspects"][0] == {
        "elements": ["B"], "fault": "does-not-let-go", "explains": ["2", "4"], "against": [],
        "reason": "on in 1 and 3, both work; off in 2 and 4, both bind",
    }  # fmt: skip
    assert found["advice"] == "It fits that B does not let go."


def test_flares_counts_as_slips() -> None:
    """The shift into a gear asks its element to hold."""
    slips, flares = (result({"1": "works", "2": what}) for what in ("slips", "flares"))
    assert slips == flares


def test_the_next_gear_splits_the_suspects_evenly() -> None:
    """2 slips and 1 works: C is left by itself. With 2 alone A and C are left, and 1, 3 or 4 tell them apart; the first of them is taken."""
    assert named(result({"1": "works", "2": "slips"})) == ["C-"]
    found = result({"2": "slips"})
    assert named(found) == ["A-", "C-"]
    assert found["try_next"] == "1"
    assert found["advice"] == (
        "Every gear tried that drives fails: look at fluid, pump, pressure and converter before any element. "
        "It fits that A does not hold or that C does not hold. Try 1 next: it tells most of them apart."
    )


def test_of_several_the_most_even_split_is_taken() -> None:
    """Of four suspects x tells off one, y two."""
    chart = {"1": "ABCD", "x": "A", "y": "AB", "z": ""}
    assert result({"1": "slips", "z": "not-tried"}, chart)["try_next"] == "y"


def test_outside_comes_first_when_every_driving_gear_fails() -> None:
    """Neutral, with nothing on, does not count; one gear that works is enough to look inside."""
    chart = {**CHART, "N": ""}
    fails = dict.fromkeys(CHART, "slips")
    assert result(fails | {"N": "works"}, chart)["outside"] is True
    assert result(fails | {"N": "works", "4": "works"}, chart)["outside"] is False
    assert result(fails | {"4": "binds"}, chart)["outside"] is True
    # What binds everywhere is not short of pressure.
    assert result(dict.fromkeys(CHART, "binds"), chart)["outside"] is False
    assert result(dict.fromkeys(CHART, "not-tried"), chart)["outside"] is False


def test_two_together_are_named_when_no_single_one_explains_all() -> None:
    """1 and 4 slip: B and D, B by itself would fail in 3 as well."""
    chart = {"1": "AB", "2": "AC", "3": "EC", "4": "CD"}
    found = result({"1": "slips", "2": "works", "3": "works", "4": "slips"}, chart, KINDS | {"E": "clutch"})
    assert named(found) == ["BD-"]
    assert found["suspects"][0]["reason"] == "one of them on in 1 and 4, both fail; both off in 2 and 3, both work"
    assert found["advice"] == "It fits that B and D do not hold."
    assert named(found, clear=False) == ["BD-", "A-", "B-", "C-", "D-"]
    assert (
        found["suspects"][1]["reason"]
        == "on in 1, which fails; off in 3, which works; but on in 2, which works; but off in 4, which fails"
    )


def test_two_that_do_not_let_go() -> None:
    """Both stuck: a gear works only with both on."""
    found = result({"1": "works", "2": "binds", "3": "binds"}, {"1": "AB", "2": "AC", "3": "BC"})
    assert found["suspects"][0]["reason"] == "both on in 1, which works; one of them off in 2 and 3, both bind"
    assert named(found) == ["AB+"]


def test_when_nothing_fits_the_nearest_is_told_with_what_speaks_against_it() -> None:
    """1 slips and 2 binds: no one element does both."""
    found = result({"1": "slips", "2": "binds", "3": "works"})
    assert named(found) == []
    assert (
        found["advice"]
        == "No element fits all that was seen. Nearest: A does not hold, but 2 speaks against it. Try 4 next: it tells most of them apart."
    )


def test_what_works_needs_no_suspect() -> None:
    """And nothing tried says nothing."""
    assert result({"1": "works", "2": "works"}) == {"advice": "Every gear tried works.", "outside": False, "suspects": []}
    assert result({}) == {"advice": "No gear was tried.", "outside": False, "suspects": []}


def test_a_one_way_element_is_told_from_its_brake() -> None:
    """L has B on beside the one-way element F, and nothing else more than 1."""
    chart, kinds = {"1": "AF", "L": "AFB", "2": "AC"}, {"A": "clutch", "F": "one-way", "B": "brake", "C": "brake"}
    assert result({"1": "slips", "2": "works"}, chart, kinds)["tell_apart"][0] == (
        "F or B: in L B does the work of F as well, and brakes the engine. If 1 slips and L pulls, F does not hold. "
        "If L pulls but does not brake the engine when you lift off, B does not hold."
    )
    assert "tell_apart" not in result({"1": "works", "2": "slips"}, chart | {"2": "C"}, kinds)
    # Another brake is no one-way element: both are told by driving.
    assert "tell_apart" not in result({"1": "slips"}, chart, kinds | {"F": "brake"})


def test_the_working_goes_through_every_element() -> None:
    """Also those that nothing points to."""
    assert answer("which-element", request({"1": "works", "2": "slips", "4": "works"}))["working"] == [
        "seen: 1 works, 2 slips, 4 works",
        "A, does not hold: on in 2, which fails; off in 4, which works; but on in 1, which works",
        "C, does not hold: on in 2, which fails; off in 1, which works; but on in 4, which works",
        "B: nothing that was seen points to it",
        "D: nothing that was seen points to it",
    ]


def test_it_never_says_replace() -> None:
    """Set reasoning finds where to look, not what to throw away."""
    chance = random.Random(7)
    for _ in range(200):
        seen = {gear: chance.choice(["works", "slips", "flares", "no-drive", "binds", "not-tried"]) for gear in CHART}
        assert "replace" not in str(answer("which-element", request(seen))).lower()


def by_the_rule(seen: dict[str, str], chart: dict[str, str], names: str) -> dict[tuple[str, str], tuple[list[str], list[str]]]:
    """What each single element explains and what speaks against it, by the words of the rule."""
    bad = {"slips": "fails", "no-drive": "fails", "flares": "fails", "binds": "binds", "works": "works"}
    found = {}
    for name in names:
        for fault, sign in (("does-not-hold", "fails"), ("does-not-let-go", "binds")):
            explains, against = [], []
            for gear, what in seen.items():
                if what == "not-tried":
                    continue
                wanted = sign if (name in chart[gear]) == (fault == "does-not-hold") else "works"
                if bad[what] != wanted:
                    against.append(gear)
                elif wanted != "works":
                    explains.append(gear)
            found[name, fault] = (explains, against)
    return found


WHAT = st.sampled_from(["works", "works", "slips", "no-drive", "binds", "flares", "not-tried"])


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sets(st.sampled_from("ABCDE"), max_size=4), min_size=1, max_size=7), st.lists(WHAT, min_size=7, max_size=7))
def test_the_rule_holds_of_any_chart(gears: list[set[str]], what: list[str]) -> None:
    """Single suspects as the rule says; pairs explain all, each its own part; in order; the next gear is untried and splits."""
    chart = {str(at): "".join(sorted(on)) for at, on in enumerate(gears)}
    seen = dict(zip(chart, what, strict=False))
    found = result(seen, chart, dict.fromkeys("ABCDE", "clutch"))
    single = by_the_rule(seen, chart, "ABCDE")
    ours = {
        (each["elements"][0], each["fault"]): (each["explains"], each["against"])
        for each in found["suspects"]
        if len(each["elements"]) == 1
    }
    assert ours == {key: value for key, value in single.items() if value[0]}
    bad = [gear for gear, each in seen.items() if each not in {"works", "not-tried"}]
    for each in found["suspects"]:
        if len(each["elements"]) == 2:
            one, other = (set(single[name, each["fault"]][0]) for name in each["elements"])
            assert (each["explains"], each["against"]) == (bad, [])
            assert one - other
            assert other - one
    order = [(bool(each["against"]), len(each["elements"]), -len(each["explains"])) for each in found["suspects"]]
    assert order == sorted(order)
    if "try_next" in found:
        assert seen.get(found["try_next"], "not-tried") == "not-tried"


@pytest.mark.parametrize("culprit", "ABCD")
@pytest.mark.parametrize("fault", ["does-not-hold", "does-not-let-go"])
def test_a_planted_fault_is_found(culprit: str, fault: str) -> None:
    """What one faulty element does in every gear leads back to it, and only elements that are on in the same gears are named with it."""
    seen = {
        gear: ("slips" if culprit in on else "works") if fault == "does-not-hold" else ("works" if culprit in on else "binds")
        for gear, on in CHART.items()
    }
    suspects = [each for each in result(seen)["suspects"] if not each["against"]]
    assert [(each["elements"], each["fault"]) for each in suspects if len(each["elements"]) == 1] == [([culprit], fault)]


def test_pairs_are_looked_for_among_all() -> None:
    """Five elements, each alone in a gear: any two that are faulty are found."""
    chart = {name: name for name in "ABCDE"}
    for pair in combinations("ABCDE", 2):
        seen = {gear: "slips" if gear in pair else "works" for gear in chart}
        assert named(result(seen, chart, dict.fromkeys("ABCDE", "clutch"))) == ["".join(pair) + "-"]


ONE = [{"name": "A", "kind": "clutch"}]


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"elements": ONE * 2, "gears": [{"name": "1", "on": ["A"]}]}, [("elements.1.name", "duplicate-id", "“A” appears twice.", "Give each its own name.")]),
        ({"gears": [{"name": "1", "on": ["X"]}]}, [("gears.0.on.0", "unknown-element", "There is no element “X”.", "Name one of: A, B, C, D.")]),
        ({"gears": [{"name": "1", "on": ["A", "A"]}]}, [("gears.0.on.1", "duplicate-id", "“A” appears twice.", "Name each element once.")]),
        ({"gears": [{"name": "1", "on": []}] * 2}, [("gears.1.name", "duplicate-id", "“1” appears twice.", "Give each its own name.")]),
        ({"seen": [{"gear": "9", "what": "works"}]}, [("seen.0.gear", "unknown-gear", "There is no gear “9”.", "Name one of: 1, 2, 3, 4.")]),
        ({"seen": [{"gear": "1", "what": "works"}, {"gear": "1", "what": "slips"}]}, [("seen.1.gear", "duplicate-id", "“1” appears twice.", "Say once what each gear does.")]),
        ({"seen": [{"gear": "1", "what": "slip"}]}, [("seen.0.what", "unknown-word", "What it does: “slip” is not known here.", "Did you mean “slips”?")]),
        ({"elements": [{"name": "A", "kind": "sprag"}]}, [("elements.0.kind", "unknown-word", "Kind: “sprag” is not known here.", "Write one of: clutch, brake, one-way.")]),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_told(changes: dict[str, Any], told: list[tuple[str, str, str, str]]) -> None:
    """At the field, with what would be right."""
    assert problems(**changes) == told


def test_its_example_has_something_to_tell_apart() -> None:
    """So that the page shows every part of an answer."""
    found = answer("which-element", dict(CATALOGUE["which-element"].example))["result"]
    assert named(found) == ["low one-way-", "sun brake-"]
    assert found["try_next"] == "1"
    assert len(found["tell_apart"]) == 1
