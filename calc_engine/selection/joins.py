"""Parts of a bench, joined two and two: what they leave of each pack's shift, and how that came about.

A part is a set of positions. Its states say, for every number of changes, which shifts it can give to the packs
that other positions touch as well (the open packs). A pack is settled in the join after which no other position
touches it: only states in its window go on, and its shift is forgotten. What two parts have done to the settled
packs does not matter any more, so equal states merge, however many combinations made them.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from calc_engine.selection.frame import Frame
from calc_engine.selection.layout import Cells, Layout
from calc_engine.selection.leaves import Completions, Leaf

__all__ = ["Derivation", "Derivations", "Join", "Part"]

type Derivation = tuple[int, int, int, int]
"""Changes and state of the left part, changes and state of the right part."""

type Derivations = dict[tuple[int, int], list[Derivation]]
"""For each (changes, state) that was asked for, all pairs that add up to it."""

_FEW = 4
_MANY_PAIRS = 20_000
# Work for one of them, in units of effort.
_PAIR_TRACED = 2
_STATE_SETTLED = 4
# To begin with a pack, however few its states: most are settled one at a time.
_SETTLING = 10
_STATE_STORED = 8


class Join:
    """Two parts as one.

    Attributes:
        mask: its positions as bits.
        open: its packs that other positions touch as well.
        table: for each number of changes the states; filled by `compute` or `keep`.
    """

    def __init__(self, frame: Frame, layout: Layout, left: Part, right: Part, completions: Completions) -> None:
        """Settles every pack that no other position touches.

        The pack with the highest field is the key: its window, or what the frame allows for it, says which
        states of the right part can follow a state of the left part.
        """
        self.left, self.right = left, right
        self.mask: int = left.mask | right.mask
        both = [pack for pack in layout.order if pack in left.open or pack in right.open]
        settled = [pack for pack in both if not frame.touching[pack] & ~self.mask]
        self.open: tuple[int, ...] = tuple(pack for pack in both if pack not in settled)
        self.most = frame.changes_within(self.mask)
        self.table: list[Collection[int]] = []
        self._frame, self._layout, self._box, self._completions = frame, layout, frame.box, completions
        self._key = both[0] if both else None
        self._drop = self._key in settled
        self._others = [pack for pack in settled if pack != self._key]
        self._plain = not self._others and not layout.uses
        self._private = self._drop and right.open == (self._key,) and not layout.uses
        self._bits = right if self._private and isinstance(right, Leaf) else None
        self._ranges = [
            (0, 0) if self._key is None else frame.allowed(self._key, self.mask, changes) for changes in range(self.most + 1)
        ]
        self._known: Derivations | None = None
        self._lefts: list[dict[int, list[int]] | None] = []
        self._rights: list[_Lookup | None] = []

    def compute(self) -> None:
        """Fills the table with every state."""
        if self.table:
            return
        self.compute_parts()
        found: list[set[int]] = [set() for _ in range(self.most + 1)]
        for i, j, lefts, rights in self._levels(range(self.most + 1)):
            cells = self._completable(i, j) if self._plain else None
            self._add_pairs(lefts, rights, self._ranges[i + j], found[i + j], cells)
        self.table = [self._settle(states) for states in found]

    def compute_parts(self) -> None:
        """Fills the tables of the two parts; a group that moves only the key pack needs none."""
        self.left.compute()
        if self._bits is None:
            self.right.compute()

    def _completable(self, i: int, j: int) -> Cells | None:
        """The states worth keeping among those made of so many changes; None for all."""
        pairs = len(self.left.table[i]) * (self._bits.sizes[j] if self._bits else len(self.right.table[j]))
        share = self._frame.share(self._key, self.mask) if self._drop and self._key is not None else 1.0
        return self._completions.cells(self.mask, self.open, i + j, pairs * share)

    def keep(self, wanted: Mapping[int, Cells]) -> None:
        """Fills the table with the wanted states only, and remembers how they were made if that is not too much."""
        self.compute_parts()
        found: list[set[int]] = [set() for _ in range(self.most + 1)]
        known: Derivations | None = None if self._private else {}
        size = 0
        for i, j, lefts, rights in self._levels(wanted):
            ends, cells = self._ranges[i + j], wanted[i + j]
            if known is not None:
                for state, left, right in self._pairs(lefts, rights, ends, cells):
                    known.setdefault((i + j, state), []).append((i, left, j, right))
                    found[i + j].add(state)
                    size += 1
                    if size > _MANY_PAIRS:
                        known = None
                        break
            if known is None:
                made: set[int] = set()
                self._add_pairs(lefts, rights, ends, made, cells if self._plain else None)
                found[i + j].update(state for state in self._settle(made) if cells.holds(state))
        self._known = known
        self.table = list(found)

    def trace(self, wanted: Mapping[int, Cells]) -> Derivations:
        """All pairs that make wanted states; after `keep`, the states must be among those kept."""
        if self._known is not None:
            return {(changes, state): self._known[changes, state] for changes, cells in wanted.items() for state in cells.known}
        found: Derivations = {}
        for i, j, lefts, rights in self._levels([changes for changes, cells in wanted.items() if cells.known]):
            for state, left, right in self._pairs(lefts, rights, self._ranges[i + j], wanted[i + j]):
                found.setdefault((i + j, state), []).append((i, left, j, right))
        return found

    def _spend(self, units: int) -> None:
        self._frame.bench.effort.spend(units)

    def _levels(self, wanted: Collection[int]) -> Iterator[tuple[int, int, dict[int, list[int]], _Lookup]]:
        """Each pair of numbers of changes that adds up to a wanted one, with the two parts' states by the key."""
        sizes = self._bits.sizes if self._bits else [len(states) for states in self.right.table]
        if not self._lefts:
            self._lefts = [None] * len(self.left.table)
            self._rights = [None] * len(sizes)
        for i, lefts in enumerate(self.left.table):
            for j, size in enumerate(sizes):
                if i + j <= self.most and i + j in wanted and lefts and size:
                    left, right = self._lefts[i], self._rights[j]
                    if left is None:
                        left = self._lefts[i] = self._by_key(lefts)
                    if right is None:
                        right = self._rights[j] = (
                            _BitLookup(self._bits, j) if self._bits else _Keyed(self._by_key(self.right.table[j]))
                        )
                    yield i, j, left, right

    def _by_key(self, states: Collection[int]) -> dict[int, list[int]]:
        """The states by their shift of the key pack; without that field when the pack is settled here."""
        if self._key is None:
            return {0: list(states)}
        self._spend(2 * len(states))
        under, shift = self._layout.under[self._key], self._layout.shift[self._key]
        found: defaultdict[int, list[int]] = defaultdict(list)
        for state in states:
            found[(state + under) >> shift].append(state)
        if self._drop:
            for top, some in found.items():
                field = top << shift
                found[top] = [state - field for state in some]
        return dict(found)

    def _add_pairs(
        self,
        lefts: dict[int, list[int]],
        rights: _Lookup,
        ends: tuple[int, int],
        found: set[int],
        cells: Cells | None = None,
    ) -> None:
        """Adds every sum of two states with the key in its range, or every such sum that lies in a wanted cell."""
        low, high = ends
        known, bias, mask = cells if cells is not None else Cells(())
        for top, mine in lefts.items():
            theirs = rights.between(low - top, high - top)
            if not theirs:
                continue
            self._spend(len(mine) * (1 if self._private else len(theirs)))
            before = len(found)
            if self._private:
                found.update(mine if cells is None else filter(cells.holds, mine))
            elif cells is None:
                found.update([a + b for a in mine for b in theirs])
            else:
                found.update([made for a in mine for b in theirs if ((made := a + b) + bias) & mask in known])
            self._spend(_STATE_STORED * (len(found) - before))

    def _pairs(
        self, lefts: dict[int, list[int]], rights: _Lookup, ends: tuple[int, int], cells: Cells
    ) -> Iterator[tuple[int, int, int]]:
        """Every pair that makes a wanted state: the state made, the left state, the right state."""
        low, high = ends
        known, bias, mask = cells
        shift = self._layout.shift[self._key] if self._drop and self._key is not None else 0
        for top, mine in lefts.items():
            theirs = rights.between(low - top, high - top)
            if not theirs:
                continue
            self._spend(_PAIR_TRACED * len(mine) * len(theirs))
            if not self._plain:
                hits = {(a, b) for a in mine for b in theirs if any(map(cells.holds, self._settle((a + b,))))}
            elif mask == -1:
                hits = {(a, b) for a in mine for b in theirs if a + b in known}
            else:
                hits = {(a, b) for a in mine for b in theirs if (a + b + bias) & mask in known}
            for a, b in hits:
                made = a + b if self._plain else next(iter(self._settle((a + b,))))
                if self._drop:
                    for other in rights.keys_of(b, low - top, high - top):
                        yield made, a + (top << shift), b + (other << shift)
                else:
                    yield made, a, b

    def _settle(self, states: Collection[int]) -> Collection[int]:
        """Leaves out what breaks a window settled here or the stock, and takes the settled fields away."""
        layout = self._layout
        for pack in self._others:
            self._spend(_SETTLING + _STATE_SETTLED * len(states))
            low, high = self._box[pack]
            shift = layout.shift[pack]
            fields = [(state, layout.field(state, pack)) for state in states]
            states = {state - (field << shift) for state, field in fields if low <= field <= high}
        if layout.uses:
            states = [state for state in states if layout.within_stock(state)]
        return states


