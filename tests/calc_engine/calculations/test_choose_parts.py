"""choose-parts as scripts call it: held against trying every choice by hand, with its words and its problems."""

from __future__ import annotations

import copy
import itertools
from collections import Counter
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine import CATALOGUE, answer
from tests.selection_benches import make_bench

NAME = "choose-parts"
EXAMPLE: dict[str, Any] = dict(CATALOGUE[NAME].example)
PACK = {"name": "forward", "clearance": "1.35 mm", "limits": {"min": "0.90 mm", "max": "1.40 mm"}}
RING: dict[str, Any] = {
    "name": "ring", "fitted": "b", "effect": {"forward": -1},
    "choices": [{"id": "a", "thickness": "1.37 mm"}, {"id": "b", "thickness": "1.57 mm"}, {"id": "c", "thickness": "1.78 mm"}],
}  # fmt: skip


def ask(**changes: Any) -> dict[str, Any]:
    """The reply to one pack and one ring with changes."""
    return answer(NAME, {"packs": [PACK], "positions": [RING]} | changes)


def result(**changes: Any) -> dict[str, Any]:
    """Its result, which must be ok."""
    reply = ask(**changes)
    assert reply["ok"], reply
    made: dict[str, Any] = reply["result"]
    return made


def problems(**changes: Any) -> list[tuple[str, str, str, str]]:
    """Its problems."""
    return [(item["field"], item["code"], item["message"], item["remedy"]) for item in ask(**changes)["problems"]]


def mm(text: str) -> Fraction:
    """A length in mm."""
    return Fraction(text.removesuffix(" mm"))


# --- every choice by hand ---


def judged(request: dict[str, Any], ids: tuple[str, ...]) -> dict[str, Any]:
    """Clearances, margin and changes of one choice, by the contract's words."""
    clearances, margins = {}, []
    for pack in request["packs"]:
        clearance = mm(pack["clearance"])
        for position, chosen in zip(request["positions"], ids, strict=True):
            size = {choice["id"]: mm(choice["thickness"]) for choice in position["choices"]}
            clearance += position["effect"].get(pack["name"], 0) * (size[chosen] - size[position["fitted"]])
        low, high = mm(pack["limits"]["min"]), mm(pack["limits"]["max"])
        if "target" in pack:
            goal = mm(pack["target"])
            margins.append(1 - abs(clearance - goal) / max(goal - low, high - goal))
        else:
            margins.append(min(clearance - low, high - clearance) / ((high - low) / 2))
        clearances[pack["name"]] = (clearance, low <= clearance <= high)
    changed = sum(chosen != position["fitted"] for position, chosen in zip(request["positions"], ids, strict=True))
    return {"clearances": clearances, "margin": min(margins), "changes": changed}


def at_hand(request: dict[str, Any], ids: tuple[str, ...]) -> bool:
    """Whether the shelf has what a choice takes; what is fitted stays where it is."""
    taken = Counter(chosen for position, chosen in zip(request["positions"], ids, strict=True) if chosen != position["fitted"])
    stock: dict[str, int] = {}
    for choice in itertools.chain(*(position["choices"] for position in request["positions"])):
        if "stock" in choice:
            stock[choice["id"]] = min(choice["stock"], stock.get(choice["id"], choice["stock"]))
    return all(number <= stock.get(name, number) for name, number in taken.items())


def by_hand(request: dict[str, Any]) -> list[tuple[tuple[str, ...], dict[str, Any]]]:
    """Every choice that is within limits and at hand, best first."""
    every = itertools.product(*([choice["id"] for choice in position["choices"]] for position in request["positions"]))
    found = [(ids, judged(request, ids)) for ids in every if at_hand(request, ids)]
    within = [(ids, made) for ids, made in found if all(inside for _, inside in made["clearances"].values())]
    if request.get("prefer") == "fewest-changes":
        return sorted(within, key=lambda item: (item[1]["changes"], -item[1]["margin"]))
    return sorted(within, key=lambda item: (-item[1]["margin"], item[1]["changes"]))


LENGTHS = st.integers(0, 60).map(lambda hundredths: f"{hundredths / 50:.2f} mm")
THICKNESSES = st.integers(50, 80).map(lambda hundredths: f"{hundredths / 50:.2f} mm")


