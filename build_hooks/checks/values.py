"""Reads single values out of a tree for the checks. What is not there or is no such value reads as None: the model says so."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from build_hooks.model import PartKind, WrittenUnit
from build_hooks.model.fields import length_or_none, thickness_or_none
from build_hooks.reading.measures import Toleranced
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, did_you_mean, quoted
from calc_engine import Quantity, System

__all__ = ["UnitData", "date_of", "known_kind", "length_of", "repeated", "section", "thickness_of", "unit_data", "unknown"]


@dataclass(frozen=True, slots=True)
class UnitData:
    """The sections of a unit's data, by id; the shop's gauges with their kinds, its tools (None if the shop is at fault) and its units."""

    root: Node
    drums: Mapping[str, Node]
    parts: Mapping[str, Node]
    packs: Mapping[str, Node]
    floats: Mapping[str, Node]
    shafts: Mapping[str, Node]
    kits: Mapping[str, Node]
    gauges: Mapping[str, str] | None
    tools: Collection[str] | None
    units: System = "metric"

    def kind_of(self, part_id: str | None) -> str | None:
        """The kind of a part; None if it has none that is known."""
        part = self.parts.get(part_id or "")
        return None if part is None else known_kind(part, PartKind)


def unit_data(root: Node, gauges: Mapping[str, str] | None, tools: Collection[str] | None, units: System = "metric") -> UnitData:
    """The sections of a unit's tree.

    Args:
        root: the tree of its unit.yml.
        gauges: kind of each of the shop's gauges by its id, or None if the shop could not be read.
        tools: ids of the shop's tools, or None if the shop could not be read.
        units: the shop's.
    """
    drums, parts, packs, floats, shafts, kits = (
        section(root, key, WrittenUnit.model_fields) for key in ("drums", "parts", "packs", "floats", "shafts", "selective")
    )
    return UnitData(root, drums, parts, packs, floats, shafts, kits, gauges, tools, units)


def known_kind(thing: Node, kinds: type[StrEnum], key: str = "kind") -> str | None:
    """The kind of a part or a gauge, or the word at another key, if it is one of those there are."""
    kind = thing.text_of(key)
    return kind if kind in set(kinds) else None


def section(root: Node, key: str, known: Collection[str]) -> Mapping[str, Node]:
    """The things of one section by their ids, also if the section's own key is misspelt: then its ids are known all the same.

    Args:
        root: the tree of the file.
        key: the section.
        known: the sections there are.
    """
    found = root.get(key) or root.get(root.misspelt(key, known) or "")
    return {} if found is None else found.children


def length_of(node: Node, key: str) -> Quantity | None:
    """The length at a key."""
    return length_or_none(node.text_of(key))


def thickness_of(node: Node) -> Toleranced | None:
    """The thickness of a part."""
    return thickness_or_none(node.text_of("thickness"))


def date_of(node: Node, key: str) -> date | None:
    """The date at a key."""
    found = node.get(key)
    return found.value if found is not None and isinstance(found.value, date) else None


def unknown(reference: Node | None, known: Collection[str], thing: str, remedy: str, where: str = "") -> Iterator[Fault]:
    """A fault if a reference names nothing that is known.

    Args:
        reference: where the id stands.
        known: the ids there are.
        thing: what it should name: ``part``.
        remedy: what to do when no known id is near.
        where: the only place where it was looked for, if that needs saying.
    """
    if reference is None or reference.text is None or reference.text in known:
        return
    message = f"There is no {thing} {quoted(reference.text)}{where and f' in {quoted(where)}'}."
    # A code is one word behind another: of several things, none is meant by itself.
    code = f"unknown-{thing}" if thing.isalpha() else "unknown-reference"
    yield Fault(reference.mark, code, message, did_you_mean(reference.text, known) or remedy)


def repeated(items: tuple[Node, ...], where: str) -> Iterator[Fault]:
    """A fault for each text of a list that has stood there before."""
    seen: set[str] = set()
    for item in items:
        if item.text in seen:
            yield Fault(
                item.mark, "listed-twice", f"{quoted(item.text or '')} is listed twice in {where}.", "Take one of them out."
            )
        seen.add(item.text or "")
