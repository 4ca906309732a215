"""The page of a drum that the build makes: what is wrong with it is told where its data are written."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Final

import pytest
from bs4 import BeautifulSoup

from build_hooks.edition import prepare

SHOP: Final = """\
name: Quay Lane
gauges: {dial: {name: Dial, kind: dial, resolution: 0.01 mm, max_error: 0.02 mm}}
"""
UNIT: Final = """\
name: Oak 2
drums: {drum: {name: Drum}}
parts:
  seal: {name: Seal, kind: seal}
  lining: {name: Friction plate, kind: friction, thickness: 1.80 mm}
  ring: {name: Ring, kind: snap-ring, thickness: 1.50 mm}
packs:
  low:
    name: Low pack
    drum: drum
    stack: [{measure: Each part by micrometer.}, lining, lining, ring]
    clearance: {min: 0.90 mm, max: 1.40 mm, method: parts, source: FL-1, revision: A}
  high:
    name: High pack
    drum: drum
    stack: [seal, {measure: With the dial.}]
    clearance: {min: 0.80 mm, max: 1.20 mm, method: dial, source: FL-2, revision: A}
"""
PAGE: Final = "bench/oak-2/drum.md"


@pytest.fixture
def docs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A manual of one drum, in the current folder."""
    monkeypatch.chdir(tmp_path)
    folder = Path("docs")
    (folder / "units" / "oak-2").mkdir(parents=True)
    (folder / "shop.yml").write_text(SHOP, encoding="utf-8")
    return folder


def told(docs: Path, unit: str) -> list[str]:
    """The problems of the manual."""
    (docs / "units" / "oak-2" / "unit.yml").write_text(unit, encoding="utf-8")
    return [str(problem) for problem in prepare(docs, date(2026, 9, 1))[1].in_order()]


def test_a_page_that_cannot_be_made_is_blamed_on_its_data(docs: Path) -> None:
    """The author has no page to mend, but the pack: its line in unit.yml."""
    unit = UNIT.replace(", lining, lining, ring]", ", seal]")
    message = f"The page {PAGE} cannot be made. No part of the pack “Low pack” has a thickness, so the form by parts has no worked example."
    remedy = "Give its parts a thickness, or add example: with cavity and parts to the block."
    assert told(docs, unit) == [f"docs/units/oak-2/unit.yml:8:3: {message} {remedy}"]


def test_the_form_of_a_pack_whose_parts_are_measured_lists_them(docs: Path) -> None:
    """Each part with its thickness and how many there are, in a cavity that puts the pack on the centre of its limits."""
    assert told(docs, UNIT) == []
    edition, _ = prepare(docs, date(2026, 9, 1))
    assert edition is not None
    made = BeautifulSoup("".join(edition.pages.by_path[PAGE].blocks), "html.parser")
    working = [line.text for line in made.select("#calc-oak-2-low .bench-working li")]
    assert working[:3] == [
        "Friction plate: 2 × 1.80 = 3.60 mm",
        "stack = 3.60 + 1.50 = 5.10 mm",
        "cavity − stack = 6.25 − 5.10 = 1.15 mm",
    ]
