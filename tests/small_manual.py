"""A manual of two units that is sound, and random edits that leave it so."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

__all__ = ["edits", "small_manual"]

_SHOP: Final = """\
name: Quay Lane
gauges:
  dial: {{name: Dial, kind: dial, resolution: 0.01 mm, max_error: 0.02 mm}}
words:
  wave: {{meaning: A plate with {number} waves.}}
"""
_UNIT: Final = """\
name: {name}
parts:
  lining: {{name: Lining plate, kind: friction, thickness: 1.70 mm}}
  plate: {{name: Steel plate, kind: steel, thickness: {steel} mm}}
  wave: {{name: Wave, kind: wave, thickness: 1.50 mm, free_height: 2.10 mm}}
  ring-a: {{name: Thin ring, kind: snap-ring, thickness: 1.50 mm}}
  ring-b: {{name: Thick ring, kind: snap-ring, thickness: 1.70 mm}}
drums:
  drum: {{name: Drum}}
packs:
  main:
    name: Main pack
    drum: drum
    stack: [wave, {{repeat: 2, of: [plate, lining]}}, ring-a, {{measure: With the dial.}}]
    clearance: {{min: 0.80 mm, max: {most} mm, wave: flat, at: 3 positions, method: dial, source: standard 1, revision: A}}
selective:
  ring: {{name: Ring, choices: [ring-a, ring-b], tightens: [main]}}
"""
_UNITS: Final = ("oak-1", "elm-2")
_OWN: Final = "```spec\npack: main\n```\n\n```stack\npack: main\n```\n"
_OF_BOTH: Final = "```spec\nunit: oak-1\npack: main\n```\n\n```stack\nunit: elm-2\npack: main\n```\n"


def small_manual(docs: Path) -> None:
    """Writes it into a folder that is not there yet."""
    for unit in _UNITS:
        (docs / "units" / unit).mkdir(parents=True)
        _write_unit(docs, unit, "Oak 1" if unit == "oak-1" else "Elm 2", "1.80", "1.20")
        _write_page(docs, f"units/{unit}/pack.md", "The pack", "The wave goes in first.", _OWN)
    (docs / "learning").mkdir()
    _write_shop(docs, 3)
    _write_page(docs, "index.md", "Start", "See [the pack](units/oak-1/pack.md) and its wave.", _OF_BOTH)


def edits(docs: Path, chance: random.Random, count: int) -> Iterator[Callable[[], None]]:
    """Edits of it, each to be called before the next is asked for.

    Args:
        docs: its folder.
        chance: where the edits come from.
        count: how many.
    """

    def text() -> None:
        path = chance.choice(["index.md", "units/oak-1/pack.md", "units/elm-2/pack.md"])
        title = chance.choice(["Start", "The pack", "Pack & &lt;drum>"])
        blocks = _OF_BOTH if path == "index.md" else _OWN
        _write_page(docs, path, title, f"{chance.random()} of the wave.", blocks)

    def figure() -> None:
        unit = chance.choice(_UNITS)
        name = chance.choice(["Oak 1", "Elm 2", "Ash 3"])
        _write_unit(docs, unit, name, chance.choice(["1.80", "1.85"]), chance.choice(["1.20", "1.25", "1.30"]))

    def shop() -> None:
        _write_shop(docs, chance.randint(2, 9))

    def new_page() -> None:
        _write_page(docs, f"units/{chance.choice(_UNITS)}/new-{chance.randint(1, 3)}.md", "New", "Nothing yet.", _OWN)

    def gone_page() -> None:
        for path in sorted(docs.glob("units/*/new-*.md"))[:1]:
            path.unlink()

    kinds = (text, figure, shop, new_page, gone_page)
    for at in range(count):
        yield kinds[at] if at < len(kinds) else chance.choice(kinds)


def _write_shop(docs: Path, number: int) -> None:
    (docs / "shop.yml").write_text(_SHOP.format(number=number), encoding="utf-8")


def _write_unit(docs: Path, unit: str, name: str, steel: str, most: str) -> None:
    (docs / "units" / unit / "unit.yml").write_text(_UNIT.format(name=name, steel=steel, most=most), encoding="utf-8")


def _write_page(docs: Path, path: str, title: str, text: str, blocks: str) -> None:
    (docs / path).write_text(f"# {title}\n\n{text}\n\n{blocks}", encoding="utf-8")
