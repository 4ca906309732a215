"""Worst case, root sum square, distribution of a gap and demand for selective sizes."""

import math
from fractions import Fraction

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from calc_engine.maths.distributions import normal_cdf, stock_for
from calc_engine.maths.tolerance_stack import (
    Bin,
    GapDistribution,
    SelectiveSize,
    Shape,
    Span,
    StackPart,
    Stocking,
    forecast_choices,
    gap_distribution,
    mean,
    rss,
    standard_deviation,
    worst_case,
)

LENGTHS = st.decimals(min_value=0, max_value=50, places=3).map(Fraction)
TOLERANCES = st.decimals(min_value=0, max_value="0.5", places=3).map(Fraction)
SHAPES: st.SearchStrategy[Shape] = st.sampled_from(["uniform", "normal", "triangular"])
PARTS = st.builds(StackPart, st.just("part"), LENGTHS, TOLERANCES, TOLERANCES, st.integers(1, 6), SHAPES)
STACKS = st.tuples(PARTS, st.lists(PARTS, max_size=5))


def part(nominal: str, plus: str, minus: str | None = None, count: int = 1, shape: Shape = "uniform") -> StackPart:
    """A part from decimal strings; one tolerance stands for both."""
    return StackPart("part", Fraction(nominal), Fraction(plus), Fraction(plus if minus is None else minus), count, shape)


def span(low: str, high: str) -> Span:
    """A span from decimal strings."""
    return Span(Fraction(low), Fraction(high))


# Worst case and root sum square


def test_the_shouldered_screw() -> None:
    """Shigley's Mechanical Engineering Design, ch. 1 (recalled): the gap is 0.005 +- 0.010 in."""
    cavity = part("1.750", "0.003")
    parts = [part("0.750", "0.001"), part("0.120", "0.005"), part("0.875", "0.001")]
    assert mean(cavity, parts) == Fraction("0.005")
    assert worst_case(cavity, parts) == span("-0.005", "0.015")


def test_a_four_part_gap() -> None:
    """20.0+-.1 less 15.0+-.05, 4.8+-.08 and 0.2+-.02: nominal 0, worst case +-0.25 (an anonymous page, a weak source)."""
    assert worst_case(part("20", "0.1"), [part("15", "0.05"), part("4.8", "0.08"), part("0.2", "0.02")]) == span("-0.25", "0.25")


def test_bore_spacer_ring_and_shoulder() -> None:
    """metricmech.com's example: 40.00+-.10 less 25.00+-.05, 2.00+-.03, 10.00+-.05 mm: gap 3.00; +-0.23 and +-0.126 recomputed."""
    cavity, parts = part("40", "0.10"), [part("25", "0.05"), part("2", "0.03"), part("10", "0.05")]
    assert mean(cavity, parts) == 3
    assert worst_case(cavity, parts) == span("2.77", "3.23")
    assert round(rss(cavity, parts).high, 3) == Fraction("3.126")


def test_ten_equal_parts() -> None:
    """Ten parts of +-0.1: root sum square 0.316, worst case 1.0 (an anonymous page on the method, a weak source)."""
    parts = [part("1", "0.1", count=10)]
    assert worst_case(part("11", "0"), parts) == span("0", "2")
    low, high = rss(part("11", "0"), parts).low, rss(part("11", "0"), parts).high
    assert round(high - 1, 3) == Fraction("0.316")
    assert low + high == 2


@pytest.mark.parametrize(
    ("hole", "shaft", "low", "high"),
    [
        (part("25", "0.021", "0"), part("25", "0.041", "-0.028"), "-0.041", "-0.007"),
        (part("50", "0.039", "0"), part("50", "-0.009", "0.034"), "0.009", "0.073"),
        (part("30", "0.025", "0"), part("30", "0.011", "0.005"), "-0.011", "0.030"),
    ],
)
def test_fits_with_one_sided_tolerances(hole: StackPart, shaft: StackPart, low: str, high: str) -> None:
    """U.C. Jindal, Machine Design, Ex 4-2 to 4-4, p. 112-114: clearances and interferences of three fits."""
    assert worst_case(hole, [shaft]) == span(low, high)


def test_unequal_tolerances_move_the_middle() -> None:
    """Plus 0.3 and minus 0.1 put the middle 0.1 above nominal, 0.2 to either side."""
    one = part("5", "0.3", "0.1")
    assert (one.middle, one.tolerance) == (Fraction("5.1"), Fraction("0.2"))
    assert mean(part("10", "0"), [one]) == Fraction("4.9")


