"""Whether each pack holds the torque that each gear asks of it: the engine's answers to what the unit data say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Final

from build_hooks.gears.train import GearFigures
from build_hooks.model import GearSet, Pack, Part, PartKind, Unit
from calc_engine import Quantity, exact_text, work_out

__all__ = ["LOWER_PRESSURE", "Holding", "NotKnown", "holdings_of"]

# How much of its pressure a worn pump is taken to give, for the comparison: common practice, no source.
LOWER_PRESSURE: Final = Fraction(8, 10)


@dataclass(frozen=True, slots=True)
class Holding:
    """A pack in a gear.

    Attributes:
        element: id of the clutch or brake.
        gear: what the gear is called.
        wanted: the torque through it, for the stated torque at the input.
        holds: the torque that its plates hold at the gear's pressure.
        reserve: what it holds over what is wanted.
        fewer: the same with one friction plate fewer; None for a pack of one.
        lower: the same at `LOWER_PRESSURE` of the pressure.
        hot: the same with the friction coefficient in hot fluid; None where the data give none.
        working: of what it holds, line by line.
    """

    element: str
    gear: str
    wanted: Quantity
    holds: Quantity
    reserve: Fraction
    fewer: Fraction | None
    lower: Fraction
    hot: Fraction | None
    working: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotKnown:
    """An element of which this cannot be said.

    Attributes:
        element: its id.
        missing: what the data do not give, in words.
    """

    element: str
    missing: tuple[str, ...]


def holdings_of(
    unit: Unit, gear_set: GearSet, figures: Sequence[GearFigures]
) -> tuple[tuple[Holding, ...], tuple[NotKnown, ...]]:
    """Every pack in every gear that it carries torque in.

    Args:
        unit: for its packs.
        gear_set: of the unit.
        figures: what each gear comes to.

    Returns:
        The packs that can be judged, element by element; and those that cannot, with what is missing.

    Source: the calculations ``piston-force`` and ``torque-capacity`` (uniform wear), and what these rest on.
    """
    found: list[Holding] = []
    unknown: list[NotKnown] = []
    for known, element in gear_set.elements.items():
        pack = unit.packs.get(element.pack or "")
        if pack is None:
            continue
        plates = _Plates.of(pack)
        missing = (*_missing(gear_set, pack), *([] if plates else ["the diameters of its lining and piston"]))
        if missing or plates is None:
            unknown.append(NotKnown(known, missing))
            continue
        found += [_holding(known, gear, gear_set, plates) for gear in figures if gear.carries.get(known)]
    return tuple(found), tuple(unknown)


def _missing(gear_set: GearSet, pack: Pack) -> Iterator[str]:
    if gear_set.input_torque is None:
        yield "the torque at the input"
    if gear_set.pressure is None:
        yield "the pressure"
    if pack.grip is None:
        yield "its friction coefficient"


@dataclass(frozen=True, slots=True)
class _Plates:
    """What a pack holds by, as requests have it."""

    count: int
    lining: Mapping[str, str]
    piston: Mapping[str, Any]
    friction_coefficient: str
    friction_hot: str | None

    @classmethod
    def of(cls, pack: Pack) -> _Plates | None:
        """None where a diameter is missing."""
        grip = pack.grip
        parts = [entry.part for entry in pack.physical_stack]
        friction = next((part for part in parts if part.kind is PartKind.FRICTION and _is_ring(part)), None)
        pistons = {part.id: part for part in parts if part.kind is PartKind.PISTON}
        piston = next(iter(pistons.values())) if len(pistons) == 1 else None
        outer = (grip.piston_outer if grip else None) or (piston.outer if piston else None)
        inner = (grip.piston_inner if grip else None) or (piston.inner if piston else None)
        if grip is None or friction is None or outer is None or inner is None:
            return None
        spring = {"spring": {"force": str(grip.spring_force)}} if grip.spring_force is not None else {}
        lining = {"outer": str(friction.outer), "inner": str(friction.inner)}
        return cls(
            pack.friction_count,
            lining,
            {"outer": str(outer), "inner": str(inner), **spring},
            exact_text(grip.friction_coefficient),
            None if grip.friction_hot is None else exact_text(grip.friction_hot),
        )


def _is_ring(part: Part) -> bool:
    return part.outer is not None and part.inner is not None


def _holding(known: str, gear: GearFigures, gear_set: GearSet, plates: _Plates) -> Holding:
    torque, pressure = gear_set.input_torque, gear.row.pressure or gear_set.pressure
    assert torque is not None  # noqa: S101 - what is missing was looked for before
    assert pressure is not None  # noqa: S101 - likewise
    wanted = Quantity(abs(gear.carries[known]) * torque.value, torque.unit)
    force, pressed = _force(plates, pressure)
    holds, gripped = _grip(plates, plates.count, force)
    fewer = _grip(plates, plates.count - 1, force)[0] if plates.count > 1 else None
    lower = _grip(plates, plates.count, _force(plates, Quantity(pressure.value * LOWER_PRESSURE, pressure.unit))[0])[0]
    hot = (
        None
        if plates.friction_hot is None
        else _grip(replace(plates, friction_coefficient=plates.friction_hot), plates.count, force)
    )
    return Holding(
        known,
        gear.row.label,
        wanted,
        Quantity(torque.unit.from_base(holds), torque.unit),
        holds / wanted.base,
        None if fewer is None else fewer / wanted.base,
        lower / wanted.base,
        None if hot is None else hot[0] / wanted.base,
        (*pressed, *gripped, *(() if hot is None else ("in hot fluid:", *hot[1]))),
    )


def _force(plates: _Plates, pressure: Quantity) -> tuple[Fraction, tuple[str, ...]]:
    """What the piston presses with in N, its springs taken off, and the working."""
    found = work_out("piston-force", {**plates.piston, "pressure": str(pressure)}).answer
    return max(found.result.net_force, Fraction(0)), found.working


def _grip(plates: _Plates, count: int, force: Fraction) -> tuple[Fraction, tuple[str, ...]]:
    """The torque in N.m that so many plates hold under a force, and the working."""
    given = {"friction_plates": count, "friction_coefficient": plates.friction_coefficient, "force": f"{exact_text(force)} N"}
    found = work_out("torque-capacity", {**plates.lining, **given}).answer
    return found.result.uniform_wear, found.working
