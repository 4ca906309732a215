"""Normal, Student-t and binomial probabilities, the same on every machine.

Student-t and binomial work on fractions and decimals. The normal distribution works on floats with only + - * /
and square root, each of which IEEE 754 rounds in one way, so its results too are equal to the last bit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Final

from calc_engine.maths.functions import PI, float_exponential, rounded, to_decimal, working_precision

__all__ = [
    "binomial_cdf",
    "coverage_factor",
    "normal_cdf",
    "normal_quantile",
    "stock_for",
    "student_t_quantile",
]

_ROOT_OF_TWO_PI: Final = math.sqrt(2.0 * float(PI))
_TAIL_BEGINS: Final = 2.5
_FRACTION_STEPS: Final = 100
_SMALLEST_PROBABILITY: Final = 1e-300

_STUDENT_DIGITS: Final = 48
_QUANTILE_DIGITS: Final = 20
_SERIES_END: Final = Decimal("1e-44")
_STEP_END: Final = Decimal("1e-12")  # Newton's method squares it, so the next value is good to 20 digits
_SMALLEST_TAIL: Final = Fraction(1, 10**15)
_INFINITE_DEGREES: Final = 10**15  # the quantile of 1 - 1e-15 is then within 2e-13 of the normal one
_GAMMA_RATIO_FROM: Final = 40
# The Euler numbers E2, E4, ... E20 (OEIS A028296).
_EULER_NUMBERS: Final = (
    *(-1, 5, -61, 1385, -50521),
    *(2702765, -199360981, 19391512145, -2404879675441, 370371188237525),
)
_FLAT_AREA: Final = 0.001
_COVERAGE: Final = Fraction("0.9545")

_LARGEST_NUMBER: Final = 100_000
_EXACT_BITS: Final = 50_000
_BINOMIAL_DIGITS: Final = 60


def normal_cdf(z: float) -> float:
    """The probability that a standard normal value is at most z.

    Args:
        z: a number of standard deviations, finite.

    Returns:
        The probability, right to 2e-16, and in the lower tail to 1e-13 of itself. Only + - * / are used, so the
        float is the same on every machine.

    Source: up to 2.5 standard deviations the series 1/2 + f(z) (z + z^3/3 + z^5/15 + ...) (NIST Digital Library of
    Mathematical Functions 7.6.2), beyond it the continued fraction f(z)/(z + 1/(z + 2/(z + ...))) (same, 7.9.1).
    """
    size = abs(z)
    if size < _TAIL_BEGINS:
        return 0.5 + _normal_series(z)
    below = _normal_tail(size)
    return below if z < 0.0 else 1.0 - below


def _normal_density(z: float) -> float:
    return float_exponential(-0.5 * z * z) / _ROOT_OF_TWO_PI


def _normal_series(z: float) -> float:
    """The probability between 0 and z."""
    term = total = z
    odd = 1.0
    while total + term != total:
        odd += 2.0
        term *= z * z / odd
        total += term
    return _normal_density(z) * total


def _normal_tail(size: float) -> float:
    """The probability above a size of at least 2.5."""
    fraction = size
    for step in range(_FRACTION_STEPS, 0, -1):
        fraction = size + step / fraction
    return _normal_density(size) / fraction


def normal_quantile(p: float) -> float:
    """The number of standard deviations that a standard normal value stays under with probability p.

    Args:
        p: a probability, above 1e-300 and below 1.

    Returns:
        z with normal_cdf(z) = p, within 1e-13 of itself or as near as the float p allows. Only + - * /, square
        root and a correctly rounded decimal logarithm are used, so the float is the same on every machine.

    Raises:
        ValueError: p is out of that range.

    Source: the rational starting value of Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.23, made
    exact by Halley's iteration on `normal_cdf`.
    """
    if not _SMALLEST_PROBABILITY <= p < 1.0:
        raise ValueError(f"a probability of {p} has no quantile: it must be above 0 and below 1")
    if p == 0.5:  # noqa: PLR2004 - the middle
        return 0.0
    if p > 0.5:  # noqa: PLR2004 - the upper half mirrors the lower, and 1 - p is exact there
        return -normal_quantile(1.0 - p)
    z = _rough_normal_quantile(p)
    for _ in range(3):
        step = (normal_cdf(z) - p) / _normal_density(z)
        z -= step / (1.0 + 0.5 * z * step)
    return z


def _rough_normal_quantile(p: float) -> float:
    with working_precision(20):
        root = math.sqrt(float(-2 * Decimal(p).ln()))
    over = 2.515517 + root * (0.802853 + root * 0.010328)
    under = 1.0 + root * (1.432788 + root * (0.189269 + root * 0.001308))
    return over / under - root


@dataclass(frozen=True, slots=True)
class _StudentCurve:
    """The density of Student-t, or of the normal distribution where the degrees of freedom are None."""

    degrees: Decimal | None
    scale: Decimal

    def tail_and_slope(self, t: Decimal) -> tuple[Decimal, Decimal]:
        """For t > 0 the probability above t, and t times the density there."""
        half = Decimal("0.5")
        square = t * t
        if self.degrees is None:
            slope = self.scale * t * (-half * square).exp()
            return half - slope * _ratio_series(half * square, Decimal(1), Decimal(0), Decimal("1.5")), slope
        power = half * (self.degrees + 1)
        slope = self.scale * t * (-power * (1 + square / self.degrees).ln()).exp()
        inside = square / (self.degrees + square)
        if inside <= half:
            return half - slope * _ratio_series(inside, power, Decimal(1), Decimal("1.5")), slope
        outside = self.degrees / (self.degrees + square)
        start = half * self.degrees + 1
        return slope / self.degrees * _ratio_series(outside, power, Decimal(1), start), slope


def _ratio_series(x: Decimal, over: Decimal, over_step: Decimal, under: Decimal) -> Decimal:
    """1 + x over/under (1 + x (over + step)/(under + 1) (1 + ...)): all its terms are positive."""
    term = total = Decimal(1)
    while term > _SERIES_END * total:
        term = term * x * over / under
        total += term
        over += over_step
        under += 1
    return total


def _gamma_ratio(x: Decimal) -> Decimal:
    """Gamma(x + 1/2) / Gamma(x) to 32 digits.

    Source: NIST Digital Library of Mathematical Functions 5.5.1 to reach an x of 40, then 5.11.8 with h = 3/4 and
    1/4 about y = x - 1/4, where the even Bernoulli terms cancel and the odd ones are Euler numbers (24.4.31).
    """
    factor = Decimal(1)
    while x < _GAMMA_RATIO_FROM:
        factor = factor * x / (x + Decimal("0.5"))
        x += 1
    middle = x - Decimal("0.25")
    exponent, power = Decimal(0), Decimal(1)
    for m, euler in enumerate(_EULER_NUMBERS, start=1):
        power *= middle * middle
        exponent -= euler / (m * 4 ** (2 * m + 1) * power)
    return factor * middle.sqrt() * exponent.exp()


def _student_curve(degrees_of_freedom: Fraction | None) -> _StudentCurve:
    pi = to_decimal(PI)
    if degrees_of_freedom is None or degrees_of_freedom > _INFINITE_DEGREES:
        return _StudentCurve(None, 1 / (2 * pi).sqrt())
    degrees = to_decimal(degrees_of_freedom)
    return _StudentCurve(degrees, _gamma_ratio(degrees / 2) / (pi * degrees).sqrt())


# One gauge gives the same degrees of freedom again and again; the root is the dearest step of a verdict.
@lru_cache(maxsize=256)
def student_t_quantile(p: Fraction, degrees_of_freedom: Fraction | None) -> Fraction:
    """The value that a Student-t variable stays under with probability p.

    Args:
        p: a probability, from 1e-15 to 1 - 1e-15.
        degrees_of_freedom: greater than zero, not necessarily whole; None for infinite (the normal distribution).

    Returns:
        t to 20 significant digits, the last two of which may be off; exactly 0 for p = 1/2.

    Raises:
        ValueError: an argument is out of its range.

    Source: the density of JCGM 100:2008, G.3.2; its integral by the hypergeometric series of the incomplete beta
    function (NIST Digital Library of Mathematical Functions 8.17.8), solved by Newton's method on the logarithms
    of tail and t.
    """
    if not _SMALLEST_TAIL <= p <= 1 - _SMALLEST_TAIL:
        raise ValueError(f"a probability of {p} is not between 1e-15 and 1 - 1e-15")
    if degrees_of_freedom is not None and degrees_of_freedom <= 0:
        raise ValueError(f"{degrees_of_freedom} degrees of freedom are not greater than zero")
    above = 1 - p
    if p == above:
        return Fraction(0)
    if p < above:
        return -student_t_quantile(above, degrees_of_freedom)
    with working_precision(_STUDENT_DIGITS):
        curve = _student_curve(degrees_of_freedom)
        wanted = to_decimal(above)
        t, step = _rough_student_quantile(above, curve.degrees), Decimal(1)
        while abs(step) > _STEP_END:
            tail, slope = curve.tail_and_slope(t)
            step = (tail / wanted).ln() * tail / slope
            t *= step.exp()
        return rounded(t, _QUANTILE_DIGITS)


def _rough_student_quantile(above: Fraction, degrees: Decimal | None) -> Decimal:
    """A first value: the normal quantile with the first term of its expansion in 1/degrees.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5.
    """
    area = float(Fraction(1, 2) - above)
    # Close to the middle the density is flat, and the probability above would have lost the digits of the area.
    z = Decimal(area * _ROOT_OF_TWO_PI if area < _FLAT_AREA else -normal_quantile(float(above)))
    return z if degrees is None else z * (1 + (z * z + 1) / (4 * degrees))


def coverage_factor(degrees_of_freedom: Fraction | None) -> Fraction:
    """The factor k from standard to expanded uncertainty for a coverage of 95.45 %.

    Args:
        degrees_of_freedom: effective, greater than zero, not necessarily whole; None for infinite.

    Returns:
        The two-sided Student-t factor to 20 significant digits: 2.000 for infinite, 13.97 for one.

    Raises:
        ValueError: the degrees of freedom are not greater than zero.

    Source: JCGM 100:2008, G.3 and table G.2.
    """
    return student_t_quantile((1 + _COVERAGE) / 2, degrees_of_freedom)


def binomial_cdf(k: int, n: int, p: Fraction) -> Fraction:
    """The probability of at most k hits in n independent tries, exact.

    Args:
        k: a whole number; below 0 the probability is 0, from n on it is 1.
        n: tries, 0 or more.
        p: the probability of a hit in one try, 0 to 1.

    Returns:
        The sum over i <= k of C(n, i) p^i (1 - p)^(n - i).

    Raises:
        ValueError: n is negative or p is not a probability.

    Source: the definition, NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6.18.
    """
    _check_binomial(n, p)
    if k >= n:
        return Fraction(1)
    if k < 0:
        return Fraction(0)
    hit, miss = p.numerator, p.denominator - p.numerator
    total, ways = 0, 1
    for i in range(k + 1):
        total = total * miss + ways * hit**i
        ways = ways * (n - i) // (i + 1)
    return Fraction(total * miss ** (n - k), p.denominator**n)


def _check_binomial(n: int, p: Fraction) -> None:
    if not 0 <= n <= _LARGEST_NUMBER:
        raise ValueError(f"{n} tries are not between 0 and {_LARGEST_NUMBER}")
    if not 0 <= p <= 1:
        raise ValueError(f"{p} is not a probability between 0 and 1")


def stock_for(n: int, p: Fraction, service: Fraction) -> int:
    """The smallest stock that covers the demand of n jobs with a wanted probability.

    Each job needs one piece with probability p, independently of the others.

    Args:
        n: jobs, 0 to 100 000.
        p: the probability that a job needs a piece, 0 to 1.
        service: the wanted probability that the stock is enough, above 0 and below 1.

    Returns:
        The smallest k with P(at most k needed) >= service. The comparison is exact while n times the bits of
        p's denominator stay below 50 000; beyond that the probability is summed to 60 digits.

    Raises:
        ValueError: an argument is out of its range.

    Source: the definition of the binomial distribution, as `binomial_cdf`.
    """
    _check_binomial(n, p)
    if not 0 < service < 1:
        raise ValueError(f"a service of {service} is not between 0 and 1")
    if p == 1:
        return n
    if n * p.denominator.bit_length() <= _EXACT_BITS:
        return _exact_stock(n, p, service)
    return _decimal_stock(n, p, service)


def _exact_stock(n: int, p: Fraction, service: Fraction) -> int:
    hit, miss = p.numerator, p.denominator - p.numerator
    # P(at most k) >= service, both sides multiplied by the denominators.
    wanted = service.numerator * p.denominator**n
    term = total = service.denominator * miss**n
    k = 0
    while total < wanted:
        term = term * (n - k) * hit // ((k + 1) * miss)
        total += term
        k += 1
    return k


def _decimal_stock(n: int, p: Fraction, service: Fraction) -> int:
    with working_precision(_BINOMIAL_DIGITS):
        odds, wanted = to_decimal(p / (1 - p)), to_decimal(service)
        term = total = (n * to_decimal(1 - p).ln()).exp()
        k = 0
        while total < wanted and k < n:
            term = term * (n - k) * odds / (k + 1)
            total += term
            k += 1
        return k
