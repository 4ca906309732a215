"""The smallest parts of a bench: one group of positions each, and what few changes of the others can complete."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from calc_engine.selection.frame import Frame, Group
from calc_engine.selection.layout import Cells, Layout, Sieve

__all__ = ["Completions", "Leaf"]

_SHORT = 2
_LONGEST = 60_000


class Leaf:
    """One group of positions as a part.

    Attributes:
        mask: its positions as bits.
        group: the group.
        open: its packs that other positions touch as well.
        sizes: for each number of changes, how many sums the frame allows.
        table: for each number of changes the states; filled by `compute` or `keep`.
    """

    def __init__(self, frame: Frame, group: Group) -> None:
        """Looks up between which sums the frame allows each number of changes.

        Where no other position touches a pack, what the frame allows is the pack's window, so the pack is settled.
        """
        self.mask, self.group, self._effort = group.mask, group, frame.bench.effort
        self.open = tuple(pack for pack in group.effect if frame.touching[pack] & ~group.mask)
        changes = range(frame.changes_within(group.mask) + 1)
        self._ends = [_allowed_sums(frame, group, some) for some in changes]
        self.sizes = [sum(sums.count_within(some, *self._ends[some]) for _, sums in group.variants) for some in changes]
        self.table: list[Collection[int]] = []
        self._weight = 0
        self._uses = [0] * len(group.variants)
        self._members: dict[int, dict[int, list[tuple[int, int]]]] = {}

    def range(self) -> tuple[int, int]:
        """The smallest and the largest sum with any number of changes."""
        ends = [ends for ends, size in zip(self._ends, self.sizes, strict=True) if size] or [(0, 0)]
        return min(low for low, _ in ends), max(high for _, high in ends)

    def lay_out(self, layout: Layout) -> None:
        """Settles how sums are written as states."""
        self._weight = layout.weight(self.group.effect, self.open)
        self._uses = [layout.uses[shelf] if shelf is not None else 0 for shelf, _ in self.group.variants]

    def sums(self, changes: int) -> list[list[int]]:
        """For each variant, the sums that the frame allows with so many changes."""
        return [sums.within(changes, *self._ends[changes]) for _, sums in self.group.variants]

    def compute(self) -> None:
        """Fills the table with every state."""
        if not self.table:
            self.table = [self._states(changes) for changes in range(len(self.sizes))]

    def keep(self, wanted: Mapping[int, Cells]) -> None:
        """Fills the table with the wanted states only."""
        for changes in range(len(self.sizes)):
            cells = wanted.get(changes, Cells(()))
            self.table.append([state for state in self._states(changes) if cells.holds(state)])

    def reaches(self, changes: int, low: int, high: int) -> bool:
        """Whether some state of the only pack that is open lies in a range; for a leaf of one variant."""
        low, high = self._inside(changes, low, high)
        return self.group.variants[0][1].any_within(changes, low, high)

    def states_within(self, changes: int, low: int, high: int) -> list[int]:
        """The shifts that `reaches` asks for."""
        low, high = self._inside(changes, low, high)
        return [self._sign() * total for total in self.group.variants[0][1].within(changes, low, high)]

    def members(self, changes: int, state: int) -> list[tuple[int, int]]:
        """The variants and sums that make a state."""
        if self._is_plain():
            return [(0, state // self._weight)]
        if changes not in self._members:
            self._members[changes] = self._by_state(changes)
        return self._members[changes][state]

    def _is_plain(self) -> bool:
        """Whether every state is made by just one sum."""
        return len(self.group.variants) == 1 and self._weight != 0

    def _states(self, changes: int) -> Collection[int]:
        self._effort.spend(2 * self.sizes[changes])
        if self._is_plain():
            return [total * self._weight for total in self.sums(changes)[0]]
        return list(self._by_state(changes))

    def _by_state(self, changes: int) -> dict[int, list[tuple[int, int]]]:
        found: dict[int, list[tuple[int, int]]] = {}
        for variant, (use, sums) in enumerate(zip(self._uses, self.sums(changes), strict=True)):
            for total in sums:
                found.setdefault(total * self._weight + use, []).append((variant, total))
        return found

    def _inside(self, changes: int, low: int, high: int) -> tuple[int, int]:
        if self._sign() < 0:
            low, high = -high, -low
        return max(low, self._ends[changes][0]), min(high, self._ends[changes][1])

    def _sign(self) -> int:
        return self.group.effect[self.open[0]]


class Completions:
    """Which states of a part the few changes that are left can still complete.

    With two changes or less outside a part, whatever the other positions can do is a short list, and so are the
    states from which that leads into the box. A state that is not on the list need not be kept.
    """

    def __init__(self, frame: Frame, layout: Layout, leaves: Sequence[Leaf]) -> None:
        """Takes the leaves once they are laid out."""
        self._frame, self._layout, self._leaves = frame, layout, leaves
        self._sieves: dict[tuple[int, ...], Sieve] = {}
        self._known: dict[tuple[int, int], Cells] = {}

    def cells(self, mask: int, packs: tuple[int, ...], changes: int, pairs: float) -> Cells | None:
        """The states that can be completed, of a part with so many changes; None when not worth the work.

        Args:
            mask: the part's positions as bits.
            packs: its open packs.
            changes: made within it.
            pairs: about how many states will be judged.
        """
        left = self._frame.most - changes
        if left > _SHORT or not packs:
            return None
        outside = [leaf for leaf in self._leaves if not leaf.mask & mask]
        ones = sum(leaf.sizes[1] for leaf in outside if len(leaf.sizes) > 1)
        sieve = self._sieves.setdefault(packs, Sieve(self._layout, self._frame.box, packs))
        size = (1, 1 + ones, 1 + 2 * ones + ones * ones / 2)[left] * len(sieve)
        if size > min(pairs, _LONGEST):
            return None
        if (mask, left) not in self._known:
            reached = self._reached(packs, outside, left)
            self._known[mask, left] = Cells(sieve.cells(reached), sieve.bias, sieve.mask)
        return self._known[mask, left]

    def _reached(self, packs: Sequence[int], outside: Sequence[Leaf], left: int) -> set[int]:
        """Everything that up to `left` changes outside can add to some packs."""
        reached: list[set[int]] = [{0}, *(set() for _ in range(left))]
        for leaf in outside:
            weight = self._layout.weight(leaf.group.effect, packs)
            for before in range(left - 1, -1, -1):
                for more in range(1, min(left - before, len(leaf.sizes) - 1) + 1):
                    steps = {total * weight for sums in leaf.sums(more) for total in sums}
                    reached[before + more] |= {state + step for state in reached[before] for step in steps}
        return set().union(*reached)


def _allowed_sums(frame: Frame, group: Group, changes: int) -> tuple[int, int]:
    """The sums of a group that every one of its packs allows after so many changes."""
    low = min(sums.least for _, sums in group.variants)
    high = max(sums.greatest for _, sums in group.variants)
    for pack, sign in group.effect.items():
        ends = frame.allowed(pack, group.mask, changes)
        least, greatest = ends if sign > 0 else (-ends[1], -ends[0])
        low, high = max(low, least), min(high, greatest)
    return low, high
