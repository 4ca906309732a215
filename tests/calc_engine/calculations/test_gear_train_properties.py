"""gear-train: what holds of every train, whatever it is made of."""

from __future__ import annotations

import copy
import json
import random
from fractions import Fraction
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from calc_engine import CATALOGUE, RequestReader, answer
from calc_engine.calculations.gear_train import GearTrain, gear_train
from calc_engine.quantities.answer_units import choose_units
from tests.oracles.gear_trains import random_train

SEEDS = st.integers(0, 10**9)
FEW = settings(max_examples=60, deadline=None)


def exactly(request: dict[str, Any]) -> Any:
    """The gears that a request comes to, as fractions."""
    typed = RequestReader().read(GearTrain, request)
    assert typed is not None
    return gear_train(typed, choose_units((), None)).result.gears


def members_of_sets(request: dict[str, Any]) -> list[list[str]]:
    """The three members of each set."""
    kinds = ("sun", "ring", "sun2", "ring2")
    return [[f"{each['name']}.{kind}" for kind in (*kinds, "carrier") if kind in (*each, "carrier")] for each in request["sets"]]


@FEW
@given(SEEDS)
def test_torques_and_powers_of_each_set_come_to_nothing(seed: int) -> None:
    """Exactly; and so do power in and power out, with the case's share of nothing."""
    request = random_train(random.Random(seed))
    for gear in exactly(request):
        for members in members_of_sets(request):
            torques = [gear.torques[name] for name in members if name in gear.torques]
            assert sum(torques) == 0
            if torques and all(name in gear.speeds for name in members):
                assert sum(gear.torques[name] * gear.speeds[name] for name in members) == 0
        if gear.ratio is not None:
            assert gear.torques["out"] == -gear.ratio
            assert 1 + gear.torques["out"] * gear.speeds["out"] == 0


@FEW
@given(SEEDS)
def test_torques_on_the_case_make_up_the_difference(seed: int) -> None:
    """Input, output and brakes together balance, where every torque can be told."""
    request = random_train(random.Random(seed))
    brakes = {element["name"] for element in request["elements"] if "holds" in element}
    for asked, gear in zip(request["gears"], exactly(request), strict=True):
        if gear.ratio is not None and set(asked["on"]) <= gear.carries.keys():
            assert 1 - gear.ratio + sum(gear.carries[name] for name in asked["on"] if name in brakes) == 0


@FEW
@given(SEEDS, st.randoms())
def test_neither_names_nor_order_matter(seed: int, chance: Any) -> None:
    """Sets, joints, elements and their members in another order, sets under other names: the same figures."""
    request = random_train(random.Random(seed))
    renamed = json.loads(json.dumps(request).replace('"P', '"a set called '))
    for name in ("sets", "joined", "elements"):
        chance.shuffle(renamed[name])
    for pair in renamed["joined"]:
        pair.reverse()
    for ours, theirs in zip(exactly(request), exactly(renamed), strict=True):
        for what in ("speeds", "torques", "carries", "slips", "planets", "power"):
            figures = {name.replace("P", "a set called "): value for name, value in getattr(ours, what).items()}
            assert figures == getattr(theirs, what)
        assert (ours.state, ours.ratio, ours.step) == (theirs.state, theirs.ratio, theirs.step)


@FEW
@given(SEEDS)
def test_driven_the_other_way_the_ratio_is_turned_over(seed: int) -> None:
    """A train without losses does not know which end drives it."""
    request = random_train(random.Random(seed))
    back = exactly(request | {"input": "out", "output": "in"})
    for gear, other in zip(exactly(request), back, strict=True):
        if gear.ratio is not None:
            assert other.ratio == 1 / gear.ratio


@given(st.integers(1, 1000), st.integers(1, 1000), st.integers(1, 1000), st.integers(1, 1000))
def test_levers(sun: int, ring: int, sun2: int, ring2: int) -> None:
    """Two sets as two levers, laid over each other at the two members that they share: ratio and brake torque are those of a lever.

    H.L. Benford and M.B. Leising, The Lever Analogy: A New Tool in Transmission Analysis, SAE 810102, 1981 (from memory, paper not
    opened): on the lever of a set the carrier stands from the sun as the ring's teeth, and from the ring as the sun's; speeds are the
    distances that its points move, torques the forces on it. Both levers are scaled until carrier and ring of the one are at the
    distance of ring and carrier of the other. The same levers are taught by Y.G. Liao, Using Lever Analogy Diagrams in Teaching
    Compound Planetary Gear Trains, American Society for Engineering Education, paper 2006-1084 (only its first pages were read: they
    give no teeth, so no figure of it is compared here).
    """
    request = {
        "sets": [{"name": "P", "sun": sun, "ring": ring}, {"name": "Q", "sun": sun2, "ring": ring2}],
        "joined": [["P.ring", "Q.carrier"], ["P.carrier", "Q.ring"]],
        "elements": [{"name": "B", "holds": "Q.sun"}],
        "gears": [{"name": "low", "on": ["B"]}],
        "input": "P.sun",
        "output": "P.carrier",
    }
    # From the ring of P (0) upwards: its carrier at 1, its sun at 1 + ring/sun; below it the sun of Q, whose carrier is at 0 and ring at 1.
    top, bottom = 1 + Fraction(ring, sun), -Fraction(ring2, sun2)
    gear = exactly(request)[0]
    assert gear.ratio == (top - bottom) / (1 - bottom)
    # Moments about the output: 1 at the top, the brake at the bottom.
    assert gear.carries["B"] == (top - 1) / (1 - bottom)


BROKEN: tuple[Any, ...] = (
    None,
    True,
    0,
    -1,
    1.5,
    "",
    "P.sun",
    [],
    ["P.sun"],
    {},
    {"name": "x"},
    [[]],
    "9" * 90,
    [None],
    "a.b",
    10**6,
)


@given(st.data())
def test_whatever_is_sent_comes_back_as_an_answer_or_as_problems(data: Any) -> None:
    """Anything in any place: never a fault of the engine."""
    for name in ("gear-train", "which-element"):
        request = copy.deepcopy(dict(CATALOGUE[name].example))
        for _ in range(data.draw(st.integers(1, 3))):
            here: Any = request
            while True:
                key = data.draw(st.sampled_from(list(here) if isinstance(here, dict) else list(range(len(here)))))
                if isinstance(here[key], (dict, list)) and here[key] and data.draw(st.booleans()):
                    here = here[key]
                    continue
                here[key] = data.draw(st.sampled_from(BROKEN))
                break
        reply = answer(name, request)
        assert reply["ok"] or all(problem["code"] != "engine-fault" and problem["remedy"] for problem in reply["problems"]), (
            request,
            reply,
        )
