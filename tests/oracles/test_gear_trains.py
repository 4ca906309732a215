"""Gear trains against numpy: three hundred random ones here, ten thousand in `python -m tests.attack gears`."""

from __future__ import annotations

import random
from collections import Counter

from calc_engine import answer
from tests.oracles.gear_trains import disagreement, random_train


def test_numpy_makes_the_same_of_random_trains() -> None:
    """State, ratio, speeds, torques, what elements carry and what open ones slip; and power in is power out."""
    chance = random.Random(20261128)
    trains = [random_train(chance) for _ in range(300)]
    assert [found for train in trains if (found := disagreement(train))] == []


def test_random_trains_come_to_every_state() -> None:
    """Else the comparison would say little."""
    chance = random.Random(1)
    gears = [gear for _ in range(100) for gear in answer("gear-train", random_train(chance))["result"]["gears"]]
    states = Counter(gear["state"] for gear in gears)
    assert min(states[state] for state in ("fixed", "free", "locked")) > 20
    assert sum(gear["state"] == "fixed" and "ratio" not in gear for gear in gears) > 5
    assert sum("More is on than is needed" in gear["reason"] for gear in gears) > 5
