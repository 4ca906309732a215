"""What takes up room between a piston and the face that holds its pack."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from build_hooks.model.parts import Part, PartKind, WaveState
from build_hooks.model.unit import Pack, StackEntry

__all__ = ["PLATES", "parts_in_cavity"]

PLATES: Final = frozenset(map(PartKind, ("friction", "steel", "wave", "backing", "reaction", "pressure")))
"""The kinds of part that lie in a pack with their thickness."""


def parts_in_cavity(pack: Pack) -> tuple[tuple[StackEntry, Fraction], ...]:
    """The plates of a pack, and the ring that holds it behind its last plate, each with the room it takes.

    Args:
        pack: a pack.

    Returns:
        Each entry that counts, in the order of the stack, with its room in mm. A plate that a ring holds by its cut-back rim is as thick
        as its rim there. A wave plate counts in the state that the limits mean. No ring counts where the piston is on top.
    """
    stack = pack.physical_stack
    plates = [at for at, entry in enumerate(stack) if entry.part.kind in PLATES]
    if not plates:
        return ()
    from_top = pack.pressed_from == "top"
    ring = (
        None
        if from_top
        else next((at for at in range(plates[-1], len(stack)) if stack[at].part.kind is PartKind.SNAP_RING), None)
    )
    held = plates[0] if from_top else plates[-1]
    is_free = pack.clearance is not None and pack.clearance.wave is WaveState.FREE
    return tuple(
        (stack[at], _room(stack[at].part, is_free=is_free) - (_cut(stack[at].part, from_top=from_top) if at == held else 0))
        for at in [*plates, *([] if ring is None else [ring])]
    )


def _room(part: Part, *, is_free: bool) -> Fraction:
    if is_free and part.free_height is not None:
        return part.free_height.base
    return Fraction(0) if part.thickness is None else part.thickness.nominal.base


def _cut(part: Part, *, from_top: bool) -> Fraction:
    cut = part.rim_below if from_top else part.rim_above
    return Fraction(0) if cut is None else cut.base
