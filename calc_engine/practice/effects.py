"""What a mistake in a stack does: the author's own words where they speak of this mistake, else what the trade knows of it."""

from __future__ import annotations

import re
from typing import Final

from calc_engine import alike
from calc_engine.practice.part_kinds import PLATES
from calc_engine.practice.unit import Entry, has_way_round, turned_over
from calc_engine.practice.wording import COMMON_PRACTICE

__all__ = ["FAULTS", "general_effect", "noted_effect"]

FAULTS: Final = {
    "flipped": "A part is the wrong way round",
    "swapped": "Two neighbouring plates have changed places",
    "groove": "A ring sits in the wrong groove",
    "left-out": "A part that is fitted only once is left out",
    "count": "There are too many or too few of a part that is fitted several times",
    "look-alike": "A look-alike has been fitted",
}
"""The mistakes that can be planted."""

_FLIPPED: Final = {
    "seal": "A seal that points away from the pressure does not hold it: the pack slips, most of all when hot",
    "ring": "A ring with a bevel wedges one way only: the other way round it can walk out of its groove",
    "plate": "The face that was made for its neighbour points away from it: it bears wrongly, and may sit at the wrong height",
    "other": "It does not seat as it was made to: what follows sits crooked or at the wrong height",
}
_MISTAKES: Final = {
    "swapped": "Count and clearance can stay right while a lining rubs on a face that was not made for it, and some faces do no work",
    "groove": "Everything that bears on the ring is off by the distance between the grooves: the clearance is far out",
    "count": "The clearance is off by whole plates: too many and the pack drags, too few and it slips",
    "look-alike": "It fits, but it is not the same: thickness, teeth or height differ, so clearance or grip is off",
}


def general_effect(fault: str, kind: str) -> str:
    """What a mistake does, as the trade knows it.

    Args:
        fault: one of `FAULTS`.
        kind: the kind of part it happened to.

    Returns:
        A sentence that says that it is common practice and has no source.
    """
    if fault == "flipped":
        said = _FLIPPED[_group(kind)]
    elif fault == "left-out":
        said = _left_out(kind)
    else:
        said = _MISTAKES[fault]
    return f"{said} {COMMON_PRACTICE}."


def _group(kind: str) -> str:
    if kind in {"seal", "lip-seal"}:
        return "seal"
    return "ring" if kind == "snap-ring" else "plate" if kind in PLATES else "other"


def _left_out(kind: str) -> str:
    if kind == "wave":
        return "Nothing softens the take-up: the pack comes in with a bang, and its clearance is too large by the wave plate"
    if kind == "snap-ring":
        return "What the ring held, or pushed against, has nothing to stop it"
    return "The clearance is too large by its thickness, and its neighbours bear on what was not made for them"


def noted_effect(entry: Entry, fault: str, other: str | None = None) -> str | None:
    """What the author says that this very mistake does at this entry; None where the note speaks of another or of none.

    A note begins with the mistake, then a colon, then what comes of it: ``left out: the pack takes up with a bang``.

    Args:
        entry: the part in its place.
        fault: one of `FAULTS`, or ``order`` where another part goes in before it.
        other: the groove it is in, the name of the part that stands in its place, or the kind of the part that goes in before it.
    """
    cue, colon, effect = (entry.wrong or "").partition(":")
    if not colon or not effect.strip():
        return None
    return effect.strip() if _speaks_of(alike(cue), entry, fault, other) else None


def _speaks_of(cue: str, entry: Entry, fault: str, other: str | None) -> bool:
    if cue.startswith("left out"):
        return fault == "left-out"
    if fault == "flipped" and has_way_round(entry.side):
        assert entry.side is not None  # noqa: S101 - it has a way round
        direction = turned_over(entry.side).split()[-1]
        return cue == "upside down" or re.fullmatch(rf"[a-z]+( side| edge)? {direction}", cue) is not None
    if fault == "groove" and other is not None:
        return cue == f"in the {alike(other)} groove"
    if fault == "order" and other is not None:
        return re.fullmatch(rf"(an? )?{alike(other).removesuffix(' plate')}( plate)? first", cue) is not None
    if fault == "look-alike" and other is not None:
        return " ".join(alike(other).rstrip(",").split()[:2]) in cue
    return False
