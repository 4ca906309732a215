"""The distribution of a sum of independent uniforms about zero and a normal about zero, without sampling.

The few largest uniforms, whose corners a series would follow only slowly, are taken exactly, as a piecewise polynomial
on fractions. What remains is smooth beside them and is a Fourier series of at most 256 terms, whose truncation is
bounded before it is used. Floats see only + - * /, so the result is the same bits on every machine.

With k uniforms of half-widths h taken exactly and R the sum of the rest,

    F(x) = sum over the corners c = -+h1 -+h2 ... of weight(c) E[(x - c - R)_+^k] / (k! product of the 2h),

where the weight is the product of the signs. For R = 0 this is the classical distribution of a sum of uniforms
(W. Feller, An Introduction to Probability Theory and Its Applications, vol. II, I.9, theorem 1, extended to unequal
widths). E[(y - R)_+^k] is the polynomial E[(y - R)^k] for y above all of R, zero for y below all of R, and in between
differs from them by the tail moment T(d) = E[(R - d)_+^k], d = |y|, which is integrated term by term from the Fourier
series of R's density. The characteristic functions are sin(w h)/(w h) and exp(-w^2 s^2/2).
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.maths.functions import PI, float_exponential, float_power, float_sine_cosine, to_decimal, working_precision

__all__ = ["CentredSum", "centred_sum"]

_MOST_TERMS: Final = 256
_TRUNCATION: Final = 1e-12
# Standard deviations that the series covers. P(beyond) is at most 2 exp(-8^2/2) = 3e-14, since uniforms and normals
# are strictly sub-Gaussian (moment generating function at most that of the normal with the same variance).
_REACH: Final = 8
_REACH_DIGITS: Final = 6
_FLOAT_PI: Final = float(PI)


@dataclass(frozen=True, slots=True)
class _Remainder:
    """The tail moments T(d)/k! of the remainder R, over the product of the widths taken exactly.

    Attributes:
        reach: R is taken as periodic between -reach and reach.
        order: k.
        polynomial: coefficients in d/reach, highest power first.
        amplitudes: of sin (k even) or cos (k odd) of pi j d/reach, for j = 1, 2, ...
    """

    reach: Fraction
    order: int
    polynomial: tuple[float, ...]
    amplitudes: tuple[float, ...]

    def tail(self, distance: Fraction) -> float:
        """The tail moment from a distance of zero or more on."""
        if distance >= self.reach:
            return 0.0
        at = float(distance / self.reach)
        total = 0.0
        for coefficient in self.polynomial:
            total = total * at + coefficient
        sine, cosine = step_sine, step_cosine = float_sine_cosine(at)
        for amplitude in self.amplitudes:
            total += amplitude * (cosine if self.order % 2 else sine)
            # The next multiple of the angle, by the addition theorems.
            sine, cosine = sine * step_cosine + cosine * step_sine, cosine * step_cosine - sine * step_sine
        return total

    def correction(self, y: Fraction) -> float:
        """What E[(y - R)_+^k]/k! has beyond its polynomial for y > 0, and beyond zero for y <= 0."""
        if y.numerator <= 0 or self.order % 2:
            return self.tail(abs(y))
        return -self.tail(y)


@dataclass(frozen=True, slots=True)
class CentredSum:
    """A sum of independent uniforms about zero and a normal about zero. Made by `centred_sum`.

    Attributes:
        corners: where the piecewise polynomial of the k largest uniforms changes, each with its weight.
        polynomial: E[(y - R)^k]/k! over the product of their widths, in y, highest power first.
        remainder: the rest R of the sum, absent where all of it is taken exactly.
    """

    corners: tuple[tuple[Fraction, int], ...]
    polynomial: tuple[Fraction, ...]
    remainder: _Remainder | None

    def cdf(self, x: Fraction) -> float:
        """The probability that the sum is at most x.

        Args:
            x: in the unit of the half-widths.

        Returns:
            The probability, right to 1e-10.
        """
        if x.numerator > 0:
            # The sum is symmetric. Mirroring needs half the corners and keeps the digits of a small probability.
            return 1.0 - self.cdf(-x)
        exact, smooth = Fraction(0), 0.0
        for corner, weight in self.corners:
            y = x - corner
            if y.numerator > 0:
                exact += weight * _value(self.polynomial, y)
            if self.remainder is not None:
                smooth += weight * self.remainder.correction(y)
        return min(max(float(exact) + smooth, 0.0), 0.5)


def _value(polynomial: Sequence[Fraction], x: Fraction) -> Fraction:
    """Horner's rule, highest power first."""
    total = polynomial[0]
    for coefficient in polynomial[1:]:
        total = total * x + coefficient
    return total


