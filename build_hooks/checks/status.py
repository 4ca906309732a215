"""Does the status of a unit, a page or a path say all that it must?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from build_hooks.checks.values import date_of
from build_hooks.model import Status
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, listed, quoted

__all__ = ["status_faults"]

# What each state needs, with an example of each, and what else may be written.
_NEEDS: Final = {
    "approved": ({"approved_by": "M. Fennick", "approved_on": "2026-09-01"}, "or make it a draft"),
    "withdrawn": ({"withdrawn_because": "ask A. Dorn for the new limits"}, "and say in it what to use instead"),
}


def status_faults(status: Node | None) -> Iterator[Fault]:
    """Faults in a status.

    Args:
        status: its node; None where there is none.
    """
    if status is None or not status.is_mapping:
        return
    state = status.text_of("state") or ""
    needed, otherwise = _NEEDS.get(state, ({}, ""))
    missing = [key for key in needed if status.lacks(key, Status.model_fields)]
    if missing:
        message = f"The state is {state}, but there is no {listed((quoted(key) for key in missing), 'and no')}."
        example = ", ".join(f"{key}: {needed[key]}" for key in missing)
        yield Fault(status.mark, "missing-key", message, f"Add for example {example}, {otherwise}.")
    reason = status.get("withdrawn_because")
    if reason is not None and state != "withdrawn":
        yield Fault(
            reason.mark, "not-withdrawn", "It says why it was withdrawn, but its state is another.", "Write state: withdrawn."
        )
    approved, due = date_of(status, "approved_on"), date_of(status, "review_due")
    if approved is not None and due is not None and due < approved:
        message = f"The review is due on {due}, before the approval on {approved}."
        yield Fault(status.children["review_due"].mark, "crossed-dates", message, "Swap them, or correct one of them.")
