"""The choice of parts under benches that nobody has: it ends by itself, and no reply leaves a clearance below zero."""

from __future__ import annotations

import json
import random
import time
from collections.abc import Iterator
from typing import Any

from calc_engine import answer
from tests.attack.table import Row, cases

# Seconds of CPython on two slow cores; the page's own limit is 20.
_HOSTILE, _REALISTIC = 10.0, 5.0


def run(share: float) -> Iterator[Row]:
    """Hostile shapes, realistic shapes, and limits that make no sense."""
    yield _timed(
        "choose-parts: hostile shapes up to 12 packs x 16 places x 60 sizes, over 10 s", _hostile, cases(409, share), _HOSTILE
    )
    yield _timed(
        "choose-parts: realistic shapes up to 4 x 12 x 25, over 5 s, or not proved and nothing says so",
        _realistic,
        cases(27_128, share),
        _REALISTIC,
    )
    yield _nonsense(cases(20_000, share))


def _timed(test: str, make: Any, number: int, longest: float) -> Row:
    row = Row(test)
    for seed in range(number):
        request = make(random.Random(seed))
        began = time.process_time()
        reply = answer("choose-parts", request)
        took = time.process_time() - began
        row.tried(_fault(reply, took, longest, proved=make is _realistic, seed=seed))
    return row


def _fault(reply: dict[str, Any], took: float, longest: float, *, proved: bool, seed: int) -> str | None:
    if took > longest:
        return f"seed {seed}: {took:.1f} s"
    if not reply["ok"]:
        return (
            None
            if all(problem["code"] == "too-fine" for problem in reply["problems"])
            else f"seed {seed}: {json.dumps(reply)[:300]}"
        )
    if proved and not reply["result"]["proved"] and not any("proved" in caution for caution in reply["cautions"]):
        return f"seed {seed}: not proved, and nothing says so"
    return None if _no_bound_pack(reply) else f"seed {seed}: a clearance below zero"


def _no_bound_pack(reply: dict[str, Any]) -> bool:
    result = reply["result"]
    solutions = [*result["solutions"], *result.get("nearest", [])]
    return not any(length.startswith("-") for found in solutions for length in found["clearances"].values())


def _bench(
    chance: random.Random, packs: int, places: int, sizes: int, *, finest: int, touched: int, stock: bool
) -> dict[str, Any]:
    names = [f"p{number}" for number in range(packs)]
    return {
        "packs": [_pack(chance, name, finest) for name in names],
        "positions": [
            _place(chance, place, chance.sample(names, chance.randint(1, min(touched, packs))), sizes, finest, stock=stock)
            for place in range(places)
        ],
        "top": chance.choice([1, 5, 50]),
        "prefer": chance.choice(["centred", "fewest-changes"]),
    }


def _pack(chance: random.Random, name: str, finest: int) -> dict[str, Any]:
    low = chance.randint(200, 1500)
    width = chance.choice([1, 10, 50, 300, 500]) if finest > 100 else chance.choice([200, 300, 400, 500])
    return {
        "name": name,
        "clearance": f"{chance.randint(0, 4000) / 1000} mm",
        "limits": {"min": f"{low / 1000} mm", "max": f"{(low + width) / 1000} mm"},
    }


def _place(chance: random.Random, place: int, touches: list[str], sizes: int, finest: int, *, stock: bool) -> dict[str, Any]:
    shared = chance.random() < 0.5
    ids = [f"x{number}" if shared else f"{place}-{number}" for number in range(sizes)]
    choices: list[dict[str, Any]] = [
        {"id": name, "thickness": f"{1 + chance.randint(0, 4 * finest) / finest:.6f} mm"} for name in ids
    ]
    if stock:
        for size in choices:
            size["stock"] = chance.randint(0, 3)
    effect = {name: chance.choice([-1, 1]) for name in touches}
    return {"name": f"o{place}", "fitted": chance.choice(ids), "choices": choices, "effect": effect}


def _hostile(chance: random.Random) -> dict[str, Any]:
    packs, places, sizes = chance.randint(1, 12), chance.randint(8, 16), chance.randint(5, 60)
    finest = chance.choice([100, 1000, 10_000])
    return _bench(chance, packs, places, sizes, finest=finest, touched=packs, stock=chance.random() < 0.5)


def _realistic(chance: random.Random) -> dict[str, Any]:
    return _bench(
        chance,
        chance.randint(1, 4),
        chance.randint(1, 12),
        chance.randint(2, 25),
        finest=chance.choice([20, 50]),
        touched=2,
        stock=False,
    )


def _nonsense(number: int) -> Row:
    row = Row("limits and readings with stray minus signs, a clearance below zero in the reply")
    for seed in range(number):
        chance = random.Random(seed)
        request = _bench(chance, chance.randint(1, 3), chance.randint(1, 3), 4, finest=20, touched=2, stock=False)
        pack = chance.choice(request["packs"])
        for place in chance.sample([("limits", "min"), ("limits", "max"), ("clearance",)], chance.randint(0, 2)):
            *way, last = place
            here = pack[way[0]] if way else pack
            here[last] = f"-{here[last]}"
        reply = answer("choose-parts", request)
        # A sign before nothing changes nothing.
        signs = any(text.startswith("-") and float(text.split()[0]) for text in (pack["clearance"], *pack["limits"].values()))
        fault = None
        if reply["ok"] and (signs or not _no_bound_pack(reply)):
            fault = f"seed {seed}: {json.dumps(request)[:300]}"
        row.tried(fault)
    return row
