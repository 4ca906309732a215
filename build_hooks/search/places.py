"""Where the stacks and limits of the unit data stand in the manual."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from build_hooks.library import Library
from build_hooks.model import Unit, drum_folder
from build_hooks.search.entry import IndexedPage
from build_hooks.search.sections import Section

__all__ = ["Places", "places_in"]

# What the blocks call themselves, behind unit and pack: see build_hooks/blocks/stack.py and spec.py.
_STACK: Final = "stack order"
_CLEARANCE: Final = "clearance"
_END_PLAY: Final = "end play"
_FLOAT: Final = "limits"


@dataclass(frozen=True, slots=True)
class Places:
    """Addresses from the root of the site.

    Attributes:
        stacks: of each pack's stack, by unit and pack id, and of each whole drum, by unit and the drum's folder on the wall.
        specs: of the limits of each pack, float and shaft, by unit and id.
        units: of each unit's own page, by its id.
    """

    stacks: Mapping[tuple[str, str], str]
    specs: Mapping[tuple[str, str], str]
    units: Mapping[str, str]

    def stack(self, unit: Unit, pack: str) -> str:
        """Where the stack of a pack or a whole drum stands: in a page, else on the wall."""
        return self.stacks.get((unit.id, pack)) or f"wall/{unit.id}/{pack}/"

    def spec(self, unit: Unit, target: str) -> str:
        """Where the limits of a pack, float or shaft stand: in a page, else where its stack or its unit is shown."""
        found = self.specs.get((unit.id, target))
        return found or (self.stack(unit, target) if target in unit.packs else self.unit(unit))

    def unit(self, unit: Unit) -> str:
        """The unit's own page, else the start page."""
        return self.units.get(unit.id, "")


def places_in(pages: Mapping[str, IndexedPage], parts: Mapping[str, tuple[Section, ...]], library: Library) -> Places:
    """Finds the blocks in the finished pages.

    A unit's own procedures are preferred to its overview, and that to pages elsewhere: whoever looks for a limit is about
    to work to it.

    Args:
        pages: the finished pages by their address from the root of the site.
        parts: the sections of each, by the same address.
        library: the units.
    """
    names = _names(library)
    found: dict[str, dict[tuple[str, str], tuple[int, str]]] = {}
    units: dict[str, str] = {}
    for url, page in pages.items():
        if page.unit_id is not None and _is_overview(page):
            units.setdefault(page.unit_id, url)
        for section in parts[url]:
            for label, own in section.labels:
                target, what = _meant(label, names)
                if target is not None:
                    anchor = own or (section.anchor if section.level > 1 else "")
                    place = (_rank(page, target[0]), f"{url}#{anchor}" if anchor else url)
                    known = found.setdefault(what, {})
                    known[target] = min(known.get(target, place), place, key=lambda ranked: ranked[0])
    specs = {target: place for what in (_CLEARANCE, _FLOAT, _END_PLAY) for target, place in found.get(what, {}).items()}
    return Places(_addresses(found.get(_STACK, {})), _addresses(specs), units)


def _addresses(places: Mapping[tuple[str, str], tuple[int, str]]) -> dict[tuple[str, str], str]:
    return {target: address for target, (_, address) in places.items()}


def _rank(page: IndexedPage, unit: str) -> int:
    """How far a page stands from the work on a unit."""
    if page.unit_id != unit:
        return 2
    return 1 if _is_overview(page) else 0


def _is_overview(page: IndexedPage) -> bool:
    return page.source_path.endswith("index.md")


def _names(library: Library) -> dict[str, tuple[str, str]]:
    """What the blocks call each pack, float, shaft and drum: ``Alder 4, Forward pack``. Of two with one name the first keeps it."""
    names: dict[str, tuple[str, str]] = {}
    for unit in library.units.values():
        called = [(thing.name, thing.id) for things in (unit.packs, unit.floats, unit.shafts) for thing in things.values()]
        called += [(f"whole {drum.name}", drum_folder(drum)) for drum in unit.drums.values()]
        for name, target in called:
            names.setdefault(f"{unit.name}, {name}", (unit.id, target))
    return names


def _meant(label: str, names: Mapping[str, tuple[str, str]]) -> tuple[tuple[str, str] | None, str]:
    name, _, what = " ".join(label.split()).rpartition(": ")
    return names.get(name), what