type Part = Leaf | Join


class _Keyed:
    """The states of the right part for one number of changes, ready to be looked up by ranges of the key."""

    def __init__(self, by_key: dict[int, list[int]]) -> None:
        self.by_key = by_key
        self._keys: list[int] = []
        self._starts: list[int] = []
        self._flat: list[int] = []

    def between(self, low: int, high: int) -> Sequence[int]:
        """All states whose key lies in the range."""
        if low == high:
            return self.by_key.get(low, ())
        if high - low < _FEW:
            return [state for key in range(low, high + 1) for state in self.by_key.get(key, ())]
        self._sort()
        first, end = bisect_left(self._keys, low), bisect_right(self._keys, high)
        return self._flat[self._starts[first] : self._starts[end]]

    def keys_of(self, state: int, low: int, high: int) -> Iterable[int]:
        """The keys of the range with which a state occurs."""
        if high - low < _FEW:
            return [key for key in range(low, high + 1) if state in self.by_key.get(key, ())]
        first, end = bisect_left(self._keys, low), bisect_right(self._keys, high)
        return [key for key in self._keys[first:end] if state in self.by_key[key]]

    def _sort(self) -> None:
        if not self._keys:
            self._keys = sorted(self.by_key)
            self._starts = [0]
            for key in self._keys:
                self._flat += self.by_key[key]
                self._starts.append(len(self._flat))


class _BitLookup:
    """The same for a group that moves only the key pack, without ever writing its sums out."""

    def __init__(self, leaf: Leaf, changes: int) -> None:
        self._leaf, self._changes = leaf, changes

    def between(self, low: int, high: int) -> Sequence[int]:
        """The one state that is left once the key is taken away, if any key lies in the range."""
        return (0,) if self._leaf.reaches(self._changes, low, high) else ()

    def keys_of(self, state: int, low: int, high: int) -> Iterable[int]:  # noqa: ARG002 - the other kind of part needs it
        """The keys of the range; the state that is left is always the same."""
        return self._leaf.states_within(self._changes, low, high)


type _Lookup = _Keyed | _BitLookup