@st.composite
def benches(draw: st.DrawFn) -> dict[str, Any]:
    """One to three packs and one to four positions of a few sizes, some with a stock or a target."""
    names = ["p", "q", "r"][: draw(st.integers(1, 3))]
    packs = []
    for name in names:
        low = draw(st.integers(0, 40))
        high = low + draw(st.integers(1, 30))
        pack = {"name": name, "clearance": draw(LENGTHS), "limits": {"min": f"{low / 50:.2f} mm", "max": f"{high / 50:.2f} mm"}}
        if draw(st.booleans()):
            pack["target"] = f"{draw(st.integers(low, high)) / 50:.2f} mm"
        packs.append(pack)
    positions = []
    for index in range(draw(st.integers(1, 4))):
        sizes = draw(st.lists(THICKNESSES, min_size=1, max_size=4))
        choices: list[dict[str, Any]] = [{"id": "stuv"[place], "thickness": size} for place, size in enumerate(sizes)]
        for choice in choices:
            if draw(st.integers(0, 3)) == 0:
                choice["stock"] = draw(st.integers(0, 2))
        effect = draw(st.dictionaries(st.sampled_from(names), st.sampled_from([-1, 1]), min_size=1))
        positions.append(
            {"name": f"place {index}", "fitted": draw(st.sampled_from(choices))["id"], "choices": choices, "effect": effect}
        )
    return {
        "packs": packs,
        "positions": positions,
        "prefer": draw(st.sampled_from(["centred", "fewest-changes"])),
        "top": draw(st.integers(1, 50)),
    }


@given(benches())
def test_the_choices_are_those_found_by_trying_every_one(request: dict[str, Any]) -> None:
    """The same, in the same order: margin, changes, then the order of the choices."""
    reply = answer(NAME, request)
    assert reply["ok"], reply
    expected = by_hand(request)
    found = reply["result"]["solutions"]
    assert reply["result"]["feasible"] is bool(expected)
    assert len(found) == min(len(expected), request["top"])
    for solution, (ids, made) in zip(found, expected, strict=False):
        assert tuple(solution["choice"].values()) == ids
        assert solution["choice"].keys() == {position["name"]: None for position in request["positions"]}.keys()
        assert {name: mm(text) for name, text in solution["clearances"].items()} == {
            name: value for name, (value, _) in made["clearances"].items()
        }
        assert solution["margin"] == pytest.approx(float(made["margin"]), rel=1e-14, abs=1e-14)
        assert solution["changes"] == made["changes"]


@given(benches())
def test_what_cannot_be_done_says_how_short_the_kit_falls(request: dict[str, Any]) -> None:
    """At the nearest choice, for each pack, how far it is outside its limits: too loose is positive."""
    found = answer(NAME, request)["result"]
    if found["feasible"]:
        assert {"nearest", "needs"} & set(found) == set()
        return
    assert found["solutions"] == []
    nearest = found["nearest"][0]
    for pack in request["packs"]:
        clearance, low, high = mm(nearest["clearances"][pack["name"]]), mm(pack["limits"]["min"]), mm(pack["limits"]["max"])
        assert mm(found["needs"][pack["name"]]) == max(clearance - high, Fraction(0)) + min(clearance - low, Fraction(0))


def test_one_pack_and_one_ring_by_hand() -> None:
    """1.35 with b; c is 0.21 thicker: 1.14, 0.24 from a limit, of 0.25: margin 0.96."""
    found = result()
    assert found["feasible"] is True
    assert found["solutions"] == [
        {"choice": {"ring": "c"}, "clearances": {"forward": "1.14 mm"}, "margin": 0.96, "changes": 1},
        {"choice": {"ring": "b"}, "clearances": {"forward": "1.35 mm"}, "margin": 0.2, "changes": 0},
    ]
    assert found["advice"] == "Fit ring: c. Then measure again."
    assert {"nearest", "needs"} & set(found) == set()


def test_fewest_changes_keeps_what_is_fitted_when_it_will_do() -> None:
    """However near the limit."""
    found = result(prefer="fewest-changes", top=1)
    assert [solution["choice"] for solution in found["solutions"]] == [{"ring": "b"}]
    assert found["advice"] == "Keep the sizes that are fitted."


