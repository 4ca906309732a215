"""A good choice without proof, for a bench that is too hard to be searched whole.

It climbs from the fitted parts: one position is changed at a time, or two together, as long as that makes the worst pack
better. Where nothing helps any more it takes a few parts at random and climbs again. Chance comes from a fixed seed and the
climb is counted in steps, so that every machine finds the same choice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from calc_engine.selection.bench import Bench, SlotOption

__all__ = ["climb"]

type Rank = tuple[int, ...]

_MOST_LOOKS = 30_000
# Multiplier and increment of a linear congruential generator with 32 bits: W.H. Press et al., Numerical Recipes, 2nd edition, 7.1.
_MULTIPLIER, _INCREMENT, _MODULUS = 1_664_525, 1_013_904_223, 1 << 32
_SHAKEN = 3


class _Climber:
    """One climb: the options taken now, the packs' shifts, and how often it may still look."""

    def __init__(self, bench: Bench, rank: Callable[[Sequence[int]], Rank | None]) -> None:
        self.bench, self.rank = bench, rank
        self.looks = _MOST_LOOKS
        self.taken = [next(index for index, option in enumerate(slot.options) if not option.changed) for slot in bench.slots]
        self.shifts = [0] * len(bench.packs)
        self.chance = 1

    def options(self, taken: Sequence[int]) -> Iterator[SlotOption]:
        return (slot.options[index] for slot, index in zip(self.bench.slots, taken, strict=True))

    def picks(self) -> tuple[int, ...]:
        return tuple(option.choice for option in self.options(self.taken))

    def value(self) -> Rank | None:
        """How good the choice is; None when it is not to be considered."""
        self.looks -= 1
        ranked = self.rank(self.shifts)
        if ranked is None or (self.bench.stock and self.bench.overdrawn(self.picks())):
            return None
        return (*ranked, -sum(option.changed for option in self.options(self.taken)))

    def take(self, slot: int, index: int) -> int:
        """Takes an option; returns the one that it replaces."""
        before = self.taken[slot]
        step = self.bench.slots[slot].options[index].step - self.bench.slots[slot].options[before].step
        for pack, sign in self.bench.slots[slot].effect:
            self.shifts[pack] += sign * step
        self.taken[slot] = index
        return before

    def moves(self) -> Iterator[tuple[tuple[int, int], ...]]:
        """Every change of one position, then every change of two that share a pack."""
        slots = self.bench.slots
        single = [(slot, index) for slot in range(len(slots)) for index in range(len(slots[slot].options))]
        yield from ((move,) for move in single)
        packs = [{pack for pack, _ in slot.effect} for slot in slots]
        yield from ((one, two) for one in single for two in single if one[0] < two[0] and packs[one[0]] & packs[two[0]])

    def up(self, best: Rank | None) -> Rank | None:
        """Takes the first move that is better, again and again."""
        moved = True
        while moved and self.looks > 0:
            moved = False
            for move in self.moves():
                undo = [(slot, self.take(slot, index)) for slot, index in move]
                value = self.value()
                if value is not None and (best is None or value > best):
                    best, moved = value, True
                    break
                for slot, index in reversed(undo):
                    self.take(slot, index)
                if self.looks <= 0:
                    break
        return best

    def shake(self) -> None:
        """Takes a few parts at random."""
        for _ in range(_SHAKEN):
            slot = self._draw(len(self.taken))
            self.take(slot, self._draw(len(self.bench.slots[slot].options)))

    def _draw(self, below: int) -> int:
        self.chance = (self.chance * _MULTIPLIER + _INCREMENT) % _MODULUS
        return self.chance * below // _MODULUS


def climb(
    bench: Bench, rank: Callable[[Sequence[int]], Rank | None], start: Sequence[int] | None = None
) -> tuple[int, ...] | None:
    """The best choice that climbing finds.

    Args:
        bench: the bench.
        rank: how good the packs' shifts are, larger is better; None when they are not to be considered.
        start: the choice to climb from, for each position the index of its choice; by default the fitted parts.

    Returns:
        For each position the index of its choice; None when no choice was found that is to be considered.
    """
    if not bench.slots:
        return () if rank([0] * len(bench.packs)) is not None else None
    climber = _Climber(bench, rank)
    for slot, choice in enumerate(start or ()):
        climber.take(slot, next(index for index, option in enumerate(bench.slots[slot].options) if option.choice == choice))
    best, picks = climber.value(), climber.picks()
    found = picks if best is not None else None
    while climber.looks > 0:
        value = climber.up(climber.value())
        if value is not None and (best is None or value > best):
            best, found = value, climber.picks()
        climber.shake()
    return found
