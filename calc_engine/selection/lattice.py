"""The lattice of shifts that whole multiples of each position's common step can make.

A kit in even steps reaches only some shifts, and positions that move several packs at once tie those shifts
together: with nothing but parts between two packs, for example, the sum of all clearances may move in even numbers
of units only. Every choice's shifts are a point of this lattice, though not every point is a choice's.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import gcd, prod

from calc_engine.selection.bench import Bench, Box

__all__ = ["holds_point", "lattice_basis", "sparseness"]

_LATTICE_STEPS = 4000


def lattice_basis(bench: Bench) -> list[tuple[int, ...]]:
    """A basis, in echelon form, of all shifts that whole multiples of each position's common step can make.

    Args:
        bench: the packs and places, in whole steps.
    """
    size = len(bench.packs)
    rows = []
    for slot in bench.slots:
        step = gcd(*(option.step for option in slot.options))
        signs = dict(slot.effect)
        if step:
            rows.append([step * signs.get(pack, 0) for pack in range(size)])
    basis: list[tuple[int, ...]] = []
    for column in range(size):
        while sum(1 for row in rows if row[column]) > 1:
            pivot = min((row for row in rows if row[column]), key=lambda row: abs(row[column]))
            rows = [row if row is pivot else _less_multiple(row, pivot, row[column] // pivot[column]) for row in rows]
        pivots = [row for row in rows if row[column]]
        rows = [row for row in rows if not row[column]]
        basis += [tuple(value if row[column] > 0 else -value for value in row) for row in pivots]
    return basis


def _less_multiple(row: Sequence[int], pivot: Sequence[int], times: int) -> list[int]:
    """The row less a multiple of the pivot row."""
    return [value - times * other for value, other in zip(row, pivot, strict=True)]


def holds_point(basis: Sequence[tuple[int, ...]], box: Box) -> bool:
    """Whether the box holds a point of the lattice; True as well when looking for one takes too long.

    Each pack is taken in turn: the rows that start at it move its shift in even steps and leave the packs before
    it alone. The first point found ends the walk.

    Args:
        basis: of `lattice_basis`.
        box: for each pack the least and the most shift, in steps.
    """
    rows = [next((row for row in basis if row[pack] and not any(row[:pack])), None) for pack in range(len(box))]
    walks = [iter([(0,) * len(box)])]
    for _ in range(_LATTICE_STEPS):
        point = next(walks[-1], None)
        if point is None:
            walks.pop()
            if not walks:
                return False
        elif len(walks) > len(box):
            return True
        else:
            walks.append(_points_in_window(point, rows[len(walks) - 1], len(walks) - 1, box))
    return True


def _points_in_window(point: tuple[int, ...], row: tuple[int, ...] | None, pack: int, box: Box) -> Iterator[tuple[int, ...]]:
    """The point plus every multiple of the row that puts one pack into its window."""
    low, high = box[pack]
    if row is None:
        if low <= point[pack] <= high:
            yield point
        return
    first = -((point[pack] - low) // row[pack])
    for times in range(first, (high - point[pack]) // row[pack] + 1):
        yield tuple(start + times * step for start, step in zip(point, row, strict=True))


def sparseness(bench: Bench) -> float:
    """How many times fewer points the lattice has than if the packs' shifts were free of each other."""
    commons = [
        gcd(*(option.step for slot in bench.slots if pack in dict(slot.effect) for option in slot.options)) or 1
        for pack in range(len(bench.packs))
    ]
    pivots = [next(value for value in row if value) for row in lattice_basis(bench)]
    return max(1.0, prod(pivots) / prod(commons))