@pytest.mark.parametrize(("shape", "variance"), [("uniform", "0.03"), ("triangular", "0.015"), ("normal", "0.01")])
def test_variances_of_the_shapes(shape: Shape, variance: str) -> None:
    """JCGM 100:2008, 4.3.7 and 4.3.9: t^2/3 and t^2/6; a normal part's tolerance is three standard deviations."""
    assert part("1", "0.3", shape=shape).variance == Fraction(variance)
    four = standard_deviation(part("9", "0"), [part("1", "0.3", count=4, shape=shape)])
    assert math.isclose(four**2, 4 * Fraction(variance), rel_tol=1e-30)


def test_a_part_without_sense_is_refused() -> None:
    """The refusal names the part and what is wrong."""
    with pytest.raises(ValueError, match=r"^ring: a count of 0 is not at least 1$"):
        StackPart("ring", Fraction(1), Fraction(0), Fraction(0), 0)
    with pytest.raises(ValueError, match=r"^ring: the largest length is below the smallest$"):
        StackPart("ring", Fraction(1), Fraction(1, 10), Fraction(-1, 5))


# Distribution


def test_two_uniform_parts_are_a_triangle() -> None:
    """The difference of two equal uniforms is triangular (scipy)."""
    gap = gap_distribution(part("3", "0.2"), [part("2", "0.2")])
    for i in range(41):
        x = Fraction(6, 10) + Fraction(i, 50)
        assert math.isclose(gap.cdf(x), scipy.stats.triang.cdf(float(x), 0.5, 0.6, 0.8), abs_tol=1e-14)


def test_a_triangular_part_is_a_triangle() -> None:
    """A triangular part alone has its own distribution (scipy), with its middle moved by unequal tolerances."""
    gap = gap_distribution(part("3", "0"), [part("2", "0.3", "0.1", shape="triangular")])
    for i in range(41):
        x = Fraction(7, 10) + Fraction(i, 100)
        assert math.isclose(gap.cdf(x), scipy.stats.triang.cdf(float(x), 0.5, 0.7, 0.4), abs_tol=1e-14)


def test_normal_parts_alone_are_normal() -> None:
    """Normal parts add up to a normal with the sum of their variances."""
    gap = gap_distribution(part("9", "0.3", shape="normal"), [part("2", "0.3", count=3, shape="normal")])
    assert gap.limits is None
    for i in range(-40, 41):
        assert math.isclose(gap.cdf(3 + Fraction(i, 50)), normal_cdf(i / 10), abs_tol=1e-12)


def test_one_uniform_part_has_hard_edges() -> None:
    """Nothing outside, an even share inside, exact."""
    gap = gap_distribution(part("3", "0.2"), [part("2", "0")])
    assert [gap.cdf(Fraction(x)) for x in ("0.7999", "0.8", "0.9", "1", "1.1", "1.2", "1.3")] == [0, 0, 0.25, 0.5, 0.75, 1, 1]
    assert gap.limits == span("0.8", "1.2")


def test_fixed_parts_give_a_step_and_a_value_on_a_limit_is_in() -> None:
    """With nothing that varies every probability is exactly 0 or 1."""
    gap = gap_distribution(part("3", "0"), [part("0.5", "0", count=4, shape="normal")])
    assert gap.deviation is None
    assert [gap.cdf(Fraction(x)) for x in ("0.999", "1", "1.001")] == [0.0, 1.0, 1.0]
    within = [
        gap.probability_within(span(*ends)) for ends in (("1", "2"), ("0", "1"), ("1", "1"), ("1.001", "2"), ("0", "0.999"))
    ]
    assert within == [1.0, 1.0, 1.0, 0.0, 0.0]
    assert gap.histogram(5) == (Bin(Fraction(1), Fraction(1), 1.0),)


@settings(max_examples=60)
@given(STACKS, st.lists(LENGTHS, min_size=2, max_size=5))
def test_the_distribution_rises_and_mirrors_about_the_mean(
    stack: tuple[StackPart, list[StackPart]], offsets: list[Fraction]
) -> None:
    """From 0 to 1, never falling (but for its accuracy), symmetric about the mean."""
    gap = gap_distribution(*stack)
    values = [gap.cdf(gap.mean + offset - 25) for offset in sorted(offsets)]
    assert all(0.0 <= value <= 1.0 for value in values)
    assert all(values[i] <= values[i + 1] + 1e-12 for i in range(len(values) - 1))
    if gap.deviation is not None:
        for offset in offsets:
            assert math.isclose(gap.cdf(gap.mean - offset) + gap.cdf(gap.mean + offset), 1.0, abs_tol=1e-12)


