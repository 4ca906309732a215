"""Roots, angles, logarithms and exponentials against mpmath (100 digits) and exact values."""

import math
from collections.abc import Iterator
from decimal import Decimal, localcontext
from fractions import Fraction

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.maths import functions as f

SIXTY_NINE_DIGITS = mpmath.mpf("1e-69")
ANGLES = st.fractions(min_value=-1000, max_value=1000, max_denominator=10**6)
POSITIVE = st.fractions(min_value=Fraction(1, 10**9), max_value=10**9, max_denominator=10**12)


@pytest.fixture(autouse=True)
def _hundred_digits() -> Iterator[None]:
    with mpmath.workdps(100):
        yield


def mp(value: Fraction) -> mpmath.mpf:
    """A fraction as an mpmath number."""
    return mpmath.mpf(value.numerator) / value.denominator


def agrees(ours: Fraction, theirs: mpmath.mpf) -> bool:
    """Whether a value has at least 69 right digits."""
    return bool(abs(mp(ours) - theirs) <= SIXTY_NINE_DIGITS * abs(theirs))


def test_pi_follows_from_machin_s_formula() -> None:
    """Pi is what 16 arctan(1/5) - 4 arctan(1/239) gives to 118 decimals (J. Machin, 1706)."""

    def arctan_of_inverse(n: int) -> Fraction:
        return sum((Fraction((-1) ** i, (2 * i + 1) * n ** (2 * i + 1)) for i in range(90)), Fraction(0))

    machin = 16 * arctan_of_inverse(5) - 4 * arctan_of_inverse(239)
    assert abs(machin - f.PI) < Fraction(1, 10**118)


@given(st.fractions(min_value=0, max_value=10**12, max_denominator=10**12))
def test_the_root_of_a_square_is_exact(value: Fraction) -> None:
    """Where the root is rational it comes back exactly."""
    assert f.square_root(value**2) == value


@given(POSITIVE)
def test_a_root_squared_is_the_value_to_69_digits(value: Fraction) -> None:
    """An irrational root is right to 69 digits."""
    root = f.square_root(value)
    assert abs(root**2 - value) <= value * Fraction(1, 10**69)


def test_the_root_of_two_is_its_recalled_digits_and_has_70() -> None:
    """The root of 2 is OEIS A002193 (recalled): 1.41421356237309504880168872420969807856967..."""
    root = f.square_root(Fraction(2))
    assert abs(root - Fraction("1.41421356237309504880168872420969807856967")) < Fraction(1, 10**41)
    assert (root * 10**69).denominator == 1


def test_roots_of_very_large_and_small_values_keep_their_digits() -> None:
    """The exponent range is no limit."""
    for exponent in (-401, 401):
        value = 3 * Fraction(10) ** exponent
        assert agrees(f.square_root(value), mpmath.sqrt(mp(value)))


def test_a_negative_value_has_no_root() -> None:
    """The refusal names the value."""
    with pytest.raises(ValueError, match=r"^no square root of the negative value -1/4$"):
        f.square_root(Fraction(-1, 4))


@pytest.mark.parametrize(
    ("degrees", "expected"),
    [(0, 1), (60, "1/2"), (90, 0), (120, "-1/2"), (180, -1), (240, "-1/2"), (270, 0), (300, "1/2"), (360, 1), (-60, "1/2")],
)
def test_rational_cosines_are_exact(degrees: int, expected: int | str) -> None:
    """The rational cosines of Niven's theorem carry no rounding."""
    assert f.cosine(Fraction(degrees)) == Fraction(expected)
    assert f.cosine(Fraction(degrees + 360 * 10**30)) == Fraction(expected)


@pytest.mark.parametrize(
    ("degrees", "expected"), [(0, 0), (30, "1/2"), (90, 1), (150, "1/2"), (180, 0), (210, "-1/2"), (-90, -1)]
)
def test_rational_sines_are_exact(degrees: int, expected: int | str) -> None:
    """The rational sines carry no rounding."""
    assert f.sine(Fraction(degrees)) == Fraction(expected)


@pytest.mark.parametrize(("degrees", "expected"), [(0, 0), (45, 1), (135, -1), (180, 0), (-45, -1), (225, 1)])
def test_rational_tangents_are_exact(degrees: int, expected: int) -> None:
    """The rational tangents carry no rounding."""
    assert f.tangent(Fraction(degrees)) == expected


@given(ANGLES)
def test_angle_functions_agree_with_mpmath(degrees: Fraction) -> None:
    """Cosine and sine have 69 right digits at any angle, also where they are close to zero; the tangent 68."""
    turned = mp(degrees) / 180
    assert agrees(f.cosine(degrees), mpmath.cospi(turned))
    assert agrees(f.sine(degrees), mpmath.sinpi(turned))
    if degrees % 180 != 90:
        tangent = mpmath.sinpi(turned) / mpmath.cospi(turned)
        assert abs(mp(f.tangent(degrees)) - tangent) <= 10 * SIXTY_NINE_DIGITS * abs(tangent)


def test_a_cosine_next_to_a_right_angle_keeps_its_digits() -> None:
    """The angle is reduced before it is rounded: 1e-30 degrees short of 90 is not lost."""
    tiny = Fraction(1, 10**30)
    assert agrees(f.cosine(90 - tiny), mpmath.sin(mp(tiny) * mpmath.pi / 180))


