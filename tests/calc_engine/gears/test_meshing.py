"""Teeth that cannot mesh, and planets that cannot be spaced evenly."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine import mesh_problems

MESH = "Count the teeth again: ring = sun + 2 × planet."
SPACING = "Count planets and teeth again."


@pytest.mark.parametrize(
    ("teeth", "told"),
    [
        ({"sun": 30, "ring": 72, "planet": 21, "planets": 3}, []),
        ({"sun": 30, "ring": 72}, []),
        ({"sun": 30, "ring": 71, "pairs": True}, []),
        ({"sun": 30, "ring": 70, "planet": 21}, [("ring", "cannot-mesh", "A sun of 30 and planets of 21 teeth need a ring of 72, not of 70.", MESH)]),
        ({"sun": 30, "ring": 71}, [("ring", "cannot-mesh", "No planet runs between a sun of 30 and a ring of 71 teeth: half their difference is not whole.", MESH)]),
        ({"sun": 30, "ring": 30}, [("ring", "cannot-mesh", "The ring has 30 teeth, no more than the sun with 30.", "Count again: the planets run between sun and ring.")]),
        ({"sun": 30, "ring": 72, "planets": 4}, [("planets", "uneven-planets", "4 planets cannot be spaced evenly: sun + ring = 102 does not divide by 4.", SPACING)]),
        ({"sun": 30, "ring": 72, "planets": 4, "pairs": True}, [("planets", "uneven-planets", "4 pairs of planets cannot be spaced evenly: ring − sun = 42 does not divide by 4.", SPACING)]),
        ({"sun": 30, "ring": 72, "planets": 3, "pairs": True}, []),
    ],
)  # fmt: skip
def test_each_problem_is_at_its_teeth(teeth: dict[str, Any], told: list[tuple[str, str, str, str]]) -> None:
    """With its code, message and remedy."""
    assert [(each.field, each.code, each.message, each.remedy) for each in mesh_problems(**teeth)] == told


def test_all_is_told_at_once() -> None:
    """A ring that is wrong may be wrong for planet and spacing."""
    assert [each.code for each in mesh_problems(sun=30, ring=71, planet=20, planets=3)] == ["cannot-mesh", "uneven-planets"]


@given(st.integers(10, 60), st.integers(10, 40), st.integers(2, 6))
def test_planets_that_are_cut_for_their_place_fit(sun: int, planet: int, planets: int) -> None:
    """Geometry: the centre of a planet is as far from the sun's as from the ring's, and the planets stand at whole teeth."""
    ring = sun + 2 * planet
    uneven = [] if (sun + ring) % planets == 0 else ["uneven-planets"]
    assert [each.code for each in mesh_problems(sun=sun, ring=ring, planet=planet, planets=planets)] == uneven
