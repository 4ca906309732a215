"""What the forecast of a pack rests on, from the unit data: the page of the jobs lays past rebuilds beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any, Final

from build_hooks.model import Pack, Part, SelectiveKit, Unit, parts_in_cavity
from build_hooks.reading.measures import Toleranced
from calc_engine import Quantity, size_names

__all__ = ["forecast_facts", "forecasts_of"]

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
        Cavity, parts and choices; None where the data give no cavity, where more than one kit sets the pack, its kit sets more than the
        pack or is none of its parts, and where the clearance counts from a wave plate that is not flat.
    """
    kits = unit.kits_of(pack.id)
    if pack.cavity is None or pack.clearance is None or len(kits) != 1:
        return None
    (kit,) = kits
    if kit.tightens != (pack.id,) or kit.loosens or (pack.waves and pack.clearance.wave == _WAVE_FREE):
        return None
    counted = parts_in_cavity(pack)
    fitted = next((room for entry, room in counted if kit.fitted is not None and entry.part.id == kit.fitted.id), None)
    if fitted is None:
        return None
    selective = {choice.id for choice in kit.choices}
    parts = [(entry.part, room) for entry, room in counted if entry.part.id not in selective]
    return {
        "cavity": {"name": pack.name, **_toleranced(pack.cavity)},
        "parts": list(_parts(parts)),
        "choices": list(_choices(kit, fitted)),
    }


def _parts(counted: Sequence[tuple[Part, Fraction]]) -> Iterator[dict[str, Any]]:
    times = Counter((part.id, room) for part, room in counted)
    for (part_id, room), count in times.items():
        part = next(part for part, _ in counted if part.id == part_id)
        if part.thickness is not None:
            yield {"name": part.name, **_toleranced(part.thickness), "nominal": _room(room, part), "count": count}


def _choices(kit: SelectiveKit, fitted: Fraction) -> Iterator[dict[str, Any]]:
    """Each size with the room that it takes: that of the part fitted, and what it is thicker."""
    names = size_names(kit.choices)
    first = kit.fitted.thickness.nominal.base if kit.fitted is not None and kit.fitted.thickness is not None else fitted
    for choice in kit.choices:
        if choice.thickness is not None:
            thickness = _room(fitted + choice.thickness.nominal.base - first, choice)
            stock = {"stock": kit.stock[choice.id]} if choice.id in kit.stock else {}
            yield {"id": names[choice.id], "thickness": thickness, **stock}


def _room(room: Fraction, part: Part) -> str:
    """A room in the unit that the part's thickness is given in."""
    return "" if part.thickness is None else str(Quantity(room, part.thickness.nominal.unit))


def _toleranced(size: Toleranced) -> dict[str, str]:
    return {"nominal": str(size.nominal), "plus": str(size.plus), "minus": str(size.minus)}
