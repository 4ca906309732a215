"""Does each pack hold? A table below the applied chart: what a gear asks of a pack beside what its plates hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from build_hooks.gears import LOWER_PRESSURE, GearFigures, Holding, NotKnown, figure, holdings_of
from build_hooks.model import GearSet, Unit
from calc_engine import Element, element, listed, show

__all__ = ["holding_table"]

_PER_CENT: Final = 100
_HEADS: Final = ("Element", "Gear", "Torque through it", "It holds", "Reserve", "With one friction plate fewer")


def holding_table(unit: Unit, gear_set: GearSet, figures: Sequence[GearFigures]) -> Element | None:
    """What each pack holds in each gear.

    Args:
        unit: for its packs.
        gear_set: of the unit.
        figures: what each gear comes to.

    Returns:
        The table with its working; None where the data do not say anything of what a pack holds.
    """
    holdings, unknown = holdings_of(unit, gear_set, figures)
    if not holdings:
        return None
    hot = any(holding.hot is not None for holding in holdings)
    heads = (*_HEADS, f"At {figure(LOWER_PRESSURE * _PER_CENT, 0)} % of the pressure", *(["In hot fluid"] if hot else []))
    return element(
        "section",
        {"class": "bench-holding", "data-bench": "holding"},
        element("h3", {}, "Does it hold?"),
        element("p", {}, _stated(gear_set)),
        element(
            "div",
            {"class": "bench-applied-frame", "tabindex": "0", "role": "group", "aria-label": "What each pack holds"},
            element(
                "table",
                {"class": "bench-holding-table"},
                element("thead", {}, element("tr", {}, *(element("th", {"scope": "col"}, head) for head in heads))),
                element("tbody", {}, *(_row(gear_set, holding, hot=hot) for holding in holdings)),
            ),
        ),
        *(_unknown(gear_set, each) for each in unknown),
        element("details", {}, element("summary", {}, "Working"), *_working(gear_set, holdings)),
    )


def _stated(gear_set: GearSet) -> str:
    torque, pressure = gear_set.input_torque, gear_set.pressure
    stated = (
        ""
        if torque is None or pressure is None
        else f"For {show(torque)} at the input and {show(pressure)}, if the gear has no other. "
    )
    source = f" From {gear_set.source}." if gear_set.source else ""
    return (
        f"{stated}A reserve below 1 slips. How much reserve is enough, only the maker can say.{source} "
        f"{figure(LOWER_PRESSURE * _PER_CENT, 0)} % of the pressure stands for a worn pump: common practice, no source."
    )


def _row(gear_set: GearSet, holding: Holding, *, hot: bool) -> Element:
    name = gear_set.elements[holding.element].name
    cells = (show(holding.wanted), show(holding.holds), *map(_reserve, (holding.reserve, holding.fewer, holding.lower)))
    # Only the source of a pack's figures can say what hot fluid does to them.
    in_hot = ("not given" if holding.hot is None else _reserve(holding.hot),) if hot else ()
    return element(
        "tr",
        {},
        element("th", {"scope": "row"}, name),
        element("td", {}, holding.gear),
        *(element("td", {}, cell) for cell in (*cells, *in_hot)),
    )


def _reserve(reserve: Fraction | None) -> str:
    if reserve is None:
        return "no plate left"
    return f"{figure(reserve, 2)}{' slips' if reserve < 1 else ''}"


def _unknown(gear_set: GearSet, each: NotKnown) -> Element:
    name = gear_set.elements[each.element].name
    return element("p", {}, f"{name}: not known, for the data do not give {listed(list(each.missing), 'or')}.")


def _working(gear_set: GearSet, holdings: Sequence[Holding]) -> Iterator[Element]:
    for holding in holdings:
        name = gear_set.elements[holding.element].name
        yield element("p", {}, element("strong", {}, f"{name}, {holding.gear}"))
        lines = (*holding.working, f"reserve = {show(holding.holds)} / {show(holding.wanted)} ≈ {figure(holding.reserve, 2)}")
        yield element("ol", {"class": "bench-working"}, *(element("li", {}, line) for line in lines))