def test_a_target_is_aimed_at() -> None:
    """At 1.35 the fitted ring is exact: margin 1, a whole number."""
    found = result(packs=[PACK | {"target": "1.35 mm"}], top=1)
    assert found["solutions"] == [{"choice": {"ring": "b"}, "clearances": {"forward": "1.35 mm"}, "margin": 1, "changes": 0}]
    lines = ask(packs=[PACK | {"target": "1.30 mm"}], top=1)["working"]
    assert lines[1] == "forward: 0.05 mm from the target 1.30 mm"


def test_a_kit_that_cannot_do_it_names_what_is_short() -> None:
    """Pack by pack, too loose or too tight; one that is within its limits needs nothing."""
    other = {"name": "direct", "clearance": "1.00 mm", "limits": {"min": "0.80 mm", "max": "1.20 mm"}}
    found = result(packs=[PACK | {"clearance": "2.50 mm"}, other])
    assert (found["feasible"], found["solutions"]) == (False, [])
    assert found["nearest"][0] == {
        "choice": {"ring": "c"}, "clearances": {"forward": "2.29 mm", "direct": "1 mm"}, "margin": -3.56, "changes": 1,
    }  # fmt: skip
    assert found["needs"] == {"forward": "0.89 mm", "direct": "0 mm"}
    assert (
        found["advice"]
        == "No choice of this kit brings every pack within its limits. Short at best: forward by 0.89 mm (too loose)."
    )
    tight = result(packs=[PACK | {"clearance": "0.10 mm"}])
    assert tight["needs"] == {"forward": "-0.6 mm"}
    assert tight["advice"].endswith("Short at best: forward by 0.60 mm (too tight).")


def test_a_plate_between_two_packs_moves_both() -> None:
    """The example: the shared plate is named by both packs, and the working shows each term."""
    reply = answer(NAME, EXAMPLE | {"top": 1})
    assert reply["result"]["solutions"] == [
        {
            "choice": {"forward ring": "two dots", "reaction plate": "5.00"}, "clearances": {"forward": "1.14 mm", "direct": "1.06 mm"},
            "margin": 0.7, "changes": 1,
        }
    ]  # fmt: skip
    assert reply["working"] == [
        "forward: 1.35 − (1.78 − 1.57) = 1.14 mm, within 0.90 to 1.40 mm",
        "forward: 0.01 mm from the centre 1.15 mm",
        "direct: stays 1.06 mm, within 0.80 to 1.20 mm",
        "direct: 0.06 mm from the centre 1.00 mm",
        "room left in the tightest pack 0.7 (1 at the centre, 0 on a limit); parts changed: 1",
    ]
    assert reply["result"]["advice"] == "Fit forward ring: two dots. Then measure again."


def test_the_working_of_a_part_that_loosens_and_of_a_kit_that_falls_short() -> None:
    """Its thickness is added, and where a pack lies is said."""
    reply = ask(packs=[PACK | {"clearance": "2 mm"}], positions=[RING | {"effect": {"forward": 1}}], top=1)
    assert reply["working"][0] == "forward: 2.00 + (1.37 − 1.57) = 1.80 mm, above 0.90 to 1.40 mm"
    tight = ask(packs=[PACK | {"clearance": "0.1 mm"}], top=1)
    assert tight["working"][0] == "forward: 0.10 − (1.37 − 1.57) = 0.30 mm, below 0.90 to 1.40 mm"


@pytest.mark.parametrize(("stock", "chosen"), [({"c": 0}, "b"), ({"c": 1}, "c"), ({"b": 0, "c": 0}, "b"), ({"a": 0}, "c")])
def test_what_is_not_on_the_shelf_is_not_fitted(stock: dict[str, int], chosen: str) -> None:
    """Unless it is fitted already."""
    choices = [choice | ({"stock": stock[choice["id"]]} if choice["id"] in stock else {}) for choice in RING["choices"]]
    assert result(positions=[RING | {"choices": choices}], top=1)["solutions"][0]["choice"] == {"ring": chosen}


def test_one_piece_is_not_fitted_twice() -> None:
    """Two places would take c, and there is one."""
    choices = [*RING["choices"][:2], {"id": "c", "thickness": "1.78 mm", "stock": 1}]
    positions = [RING | {"choices": choices}, RING | {"name": "ring 2", "choices": choices, "effect": {"direct": -1}}]
    found = result(packs=[PACK, PACK | {"name": "direct"}], positions=positions, top=50)
    assert all(list(solution["choice"].values()).count("c") <= 1 for solution in found["solutions"])
    assert len(found["solutions"]) == 3