@given(STACKS, LENGTHS, LENGTHS)
def test_a_larger_cavity_shifts_everything_by_as_much(
    stack: tuple[StackPart, list[StackPart]], more: Fraction, x: Fraction
) -> None:
    """The cavity moves the gap and leaves its spread; adding the same fixed part takes it back."""
    cavity, parts = stack
    grown = StackPart(cavity.name, cavity.nominal + more / cavity.count, cavity.plus, cavity.minus, cavity.count, cavity.shape)
    shifted = gap_distribution(grown, parts)
    gap = gap_distribution(cavity, parts)
    assert shifted.mean == gap.mean + more
    assert shifted.standard_deviation == gap.standard_deviation
    assert shifted.cdf(x + more) == gap.cdf(x)
    assert gap_distribution(grown, [*parts, StackPart("spacer", more, Fraction(0), Fraction(0))]) == gap


@given(STACKS, st.integers(1, 30))
def test_the_histogram_adds_up_to_what_it_covers(stack: tuple[StackPart, list[StackPart]], bins: int) -> None:
    """The bars are equally wide, stand in the middle and hold all but what lies beyond them."""
    gap = gap_distribution(*stack)
    bars = gap.histogram(bins)
    assert len(bars) == (1 if gap.deviation is None else bins)
    assert bars[0].low + bars[-1].high == 2 * gap.mean
    assert len({bar.high - bar.low for bar in bars}) == 1
    covered = sum(bar.probability for bar in bars)
    assert math.isclose(covered, gap.probability_within(Span(bars[0].low, bars[-1].high)), abs_tol=1e-12)
    assert covered >= 1 - 7e-5
    if gap.limits is not None:
        assert gap.limits.low <= bars[0].low


def test_the_histogram_of_a_normal_reaches_four_standard_deviations() -> None:
    """With an open end the picture stops at four standard deviations."""
    bars = gap_distribution(part("2", "0.3", shape="normal"), []).histogram(8)
    assert (bars[0].low, bars[-1].high) == (Fraction("1.6"), Fraction("2.4"))
    assert math.isclose(bars[3].probability, normal_cdf(0) - normal_cdf(-1), abs_tol=1e-12)


# Selective sizes


def uniform_gap() -> GapDistribution:
    """A gap spread evenly from 2 to 3."""
    return gap_distribution(part("2.5", "0.5"), [])


def choices(*sizes: str) -> list[SelectiveSize]:
    """Sizes named by their thickness."""
    return [SelectiveSize(size, Fraction(size)) for size in sizes]


def test_demand_by_hand() -> None:
    """A gap even over 2 to 3, limits 0.9 to 1.1, sizes 1.1, 1.5, 1.7: nearest below 2.3, to 2.6, above it."""
    forecast = forecast_choices(uniform_gap(), choices("1.1", "1.5", "1.7"), span("0.9", "1.1"))
    assert [round(each.demand, 12) for each in forecast.choices] == [0.3, 0.3, 0.4]
    assert [round(each.p_in, 12) for each in forecast.choices] == [0.2, 0.2, 0.2]
    # in 2.0-2.2, 2.4-2.8 (two windows that touch at 2.6); outside in 2.2-2.4 and 2.8-3.0
    assert round(forecast.p_none, 12) == 0.4
    assert [each.stock for each in forecast.choices] == [None, None, None]


def test_overlapping_windows_are_counted_once() -> None:
    """Sizes closer than the limits are wide leave nothing out between them."""
    forecast = forecast_choices(uniform_gap(), choices("1.2", "1.4", "1.6", "1.8"), span("0.8", "1.2"))
    assert round(forecast.p_none, 12) == 0.0
    assert round(sum(each.p_in for each in forecast.choices), 12) == 1.6


def test_the_order_of_the_list_is_kept_and_does_not_matter() -> None:
    """The same sizes in another order get the same demand each."""
    forward = forecast_choices(uniform_gap(), choices("1.1", "1.5", "1.7"), span("0.9", "1.1"))
    backward = forecast_choices(uniform_gap(), choices("1.7", "1.5", "1.1"), span("0.9", "1.1"))
    assert backward.choices == forward.choices[::-1]


def test_of_equal_sizes_the_first_takes_all() -> None:
    """Two names for one thickness: the one listed first is always at hand first."""
    sizes = [SelectiveSize("a", Fraction("1.5")), SelectiveSize("b", Fraction("1.5"))]
    forecast = forecast_choices(uniform_gap(), sizes, span("0.9", "1.1"))
    assert [each.demand for each in forecast.choices] == [1.0, 0.0]
    assert forecast.choices[0].p_in == forecast.choices[1].p_in


