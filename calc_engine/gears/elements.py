"""Clutches, brakes and gears as a request has them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from calc_engine.declare.alternatives import exactly_one
from calc_engine.declare.fields import flag, text
from calc_engine.problems import Problem

__all__ = ["MOST_ELEMENTS", "AppliedIn", "Element", "unknown_elements"]

MOST_ELEMENTS = 30


@dataclass(frozen=True, slots=True)
class Element:
    """A clutch, which joins two members, or a brake, which holds one."""

    name: str = text("Name", "By which the gears call it.", role="identity")
    joins: tuple[str, ...] | None = text(
        "Joins", "Of a clutch: the two members or shafts.", many=((2, 2),), item_label="Member {n}", optional=True
    )
    holds: str | None = text("Holds", "Of a brake: the member or shaft that it holds to the case.", optional=True)
    one_way: bool | None = flag("One-way", "Whether it holds one way only and lets go the other way by itself.", optional=True)

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when it is neither clutch nor brake, or both."""
        for problem in exactly_one({"joins": self.joins, "holds": self.holds}):
            yield replace(problem, field=f"{field}.{problem.field}")

    @property
    def members(self) -> Sequence[str]:
        """The member that it holds, or the two that it joins."""
        return self.joins if self.joins is not None else (str(self.holds),)


@dataclass(frozen=True, slots=True)
class AppliedIn:
    """A gear, and the elements that are on in it."""

    name: str = text("Gear", "What it is called.", role="identity")
    on: tuple[str, ...] = text("On", "The elements that hold in this gear.", many=((0, MOST_ELEMENTS),), item_label="Element {n}")


def unknown_elements(gears: Iterable[AppliedIn], known: Sequence[str], field: str) -> Iterable[Problem]:
    """The problem of each element that a gear names without there being one, or names twice.

    Args:
        gears: with what is on in each.
        known: the names of all elements.
        field: dotted name of the list of gears.
    """
    for index, gear in enumerate(gears):
        for at, name in enumerate(gear.on):
            place = f"{field}.{index}.on.{at}"
            if name not in known:
                yield Problem(place, "unknown-element", f"There is no element “{name}”.", _name_one_of(known))
            elif name in gear.on[:at]:
                yield Problem(place, "duplicate-id", f"“{name}” appears twice.", "Name each element once.")


def _name_one_of(known: Sequence[str]) -> str:
    return f"Name one of: {', '.join(known)}." if known else "There are no elements: enter them first."
