"""Random units that are sound, and as awkward as sound units can be: twins, look-alikes, odd units, narrow limits, several waves."""

from __future__ import annotations

import random
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from calc_engine import exact_text

__all__ = ["random_unit", "seeded_unit"]

type Pick = Callable[[int, int], int]
"""A whole number between two bounds, both included."""

KINDS = (
    "friction", "steel", "wave", "backing", "reaction", "pressure", "snap-ring", "piston", "seal", "lip-seal", "return-spring",
    "retainer", "thrust-washer", "bearing", "shim", "hub",
)  # fmt: skip
MARKS = ("chamfer", "dimple", "lip", "step", "tooth", "dish", "flat", "paint")
WAYS = ("up", "down", "in", "out")
COLOURS = ("white", "yellow", "green", "red", "blue")
# By unit of length: one step of an ordinary gauge, and a clearance of about a millimetre.
MEASURES = {"mm": ("0.01", "1"), "in": ("0.001", "0.04"), "um": ("10", "1000"), "thou": ("1", "40"), "m": ("0.00001", "0.001")}


def seeded_unit(seed: int) -> dict[str, Any]:
    """The unit of a seed."""
    return random_unit(random.Random(seed).randint)


def random_unit(pick: Pick) -> dict[str, Any]:
    """A sound unit as plain data."""
    measure = "mm" if pick(0, 2) else ("in", "um", "thou", "m")[pick(0, 3)]
    parts = [_part(pick, number, measure) for number in range(pick(2, 14))]
    for part in parts:
        _look_alikes(pick, part, parts)
    gauges = [_gauge(pick, number, measure) for number in range(pick(0, 6))]
    kits = [_kit(pick, number, measure, parts) for number in range(pick(0, 2))]
    packs = [_pack(pick, number, measure, parts, gauges) for number in range(pick(1, 3))]
    for kit in kits:
        _fit(pick, kit, packs)
    return {
        "id": "unit-" + "abcde"[pick(0, 4)],
        "name": "Unit",
        "parts": parts,
        "packs": packs,
        "kits": [kit for kit in kits if kit["effect"]],
        "gauges": gauges,
        "tools": [_supply(pick, "tool", number) for number in range(pick(0, 5))],
        "consumables": [_supply(pick, "stuff", number) for number in range(pick(0, 5))],
    }


def _maybe(pick: Pick, thing: dict[str, Any], key: str, value: Any, *, odds: int = 2) -> None:
    if pick(1, odds) == 1:
        thing[key] = value


def _amount(pick: Pick, measure: str, least: int, most: int) -> str:
    """A length between so many hundredths of a clearance."""
    step, _ = MEASURES[measure]
    return f"{exact_text(pick(least, most) * Fraction(step))} {measure}"


def _part(pick: Pick, number: int, measure: str) -> dict[str, Any]:
    kind = KINDS[pick(0, 5)] if pick(0, 1) else KINDS[pick(0, len(KINDS) - 1)]
    # Some parts have a twin that no word tells from them.
    name = f"{kind} {number // 2 if pick(0, 4) == 0 else number}"
    part: dict[str, Any] = {"id": f"part-{number}", "name": name, "kind": kind}
    if pick(0, 9):
        part["thickness"] = _amount(pick, measure, 120, 140)
    _maybe(pick, part, "mark", f"{COLOURS[pick(0, 4)]} paint")
    _maybe(pick, part, "number", f"N-{pick(1, 9)}", odds=3)
    _maybe(pick, part, "tell_apart", f"by its {COLOURS[pick(0, 4)]} edge")
    if kind == "wave":
        _maybe(pick, part, "free_height", _amount(pick, measure, 141, 220))
    return part


def _look_alikes(pick: Pick, part: dict[str, Any], parts: list[dict[str, Any]]) -> None:
    others = [other["id"] for other in parts if other is not part and pick(0, 3) == 0]
    if others:
        part["look_alikes"] = others


def _gauge(pick: Pick, number: int, measure: str) -> dict[str, Any]:
    kind = ("dial", "feeler", "depth", "micrometer", "wrench", "pressure")[pick(0, 5)]
    gauge: dict[str, Any] = {"id": f"gauge-{number}", "name": f"Gauge {pick(0, 5)}", "kind": kind}
    step = Fraction(MEASURES[measure][0])
    if kind not in {"wrench", "pressure"}:
        _maybe(pick, gauge, "resolution", f"{exact_text(step * (pick(1, 5) if pick(0, 2) == 0 else 1))} {measure}")
        _maybe(pick, gauge, "max_error", f"{exact_text(step * pick(0, 3))} {measure}")
    _maybe(pick, gauge, "note", f"Read it in bay {pick(1, 3)}.")
    return gauge


def _supply(pick: Pick, what: str, number: int) -> dict[str, Any]:
    names = (
        "Snap ring pliers",
        "Spring press",
        "Seal installing sleeve",
        "Assembly lubricant",
        "Clean fluid",
        "Mirror",
        "Tray",
        "Hoist",
    )
    thing = {"id": f"{what}-{number}", "name": names[pick(0, len(names) - 1)]}
    _maybe(pick, thing, "note", f"Kept on shelf {pick(1, 4)}.")
    return thing


def _pack(pick: Pick, number: int, measure: str, parts: list[dict[str, Any]], gauges: list[dict[str, Any]]) -> dict[str, Any]:
    grooves = [f"groove {name}" for name in "abcd"[: pick(0, 4)]]
    entries: list[dict[str, Any]] = []
    for _ in range(pick(1, 7)):
        if pick(0, 2):
            entries.append(_entry(pick, parts, grooves))
            continue
        turn = [_entry(pick, parts, grooves) for _ in range(pick(1, 3))]
        turns = pick(2, 5)
        entries.extend({**entry, "turn": place + 1, "turns": turns} for place in range(turns) for entry in turn)
    _free(pick, entries)
    pack = {"id": f"pack-{number}", "name": f"Pack {number}", "parts": entries}
    if grooves:
        pack["grooves"] = grooves
    if pick(0, 5):
        pack["clearance"] = _clearance(pick, measure, gauges)
    return pack


