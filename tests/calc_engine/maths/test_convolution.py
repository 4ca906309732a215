"""Sums of uniforms and a normal against exact spline sums, closed forms, scipy, numpy convolution and mpmath."""

import math
from collections import Counter
from fractions import Fraction
from itertools import pairwise, product

import mpmath
import numpy as np
import pytest
import scipy.signal
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from calc_engine.maths.convolution import centred_sum

ACCURACY = 1e-11
HALF_WIDTHS = st.fractions(min_value=Fraction(1, 10**6), max_value=1, max_denominator=10**6)
SHARES = st.fractions(min_value=-1, max_value=1, max_denominator=10**4)


def exact_cdf(half_widths: list[Fraction], x: Fraction) -> Fraction:
    """The textbook sum over all corners, one by one, on fractions."""
    n = len(half_widths)
    total = Fraction(0)
    for signs in product((-1, 1), repeat=n):
        y = x - sum((sign * half for sign, half in zip(signs, half_widths, strict=True)), Fraction(0))
        if y > 0:
            total += (-1) ** signs.count(1) * y**n
    return total / math.factorial(n) / math.prod(2 * half for half in half_widths)


# Irwin-Hall values: n, x on [0, n], probability. 1/n! as printed on several problem pages (newbetuts.com 1448908,
# solve.club); the rest are identities (symmetry, Eulerian numbers).
@pytest.mark.parametrize(
    ("n", "x", "expected"),
    [
        (1, "0.25", "1/4"),
        (2, "1", "1/2"),
        (3, "1", "1/6"),
        (3, "0.5", "1/48"),
        (3, "1.5", "1/2"),
        (3, "2", "5/6"),
        (4, "1", "1/24"),
        (4, "2", "1/2"),
        (12, "6", "1/2"),
    ],
)
def test_sums_of_equal_uniforms_as_published(n: int, x: str, expected: str) -> None:
    """Known values of the sum of n uniforms on [0, 1] follow, about their middle n/2."""
    ours = centred_sum([Fraction(1, 2)] * n, Fraction(0)).cdf(Fraction(x) - Fraction(n, 2))
    assert abs(ours - Fraction(expected)) <= 1e-14


@pytest.mark.parametrize("n", [1, 2, 3, 5, 6, 7, 12, 30, 60, 100])
def test_sums_of_equal_uniforms_agree_with_exact_fractions(n: int) -> None:
    """The Irwin-Hall sum on fractions (x - k)^n C(n, k) (-1)^k / n! is met everywhere, in the tails too."""
    ours = centred_sum([Fraction(1, 2)] * n, Fraction(0))
    for i in range(33):
        x = Fraction(n * i, 32)
        terms = (math.comb(n, k) * (-1) ** k * (x - k) ** n for k in range(int(x) + 1))
        exact = Fraction(sum(terms), math.factorial(n))
        assert abs(ours.cdf(x - Fraction(n, 2)) - exact) <= ACCURACY


@settings(max_examples=60)
@given(st.lists(HALF_WIDTHS, min_size=1, max_size=7), SHARES)
def test_unequal_uniforms_agree_with_the_exact_sum(half_widths: list[Fraction], share: Fraction) -> None:
    """Any widths from 1e-6 to 1, anywhere within reach."""
    x = share * sum(half_widths)
    assert abs(centred_sum(half_widths, Fraction(0)).cdf(x) - exact_cdf(half_widths, x)) <= ACCURACY


@settings(max_examples=60)
@given(st.lists(HALF_WIDTHS, min_size=2, max_size=7), st.data())
def test_unequal_uniforms_agree_at_and_next_to_every_corner(half_widths: list[Fraction], data: st.DataObject) -> None:
    """Where the piecewise polynomial changes, and a hair beside it."""
    signs = data.draw(st.lists(st.sampled_from((-1, 1)), min_size=len(half_widths), max_size=len(half_widths)))
    corner = sum((sign * half for sign, half in zip(signs, half_widths, strict=True)), Fraction(0))
    distribution = centred_sum(half_widths, Fraction(0))
    for x in (corner, corner + Fraction(1, 10**7), corner - Fraction(1, 10**7), corner + min(half_widths) / 3):
        assert abs(distribution.cdf(x) - exact_cdf(half_widths, x)) <= ACCURACY


