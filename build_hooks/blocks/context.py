"""What a block may know while it is made: the library, and the unit whose folder its page stands in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from build_hooks.library import Library
from build_hooks.model import Drum, Float, Pack, Shaft, Shop, Unit
from build_hooks.reading.problems import known_names, quoted

__all__ = ["HELD_BACK", "Context", "Trouble", "known_or_trouble"]

HELD_BACK: Final = "source-at-fault"
"""The code of what only follows from a file that has problems of its own: those are told where they stand, this is not."""


class Trouble(Exception):  # noqa: N818 - the author's fault, not ours
    """Something in a block's body that cannot be shown.

    Attributes:
        path: the keys and list numbers that lead to it.
        code: a short stable name.
        message: what is wrong.
        remedy: what would be right.
    """

    def __init__(self, path: tuple[str | int, ...], code: str, message: str, remedy: str) -> None:
        super().__init__(message)
        self.path, self.code, self.message, self.remedy = path, code, message, remedy


def known_or_trouble[T](known: Mapping[str, T], named: str, path: tuple[str | int, ...], what: str) -> T:
    """The thing of that name, or the trouble of naming one that is not there."""
    if named in known:
        return known[named]
    raise Trouble(path, "unknown-reference", f"There is no {what} {quoted(named)}.", known_names(named, known, what))


@dataclass(slots=True)
class Context:
    """Where a block stands.

    Attributes:
        library: everything that was loaded.
        unit_id: the unit that the page belongs to, if any.
        root: from the page to the top of the site, for example ``../../``.
        folder: the page's folder below the docs folder; empty at its top.
        unit_unknown: whether the page's front matter, which may name its unit, is wrong.
        taken: ids of panels already on the page, so that none stands twice.
        procedures: by the ids of unit and pack, the title and address of each page or passage that sets or checks it, from the top of the
            site.
    """

    library: Library
    unit_id: str | None
    root: str = ""
    folder: str = ""
    unit_unknown: bool = False
    taken: dict[str, int] = field(default_factory=dict)
    procedures: Mapping[tuple[str, str], Sequence[tuple[str, str]]] = field(default_factory=dict)

    def unit(self, named: str | None) -> Unit:
        """The unit that a block names, else that of the page.

        Raises:
            Trouble: there is none.
        """
        wanted = named or self.unit_id
        if named is None and self.unit_unknown:
            raise Trouble(("unit",), HELD_BACK, "The page's front matter has problems of its own.", "Mend it first.")
        if wanted is None:
            raise Trouble(("unit",), "no-unit-named", "This page belongs to no unit.", "Add unit: and the name of its folder.")
        if wanted in self.library.units_at_fault:
            raise Trouble(("unit",), HELD_BACK, f"The unit {quoted(wanted)} has problems of its own.", "Mend its unit.yml first.")
        return known_or_trouble(self.library.units, wanted, ("unit",), "unit")

    def shop(self) -> Shop:
        """The shop, for what a block names of it.

        Raises:
            Trouble: its file has problems of its own.
        """
        if self.library.shop_at_fault:
            raise Trouble((), HELD_BACK, "The shop has problems of its own.", "Mend shop.yml first.")
        return self.library.shop

    def pack(self, unit: Unit, named: str, path: tuple[str | int, ...] = ("pack",)) -> Pack:
        """A pack of a unit."""
        return known_or_trouble(unit.packs, named, path, "pack")

    def float(self, unit: Unit, named: str) -> Float:
        """A float of a unit."""
        return known_or_trouble(unit.floats, named, ("float",), "float")

    def measured(self, unit: Unit, named: str, path: tuple[str | int, ...]) -> Pack | Float:
        """A pack or float of a unit."""
        known: dict[str, Pack | Float] = {**unit.packs, **unit.floats}
        return known_or_trouble(known, named, path, "pack or float" if unit.floats else "pack")

    def shaft(self, unit: Unit, named: str) -> Shaft:
        """A shaft of a unit."""
        return known_or_trouble(unit.shafts, named, ("shaft",), "shaft")

    def drum(self, unit: Unit, named: str) -> Drum:
        """A drum of a unit."""
        return known_or_trouble(unit.drums, named, ("drum",), "drum")

    def identity(self, wanted: str) -> str:
        """An id for a panel that no other panel of the page has."""
        self.taken[wanted] = self.taken.get(wanted, 0) + 1
        return wanted if self.taken[wanted] == 1 else f"{wanted}-{self.taken[wanted]}"
