"""Byte parity of practice on CPython and in the browser's runtime under Node: the same requests, the same replies.

Usage: ``python -m tests.calc_engine.practice.parity [--count 300]`` from the top of the repository; it prints figures.
"""

from __future__ import annotations

import argparse
import itertools
import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from calc_engine import CATALOGUE
from calc_engine.practice import GEAR_SET, KINDS, answer_for_practice
from tests.calc_engine.practice.conftest import STANDARDS
from tests.calc_engine.practice.random_units import seeded_unit

__all__ = ["differing", "requests"]

ROOT = Path(__file__).parents[3]


def _some_answer(form: list[dict[str, object]]) -> dict[str, object]:
    """An answer that can be read: last options, the cards as they lie, some length."""
    given: dict[str, object] = {}
    for ask in form:
        options = [option["id"] for option in ask.get("options", [])]  # type: ignore[attr-defined]
        given[str(ask["id"])] = options if ask["form"] == "order" else options[-1] if options else f"0.123 {ask['unit']}"
    return given


def requests(count: int) -> list[tuple[str, str]]:
    """Requests that make so many exercises of random units, and mark an answer to each."""
    return list(itertools.islice(_requests(), 2 * count))


def _requests() -> Iterator[tuple[str, str]]:
    for seed in itertools.count():
        unit = seeded_unit(seed) | {"gear_set": {"train": dict(CATALOGUE["gear-train"].example)}}
        standing = [GEAR_SET, "plates", "noise"]
        unit |= {"findings": STANDARDS["findings"], "trees": STANDARDS["trees"]}
        for pack, kind in itertools.product([*standing, *(pack["id"] for pack in unit["packs"])], KINDS):
            asked = {"unit": unit, "pack": pack, "kind": kind, "seed": seed}
            made = json.loads(answer_for_practice("make", json.dumps(asked)))
            if made["exercise"] is not None:
                yield "make", json.dumps(asked)
                yield "mark", json.dumps({**asked, "answer": _some_answer(made["exercise"]["answer_form"])})


def differing(asked: list[tuple[str, str]]) -> list[int]:
    """The places of the requests that the two runtimes answer otherwise."""
    node = shutil.which("node")
    assert node is not None, "Node.js is not installed"
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder, "job.json")
        job.write_text(json.dumps({"root": str(ROOT), "requests": asked}), encoding="utf-8")
        script = str(Path(__file__).with_name("parity.mjs"))
        done = subprocess.run([node, script, str(job)], check=True, capture_output=True, text=True, encoding="utf-8")
    theirs = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(theirs) == len(asked)
    return [
        place for place, (request, reply) in enumerate(zip(asked, theirs, strict=True)) if answer_for_practice(*request) != reply
    ]


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=300)
    made = requests(parser.parse_args().count)
    found = differing(made)
    print(
        f"exercises made and marked in both: {len(made) // 2}; replies compared: {len(made)}; replies that differ: {len(found)}"
    )
    sys.exit(1 if found else 0)