LADDERS = [
    ["0.5", "0.001"],
    ["0.5", "0.001", "0.001", "0.001", "0.001", "0.001", "0.001", "0.001", "0.001"],
    ["0.5", "0.3", "0.001", "0.0011", "0.0012", "0.0013", "0.0014", "0.0015"],
    ["0.5", "0.05", "0.005", "0.0005", "0.00005"],
    ["0.5", "0.5", "0.0005", "0.0005", "0.0000005", "0.0000005"],
    ["0.5", "0.000001", "0.000001", "0.000001", "0.000001", "0.000001", "0.000001"],
    ["0.02", "0.02", "0.02", "0.02", "0.02", "0.02", "0.0001"],
]


@pytest.mark.parametrize("sizes", LADDERS)
def test_sizes_far_apart_agree_with_the_exact_sum(sizes: list[str]) -> None:
    """A hard edge of a large part, rounded by parts hundreds to a million times smaller."""
    half_widths = [Fraction(size) for size in sizes]
    distribution = centred_sum(half_widths, Fraction(0))
    full, small = sum(half_widths), sum(half_widths[1:])
    places = [-full + small * Fraction(i, 10) for i in range(22)] + [Fraction(i, 20) * full for i in range(-19, 20)]
    for x in places:
        assert abs(distribution.cdf(x) - exact_cdf(half_widths, x)) <= ACCURACY


@pytest.mark.parametrize("ratio", ["1000000", "1000", "50", "5", "1", "0.2", "0.01"])
def test_one_uniform_and_a_normal_agree_with_the_closed_form(ratio: str) -> None:
    """F(x) = s/(2h) (G((x+h)/s) - G((x-h)/s)) with G(z) = z Phi(z) + phi(z), whichever of the two is the larger."""
    half, sd = Fraction(ratio) / 10, Fraction(1, 10)
    distribution = centred_sum([half], sd**2)
    with mpmath.workdps(50):

        def integral(x: Fraction) -> mpmath.mpf:
            z = mpmath.mpf(x.numerator) / x.denominator * 10
            return z * mpmath.ncdf(z) + mpmath.npdf(z)

        for i in range(-40, 41):
            for x in (half * i / 20, -half + sd * i / 8):
                true = (integral(x + half) - integral(x - half)) / (20 * mpmath.mpf(half.numerator) / half.denominator)
                assert abs(distribution.cdf(x) - true) <= ACCURACY


@pytest.mark.parametrize(
    ("sizes", "sd"),
    [
        (["1", "1"], "0.01"),
        (["1", "1", "1"], "0.001"),
        (["1", "1", "1", "1"], "0.0001"),
        (["1", "1", "1", "1"], "0.01"),
        (["1", "1", "1", "1", "1"], "0.0001"),
        (["1", "0.9", "0.8", "0.7", "0.6"], "0.001"),
        (["1000", "100", "10", "1"], "0.01"),
        (["1000", "100", "10", "1", "0.1"], "0.1"),
        (["1", "1", "1", "1", "1", "1"], "0.001"),
    ],
)
def test_several_uniforms_and_a_normal_agree_with_the_closed_form(sizes: list[str], sd: str) -> None:
    """The sum over all corners of E[(x - c - sZ)_+^k]/k!, from k = 1 to 6, where four and more are taken exactly too.

    That is s^k times the k-fold integral of the normal distribution, I_k(z) = (z I_(k-1)(z) + I_(k-2)(z)) / k, with I_0 = Phi
    and I_(-1) = phi (repeated integrals of the error function: NIST Digital Library of Mathematical Functions, 7.18).
    """
    half_widths, spread = [Fraction(size) for size in sizes], Fraction(sd)
    distribution = centred_sum(half_widths, spread**2)
    order = len(sizes)
    with mpmath.workdps(80):
        s = mpmath.mpf(spread.numerator) / spread.denominator

        def integral(y: Fraction) -> mpmath.mpf:
            z = mpmath.mpf((y / spread).numerator) / (y / spread).denominator
            before, now = mpmath.npdf(z), mpmath.ncdf(z)
            for k in range(1, order + 1):
                before, now = now, (z * now + before) / k
            return s**order * now

        widths = mpmath.fprod(mpmath.mpf((2 * half).numerator) / (2 * half).denominator for half in half_widths)
        full = sum(half_widths)
        places = [full * Fraction(i, 16) for i in range(-15, 16)] + [
            half_widths[0] - full + spread * Fraction(i, 2) for i in range(-4, 5)
        ]
        for x in places:
            true = mpmath.fsum(
                (-1) ** signs.count(1)
                * integral(x - sum((sign * half for sign, half in zip(signs, half_widths, strict=True)), Fraction(0)))
                for signs in product((-1, 1), repeat=order)
            )
            assert abs(distribution.cdf(x) - true / widths) <= ACCURACY