@pytest.mark.parametrize(
    ("sizes", "demands", "p_none"),
    [
        (("1.4", "1.6"), [1.0, 0.0], 0.0),  # equally near: the first in the list
        (("1.6", "1.4"), [1.0, 0.0], 0.0),
        (("1.3", "1.6"), [0.0, 1.0], 0.0),
        (("1.3", "1.8"), [1.0, 0.0], 1.0),  # equally near is exact: 0.2 and 0.3 off
        (("1.61", "1.39"), [1.0, 0.0], 1.0),
    ],
)
def test_with_fixed_parts_one_size_is_taken(sizes: tuple[str, ...], demands: list[float], p_none: float) -> None:
    """A gap of exactly 2.5 and limits 0.9 to 1.1: on a limit is in, 0.01 beyond is not."""
    gap = gap_distribution(part("2.5", "0"), [])
    forecast = forecast_choices(gap, choices(*sizes), span("0.9", "1.1"))
    assert [each.demand for each in forecast.choices] == demands
    assert forecast.p_none == p_none


def test_stock_follows_from_the_demand() -> None:
    """Forty rebuilds at 95 %: the binomial stock of each size's demand, here exactly 1/4, 1/4 and 1/2."""
    forecast = forecast_choices(uniform_gap(), choices("1", "1.5", "1.5", "2"), span("1", "1"), Stocking(40, Fraction(19, 20)))
    assert [each.stock for each in forecast.choices] == [
        stock_for(40, Fraction(1, 4), Fraction(19, 20)),
        stock_for(40, Fraction(1, 2), Fraction(19, 20)),
        0,
        stock_for(40, Fraction(1, 4), Fraction(19, 20)),
    ]


def test_a_demand_within_the_noise_asks_for_no_piece() -> None:
    """A size that nobody needs is not stocked, even at a service very close to 1."""
    gap = gap_distribution(part("2.5", "0.1", shape="normal"), [])
    forecast = forecast_choices(gap, choices("1.5", "2.1"), span("0.9", "1.1"), Stocking(1000, 1 - Fraction(1, 10**9)))
    assert [each.stock for each in forecast.choices] == [1000, 0]


@settings(max_examples=60)
@given(STACKS, st.lists(LENGTHS, min_size=1, max_size=6), LENGTHS, TOLERANCES)
def test_demands_and_probabilities_hang_together(
    stack: tuple[StackPart, list[StackPart]], sizes: list[Fraction], low: Fraction, width: Fraction
) -> None:
    """Demands sum to 1; what one size can do alone, and the best of all, bound each other."""
    gap = gap_distribution(*stack)
    limits = Span(gap.mean + low - 30, gap.mean + low - 30 + width)
    forecast = forecast_choices(gap, [SelectiveSize(str(i), size) for i, size in enumerate(sizes)], limits)
    assert math.isclose(sum(each.demand for each in forecast.choices), 1.0, abs_tol=1e-12)
    p_in = [each.p_in for each in forecast.choices]
    assert all(0.0 <= p <= 1.0 for p in p_in)
    assert max(p_in) - 1e-12 <= 1.0 - forecast.p_none <= sum(p_in) + 1e-12


def test_a_whole_forecast_agrees_with_a_seeded_simulation() -> None:
    """Three shapes, unequal tolerances, five sizes: p_in, demand and p_none within five standard errors of 400 000 draws."""
    cavity = part("24.50", "0.10", "0.02")
    parts = [
        part("1.70", "0.05", count=5),
        part("1.80", "0.03", count=5, shape="triangular"),
        part("3.10", "0.04", "0.00", shape="normal"),
    ]
    limits, sizes = span("1.00", "1.10"), choices("2.70", "2.80", "2.92", "3.05", "3.30")
    draws, random = 400_000, np.random.default_rng(20250101)
    gap = 24.54 + random.uniform(-0.06, 0.06, draws)
    gap -= (1.70 + random.uniform(-0.05, 0.05, (5, draws))).sum(axis=0)
    gap -= random.triangular(1.77, 1.80, 1.83, (5, draws)).sum(axis=0)
    gap -= random.normal(3.12, 0.02 / 3, draws)
    clearances = gap - np.array([[float(size.thickness)] for size in sizes])
    inside = (clearances >= 1.00) & (clearances <= 1.10)
    nearest = np.abs(clearances - 1.05).argmin(axis=0)
    forecast = forecast_choices(gap_distribution(cavity, parts), sizes, limits)
    pairs = [(each.p_in, inside[i].mean()) for i, each in enumerate(forecast.choices)]
    pairs += [(each.demand, (nearest == i).mean()) for i, each in enumerate(forecast.choices)]
    pairs += [(forecast.p_none, 1.0 - inside.any(axis=0).mean())]
    for ours, drawn in pairs:
        assert abs(ours - drawn) <= 5 * math.sqrt(max(ours * (1 - ours), 1 / draws) / draws)
    assert 0.001 < forecast.p_none < 0.5
    assert sum(each.demand > 0.01 for each in forecast.choices) >= 3
