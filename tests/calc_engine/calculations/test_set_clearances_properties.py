"""set-clearances on drums drawn at random, held against the same drum worked out by hand."""

from __future__ import annotations

import copy
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc_engine import answer
from tests.oracles.drum_by_hand import agreements, best, better, clearance, judged, mm, nearest, state

NAME = "set-clearances"
NAMES = ("p", "q", "r")


def length(hundredths: int) -> str:
    """A length in mm; two steps of a hundredth are the finest, so that sums often land on a limit."""
    return f"{hundredths / 50:.2f} mm"


@st.composite
def packs(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """A pack, mostly with a gauge."""
    low = draw(st.integers(10, 40))
    high = low + draw(st.integers(5, 30))
    pack: dict[str, Any] = {"name": name, "limits": {"min": length(low), "max": length(high)}}
    if draw(st.integers(0, 3)) == 0:
        pack["target"] = length(draw(st.integers(low, high)))
    if draw(st.booleans()):
        pack["spread_limit"] = length(draw(st.integers(2, 6)))
    if draw(st.integers(0, 3)):
        pack["gauge"] = {"resolution": "0.02 mm", "max_error": length(draw(st.integers(1, 6)))}
    if draw(st.integers(0, 5)) == 0:
        pack["wave"] = {
            "free": "0.14 mm",
            "flat": "0.10 mm",
            "measured": draw(st.sampled_from(["free", "flat"])),
            "specified": "flat",
        }
    return pack


@st.composite
def readings(draw: st.DrawFn) -> dict[str, Any]:
    """One to three positions, near each other."""
    middle = draw(st.integers(10, 60))
    near = [middle + draw(st.integers(0, 3)) for _ in range(draw(st.integers(1, 3)))]
    method = draw(st.sampled_from(["dial", "feeler", "depth", "parts"]))
    if method == "dial":
        return {"method": method, "lifts": [length(value) for value in near]}
    if method == "feeler":
        return {"method": method, "leaves": [[length(value - 5), length(5)] for value in near]}
    if method == "depth":
        return {"method": method, "to_plate": [length(value + 500) for value in near], "to_ring": [length(500) for _ in near]}
    stack = [
        {"name": "steel", "thickness": "2.00 mm", "count": 2, "max_error": "0.02 mm"},
        {"name": "ring", "thickness": "1.00 mm", "count": 1},
    ]
    return {"method": method, "cavity": length(near[0] + 250), "parts": stack}


@st.composite
def drums(draw: st.DrawFn) -> dict[str, Any]:
    """One to three packs, one to three places, one to four trials in which parts often stay and readings are often left out."""
    names = NAMES[: draw(st.integers(1, 3))]
    places: list[dict[str, Any]] = []
    for index in range(draw(st.integers(1, 3))):
        sizes: list[dict[str, Any]] = []
        for place in range(draw(st.integers(1, 3))):
            size: dict[str, Any] = {"id": "stu"[place], "thickness": length(draw(st.integers(60, 90)))}
            if draw(st.integers(0, 3)) == 0:
                size["stock"] = draw(st.integers(0, 1))
            if draw(st.booleans()):
                size["tolerance"] = length(draw(st.integers(0, 3)))
            sizes.append(size)
        effect = draw(st.dictionaries(st.sampled_from(names), st.sampled_from([-1, 1]), min_size=1))
        places.append({"name": f"place {index}", "choices": sizes, "effect": effect})
    trials: list[dict[str, Any]] = []
    for number in range(draw(st.integers(1, 4))):
        fitted = {}
        for place in places:
            if number and draw(st.integers(0, 2)):
                fitted[place["name"]] = trials[-1]["fitted"][place["name"]]
            else:
                part = {"id": draw(st.sampled_from(place["choices"]))["id"]}
                fitted[place["name"]] = part | ({"measured": length(draw(st.integers(60, 90)))} if draw(st.booleans()) else {})
        read = [name for name in names if number == 0 or draw(st.booleans())]
        trials.append({"fitted": fitted, "readings": {name: draw(readings()) for name in read}})
    if draw(st.integers(0, 5)) == 0:
        trials[0]["readings"] = {}
    return {
        "packs": [draw(packs(name)) for name in names], "positions": places, "trials": trials,
        "prefer": draw(st.sampled_from(["centred", "fewest-changes"])),
    }  # fmt: skip


def asked(request: dict[str, Any]) -> dict[str, Any]:
    """The result, which must be ok."""
    reply = answer(NAME, request)
    assert reply["ok"], reply
    found: dict[str, Any] = reply["result"]
    return found


def uncertainties(request: dict[str, Any]) -> dict[tuple[str, int], Fraction]:
    """The uncertainty of each reading alone, as pack-clearance has it."""
    found = {}
    for number, trial in enumerate(request["trials"]):
        for pack in request["packs"]:
            if pack["name"] in trial["readings"]:
                spec = {key: value for key, value in pack.items() if key not in {"name", "target"}}
                told = answer("pack-clearance", spec | trial["readings"][pack["name"]])["result"]
                found[pack["name"], number] = mm(told.get("uncertainty", "0 mm"))
    return found


def expected_next(request: dict[str, Any], found: dict[str, Any]) -> tuple[str, Any]:
    """The first order that holds, by the words of the contract, and what goes with it; from what is known of the packs."""
    now = state(request)
    names = [pack["name"] for pack in request["packs"]]
    if uneven := [name for name in names if name in now and now[name]["even"] is False]:
        return "reseat", uneven
    if doubted := [pair["pack"] for pair in agreements(request, uncertainties(request)) if not pair["agrees"]]:
        return "check-part", doubted
    if unread := [name for name in names if name not in now]:
        return "measure", unread
    if any(pack["verdict"] != "in" for pack in now.values()):
        chosen = best(request)
        return ("fit", chosen) if chosen else ("cannot", nearest(request))
    if stale := [name for name in names if now[name]["stale"]]:
        return "measure", stale
    if not all(pack["certain"] for pack in found["packs"].values()):
        chosen = better(request)
        return ("fit", chosen) if chosen else ("stay", None)
    return "stay", None


FIELDS = {
    "reseat": {"reseat"}, "check-part": {"check"}, "measure": {"measure"}, "fit": {"fit", "clearances", "margin", "changes"},
    "cannot": {"nearest", "needs"}, "stay": set(),
}  # fmt: skip


@settings(max_examples=150)
@given(drums())
def test_state_agreement_and_order_are_those_worked_out_by_hand(request: dict[str, Any]) -> None:
    """To the last digit; each output is there where the contract says so, and nowhere else."""
    found = asked(request)
    by_hand = state(request)
    assert list(found["packs"]) == list(by_hand)
    for name, pack in by_hand.items():
        told = found["packs"][name]
        assert mm(told["clearance"]) == pytest.approx(pack["clearance"], rel=1e-14, abs=1e-14)
        assert (told["verdict"], told.get("even"), told["stale"], told["trial"]) == (
            pack["verdict"], pack["even"], pack["stale"], pack["trial"],
        )  # fmt: skip
        assert not (told["stale"] and told["certain"])
    pairs = agreements(request, uncertainties(request))
    assert [(told["pack"], told["from"], told["to"], told["agrees"]) for told in found["agreement"]] == [
        (pair["pack"], pair["from"], pair["to"], pair["agrees"]) for pair in pairs
    ]
    for told, pair in zip(found["agreement"], pairs, strict=True):
        for key in ("expected", "measured", "difference"):
            assert mm(told[key]) == pytest.approx(pair[key], rel=1e-12, abs=1e-12)
    order, what = expected_next(request, found)
    assert found["next"] == order
    assert found.keys() - {"next", "advice", "packs", "agreement"} == FIELDS[order]
    _same_order(request, found, order, what)


def _same_order(request: dict[str, Any], found: dict[str, Any], order: str, what: Any) -> None:
    """The outputs that belong to the order."""
    fitted = request["trials"][-1]["fitted"]
    places = [place["name"] for place in request["positions"]]
    if order in {"reseat", "check-part", "measure"}:
        assert found[order.removesuffix("-part")] == what
    elif order == "fit":
        chosen = dict(zip(places, what["ids"], strict=True))
        assert found["fit"] == {place: part for place, part in chosen.items() if part != fitted[place]["id"]}
        assert found["changes"] == what["changes"] > 0
        assert found["margin"] == pytest.approx(float(what["margin"]), rel=1e-14, abs=1e-14)
        assert all(mm(value) == pytest.approx(what["clearances"][pack], rel=1e-14) for pack, value in found["clearances"].items())
        assert min(map(mm, found["clearances"].values())) >= 0
    elif order == "cannot":
        assert bool(found["nearest"]) is (what is not None)
        nearest_ids = tuple(fitted[place]["id"] for place in places)
        if what is not None:
            first = found["nearest"][0]
            assert first["margin"] == pytest.approx(float(what["plain"]), rel=1e-14, abs=1e-14)
            nearest_ids = tuple(first["choice"].values())
            assert all(mm(value) >= 0 for near in found["nearest"] for value in near["clearances"].values())
        reached = judged(request, nearest_ids)["clearances"]
        for pack in request["packs"]:
            value, low, high = reached[pack["name"]], mm(pack["limits"]["min"]), mm(pack["limits"]["max"])
            need = max(value - high, Fraction(0)) + min(value - low, Fraction(0))
            assert mm(found["needs"][pack["name"]]) == pytest.approx(need, rel=1e-12, abs=1e-12)


@settings(max_examples=40)
@given(drums(), st.randoms())
def test_the_order_of_places_and_names_does_not_matter(request: dict[str, Any], chance: Any) -> None:
    """What is known stays the same, to the letter; of choices of equal rank another may come first."""
    shuffled = copy.deepcopy(request)
    chance.shuffle(shuffled["positions"])
    for trial in shuffled["trials"]:
        trial["fitted"] = dict(chance.sample(list(trial["fitted"].items()), len(trial["fitted"])))
        trial["readings"] = dict(chance.sample(list(trial["readings"].items()), len(trial["readings"])))
    one, other = asked(request), asked(shuffled)
    assert (one["packs"], one["agreement"], one["next"]) == (other["packs"], other["agreement"], other["next"])
    assert [one.get(key) for key in ("reseat", "check", "measure", "margin", "changes")] == [
        other.get(key) for key in ("reseat", "check", "measure", "margin", "changes")
    ]


@settings(max_examples=60)
@given(drums())
def test_the_same_once_more_agrees_and_orders_the_same(request: dict[str, Any]) -> None:
    """A trial with the same parts and readings as the last adds nothing that speaks against it."""
    again = request | {"trials": [*request["trials"], request["trials"][-1]]}
    one, other = asked(request), asked(again)
    read = request["trials"][-1]["readings"]
    assert all(pair["agrees"] and mm(pair["difference"]) == 0 for pair in other["agreement"] if pair["pack"] in read)
    same = ("next", "advice", "fit", "clearances", "margin", "changes", "nearest", "needs")
    if one["next"] not in {"check-part", "measure"}:
        assert [one.get(key) for key in same if key != "advice"] == [other.get(key) for key in same if key != "advice"]
    for name, pack in one["packs"].items():
        assert {key: value for key, value in pack.items() if key != "trial"} == {
            key: value for key, value in other["packs"][name].items() if key != "trial"
        }


@settings(max_examples=60)
@given(drums())
def test_nothing_is_fitted_because_of_a_reading_that_is_not_to_be_trusted(request: dict[str, Any]) -> None:
    """Neither one that is uneven, nor one that another speaks against, nor one that is missing."""
    found = asked(request)
    trusted = (
        all(pack.get("even") is not False for pack in found["packs"].values())
        and all(pair["agrees"] for pair in found["agreement"])
        and len(found["packs"]) == len(request["packs"])
    )
    assert trusted or not found.keys() & {"fit", "clearances", "margin", "changes", "nearest"}


@settings(max_examples=60)
@given(drums())
def test_the_answer_is_the_same_after_what_it_orders_was_read_as_expected(request: dict[str, Any]) -> None:
    """Fitted, and read as it was expected: every pack is within its limits, and nothing has to be changed to bring one in."""
    found = asked(request)
    if found["next"] != "fit":
        return
    fitted = copy.deepcopy(request["trials"][-1]["fitted"]) | {place: {"id": part} for place, part in found["fit"].items()}
    packs = [{key: value for key, value in pack.items() if key != "wave"} for pack in request["packs"]]
    read = {name: {"method": "dial", "lifts": [value]} for name, value in found["clearances"].items()}
    then = asked(request | {"packs": packs, "trials": [{"fitted": fitted, "readings": read}]})
    assert {pack["verdict"] for pack in then["packs"].values()} == {"in"}
    assert then["next"] in {"stay", "fit"}
    assert then["next"] == "stay" or then["margin"] > found["margin"]


def test_the_oracle_takes_each_method_apart() -> None:
    """So that it is no copy of what it is held against."""
    assert clearance({"method": "feeler", "leaves": [["0.30 mm", "0.70 mm"]]}, None) == [Fraction(1)]
    parts = [{"name": "all", "thickness": "1.50 mm", "count": 2}]
    wave = {"free": "2.1 mm", "flat": "1.5 mm", "measured": "flat", "specified": "free"}
    assert clearance({"method": "parts", "cavity": "4.60 mm", "parts": parts}, wave) == [Fraction(1)]
    assert clearance(
        {"method": "depth", "to_plate": ["3 mm"], "to_ring": ["2.4 mm"]}, wave | {"measured": "free", "specified": "flat"}
    ) == [Fraction("1.2")]
