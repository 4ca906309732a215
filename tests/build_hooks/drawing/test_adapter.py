"""From unit data to the drawing: numbers, sides, shared plates, and where the clearance is measured."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_hooks.drawing import DrawnClearance, DrawnPart, draw_exploded, draw_section
from build_hooks.drawing.adapter import linked_stacks, pack_stack
from build_hooks.drawing.marks import marked_box
from build_hooks.drawing.shapes import Line
from build_hooks.library import load
from build_hooks.markdown.html import html_of
from build_hooks.model import Unit
from calc_engine import Element

UNIT = """
name: Oak 2
about: two-speed (invented)
drums:
  drum: {name: Front drum, grooves: [lower, middle, upper]}
parts:
  seal-a: {name: Low inner seal, kind: lip-seal, inner: 60 mm, once_only: true}
  seal-b: {name: Low outer seal, kind: seal, outer: 128 mm}
  seal-outer: {name: High seal, kind: lip-seal}
  seal-c: {name: Odd seal, kind: seal}
  piston: {name: Piston, kind: piston}
  wave: {name: Wave plate, kind: wave, thickness: 1.50 mm ± 0.03, free_height: 2.10 mm}
  steel: {name: Steel plate, kind: steel, thickness: 1.80 mm ± 0.03, look_alikes: [thick-steel]}
  thick-steel: {name: Thick steel plate, kind: steel, thickness: 0.080 in}
  lining: {name: Friction plate, kind: friction, thickness: 1.70 mm ± 0.05}
  middle: {name: Middle plate, kind: reaction, thickness: 5.00 mm}
  backing: {name: Backing plate, kind: backing, thickness: 4.00 mm}
  ring: {name: Ring, kind: snap-ring, thickness: 1.57 mm}
packs:
  high:
    name: High pack
    drum: drum
    stack:
      - {part: middle, side: chamfer up}
      - {repeat: 2, of: [lining, thick-steel]}
      - {measure: Depth to the last plate.}
      - {part: seal-outer, side: lip up}
      - seal-c
      - piston
      - {part: ring, groove: upper}
    clearance: {min: 0.80 mm, max: 1.20 mm, source: FL-2, revision: A}
  low:
    name: Low pack
    drum: drum
    stack:
      - {part: seal-a, side: lip down}
      - seal-b
      - piston
      - wave
      - {repeat: 2, of: [steel, lining]}
      - {part: middle, side: chamfer up, once_only: true}
      - {part: ring, groove: middle, side: either way}
      - {measure: With the dial.}
    clearance: {min: 0.90 mm, max: 1.40 mm, wave: flat, source: FL-1, revision: A}
  loose:
    name: Loose pack
    stack: [steel, lining, backing, {measure: With leaves.}]
    clearance: {min: 0.030 in, max: 0.060 in, source: FL-3, revision: A}
