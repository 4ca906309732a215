"""One fault in one file is one line: what only follows from it is not told beside it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from build_hooks.edition import prepare

SHOP = """\
name: Quay Lane
gauges:
  bench-dial: {name: Dial, kind: dial, resolution: 0.01 mm, max_error: 0.02 mm}
tools:
  sleeve: {name: Sleeve}
"""
UNIT = """\
name: Oak 2
parts:
  steel: {name: Steel plate, kind: steel, thickness: 1.80 mm}
  friction: {name: Friction plate, kind: friction, thickness: 1.60 mm}
  hub: {name: Hub, kind: hub}
packs:
  low:
    name: Low
    stack: [hub, steel, friction, steel, {measure: With leaves.}]
    clearance: {min: 0.9 mm, max: 1.4 mm, source: Invented, revision: A, gauge: bench-dial}
    drum: drum
drums: {drum: {name: Drum}}
"""
PATH = """\
name: First week
about: What a new starter does.
edition: A
steps:
  - {id: read, page: bench.md}
  - {id: order, practice: {kind: order, unit: oak-2, pack: low, count: 3}}
"""
PAGE = """\
# Bench

[a](learning/index.md) [b](learning/first.md) [c](learning/record.md) [d](words/index.md) [e](other.md) [f](bench/oak-2/drum.md)

```tools
gauges: [bench-dial]
tools: [sleeve]
```

```stack
unit: oak-2
pack: low
```

```exercise
kind: order
unit: oak-2
pack: low
```
"""
FRONT = "---\nunit: oak-2\n---\n\n```stack\npack: low\n```\n"
FILES = {
    "shop.yml": SHOP,
    "units/oak-2/unit.yml": UNIT,
    "learning/first.yml": PATH,
    "learning/second.yml": PATH.replace("First", "Second").replace("steps:", "needs: [first]\nsteps:"),
    "bench.md": PAGE,
    "other.md": FRONT,
}


def told(folder: Path, changed: dict[str, str | bytes | None]) -> list[str]:
    """The lines of a manual with some of its files changed, or left out."""
    for name, text in {**FILES, **changed}.items():
        if text is None:
            continue
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    _, problems = prepare(folder, date(2026, 11, 25))
    return [str(problem).removeprefix(f"{folder.as_posix()}/") for problem in problems]


def test_the_manual_is_sound(tmp_path: Path) -> None:
    """So every line below comes from the one change."""
    assert told(tmp_path, {}) == []


CASES: list[tuple[dict[str, str | bytes | None], str]] = [
    (
        {"shop.yml": SHOP.replace("gauges:", "guages:")},
        "shop.yml:2:1: Unknown key “guages”. Did you mean “gauges”?",
    ),
    (
        {"shop.yml": f"{SHOP}colour: red\n"},
        "shop.yml:6:1: Unknown key “colour”. Keys here: name, place, invented, units, gauges, consumables, tools, waits, seniors, screens, words, jobs.",
    ),
    (
        {"units/oak-2/unit.yml": UNIT.replace("kind: hub", "kind: hubb")},
        "units/oak-2/unit.yml:5:26: “hubb” is not a kind of part. Did you mean “hub”?",
    ),
    (
        {"units/oak-2/unit.yml": None, "units/oak-2/unit.yaml": UNIT},
        "units/oak-2/unit.yaml:1:1: This file is called unit.yaml. Rename it to unit.yml.",
    ),
    (
        {"learning/first.yml": PATH.replace("about:", "abuot:")},
        "learning/first.yml:2:1: Unknown key “abuot”. Did you mean “about”?",
    ),
    (
        {"learning/first.yml": None, "learning/first.yaml": PATH},
        "learning/first.yaml:1:1: This file is called first.yaml. Rename it to first.yml.",
    ),
    (
        {"bench.md": PAGE.encode() + b"\xff\n"},
        "bench.md:20:1: The byte 0xFF here is not UTF-8. Save the file as UTF-8.",
    ),
    (
        {"other.md": FRONT.replace("unit: oak-2", "unit: oak-2\ntilte: x")},
        "other.md:3:1: Unknown key “tilte”. Did you mean “title”?",
    ),
    (
        {"bench.md": PAGE.replace("pack: low\n```\n\n```exercise", "pack: low\n\n```exercise")},
        "bench.md:10:1: The stack block has no end. Put the closing marks on a line of their own behind it.",
    ),
]


@pytest.mark.parametrize(("changed", "line"), CASES)
def test_one_fault_is_one_line(changed: dict[str, str | bytes | None], line: str, tmp_path: Path) -> None:
    """Whichever file it is in, and whatever names what that file says."""
    assert told(tmp_path, changed) == [line]
