"""All choices within given windows and with a given number of changes, or the first of them in order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

from calc_engine.selection.bench import Bench, Box
from calc_engine.selection.frame import Frame, groups_of
from calc_engine.selection.joins import Derivation, Derivations, Join, Part
from calc_engine.selection.lattice import sparseness
from calc_engine.selection.layout import Cells, Layout, Sieve
from calc_engine.selection.leaves import Completions, Leaf
from calc_engine.selection.plan import SMALL_SIDE, Plan, Tree, make_plan
from calc_engine.selection.sums import Sums

__all__ = ["Matches", "Picks", "Search", "Way"]

type Picks = tuple[int, ...]
type Member = tuple[int, int, int, int]
"""A leaf's index, its number of changes, its variant and its sum."""
type Way = tuple[Member, ...]
"""A sum for every group: one choice, or several that differ only in how the groups make their sums."""

# Work for one of them, in units of effort.
_WAY, _CELL, _CONFIRMED = 15, 4, 30
_PRODUCT = 60  # To begin with two sets of choices, however few they are.

_CHEAP = 300_000.0
_EXPECTED = 10
_FEW_MATCHES = 3_000.0
_NO_DEARER = 2.0


class Search:
    """The bench split into groups once, to be asked many times."""

    def __init__(self, bench: Bench, sums: Sequence[Sums]) -> None:
        """Takes the sums of each pack's positions too."""
        self.bench = bench
        self._sums = sums
        self._groups = groups_of(bench)
        self._sparseness = sparseness(bench)
        self._plans: dict[tuple[Box, int], tuple[Frame, list[Leaf], Plan]] = {}

    def fewest_changes(self, box: Box) -> int:
        """A number of changes that no choice in the box can do without."""
        return self._frame(box, len(self.bench.slots)).fewest_changes()

    def matches(self, box: Box, fewest: int, most: int, want: int = 0) -> Matches:
        """Every choice in the box with `fewest` changes, and with more of them as far as it seems worth while.

        Args:
            box: the windows.
            fewest: smallest number of changes asked for.
            most: the largest number of changes up to which to go in one pass. It goes there at once when that is
                cheap; else up to where about as many choices as wanted can be expected.
            want: how many choices are wanted.

        Returns:
            The choices; `Matches.most` says how far it went.
        """
        enough = most
        if fewest < most and not self._is_worth_while(box, most, want):
            low, enough = fewest, most - 1
            while low < enough:
                middle = (low + enough + 1) // 2
                if self._is_worth_while(box, middle, want):
                    low = middle
                else:
                    enough = middle - 1
            shorter, longer = self._plan(box, enough)[2], self._plan(box, most)[2]
            if longer.cost < _NO_DEARER * shorter.cost and longer.matches / self._sparseness < _FEW_MATCHES:
                enough = most
        frame, leaves, plan = self._plan(box, enough)
        self._plans.clear()
        return Matches(frame, leaves, plan.order, plan.left, plan.right, fewest)

    def _is_worth_while(self, box: Box, most: int, want: int) -> bool:
        """Whether to go up to so many changes is cheap, or will hardly find many more choices than are wanted."""
        plan = self._plan(box, most)[2]
        matches = plan.matches / self._sparseness
        return matches <= _EXPECTED * want or (plan.cost <= _CHEAP and matches <= _FEW_MATCHES)

    def expected(self, box: Box, most: int) -> float:
        """About how many choices with up to `most` changes lie in the box."""
        return self._plan(box, most)[2].matches / self._sparseness

    def _plan(self, box: Box, most: int) -> tuple[Frame, list[Leaf], Plan]:
        """The question, its leaves and the plan, made once for each question until it is asked."""
        if (box, most) not in self._plans:
            frame = self._frame(box, most)
            leaves = [Leaf(frame, group) for group in self._groups]
            frame.estimate_from((leaf.group, *leaf.range()) for leaf in leaves if leaf.mask)
            self._plans[box, most] = (frame, leaves, make_plan(frame, leaves))
        return self._plans[box, most]

    def _frame(self, box: Box, most: int) -> Frame:
        return Frame(self.bench, self._sums, box, most)


