"""Margins as integers, windows of shifts, and the best margin that no choice can beat.

For a pack with margin = min(c - low, high - c) / half, c is clearance + shift x unit, so the margin is a minimum of
two straight lines in the shift. All lines of a bench are brought to one denominator, `scale`; from there on a
margin is an integer and "margin of at least m" is a window of shifts, an interval of integers.

A target is the same with other ends: 1 - |c - target| / w = min(c - (target - w), (target + w) - c) / w.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, product
from math import ceil, floor, lcm

from calc_engine.selection.bench import Bench, Box
from calc_engine.selection.lattice import holds_point, lattice_basis
from calc_engine.selection.sums import Sums, any_in_range, highest_below, lowest_above, reach

__all__ = ["Gauges", "MarginGauge", "Margins", "feasible_gauges", "nearest_gauges"]

_WIDEST_DIRECTION = 1 << 19
_BITS_IN_A_UNIT = 10_000


@dataclass(frozen=True, slots=True)
class MarginGauge:
    """How one pack's shift is judged; `scale` of the bench is margin 1.

    Attributes:
        low: the scaled margin against the lower end at shift 0; grows by `slope` a unit.
        high: the same against the upper end; falls by `slope` a unit.
        slope: scaled margin for one unit.
        exact: whether the limits have no width, so that only one clearance is right: its margin is 1, and any
            other has the negative margin of the two lines.
        least: smallest shift to be considered.
        greatest: largest shift to be considered.
    """

    low: int
    high: int
    slope: int
    exact: bool
    least: int
    greatest: int

    def margin(self, shift: int, scale: int) -> int:
        """The scaled margin at a shift."""
        value = min(self.low + self.slope * shift, self.high - self.slope * shift)
        return scale if self.exact and value == 0 else value

    def window(self, margin: int) -> tuple[int, int]:
        """The shifts with at least that scaled margin; empty when the first exceeds the second."""
        if self.exact:
            margin = min(margin, 0)
        low = -((self.low - margin) // self.slope)
        high = (self.high - margin) // self.slope
        return max(low, self.least), min(high, self.greatest)


@dataclass(frozen=True, slots=True)
class Gauges:
    """The gauges of all packs, and the scaled margin that stands for 1.

    Attributes:
        of_packs: one for each pack.
        scale: the scaled margin that stands for 1.
        floor: the smallest scaled margin to be considered; None for no such bound.
    """

    of_packs: tuple[MarginGauge, ...]
    scale: int
    floor: int | None = None

    def margins(self, shifts: Sequence[int]) -> list[int] | None:
        """The scaled margin of each pack; None when the shifts are not to be considered."""
        margins = []
        for gauge, shift in zip(self.of_packs, shifts, strict=True):
            if not gauge.least <= shift <= gauge.greatest:
                return None
            margins.append(gauge.margin(shift, self.scale))
        return None if self.floor is not None and min(margins) < self.floor else margins


class Margins:
    """The gauges of a bench, and which margins are worth asking for.

    Attributes:
        scale: the scaled margin that stands for 1.
        sums: for each pack the sums its positions can make.
    """

    def __init__(self, bench: Bench, gauges: Gauges) -> None:
        """Takes the gauges as `feasible_gauges` or `nearest_gauges` makes them."""
        self.scale = gauges.scale
        self._gauges, self._floor = gauges.of_packs, gauges.floor
        self._effort = bench.effort
        self.sums = [_pack_sums(bench, pack) for pack in range(len(bench.packs))]
        self._any = [_union(sums.by_changes) for sums in self.sums]
        self._directions = list(_direction_sums(bench))
        self._lattice = lattice_basis(bench)

    def box(self, margin: int) -> Box:
        """The windows of all packs for at least that margin."""
        return tuple(gauge.window(margin) for gauge in self._gauges)

    def of(self, shifts: Sequence[int]) -> int:
        """The worst margin over the packs, scaled."""
        return min(gauge.margin(shift, self.scale) for gauge, shift in zip(self._gauges, shifts, strict=True))

    def below(self, margin: int) -> int | None:
        """The largest margin under `margin` that some pack can have; None when there is none.

        A solution's margin is one of its packs' margins, and a pack's margin comes from a sum that its positions
        can make. So no solution's margin lies between the answer and `margin`.
        """
        best: int | None = None
        self._effort.spend(sum(1 + bits.bit_length() // _BITS_IN_A_UNIT for bits in self._any))
        for gauge, sums, bits in zip(self._gauges, self.sums, self._any, strict=True):
            low, high = gauge.window(margin)
            under = highest_below(bits, min(low, gauge.greatest + 1) - sums.least)
            over = lowest_above(bits, max(high, gauge.least - 1) - sums.least)
            shifts = [place + sums.least for place in (under, over) if place is not None]
            if gauge.exact and margin > self.scale:
                shifts.append(low)
            values = [gauge.margin(shift, self.scale) for shift in shifts if gauge.least <= shift <= gauge.greatest]
            best = max(values if best is None else [best, *values], default=best)
        return None if best is None or (self._floor is not None and best < self._floor) else best

    def lowest(self) -> int:
        """A margin that every choice to be considered has at least."""
        ends = []
        for gauge, sums in zip(self._gauges, self.sums, strict=True):
            low, high = max(sums.least, gauge.least), min(sums.greatest, gauge.greatest)
            ends += [gauge.margin(low, self.scale), gauge.margin(high, self.scale)]
        return min(ends) if self._floor is None else max(min(ends), self._floor)

    def ceiling(self, changes: int) -> int | None:
        """A margin that no choice with at most that many changes can beat; None when no choice is to be considered.

        The largest margin whose box passes the three tests of `_may_hold`. Boxes only grow when the margin falls,
        so what fails at one margin fails at every larger one, and halving finds the border.
        """
        bits = [_union(sums.by_changes[: changes + 1]) for sums in self.sums]
        low, high = self.lowest(), self.scale + 1
        if not self._may_hold(self.box(low), bits):
            return None
        while high - low > 1:
            middle = (low + high) // 2
            if self._may_hold(self.box(middle), bits):
                low = middle
            else:
                high = middle
        return self.below(low + 1)

    def _may_hold(self, box: Box, bits: Sequence[int]) -> bool:
        """Whether a box can hold a choice's shifts; False is certain, True is not.

        Three necessary conditions: each pack alone can reach its window; so can each sum and difference of packs,
        which is where a shared part that helps one pack and harms the other shows; and the box holds a point of
        the lattice that the steps of all positions span.
        """
        for (low, high), reached, sums in zip(box, bits, self.sums, strict=True):
            if not any_in_range(reached, low - sums.least, high - sums.least):
                return False
        for direction, reached, least in self._directions:
            ends = [sorted((sign * box[pack][0], sign * box[pack][1])) for pack, sign in direction]
            if not any_in_range(reached, sum(e[0] for e in ends) - least, sum(e[1] for e in ends) - least):
                return False
        return holds_point(self._lattice, box)


def feasible_gauges(bench: Bench) -> Gauges:
    """Margins as the bench asks for them, for shifts within the limits only."""
    ends: list[tuple[Fraction, Fraction, Fraction]] = []
    for pack in bench.packs:
        middle = (pack.minimum + pack.maximum) / 2 if pack.target is None else pack.target
        half = max(middle - pack.minimum, pack.maximum - middle)
        ends.append((middle - half, middle + half, half))
    return _gauges(bench, ends, inside=True)


def nearest_gauges(bench: Bench) -> Gauges:
    """Margins against the limits, targets left aside, for every shift that leaves no pack less than no clearance."""
    ends = [(pack.minimum, pack.maximum, (pack.maximum - pack.minimum) / 2) for pack in bench.packs]
    return _gauges(bench, ends, inside=False)


def _gauges(bench: Bench, ends: Sequence[tuple[Fraction, Fraction, Fraction]], *, inside: bool) -> Gauges:
    """Brings all margins to one denominator.

    Limits of no width have no half-width to measure by. The smallest half-width of the other packs serves, so that
    the order of solutions does not depend on the unit of length; with no such pack, any length would do: it is 1.
    """
    measure = min((half for _, _, half in ends if half > 0), default=Fraction(1))
    halves = [half or measure for _, _, half in ends]
    lines = [
        ((pack.clearance - low) / half, (high - pack.clearance) / half, bench.unit / half)
        for pack, (low, high, _), half in zip(bench.packs, ends, halves, strict=True)
    ]
    scale = lcm(*(value.denominator for line in lines for value in line))
    gauges = []
    for index, (pack, line) in enumerate(zip(bench.packs, lines, strict=True)):
        least, greatest = _span(bench, index)
        # Parts cannot overlap: a clearance below zero is a bound pack, and no choice.
        smallest = max(pack.minimum, Fraction(0)) if inside else Fraction(0)
        least = max(least, ceil((smallest - pack.clearance) / bench.unit))
        if inside:
            greatest = min(greatest, floor((pack.maximum - pack.clearance) / bench.unit))
        low, high, slope = (int(value * scale) for value in line)
        gauges.append(MarginGauge(low, high, slope, pack.minimum == pack.maximum, least, greatest))
    return Gauges(tuple(gauges), scale)


def _span(bench: Bench, pack: int) -> tuple[int, int]:
    """The smallest and the largest shift of a pack."""
    low = high = 0
    for slot in bench.slots:
        sign = dict(slot.effect).get(pack, 0)
        steps = [sign * option.step for option in slot.options]
        low, high = low + min(steps), high + max(steps)
    return low, high


def _union(parts: Sequence[int]) -> int:
    """All bits of all parts."""
    whole = 0
    for part in parts:
        whole |= part
    return whole


def _pack_sums(bench: Bench, pack: int) -> Sums:
    """The sums that the positions of one pack can make."""
    touching = [(slot.options, dict(slot.effect)[pack]) for slot in bench.slots if pack in dict(slot.effect)]
    return Sums([options for options, _ in touching], [sign for _, sign in touching], bench.effort)


def _direction_sums(bench: Bench) -> Iterator[tuple[tuple[tuple[int, int], ...], int, int]]:
    """For each sum or difference of packs that positions couple: its packs with signs, its bits, its least sum.

    When every position touches at most two packs, these directions with coefficients -1, 0 and 1 are all the
    facets of the set of shifts that thicknesses between the thinnest and the thickest could reach (the directions
    orthogonal to a flat of a signed graph), so the test is as sharp as a linear programme. In general they are
    simply necessary conditions. From six packs on, only pairs of packs are looked at.
    """
    packs = range(len(bench.packs))
    largest = len(packs) if len(packs) < 6 else 2  # noqa: PLR2004 - beyond that there would be too many directions
    for direction in _directions(packs, largest):
        if not _coupled(bench, direction):
            continue
        signs = dict(direction)
        rows = []
        for slot in bench.slots:
            factor = sum(signs.get(pack, 0) * sign for pack, sign in slot.effect)
            if factor:
                rows.append([factor * option.step for option in slot.options])
        widest = sum(max(row) - min(row) for row in rows)
        if widest <= _WIDEST_DIRECTION:
            bench.effort.spend(sum(map(len, rows)) * (1 + widest // _BITS_IN_A_UNIT))
            yield direction, *reach(rows)


def _directions(packs: Sequence[int], largest: int) -> Iterator[tuple[tuple[int, int], ...]]:
    """Two or more packs, each with its sign; the first counts with 1."""
    for size in range(2, largest + 1):
        for some in combinations(packs, size):
            for signs in product((1, -1), repeat=size - 1):
                yield tuple(zip(some, (1, *signs), strict=True))


def _coupled(bench: Bench, direction: Sequence[tuple[int, int]]) -> bool:
    """Whether shared positions join all packs of a direction; if not, its parts already say everything."""
    packs = {pack for pack, _ in direction}
    joined, border = set(), {direction[0][0]}
    while border:
        joined |= border
        border = {
            pack
            for slot in bench.slots
            if joined & {p for p, _ in slot.effect}
            for pack, _ in slot.effect
            if pack in packs and pack not in joined
        }
    return joined == packs
