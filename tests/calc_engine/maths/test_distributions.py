"""Normal, Student-t and binomial probabilities against printed tables, scipy and mpmath."""

import math
from fractions import Fraction

import mpmath
import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.maths.distributions import (
    binomial_cdf,
    coverage_factor,
    normal_cdf,
    normal_quantile,
    stock_for,
    student_t_quantile,
)

# NIST Technical Note 1297, appendix B, table B.1 (read on NIST's own page; the same figures as JCGM 100:2008, table G.2).
COVERAGES = ("68.27", "90", "95", "95.45", "99", "99.73")
NIST_TABLE = """
1 1.84 6.31 12.71 13.97 63.66 235.80
2 1.32 2.92 4.30 4.53 9.92 19.21
3 1.20 2.35 3.18 3.31 5.84 9.22
4 1.14 2.13 2.78 2.87 4.60 6.62
5 1.11 2.02 2.57 2.65 4.03 5.51
6 1.09 1.94 2.45 2.52 3.71 4.90
7 1.08 1.89 2.36 2.43 3.50 4.53
8 1.07 1.86 2.31 2.37 3.36 4.28
9 1.06 1.83 2.26 2.32 3.25 4.09
10 1.05 1.81 2.23 2.28 3.17 3.96
11 1.05 1.80 2.20 2.25 3.11 3.85
12 1.04 1.78 2.18 2.23 3.05 3.76
13 1.04 1.77 2.16 2.21 3.01 3.69
14 1.04 1.76 2.14 2.20 2.98 3.64
15 1.03 1.75 2.13 2.18 2.95 3.59
16 1.03 1.75 2.12 2.17 2.92 3.54
17 1.03 1.74 2.11 2.16 2.90 3.51
18 1.03 1.73 2.10 2.15 2.88 3.48
19 1.03 1.73 2.09 2.14 2.86 3.45
20 1.03 1.72 2.09 2.13 2.85 3.42
25 1.02 1.71 2.06 2.11 2.79 3.33
30 1.02 1.70 2.04 2.09 2.75 3.27
35 1.01 1.70 2.03 2.07 2.72 3.23
40 1.01 1.68 2.02 2.06 2.70 3.20
45 1.01 1.68 2.01 2.06 2.69 3.18
50 1.01 1.68 2.01 2.05 2.68 3.16
100 1.005 1.660 1.984 2.025 2.626 3.077
"""
DEGREES = st.fractions(min_value=1, max_value=10**9, max_denominator=10**6)
PROBABILITIES = st.fractions(min_value=Fraction(1, 1000), max_value=Fraction(999, 1000), max_denominator=10**6)


def printed_rows() -> list[tuple[str, str, str]]:
    """The cells of the table: degrees of freedom, coverage in percent, factor."""
    rows = [line.split() for line in NIST_TABLE.split("\n") if line]
    cells = [(row[0], zip(COVERAGES, row[1:], strict=True)) for row in rows]
    infinite = ("inf", zip(COVERAGES, ("1.000", "1.645", "1.960", "2.000", "2.576", "3.000"), strict=True))
    return [(degrees, coverage, value) for degrees, row in [*cells, infinite] for coverage, value in row]


# Cells that do not follow from their column: 1.70 should read 1.69 (1.68957), and 235.80 was made with the coverage of
# three standard deviations before it was rounded to 99.73 % (which gives 235.78).
ODD_CELLS = {("35", "90"): "1.69", ("1", "99.73"): "235.78"}


@pytest.mark.parametrize(("degrees", "coverage", "printed"), printed_rows())
def test_student_factors_of_the_printed_table(degrees: str, coverage: str, printed: str) -> None:
    """Every cell of the table follows within half a unit of its last digit, but for two that the table has wrong."""
    p = (1 + Fraction(coverage) / 100) / 2
    ours = student_t_quantile(p, None if degrees == "inf" else Fraction(degrees))
    expected = ODD_CELLS.get((degrees, coverage), printed)
    assert abs(ours - Fraction(expected)) <= Fraction(1, 2 * 10 ** len(printed.partition(".")[2]))


