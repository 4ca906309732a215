"""Linear equations: what every solution agrees on, exactly."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from calc_engine.maths.linear import Equation, solve

FIGURES = st.fractions(min_value=-9, max_value=9, max_denominator=7)


def equation(constant: Any = 0, **coefficients: Any) -> Equation[str]:
    """An equation with whole or broken figures."""
    return Equation({name: Fraction(value) for name, value in coefficients.items()}, Fraction(constant))


def test_an_unknown_that_the_equations_leave_open_is_absent() -> None:
    """And so is one that hangs on it; what hangs on neither is there."""
    assert solve([equation(1, x=1, y=1), equation(6, z=4)]) == {"z": Fraction(3, 2)}
    assert solve([equation(1, x=1, y=1), equation(6, z=4), equation(0, y=3)]) == {"x": 1, "y": 0, "z": Fraction(3, 2)}


def test_equations_that_contradict_each_other_have_no_solution() -> None:
    """Also when it takes several to see it."""
    assert solve([equation(1, x=1), equation(2, x=1)]) is None
    assert solve([equation(1, x=1, y=1), equation(1, y=1, z=1), equation(1, x=1, z=-1)]) is None
    assert solve([equation(1)]) is None


def test_nothing_determines_nothing() -> None:
    """No equation, or one that says nothing."""
    assert solve([]) == {}
    assert solve([equation(0), equation(0, x=0)]) == {}


@given(
    st.lists(st.lists(FIGURES, min_size=4, max_size=4), min_size=1, max_size=6),
    st.lists(FIGURES, min_size=4, max_size=4),
    st.randoms(),
)
def test_what_is_found_is_what_the_equations_were_made_from(
    rows: list[list[Fraction]], values: list[Fraction], chance: Any
) -> None:
    """In any order of equations, and each row is a sum of what is found wherever all of it is."""
    known = dict(zip("abcd", values, strict=True))
    made = [
        Equation(dict(zip("abcd", row, strict=True)), sum((a * b for a, b in zip(row, values, strict=True)), Fraction(0)))
        for row in rows
    ]
    found = solve(made)
    assert found is not None
    assert all(known[name] == value for name, value in found.items())
    chance.shuffle(made)
    assert solve(made) == found
