"""Figures: exact for whoever works on with them, rounded for whoever reads them."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.quantities.figures import exact_text, loses_nothing, magnitude, rounded_text

FRACTIONS = st.fractions(max_denominator=10**9)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("0", "0"), ("-0", "0"), ("1.40", "1.4"), ("-0.05", "-0.05"), ("100", "100"), ("1000000", "1000000"),
        ("0.000001", "0.000001"),
        (Fraction(1, 3), "0.333333333333333"), (Fraction(-2, 3), "-0.666666666666667"),
        (Fraction(10**6, 3), "333333.333333333"),
        (Fraction(1, 3 * 10**20), "0.00000000000000000000333333333333333"), (Fraction(10**20, 3), "33333333333333300000"),
        (Fraction(29_999_999_999_999_999, 3 * 10**15), "10"), (Fraction(1, 1024), "0.0009765625"), (Fraction(1, 125), "0.008"),
        (Fraction(1, 7), "0.142857142857143"), (Fraction(10**14 * 2 + 1, 10**14 * 3), "0.66666666666667"),
        (Fraction("1.27") / Fraction("25.4"), "0.05"),
        (Fraction(1) / Fraction("25.4"), "0.0393700787401575"),
        ("0." + "1" * 64, "0." + "1" * 64), ("0." + "1" * 65, "0." + "1" * 15), ("1" * 64, "1" * 64),
        ("1" * 65, "1" * 15 + "0" * 50),
        ("1." + "1" * 63, "1." + "1" * 63), ("1." + "1" * 64, "1." + "1" * 14),
    ],
)  # fmt: skip
def test_a_number_is_written_whole_or_to_15_digits(value: str | Fraction, text: str) -> None:
    """Finite decimals up to 64 digits are exact; anything else has 15 significant digits, never an exponent."""
    assert exact_text(Fraction(value)) == text


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**12), max_value=10**12, places=20))
def test_a_decimal_is_written_exactly(value: Decimal) -> None:
    """What is read back is what was written."""
    assert Fraction(exact_text(Fraction(value))) == Fraction(value)


@given(FRACTIONS)
def test_a_written_number_is_right_to_15_digits_and_plain(value: Fraction) -> None:
    """No exponent, no trailing zero after the point, no negative zero."""
    text = exact_text(value)
    assert re.fullmatch(r"-?(0|[1-9]\d*)(\.\d*[1-9])?", text)
    assert text != "-0"
    assert abs(Fraction(text) - value) <= abs(value) / (2 * 10**14)


@given(FRACTIONS.filter(bool))
def test_the_magnitude_is_the_power_of_the_first_digit(value: Fraction) -> None:
    """10^m <= |value| < 10^(m+1)."""
    power = magnitude(value)
    assert Fraction(10) ** power <= abs(value) < Fraction(10) ** (power + 1)


def test_zero_has_magnitude_zero() -> None:
    """It has no first digit."""
    assert magnitude(Fraction(0)) == 0


@pytest.mark.parametrize(
    ("value", "fewest", "most", "text"),
    [
        ("1.345", 2, 3, "1.345"), ("1.3455", 2, 3, "1.346"), ("1.3445", 2, 3, "1.345"), ("-1.3455", 2, 3, "-1.346"),
        ("1.4", 2, 3, "1.40"), ("1", 2, 3, "1.00"),
        ("0", 2, 3, "0.00"), ("0", 0, 0, "0"), ("0.0123", 2, 3, "0.012"), ("0.0049", 2, 3, "0.0049"),
        ("0.00494", 2, 3, "0.0049"), ("0.00999", 2, 3, "0.01"),
        ("0.00995", 2, 3, "0.01"), ("0.00994", 2, 3, "0.0099"), ("0.01", 2, 3, "0.01"), ("-0.000004", 2, 3, "-0.000004"),
        ("9.4", 0, 0, "9.4"), ("9.96", 0, 0, "10"),
        ("10.4", 0, 0, "10"), ("10.5", 0, 0, "11"), ("-10.5", 0, 0, "-11"), ("1234567.5", 0, 0, "1234568"),
        ("-10.4", 0, 0, "-10"), (Fraction(2, 3), 0, 4, "0.6667"),
    ],
)  # fmt: skip
def test_a_rounded_number_keeps_two_digits_and_rounds_half_away(value: str | Fraction, fewest: int, most: int, text: str) -> None:
    """As a bench sheet is read."""
    assert rounded_text(Fraction(value), fewest, most) == text


@given(FRACTIONS, st.integers(0, 4), st.integers(0, 4))
def test_rounding_is_within_half_a_step_and_at_two_digits(value: Fraction, one: int, other: int) -> None:
    """Never further off than half of the last place shown, or of the second significant digit."""
    fewest, most = sorted((one, other))
    text = rounded_text(value, fewest, most)
    step = min(Fraction(1, 10**most), Fraction(10) ** (magnitude(value) - 1) if value else Fraction(1))
    assert abs(Fraction(text) - value) <= step / 2
    assert len(text.partition(".")[2]) >= fewest
    assert not re.fullmatch(r"-0(\.0*)?", text)
    assert loses_nothing(value, most) is (Fraction(text) == value)
