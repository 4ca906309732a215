"""A few hundred exercises judged by the oracle, which knows nothing of the code that made them; `long_run` judges ten thousand."""

from __future__ import annotations

import json
from typing import Any

import pytest

from calc_engine.practice import KINDS, read_unit
from tests.calc_engine.practice.oracle import check_exercise
from tests.calc_engine.practice.parity import differing, requests
from tests.calc_engine.practice.random_units import seeded_unit

GEAR_KINDS = ("applied", "ratio", "suspect")
STANDARDS_KINDS = ("judge", "next")
PACK_KINDS = [kind for kind in KINDS if kind not in {*GEAR_KINDS, *STANDARDS_KINDS}]


def _judge(data: dict[str, Any], kind: str, seed: int) -> int:
    """Judges an exercise of every pack; how many there were."""
    unit, made = read_unit(data), 0
    for pack in data["packs"]:
        exercise = KINDS[kind].make(unit, unit.packs[pack["id"]], seed)
        assert (exercise is None) == (KINDS[kind].why_not(unit, unit.packs[pack["id"]]) is not None)
        if exercise is not None:
            check_exercise(data, pack, exercise, KINDS[kind].mark)
            made += 1
    return made


@pytest.mark.parametrize("kind", PACK_KINDS)
def test_exercises_of_the_demo_are_fair(demo: dict[str, dict[str, Any]], kind: str) -> None:
    """Every pack of the demo, two seeds: answerable, one right answer, the mistake found, marked as the engine says."""
    made = sum(_judge(data, kind, seed) for data in demo.values() for seed in (101, 102))
    # Six packs of the demo are measured by feeler: no gauge with a scale is read there.
    assert made == (12 if kind == "gauge" else 24)


@pytest.mark.parametrize("kind", PACK_KINDS)
def test_exercises_of_random_units_are_fair(kind: str) -> None:
    """Thirty random units, as awkward as sound units can be: the same. Few of them have a shop that owns a gauge that is drawn."""
    units, least = (200, 3) if kind == "gauge" else (30, 10)
    assert sum(_judge(json.loads(json.dumps(seeded_unit(seed))), kind, seed) for seed in range(5000, 5000 + units)) > least


def test_the_browser_answers_to_the_byte_what_cpython_answers() -> None:
    """Twelve exercises made and marked in both runtimes give the same bytes; `parity` compares three hundred."""
    assert differing(requests(12)) == []
