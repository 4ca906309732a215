"""Why a gear train is fixed, free or locked, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from calc_engine.gears.train import Motion, Torques, Train, motion
from calc_engine.quantities.phrases import listed

__all__ = ["reason"]

# More names than this say less than their number.
_MOST_NAMED: Final = 4
# With more on than any transmission has, each is not tried off by itself.
_MOST_TRIED_OFF: Final = 10


def reason(train: Train, on: Sequence[str], moved: Motion, found: Torques | None) -> str:
    """Why the train is in its state, and which torques cannot be told.

    Args:
        train: the train.
        on: the names of the elements that are on.
        moved: how it turns.
        found: its torques; None when it carries none.
    """
    if moved.state == "locked":
        return _locked(train, on)
    if moved.state == "free":
        return (
            f"{_with(on)} the output does not follow from the input: it can stand still while the input turns. No torque passes."
        )
    if found is None:
        return f"{_with(on)} the output is held still while the input turns. No torque passes."
    return " ".join((f"{_with(on)} the output follows from the input.", *_open_members(train, moved), *_open_torques(on, found)))


def _with(on: Sequence[str]) -> str:
    return f"With {_some(on)} on," if on else "With nothing on,"


def _some(names: Sequence[str]) -> str:
    return listed(names) if len(names) <= _MOST_NAMED else f"{', '.join(names[:_MOST_NAMED])} and {len(names) - _MOST_NAMED} more"


def _locked(train: Train, on: Sequence[str]) -> str:
    what = f"{_with(on)} the input cannot turn: more is held than the train can do with."
    if len(on) > _MOST_TRIED_OFF:
        return what
    freeing = [name for name in on if motion(train, [other for other in on if other != name]).state != "locked"]
    return (
        f"{what} {f'With {listed(freeing, "or")} off it turns.' if freeing else 'It turns only with more than one of them off.'}"
    )


def _open_members(train: Train, moved: Motion) -> list[str]:
    members = (member for planetary in train.sets for member in planetary.members)
    idle = [member for member in members if train.piece_of[member] not in moved.speeds]
    return [f"Nothing sets the speed of {_some(idle)}."] if idle else []


def _open_torques(on: Sequence[str], found: Torques) -> list[str]:
    shared = [name for name in on if name not in found.elements]
    if not shared:
        return []
    return [f"More is on than is needed: how {_some(shared)} share the torque cannot be said."]
