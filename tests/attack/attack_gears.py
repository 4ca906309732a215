"""Gear trains that nobody builds: numpy makes the same of every one, and the largest request that is taken ends by itself."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from typing import Any, Final

from calc_engine import answer
from tests.attack.table import Row, cases
from tests.oracles.gear_trains import disagreement, random_train

__all__ = ["run"]

_SEED: Final = 20261128
_SLOW: Final = 10.0


def run(share: float) -> Iterator[Row]:
    """The comparison, and the largest requests.

    Args:
        share: the share of the full number of cases.
    """
    yield _numpy(cases(10_000, share))
    yield _largest(cases(20, share))


def _numpy(number: int) -> Row:
    row, chance = Row("gear-train: random trains against numpy"), random.Random(_SEED)
    for _ in range(number):
        train = random_train(chance)
        found = disagreement(train)
        row.tried(None if found is None else f"{found}: {train}")
    return row


def _largest(number: int) -> Row:
    row, chance = Row(f"gear-train: the largest request, over {_SLOW:g} s"), random.Random(_SEED)
    for _ in range(number):
        request = _large(chance)
        begun = time.monotonic()
        reply = answer("gear-train", request)
        took = time.monotonic() - begun
        row.tried(None if reply["ok"] and took < _SLOW else f"{took:.1f} s, {reply.get('problems')}")
    return row


def _large(chance: random.Random) -> dict[str, Any]:
    """Twelve sets tied to each other by clutches only, with teeth that have nothing in common."""
    teeth = [number for number in range(501, 1000) if all(number % by for by in range(2, 32))]
    sets = [{"name": f"P{at}", "sun": chance.choice(teeth), "ring": chance.choice(teeth)} for at in range(12)]
    members = [f"{each['name']}.{kind}" for each in sets for kind in ("sun", "ring", "carrier")]
    pairs = [chance.sample(members, 2) for _ in range(29)]
    elements = [
        {"name": "B", "holds": chance.choice(members)},
        *({"name": f"C{at}", "joins": pair} for at, pair in enumerate(pairs)),
    ]
    names = [str(element["name"]) for element in elements]
    gears = [{"name": str(at), "on": chance.sample(names, chance.randint(20, 30))} for at in range(40)]
    return {
        "sets": sets,
        "elements": elements,
        "gears": gears,
        "input": members[0],
        "output": members[-1],
        "input_torque": "300 N.m",
    }