def test_the_odd_cell_of_three_standard_deviations_follows_from_its_own_coverage() -> None:
    """The table's 235.80 is what the unrounded coverage of three standard deviations gives."""
    assert round(student_t_quantile(Fraction(normal_cdf(3.0)), Fraction(1)), 1) == Fraction("235.8")


@pytest.mark.parametrize(
    ("degrees", "printed"), [(1, "13.97"), (3, "3.31"), (4, "2.87"), (16, "2.17"), (50, "2.05"), (100, "2.025")]
)
def test_coverage_factors_of_the_printed_table(degrees: int, printed: str) -> None:
    """The factor for 95.45 % is the table's column of that name."""
    assert round(coverage_factor(Fraction(degrees)), len(printed.partition(".")[2])) == Fraction(printed)


def test_the_coverage_factor_without_end_is_two() -> None:
    """Infinite degrees of freedom give k = 2.00000."""
    assert round(coverage_factor(None), 5) == 2


@given(PROBABILITIES, DEGREES)
def test_student_quantiles_agree_with_scipy(p: Fraction, degrees: Fraction) -> None:
    """Any probability and real degrees of freedom from 1 to 1e9, to scipy's own accuracy."""
    theirs = scipy.stats.t.ppf(float(p), float(degrees))
    assert math.isclose(float(student_t_quantile(p, degrees)), theirs, rel_tol=1e-9, abs_tol=1e-12)


@pytest.mark.parametrize("p", ["0.97725", "0.999999", "0.6", "0.500001", "0.999999999999999", "0.02"])
@pytest.mark.parametrize("degrees", ["0.5", "1", "1.5", "2", "16.74", "39", "40", "41", "81", "500", "99999"])
def test_student_quantiles_to_eighteen_digits(p: str, degrees: str) -> None:
    """Put back into mpmath's incomplete beta function at 60 digits, t gives p."""
    with mpmath.workdps(60):
        t = student_t_quantile(Fraction(p), Fraction(degrees))
        value, nu = mpmath.mpf(t.numerator) / t.denominator, mpmath.mpf(degrees)
        tail = mpmath.betainc(nu / 2, mpmath.mpf(1) / 2, 0, nu / (nu + value**2), regularized=True) / 2
        missed = abs(tail - min(mpmath.mpf(p), 1 - mpmath.mpf(p)))
        slope = mpmath.gamma((nu + 1) / 2) / mpmath.gamma(nu / 2) / mpmath.sqrt(nu * mpmath.pi)
        slope *= (1 + value**2 / nu) ** (-(nu + 1) / 2)
        assert missed <= 1e-18 * slope * abs(value)


def test_student_with_one_degree_is_the_cauchy_distribution() -> None:
    """One degree of freedom has the closed form tan(pi (p - 1/2)), 45 degrees at p = 3/4."""
    assert student_t_quantile(Fraction(3, 4), Fraction(1)) == 1


def test_student_with_two_degrees_has_its_closed_form() -> None:
    """Two degrees of freedom: t^2 = 2 a^2/(1 - a^2) with a = 2p - 1; for p = 4/5 that is 9/8."""
    t = student_t_quantile(Fraction(4, 5), Fraction(2))
    assert abs(t**2 - Fraction(9, 8)) < Fraction(1, 10**18)


def test_student_approaches_the_normal_smoothly() -> None:
    """From 1e6 to far beyond 1e15 degrees the distance from normal shrinks as (z^3 + z)/(4 degrees), in no step above 1e-14."""
    z = coverage_factor(None)
    previous = coverage_factor(Fraction(10**6))
    for exponent in range(7, 20):
        degrees = Fraction(10**exponent)
        t = coverage_factor(degrees)
        assert z <= t < previous or t == previous == z
        assert abs((t - z) - (z**3 + z) / (4 * degrees)) < 4 / degrees**2 + Fraction(1, 10**14)
        previous = t


@pytest.mark.parametrize("degrees", [Fraction(3), Fraction(10**9), None])
def test_student_is_symmetric_and_zero_in_the_middle(degrees: Fraction | None) -> None:
    """The middle is exactly zero, and the lower half mirrors the upper exactly."""
    assert student_t_quantile(Fraction(1, 2), degrees) == 0
    assert student_t_quantile(Fraction(1, 9), degrees) == -student_t_quantile(Fraction(8, 9), degrees)


