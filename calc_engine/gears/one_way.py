"""Whether one-way elements hold the way that the gears ask of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

__all__ = ["InGear", "one_way_cautions"]


@dataclass(frozen=True, slots=True)
class InGear:
    """What a one-way element does in a gear.

    Attributes:
        gear: name of the gear.
        carries: the torque that it carries when on; None when off, or when that cannot be told.
        turns: how fast its member turns when off, of a clutch the second member against the first; None when on, or not known.
    """

    gear: str
    carries: Fraction | None
    turns: Fraction | None


def one_way_cautions(elements: Mapping[str, Sequence[InGear]]) -> Iterator[str]:
    """What a one-way element would have to do that it cannot.

    It holds against one direction. A positive torque on a member keeps it from turning backwards, so the member may only turn forwards
    while the element is off.

    Args:
        elements: for each one-way element what it does in each gear, torques and speeds positive the same way.
    """
    for name, gears in elements.items():
        forwards = next((gear for gear in gears if gear.carries is not None and gear.carries > 0), None)
        backwards = next((gear for gear in gears if gear.carries is not None and gear.carries < 0), None)
        if forwards and backwards:
            yield f"“{name}” holds one way only, but would have to hold one way in {forwards.gear} and the other way in {backwards.gear}."
        elif forwards or backwards:
            sign = 1 if forwards else -1
            for gear in gears:
                if gear.turns is not None and gear.turns * sign < 0:
                    yield f"“{name}” is off in {gear.gear}, but there its member would turn the way that it holds: it would be on."
