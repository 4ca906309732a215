"""What is left over or left out in the data of a unit: unused parts, missing limits, one name for two things, reviews past due."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from datetime import date
from typing import Final

from build_hooks.checks.packs import places_of
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, quoted
from build_hooks.trade.sound_unit import SoundUnit

__all__ = ["past_due", "shop_names", "tidy_warnings"]

# What is written where a source is not known yet.
_NO_SOURCE: Final = re.compile(
    r"[\W_]*|(?:tbd|tbc|todo|none|unknown|n/?a|not known|somewhere|source|to follow|xx+)[\W_]*", re.IGNORECASE
)
_SECTIONS: Final = ("drums", "parts", "packs", "floats", "shafts", "selective")


def tidy_warnings(unit: SoundUnit, listed_in_pages: Collection[str], today: date) -> Iterator[Fault]:
    """What a unit's data leave open.

    Args:
        unit: the unit.
        listed_in_pages: ids of parts that a page of it lists.
        today: the day of the check.
    """
    yield from _unused(unit, listed_in_pages)
    yield from _without_limits(unit)
    for section in _SECTIONS:
        yield from _same_names(unit.data.root.get(section))
    yield from _empty_sources(unit.data.root)
    yield from past_due(unit.data.root.get("status"), today)


def shop_names(root: Node) -> Iterator[Fault]:
    """Names of a shop's things that are there twice, and waits without a source."""
    for section in ("gauges", "tools", "consumables", "waits", "screens"):
        yield from _same_names(root.get(section))
    yield from _empty_sources(root)


def _unused(unit: SoundUnit, listed_in_pages: Collection[str]) -> Iterator[Fault]:
    stacked = {place.part_id for pack in unit.data.packs.values() for place in places_of(pack)}
    chosen = {part.id for kit in unit.unit.kits.values() for part in kit.choices}
    for part_id in unit.unit.parts:
        if part_id not in stacked | chosen and part_id not in listed_in_pages:
            message = f"{quoted(part_id)} is in no stack, no kit and no list of a page."
            yield Fault(unit.key_mark("parts", part_id), "unused-part", message, "Put it where it goes in, or take it out.")


def _without_limits(unit: SoundUnit) -> Iterator[Fault]:
    for pack_id, pack in unit.unit.packs.items():
        if pack.friction_count and pack.clearance is None:
            message = f"{quoted(pack_id)} has friction plates, but no limits for its clearance."
            yield Fault(unit.key_mark("packs", pack_id), "pack-without-limits", message, "Add clearance: with its limits.")


def _same_names(section: Node | None) -> Iterator[Fault]:
    seen: dict[str, str] = {}
    for thing_id, thing in _things(section):
        name = (thing.text_of("name") or "").casefold()
        if name and name in seen:
            message = f"{quoted(thing.text_of('name') or '')} is the name of {quoted(seen[name])} and of {quoted(thing_id)}."
            yield Fault(thing.children["name"].mark, "same-name", message, "Give each a name of its own.")
        seen.setdefault(name, thing_id)


def _empty_sources(node: Node) -> Iterator[Fault]:
    source = node.get("source")
    if source is not None and source.text is not None and _NO_SOURCE.fullmatch(source.text):
        message = f"{quoted(source.text)} is no source."
        remedy = "Name the paper that the figures are from, or write: common practice, no source."
        yield Fault(source.mark, "empty-source", message, remedy)
    for child in (*node.children.values(), *node.items):
        yield from _empty_sources(child)


def past_due(status: Node | None, today: date) -> Iterator[Fault]:
    """A review that should have been made by now.

    Args:
        status: of a unit or a page.
        today: the day of the check.
    """
    due = None if status is None else status.get("review_due")
    if due is not None and isinstance(due.value, date) and due.value < today:
        message = f"The review was due on {due.value}."
        yield Fault(due.mark, "review-past-due", message, "Look at it again, and set the next day.")


def _things(section: Node | None) -> Iterable[tuple[str, Node]]:
    return () if section is None else section.children.items()