@pytest.mark.parametrize("sd", ["0.0000001", "1", "300"])
def test_a_normal_alone_is_the_normal_distribution(sd: str) -> None:
    """With no uniform the sum is the normal distribution."""
    distribution = centred_sum([], Fraction(sd) ** 2)
    for i in range(-50, 51):
        assert math.isclose(distribution.cdf(Fraction(sd) * i / 5), scipy.stats.norm.cdf(i / 5), abs_tol=1e-13)


@pytest.mark.parametrize(
    ("sizes", "sd"),
    [
        (["0.05"] * 5 + ["0.03"] * 5 + ["0.1"], "0.02"),
        (["0.5", "0.25", "0.25"], "0.05"),
        (["0.1", "0.1", "0.003"], "0.01"),
        (["0.5", "0.02", "0.02", "0.02"], "0.02"),
        (["0.01"] * 30 + ["0.1"] * 3, "0.05"),
    ],
)
def test_mixtures_with_a_normal_agree_with_mpmath_s_inversion(sizes: list[str], sd: str) -> None:
    """Gil-Pelaez: F(x) = 1/2 + 1/pi integral of phi(w) sin(w x)/w, by mpmath's quadrature (J. Gil-Pelaez, 1951)."""
    half_widths = [Fraction(size) for size in sizes]
    distribution = centred_sum(half_widths, Fraction(sd) ** 2)
    spread = math.sqrt(sum(half**2 for half in half_widths) / 3 + Fraction(sd) ** 2)
    widths = [(mpmath.mpf(size), count) for size, count in Counter(sizes).items()]
    end = 9 / mpmath.mpf(sd)
    pieces = int(end * sum(width * count for width, count in widths) / 6) + 4
    for i in (-35, -11, 6):
        x = Fraction(round(spread * i * 100), 1000)
        place = mpmath.mpf(x.numerator) / x.denominator

        def integrand(w: mpmath.mpf, place: mpmath.mpf = place) -> mpmath.mpf:
            factors = mpmath.fprod(mpmath.sinc(w * width) ** count for width, count in widths)
            return factors * mpmath.exp(-((w * mpmath.mpf(sd)) ** 2) / 2) * place * mpmath.sinc(w * place)

        true = 0.5 + mpmath.quad(integrand, mpmath.linspace(0, end, pieces)) / mpmath.pi
        assert abs(distribution.cdf(x) - true) <= ACCURACY


LARGE_STACK = {"0.05": 8, "0.03": 6, "0.1": 3, "0.08": 1}