def test_five_answers_are_given_unless_another_number_is_asked_for() -> None:
    """The best of them first."""
    choices = [{"id": str(number), "thickness": f"{1.50 + number / 100:.2f} mm"} for number in range(12)]
    ring = RING | {"fitted": "0", "choices": choices}
    assert len(result(positions=[ring])["solutions"]) == 5
    assert len(result(positions=[ring], top=12)["solutions"]) == 12
    assert len(result(positions=[ring], top=1)["solutions"]) == 1


def test_answers_are_in_the_unit_of_the_limits() -> None:
    """Or as asked; an inch is 25.4 mm."""
    pack = PACK | {"clearance": "1.35 mm", "limits": {"min": "0.03 in", "max": "0.06 in"}}
    assert result(packs=[pack], top=1)["solutions"][0]["clearances"]["forward"].endswith(" in")
    assert result(packs=[PACK | {"clearance": "0.05 in"}], units="inch", prefer="fewest-changes", top=1)["solutions"][0][
        "clearances"
    ] == {"forward": "0.05 in"}


def test_what_the_reader_must_mind() -> None:
    """A pack that no part touches, and one that would lie nearer a limit than it is known."""
    other = {"name": "direct", "clearance": "1.00 mm", "limits": {"min": "0.80 mm", "max": "1.20 mm"}}
    assert ask(packs=[PACK | {"uncertainty": "0.24 mm"}, other])["cautions"] == [
        "No part in the list changes direct: it is judged as measured."
    ]
    assert ask(packs=[PACK | {"uncertainty": "0.25 mm"}])["cautions"] == [
        "forward would be closer to a limit than its uncertainty of 0.25 mm: measure again after fitting."
    ]
    assert ask(packs=[PACK | {"uncertainty": "0.25 mm", "clearance": "3 mm"}])["cautions"] == []


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"packs": ..., "positions": ...}, [
            ("packs", "missing", "Packs: nothing is filled in.", "Every pack that the parts touch."),
            ("positions", "missing", "Selective parts: nothing is filled in.", "Each place with its sizes."),
        ]),
        ({"packs": [PACK | {"target": "1.5 mm"}]}, [
            ("packs.0.target", "out-of-range", "The target lies outside the limits.", "Aim within the limits, or leave the target empty."),
        ]),
        ({"packs": [PACK | {"target": "0.89 mm"}]}, [
            ("packs.0.target", "out-of-range", "The target lies outside the limits.", "Aim within the limits, or leave the target empty."),
        ]),
        ({"packs": [PACK, PACK]}, [("packs.1.name", "duplicate-id", "“forward” appears twice.", "Give each its own name.")]),
        ({"positions": [RING, RING, RING]}, [
            ("positions.1.name", "duplicate-id", "“ring” appears twice.", "Give each its own name."),
            ("positions.2.name", "duplicate-id", "“ring” appears twice.", "Give each its own name."),
        ]),
        ({"positions": [RING | {"fitted": "z"}]}, [
            ("positions.0.fitted", "unknown-choice", "“z” is not in the list of sizes.", "Name one of: a, b, c."),
        ]),
        ({"positions": [RING | {"choices": [RING["choices"][1]] * 2}]}, [
            ("positions.0.choices.1.id", "duplicate-id", "“b” appears twice in the list.", "Give each size once."),
        ]),
        ({"positions": [RING | {"effect": {"foward": -1}}]}, [
            ("positions.0.effect.foward", "unknown-pack", "There is no pack “foward”.", "Name one of: forward."),
        ]),
        ({"positions": [RING | {"effect": {"forward": 2}}]}, [
            ("positions.0.effect.forward", "unknown-word", "Effect of a thicker part: 2 is not known here.", "Write -1 or 1."),
        ]),
        ({"prefer": "centered"}, [("prefer", "unknown-word", "Choose by: “centered” is not known here.", "Did you mean “centred”?")]),
        ({"top": 0}, [("top", "out-of-range", "How many answers: 0 is too small.", "It must be at least 1.")]),
        ({"packs": [PACK | {"clearance": "-1 mm"}]}, [
            ("packs.0.clearance", "out-of-range", "Clearance now: -1.00 mm is too small.", "It must be at least 0 mm. Was the minus sign typed by mistake?"),
        ]),
        ({"packs": [PACK | {"limits": {"min": "2 mm", "max": "1 mm"}, "target": "1.5 mm"}], "top": "x"}, [
            ("packs.0.limits", "crossed-limits", "The smallest of the limits is not below the largest.",
             "Check which is which: min must be below max."),
            ("top", "not-a-number", "“x” does not start with a number.", "Write figures first, then the unit."),
        ]),
    ],
)  # fmt: skip
def test_every_problem_of_a_request_is_told(changes: dict[str, Any], expected: list[tuple[str, str, str, str]]) -> None:
    """Whole, each at its field."""
    request = {name: value for name, value in ({"packs": [PACK], "positions": [RING]} | changes).items() if value is not ...}
    found = answer(NAME, copy.deepcopy(request))["problems"]
    assert [(item["field"], item["code"], item["message"], item["remedy"]) for item in found] == expected


