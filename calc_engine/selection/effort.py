"""How much work a search may do. It is counted, not timed, so that every machine stops at the same place with the same answer."""

from __future__ import annotations

__all__ = ["Effort", "EffortSpent"]

# About three seconds of CPython on a bench PC. Realistic benches need a hundredth of it.
_LIMIT = 25_000_000


class EffortSpent(Exception):  # noqa: N818 - not an error: the search answers with what it has found so far
    """The search has done as much work as it may."""


class Effort:
    """Work that may still be done. One unit is about as much as adding two numbers and storing the sum in a set."""

    def __init__(self, limit: int | None = None) -> None:
        """Takes the number of units; by default as many as a reader would wait for."""
        self.left = _LIMIT if limit is None else limit

    def spend(self, units: int) -> None:
        """Counts work that is about to be done.

        Raises:
            EffortSpent: there is not so much left.
        """
        self.left -= units
        if self.left < 0:
            raise EffortSpent