def test_student_next_to_the_middle_keeps_its_digits() -> None:
    """A probability of 1/2 + 1e-15 gives 1e-15 over the density at zero, which is 1/pi for one degree of freedom."""
    t = student_t_quantile(Fraction(1, 2) + Fraction(1, 10**15), Fraction(1))
    assert math.isclose(float(t), 1e-15 * math.pi, rel_tol=1e-14)


@given(PROBABILITIES, DEGREES, DEGREES)
def test_more_degrees_of_freedom_never_widen_the_distribution(p: Fraction, one: Fraction, other: Fraction) -> None:
    """The quantile comes nearer to zero as degrees of freedom rise."""
    few, many = sorted((one, other))
    assert abs(student_t_quantile(p, many)) <= abs(student_t_quantile(p, few))


@pytest.mark.parametrize("p", [Fraction(0), Fraction(1), Fraction(-1), Fraction(1, 10**16)])
def test_student_refuses_a_probability_out_of_range(p: Fraction) -> None:
    """The refusal names the probability and the range."""
    with pytest.raises(ValueError, match=rf"^a probability of {p} is not between 1e-15 and 1 - 1e-15$"):
        student_t_quantile(p, None)


@pytest.mark.parametrize("degrees", [0, -2])
def test_student_refuses_degrees_of_freedom_that_are_not_positive(degrees: int) -> None:
    """The refusal names them."""
    with pytest.raises(ValueError, match=rf"^{degrees} degrees of freedom are not greater than zero$"):
        coverage_factor(Fraction(degrees))


@given(st.floats(min_value=-37, max_value=37))
def test_the_normal_distribution_agrees_with_mpmath(z: float) -> None:
    """Right to 1e-15 everywhere and to 1e-13 of itself in the lower tail."""
    with mpmath.workdps(30):
        true = mpmath.ncdf(mpmath.mpf(z))
        assert abs(normal_cdf(z) - true) <= min(1e-15, 1e-13 * true)


# JCGM 106:2012, 7.3-7.4 (recalled): conformance probabilities, printed to two digits.
@pytest.mark.parametrize(
    ("below", "above", "printed"),
    [
        (-math.inf, (-5.40 + 5.47) / 0.05, 0.92),
        ((490 - 509.7) / 8.6, math.inf, 0.99),
        ((12.5 - 13.6) / 1.8, (16.3 - 13.6) / 1.8, 0.66),
    ],
)
def test_conformance_probabilities_of_the_guide(below: float, above: float, printed: float) -> None:
    """Breakdown voltage, burst strength and oil viscosity follow to two digits."""
    upper = 1.0 if above == math.inf else normal_cdf(above)
    lower = 0.0 if below == -math.inf else normal_cdf(below)
    assert round(upper - lower, 2) == printed


# Acceptance factors of the Eurachem/CITAC guide on compliance, as quoted at pihin.eu/compliance.
@pytest.mark.parametrize(("p", "printed"), [(0.95, 1.64), (0.99, 2.33)])
def test_normal_quantiles_of_one_sided_risks(p: float, printed: float) -> None:
    """5 % and 1 % one-sided risk follow within half a printed digit."""
    assert abs(normal_quantile(p) - printed) <= 0.005


@given(st.floats(min_value=1e-300, max_value=1 - 1e-15))
def test_normal_quantiles_agree_with_scipy(p: float) -> None:
    """Any probability, to scipy's own accuracy."""
    assert math.isclose(normal_quantile(p), scipy.stats.norm.ppf(p), rel_tol=1e-12, abs_tol=1e-15)


@given(st.floats(min_value=-37, max_value=0))
def test_the_normal_quantile_undoes_the_normal_distribution(z: float) -> None:
    """In the lower half, where floats hold p to full relative precision, z comes back to 1e-12."""
    assert math.isclose(normal_quantile(normal_cdf(z)), z, rel_tol=1e-12, abs_tol=1e-14)


def test_the_normal_quantile_of_one_half_is_zero() -> None:
    """The middle is exact."""
    assert normal_quantile(0.5) == 0.0


