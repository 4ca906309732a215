"""Sizes with tolerances: every way to write one, and what is refused."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.reading.measures import parse_toleranced, show_toleranced
from calc_engine import Problem, Refused


@pytest.mark.parametrize(
    ("written", "smallest", "nominal", "largest"),
    [
        ("1.57 mm", "1.57", "1.57", "1.57"),
        ("1.57 mm ± 0.02", "1.55", "1.57", "1.59"),
        ("1.57 mm +- 0.02", "1.55", "1.57", "1.59"),
        ("1.57 mm +/- 0.02 mm", "1.55", "1.57", "1.59"),
        ("1.57mm±0.02", "1.55", "1.57", "1.59"),
        ("1,57 mm ± 0,02", "1.55", "1.57", "1.59"),
        ("1.57 mm ± 20 um", "1.55", "1.57", "1.59"),
        ("1.57 mm +0.02 -0.01", "1.56", "1.57", "1.59"),
        ("1.57 mm -0.01 +0.02", "1.56", "1.57", "1.59"),
        ("1.57 mm +0.02/-0.01", "1.56", "1.57", "1.59"),
        ("1.57 mm + 0.02 − 0.01", "1.56", "1.57", "1.59"),
        ("1.57 mm +0.02 -0", "1.57", "1.57", "1.59"),
        ("1.57e0 mm ± 2e-2", "1.55", "1.57", "1.59"),
        ("157e-2 mm ± 2e-2", "1.55", "1.57", "1.59"),
        ("1/16 in ± 1/64", "3/64", "1/16", "5/64"),
        ("0.001 m ± 20 µm", "0.00098", "0.001", "0.00102"),
    ],
)
def test_every_way_to_write_a_tolerance(written: str, smallest: str, nominal: str, largest: str) -> None:
    """The tolerance has the size's unit unless it has its own; the limits are exact and in the size's unit."""
    size = parse_toleranced(written)
    assert (size.smallest.value, size.nominal.value, size.largest.value) == (
        Fraction(smallest),
        Fraction(nominal),
        Fraction(largest),
    )
    assert size.smallest.unit is size.largest.unit is size.nominal.unit
    assert size.is_toleranced is (smallest != largest)


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("1.57", "no-unit"),
        ("1.57 ± 0.02 mm", "no-unit"),
        ("1.57 mm ± 2 psi", "wrong-unit"),
        ("1.57 psi ± 2", "wrong-unit"),
        ("1.57 mm ±", "no-tolerance"),
        ("± 0.02", "missing"),
        ("1.57 mm ± -0.02", "negative-tolerance"),
        ("1.57 mm +0.02", "one-sided"),
        ("1.57 mm -0.02", "one-sided"),
        ("1.57 mm +0.02 +0.01", "one-sided"),
        ("1.57 mm +0.02 -0.01 -0.03", "one-sided"),
        ("1.57 mm ± 1.57", "tolerance-too-large"),
        ("1.57 mm +0 -0.07 in", "tolerance-too-large"),
        ("-1 mm ± 0.1", "tolerance-too-large"),
        ("1.57 mm ± 0.02 ± 0.01", "unknown-unit"),
        ("3-4 mm", "not-a-number"),
        ("", "missing"),
        ("+", "not-a-number"),
        ("x" * 121, "too-long"),
    ],
)
def test_what_is_no_toleranced_size(written: str, code: str) -> None:
    """Each kind of fault has its own code; the words are held by the message cases."""
    with pytest.raises(Refused) as refused:
        parse_toleranced(written, "thickness")
    assert [(problem.field, problem.code) for problem in refused.value.problems] == [("thickness", code)]


def test_a_size_is_shown_with_its_tolerance_in_its_own_unit() -> None:
    """Readers see unit and deviation beside each other."""
    shown = [
        show_toleranced(parse_toleranced(text)) for text in ("5 mm", "1.57 mm ± 20 um", "1.57 mm +0.02 -0.01", "0.062 in ± 0.001")
    ]
    assert shown == ["5.00 mm", "1.57 mm ± 0.02 mm", "1.57 mm +0.02 mm −0.01 mm", "0.062 in ± 0.001 in"]
    assert str(parse_toleranced("5 mm")) == "5.00 mm"


@given(st.text(max_size=60) | st.text("0123456789.,+-−±/ emmin", max_size=40))
def test_no_text_upsets_the_reader(text: str) -> None:
    """Any text is a size or is refused with one problem."""
    problems: tuple[Problem, ...] = ()
    try:
        parse_toleranced(text)
    except Refused as refused:
        problems = refused.problems
    assert len(problems) <= 1
    assert all(problem.message and problem.remedy for problem in problems)
