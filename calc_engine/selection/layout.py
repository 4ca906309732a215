"""Shifts of several packs side by side in one integer, and quick tests whether two such states fit together."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from itertools import product
from math import prod
from typing import NamedTuple

from calc_engine.selection.bench import Bench, Box

__all__ = ["Cells", "Layout", "Sieve"]

_FEW_POINTS = 16


class Layout:
    """How the shifts of several packs and the uses of watched ids stand side by side in one integer.

    Adding two such integers adds all fields at once. The pack that is settled first has the highest field, so that
    it can be read off and taken away with one shift. Fields of packs are signed; a field of uses counts from zero
    and lies below them.
    """

    def __init__(self, bench: Bench, order: Sequence[int]) -> None:
        """Gives each pack a field wide enough for every sum of steps.

        Args:
            bench: the bench in units.
            order: the packs in the order in which they are settled.
        """
        self.order = tuple(order)
        self.uses: dict[str, int] = {}
        self.full, self.allowance, at = 0, 0, 0
        for shelf in bench.watched:
            width = len(bench.slots).bit_length() + 1
            self.uses[shelf] = 1 << at
            self.full |= 1 << (at + width - 1)
            self.allowance += ((1 << (width - 1)) - 1 - min(bench.stock[shelf], len(bench.slots))) << at
            at += width
        self.packs_only = -1 << at
        self.shift: dict[int, int] = {}
        self.half: dict[int, int] = {}
        self.under: dict[int, int] = {}
        self.bias = 0
        for pack in reversed(self.order):
            largest = sum(max(abs(option.step) for option in slot.options) for slot in bench.slots if pack in dict(slot.effect))
            self.shift[pack], self.half[pack], self.under[pack] = at, 2 * _power_of_two_above(largest), self.bias
            self.bias += self.half[pack] << at
            at += self.half[pack].bit_length()

    def field(self, state: int, pack: int) -> int:
        """The shift of any pack in the state."""
        half = self.half[pack]
        return ((state + self.bias) >> self.shift[pack] & (2 * half - 1)) - half

    def weight(self, effect: dict[int, int], open_packs: Sequence[int]) -> int:
        """What one step adds to a state, for the packs that are open."""
        return sum(effect[pack] << self.shift[pack] for pack in open_packs if pack in effect)

    def within_stock(self, state: int) -> bool:
        """Whether no watched id is used more often than the shelf has it."""
        return not (state + self.allowance) & self.full


def _power_of_two_above(value: int) -> int:
    """The smallest power of two above a value that is not negative."""
    return 1 << value.bit_length()


class Cells(NamedTuple):
    """States that are wanted: a state is when `(state + bias) & mask` is among the known ones."""

    known: Collection[int]
    bias: int = 0
    mask: int = -1

    def holds(self, state: int) -> bool:
        """Whether a state is wanted."""
        return (state + self.bias) & self.mask in self.known


class Sieve:
    """Finds the partners of a state: those with which it comes to lie in the box, and perhaps a few more.

    With few points in the box, each point less the state is a partner. Else the shifts are cut into cells, for each
    pack as wide as the next power of two above its window, so that the partners of a state lie in at most two
    cells of each pack; a state in one of those cells is then a partner or nearly one, and never is one missed.
    """

    def __init__(self, layout: Layout, box: Box, packs: Sequence[int]) -> None:
        """Looks at some packs only.

        Args:
            layout: how states are written.
            box: for each pack its window.
            packs: the packs that count; both states must be closed to all others.
        """
        windows = [range(box[pack][0], box[pack][1] + 1) for pack in packs]
        self._layout = layout
        self._windows = [(pack, *box[pack]) for pack in packs]
        self.exact = prod(map(len, windows)) <= _FEW_POINTS
        if self.exact:
            self.bias, self.mask = 0, layout.packs_only
            points: Iterable[tuple[int, ...]] = product(*windows)
        else:
            self.bias = layout.bias
            self.mask = sum(
                (2 * layout.half[pack] - _power_of_two_from(len(window))) << layout.shift[pack]
                for pack, window in zip(packs, windows, strict=True)
            )
            points = product(*({window[0], window[-1]} for window in windows))
        self._probes = [sum(shift << layout.shift[pack] for pack, shift in zip(packs, point, strict=True)) for point in points]

    def __len__(self) -> int:
        """How many cells at most hold the partners of one state."""
        return len(self._probes)

    def cells(self, states: Iterable[int]) -> set[int]:
        """The cells of the partners of some states."""
        bias, mask, packs_only = self.bias, self.mask, self._layout.packs_only
        return {(probe - (state & packs_only) + bias) & mask for state in states for probe in self._probes}

    def confirms(self, state: int) -> bool:
        """Whether the sum of two partners lies in the box; certain already when the box has few points."""
        layout = self._layout
        return self.exact or all(low <= layout.field(state, pack) <= high for pack, low, high in self._windows)

    def cell(self, state: int) -> int:
        """The cell in which a state lies."""
        return (state + self.bias) & self.mask


def _power_of_two_from(value: int) -> int:
    """The smallest power of two that is not below a positive value."""
    return 1 << (value - 1).bit_length()