def centred_sum(half_widths: Sequence[Fraction], normal_variance: Fraction) -> CentredSum:
    """The sum of independent uniforms, each between -h and h, and a normal about zero.

    Args:
        half_widths: h of each uniform, greater than zero, any one unit.
        normal_variance: of the normal, zero for none, in the square of that unit.

    Returns:
        The distribution. As many of the largest uniforms are taken exactly as leave a remainder with a short series.

    Raises:
        ValueError: there is neither a uniform nor a normal, or a size is below zero, or a half-width zero.
    """
    if normal_variance < 0 or min(half_widths, default=normal_variance) <= 0:
        raise ValueError("a centred sum needs half-widths above zero, or a variance above zero")
    ordered = sorted(half_widths, reverse=True)
    exact = 0
    while exact < len(ordered) or normal_variance:
        rest = _Rest.of(ordered[exact:], normal_variance)
        terms = rest.terms_needed(ordered[:exact])
        if terms is not None:
            remainder = rest.remainder(ordered[:exact], terms)
            return _assembled(ordered[:exact], rest.moments(exact), remainder)
        exact += 1
    return _assembled(ordered, [Fraction(1)], None)


def _assembled(exact: Sequence[Fraction], moments: Sequence[Fraction], remainder: _Remainder | None) -> CentredSum:
    corners = {Fraction(0): 1}
    for half in exact:
        split: Counter[Fraction] = Counter()
        for corner, weight in corners.items():
            split[corner - half] += weight
            split[corner + half] -= weight
        corners = split
    order, widths = len(exact), _product_of_widths(exact)
    polynomial = [Fraction(0)] * (order + 1)
    for half_power, moment in enumerate(moments):
        polynomial[2 * half_power] = moment / math.factorial(order - 2 * half_power) / widths
    return CentredSum(tuple(corners.items()), tuple(polynomial), remainder)


def _product_of_widths(half_widths: Sequence[Fraction]) -> Fraction:
    return math.prod((2 * half for half in half_widths), start=Fraction(1))


