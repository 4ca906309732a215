"""The measured run: many exercises over the demo and over random units, each judged by the oracle; prints figures.

Usage: ``python -m tests.calc_engine.practice.long_run [--count 10000] [--random-only]`` from the top of the repository.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Iterator
from typing import Any

from calc_engine.practice import KINDS, read_unit
from calc_engine.practice.checker import differences
from tests.calc_engine.practice.oracle import check_exercise
from tests.calc_engine.practice.random_units import seeded_unit


def _demo() -> list[dict[str, Any]]:
    """The demo's units as a page gets them; here and not above, since only this needs the build's packages."""
    from tests.calc_engine.practice.demo_units import demo_units

    return list(demo_units().values())


def _units(*, random_only: bool) -> Iterator[tuple[str, int, dict[str, Any]]]:
    """The demo with a new seed, then a new random unit, for ever."""
    demo = [] if random_only else _demo()
    seed = 0
    while True:
        yield from (("demo", seed, data) for data in demo)
        yield "random", seed, json.loads(json.dumps(seeded_unit(seed)))
        seed += 1


def run(count: int, *, random_only: bool) -> bool:
    """Judges so many exercises and prints what was found.

    Returns:
        Whether nothing was wrong.
    """
    made: Counter[tuple[str, str]] = Counter()
    planted: Counter[str] = Counter()
    wrong: list[str] = []
    for source, seed, data in _units(random_only=random_only):
        unit = read_unit(data)
        for pack in data["packs"]:
            for kind in KINDS.values():
                exercise = kind.make(unit, unit.packs[pack["id"]], seed)
                if exercise is None:
                    continue
                made[source, kind.name] += 1
                if kind.name == "fault":
                    fault = exercise.key.planted
                    found = differences(fault.rows, unit.packs[pack["id"]], fault.labels)
                    planted["found" if {one.kind for one in found} == {fault.kind} else "missed"] += 1
                try:
                    check_exercise(data, pack, exercise, kind.mark)
                except (AssertionError, LookupError, ValueError) as fault_found:
                    wrong.append(f"{source} {unit.id}/{pack['id']} {kind.name} seed {seed}: {fault_found!r}"[:300])
        if sum(made.values()) >= count:
            break
    print(f"exercises judged: {sum(made.values())}")
    for (source, name), number in sorted(made.items()):
        print(f"  {source} {name}: {number}")
    print(f"planted mistakes found by the checker: {planted['found']} of {planted.total()}")
    print(f"unanswerable, two right answers, or marked otherwise than the oracle: {len(wrong)}")
    print("\n".join(wrong[:20]))
    return not wrong and not planted["missed"]


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--random-only", action="store_true")
    asked = parser.parse_args()
    sys.exit(0 if run(asked.count, random_only=asked.random_only) else 1)
