"""Does each gear of the chart do its work: does it drive, in the ratio that is stated, with every element carrying its share?"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from build_hooks.gears import GearFigures, faults_of_way, figures_of
from build_hooks.gears.words import figure
from build_hooks.model import GearElement, GearSet
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, Mark, quoted
from calc_engine import Refused

__all__ = ["chart_faults"]


def chart_faults(root: Node, gear_set: GearSet) -> Iterator[Fault]:
    """Faults in what the gears of a chart come to.

    Args:
        root: the tree of the gear set, for the places.
        gear_set: the same, with every member and element known.
    """
    try:
        figures = figures_of(gear_set)
    except Refused as refused:
        yield from (Fault(root.mark, problem.code, problem.message, problem.remedy) for problem in refused.problems)
        return
    rows = root.children["chart"].items
    for row, found in zip(rows, figures, strict=True):
        yield from _state(row, found)
        yield from _ratio(row, found)
        yield from _idle(row, found, gear_set)
    for wrong in faults_of_way(gear_set, figures):
        name, way = quoted(wrong.element), gear_set.elements[wrong.element].turns_freely
        place, label = _place(rows[wrong.gear], wrong.element), quoted(figures[wrong.gear].row.label)
        if wrong.holds:
            message = f"In gear {label}, {name} would have to hold its member from turning {way}, and that way it turns freely."
            yield Fault(place, "wrong-way", message, "Correct turns_freely, or what is on.")
        else:
            opposite = "backwards" if way == "forwards" else "forwards"
            message = f"In gear {label}, {name} is not on, but its member would turn {opposite}, and that way it holds."
            yield Fault(place, "wrong-way", message, "Correct turns_freely, or what is on.")


def _place(row: Node, element: str) -> Mark:
    """Where the element stands in the row; the row itself where it is not on."""
    on = row.get("on")
    return next((item.mark for item in (() if on is None else on.items) if item.text == element), row.mark)


def _state(row: Node, found: GearFigures) -> Iterator[Fault]:
    label = quoted(found.row.label)
    if not found.row.drives:
        if found.ratio is not None:
            message = (
                f"Gear {label} is to be neutral, but with these elements on it drives with a ratio of {figure(found.ratio)}."
            )
            yield Fault(row.mark, "neutral-drives", message, "Take an element out.")
    elif found.state == "free":
        yield Fault(row.mark, "gear-free", f"Gear {label} does not drive. {found.reason}", "Add what else is on.")
    elif found.state == "locked":
        yield Fault(row.mark, "gear-locked", f"Gear {label} is locked. {found.reason}", "Take out what is not on.")
    elif found.ratio is None:
        yield Fault(row.mark, "gear-locked", f"Gear {label} holds the output still.", "Correct what is on.")


def _ratio(row: Node, found: GearFigures) -> Iterator[Fault]:
    """A stated ratio is right if the computed one rounds to it, to the decimals in which it is stated."""
    stated = row.get("ratio")
    if stated is None or found.row.ratio is None or found.ratio is None:
        return
    decimals = len((stated.text or "").replace(",", ".").partition(".")[2])
    if abs(found.ratio - found.row.ratio) > Fraction(1, 2 * 10**decimals):
        message = (
            f"The ratio of gear {quoted(found.row.label)} is stated as {stated.text}, but the teeth give {figure(found.ratio)}."
        )
        yield Fault(stated.mark, "other-ratio", message, "Correct the ratio, the teeth, or what is on.")


def _idle(row: Node, found: GearFigures, gear_set: GearSet) -> Iterator[Fault]:
    if found.ratio is None:
        return
    for name in found.row.on:
        element, label = gear_set.elements[name], found.row.label
        carries = found.carries.get(name)
        if label in element.idle_in:
            yield from _slips_though_on(row, found, name, element)
        elif carries == 0:
            message = f"{quoted(name)} carries nothing in gear {quoted(label)}."
            remedy = f"Take it out of the gear, or add idle_in: [{label}] to the element."
            yield Fault(_place(row, name), "carries-nothing", message, remedy)
        elif carries is None:
            message = f"What {quoted(name)} carries in gear {quoted(label)} cannot be told: more is on than the gear needs."
            remedy = f"Take one of them out of the gear, or add idle_in: [{label}] to the one that carries nothing."
            yield Fault(_place(row, name), "carries-unknown", message, remedy)


def _slips_though_on(row: Node, found: GearFigures, name: str, element: GearElement) -> Iterator[Fault]:
    """One that is on and carries nothing must have nothing to hold; a one-way clutch may run free."""
    slips = found.slips.get(name)
    if slips and element.turns_freely is None:
        label = found.row.label
        message = f"{quoted(name)} cannot be on in gear {quoted(label)}: its members do not turn together there, so it would lock the set."
        yield Fault(_place(row, name), "gear-locked", message, f"Take it out of the gear, and {label} out of its idle_in.")
