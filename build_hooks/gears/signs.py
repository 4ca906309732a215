"""How a chart shows what an element does in a gear, in a page and on the wall."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from build_hooks.gears.train import GearFigures
from build_hooks.model import GearElement, GearSet

__all__ = ["IDLE", "ON", "ONE_WAY", "Sign", "overrunning", "sign_of"]


class Sign(NamedTuple):
    """A sign, and what it says."""

    sign: str
    said: str


ON: Final = Sign("●", "on")
ONE_WAY: Final = Sign("◆", "holds one way")
IDLE: Final = Sign("○", "on, carries nothing")


def sign_of(element: GearElement, label: str) -> Sign:
    """What an element that is on does in a gear.

    Args:
        element: it is on there.
        label: of the gear.
    """
    return IDLE if label in element.idle_in else ONE_WAY if element.turns_freely else ON


def overrunning(gear_set: GearSet, found: GearFigures) -> Iterator[str]:
    """The ids of the one-way clutches that carry a gear: there the wheels cannot turn the engine."""
    return (known for known in found.row.on if gear_set.elements[known].turns_freely and found.carries.get(known))
