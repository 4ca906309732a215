"""Which way round a part goes in and how a clearance is measured, in the words that the stack list and the shop screen share."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from build_hooks.model.parts import ClearanceSpec, Method, WaveState
from build_hooks.model.unit import Pack, StackEntry

__all__ = ["method_sentence", "side_of", "wave_sentence"]

_METHODS: Final[Mapping[Method, str]] = {
    Method.DIAL: "With the dial",
    Method.FEELER: "With feeler leaves",
    Method.DEPTH: "With the depth micrometer",
    Method.PARTS: "Cavity less parts",
}
_WAVES: Final[Mapping[WaveState, str]] = {WaveState.FREE: "sitting free", WaveState.FLAT: "pressed flat"}


def side_of(entry: StackEntry) -> str | None:
    """Which way round a part goes in: “either side up”, “rounded edge up, all alike”. None where nothing is said."""
    if entry.side is None:
        return None
    if entry.side.mark is None:
        return "either side up"
    return f"{entry.side}, all alike" if entry.turns > 1 else f"{entry.side}"


def method_sentence(spec: ClearanceSpec) -> str | None:
    """The method and the number of places: “With the dial, at 4 places.” None where neither is given."""
    places = "" if spec.at is None else "at 1 place" if spec.at == 1 else f"at {spec.at} places"
    said = ", ".join(part for part in ("" if spec.method is None else _METHODS[spec.method], places) if part)
    return f"{said[0].upper()}{said[1:]}." if said else None


def wave_sentence(pack: Pack) -> str | None:
    """The state of the wave plates that the limits are given for: “Wave plate pressed flat.” None where there is none."""
    if pack.clearance is None or pack.clearance.wave is None:
        return None
    number = len(pack.waves)
    return f"{'Wave plate' if number <= 1 else f'{number} wave plates'} {_WAVES[pack.clearance.wave]}."
