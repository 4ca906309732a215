"""In which order to join the parts of a bench: the packs to settle first, and what to join with what.

Any plan gives the same answer; a good one keeps the tables small. Sizes are estimated from the numbers of sums of
the groups, how wide a window is and how far a pack's shifts spread; every order of the packs is tried, leaving off
one that is already dearer than the best found. With very many packs the best of the first few thousand is taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, prod

from calc_engine.selection.frame import Frame
from calc_engine.selection.leaves import Leaf

__all__ = ["SMALL_SIDE", "Plan", "Tree", "make_plan"]

type Tree = int | tuple["Tree", "Tree"]
"""The index of a leaf, or two trees to be joined."""

# Work for one estimate, in units of effort, and after how many the best plan so far will do.
_ESTIMATE = 500
_MOST_ESTIMATES = 1_500

SMALL_SIDE = 400_000
"""The largest number of states times points of the box that the last join looks up one by one."""


@dataclass(frozen=True, slots=True)
class Plan:
    """How to join.

    Attributes:
        order: the packs as they are settled.
        left: the larger of the last two parts.
        right: the other one.
        cost: pairs and states to be handled, estimated.
        matches: pairs that the last join lets through, estimated.
    """

    order: tuple[int, ...]
    left: Tree
    right: Tree
    cost: float
    matches: float


@dataclass(frozen=True, slots=True)
class _Piece:
    """A part as the plan sees it.

    Attributes:
        mask: its positions as bits.
        open: its packs that other positions touch as well.
        sizes: its states for each number of changes, estimated.
        tree: how it is joined.
        settled: the packs that its joins settle, in the order in which they do.
        cost: of all its joins.
    """

    mask: int
    open: frozenset[int]
    sizes: tuple[float, ...]
    tree: Tree
    settled: tuple[int, ...]
    cost: float

    @property
    def size(self) -> float:
        return sum(self.sizes)


def make_plan(frame: Frame, leaves: Sequence[Leaf]) -> Plan:
    """The cheapest plan by estimate.

    Args:
        frame: what the search knows of the bench.
        leaves: the groups that are joined.
    """
    planner = _Planner(frame)
    pieces = [
        _Piece(leaf.mask, frozenset(leaf.open), tuple(map(float, leaf.sizes)), index, (), float(sum(leaf.sizes)))
        for index, leaf in enumerate(leaves)
    ]
    planner.search(pieces)
    assert planner.best is not None  # noqa: S101 - the search always ends with a plan
    return planner.best


class _Planner:
    """Tries the orders."""

    def __init__(self, frame: Frame) -> None:
        self._frame = frame
        self.best: Plan | None = None
        self._cost = inf
        self._estimates = 0

    def search(self, pieces: list[_Piece]) -> None:
        """Ends here, or settles one more pack and goes on."""
        self._finish(pieces)
        packs = sorted(frozenset().union(*(piece.open for piece in pieces)))
        steps = []
        for pack in packs:
            joined = self._combine([piece for piece in pieces if pack in piece.open])
            rest = [*(piece for piece in pieces if pack not in piece.open), joined]
            steps.append((sum(piece.cost for piece in rest), pack, rest))
        for cost, _, rest in sorted(steps, key=lambda step: step[:2]):
            if len(rest) > 1 and cost < self._cost and self._estimates < _MOST_ESTIMATES:
                self.search(rest)

    def _finish(self, pieces: list[_Piece]) -> None:
        """Joins all that is left, down to two parts."""
        small, large = self._shrink(pieces, 2)
        mask = small.mask | large.mask
        remaining = sorted(small.open | large.open, key=lambda pack: (self._frame.share(pack, mask), pack))
        pairs = sum(_pairs(small.sizes, large.sizes, self._frame.most))
        last = pairs * (self._frame.share(remaining[0], mask) if remaining else 1.0)
        lookups = small.size * min(self._frame.points(remaining), 2 ** len(remaining))
        if lookups <= SMALL_SIDE:
            last = min(last, lookups + large.size)
        cost = small.cost + large.cost + last
        if cost < self._cost:
            self._cost = cost
            matches = pairs * prod(self._frame.share(pack, mask) for pack in remaining)
            order = [*large.settled, *small.settled, *remaining]
            order += [pack for pack in range(len(self._frame.box)) if pack not in order]
            self.best = Plan(tuple(order), large.tree, small.tree, cost, matches)

    def _shrink(self, pieces: Sequence[_Piece], count: int) -> list[_Piece]:
        """Joins the two smallest until so many are left."""
        rest = sorted(pieces, key=lambda piece: piece.size)
        while len(rest) > count:
            joined = self._join(rest[0], rest[1])
            rest = sorted([*rest[2:], joined], key=lambda piece: piece.size)
        return rest

    def _combine(self, pieces: Sequence[_Piece]) -> _Piece:
        """One part from some, by the cheapest of three ways.

        The two smallest joined again and again; two halves of about the same size joined last; the largest piece
        that moves a single pack joined last.
        """
        if len(pieces) < 3:  # noqa: PLR2004 - two pieces can be joined in one way only
            return self._shrink(pieces, 1)[0]
        halves: tuple[list[_Piece], list[_Piece]] = ([], [])
        for piece in sorted(pieces, key=lambda piece: piece.size, reverse=True):
            min(halves, key=lambda half: prod(p.size + 2 for p in half)).append(piece)
        splits = [halves]
        private = max((p for p in pieces if len(p.open) == 1), key=lambda p: p.size, default=None)
        if private is not None:
            splits.append(([piece for piece in pieces if piece is not private], [private]))
        ways = [self._shrink(pieces, 1)[0]]
        ways += [self._join(self._shrink(half, 1)[0], self._shrink(other, 1)[0]) for half, other in splits]
        return min(ways, key=lambda way: way.cost)

    def _join(self, left: _Piece, right: _Piece) -> _Piece:
        """The estimate for two parts joined."""
        self._frame.bench.effort.spend(_ESTIMATE)
        self._estimates += 1
        if len(left.open) == 1 and len(right.open) > 1:
            left, right = right, left
        mask = left.mask | right.mask
        both = left.open | right.open
        settled = [pack for pack in both if not self._frame.touching[pack] & ~mask]
        stay = both - frozenset(settled)
        share = min((self._frame.share(pack, mask) for pack in settled), default=1.0)
        sizes = _pairs(left.sizes, right.sizes, min(self._frame.changes_within(mask), self._frame.most))
        pairs = sum(sizes) * share
        if settled and len(right.open) == 1 and not stay - left.open:
            pairs = min(pairs, left.size * len(right.sizes))
        kept = prod(self._frame.share(pack, mask) for pack in settled)
        room = prod(self._frame.spread(pack, mask) for pack in stay)
        shown = tuple(min(size * kept, room) for size in sizes)
        cost = left.cost + right.cost + pairs + left.size + right.size
        order = (*left.settled, *right.settled, *sorted(settled, key=lambda pack: (self._frame.share(pack, mask), pack)))
        return _Piece(mask, stay, shown, (left.tree, right.tree), order, cost)


def _pairs(left: Sequence[float], right: Sequence[float], most: int) -> tuple[float, ...]:
    """How many pairs of states there are for each number of changes."""
    sizes = [0.0] * (most + 1)
    for i, one in enumerate(left):
        for j, other in enumerate(right):
            if i + j <= most:
                sizes[i + j] += one * other
    return tuple(sizes)
