"""The forms that a unit's gear set fills: which element a road test points to, and what any elements that are on come to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from build_hooks.blocks.applied import gear_set_of
from build_hooks.blocks.calc_request import Asked, answered_form
from build_hooks.blocks.context import Context
from build_hooks.blocks.stack import wall_link
from build_hooks.forms.form import Form
from build_hooks.gears import kinds_of_elements, train_request
from build_hooks.model import GearSet, Unit
from calc_engine import CATALOGUE

__all__ = ["gears_form"]

_NOT_TRIED: Final = "not-tried"


def gears_form(asked: Asked, unit: Unit) -> Form:
    """The form of a calculation on the gear set of a unit.

    Args:
        asked: the calculation and what the block says.
        unit: the unit.

    Raises:
        Trouble: the unit has no gear set, or the example has no answer.
    """
    gear_set = gear_set_of(unit)
    make = _road_test if asked.calculation is CATALOGUE["which-element"] else _what_if
    return make(asked, unit, gear_set)


def _road_test(asked: Asked, unit: Unit, gear_set: GearSet) -> Form:
    """A row for each gear that drives: what it did on the road."""
    chart = _chart(gear_set)
    gears = [gear["name"] for gear in chart]
    written = asked.example.get("seen", [])
    rows = written if isinstance(written, list) else []
    told = {row["gear"]: row.get("what") for row in rows if isinstance(row, Mapping) and row.get("gear") in gears}
    seen = [{"gear": gear, "what": told.get(gear, _NOT_TRIED)} for gear in gears]
    # What is told of a gear that there is not, and what is no list, is left to the engine to refuse.
    strange = [row for row in rows if not isinstance(row, Mapping) or row.get("gear") not in gears]
    preset = {"elements": list(kinds_of_elements(gear_set)), "gears": chart, "seen": [{"gear": gear} for gear in gears]}
    return answered_form(
        asked.calculation,
        asked.context.identity(f"calc-{asked.calculation.name}-{unit.id}"),
        asked.title or f"{unit.name}: {asked.calculation.title}",
        asked.calculation.about,
        preset,
        {**asked.example, "seen": [*seen, *strange] if rows is written else written},
        system=asked.units,
        defaults={f"seen.{index}.what": _NOT_TRIED for index in range(len(gears))},
        leads=dict(_leads(asked.context, unit, gear_set)),
        subject=f"{unit.id}/{asked.calculation.name}",
    )


def _leads(context: Context, unit: Unit, gear_set: GearSet) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """For each element with a pack: the readings of its drum, the pages that set it, its air check, its stack."""
    for element in gear_set.elements.values():
        pack = unit.packs.get(element.pack or "")
        if pack is None:
            continue
        ways = [("Readings", f"bench/{unit.id}/{pack.drum.id}/")] if pack.drum and pack.limits is not None else []
        ways += context.procedures.get((unit.id, pack.id), ())
        links = [(title, f"{context.root}{address}") for title, address in ways]
        if pack.physical_stack:
            links.append((f"{pack.name} on the shop screen", wall_link(context, unit, pack)))
        yield element.name, links


def _what_if(asked: Asked, unit: Unit, gear_set: GearSet) -> Form:
    """The gear set is given; which elements are on is not."""
    request = train_request(gear_set, named=True)
    first: dict[str, Any] = next(iter(request["gears"]), {"on": []})
    example = asked.example or {"gears": [{"name": "Tried", "on": first["on"]}]}
    given = example.get("gears")
    # What is no gear with a name is left to the engine to refuse.
    tried = [
        {"name": gear["name"]}
        for gear in (given if isinstance(given, list) else ())
        if isinstance(gear, Mapping) and "name" in gear
    ]
    elements = [element["name"] for element in request["elements"]]
    return answered_form(
        asked.calculation,
        asked.context.identity(f"calc-{asked.calculation.name}-{unit.id}"),
        asked.title or f"{unit.name}: what if these are on?",
        asked.calculation.about,
        {**request, "gears": tried},
        example,
        choices={f"gears.{index}.on": elements for index in range(len(tried))},
        system=asked.units,
        subject=f"{unit.id}/{asked.calculation.name}",
    )


def _chart(gear_set: GearSet) -> list[dict[str, Any]]:
    """The gears that drive, with the names of what is on in them."""
    return [
        {"name": row.label, "on": [gear_set.elements[known].name for known in gear_set.at_work(row)]}
        for row in gear_set.chart
        if gear_set.at_work(row)
    ]
