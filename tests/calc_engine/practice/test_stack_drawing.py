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
    assert "H116" in inside[2][1][2][1][1]["d"]
    assert "H108" in elsewhere[2][1][2][1][1]["d"]
