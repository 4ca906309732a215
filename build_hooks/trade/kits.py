"""Kits and gauges that cannot do what the limits ask: sizes too far apart, a size that turns the wrong way, a gauge too coarse."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from build_hooks.checks.packs import PLATES, Place, places_of
from build_hooks.checks.values import length_of
from build_hooks.model import Gauge, Limits, Part, SelectiveKit
from build_hooks.model.fields import GAUGE_NEEDED
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, quoted
from build_hooks.trade.sound_unit import SoundUnit
from calc_engine import show

__all__ = ["kit_warnings", "limit_warnings"]

# A thicker shim may lift a housing, and so loosen a pack. A thicker plate never loosens the pack that it lies in.
_ALWAYS_TIGHTEN: Final = PLATES
# How many readings of the gauge one clearance is made of.
_READINGS: Final = {"depth": 2}


def kit_warnings(unit: SoundUnit) -> Iterator[Fault]:
    """Kits of a unit that cannot set what they are for."""
    for kit_id, kit in unit.unit.kits.items():
        yield from _gaps(kit, unit.data.kits[kit_id], unit)
        yield from _loosened(kit_id, unit)


def _gaps(kit: SelectiveKit, node: Node, unit: SoundUnit) -> Iterator[Fault]:
    """Between two sizes further apart than the limits are wide, there are clearances that neither brings in. Source: arithmetic."""
    sized = sorted((part.thickness.nominal.base, part.id, part) for part in kit.choices if part.thickness is not None)
    marks = {choice.text: choice.mark for choice in node.children["choices"].items}
    for (low, _, small), (high, _, large) in pairwise(sized):
        for target in (*kit.tightens, *kit.loosens):
            limits = _limits_of(target, unit)
            if limits is not None and high - low > limits.max.base - limits.min.base:
                yield Fault(marks[large.id], "kit-gap", _gap_message(small, large, target, limits), "Add the size between them.")
                break


def _gap_message(small: Part, large: Part, target: str, limits: Limits) -> str:
    sizes = " and ".join(show(part.thickness.nominal) for part in (small, large) if part.thickness is not None)
    between = f"Between {quoted(small.id)} and {quoted(large.id)}, {sizes},"
    return f"{between} the step is wider than the limits of {quoted(target)}, {show(limits.min)} to {show(limits.max)}."


def _limits_of(target: str, unit: SoundUnit) -> Limits | None:
    if target in unit.unit.shafts:
        return unit.unit.shafts[target].end_play
    return unit.unit.measured(target).limits


def _loosened(kit_id: str, unit: SoundUnit) -> Iterator[Fault]:
    """A plate, or the ring behind the last plate, takes its thickness from the clearance of its own pack. Source: arithmetic."""
    node = unit.data.kits[kit_id]
    loosens = node.get("loosens")
    choices = {choice.text or "" for choice in node.children["choices"].items}
    for target in () if loosens is None else loosens.items:
        pack = unit.data.packs.get(target.text or "")
        held = None if pack is None else _in_the_way(places_of(pack), choices, unit)
        if held is not None:
            message = f"{quoted(held.part_id or '')} lies in {quoted(target.text or '')}, so a thicker one tightens it."
            yield Fault(target.mark, "kit-loosens", message, f"Write {target.text} under tightens:.")


def _in_the_way(places: Sequence[Place], choices: set[str], unit: SoundUnit) -> Place | None:
    kinds = [unit.data.kind_of(place.part_id) for place in places]
    last = max((at for at, kind in enumerate(kinds) if kind in PLATES), default=len(places))
    for at, (place, kind) in enumerate(zip(places, kinds, strict=True)):
        if place.part_id in choices and (kind in _ALWAYS_TIGHTEN or (kind == "snap-ring" and at > last)):
            return place
    return None


def limit_warnings(unit: SoundUnit) -> Iterator[Fault]:
    """Limits that are no wider than the doubt of the gauge: no reading between them is certain.

    Source: ISO 14253-1, the guarded decision: a reading is certain when it is further from both limits than its doubt. Here the doubt
    is taken as the largest error of the gauge alone, for each reading of it, which is less than it really is.
    """
    for node, method in _specs(unit):
        gauge = unit.shop.gauges.get(node.text_of("gauge") or "")
        if gauge is not None and gauge.max_error is not None and str(gauge.kind) not in GAUGE_NEEDED.values():
            yield from _too_narrow(node, gauge, _READINGS.get(method or "", 1))


def _specs(unit: SoundUnit) -> Iterator[tuple[Node, str | None]]:
    things = ((unit.data.packs, "clearance"), (unit.data.floats, "limits"), (unit.data.shafts, "end_play"))
    found = [limits for named, key in things for thing in named.values() if (limits := thing.get(key)) is not None]
    checks = [
        check for pack in unit.data.packs.values() for place in places_of(pack) if (check := place.entry.get("check")) is not None
    ]
    for node in (*found, *checks):
        yield node, node.text_of("method")


def _too_narrow(node: Node, gauge: Gauge, readings: int) -> Iterator[Fault]:
    low, high = length_of(node, "min"), length_of(node, "max")
    if low is None or high is None or gauge.max_error is None:
        return
    if high.base - low.base <= 2 * readings * gauge.max_error.base:
        message = (
            f"The limits {node.text_of('min')} to {node.text_of('max')} are no wider than the doubt of {quoted(gauge.id)}, "
            f"± {show(gauge.max_error)}{' for each of two readings' if readings > 1 else ''}."
        )
        yield Fault(node.children["gauge"].mark, "unsure-limits", message, "Name a finer gauge, or check the limits.")