def _free(pick: Pick, entries: list[dict[str, Any]]) -> None:
    """Lets some parts that go in once go in at any time before a later part, or after an earlier one."""
    ids = [entry["part"] for entry in entries]
    for place, entry in enumerate(entries):
        if ids.count(entry["part"]) > 1 or pick(0, 4):
            continue
        late = [name for name in ids[place + 1 :] if name not in ids[:place]]
        early = [name for name in ids[:place] if name not in ids[place + 1 :]]
        if late:
            _maybe(pick, entry, "any_time_before", late[pick(0, len(late) - 1)])
        if early:
            _maybe(pick, entry, "any_time_after", early[pick(0, len(early) - 1)])


def _entry(pick: Pick, parts: list[dict[str, Any]], grooves: list[str]) -> dict[str, Any]:
    part = parts[pick(0, len(parts) - 1)]
    entry: dict[str, Any] = {"part": part["id"]}
    side = "either way" if pick(0, 2) == 0 else f"{MARKS[pick(0, 7)]} {WAYS[pick(0, 3)]}"
    _maybe(pick, entry, "side", side)
    if grooves and (part["kind"] == "snap-ring" or pick(0, 7) == 0):
        _maybe(pick, entry, "groove", grooves[pick(0, len(grooves) - 1)])
    _maybe(pick, entry, "place", f"in place {pick(1, 3)}")
    cues = (
        "left out",
        "chamfer up",
        "lip down",
        "upside down",
        "flat side in",
        "in the groove b groove",
        "two together",
        "left out of line",
    )
    effects = ("it drags", "it slips when hot", "it bangs", "it leaks", "it knocks", "it burns")
    _maybe(pick, entry, "wrong", f"{cues[pick(0, 7)]}: {effects[pick(0, 5)]}" if pick(0, 4) else "mind the edge")
    _maybe(pick, entry, "tell_apart", f"has {pick(6, 9)} lugs", odds=4)
    texts = ("The spring is under load.", "Keep fingers out.", "Sharp edges.", "Hot parts.")
    _maybe(pick, entry, "caution", {"signal": ("warning", "caution")[pick(0, 1)], "text": texts[pick(0, 3)]}, odds=4)
    _maybe(pick, entry, "once_only", True, odds=5)
    return entry


def _clearance(pick: Pick, measure: str, gauges: list[dict[str, Any]]) -> dict[str, Any]:
    step, usual = (Fraction(text) for text in MEASURES[measure])
    low = usual * pick(0, 20) / 20
    width = step * (pick(1, 12) if pick(0, 5) == 0 else pick(12, 80))
    spec: dict[str, Any] = {"min": f"{exact_text(low)} {measure}", "max": f"{exact_text(low + width)} {measure}"}
    _maybe(pick, spec, "method", ("dial", "feeler", "depth", "parts")[pick(0, 3)])
    _maybe(pick, spec, "positions", pick(1, 8))
    _maybe(pick, spec, "spread_limit", f"{exact_text(step * pick(1, 25))} {measure}")
    _maybe(pick, spec, "target", f"{exact_text(low + width * pick(0, 10) / 10)} {measure}", odds=4)
    _maybe(pick, spec, "wave", ("free", "flat")[pick(0, 1)])
    if gauges:
        _maybe(pick, spec, "gauge", gauges[pick(0, len(gauges) - 1)]["id"])
    _maybe(pick, spec, "source", "shop standard X-1")
    return spec


def _kit(pick: Pick, number: int, measure: str, parts: list[dict[str, Any]]) -> dict[str, Any]:
    """A kit of rings or plates; its sizes are parts of their own."""
    kind = ("snap-ring", "backing", "reaction")[pick(0, 2)]
    first = pick(120, 150)
    step = Fraction(MEASURES[measure][0])
    sizes = []
    for size in range(pick(1, 5)):
        part: dict[str, Any] = {"id": f"size-{number}-{size}", "name": f"{kind} of kit {number}", "kind": kind}
        part["thickness"] = f"{exact_text((first + size * pick(2, 25)) * step)} {measure}"
        _maybe(pick, part, "mark", f"{size} dots")
        sizes.append(part)
    parts.extend(sizes)
    kit: dict[str, Any] = {
        "id": f"kit-{number}",
        "name": f"Kit {number}",
        "choices": [size["id"] for size in sizes],
        "effect": {},
    }
    _maybe(pick, kit, "stock", {size["id"]: pick(0, 2) for size in sizes if pick(0, 1)}, odds=3)
    _maybe(pick, kit, "shafts", ["Input shaft"], odds=6)
    return kit


def _fit(pick: Pick, kit: dict[str, Any], packs: list[dict[str, Any]]) -> None:
    """Puts a size of the kit into one or two packs, with what a thicker one does there."""
    fitted = kit["choices"][pick(0, len(kit["choices"]) - 1)]
    for pack in packs:
        if pick(0, 1) and not any(entry["part"] in kit["choices"] for entry in pack["parts"]):
            entry: dict[str, Any] = {"part": fitted}
            if pack.get("grooves"):
                entry["groove"] = pack["grooves"][pick(0, len(pack["grooves"]) - 1)]
            pack["parts"].append(entry)
            kit["effect"][pack["id"]] = (-1, -1, 1)[pick(0, 2)]
            kit["fitted"] = fitted
