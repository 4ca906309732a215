"""Tolerance stack of a gap: worst case, root sum square, and the distribution of what rebuilds will measure.

The gap is the cavity less the parts in it. Every part varies on its own within its tolerance, so the gap's
distribution is a convolution of uniform, triangular and normal ones. It is computed (see `convolution`), not sampled.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from typing import Final, Literal

from calc_engine.maths.convolution import CentredSum, centred_sum
from calc_engine.maths.distributions import stock_for
from calc_engine.maths.functions import square_root, to_decimal, working_precision

__all__ = [
    "Bin", "ChoiceForecast", "ChoicesForecast", "GapDistribution", "SelectiveSize", "Shape", "Span", "StackPart", "Stocking",
    "forecast_choices", "gap_distribution", "mean", "rss", "standard_deviation", "worst_case",
]  # fmt: skip

Shape = Literal["uniform", "normal", "triangular"]


@dataclass(frozen=True, slots=True)
class Span:
    """A lowest and a highest length."""

    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class StackPart:
    """The cavity, or a part in it, with its tolerance; all lengths in one unit.

    Attributes:
        name: what it is.
        nominal: the length on the drawing.
        plus: how far above nominal it may be.
        minus: how far below nominal it may be; negative where even the smallest is above nominal.
        count: how many of them, each varying on its own; at least 1.
        shape: how its length is spread over the tolerance. Normal: the tolerance is three standard deviations
            either way, and a few parts fall outside it.
        middle: the middle of the tolerance.
        tolerance: half its width.
    """

    name: str
    nominal: Fraction
    plus: Fraction
    minus: Fraction
    count: int = 1
    shape: Shape = "uniform"
    middle: Fraction = field(init=False)
    tolerance: Fraction = field(init=False)

    def __post_init__(self) -> None:
        if self.count < 1:
            raise ValueError(f"{self.name}: a count of {self.count} is not at least 1")
        if self.plus + self.minus < 0:
            raise ValueError(f"{self.name}: the largest length is below the smallest")
        object.__setattr__(self, "middle", self.nominal + (self.plus - self.minus) / 2)
        object.__setattr__(self, "tolerance", (self.plus + self.minus) / 2)

    @property
    def variance(self) -> Fraction:
        """The variance of one of them: t^2/3 uniform, t^2/6 triangular (JCGM 100:2008, 4.3.7-9), t^2/9 normal."""
        return self.tolerance**2 / _VARIANCE_DIVISORS[self.shape]


_VARIANCE_DIVISORS: Final[dict[Shape, int]] = {"uniform": 3, "triangular": 6, "normal": 9}


def mean(cavity: StackPart, parts: Sequence[StackPart]) -> Fraction:
    """The mean gap, exact.

    Args:
        cavity: what the parts go into.
        parts: the parts.

    Returns:
        The middle of the cavity less the middles of all parts.

    Example:
        >>> cavity = StackPart("drum", Fraction(20), Fraction("0.1"), Fraction("0.1"))
        >>> plates = StackPart("plate", Fraction(2), Fraction("0.05"), Fraction("0.05"), count=9)
        >>> mean(cavity, [plates])
        Fraction(2, 1)
    """
    return cavity.count * cavity.middle - sum((part.count * part.middle for part in parts), Fraction(0))


def standard_deviation(cavity: StackPart, parts: Sequence[StackPart]) -> Fraction:
    """The standard deviation of the gap.

    Args:
        cavity: what the parts go into.
        parts: the parts.

    Returns:
        The root of the sum of all variances, to 70 significant digits.

    Source: JCGM 100:2008, 5.1.2.

    Example:
        >>> cavity = StackPart("drum", Fraction(20), Fraction("0.1"), Fraction("0.1"))
        >>> plates = StackPart("plate", Fraction(2), Fraction("0.05"), Fraction("0.05"), count=9)
        >>> f"{float(standard_deviation(cavity, [plates])):.4f}"
        '0.1041'
    """
    return square_root(_variance([cavity, *parts]))


def _variance(parts: Sequence[StackPart]) -> Fraction:
    return sum((part.count * part.variance for part in parts), Fraction(0))


def worst_case(cavity: StackPart, parts: Sequence[StackPart]) -> Span:
    """The smallest and the largest gap if every part is at the end of its tolerance, exact.

    Args:
        cavity: what the parts go into.
        parts: the parts.

    Returns:
        mean -+ sum n t. Normal parts may go beyond it.

    Example:
        >>> cavity = StackPart("drum", Fraction(20), Fraction("0.1"), Fraction("0.1"))
        >>> plates = StackPart("plate", Fraction(2), Fraction("0.05"), Fraction("0.05"), count=9)
        >>> worst_case(cavity, [plates])
        Span(low=Fraction(29, 20), high=Fraction(51, 20))
    """
    reach = sum((part.count * part.tolerance for part in [cavity, *parts]), Fraction(0))
    middle = mean(cavity, parts)
    return Span(middle - reach, middle + reach)


def rss(cavity: StackPart, parts: Sequence[StackPart]) -> Span:
    """The root sum square range of the gap.

    Args:
        cavity: what the parts go into.
        parts: the parts.

    Returns:
        mean -+ sqrt(sum n t^2), the root to 70 significant digits.

    Example:
        >>> cavity = StackPart("drum", Fraction(20), Fraction("0.1"), Fraction("0.1"))
        >>> plates = StackPart("plate", Fraction(2), Fraction("0.05"), Fraction("0.05"), count=9)
        >>> span = rss(cavity, [plates])
        >>> f"{float(span.low):.4f} to {float(span.high):.4f}"
        '1.8197 to 2.1803'
    """
    reach = square_root(sum((part.count * part.tolerance**2 for part in [cavity, *parts]), Fraction(0)))
    middle = mean(cavity, parts)
    return Span(middle - reach, middle + reach)


@dataclass(frozen=True, slots=True)
class Bin:
    """One bar of a histogram: from low to high, with the probability of a gap in it."""

    low: Fraction
    high: Fraction
    probability: float


@dataclass(frozen=True, slots=True)
class GapDistribution:
    """The distribution of a gap. Made by `gap_distribution`.

    Attributes:
        mean: the mean gap, exact.
        standard_deviation: to 70 significant digits.
        limits: the smallest and largest possible gap; None where a normal part leaves it open.
        deviation: the distribution about the mean; None where every part is fixed.
    """

    mean: Fraction
    standard_deviation: Fraction
    limits: Span | None
    deviation: CentredSum | None

    def cdf(self, gap: Fraction) -> float:
        """The probability of at most this gap.

        Args:
            gap: in the unit of the parts.

        Returns:
            The probability, right to 1e-10; with nothing but fixed parts exactly 0 or 1.
        """
        if self.deviation is None:
            return 1.0 if gap >= self.mean else 0.0
        return self.deviation.cdf(gap - self.mean)

    def probability_within(self, span: Span) -> float:
        """The middle one of `shares`."""
        return self.shares(span)[1]

    def shares(self, span: Span) -> tuple[float, float, float]:
        """The probabilities of a gap below a span, within it, its ends included, and above it.

        Args:
            span: in the unit of the parts.

        Returns:
            The three, each right to 1e-10; with nothing but fixed parts exactly 0 or 1.
        """
        if self.deviation is None:
            return float(self.mean < span.low), float(span.low <= self.mean <= span.high), float(self.mean > span.high)
        below, up_to = self.cdf(span.low), self.cdf(span.high)
        return below, max(up_to - below, 0.0), 1.0 - up_to

    def histogram(self, bins: int) -> tuple[Bin, ...]:
        """Bars for a picture, over four standard deviations either way or the possible gaps if they are narrower.

        Args:
            bins: how many bars of equal width, at least 1.

        Returns:
            The bars in rising order; a single one without width where every part is fixed.
        """
        if self.deviation is None:
            return (Bin(self.mean, self.mean, 1.0),)
        with working_precision(_EDGE_DIGITS):
            # The width is rounded, not the reach: edges that are told are short then.
            width = Fraction(to_decimal(8 * self.standard_deviation / bins))
        if self.limits is not None:
            width = min(width, 2 * (self.limits.high - self.mean) / bins)
        first = self.mean - width * bins / 2
        edges = [first + i * width for i in range(bins + 1)]
        # The distribution is symmetric, and so are the edges: half of it is enough.
        lower = [self.cdf(edge) for edge in edges[: bins // 2 + 1]]
        at_most = lower + [1.0 - below for below in reversed(lower[: (bins + 1) // 2])]
        return tuple(
            Bin(low, high, max(above - below, 0.0))
            for (low, high), (below, above) in zip(pairwise(edges), pairwise(at_most), strict=True)
        )


_EDGE_DIGITS: Final = 6


def gap_distribution(cavity: StackPart, parts: Sequence[StackPart]) -> GapDistribution:
    """The distribution of the gap.

    Args:
        cavity: what the parts go into.
        parts: the parts, all lengths in one unit.

    Returns:
        The distribution; its probabilities are right to 1e-10.

    Source: the convolution of independent distributions; see `convolution`.
    """
    everything = [cavity, *parts]
    half_widths = [half for part in everything for half in _half_widths(part)]
    normal_variance = _variance([part for part in everything if part.shape == "normal"])
    fixed = not half_widths and not normal_variance
    return GapDistribution(
        mean=mean(cavity, parts),
        standard_deviation=standard_deviation(cavity, parts),
        limits=None if normal_variance else worst_case(cavity, parts),
        deviation=None if fixed else centred_sum(half_widths, normal_variance),
    )


def _half_widths(part: StackPart) -> list[Fraction]:
    """The uniforms that a part is the sum of. A triangular one is the sum of two of half its tolerance."""
    if part.tolerance == 0 or part.shape == "normal":
        return []
    if part.shape == "triangular":
        return [part.tolerance / 2] * (2 * part.count)
    return [part.tolerance] * part.count


@dataclass(frozen=True, slots=True)
class SelectiveSize:
    """One size of a selective part: a thicker one takes more of the gap."""

    id: str
    thickness: Fraction


@dataclass(frozen=True, slots=True)
class ChoiceForecast:
    """What one size of a selective part will be needed for.

    Attributes:
        choice: the size.
        p_in: the probability that a rebuild is within limits if this size is always fitted.
        demand: the probability that this size comes nearest the centre of the limits.
        stock: pieces that cover the demand of the rebuilds with the wanted probability; None if not asked.
    """

    choice: SelectiveSize
    p_in: float
    demand: float
    stock: int | None


@dataclass(frozen=True, slots=True)
class ChoicesForecast:
    """The forecast for each size, in the order given.

    Attributes:
        choices: one forecast a size; the demands sum to 1.
        p_none: the probability that even the nearest size is outside the limits.
    """

    choices: tuple[ChoiceForecast, ...]
    p_none: float


@dataclass(frozen=True, slots=True)
class Stocking:
    """A number of rebuilds, and the probability with which the stock of a size shall cover them."""

    units: int
    service: Fraction


def forecast_choices(
    gap: GapDistribution, choices: Sequence[SelectiveSize], limits: Span, stocking: Stocking | None = None
) -> ChoicesForecast:
    """How often each size of a selective part will be the right one.

    The gap is measured without the selective part; each rebuild then gets the size whose clearance, gap less
    thickness, is nearest the centre of the limits. Of two sizes that are equally near the one listed first is taken.

    Args:
        gap: the distribution of the gap without the selective part.
        choices: the sizes, at least one.
        limits: of the clearance, ends included.
        stocking: rebuilds to be stocked for, if asked.

    Returns:
        Per size the probability to be within limits and the demand, and the probability that none fits.
    """
    demands = _fixed_demands(gap, choices, limits) if gap.deviation is None else _demands(gap, choices, limits)
    windows = [Span(limits.low + choice.thickness, limits.high + choice.thickness) for choice in choices]
    p_in = [gap.probability_within(window) for window in windows]
    forecasts = (
        ChoiceForecast(choice, within, demand, _stock(demand, stocking))
        for choice, within, demand in zip(choices, p_in, demands, strict=True)
    )
    p_none = (0.0 if any(p_in) else 1.0) if gap.deviation is None else _outside(gap, windows)
    return ChoicesForecast(tuple(forecasts), p_none)


def _demands(gap: GapDistribution, choices: Sequence[SelectiveSize], limits: Span) -> list[float]:
    """Between two sizes the boundary is where both are equally far from the centre."""
    centre = (limits.low + limits.high) / 2
    sizes = sorted({choice.thickness for choice in choices})
    boundaries = [gap.cdf(centre + (thin + thick) / 2) for thin, thick in pairwise(sizes)]
    shares = {
        size: max(above - below, 0.0) for size, (below, above) in zip(sizes, pairwise([0.0, *boundaries, 1.0]), strict=True)
    }
    # The first of several equal sizes takes their whole share.
    return [shares.pop(choice.thickness, 0.0) for choice in choices]


def _fixed_demands(gap: GapDistribution, choices: Sequence[SelectiveSize], limits: Span) -> list[float]:
    centre = (limits.low + limits.high) / 2
    misses = [abs(gap.mean - choice.thickness - centre) for choice in choices]
    taken = misses.index(min(misses))
    return [1.0 if i == taken else 0.0 for i in range(len(choices))]


def _outside(gap: GapDistribution, windows: Sequence[Span]) -> float:
    """The probability of a gap in none of the windows, which are equally wide."""
    ordered = sorted(windows, key=lambda window: window.low)
    total = gap.cdf(ordered[0].low) + (1.0 - gap.cdf(ordered[-1].high))
    for lower, upper in pairwise(ordered):
        if upper.low > lower.high:
            total += gap.probability_within(Span(lower.high, upper.low))
    return total


def _stock(demand: float, stocking: Stocking | None) -> int | None:
    if stocking is None:
        return None
    # Digits below the accuracy of the demand are noise, which must not ask for a piece.
    p = Fraction(round(demand * _DEMAND_STEPS), _DEMAND_STEPS)
    return stock_for(stocking.units, p, stocking.service)


_DEMAND_STEPS: Final = 10**10
