"""The strip on top of a page: draft or approved, by whom, review due, and that the unit is invented."""

from __future__ import annotations

from datetime import date
from typing import Final

from build_hooks.library import Library
from build_hooks.model import State, Status, Unit
from calc_engine import VERSION, Element, element

__all__ = ["is_withdrawn", "made_strip", "standing_status", "standing_strip"]

_INVENTED = "Invented for this demonstration: not for use on a real unit."
# Where the shop is invented, so is whoever approved the page in it.
_INVENTED_SHOP = "Invented for this demonstration, and so are its people and their approvals: not for use on a real unit."
_WORDS: Final = {State.DRAFT: "Draft", State.APPROVED: "Approved", State.WITHDRAWN: "Withdrawn"}
_DEFER = "The maker's manual, local codes and licensed practice come first."


def made_strip(library: Library, *, by_hand: bool = False) -> Element:
    """What stands on a page that no author wrote.

    Args:
        library: for the shop.
        by_hand: whether it is made of what authors wrote, and not of the engine.

    Returns:
        The strip.
    """
    source = "the learning paths and the unit data" if by_hand else f"the calculations of this manual, version {VERSION}"
    said = f"Made from {source}. Nobody approves it."
    return element(
        "div",
        {"class": "bench-standing", "data-bench": "standing"},
        element("strong", {}, "Automatic page"),
        element("span", {}, said),
        element("span", {"class": "bench-invented"}, f"{_INVENTED} {_DEFER}" if library.shop.invented else _DEFER),
    )


def standing_status(status: Status | None, unit: Unit | None) -> Status | None:
    """What holds for a page: its own status, else that of its unit; if the data of the unit are withdrawn, so is every page on it.

    Args:
        status: of the page.
        unit: the unit it belongs to, if any.
    """
    if unit is not None and (status is None or unit.status.state is State.WITHDRAWN):
        return unit.status
    return status


def is_withdrawn(status: Status | None) -> bool:
    """Whether nobody may work from it any more."""
    return status is not None and status.state is State.WITHDRAWN


def standing_strip(status: Status | None, unit: Unit | None, library: Library, today: date) -> Element:
    """What a reader must know of a page before following it.

    Args:
        status: what holds for the page (see `standing_status`).
        unit: the unit it belongs to, if any; it may be invented.
        library: for the shop.
        today: the day of the build; a review that is due is said to be overdue.

    Returns:
        The strip. It is there on every page.
    """
    invented = _INVENTED_SHOP if library.shop.invented else _INVENTED if unit is not None and unit.invented else ""
    return element(
        "div",
        {"class": f"bench-standing{' bench-withdrawn' if is_withdrawn(status) else ''}", "data-bench": "standing"},
        element("strong", {}, _WORDS[status.state if status else State.DRAFT]),
        *(element("span", {}, said) for said in _said(status, today)),
        element("span", {"class": "bench-invented"}, f"{invented} {_DEFER}".strip()),
    )


def _said(status: Status | None, today: date) -> list[str]:
    if status is None:
        return ["Nobody has approved this page yet."]
    said = []
    if is_withdrawn(status):
        said.append(f"Do not work from this page: {status.withdrawn_because}")
    if status.revision:
        said.append(f"Revision {status.revision}")
    if status.state is State.APPROVED and status.approved_by and status.approved_on:
        said.append(f"by {status.approved_by} on {status.approved_on.isoformat()}")
    if status.review_due:
        overdue = " (overdue)" if status.review_due < today else ""
        said.append(f"review due {status.review_due.isoformat()}{overdue}")
    return said or ["Nobody has approved this page yet."]
