"""From the plain data of a unit to `unit.ExerciseUnit`: everything that is wrong is told at once, by the field's name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from calc_engine import Refused, RequestReader
from calc_engine.practice.gear_set import GEAR_SET, GearSet
from calc_engine.practice.standards_shapes import findings_of, tree_of
from calc_engine.practice.unit import Caution, Clearance, Entry, ExerciseUnit, Kit, Pack, Part, ShopGauge, Supply
from calc_engine.practice.unit_shapes import (
    ClearanceData,
    EntryData,
    GaugeData,
    KitData,
    PackData,
    PartData,
    SupplyData,
    UnitData,
)

__all__ = ["read_unit"]


def read_unit(data: object) -> ExerciseUnit:
    """The unit that plain data describes.

    Args:
        data: the decoded JSON that the build makes for a page.

    Returns:
        The unit.

    Raises:
        Refused: with every problem, each under the dotted name of its field (``packs.0.parts.3.side``).
    """
    reader = RequestReader()
    given = reader.read(UnitData, data)
    if given is None:
        raise Refused(*reader.problems)
    parts = {part.id: _part(part) for part in given.parts}
    gauges = {gauge.id: _gauge(gauge) for gauge in given.gauges or ()}
    gear_set = _gear_set(data)
    # Exercises are made of packs; those on anything else, of one that stands for it.
    standing = {} if gear_set is None else {GEAR_SET: Pack(GEAR_SET, "Gear set", ())}
    standing |= {each.id: Pack(each.id, each.name, ()) for each in given.findings or ()}
    standing |= {each.id: Pack(each.id, each.name, ()) for each in given.trees or ()}
    return ExerciseUnit(
        id=given.id,
        name=given.name,
        parts=parts,
        packs={pack.id: _pack(pack, parts, gauges) for pack in given.packs} | standing,
        kits=tuple(_kit(kit, parts) for kit in given.kits or ()),
        gauges=tuple(gauges.values()),
        tools=_supplies(given.tools),
        consumables=_supplies(given.consumables),
        gear_set=gear_set,
        findings={each.id: findings_of(each) for each in given.findings or ()},
        trees={each.id: tree_of(each) for each in given.trees or ()},
    )


def _gear_set(data: Any) -> GearSet | None:
    """The gear set as it was given: what was read of it told that it is sound."""
    given = data.get("gear_set")
    return None if given is None else GearSet(given["train"], given.get("held") or ())


def _part(given: PartData) -> Part:
    return Part(
        given.id, given.name, given.kind, given.thickness, given.free_height, given.mark, given.number, given.tell_apart,
        given.look_alikes or (),
    )  # fmt: skip


def _gauge(given: GaugeData) -> ShopGauge:
    return ShopGauge(given.id, given.name, given.kind, given.resolution, given.max_error, given.note)


def _supplies(given: Iterable[SupplyData] | None) -> tuple[Supply, ...]:
    return tuple(Supply(item.id, item.name, item.note) for item in given or ())


def _pack(given: PackData, parts: Mapping[str, Part], gauges: Mapping[str, ShopGauge]) -> Pack:
    return Pack(
        id=given.id,
        name=given.name,
        entries=tuple(_entry(entry, parts) for entry in given.parts),
        grooves=given.grooves or (),
        clearance=_clearance(given.clearance, gauges) if given.clearance else None,
    )


def _entry(given: EntryData, parts: Mapping[str, Part]) -> Entry:
    return Entry(
        part=parts[given.part],
        side=given.side,
        groove=given.groove,
        place=given.place,
        wrong=given.wrong,
        tell_apart=given.tell_apart,
        once_only=bool(given.once_only),
        caution=Caution(given.caution.signal, given.caution.text) if given.caution else None,
        turn=given.turn or 1,
        turns=given.turns or 1,
        any_time_before=given.any_time_before,
        any_time_after=given.any_time_after,
        tool=given.tool,
    )


def _clearance(given: ClearanceData, gauges: Mapping[str, ShopGauge]) -> Clearance:
    return Clearance(
        min=given.min,
        max=given.max,
        target=given.target,
        method=given.method,
        positions=given.positions,
        spread_limit=given.spread_limit,
        gauge=gauges[given.gauge] if given.gauge else None,
        wave=given.wave,
        source=given.source,
    )


def _kit(given: KitData, parts: Mapping[str, Part]) -> Kit:
    return Kit(
        id=given.id,
        name=given.name,
        choices=tuple(parts[name] for name in given.choices),
        fitted=parts[given.fitted] if given.fitted else None,
        effect=given.effect,
        shafts=given.shafts or (),
        stock=given.stock,
    )
