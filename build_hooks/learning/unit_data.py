"""A unit as the plain data that exercises are made from. Package `practice` reads it, in the build and in the page."""

from __future__ import annotations

from typing import Any

from build_hooks.gears import HELD, train_request
from build_hooks.model import (
    Caution,
    ClearanceSpec,
    Consumable,
    Gauge,
    GearSet,
    Pack,
    Part,
    SelectiveKit,
    Shop,
    StackEntry,
    Tool,
    Unit,
)
from calc_engine import Dimension, Quantity

__all__ = ["unit_data"]


def unit_data(unit: Unit, shop: Shop) -> dict[str, Any]:
    """The unit and the shop's things as plain data.

    What is not said in the data is left out, so that a page carries no more than it needs.

    Args:
        unit: the unit.
        shop: the shop that works on it.

    Returns:
        A JSON-ready object. Parts stand in it once, by their ids; a pack holds one entry for each physical part.
    """
    return {
        "id": unit.id,
        "name": unit.name,
        "parts": [_part(part) for part in unit.parts.values()],
        "packs": [_pack(pack, shop) for pack in unit.packs.values() if pack.physical_stack],
        "kits": [_kit(kit, unit) for kit in unit.kits.values()],
        "gauges": [_gauge(gauge) for gauge in shop.gauges.values()],
        "tools": [_supply(tool) for tool in shop.tools.values()],
        "consumables": [_supply(item) for item in shop.consumables.values()],
        **_said(gear_set=None if unit.gear_set is None else _gear_set(unit.gear_set)),
    }


def _gear_set(gear_set: GearSet) -> dict[str, Any]:
    return {"train": train_request(gear_set, named=True), **_said(held=[HELD] if gear_set.held_for_good else None)}


def _said(**facts: Any) -> dict[str, Any]:
    """The facts that are said; quantities as text."""
    return {
        name: str(fact) if isinstance(fact, Quantity) else fact
        for name, fact in facts.items()
        if fact not in (None, False, [], ())
    }


def _part(part: Part) -> dict[str, Any]:
    return _said(
        id=part.id,
        name=part.name,
        kind=str(part.kind),
        thickness=part.thickness.nominal if part.thickness else None,
        free_height=part.free_height,
        mark=part.mark,
        number=part.number,
        tell_apart=part.tell_apart,
        look_alikes=list(part.look_alikes),
    )


def _pack(pack: Pack, shop: Shop) -> dict[str, Any]:
    return {
        "id": pack.id,
        "name": pack.name,
        **_said(grooves=list(pack.drum.grooves) if pack.drum else None),
        "parts": [_entry(entry, pack.drum.grooves if pack.drum else (), shop) for entry in pack.physical_stack],
        **_said(clearance=_clearance(pack.clearance, shop) if pack.clearance else None),
    }


def _entry(entry: StackEntry, grooves: tuple[str, ...], shop: Shop) -> dict[str, Any]:
    """One part in its place. Exercises ask for the grooves of the wall, where a ring can end up in the wrong one."""
    repeated = entry.turns > 1
    return {
        "part": entry.part.id,
        **_said(
            side=str(entry.side) if entry.side else None,
            groove=entry.groove if entry.groove in grooves else None,
            place=entry.place,
            wrong=entry.wrong,
            tell_apart=entry.tell_apart if entry.tell_apart != entry.part.tell_apart else None,
            once_only=entry.once_only,
            caution=_caution(entry.caution),
            turn=entry.turn if repeated else None,
            turns=entry.turns if repeated else None,
            any_time_before=entry.any_time_before,
            any_time_after=entry.any_time_after,
            tool=entry.tool if entry.tool in shop.tools else None,
        ),
    }


def _caution(caution: Caution | None) -> dict[str, str] | None:
    return {"signal": caution.signal, "text": caution.text} if caution else None


def _clearance(spec: ClearanceSpec, shop: Shop) -> dict[str, Any]:
    return {
        "min": str(spec.min),
        "max": str(spec.max),
        **_said(
            target=spec.target,
            method=str(spec.method) if spec.method else None,
            positions=spec.at,
            spread_limit=spec.spread_limit,
            gauge=spec.gauge if spec.gauge in shop.gauges else None,
            wave=str(spec.wave) if spec.wave else None,
            source=f"{spec.source}, revision {spec.revision}",
        ),
    }


def _kit(kit: SelectiveKit, unit: Unit) -> dict[str, Any]:
    ways = [*((name, -1) for name in kit.tightens), *((name, 1) for name in kit.loosens)]
    packs = {name: way for name, way in ways if name in unit.packs and unit.packs[name].physical_stack}
    return {
        "id": kit.id,
        "name": kit.name,
        "choices": [part.id for part in kit.choices],
        "effect": packs,
        **_said(
            fitted=kit.fitted.id if kit.fitted else None,
            shafts=[unit.shafts[name].name for name, _ in ways if name in unit.shafts],
            stock=dict(kit.stock) or None,
        ),
    }


def _gauge(gauge: Gauge) -> dict[str, Any]:
    lengths = {
        name: size
        for name, size in (("resolution", gauge.resolution), ("max_error", gauge.max_error))
        if size is not None and size.unit.dimension is Dimension.LENGTH
    }
    return _said(id=gauge.id, name=gauge.name, kind=str(gauge.kind), **lengths, note=gauge.note)


def _supply(thing: Tool | Consumable) -> dict[str, Any]:
    return _said(id=thing.id, name=thing.name, note=thing.note)
