"""The order of a pack and of a whole drum: every part once, each place to measure where it belongs."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_hooks.library import load
from build_hooks.model import PartStep, Step, Unit, drum_folder, drum_steps, pack_steps, parts_in

UNIT = """
name: Oak 2
drums:
  drum:
    name: Drum
    grooves: [lower, upper]
    order: [{pack: low, last: ring}, {pack: high, last: lining}, {pack: low, first: hub}, {pack: high, first: high-hub}]
  empty: {name: Empty drum}
parts:
  steel: {name: Steel, kind: steel, thickness: 1.80 mm}
  lining: {name: Lining, kind: friction, thickness: 1.70 mm}
  middle: {name: Middle plate, kind: reaction, thickness: 5.00 mm}
  ring: {name: Ring, kind: snap-ring, thickness: 1.57 mm}
  cover: {name: Cover ring, kind: snap-ring, thickness: 1.57 mm}
  hub: {name: Hub, kind: hub}
  high-hub: {name: High hub, kind: hub}
packs:
  high:
    name: High pack
    drum: drum
    stack: [middle, {repeat: 2, of: [steel, lining]}, high-hub, {part: cover, groove: upper}, {measure: With leaves.}]
    clearance: {min: 0.80 mm, max: 1.20 mm, source: FL-2, revision: A}
  low:
    name: Low pack
    drum: drum
    stack: [steel, lining, middle, {part: ring, groove: lower}, {measure: With the dial.}, hub]
    clearance: {min: 0.90 mm, max: 1.40 mm, source: FL-1, revision: A}
  cavity:
    name: Cavity
    stack: [{measure: The empty cavity.}, steel, lining]
    clearance: {min: 0.90 mm, max: 1.40 mm, method: parts, source: FL-1, revision: A}
"""


@pytest.fixture
def unit(tmp_path: Path) -> Unit:
    """The unit above."""
    (tmp_path / "units" / "oak-2").mkdir(parents=True)
    (tmp_path / "units" / "oak-2" / "unit.yml").write_text(UNIT, encoding="utf-8")
    (tmp_path / "shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    library, problems = load(tmp_path)
    assert problems == ()
    assert library is not None
    return library.units["oak-2"]


def told(steps: tuple[Step, ...]) -> list[str]:
    """Each step in a few letters."""
    return [
        f"{step.number} {step.entry.part.id}{' again' if step.already_in else ''}"
        if isinstance(step, PartStep)
        else f"measure {step.pack.id} after {step.parts_in}"
        for step in steps
    ]


def test_a_drum_goes_together_in_the_order_that_it_says(unit: Unit) -> None:
    """Pieces of packs in turn under one run of numbers; a shared plate keeps its number, and the place to measure follows its part."""
    steps = drum_steps(unit, unit.drums["drum"])
    assert told(steps) == [
        "1 steel", "2 lining", "3 middle", "4 ring", "measure low after 4", "3 middle again", "5 steel", "6 lining", "7 steel", "8 lining",
        "9 hub", "10 high-hub", "11 cover", "measure high after 11",
    ]  # fmt: skip
    assert parts_in(steps) == 11
    assert drum_folder(unit.drums["drum"]) == "drum_drum"


def test_a_pack_goes_together_in_the_order_of_its_stack(unit: Unit) -> None:
    """A cavity is measured before its first part; a drum without an order has no steps."""
    assert told(pack_steps(unit.packs["cavity"])) == ["measure cavity after 0", "1 steel", "2 lining"]
    assert told(pack_steps(unit.packs["low"])) == ["1 steel", "2 lining", "3 middle", "4 ring", "measure low after 4", "5 hub"]
    assert drum_steps(unit, unit.drums["empty"]) == ()
