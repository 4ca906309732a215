"""What the forecast of a pack rests on, from the unit data: the page of the jobs lays past rebuilds beside it."""

from __future__ import annotations

from collections import Counter
from typing import Any, Final

from build_hooks.model import Pack, PartKind, SelectiveKit, Unit
from build_hooks.reading.measures import Toleranced
from calc_engine import size_names

__all__ = ["forecast_facts", "forecasts_of"]

# What lies in the pack; a ring that holds it has its place in the drum, unless it is the selective part.
_PLATES: Final = frozenset(
    {
        PartKind.FRICTION, PartKind.STEEL, PartKind.WAVE, PartKind.BACKING, PartKind.REACTION, PartKind.PRESSURE,
        PartKind.THRUST_WASHER, PartKind.SHIM,
    }
)  # fmt: skip
_WAVE_FREE: Final = "free"


def forecasts_of(unit: Unit) -> dict[str, dict[str, Any]]:
    """The packs of a unit that a forecast can be made for.

    Args:
        unit: the unit.

    Returns:
        Cavity, parts and choices of a request of ``past-and-forecast``, by the ids of unit and pack with a stroke between them.
    """
    found = {f"{unit.id}/{pack.id}": forecast_facts(unit, pack) for pack in unit.packs.values()}
    return {key: facts for key, facts in found.items() if facts is not None}


def forecast_facts(unit: Unit, pack: Pack) -> dict[str, Any] | None:
    """What the drawings of a pack say.

    Args:
        unit: its unit.
        pack: the pack.

    Returns:
        Cavity, parts and choices; None where the data give no cavity, where more than one kit sets the pack or its kit sets more than
        the pack, and where the clearance counts from a wave plate that is not flat.
    """
    kits = unit.kits_of(pack.id)
    if pack.cavity is None or pack.clearance is None or len(kits) != 1:
        return None
    (kit,) = kits
    if kit.tightens != (pack.id,) or kit.loosens or (pack.waves and pack.clearance.wave == _WAVE_FREE):
        return None
    return {"cavity": {"name": pack.name, **_toleranced(pack.cavity)}, "parts": _parts(pack, kit), "choices": _choices(kit)}


def _parts(pack: Pack, kit: SelectiveKit) -> list[dict[str, Any]]:
    selective = {choice.id for choice in kit.choices}
    plates = [entry.part for entry in pack.physical_stack if entry.part.kind in _PLATES and entry.part.id not in selective]
    counted = Counter(part.id for part in plates)
    parts = {part.id: part for part in plates}
    return [
        {"name": part.name, **_toleranced(part.thickness), "count": counted[part.id]}
        for part in parts.values()
        if part.thickness is not None
    ]


def _choices(kit: SelectiveKit) -> list[dict[str, Any]]:
    names = size_names(kit.choices)
    return [
        {
            "id": names[choice.id],
            "thickness": str(choice.thickness.nominal),
            **({"stock": kit.stock[choice.id]} if choice.id in kit.stock else {}),
        }
        for choice in kit.choices
        if choice.thickness is not None
    ]


def _toleranced(size: Toleranced) -> dict[str, str]:
    return {"nominal": str(size.nominal), "plus": str(size.plus), "minus": str(size.minus)}
