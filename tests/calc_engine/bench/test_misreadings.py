"""Readings that make sense only as another unit or another turn of the dial."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.bench.misreadings import misreadings
from calc_engine.bench.readings import Gauge
from calc_engine.bench.verdict import Limits
from calc_engine.quantities.answer_units import choose_units

LIMITS = Limits(min=Fraction("0.90"), max=Fraction("1.40"))
DIAL = Gauge(resolution=Fraction("0.01"))
INCH_DIAL = Gauge(resolution=Fraction("25.4") / 1000)


def asked(*values: str, dial: Gauge | None = DIAL) -> list[str]:
    """The questions about readings in mm."""
    return list(misreadings([Fraction(value) for value in values], dial, LIMITS, Fraction("0.15"), choose_units((), None)))


@pytest.mark.parametrize(
    ("values", "question"),
    [
        (("0.053",) * 4, "Was it read in inches, and typed as millimetres? Then the clearance would be 1.346 mm."),
        (("33.02",) * 4, "Was it read in millimetres, and typed as inches? Then the clearance would be 1.30 mm."),
        (
            ("0.44",) * 4,
            "Was a whole turn of the dial missed (1.00 mm)? Look at the small hand. Then the clearance would be 1.44 mm.",
        ),
        (
            ("2.20",) * 4,
            "Was a turn of the dial counted that was not there (1.00 mm)? Look at the small hand. Then the clearance would be 1.20 mm.",
        ),
        (
            ("1.44", "1.49", "2.46", "1.51"),
            (
                "Position 3, 2.46 mm, is far from the rest. Was a turn of the dial counted that was not there (1.00 mm)? "
                "Look at the small hand. Then it would be 1.46 mm."
            ),
        ),
        (
            ("1.44", "1.49", "0.057", "1.51"),
            "Position 3, 0.057 mm, is far from the rest. Was it read in inches, and typed as millimetres? Then it would be 1.448 mm.",
        ),
    ],
)
def test_each_slip_is_asked_about(values: tuple[str, ...], question: str) -> None:
    """With what the reading would then have been."""
    assert question in asked(*values)


def test_of_readings_that_disagree_only_the_odd_one_is_asked_about() -> None:
    """Their mean says nothing."""
    assert [said.partition(",")[0] for said in asked("1.44", "1.49", "2.46", "1.51")] == ["Position 3"]


def test_the_turn_is_that_of_the_dial() -> None:
    """An inch dial of 0.001 in turns once in 0.1 in; of another gauge no turn is known."""
    assert any("2.54 mm" in said for said in asked("3.70", "3.70", dial=INCH_DIAL))
    assert not any("turn" in said for said in asked("0.44", "0.44", dial=None))
    assert not any("turn" in said for said in asked("0.44", "0.44", dial=Gauge(resolution=Fraction("0.002"))))


@given(st.lists(st.decimals("1.08", "1.22", places=3), min_size=1, max_size=8))
def test_nothing_is_asked_of_readings_that_are_right(values: list[object]) -> None:
    """Within the limits and even."""
    assert asked(*map(str, values)) == []
