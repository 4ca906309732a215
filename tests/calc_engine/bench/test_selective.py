"""One selective part: what each size gives, and the one to fit."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.bench.selective import Choice, ChoiceOutcome, choice_lines, find_fitted, outcomes, size_names, to_fit
from calc_engine.bench.verdict import Limits, judge
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import choose_units
from calc_engine.quantities.units import BY_NAME

MM = choose_units([("limits.min", BY_NAME["mm"])], None)
LIMITS = Limits(min=Fraction("0.9"), max=Fraction("1.4"))
THICKNESSES = st.lists(st.decimals(min_value="0.5", max_value=3, places=2).map(Fraction), min_size=1, max_size=8, unique=True)
CLEARANCES = st.decimals(min_value=0, max_value=3, places=2).map(Fraction)


def kit(*thicknesses: str | Fraction, stock: dict[str, int] | None = None) -> tuple[Choice, ...]:
    """Sizes a, b, c ... of the given thicknesses."""
    return tuple(
        Choice(id="abcdefgh"[index], thickness=Fraction(thickness), stock=(stock or {}).get("abcdefgh"[index]))
        for index, thickness in enumerate(thicknesses)
    )


def chosen(clearance: str, fitted: str, choices: tuple[Choice, ...], limits: Limits = LIMITS) -> str | None:
    """The size to fit for a clearance measured with the fitted one."""
    return to_fit(outcomes(Fraction(clearance), fitted, choices, limits, -1), choices, fitted, limits)


def test_each_size_moves_the_clearance_by_its_difference() -> None:
    """A thicker part tightens by as much as it is thicker than the fitted one; exact, and judged exactly."""
    found = outcomes(Fraction("1.35"), "b", kit("1.37", "1.57", "1.78", "2.03"), LIMITS, -1)
    assert found == (
        ChoiceOutcome(id="a", thickness=Fraction("1.37"), clearance=Fraction("1.55"), verdict="high"),
        ChoiceOutcome(id="b", thickness=Fraction("1.57"), clearance=Fraction("1.35"), verdict="in"),
        ChoiceOutcome(id="c", thickness=Fraction("1.78"), clearance=Fraction("1.14"), verdict="in"),
        ChoiceOutcome(id="d", thickness=Fraction("2.03"), clearance=Fraction("0.89"), verdict="low"),
    )


def test_a_part_that_loosens_moves_it_the_other_way() -> None:
    """Effect 1."""
    found = outcomes(Fraction("1"), "a", kit("1", "1.3"), LIMITS, 1)
    assert [outcome.clearance for outcome in found] == [1, Fraction("1.3")]


@pytest.mark.parametrize(
    ("clearance", "fitted", "thicknesses", "stock", "size"),
    [
        ("1.35", "b", ("1.37", "1.57", "1.78", "1.98"), {}, "c"),
        ("1.35", "b", ("1.37", "1.57", "1.78", "1.98"), {"c": 0}, "b"),
        ("1.35", "b", ("1.37", "1.57", "1.78", "1.98"), {"c": 0, "b": 0}, "b"),
        ("1.35", "b", ("1.37", "1.57", "1.78", "1.98"), {"c": 1}, "c"),
        ("1.15", "a", ("1", "1.1"), {}, "a"),
        ("1.25", "b", ("0.8", "1", "1.2"), {}, "b"),
        ("1.05", "b", ("0.8", "1", "1.2"), {}, "b"),
        ("1.25", "c", ("1.2", "1.2", "1"), {}, "c"),
        ("1.45", "c", ("1.2", "1.4", "1"), {}, "a"),
        ("1.4", "a", ("1",), {}, "a"),
        ("1.41", "a", ("1",), {}, None),
        ("3", "a", ("1", "1.1"), {}, None),
    ],
)
def test_the_size_to_fit_is_at_hand_and_nearest_the_centre(
    clearance: str, fitted: str, thicknesses: tuple[str, ...], stock: dict[str, int], size: str | None
) -> None:
    """In the limits; none on the shelf cannot be fitted unless it is; on a tie the fitted one, then the first."""
    assert chosen(clearance, fitted, kit(*thicknesses, stock=stock)) == size


@given(CLEARANCES, THICKNESSES, st.data())
def test_no_other_size_at_hand_lies_nearer_the_centre(
    clearance: Fraction, thicknesses: list[Fraction], data: st.DataObject
) -> None:
    """Against trying every size by hand."""
    choices = kit(*thicknesses)
    fitted = data.draw(st.sampled_from(choices))
    found = outcomes(clearance, fitted.id, choices, LIMITS, -1)
    size = to_fit(found, choices, fitted.id, LIMITS)
    values = {choice.id: clearance - choice.thickness + fitted.thickness for choice in choices}
    within = {name: abs(value - LIMITS.centre) for name, value in values.items() if judge(value, LIMITS) == "in"}
    assert (size is None) == (not within)
    assert size is None or within[size] == min(within.values())


def test_a_list_of_sizes_is_checked() -> None:
    """Each size once, and the fitted one among them; at most eight are named."""
    assert list(find_fitted("a", kit("1", "1.1"), "fitted", "choices")) == []
    twice = [*kit("1", "1.1"), *kit("1.2")]
    assert list(find_fitted("z", twice, "positions.0.fitted", "positions.0.choices")) == [
        Problem("positions.0.choices.2.id", "duplicate-id", "“a” appears twice in the list.", "Give each size once."),
        Problem("positions.0.fitted", "unknown-choice", "“z” is not in the list of sizes.", "Name one of: a, b, a."),
    ]
    many = [Choice(id=str(number), thickness=Fraction(1)) for number in range(20)]
    (problem,) = find_fitted("z", many, "fitted", "choices")
    assert problem.remedy == "Name one of: 0, 1, 2, 3, 4, 5, 6, 7."


def test_the_working_shows_every_size_but_the_fitted_one() -> None:
    """With the sign of the effect."""
    choices = kit("1.37", "1.57", "1.785")
    tighter = outcomes(Fraction("1.35"), "b", choices, LIMITS, -1)
    assert choice_lines(tighter, "b", Fraction("1.35"), -1, MM) == (
        "with a: 1.35 − (1.37 − 1.57) = 1.55 mm",
        "with c: 1.35 − (1.785 − 1.57) = 1.135 mm",
    )
    looser = outcomes(Fraction("1.35"), "b", choices, LIMITS, 1)
    assert choice_lines(looser, "b", Fraction("1.35"), 1, MM)[0] == "with a: 1.35 + (1.37 − 1.57) = 1.15 mm"


class Sized(NamedTuple):
    """A size as the unit data has it."""

    id: str
    mark: str | None
    number: str | None
    name: str


@pytest.mark.parametrize(
    ("sizes", "named"),
    [
        ([Sized("a", "one dot", "N-1", "Ring"), Sized("b", "two dots", "N-2", "Ring")], ["one dot", "two dots"]),
        ([Sized("a", "one dot", "N-1", "Ring"), Sized("b", None, "N-2", "Ring")], ["N-1", "N-2"]),
        # A reader would take them for one, whatever a computer makes of the capital.
        ([Sized("a", "One dot", None, "Thin ring"), Sized("b", "one  dot.", None, "Thick ring")], ["Thin ring", "Thick ring"]),
        ([Sized("a", "dot", None, "Ring"), Sized("b", "dot", None, "ring")], ["a", "b"]),
    ],
)
def test_sizes_are_called_by_what_tells_them_apart(sizes: list[Sized], named: list[str]) -> None:
    """Mark, number, name, in this order; the id where nothing else does."""
    assert size_names(sizes) == dict(zip("ab", named, strict=True))