class Matches:
    """What one question found.

    Attributes:
        most: the largest number of changes it covers.
    """

    def __init__(self, frame: Frame, leaves: list[Leaf], order: Sequence[int], left: Tree, right: Tree, fewest: int) -> None:
        """Joins by the plan, down to the pairs of the last join; how those were made is seen when asked."""
        self.most, self._packs, self._effort = frame.most, len(frame.box), frame.bench.effort
        self._leaves = leaves
        layout = Layout(frame.bench, order)
        for leaf in leaves:
            leaf.lay_out(layout)
        completions = Completions(frame, layout, leaves)
        parts = [_build(frame, layout, leaves, completions, tree) for tree in (left, right)]
        self._parts = (parts[1], parts[0]) if _is_private(*parts) else (parts[0], parts[1])
        self._pairs = _last_join(frame, layout, self._parts, completions, fewest)
        self._made: dict[int, Derivations] = {}
        self._traced: set[int] = set()
        self._counts: dict[tuple[int, int, int], int] = {}
        self._firsts: dict[tuple[int, int, int], list[Picks]] = {}

    def _pairs_with(self, changes: int) -> list[Derivation]:
        """The pairs of the last join with exactly so many changes, after tracing how they were made."""
        pairs = self._pairs.get(changes, [])
        if changes not in self._traced:
            self._traced.add(changes)
            for side, part in enumerate(self._parts):
                self._trace(part, {pair[2 * side : 2 * side + 2] for pair in pairs})
        return pairs

    def _trace(self, part: Part, wanted: Iterable[tuple[int, ...]]) -> None:
        """How the wanted states of a part, and of the parts below it, were made."""
        if isinstance(part, Leaf):
            return
        by_changes: dict[int, set[int]] = {}
        for changes, state in wanted:
            by_changes.setdefault(changes, set()).add(state)
        made = part.trace({changes: Cells(states) for changes, states in by_changes.items()})
        self._made.setdefault(part.mask, {}).update(made)
        self._trace(part.left, {(i, state) for pairs in made.values() for i, state, _, _ in pairs})
        self._trace(part.right, {(j, state) for pairs in made.values() for _, _, j, state in pairs})

    def count(self, changes: int) -> int:
        """How many ways there are to give each group its sum; each way is one choice or several equal ones."""
        left, right = self._parts
        return sum(self._count(left, i, one) * self._count(right, j, other) for i, one, j, other in self._pairs_with(changes))

    def _count(self, part: Part, changes: int, state: int) -> int:
        if isinstance(part, Leaf):
            return len(part.members(changes, state))
        key = (part.mask, changes, state)
        if key not in self._counts:
            self._counts[key] = sum(
                self._count(part.left, i, one) * self._count(part.right, j, other)
                for i, one, j, other in self._made[part.mask][changes, state]
            )
        return self._counts[key]

    def ways(self, changes: int) -> Iterable[Way]:
        """All the ways that `count` counts."""
        left, right = self._parts
        for i, one, j, other in self._pairs_with(changes):
            mine, theirs = self._ways(left, i, one), self._ways(right, j, other)
            self._effort.spend(_WAY * len(mine) * len(theirs))
            for a, b in product(mine, theirs):
                yield a + b

    def _ways(self, part: Part, changes: int, state: int) -> list[Way]:
        if isinstance(part, Leaf):
            index = self._leaves.index(part)
            return [((index, changes, variant, total),) for variant, total in part.members(changes, state)]
        found: list[Way] = []
        for i, one, j, other in self._made[part.mask][changes, state]:
            mine, theirs = self._ways(part.left, i, one), self._ways(part.right, j, other)
            self._effort.spend(_WAY * len(mine) * len(theirs))
            found += [a + b for a, b in product(mine, theirs)]
        return found

    def first(self, changes: int, limit: int) -> list[Picks]:
        """The first `limit` choices with exactly so many changes, in order of the choices.

        Within a part only the first `limit` of each state are kept. That loses nothing: two choices that differ
        in that part alone, with the same state and the same changes, compare as they do within the part.
        """
        left, right = self._parts
        found: list[Picks] = []
        for i, one, j, other in self._pairs_with(changes):
            found += self._product(left, i, one, right, j, other, limit)
        return sorted(found)[:limit]

    def _first(self, part: Part, changes: int, state: int, limit: int) -> list[Picks]:
        key = (part.mask, changes, state)
        if key not in self._firsts:
            found: list[Picks] = []
            if isinstance(part, Leaf):
                for variant, total in part.members(changes, state):
                    found += part.group.variants[variant][1].picks(total, changes, limit)
            else:
                for i, one, j, other in self._made[part.mask][changes, state]:
                    found += self._product(part.left, i, one, part.right, j, other, limit)
            self._firsts[key] = sorted(found)[:limit]
        return self._firsts[key]

    def _product(self, left: Part, i: int, one: int, right: Part, j: int, other: int, limit: int) -> list[Picks]:
        mine, theirs = self._first(left, i, one, limit), self._first(right, j, other, limit)
        self._effort.spend(_PRODUCT + _WAY * len(mine) * len(theirs))
        return _first_products(_slots(left.mask), mine, _slots(right.mask), theirs, limit)

    def picks(self, way: Way, limit: int) -> list[Picks]:
        """The first `limit` choices that give each group its sum, in order of the choices."""
        slots: tuple[int, ...] = ()
        found: list[Picks] = [()]
        for index, changes, variant, total in way:
            group = self._leaves[index].group
            theirs = group.variants[variant][1].picks(total, changes, limit)
            self._effort.spend(_PRODUCT + _WAY * len(found) * len(theirs))
            found = _first_products(slots, found, group.slots, theirs, limit)
            slots = tuple(sorted((*slots, *group.slots)))
        return found

    def shifts(self, way: Way) -> tuple[int, ...]:
        """The shift of each pack."""
        totals = [0] * self._packs
        for index, _, _, total in way:
            for pack, sign in self._leaves[index].group.effect.items():
                totals[pack] += sign * total
        return tuple(totals)


