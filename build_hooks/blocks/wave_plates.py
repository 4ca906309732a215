"""The wave plates of a pack as the calculation of its clearance takes them."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from build_hooks.model import Float, Pack
from calc_engine import Quantity

__all__ = ["wave_preset", "wave_said"]


def wave_preset(pack: Pack | Float) -> dict[str, str] | None:
    """Heights of the wave plates and the state that the limits mean; None when there are none, or a height is not known.

    Several wave plates stand on each other: all are free or all are flat, so their heights are added.
    """
    if isinstance(pack, Float):
        return None
    waves, spec = pack.waves, pack.clearance
    free = [wave.free_height for wave in waves if wave.free_height is not None]
    flat = [wave.thickness.nominal for wave in waves if wave.thickness is not None]
    if spec is None or spec.wave is None or not waves or not len(waves) == len(free) == len(flat):
        return None
    return {"free": str(_sum(free)), "flat": str(_sum(flat)), "specified": str(spec.wave)}


def _sum(lengths: Sequence[Quantity]) -> Quantity:
    """Exact, in the unit of the first."""
    unit = lengths[0].unit
    return Quantity(sum((length.to(unit).value for length in lengths), Fraction(0)), unit)


def wave_said(pack: Pack | Float) -> str:
    """The state of the wave plates that the limits mean, as a sentence after others."""
    if isinstance(pack, Float) or pack.clearance is None or not pack.clearance.wave:
        return ""
    number, wave = len(pack.waves), pack.clearance.wave
    return f" {number} wave plates {wave}, their heights added." if number > 1 else f" Wave plate {wave}."
