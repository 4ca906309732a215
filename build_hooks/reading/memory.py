"""What was made before: a manual that is read again and again is made anew only where something of it has changed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, cast

__all__ = ["Memory", "Same"]

# Manuals of some thousand pages find room; one process that reads many manuals does not keep them all.
_MOST: Final = 16_384


class Same:
    """Stands for one object: equal only to what stands for the very same one, however alike another may be."""

    __slots__ = ("_one",)

    def __init__(self, one: object) -> None:
        """Takes the object, which is kept as long as this is."""
        self._one = one

    def __eq__(self, other: object) -> bool:
        """Whether both stand for one object."""
        return isinstance(other, Same) and self._one is other._one

    def __hash__(self) -> int:
        """By the object's identity."""
        return id(self._one)


class Memory:
    """The last thing of each name, with what it was made of."""

    def __init__(self) -> None:
        """Nothing is known yet."""
        self._kept: dict[tuple[str, str], tuple[Any, Any]] = {}

    def made[T](self, what: str, name: str, of: object, make: Callable[[], T]) -> T:
        """A thing: the one that is known, or made where that was made of something else.

        Args:
            what: what kind of thing it is.
            name: which of them, for example the path of a page.
            of: everything that it depends on, with a meaning of ``==`` by which equals make equals.
            make: makes it. What it raises is passed on, and nothing is kept.

        Returns:
            The thing, which nobody changes afterwards.
        """
        known = self._kept.get((what, name))
        if known is not None and known[0] == of:
            return cast("T", known[1])
        thing = make()
        self.keep(what, name, of, thing)
        return thing

    def known(self, what: str, name: str) -> tuple[Any, Any] | None:
        """What the last thing of a name was made of, and the thing; None where there is none."""
        return self._kept.get((what, name))

    def keep(self, what: str, name: str, of: object, thing: object) -> None:
        """Keeps a thing in place of the last of its name."""
        self._kept.pop((what, name), None)
        self._kept[what, name] = (of, thing)
        if len(self._kept) > _MOST:
            del self._kept[next(iter(self._kept))]