def _build(frame: Frame, layout: Layout, leaves: Sequence[Leaf], completions: Completions, tree: Tree) -> Part:
    """The part that a tree of the plan describes."""
    if isinstance(tree, int):
        return leaves[tree]
    left, right = (_build(frame, layout, leaves, completions, branch) for branch in tree)
    if len(left.open) < len(right.open):
        left, right = right, left
    return Join(frame, layout, left, right, completions)


def _last_join(
    frame: Frame, layout: Layout, parts: tuple[Part, Part], completions: Completions, fewest: int
) -> dict[int, list[Derivation]]:
    """The pairs that settle everything, by their number of changes.

    When the windows are narrow, the right part says which states of the left part it can complete. Those are
    looked for while the left part is being joined, and nothing else of it is kept.
    """
    left, right = parts
    packs = [pack for pack in layout.order if pack in left.open or pack in right.open]
    if not _is_private(right, left):
        right.compute()
        sieve = Sieve(layout, frame.box, packs)
        if sum(map(len, right.table)) * len(sieve) <= SMALL_SIDE:
            return _look_up(frame, layout, left, right, sieve, fewest)
    whole = Join(frame, layout, left, right, completions)
    wanted = {changes: Cells((0,), 0, layout.packs_only) for changes in range(fewest, frame.most + 1)}
    pairs: dict[int, list[Derivation]] = {}
    whole.compute_parts()
    for (changes, _), made in whole.trace(wanted).items():
        pairs.setdefault(changes, []).extend(made)
    return pairs


def _is_private(part: Part, other: Part) -> bool:
    """Whether a part is one group of positions on the only pack that is still open."""
    return isinstance(part, Leaf) and len(part.open) == 1 and set(other.open) <= set(part.open)


def _look_up(frame: Frame, layout: Layout, left: Part, right: Part, sieve: Sieve, fewest: int) -> dict[int, list[Derivation]]:  # noqa: C901 - one pass over both tables; cutting it in two would copy them
    """Every pair of states that adds up to a point of the box."""
    effort = frame.bench.effort
    wanted: dict[int, set[int]] = {}
    for j, states in enumerate(right.table):
        effort.spend(_CELL * len(states) * len(sieve))
        cells = sieve.cells(states)
        for i in range(max(0, fewest - j), frame.most - j + 1):
            wanted.setdefault(i, set()).update(cells)
    left.keep({i: Cells(cells, sieve.bias, sieve.mask) for i, cells in wanted.items()})
    by_cell: dict[int, list[tuple[int, int]]] = {sieve.cell(state): [] for states in left.table for state in states}
    for j, states in enumerate(right.table):
        effort.spend(_CELL * len(states) * len(sieve))
        for state in states if by_cell else ():
            for cell in sieve.cells((state,)):
                if cell in by_cell:
                    by_cell[cell].append((j, state))
    pairs: dict[int, list[Derivation]] = {}
    for i, states in enumerate(left.table):
        for state in states:
            others = by_cell[sieve.cell(state)]
            effort.spend(_CONFIRMED * len(others))
            for j, other in others:
                if fewest <= i + j <= frame.most and sieve.confirms(state + other) and layout.within_stock(state + other):
                    pairs.setdefault(i + j, []).append((i, state, j, other))
    return pairs


def _slots(mask: int) -> tuple[int, ...]:
    """The positions of a mask, ascending."""
    return tuple(slot for slot in range(mask.bit_length()) if mask >> slot & 1)


def _first_products(
    slots: Sequence[int], picks: Sequence[Picks], others: Sequence[int], theirs: Sequence[Picks], limit: int
) -> list[Picks]:
    """The first choices of two sets of positions together, each given by its own first ones."""
    both = (*slots, *others)
    order = sorted(range(len(both)), key=lambda place: both[place])
    merged = [tuple((*a, *b)[place] for place in order) for a, b in product(picks, theirs)]
    return sorted(merged)[:limit]
