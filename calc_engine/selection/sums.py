"""Sums of thicknesses, as bits of large integers.

Bit k of a number says whether the sum `least + k` can be made. Adding one more position is then one shift and one
OR for each of its choices, whatever the number of combinations, and a question about a range of sums is one mask.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import compress

from calc_engine.selection.bench import SlotOption
from calc_engine.selection.effort import Effort

__all__ = ["Sums", "any_in_range", "highest_below", "lowest_above", "positions_of_bits", "reach"]

# Shifting and joining large integers is cheap: so many bits are as much work as one unit.
_BITS_IN_A_UNIT = 10_000
_STEP_OF_A_WALK = 40
_AS_FLAGS = bytes.maketrans(b"01", b"\x00\x01")


def positions_of_bits(bits: int) -> Iterable[int]:
    """The numbers of the bits that are set, ascending."""
    if not bits:
        return ()
    flags = bin(bits)[:1:-1].encode().translate(_AS_FLAGS)
    return compress(range(len(flags)), flags)


def any_in_range(bits: int, low: int, high: int) -> bool:
    """Whether a bit from `low` to `high` is set."""
    low = max(low, 0)
    return high >= low and (bits >> low) & ((1 << (high - low + 1)) - 1) != 0


def highest_below(bits: int, end: int) -> int | None:
    """The highest set bit below `end`, or None."""
    if end <= 0:
        return None
    rest = bits & ((1 << end) - 1)
    return rest.bit_length() - 1 if rest else None


def lowest_above(bits: int, start: int) -> int | None:
    """The lowest set bit above `start`, or None."""
    start = max(start, -1)
    rest = bits >> (start + 1)
    return start + (rest & -rest).bit_length() if rest else None


def reach(rows: Iterable[Iterable[int]]) -> tuple[int, int]:
    """Every sum that takes one step from each row.

    Args:
        rows: the steps of each position [units].

    Returns:
        The bits, and the sum that bit 0 stands for.
    """
    bits, least = 1, 0
    for row in rows:
        steps = set(row)
        low = min(steps)
        grown = 0
        for step in steps:
            grown |= bits << (step - low)
        bits, least = grown, least + low
    return bits, least


class Sums:
    """The sums that a few positions can make together, by the exact number of changed parts among them.

    Attributes:
        least: the sum that bit 0 of `by_changes` stands for.
        greatest: the largest sum.
        by_changes: for each number of changed parts, the bits of the sums.
    """

    def __init__(self, rows: Sequence[Sequence[SlotOption]], signs: Sequence[int], effort: Effort) -> None:
        """Works backwards, so that `_tails[i]` holds what the positions from i on can make.

        Args:
            rows: the options of each position, in the order in which solutions are compared.
            signs: for each position, 1 or -1: the sign with which its step counts.
            effort: how much work may still be done.

        Raises:
            EffortSpent: it is too much work.
        """
        self._effort = effort
        self._rows = [
            [(option.choice, sign * option.step, option.changed) for option in row] for row, sign in zip(rows, signs, strict=True)
        ]
        tails: list[tuple[int, list[int]]] = [(0, [1])]
        for row in reversed(self._rows):
            tails.append(_with_position(row, *tails[-1], effort))
        self._tails = tails[::-1]
        self.least, self.by_changes = self._tails[0]
        self.greatest = self.least + max(bits.bit_length() for bits in self.by_changes) - 1

    def within(self, changes: int, low: int, high: int) -> list[int]:
        """The sums from `low` to `high` that can be made with exactly that many changes, ascending."""
        low = max(low, self.least)
        if changes >= len(self.by_changes) or high < low:
            return []
        part = (self.by_changes[changes] >> (low - self.least)) & ((1 << (high - low + 1)) - 1)
        return [low + place for place in positions_of_bits(part)]

    def count_within(self, changes: int, low: int, high: int) -> int:
        """How many sums `within` gives."""
        low = max(low, self.least)
        if changes >= len(self.by_changes) or high < low:
            return 0
        return ((self.by_changes[changes] >> (low - self.least)) & ((1 << (high - low + 1)) - 1)).bit_count()

    def any_within(self, changes: int, low: int, high: int) -> bool:
        """Whether `within` gives any."""
        return changes < len(self.by_changes) and any_in_range(self.by_changes[changes], low - self.least, high - self.least)

    def picks(self, total: int, changes: int, limit: int) -> list[tuple[int, ...]]:
        """The first `limit` ways to make a sum with exactly so many changes, in order of the choices.

        The walk never enters a dead end: before a choice is taken, the bits of the positions after it say whether
        the rest of the sum can still be made with the rest of the changes.
        """
        found: list[tuple[int, ...]] = []
        self._walk(0, total, changes, (), limit, found)
        return found

    def _walk(self, at: int, total: int, changes: int, so_far: tuple[int, ...], limit: int, found: list[tuple[int, ...]]) -> None:
        self._effort.spend(_STEP_OF_A_WALK)
        if at == len(self._rows):
            found.append(so_far)
            return
        least, tail = self._tails[at + 1]
        for choice, step, changed in self._rows[at]:
            left, rest = changes - changed, total - step
            if 0 <= left < len(tail) and rest >= least and (tail[left] >> (rest - least)) & 1:
                self._walk(at + 1, rest, left, (*so_far, choice), limit, found)
                if len(found) >= limit:
                    return


def _with_position(row: Sequence[tuple[int, int, int]], least: int, tail: Sequence[int], effort: Effort) -> tuple[int, list[int]]:
    """One more position in front of a tail."""
    low = min(step for _, step, _ in row)
    grown = [0] * (len(tail) + 1)
    steps = {(step, changed) for _, step, changed in row}
    widest = max(bits.bit_length() for bits in tail) + max(step for step, _ in steps) - low
    effort.spend(len(steps) * len(tail) * (1 + widest // _BITS_IN_A_UNIT))
    for step, changed in steps:
        for changes, bits in enumerate(tail):
            grown[changes + changed] |= bits << (step - low)
    return least + low, grown