@dataclass(frozen=True, slots=True)
class _Rest:
    """The parts of a sum that the Fourier series takes.

    Attributes:
        half_widths: of the uniforms.
        normal_variance: of the normal.
        reach: half the period of the series: all that the sum can reach, or eight standard deviations if less.
        sizes: each different half-width over the reach, with how often it comes.
        spread: the variance of the normal over the square of the reach.
    """

    half_widths: tuple[Fraction, ...]
    normal_variance: Fraction
    reach: Fraction
    sizes: tuple[tuple[float, int], ...]
    spread: float

    @classmethod
    def of(cls, half_widths: Sequence[Fraction], normal_variance: Fraction) -> _Rest:
        variance = sum((half * half for half in half_widths), Fraction(0)) / 3 + normal_variance
        with working_precision(_REACH_DIGITS):
            reach = Fraction(_REACH * to_decimal(variance).sqrt())
        if not normal_variance:
            reach = min(reach, sum(half_widths, Fraction(0)))
        sizes = tuple((float(half / reach), count) for half, count in Counter(half_widths).items())
        return cls(tuple(half_widths), normal_variance, reach, sizes, float(normal_variance / reach**2))

    def _normal_factor(self, term: int) -> float:
        turns = term * _FLOAT_PI
        return float_exponential(-0.5 * turns * turns * self.spread)

    def coefficients(self, terms: int) -> list[float]:
        """The characteristic function at the frequency of each term."""
        products = [self._normal_factor(term) for term in range(1, terms + 1)]
        for size, count in self.sizes:
            if not size:  # too small for a float; its factor is then 1
                continue
            step = _FLOAT_PI * size
            sine, cosine = step_sine, step_cosine = float_sine_cosine(size)
            for index in range(terms):
                products[index] *= float_power(sine / (step * (index + 1)), count)
                # The next multiple of the angle, by the addition theorems.
                sine, cosine = sine * step_cosine + cosine * step_sine, cosine * step_cosine - sine * step_sine
        return products

    def envelope(self, term: int) -> float:
        """A bound of the coefficient that falls with the term: each sin(x)/x is at most 1 and at most 1/x."""
        product = self._normal_factor(term)
        for size, count in self.sizes:
            angle = _FLOAT_PI * term * size
            if angle > 1.0:
                product *= float_power(1.0 / angle, count)
        return product

    def terms_needed(self, exact: Sequence[Fraction]) -> int | None:
        """How many terms bring the truncation of F below 1e-12, None if too many.

        Beyond term J the series adds at most sum 2^k |coefficient(j)| reach^k / (product of 2h (pi j)^k pi j). From J
        to 2J the factors 1/j sum to at most ln 2, and each doubling of j at least halves the rest, so that the whole
        is at most 2/pi times the rest at J.
        """
        ratios = [float(self.reach / half) for half in exact]

        def bound(term: int) -> float:
            product = 2.0 / _FLOAT_PI * self.envelope(term)
            for ratio in ratios:
                product *= ratio / (_FLOAT_PI * term)
            return product

        if bound(_MOST_TERMS) > _TRUNCATION:
            return None
        return bisect_left(range(1, _MOST_TERMS), x=True, key=lambda term: bound(term) <= _TRUNCATION) + 1

    def moments(self, order: int) -> list[Fraction]:
        """E[R^(2i)]/(2i)! for 2i up to the order, from the product of the moment generating functions."""
        length = order // 2 + 1
        series = [(self.normal_variance / 2) ** i / math.factorial(i) for i in range(length)]
        for half in self.half_widths:
            factor = [half ** (2 * i) / Fraction(math.factorial(2 * i + 1)) for i in range(length)]
            series = [sum((series[m] * factor[i - m] for m in range(i + 1)), Fraction(0)) for i in range(length)]
        return series

    def remainder(self, exact: Sequence[Fraction], terms: int) -> _Remainder:
        """The tail moments of this rest, over the widths of the parts that are taken exactly."""
        order = len(exact)
        scale = self.reach**order / _product_of_widths(exact)
        # The integral of sin goes through -cos, -sin, cos and back to sin.
        sign = -1.0 if order % 4 < 2 else 1.0  # noqa: PLR2004 - two of the four
        amplitudes = [
            sign * float(scale) * coefficient / float_power(_FLOAT_PI * term, order + 1)
            for term, coefficient in enumerate(self.coefficients(terms), start=1)
        ]
        polynomial = [float(scale * coefficient) for coefficient in self._polynomial(order)]
        return _Remainder(self.reach, order, tuple(polynomial), tuple(amplitudes))

    def _polynomial(self, order: int) -> list[Fraction]:
        """The polynomial part of E[(R - d)_+^k]/k! in d/reach, for a reach of 1, highest power first."""
        starts = self._starts(order)
        powers = [starts[i] * _signed_inverse_factorial(order - i) for i in range(order + 1)]
        return [_signed_inverse_factorial(order + 1) / 2, *powers]

    def _starts(self, order: int) -> list[Fraction]:
        """The constants of integration: what each tail moment up to the order has at d = 0 beside its series.

        An even one is half the moment of R. An odd one follows from the next even tail moment, which is zero at d = 1
        while its sines are zero there too.
        """
        halves = [moment / self.reach ** (2 * i) / 2 for i, moment in enumerate(self.moments(order + order % 2))]
        starts: list[Fraction] = []
        for i in range(order + 1):
            if i % 2 == 0:
                starts.append(halves[i // 2])
                continue
            known = halves[(i + 1) // 2] + _signed_inverse_factorial(i + 2) / 2
            starts.append(known + sum(starts[m] * _signed_inverse_factorial(i + 1 - m) for m in range(i)))
        return starts


def _signed_inverse_factorial(n: int) -> Fraction:
    return Fraction((-1) ** n, math.factorial(n))