@pytest.mark.parametrize("degrees", [90, -90, 270])
def test_a_right_angle_has_no_tangent(degrees: int) -> None:
    """The refusal names the angle."""
    with pytest.raises(ValueError, match=rf"^an angle of {degrees} degrees has no tangent$"):
        f.tangent(Fraction(degrees))


@given(POSITIVE)
def test_the_logarithm_agrees_with_mpmath(value: Fraction) -> None:
    """The logarithm has 69 right digits."""
    assert agrees(f.natural_log(value), mpmath.log(mp(value)))


@pytest.mark.parametrize("offset", ["1e-40", "-1e-40", "0.001", "-0.001", "0.002", "0.0021", "-0.0019"])
def test_the_logarithm_close_to_one_keeps_its_digits(offset: str) -> None:
    """Close to 1 the logarithm is close to 0 and still has 69 right digits."""
    with mpmath.workdps(120):
        assert agrees(f.natural_log(1 + Fraction(offset)), mpmath.log1p(mpmath.mpf(offset)))


def test_the_logarithm_of_one_is_zero() -> None:
    """It is exact."""
    assert f.natural_log(Fraction(1)) == 0


@pytest.mark.parametrize("value", [0, -3])
def test_no_logarithm_of_zero_or_less(value: int) -> None:
    """The refusal names the value."""
    with pytest.raises(ValueError, match=rf"^no logarithm of {value}, which is not greater than zero$"):
        f.natural_log(Fraction(value))


@given(st.fractions(min_value=-1000, max_value=1000, max_denominator=10**9))
def test_the_exponential_agrees_with_mpmath(value: Fraction) -> None:
    """The exponential has 69 right digits."""
    assert agrees(f.exponential(value), mpmath.exp(mp(value)))


def test_the_exponential_at_the_ends_of_its_range() -> None:
    """At -100 000 and 100 000 it still has its digits, and zero gives exactly 1."""
    for value in (-100_000, 100_000):
        assert agrees(f.exponential(Fraction(value)), mpmath.exp(value))
    assert f.exponential(Fraction(0)) == 1


@pytest.mark.parametrize("value", [100_001, -100_001])
def test_the_exponential_out_of_its_range_is_refused(value: int) -> None:
    """The refusal names the value and the range."""
    with pytest.raises(ValueError, match=rf"^the exponent {value} is not between -100000 and 100000$"):
        f.exponential(Fraction(value))


def test_the_caller_s_decimal_context_changes_nothing_and_is_kept() -> None:
    """A context of five digits outside gives the same results, and comes back untouched."""

    def all_of_them() -> list[Fraction]:
        value = Fraction(7, 3)
        return [g(value) for g in (f.square_root, f.cosine, f.sine, f.tangent, f.natural_log, f.exponential)]

    usual = all_of_them()
    with localcontext() as context:
        context.prec = 5
        assert all_of_them() == usual
        assert context.prec == 5
        assert Decimal(1) / Decimal(3) == Decimal("0.33333")


@given(st.floats(min_value=-708, max_value=709))
def test_the_float_exponential_is_right_to_the_last_bits(value: float) -> None:
    """It is within 3e-16 of itself."""
    true = mpmath.exp(mpmath.mpf(value))
    assert abs(f.float_exponential(value) - true) <= 3e-16 * true


def test_the_float_exponential_at_its_ends() -> None:
    """One at zero, zero where floats lose digits, a refusal above."""
    assert f.float_exponential(0.0) == 1.0
    assert f.float_exponential(-708.5) == 0.0
    with pytest.raises(ValueError, match=r"^the exponent 709.5 is above 709.0$"):
        f.float_exponential(709.5)
    with pytest.raises(ValueError, match=r"^the exponent nan is above 709.0$"):
        f.float_exponential(math.nan)


@given(st.floats(min_value=-1e4, max_value=1e4))
def test_float_sine_and_cosine_are_right_to_the_last_bits(half_turns: float) -> None:
    """Both are within 3e-16."""
    sine, cosine = f.float_sine_cosine(half_turns)
    assert abs(sine - mpmath.sinpi(mpmath.mpf(half_turns))) <= 3e-16
    assert abs(cosine - mpmath.cospi(mpmath.mpf(half_turns))) <= 3e-16


@pytest.mark.parametrize(
    ("half_turns", "expected"), [(0.0, (0, 1)), (0.5, (1, 0)), (1.0, (0, -1)), (1.5, (-1, 0)), (-0.5, (-1, 0))]
)
def test_float_sine_and_cosine_at_quarter_turns_are_exact(half_turns: float, expected: tuple[int, int]) -> None:
    """Quarter turns carry no rounding."""
    assert f.float_sine_cosine(half_turns) == expected


@given(st.floats(min_value=-2, max_value=2), st.integers(min_value=0, max_value=200))
def test_float_power_agrees_with_the_exact_power(base: float, exponent: int) -> None:
    """Repeated squaring is the whole power, within one rounding per multiplication."""
    exact = Fraction(base) ** exponent
    assert abs(Fraction(f.float_power(base, exponent)) - exact) <= abs(exact) * Fraction(exponent + 1, 2**52) + Fraction(
        1, 10**300
    )