@pytest.mark.parametrize("p", [0.0, 1.0, -0.1, 1.5, math.nan])
def test_the_normal_quantile_refuses_what_is_no_probability(p: float) -> None:
    """The refusal names the probability."""
    with pytest.raises(ValueError, match=rf"^a probability of {p} has no quantile: it must be above 0 and below 1$"):
        normal_quantile(p)


def test_binomial_by_hand() -> None:
    """Three tries at 1/3: 8/27, 20/27, 26/27, 1."""
    assert [binomial_cdf(k, 3, Fraction(1, 3)) for k in (-1, 0, 1, 2, 3, 4)] == [
        0,
        Fraction(8, 27),
        Fraction(20, 27),
        Fraction(26, 27),
        1,
        1,
    ]


@given(st.integers(0, 60), st.integers(0, 60), st.fractions(min_value=0, max_value=1, max_denominator=1000))
def test_binomial_agrees_with_scipy(k: int, n: int, p: Fraction) -> None:
    """Any k, n and p, to scipy's own accuracy."""
    assert math.isclose(float(binomial_cdf(k, n, p)), scipy.stats.binom.cdf(k, n, float(p)), rel_tol=1e-10, abs_tol=1e-12)


@pytest.mark.parametrize(
    ("n", "p", "service", "stock"),
    [
        (1, "1/2", "1/2", 0),  # P(0) is exactly the service
        (1, "1/2", "501/1000", 1),
        (2, "1/2", "3/4", 1),
        (2, "1/2", "751/1000", 2),
        (0, "1/2", "99/100", 0),
        (10, "0", "99/100", 0),
        (10, "1", "1/100", 10),
        (2, "1/3", "4/9", 0),  # exact where decimals are not
    ],
)
def test_stock_on_the_boundary_is_exact(n: int, p: str, service: str, stock: int) -> None:
    """A probability equal to the service is enough."""
    assert stock_for(n, Fraction(p), Fraction(service)) == stock


@given(
    st.integers(0, 40),
    st.fractions(min_value=0, max_value=1, max_denominator=1000),
    st.fractions(min_value=Fraction(1, 100), max_value=Fraction(99, 100), max_denominator=1000),
)
def test_stock_is_the_smallest_that_is_enough(n: int, p: Fraction, service: Fraction) -> None:
    """The stock covers the service and one piece less does not."""
    stock = stock_for(n, p, service)
    assert binomial_cdf(stock, n, p) >= service
    assert binomial_cdf(stock - 1, n, p) < service


@pytest.mark.parametrize("n", [900, 5_000, 100_000])
@pytest.mark.parametrize("p", ["0.000001", "0.0371", "0.5", "0.95", "0.999999999999"])
@pytest.mark.parametrize("service", ["0.5", "0.95", "0.999"])
def test_stock_for_many_jobs_agrees_with_scipy(n: int, p: str, service: str) -> None:
    """The exact and the decimal path both find scipy's quantile."""
    assert stock_for(n, Fraction(p), Fraction(service)) == scipy.stats.binom.ppf(float(service), n, float(p))


def test_the_two_ways_to_a_stock_meet() -> None:
    """Just below and just above the size at which the exact sum ends, the stocks follow on."""
    p = Fraction("0.137")
    stocks = [stock_for(n, p, Fraction(19, 20)) for n in range(4990, 5011)]
    assert stocks == [scipy.stats.binom.ppf(0.95, n, 0.137) for n in range(4990, 5011)]
    assert 5000 * p.denominator.bit_length() == 50_000


def test_binomial_arguments_out_of_range_are_refused() -> None:
    """Each refusal names the value."""
    with pytest.raises(ValueError, match=r"^-1 tries are not between 0 and 100000$"):
        binomial_cdf(0, -1, Fraction(1, 2))
    with pytest.raises(ValueError, match=r"^100001 tries are not between 0 and 100000$"):
        stock_for(100_001, Fraction(1, 2), Fraction(1, 2))
    for p in (Fraction(-1, 2), Fraction(3, 2)):
        with pytest.raises(ValueError, match=rf"^{p} is not a probability between 0 and 1$"):
            stock_for(1, p, Fraction(1, 2))
    for service in (0, 1):
        with pytest.raises(ValueError, match=rf"^a service of {service} is not between 0 and 1$"):
            stock_for(1, Fraction(1, 2), Fraction(service))
