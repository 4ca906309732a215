"""From the plain data of a unit to `unit.ExerciseUnit`: everything that is wrong is told at once, by the field's name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from calc_engine import GAUGES_OF_METHOD, MOST_POSITIONS, Quantity
from calc_engine.practice.part_kinds import PART_KINDS
from calc_engine.practice.reading import Reader
from calc_engine.practice.unit import EITHER_WAY, Caution, Clearance, Entry, ExerciseUnit, Kit, Pack, Part, ShopGauge, Supply

__all__ = ["read_unit"]

_MARKS: Final = ("chamfer", "dimple", "lip", "step", "tooth", "dish", "flat", "paint")
_SIDES: Final = (EITHER_WAY, *(f"{mark} {way}" for mark in _MARKS for way in ("up", "down", "in", "out")))
_SIGNALS: Final = ("danger", "warning", "caution", "notice")
_GAUGES: Final = ("dial", "feeler", "depth", "micrometer", "wrench", "pressure")
_MOST_ENTRIES: Final = 200
_MOST_TURNS: Final = 60
_MOST_STOCK: Final = 100_000
# Stands for a part that is not there, while the rest of its entry is read.
_NO_PART: Final = Part("?", "?", "hub")


def read_unit(data: object) -> ExerciseUnit:
    """The unit that plain data describes.

    Args:
        data: the decoded JSON that the build makes for a page.

    Returns:
        The unit.

    Raises:
        Refused: with every problem, each under the dotted name of its field (``packs.0.parts.3.side``).
    """
    reader = Reader()
    given = reader.mapping(data, "", ("id", "name", "parts", "packs"), ("kits", "gauges", "tools", "consumables")) or {}
    parts = _by_id(reader, given.get("parts", []), "parts", _part)
    _look_alikes(reader, parts)
    gauges = _by_id(reader, given.get("gauges", []), "gauges", _gauge)
    packs = _by_id(reader, given.get("packs", []), "packs", lambda reader, item, field: _pack(reader, item, field, parts, gauges))
    unit = ExerciseUnit(
        id=reader.text(given.get("id", "?"), "id"),
        name=reader.text(given.get("name", "?"), "name"),
        parts=parts,
        packs=packs,
        kits=tuple(_kits(reader, given.get("kits", []), parts, packs)),
        gauges=tuple(gauges.values()),
        tools=tuple(_by_id(reader, given.get("tools", []), "tools", _supply).values()),
        consumables=tuple(_by_id(reader, given.get("consumables", []), "consumables", _supply).values()),
    )
    reader.refuse_if_any()
    return unit


def _by_id[T: (Part, ShopGauge, Supply, Pack)](
    reader: Reader, value: object, field: str, read: Callable[[Reader, object, str], T | None]
) -> dict[str, T]:
    found = [read(reader, item, f"{field}.{index}") for index, item in enumerate(reader.items(value, field))]
    sound = [item for item in found if item is not None]
    reader.once((item.id for item in sound), field)
    return {item.id: item for item in sound}


def _part(reader: Reader, value: object, field: str) -> Part | None:
    given = reader.mapping(
        value,
        field,
        ("id", "name", "kind"),
        ("thickness", "free_height", "mark", "number", "tell_apart", "look_alikes"),
    )
    if given is None:
        return None
    alikes = reader.items(given.get("look_alikes", []), f"{field}.look_alikes")
    return Part(
        id=reader.text(given.get("id", "?"), f"{field}.id"),
        name=reader.text(given.get("name", "?"), f"{field}.name"),
        kind=reader.choice(given.get("kind", "hub"), f"{field}.kind", PART_KINDS) or "hub",
        thickness=_above_zero(reader, given.get("thickness"), f"{field}.thickness"),
        free_height=_above_zero(reader, given.get("free_height"), f"{field}.free_height"),
        mark=reader.text_or_none(given.get("mark"), f"{field}.mark"),
        number=reader.text_or_none(given.get("number"), f"{field}.number"),
        tell_apart=reader.text_or_none(given.get("tell_apart"), f"{field}.tell_apart"),
        look_alikes=tuple(reader.text(name, f"{field}.look_alikes.{index}") for index, name in enumerate(alikes)),
    )


def _look_alikes(reader: Reader, parts: Mapping[str, Part]) -> None:
    for index, part in enumerate(parts.values()):
        for place, name in enumerate(part.look_alikes):
            reader.choice(name, f"parts.{index}.look_alikes.{place}", (other for other in parts if other != part.id))


def _gauge(reader: Reader, value: object, field: str) -> ShopGauge | None:
    given = reader.mapping(value, field, ("id", "name", "kind"), ("resolution", "max_error", "note"))
    if given is None:
        return None
    return ShopGauge(
        id=reader.text(given.get("id", "?"), f"{field}.id"),
        name=reader.text(given.get("name", "?"), f"{field}.name"),
        kind=reader.choice(given.get("kind", "dial"), f"{field}.kind", _GAUGES) or "dial",
        resolution=_above_zero(reader, given.get("resolution"), f"{field}.resolution"),
        max_error=reader.length_or_none(given.get("max_error"), f"{field}.max_error"),
        note=reader.text_or_none(given.get("note"), f"{field}.note"),
    )


def _above_zero(reader: Reader, value: object, field: str) -> Quantity | None:
    found = reader.length_or_none(value, field)
    if found is not None and found.value == 0:
        reader.report(field, "out-of-range", "It is zero.", "Write a length above zero.")
        return None
    return found


def _supply(reader: Reader, value: object, field: str) -> Supply | None:
    given = reader.mapping(value, field, ("id", "name"), ("note",))
    if given is None:
        return None
    return Supply(
        reader.text(given.get("id", "?"), f"{field}.id"),
        reader.text(given.get("name", "?"), f"{field}.name"),
        reader.text_or_none(given.get("note"), f"{field}.note"),
    )


def _pack(reader: Reader, value: object, field: str, parts: Mapping[str, Part], gauges: Mapping[str, ShopGauge]) -> Pack | None:
    given = reader.mapping(value, field, ("id", "name", "parts"), ("grooves", "clearance"))
    if given is None:
        return None
    grooves = reader.items(given.get("grooves", []), f"{field}.grooves")
    names = tuple(reader.text(groove, f"{field}.grooves.{index}") for index, groove in enumerate(grooves))
    items = reader.items(given.get("parts", []), f"{field}.parts", most=_MOST_ENTRIES)
    found = [_entry(reader, item, f"{field}.parts.{index}", parts, names) for index, item in enumerate(items)]
    entries = tuple(entry for entry in found if entry is not None)
    if len(entries) == len(items):
        _turns(reader, entries, field)
    return Pack(
        id=reader.text(given.get("id", "?"), f"{field}.id"),
        name=reader.text(given.get("name", "?"), f"{field}.name"),
        entries=entries,
        grooves=names,
        clearance=_clearance(reader, given.get("clearance"), f"{field}.clearance", gauges),
    )


def _entry(reader: Reader, value: object, field: str, parts: Mapping[str, Part], grooves: tuple[str, ...]) -> Entry | None:
    given = reader.mapping(
        value,
        field,
        ("part",),
        ("side", "groove", "place", "wrong", "tell_apart", "once_only", "caution", "turn", "turns"),
    )
    if given is None or "part" not in given:
        return None
    name = reader.choice(given["part"], f"{field}.part", parts)
    side, groove = given.get("side"), given.get("groove")
    turns = reader.whole(given.get("turns", 1), f"{field}.turns", 1, _MOST_TURNS)
    entry = Entry(
        part=parts[name] if name is not None else _NO_PART,
        side=None if side is None else reader.choice(side, f"{field}.side", _SIDES),
        groove=None if groove is None else reader.choice(groove, f"{field}.groove", grooves),
        place=reader.text_or_none(given.get("place"), f"{field}.place"),
        wrong=reader.text_or_none(given.get("wrong"), f"{field}.wrong"),
        tell_apart=reader.text_or_none(given.get("tell_apart"), f"{field}.tell_apart"),
        once_only=reader.flag(given.get("once_only", False), f"{field}.once_only"),
        caution=_caution(reader, given.get("caution"), f"{field}.caution"),
        turn=reader.whole(given.get("turn", 1), f"{field}.turn", 1, turns),
        turns=turns,
    )
    return None if name is None else entry


def _caution(reader: Reader, value: object, field: str) -> Caution | None:
    if value is None:
        return None
    given = reader.mapping(value, field, ("signal", "text"))
    if given is None:
        return None
    signal = reader.choice(given.get("signal", "notice"), f"{field}.signal", _SIGNALS)
    return Caution(signal or "notice", reader.text(given.get("text", "?"), f"{field}.text"))


def _turns(reader: Reader, entries: tuple[Entry, ...], field: str) -> None:
    """Says where the turns of a repeat do not follow each other, or do not hold the same parts."""
    place = 0
    while place < len(entries):
        times = entries[place].turns
        size = 0
        while place + size < len(entries) and (entries[place + size].turn, entries[place + size].turns) == (1, times):
            size += 1
        size = 1 if times == 1 else size
        first = entries[place : place + size]
        for step in range(size * times):
            here = place + step
            wanted = (step // size + 1, times, first[step % size].part.id) if size else None
            if here >= len(entries) or (entries[here].turn, entries[here].turns, entries[here].part.id) != wanted:
                reader.report(
                    f"{field}.parts.{min(here, len(entries) - 1)}.turn",
                    "broken-repeat",
                    "The turns of this repeat do not follow each other with the same parts.",
                    "Give every turn the same parts in the same order, numbered from 1.",
                )
                return
        if not size:
            reader.report(
                f"{field}.parts.{place}.turn",
                "broken-repeat",
                "This repeat does not begin with its first turn.",
                "Give every turn the same parts in the same order, numbered from 1.",
            )
            return
        place += size * times


def _clearance(reader: Reader, value: object, field: str, gauges: Mapping[str, ShopGauge]) -> Clearance | None:
    if value is None:
        return None
    given = reader.mapping(
        value,
        field,
        ("min", "max"),
        ("target", "method", "positions", "spread_limit", "gauge", "wave", "source"),
    )
    if given is None or "min" not in given or "max" not in given:
        return None
    low, high = reader.length(given["min"], f"{field}.min"), reader.length(given["max"], f"{field}.max")
    target = reader.length_or_none(given.get("target"), f"{field}.target")
    if low is None or high is None:
        return None
    if low.base >= high.base:
        reader.report(field, "crossed-limits", "The smallest is not below the largest.", "Check which is which.")
    elif target is not None and not low.base <= target.base <= high.base:
        reader.report(f"{field}.target", "out-of-range", "The target lies outside the limits.", "Aim within them.")
    words = {
        key: None if given.get(key) is None else reader.choice(given[key], f"{field}.{key}", known)
        for key, known in (("method", tuple(GAUGES_OF_METHOD)), ("wave", ("free", "flat")), ("gauge", tuple(gauges)))
    }
    places = given.get("positions")
    return Clearance(
        min=low,
        max=high,
        target=target,
        method=words["method"],
        positions=None if places is None else reader.whole(places, f"{field}.positions", 1, MOST_POSITIONS),
        spread_limit=_above_zero(reader, given.get("spread_limit"), f"{field}.spread_limit"),
        gauge=gauges[words["gauge"]] if words["gauge"] else None,
        wave=words["wave"],
        source=reader.text_or_none(given.get("source"), f"{field}.source"),
    )


def _kits(reader: Reader, value: object, parts: Mapping[str, Part], packs: Mapping[str, Pack]) -> list[Kit]:
    found = [_kit(reader, item, f"kits.{index}", parts, packs) for index, item in enumerate(reader.items(value, "kits"))]
    sound = [kit for kit in found if kit is not None]
    reader.once((kit.id for kit in sound), "kits")
    return sound


def _kit(reader: Reader, value: object, field: str, parts: Mapping[str, Part], packs: Mapping[str, Pack]) -> Kit | None:
    given = reader.mapping(value, field, ("id", "name", "choices", "effect"), ("fitted", "shafts", "stock"))
    if given is None:
        return None
    items = reader.items(given.get("choices", []), f"{field}.choices", fewest=1)
    names = [reader.choice(name, f"{field}.choices.{index}", parts) for index, name in enumerate(items)]
    for index, name in enumerate(names):
        if name is not None and parts[name].thickness is None:
            reader.report(f"{field}.choices.{index}", "no-thickness", f"“{name}” has no thickness.", "Give it one.")
        if name is not None and name in names[:index]:
            reader.report(f"{field}.choices.{index}", "duplicate-id", f"“{name}” appears twice.", "Give each size once.")
    choices = tuple(parts[name] for name in names if name is not None)
    fitted = given.get("fitted")
    chosen = None if fitted is None else reader.choice(fitted, f"{field}.fitted", (part.id for part in choices))
    shafts = reader.items(given.get("shafts", []), f"{field}.shafts")
    return Kit(
        id=reader.text(given.get("id", "?"), f"{field}.id"),
        name=reader.text(given.get("name", "?"), f"{field}.name"),
        choices=choices,
        fitted=parts[chosen] if chosen else None,
        effect=_effect(reader, given.get("effect", {}), f"{field}.effect", packs),
        shafts=tuple(reader.text(name, f"{field}.shafts.{index}") for index, name in enumerate(shafts)),
        stock=_stock(reader, given.get("stock"), f"{field}.stock", choices),
    )


def _effect(reader: Reader, value: object, field: str, packs: Mapping[str, Pack]) -> dict[str, int]:
    given: Mapping[str, Any] = reader.mapping(value, field, (), tuple(packs)) or {}
    for pack, way in given.items():
        if way not in (-1, 1) or isinstance(way, bool):
            reader.report(f"{field}.{pack}", "out-of-range", "It is neither -1 nor 1.", "Write -1 for tightens, 1 for loosens.")
    return {pack: int(way) for pack, way in given.items() if pack in packs and way in (-1, 1)}


def _stock(reader: Reader, value: object, field: str, choices: tuple[Part, ...]) -> dict[str, int] | None:
    if value is None:
        return None
    given: Mapping[str, Any] = reader.mapping(value, field, (), tuple(part.id for part in choices)) or {}
    return {name: reader.whole(count, f"{field}.{name}", 0, _MOST_STOCK) for name, count in given.items()}
