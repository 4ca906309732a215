"""Chance from a seed: whole numbers only, so that every machine draws the same exercise to the byte."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

__all__ = ["LARGEST_SEED", "Generator", "generator_for", "in_turn"]

LARGEST_SEED: Final = 2**53 - 1
"""The largest whole number that a page's own numbers hold exactly (ECMA-262, Number.MAX_SAFE_INTEGER)."""

_SET: Final = 100  # The last two figures of a seed are the number in its set.
_WORD: Final = 2**64
_STEP: Final = 0x9E3779B97F4A7C15
_FIRST: Final = 0xBF58476D1CE4E5B9
_SECOND: Final = 0x94D049BB133111EB
_FNV_START: Final = 0xCBF29CE484222325
_FNV_PRIME: Final = 0x100000001B3


class Generator:
    """The generator SplitMix64.

    Source: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014; constants as in
    S. Vigna's public domain reference code.
    """

    def __init__(self, seed: int) -> None:
        self._state = seed % _WORD

    def word(self) -> int:
        """The next whole number, 0 to 2^64 - 1."""
        self._state = (self._state + _STEP) % _WORD
        mixed = self._state
        mixed = (mixed ^ (mixed >> 30)) * _FIRST % _WORD
        mixed = (mixed ^ (mixed >> 27)) * _SECOND % _WORD
        return mixed ^ (mixed >> 31)

    def below(self, count: int) -> int:
        """A whole number from 0 to count - 1, each as likely as the other.

        Args:
            count: how many there are, 1 to 2^64.

        Source: words beyond the largest multiple of count are drawn again, else the first numbers would be a little likelier.
        """
        last = _WORD - _WORD % count
        while (word := self.word()) >= last:
            pass
        return word % count

    def between(self, least: int, most: int) -> int:
        """A whole number from least to most, both included."""
        return least + self.below(most - least + 1)

    def chance(self, top: int, bottom: int) -> bool:
        """True in top out of bottom cases."""
        return self.below(bottom) < top

    def choice[T](self, items: Sequence[T]) -> T:
        """One of the items, which are not empty."""
        return items[self.below(len(items))]

    def shuffled[T](self, items: Sequence[T]) -> tuple[T, ...]:
        """The items in another order, every order as likely as the other.

        Source: R. Durstenfeld, "Algorithm 235: Random permutation", Communications of the ACM 7 (1964) 420.
        """
        mixed = list(items)
        for last in range(len(mixed) - 1, 0, -1):
            other = self.below(last + 1)
            mixed[last], mixed[other] = mixed[other], mixed[last]
        return tuple(mixed)


def generator_for(seed: int, *names: str) -> Generator:
    """A generator of its own for each set of names, so that one seed does not draw alike in every pack and kind.

    Args:
        seed: the trainer's number, 0 to `LARGEST_SEED`.
        names: what is drawn for: kind, unit, pack.

    Source: the names are folded in by the hash FNV-1a of 64 bits (G. Fowler, L. C. Noll, K.-P. Vo).
    """
    folded = _FNV_START
    for byte in "/".join(names).encode():
        folded = (folded ^ byte) * _FNV_PRIME % _WORD
    return Generator(Generator(seed ^ folded).word())


def in_turn[T](items: Sequence[T], seed: int, *parts: str) -> T:
    """One of the items: in a set of seeds none comes twice before each has come once.

    Args:
        items: one at least.
        seed: of the exercise.
        parts: what the order depends on beside the set, see `generator_for`.
    """
    return generator_for(seed // _SET, *parts).shuffled(items)[(seed - 1) % _SET % len(items)]