"""


@pytest.fixture(scope="module")
def unit(tmp_path_factory: pytest.TempPathFactory) -> Unit:
    """The unit above, read as any unit is."""
    docs = tmp_path_factory.mktemp("docs")
    (docs / "shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    folder = docs / "units" / "oak-2"
    folder.mkdir(parents=True)
    (folder / "unit.yml").write_text(UNIT, encoding="utf-8")
    library, problems = load(docs)
    assert problems == ()
    assert library is not None
    return library.units["oak-2"]


def test_a_part_carries_what_its_place_says(unit: Unit) -> None:
    """Number, side, groove and care come from the place in the stack; sizes come in millimetres."""
    parts = pack_stack(unit, "low").parts
    assert parts[0] == DrawnPart(
        1, "seal-a", "Low inner seal", "lip-seal", side_mark="lip", side_direction="down", edge="inner", once_only=True
    )
    assert parts[3] == DrawnPart(4, "wave", "Wave plate", "wave", 1.5, 2.1, teeth="outside")
    assert parts[4] == DrawnPart(5, "steel", "Steel plate", "steel", 1.8, teeth="outside", look_alike=True)
    assert parts[8] == DrawnPart(
        9,
        "middle",
        "Middle plate",
        "reaction",
        5.0,
        teeth="outside",
        side_mark="chamfer",
        side_direction="up",
        once_only=True,
        shared=True,
    )
    assert parts[9] == DrawnPart(10, "ring", "Ring", "snap-ring", 1.57, groove="middle", measured_next=True)
    assert pack_stack(unit, "high").parts[2].thickness_mm == pytest.approx(2.032)


def test_a_rounded_edge_is_bold_at_both_corners_of_its_face() -> None:
    """Up it is at the top of the plate, down at its bottom."""
    corners = {}
    for way in ("up", "down"):
        part = DrawnPart(1, "steel", "Steel plate", "steel", side_mark="rounded edge", side_direction=way)
        marks = [shape for shape in marked_box(part, (0, 0, 200, 20), "steel") if isinstance(shape, Line)]
        corners[way] = [sorted({point.y for point in mark.points})[::3] for mark in marks]
    assert corners == {
        "up": [[pytest.approx(11.6), 20], [pytest.approx(11.6), 20]],
        "down": [[0, pytest.approx(8.4)], [0, pytest.approx(8.4)]],
    }


def test_the_part_before_the_measuring_carries_a_sign(unit: Unit) -> None:
    """The drawing says behind which number to measure: before the seals and the piston that lie over the pack."""
    stack = pack_stack(unit, "high")
    assert [part.number for part in stack.parts if part.measured_next] == [5]
    texts = [child[2][0] for child in _texts(draw_section([stack]))]
    assert texts.count("▼ THEN MEASURE") == 1


def _texts(node: Element) -> list[Element]:
    """The texts of a drawing."""
    found = [node] if node[0] == "text" else []
    return [*found, *(text for child in node[2] if isinstance(child, list) for text in _texts(child))]


def test_an_edge_is_read_from_the_diameter_else_from_the_name(unit: Unit) -> None:
    """An inner diameter means the inner edge; a name may say it; else nobody knows."""
    edges = {
        part.part_id: part.edge for pack in ("low", "high") for part in pack_stack(unit, pack).parts if "seal" in part.part_id
    }
    assert edges == {"seal-a": "inner", "seal-b": "outer", "seal-outer": "outer", "seal-c": None}


def test_the_clearance_lies_between_the_pack_and_what_stops_it(unit: Unit) -> None:
    """Under the ring, under the piston that pushes down, or under the last plate; the unit of the limits stands once."""
    assert pack_stack(unit, "low").clearance == DrawnClearance("0.90 to 1.40 mm", 9, 10, 1.15)
    assert pack_stack(unit, "high").clearance == DrawnClearance("0.80 to 1.20 mm", 5, 8, 1.0)
    assert pack_stack(unit, "loose").clearance == DrawnClearance("0.030 to 0.060 in", 2, 3, 1.143)


def test_only_a_pack_at_the_bottom_lies_on_the_floor(unit: Unit) -> None:
    """The lower pack does; the upper one goes on from the plate that it shares."""
    assert pack_stack(unit, "low").on_floor
    assert not pack_stack(unit, "high").on_floor


def test_packs_that_share_a_plate_are_numbered_through(unit: Unit) -> None:
    """Whichever pack is asked for, both come, by their grooves; the shared plate has one number."""
    for asked in ("low", "high"):
        stacks = linked_stacks(unit, asked)
        assert [stack.title for stack in stacks] == ["Low pack", "High pack"]
        assert [part.number for part in stacks[0].parts] == list(range(1, 11))
        assert [part.number for part in stacks[1].parts] == [9, *range(11, 19)]
        assert [part.part_id for stack in stacks for part in stack.parts if part.shared] == ["middle", "middle"]
        assert stacks[1].clearance == DrawnClearance("0.80 to 1.20 mm", 14, 17, 1.0)


def test_a_pack_that_shares_nothing_is_alone(unit: Unit) -> None:
    """Plates of the same kind in two packs are not shared: each pack has its own."""
    assert linked_stacks(unit, "loose") == (pack_stack(unit, "loose"),)
    assert not any(part.shared for part in pack_stack(unit, "loose").parts)


def test_every_pack_of_the_demo_can_be_drawn() -> None:
    """Alone and with the packs of its drum, as a section and exploded, each part once."""
    library, problems = load(Path(__file__).parents[3] / "docs")
    assert problems == ()
    assert library is not None
    for unit in library.units.values():
        for name, pack in unit.packs.items():
            text = html_of(draw_section([pack_stack(unit, name)]))
            assert text.count(" data-part=") == len(pack.physical_stack)
            stacks = linked_stacks(unit, name)
            shared = sum(part.shared for stack in stacks[1:] for part in stack.parts[:1])
            assert html_of(draw_exploded(stacks)).count(" data-part=") == sum(len(stack.parts) for stack in stacks) - shared