def convolved_on_a_grid(cells_per_tenth: int) -> np.ndarray:
    """The distribution function of the large stack with a normal of 0.04, by convolution of densities on a grid.

    Returns:
        Its values at -0.6, -0.55 ... 0.6.
    """
    step = 0.1 / cells_per_tenth
    density = np.ones(1)
    for size, count in LARGE_STACK.items():
        cells = round(2 * float(size) / step)
        box = np.full(cells + 1, 1.0 / cells)
        box[[0, -1]] *= 0.5
        for _ in range(count):
            density = scipy.signal.fftconvolve(density, box)
    edges = (np.arange(-4 * cells_per_tenth, 4 * cells_per_tenth + 2) - 0.5) * step
    density = scipy.signal.fftconvolve(density, np.diff(scipy.stats.norm.cdf(edges, scale=0.04)))
    cdf = np.cumsum(density) - density / 2
    middle = len(density) // 2
    return np.asarray(cdf[middle + np.arange(-12, 13) * (cells_per_tenth // 2)])


def test_a_large_stack_agrees_with_numpy_s_convolution() -> None:
    """Eighteen parts of four sizes and a normal, against convolution on two grids extrapolated to a step of zero.

    The grid's error is of second order in its step (2e-8 at 1e-4), so the extrapolation leaves about 1e-11.
    """
    extrapolated = (4 * convolved_on_a_grid(1000) - convolved_on_a_grid(500)) / 3
    ours = centred_sum([Fraction(size) for size, count in LARGE_STACK.items() for _ in range(count)], Fraction("0.04") ** 2)
    values = [ours.cdf(Fraction(place, 20)) for place in range(-12, 13)]
    assert np.abs(np.array(values) - extrapolated).max() <= 1e-9


@settings(max_examples=60)
@given(
    st.lists(HALF_WIDTHS, max_size=12),
    st.fractions(min_value=Fraction(1, 10**12), max_value=1, max_denominator=10**12),
    st.lists(st.fractions(min_value=-5, max_value=5, max_denominator=10**4), min_size=2, max_size=6),
)
def test_it_rises_from_0_to_1_and_is_symmetric(half_widths: list[Fraction], variance: Fraction, places: list[Fraction]) -> None:
    """A distribution: between 0 and 1, never falling (but for its accuracy), F(-x) = 1 - F(x)."""
    distribution = centred_sum(half_widths, variance)
    values = [distribution.cdf(x) for x in sorted(places)]
    assert all(0.0 <= value <= 1.0 for value in values)
    assert all(lower <= higher + 1e-12 for lower, higher in pairwise(values))
    for x in places:
        assert abs(distribution.cdf(x) + distribution.cdf(-x) - 1.0) <= 1e-15 or x == 0
    assert abs(distribution.cdf(Fraction(0)) - 0.5) <= 1e-12


@settings(max_examples=40)
@given(st.lists(HALF_WIDTHS, min_size=1, max_size=9), SHARES)
def test_the_unit_of_length_does_not_matter(half_widths: list[Fraction], share: Fraction) -> None:
    """The same stack in inches and in millimetres has the same distribution."""
    x = share * sum(half_widths)
    in_mm = [half * Fraction("25.4") for half in half_widths]
    one, other = centred_sum(half_widths, Fraction(0)), centred_sum(in_mm, Fraction(0))
    assert math.isclose(one.cdf(x), other.cdf(x * Fraction("25.4")), abs_tol=1e-12)


def test_a_part_too_small_for_a_float_changes_nothing() -> None:
    """A uniform of 1e-400 beside a normal or a uniform of size 1 neither breaks the sum nor moves it."""
    speck = Fraction(1, 10**400)
    for sizes, variance in (([], Fraction(1)), ([Fraction(1)], Fraction(0)), ([Fraction(1)] * 7, Fraction(0))):
        plain, speckled = centred_sum(sizes, variance), centred_sum([*sizes, speck], variance)
        for place in (Fraction(-1), Fraction(-1, 3), Fraction(0)):
            assert math.isclose(plain.cdf(place), speckled.cdf(place), abs_tol=1e-12)


def test_beyond_all_parts_it_is_exactly_zero_or_one() -> None:
    """A gap that no combination of parts can give has probability zero."""
    for sizes in (["1"], ["1", "1"], ["1"] * 8, ["1", "0.001", "0.001"]):
        half_widths = [Fraction(size) for size in sizes]
        distribution = centred_sum(half_widths, Fraction(0))
        assert distribution.cdf(-sum(half_widths, Fraction(0))) == 0.0
        assert distribution.cdf(sum(half_widths, Fraction(0))) == 1.0


@settings(max_examples=80)
@given(st.lists(HALF_WIDTHS, min_size=1, max_size=40), st.sampled_from([Fraction(0), Fraction(1, 10**10), Fraction(1, 100)]))
def test_few_parts_are_taken_exactly_and_the_series_is_short(half_widths: list[Fraction], variance: Fraction) -> None:
    """Whatever the sizes, at most five uniforms are taken exactly and at most 256 terms summed."""
    distribution = centred_sum(half_widths, variance)
    assert len(distribution.corners) <= 2**5
    assert distribution.remainder is None or len(distribution.remainder.amplitudes) <= 256


@pytest.mark.parametrize(("half_widths", "variance"), [([], 0), ([1, 0], 1), ([-1], 0), ([1], -1)])
def test_sizes_without_sense_are_refused(half_widths: list[int], variance: int) -> None:
    """Nothing at all, a zero or negative half-width, a negative variance."""
    with pytest.raises(ValueError, match=r"^a centred sum needs half-widths above zero, or a variance above zero$"):
        centred_sum([Fraction(half) for half in half_widths], Fraction(variance))
