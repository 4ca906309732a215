"""Answers to a fixed set of requests, as digests: `python -m tests.calc_engine.recorded` records them anew.

Our own output is no proof that an answer is right; it only shows that an answer has changed, so that the version moves with it.
"""

from __future__ import annotations

import copy
import hashlib
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from calc_engine import CATALOGUE, VERSION, answer, encode

__all__ = ["FILE", "digests", "record", "recorded"]

FILE: Final = Path(__file__).with_name("recorded_answers.json")


def requests() -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Each calculation's example, in both systems of units, with each field left out, and with each field spoilt."""
    for name, calculation in CATALOGUE.items():
        example = copy.deepcopy(dict(calculation.example))
        for units in ("metric", "inch"):
            yield name, f"in {units} units", {**example, "units": units}
        for field in example:
            yield name, f"without {field}", {key: value for key, value in example.items() if key != field}
            yield name, f"with a wrong {field}", {**example, field: "wrong"}


def digests() -> dict[str, str]:
    """For each request, the digest of its reply without the version."""
    found = {}
    for name, what, request in requests():
        reply = {key: value for key, value in answer(name, request).items() if key != "engine"}
        found[f"{name}, {what}"] = hashlib.sha256(encode(reply).encode()).hexdigest()[:16]
    return found


def recorded() -> dict[str, Any]:
    """What the file holds: ``version`` and ``digests``."""
    stored: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8"))
    return stored


def record() -> str:
    """Records the answers anew, and tells of which calculations any were added, changed or removed."""
    before, now = recorded(), digests()
    FILE.write_text(json.dumps({"version": VERSION, "digests": now}, indent=1) + "\n", encoding="utf-8")
    changed = {
        name.split(",")[0] for name in before["digests"].keys() | now.keys() if before["digests"].get(name) != now.get(name)
    }
    return f"Version {before['version']} to {VERSION}. Other answers from: {', '.join(sorted(changed)) or 'none'}."


if __name__ == "__main__":
    sys.stdout.write(f"{record()}\n")
