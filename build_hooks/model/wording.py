"""Which way round a part goes in, what goes wrong, how a clearance is measured: words that the stack list and the shop screen share."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from build_hooks.model.parts import Check, ClearanceSpec, LineUp, Method, Part, WaveState
from build_hooks.model.unit import Pack, StackEntry
from build_hooks.reading.measures import show_limits
from calc_engine import capitalised, show

__all__ = [
    "any_time_sentence", "check_limits", "check_name", "check_sentence", "line_up_sentence", "method_sentence", "side_of", "wave_sentence",
    "wrong_sentences",
]  # fmt: skip

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
    said = ", ".join(part for part in ("" if spec.method is None else _METHODS[spec.method], _places(spec.at)) if part)
    return f"{said[0].upper()}{said[1:]}." if said else None


def check_name(check: Check) -> str:
    """What is measured after a step: “Turning torque”."""
    return capitalised(str(check.quantity).replace("-", " "))


def check_limits(check: Check) -> str:
    """The limits of a check: “12.40 to 12.90 mm”, “at most 0.60 N·m”."""
    if check.min is not None and check.max is not None:
        return show_limits(check.min, check.max)
    return (
        f"at least {show(check.min)}" if check.min is not None else f"at most {show(check.max)}" if check.max is not None else ""
    )


def check_sentence(check: Check, gauge: str | None) -> str:
    """How a check is measured and what it rests on, “With: Depth micrometer, at 4 places. Shop standard FL-17, revision A.” in full.

    Args:
        check: the check.
        gauge: what the shop calls the gauge, if it has it.
    """
    how = ", ".join(said for said in (f"With: {gauge}" if gauge else "", _places(check.at)) if said)
    return f"{f'{capitalised(how)}. ' if how else ''}{capitalised(check.source)}, revision {check.revision}."


def line_up_sentence(line_up: LineUp) -> str:
    """What is lined up with what: “the notched lug with the line on the rim”."""
    return f"{line_up.mark} with {line_up.to}"


def any_time_sentence(entry: StackEntry, parts: Mapping[str, Part]) -> str | None:
    """When else a part may go in: “May also go in at any time before the Piston.” None where its place is fixed."""
    ways = (("before", entry.any_time_before), ("after", entry.any_time_after))
    said = " and ".join(f"{when} the {parts[other].name}" for when, other in ways if other is not None and other in parts)
    return f"May also go in at any time {said}." if said else None


def _places(at: int | None) -> str:
    return "" if at is None else "at 1 place" if at == 1 else f"at {at} places"


def wave_sentence(pack: Pack) -> str | None:
    """The state of the wave plates that the limits are given for: “Wave plate pressed flat.” None where there is none."""
    if pack.clearance is None or pack.clearance.wave is None:
        return None
    number = len(pack.waves)
    return f"{'Wave plate' if number <= 1 else f'{number} wave plates'} {_WAVES[pack.clearance.wave]}."