TOO_FINE = "The thickness is written finer than a millionth of a millimetre."
AS_READ = "Write it as the micrometer reads, for example 1.780 mm or 0.0701 in."


def test_thicknesses_finer_than_any_gauge_are_refused() -> None:
    """One by one, or all together where their common step is too small."""
    fine = [{"id": "a", "thickness": "1.0000001 mm"}, {"id": "b", "thickness": "1/3 in"}, {"id": "c", "thickness": "1.000001 mm"}]
    assert problems(positions=[RING | {"choices": fine}]) == [
        ("positions.0.choices.0.thickness", "too-fine", TOO_FINE, AS_READ),
        ("positions.0.choices.1.thickness", "too-fine", TOO_FINE, AS_READ),
    ]
    far = [{"id": "a", "thickness": "1.000001 mm"}, {"id": "b", "thickness": "1 mm"}, {"id": "c", "thickness": "199 mm"}]
    assert problems(positions=[RING | {"choices": far}]) == [
        (
            "positions", "too-fine", "The thicknesses together have too many decimals to be compared exactly.",
            "Write them all as the micrometer reads, for example 1.780 mm or 0.0701 in.",
        )
    ]  # fmt: skip


def test_names_are_compared_without_the_spaces_around_them() -> None:
    """As people write them."""
    found = result(packs=[PACK | {"name": " forward "}], positions=[RING | {"effect": {"forward ": -1}}], top=1)
    assert found["solutions"][0]["clearances"] == {"forward": "1.14 mm"}


def hard_bench() -> dict[str, Any]:
    """Twelve places that each move four packs, with sizes that share no step: no shop has that."""
    packs, positions = make_bench("all_fours", "measured", 1)
    return {
        "packs": [
            {
                "name": pack.name,
                "clearance": f"{float(pack.clearance):.3f} mm",
                "limits": {"min": f"{float(pack.minimum):.3f} mm", "max": f"{float(pack.maximum):.3f} mm"},
            }
            for pack in packs
        ],
        "positions": [
            {
                "name": position.name,
                "fitted": position.fitted,
                "choices": [{"id": size.id, "thickness": f"{float(size.thickness):.3f} mm"} for size in position.choices],
                "effect": dict(position.effect),
            }
            for position in positions
        ],
    }


def test_a_bench_that_is_too_hard_is_answered_with_what_is_not_excluded() -> None:
    """It ends by itself, names a choice within limits, and says in words that it is not proved."""
    reply = answer(NAME, hard_bench())
    found = reply["result"]
    margin, beatable = found["solutions"][0]["margin"], found["beatable_margin"]
    assert (found["feasible"], found["proved"]) == (True, False)
    assert 0 < margin < beatable <= 1
    assert reply["cautions"][0].startswith(
        "There were too many choices to try, so the search was stopped. The first choice is the best found; its room left is "
    )
    assert reply["cautions"][0].endswith(" is not ruled out.")


def test_a_bench_that_is_searched_whole_says_that_it_is_proved() -> None:
    """Then there is no margin left to beat."""
    found = ask()["result"]
    assert found["proved"] is True
    assert "beatable_margin" not in found
