"""Which way round a part goes in, what goes wrong, how a clearance is measured: words that the stack list and the shop screen share."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from build_hooks.model.parts import ClearanceSpec, Method, WaveState
from build_hooks.model.unit import Pack, StackEntry
from calc_engine import capitalised

__all__ = ["method_sentence", "side_of", "wave_sentence", "wrong_sentences"]

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


def wrong_sentences(entry: StackEntry) -> str | None:
    """What happens when a part goes in wrong: “Wrong: lip up. The pack slips.” None where nothing is said.

    What the data write as “lip up: the pack slips” becomes two sentences: two colons in one would be hard to read.
    """
    if entry.wrong is None:
        return None
    fault, _, consequence = entry.wrong.partition(": ")
    return f"Wrong: {fault}. {capitalised(consequence)}" if consequence else f"Wrong: {fault}"


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
