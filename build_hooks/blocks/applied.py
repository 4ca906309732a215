"""The applied block: what is on in each gear as a table, and the gear set drawn for each gear."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from pydantic import Field

from build_hooks.blocks.applied_holding import holding_table
from build_hooks.blocks.context import Context, Trouble
from build_hooks.blocks.stack import wall_link
from build_hooks.drawing.gear_adapter import draw_levers, draw_lines, gear_drawn, speeds_said
from build_hooks.gears import IDLE, ON, ONE_WAY, GearFigures, figure, figures_of, overrunning, sign_of
from build_hooks.model import GearElement, GearSet, Keys, Unit
from build_hooks.model.fields import Reference
from calc_engine import Element, element, listed

__all__ = ["AppliedBody", "gear_set_of", "render_applied"]


class AppliedBody(Keys):
    """The body of an applied block."""

    unit: Reference | None = Field(
        None, description="The unit's folder, when the page is in another folder.", examples=["alder-4"]
    )


def gear_set_of(unit: Unit) -> GearSet:
    """The gear set of a unit.

    Raises:
        Trouble: the unit's data have none.
    """
    if unit.gear_set is None:
        message = f"The unit “{unit.name}” has no gear set."
        raise Trouble(("unit",), "no-gear-set", message, "Write gear_set: in its unit.yml.")
    return unit.gear_set


def render_applied(body: AppliedBody, context: Context) -> Element:
    """The applied chart with its ratios, and behind it the gear set in each gear.

    Raises:
        Trouble: the unit is not there, or has no gear set.
    """
    unit = context.unit(body.unit)
    gear_set = gear_set_of(unit)
    figures = figures_of(gear_set)
    key = context.identity(f"applied-{unit.id}")
    return element(
        "div",
        {"class": "bench-applied", "data-bench": "applied", "id": key},
        _chart(unit, gear_set, figures, context),
        element("p", {"class": "bench-applied-legend"}, *_legend(gear_set)),
        element(
            "bench-gears",
            {"class": "bench-gears", "aria-label": f"{unit.name}: the gear set in each gear"},
            *(_gear(unit, gear_set, found, figures, key) for found in figures),
        ),
        holding_table(unit, gear_set, figures),
    )


def _chart(unit: Unit, gear_set: GearSet, figures: Sequence[GearFigures], context: Context) -> Element:
    heads = (element("th", {"scope": "col"}, found.row.label) for found in figures)
    rows = [_row(unit, gear_set, known, figures, context) for known in gear_set.elements]
    return element(
        "div",
        {"class": "bench-applied-frame", "tabindex": "0", "role": "group", "aria-label": "Applied chart"},
        element(
            "table",
            {"class": "bench-applied-chart"},
            element("caption", {}, f"{unit.name}: what is on in each gear"),
            element("thead", {}, element("tr", {}, element("th", {"scope": "col"}, "Gear"), *heads)),
            element("tbody", {}, *rows),
            element("tfoot", {}, *_foot(gear_set, figures)),
        ),
    )


def _row(unit: Unit, gear_set: GearSet, known: str, figures: Sequence[GearFigures], context: Context) -> Element:
    part = gear_set.elements[known]
    pack = unit.packs.get(part.pack or "")
    name: Element | str = part.name
    if pack is not None and pack.physical_stack:
        name = element("a", {"href": wall_link(context, unit, pack)}, part.name)
    return element(
        "tr",
        {"data-element": known},
        element("th", {"scope": "row"}, name),
        *(_cell(part, known, found) for found in figures),
    )


def _cell(part: GearElement, known: str, found: GearFigures) -> Element:
    if known not in found.row.on:
        return element("td", {}, element("span", {"class": "bench-applied-off"}, "off"))
    sign, said = sign_of(part, found.row.label)
    carries = found.carries.get(known)
    return element(
        "td",
        {"data-on": ""},
        element("span", {"class": "bench-applied-sign", "role": "img", "aria-label": said}, sign),
        None if carries is None else element("span", {"class": "bench-applied-factor"}, f" {figure(abs(carries), 2)}"),
    )


def _foot(gear_set: GearSet, figures: Sequence[GearFigures]) -> Iterator[Element]:
    yield _figures("Ratio", [found.ratio for found in figures], 3)
    yield _figures("Step", [found.step for found in figures], 2)
    brakes = ("" if found.ratio is None else "no" if any(overrunning(gear_set, found)) else "yes" for found in figures)
    yield element(
        "tr", {}, element("th", {"scope": "row"}, "Engine brakes"), *(element("td", {}, said or _none()) for said in brakes)
    )


def _figures(name: str, values: Sequence[Fraction | None], decimals: int) -> Element:
    cells = (element("td", {}, _none() if value is None else figure(value, decimals)) for value in values)
    return element("tr", {}, element("th", {"scope": "row"}, name), *cells)


def _none() -> Element:
    return element("span", {"class": "bench-applied-off"}, "none")


def _legend(gear_set: GearSet) -> Iterator[Element | str]:
    elements = gear_set.elements.values()
    signs = [ON]
    if any(part.turns_freely for part in elements):
        signs.append(ONE_WAY)
    if any(part.idle_in for part in elements):
        signs.append(IDLE)
    for sign, said in signs:
        yield element("span", {}, element("strong", {}, sign), f" {said}. ")
    yield (
        "The figure beside it is the torque through it for a torque of 1 at the input. "
        "Ratio: input speed over output speed; below zero in reverse. Step: the ratio of the gear before over this one."
    )


def _gear(unit: Unit, gear_set: GearSet, found: GearFigures, every: Sequence[GearFigures], key: str) -> Element:
    drawn = gear_drawn(gear_set, found, every)
    slug = found.row.label.lower().replace(" ", "-")
    names = [gear_set.elements[known].name for known in found.row.on]
    on = listed(names, "and") if names else "nothing"
    ratio = f" Ratio {figure(found.ratio)}." if found.ratio is not None else f" {found.reason}"
    return element(
        "section",
        {"class": "bench-gear", "id": f"{key}-{slug}", "data-gear": found.row.label, "tabindex": "-1"},
        element("p", {"class": "bench-gear-title"}, element("strong", {}, f"Gear {found.row.label}"), f": {on} on.{ratio}"),
        _frame("Levers", draw_levers(drawn, unit.name)),
        _frame("Who is joined to whom", draw_lines(drawn, unit.name)),
        element("p", {"class": "bench-gear-speeds"}, speeds_said(drawn)),
    )


def _frame(name: str, drawing: Element) -> Element:
    return element("div", {"class": "bench-gear-frame", "tabindex": "0", "role": "group", "aria-label": name}, drawing)
