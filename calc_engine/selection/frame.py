"""One question to the search: which choices keep every pack in its window with at most so many changes?

The frame knows the question and answers what a part of the bench may still do, given the best that all the other
positions could contribute. Those bounds only leave out what cannot be completed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, combinations
from math import gcd, prod, sqrt

from calc_engine.selection.bench import Bench, Box, SlotOption
from calc_engine.selection.sums import Sums, any_in_range

__all__ = ["Frame", "Group", "groups_of"]


_SET_OF_PACKS = 10


@dataclass(frozen=True)
class Group:
    """Positions that move the packs alike, so that only the sum of their steps counts.

    Attributes:
        slots: indices of the positions, ascending.
        effect: pack to sign, of the first of them; the others count with 1 or -1 against it.
        variants: the watched id that is drawn (None for none) with the sums that can be made so. A position that
            may draw a watched id stands alone in its group.
    """

    slots: tuple[int, ...]
    effect: dict[int, int]
    variants: tuple[tuple[str | None, Sums], ...]

    @cached_property
    def mask(self) -> int:
        """The positions as bits."""
        return sum(1 << slot for slot in self.slots)


def groups_of(bench: Bench) -> tuple[Group, ...]:
    """Splits the positions into groups; there are at least two, some empty if need be.

    Args:
        bench: the packs and places.
    """
    alike: dict[tuple[object, ...], list[int]] = {}
    for index, slot in enumerate(bench.slots):
        first = slot.effect[0][1] if slot.effect else 1
        alone = index if any(option.shelf in bench.watched for option in slot.options) else -1
        alike.setdefault((alone, *((pack, sign * first) for pack, sign in slot.effect)), []).append(index)
    groups = [_group(bench, slots) for slots in alike.values()]
    empty = [Group((), {}, ((None, Sums((), (), bench.effort)),))] * (2 - len(groups))
    return (*groups, *empty)


def _group(bench: Bench, slots: Sequence[int]) -> Group:
    """The group of the given positions."""
    effect = dict(bench.slots[slots[0]].effect)
    signs = [_sign(bench.slots[slot].effect) * _sign(bench.slots[slots[0]].effect) for slot in slots]
    rows = [bench.slots[slot].options for slot in slots]
    variants: list[tuple[str | None, Sums]]
    drawn: dict[str | None, list[SlotOption]] = {}
    if len(rows) == 1:
        for option in rows[0]:
            drawn.setdefault(option.shelf if option.shelf in bench.watched else None, []).append(option)
        variants = [(shelf, Sums([options], signs, bench.effort)) for shelf, options in drawn.items()]
    else:
        variants = [(None, Sums(rows, signs, bench.effort))]
    return Group(tuple(slots), effect, tuple(variants))


def _sign(effect: Sequence[tuple[int, int]]) -> int:
    """The sign on the first pack."""
    return effect[0][1] if effect else 1


class Spreads:
    """How far the shifts of each pack spread, for estimates of what a plan costs."""

    def __init__(self, bench: Bench, ranges: Iterable[tuple[Group, int, int]]) -> None:
        """Takes each group with the smallest and the largest sum that it may have."""
        steps: list[list[int]] = [[] for _ in bench.packs]
        for slot in bench.slots:
            for pack, _ in slot.effect:
                steps[pack] += [option.step for option in slot.options]
        self.common = [gcd(*some) or 1 for some in steps]
        self._squares: list[list[tuple[int, float]]] = [[] for _ in bench.packs]
        for group, low, high in ranges:
            for pack in group.effect:
                self._squares[pack].append((group.mask, (high - low) ** 2 / len(group.slots)))
        self._known: dict[tuple[int, int], float] = {}

    def of(self, pack: int, mask: int) -> float:
        """About how many different shifts the positions of `mask` give to a pack, near their middle.

        Evenly drawn steps of range r have the standard deviation r / sqrt(12); a normal distribution is as high in
        the middle as an even one sqrt(2 pi) standard deviations wide.
        """
        if (pack, mask) not in self._known:
            squares = sum(square for some, square in self._squares[pack] if mask & some)
            self._known[pack, mask] = max(1.0, 0.72 * sqrt(squares) / self.common[pack])
        return self._known[pack, mask]


class Frame:
    """Windows and a largest number of changes, with the bounds that follow from them.

    Attributes:
        bench: the bench in units.
        box: for each pack the smallest and the largest allowed shift.
        most: the largest number of changes.
        touching: for each pack, its positions as bits.
    """

    def __init__(self, bench: Bench, sums: Sequence[Sums], box: Box, most: int) -> None:
        """Takes the sums of each pack's positions as well, for the fewest changes that reach a window."""
        self.bench, self.box, self.most = bench, box, most
        self.touching = [0] * len(box)
        self._gains: list[list[tuple[int, int, int]]] = [[] for _ in box]
        for index, slot in enumerate(bench.slots):
            for pack, sign in slot.effect:
                steps = [sign * option.step for option in slot.options]
                self.touching[pack] |= 1 << index
                self._gains[pack].append((index, min(0, *steps, 0), max(0, *steps, 0)))
        self.fewest = [_fewest(pack, *window) for pack, window in zip(sums, box, strict=True)]
        self._bounds: dict[tuple[int, int], tuple[list[int], list[int]]] = {}
        self._within: dict[int, int] = {}
        self._spreads = Spreads(bench, ())

    def allowed(self, pack: int, mask: int, changes: int) -> tuple[int, int]:
        """The shifts of a pack that the positions of `mask` may leave after so many changes.

        The other positions may still move it by their largest steps, as many as changes are left.
        """
        if (pack, mask) not in self._bounds:
            outside = [gain for gain in self._gains[pack] if not mask >> gain[0] & 1]
            downs = list(accumulate(sorted(gain[1] for gain in outside), initial=0))
            ups = list(accumulate(sorted((gain[2] for gain in outside), reverse=True), initial=0))
            self._bounds[pack, mask] = (downs, ups)
        downs, ups = self._bounds[pack, mask]
        left = min(self.most - changes, len(downs) - 1)
        low, high = self.box[pack]
        return low - ups[left], high - downs[left]

    def changes_within(self, mask: int) -> int:
        """The largest number of changes that the positions of `mask` may use up.

        Packs that none of them touches need theirs from the other positions; packs that share no position need
        them separately.
        """
        if mask not in self._within:
            self._within[mask] = min(mask.bit_count(), self.most - self._needed(mask))
        return self._within[mask]

    def fewest_changes(self) -> int:
        """A number of changes that no choice in the box can do without."""
        return self._needed(0)

    def estimate_from(self, ranges: Iterable[tuple[Group, int, int]]) -> None:
        """Takes the smallest and the largest sum that each group may have, for `spread` and `share`."""
        self._spreads = Spreads(self.bench, ranges)

    def points(self, packs: Iterable[int]) -> int:
        """How many points the windows of some packs have together."""
        return prod(self.box[pack][1] - self.box[pack][0] + 1 for pack in packs)

    def spread(self, pack: int, mask: int) -> float:
        """About how many different shifts the positions of `mask` give to a pack, near their middle."""
        return self._spreads.of(pack, mask)

    def share(self, pack: int, mask: int) -> float:
        """About which part of those shifts the pack's window lets through."""
        low, high = self.box[pack]
        width = max(1.0, (high - low + 1) / self._spreads.common[pack])
        return min(1.0, width / self._spreads.of(pack, mask))

    def _needed(self, mask: int) -> int:
        packs = [p for p, touching in enumerate(self.touching) if not touching & mask and self.fewest[p]]
        best = 0
        self.bench.effort.spend(_SET_OF_PACKS << len(packs))
        for size in range(1, len(packs) + 1):
            for some in combinations(packs, size):
                if _disjoint(self.touching[pack] for pack in some):
                    best = max(best, sum(self.fewest[pack] for pack in some))
        return best


def _fewest(sums: Sums, low: int, high: int) -> int:
    """The fewest changes with which a pack's own positions reach its window; windows that none reaches are never asked for."""
    reached = (changes for changes, bits in enumerate(sums.by_changes) if any_in_range(bits, low - sums.least, high - sums.least))
    return next(reached)


def _disjoint(masks: Iterable[int]) -> bool:
    """Whether no two share a position."""
    seen = 0
    for mask in masks:
        if seen & mask:
            return False
        seen |= mask
    return True
