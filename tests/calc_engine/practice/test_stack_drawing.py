"""The drawn stack: every part once, number 1 at the bottom, and all that is drawn also in words."""

from __future__ import annotations

from typing import Any

import pytest

from calc_engine.practice.part_kinds import PART_KINDS
from calc_engine.practice.seen import Row
from calc_engine.practice.stack_drawing import stack_drawing
from calc_engine.practice.unit import Part


def _items(rows: list[Row]) -> list[Any]:
    drawn: Any = stack_drawing(rows, {row.part.id: row.part.name for row in rows})
    return drawn[2][1][2]


def test_number_one_is_at_the_bottom() -> None:
    """The list runs downwards from the last part to the first, with the numbers that they went in by."""
    items = _items(
        [Row(Part("a", "A", "steel")), Row(Part("b", "B", "friction")), Row(Part("c", "C", "snap-ring"), groove="top")]
    )
    assert [item[1]["value"] for item in items] == ["3", "2", "1"]
    assert [item[2][2][2][0] for item in items] == ["C · top groove", "B", "A"]


@pytest.mark.parametrize("kind", PART_KINDS)
def test_every_kind_has_a_section(kind: str) -> None:
    """Every kind of part is drawn with the wall and a body of its own, in whole drawing units."""
    (item,) = _items([Row(Part("a", "A", kind))])
    section = item[2][1]
    assert section[0] == "svg"
    assert len(section[2]) >= 2
    assert all("." not in path[1]["d"] for path in section[2])


def test_linings_and_steel_are_hatched_otherwise() -> None:
    """A lining is crossed both ways, steel one way, a wave plate is a wave, a piston is open."""
    strokes = {}
    for kind in ("friction", "steel", "piston"):
        (item,) = _items([Row(Part("a", "A", kind))])
        strokes[kind] = item[2][1][2][-1][1]["d"]
    assert "l12 12" in strokes["friction"]
    assert "l12 -12" in strokes["friction"]
    assert "l12 12" not in strokes["steel"]
    assert strokes["piston"] == ""


@pytest.mark.parametrize("mark", ["chamfer", "dimple", "lip", "step", "tooth", "dish", "flat", "paint", "rounded edge"])
def test_every_way_round_is_drawn_otherwise(mark: str) -> None:
    """Up, down, in and out give four different signs for each mark, and the words say it too."""
    signs = set()
    for way in ("up", "down", "in", "out"):
        (item,) = _items([Row(Part("a", "A", "backing"), side=f"{mark} {way}")])
        sign = item[2][1][2][-1]
        assert sign[1]["class"] == f"practice-sign practice-sign-{mark.replace(' ', '-')}"
        assert item[2][2][2][0] == f"A · {mark} {way}"
        signs.add(sign[1]["d"])
    assert len(signs) == 4


def test_a_ring_crosses_the_wall_only_in_a_groove() -> None:
    """A ring in a groove of the drum stands in the notched wall; one that sits elsewhere does not reach through."""
    inside, elsewhere = _items([Row(Part("a", "A", "snap-ring"), groove="top"), Row(Part("b", "B", "snap-ring"))])[::-1]
    assert inside[2][1][2][0][1]["d"] != elsewhere[2][1][2][0][1]["d"]
    assert inside[2][1][2][1][1]["d"].startswith("M4 ")
    assert elsewhere[2][1][2][1][1]["d"].startswith("M12 ")


def test_the_wall_is_on_the_left_as_in_the_drawings_of_the_packs() -> None:
    """Steel plates reach further to the wall than friction plates; what looks in points to the right."""
    steel, friction, turned = _items(
        [Row(Part("a", "A", "backing"), side="lip in"), Row(Part("b", "B", "friction")), Row(Part("c", "C", "steel"))]
    )
    assert steel[2][1][2][0][1]["d"] == "M10 0V26"
    assert steel[2][1][2][1][1]["d"] == "M12 7H92V19H12z"
    assert friction[2][1][2][1][1]["d"] == "M28 7H108V19H28z"
    assert turned[2][1][2][-1][1]["d"].startswith("M92 9l5 ")


def test_a_wave_plate_is_flat_and_carries_a_sign() -> None:
    """Its waves run round the drum, so that its section is a plain band; a wave line stands on it instead of hatch."""
    (item,) = _items([Row(Part("a", "A", "wave"))])
    assert [(path[1]["class"], path[1]["d"]) for path in item[2][1][2][1:]] == [
        ("practice-steel", "M12 7H92V19H12z"),
        ("practice-wave", "M28 13q4 -8 8 0t8 0q4 -8 8 0t8 0q4 -8 8 0t8 0"),
    ]
