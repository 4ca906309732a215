"""A unit that was found sound, with the tree that says where each value of it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from build_hooks.checks.packs import Place, places_of
from build_hooks.checks.values import UnitData, unit_data
from build_hooks.library import Library
from build_hooks.model import Part, Shop, Unit
from build_hooks.reading.measures import Toleranced
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Mark
from build_hooks.reading.sources import read_mapping

__all__ = ["SoundUnit", "expanded", "size_of", "sound_units", "texts_of"]


@dataclass(frozen=True, slots=True)
class SoundUnit:
    """A unit as pages use it, and as it is written.

    Attributes:
        path: its file, as it is named in warnings.
        data: its tree.
        unit: the same, resolved.
        library: the manual that it is a unit of.
    """

    path: str
    data: UnitData
    unit: Unit
    library: Library

    @property
    def shop(self) -> Shop:
        """The shop of the manual."""
        return self.library.shop

    def key_mark(self, section: str, name: str) -> Mark:
        """Where the id of a thing stands, in its section: ``parts``, ``packs``."""
        return self.data.root.children[section].keys[name]

    def part_of(self, place: Place) -> Part | None:
        """The part at a place of a stack."""
        return self.unit.parts.get(place.part_id or "")


def sound_units(library: Library) -> Iterator[SoundUnit]:
    """The units of a manual, each with its tree."""
    gauges = {gauge.id: str(gauge.kind) for gauge in library.shop.gauges.values()}
    for unit in library.units.values():
        path = library.docs / "units" / unit.id / "unit.yml"
        root, _ = read_mapping(path)
        if root is not None:
            yield SoundUnit(
                path.as_posix(), unit_data(root, gauges, tuple(library.shop.tools), library.shop.units), unit, library
            )


def size_of(part: Part, key: str) -> Fraction | None:
    """A size of a part in mm; of its thickness the nominal one."""
    size = getattr(part, key)
    if size is None:
        return None
    base: Fraction = (size.nominal if isinstance(size, Toleranced) else size).base
    return base


def expanded(pack: Node) -> tuple[Place, ...]:
    """The places of a stack with each repeat written out, so that neighbours stand side by side."""
    places = places_of(pack)
    found: list[Place] = []
    at = 0
    while at < len(places):
        turn = [place for place in places[at:] if place.at == places[at].at]
        found += turn * places[at].times
        at += len(turn)
    return tuple(found)


def texts_of(entry: Node, keys: Mapping[str, object] | tuple[str, ...]) -> Iterator[tuple[Node, str]]:
    """The texts at some keys of an entry."""
    for key in keys:
        node = entry.get(key)
        if node is not None and node.text is not None:
            yield node, node.text
