"""Flatness against numpy's least squares, scipy's linear program, and a search through every supporting plane in floats."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import linprog

from calc_engine.maths.flatness import Point, fitted_plane, minimum_zone, plan_width_squared, zone_along

Floats = NDArray[np.float64]


def places(most: int, side: int, height: int) -> st.SearchStrategy[list[Point]]:
    """Points on whole places, no two on one, their heights in thousandths."""
    place = st.tuples(st.integers(0, side), st.integers(0, side), st.integers(0, height))
    lists = st.lists(place, min_size=3, max_size=most, unique_by=lambda each: each[:2])
    return lists.map(lambda found: [(Fraction(x), Fraction(y), Fraction(z, 1000)) for x, y, z in found])


def in_floats(points: list[Point]) -> Floats:
    """For numpy."""
    return np.array([[float(figure) for figure in point] for point in points])


def width(points: Floats, normal: Floats) -> float:
    """Of the zone square to a direction; endless for no direction and for one that lies level."""
    size = np.linalg.norm(normal)
    return float("inf") if size < 1e-12 or abs(normal[2]) < 1e-12 else float(np.ptp(points @ normal) / size)


def every_support(points: Floats) -> float:
    """The thinnest zone square to any three points, or to any two pairs of them."""
    pairs = list(combinations(points, 2))
    threes = (np.cross(two - one, three - one) for one, two, three in combinations(points, 3))
    twos = (np.cross(b - a, d - c) for (a, b), (c, d) in combinations(pairs, 2))
    return min(width(points, normal) for normals in (threes, twos) for normal in normals)


@given(places(8, 4, 1000))
def test_the_minimum_zone_is_the_thinnest_of_all_supports(points: list[Point]) -> None:
    """On a coarse grid with steep heights, where many points lie in one line or plane."""
    assume(plan_width_squared(points) > 0)
    assert float(minimum_zone(points).width) == pytest.approx(every_support(in_floats(points)), rel=1e-9, abs=1e-12)


@given(places(60, 1000, 50))
def test_the_minimum_zone_of_a_flat_face_agrees_with_a_linear_program(points: list[Point]) -> None:
    """Least t with low <= z - a x - b y <= low + t, straight up; slopes are too small for that to differ from square to the plane."""
    assume(plan_width_squared(points) > 100)
    x, y, z = in_floats(points).T
    one, none = np.ones_like(x), np.zeros_like(x)
    # The unknowns are a, b, low, t: a x + b y + low <= z, and z <= a x + b y + low + t.
    rows = np.concatenate([np.column_stack([x, y, one, none]), np.column_stack([-x, -y, -one, -one])])
    found = linprog(
        [0, 0, 0, 1], A_ub=rows, b_ub=np.concatenate([z, -z]), bounds=[(None, None)] * 3 + [(0, None)], method="highs"
    )
    assert float(minimum_zone(points).width) == pytest.approx(found.fun, rel=1e-4, abs=1e-6)


@given(places(20, 30, 1000))
def test_the_fitted_plane_agrees_with_numpy(points: list[Point]) -> None:
    """And the zone along it is never thinner than the thinnest."""
    assume(plan_width_squared(points) > 0)
    x, y, z = in_floats(points).T
    found, *_ = np.linalg.lstsq(np.column_stack([x, y, np.ones_like(x)]), z, rcond=None)
    ours = fitted_plane(points)
    assert [float(ours.a), float(ours.b), float(ours.c)] == pytest.approx(list(found), rel=1e-7, abs=1e-9)
    assert zone_along(points, ours).width >= minimum_zone(points).width
