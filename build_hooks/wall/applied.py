"""The applied chart on the shop screen: which element is on in which gear, and each gear by itself. Plain elements, no pages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import ceil
from typing import Final

from build_hooks.gears import ON, GearFigures, figure, overrunning, sign_of
from build_hooks.model import GearSet, Screen
from build_hooks.wall.sizes import SIZE_WITHOUT_SCREEN, letter_size
from calc_engine import Element, element, listed

__all__ = ["chart_about", "chart_steps"]

_NO_BREAK: Final = "\N{NO-BREAK SPACE}"
# In letters, as browser/wall/wall.css has them: what a name takes at least, and each gear beside it.
_NAME: Final = 9.0
_CELL: Final = 2.75
# The picture without its margins, in hundredths of its width.
_WIDTH_SHARE: Final = 94
_WIDE: Final = 16 / 9


def chart_about(gear_set: GearSet) -> str:
    """The chart in a few figures: “6 gears, 5 elements”."""
    gears = sum(bool(row.on) for row in gear_set.chart)
    return f"{_counted(gears, 'gear')}, {_counted(len(gear_set.elements), 'element')}"


def _counted(number: int, what: str) -> str:
    return f"1 {what}" if number == 1 else f"{number} {what}s"


def chart_steps(gear_set: GearSet, figures: Sequence[GearFigures], screens: Iterable[Screen]) -> list[Element]:
    """The whole chart, over as many screens as its gears need, and behind it each gear by itself.

    Args:
        gear_set: the gear set.
        figures: what each of its gears comes to.
        screens: of the shop; with none, a usual one is taken.

    Returns:
        List items. The step of a gear is called like the gear, so that the number keys of a remote lead to it.
    """
    gears = [found for found in figures if found.row.on]
    idle = [found.row.label for found in figures if not found.row.on]
    room = max(1, int((_narrowest(screens) - _NAME) / _CELL))
    # Shared out evenly: a last screen of one gear would look like a fault.
    number = ceil(len(gears) / room)
    size = ceil(len(gears) / number) if number else 1
    parts = [gears[at : at + size] for at in range(0, len(gears), size)]
    return [
        *(_chart_step(gear_set, part, at, len(parts), idle) for at, part in enumerate(parts)),
        *(_gear_step(gear_set, found, _before(figures, found)) for found in gears),
    ]


def _narrowest(screens: Iterable[Screen]) -> float:
    """How many letters wide the narrowest picture is, without its margins."""
    widths = [
        _WIDTH_SHARE * screen.pixels.width / screen.pixels.height / float(letter_size(screen).size_vh) for screen in screens
    ]
    return min(widths, default=_WIDTH_SHARE * _WIDE / float(SIZE_WITHOUT_SCREEN))


def _before(figures: Sequence[GearFigures], found: GearFigures) -> str | None:
    """The gear that the step is counted from; None where there is no step."""
    return None if found.step is None else figures[figures.index(found) - 1].row.label


def _chart_step(gear_set: GearSet, gears: Sequence[GearFigures], at: int, number: int, idle: Sequence[str]) -> Element:
    name = "Applied chart" if number == 1 else f"Applied chart, {at + 1}{_NO_BREAK}of{_NO_BREAK}{number}"
    heads = (_cell("wall-chart-head", found.row.label) for found in gears)
    nothing = f"{listed(list(idle), 'and')}: nothing on" if idle and at == number - 1 else None
    return element(
        "li",
        {"class": "wall-step wall-chart", "data-step": "chart" if at == 0 else f"chart-{at + 1}", "tabindex": "-1"},
        element("p", {"class": "wall-count"}, name),
        element("div", {"class": "wall-chart-row wall-chart-heads"}, element("span", {}, "Gear"), *heads),
        element(
            "div",
            {"class": "wall-chunks"},
            *(_row(part.name, [_sign(gear_set, known, found) for found in gears]) for known, part in gear_set.elements.items()),
            _row("Ratio", [("none", "–") if found.ratio is None else ("", figure(found.ratio, 2)) for found in gears]),
            element("p", {"class": "wall-chunk wall-note", "data-aside": "", "dir": "auto"}, nothing) if nothing else None,
        ),
    )


def _cell(kind: str, said: str) -> Element:
    return element("span", {"class": f"wall-chart-cell {kind}", "dir": "auto"}, said)


def _row(name: str, cells: Iterable[tuple[str, str]]) -> Element:
    return element(
        "div",
        {"class": "wall-chunk wall-chart-row"},
        element("span", {"class": "wall-chart-name", "dir": "auto"}, name),
        *(_told_cell(said, shown) for said, shown in cells),
    )


def _told_cell(said: str, shown: str) -> Element:
    if not said:
        return _cell("wall-chart-figure", shown)
    return element("span", {"class": "wall-chart-cell", "role": "img", "aria-label": said}, shown)


def _sign(gear_set: GearSet, known: str, found: GearFigures) -> tuple[str, str]:
    """What a cell says, and the sign that it shows."""
    if known not in found.row.on:
        return ("off", "·")
    sign, said = sign_of(gear_set.elements[known], found.row.label)
    return said, sign


def _gear_step(gear_set: GearSet, found: GearFigures, before: str | None) -> Element:
    """A gear by itself: its ratio, and what is on with the torque through it."""
    return element(
        "li",
        {"class": "wall-step wall-gear", "data-step": found.row.label.replace(" ", "-"), "tabindex": "-1"},
        element("p", {"class": "wall-count", "dir": "auto"}, f"Gear {found.row.label}"),
        element("h2", {"class": "wall-part"}, "No ratio" if found.ratio is None else f"Ratio {figure(found.ratio)}"),
        element(
            "div",
            {"class": "wall-chunks"},
            *(_on_line(gear_set, known, found) for known in found.row.on),
            *(
                element("p", {"class": "wall-chunk wall-gear-fact", "dir": "auto"}, said)
                for said in _facts(gear_set, found, before)
            ),
        ),
    )


def _on_line(gear_set: GearSet, known: str, found: GearFigures) -> Element:
    said, sign = _sign(gear_set, known, found)
    carries = found.carries.get(known)
    torque = "" if carries is None else f", torque ×{_NO_BREAK}{figure(abs(carries), 2)}"
    way = f", {said}" if sign != ON.sign else ""
    return element(
        "p", {"class": "wall-chunk wall-gear-on", "dir": "auto"}, f"{sign}{_NO_BREAK}{gear_set.elements[known].name}{way}{torque}"
    )


def _facts(gear_set: GearSet, found: GearFigures, before: str | None) -> Iterator[str]:
    if found.step is not None:
        yield f"Step from {before}: {figure(found.step, 2)}"
    if found.ratio is not None:
        held_one_way = [gear_set.elements[known].name for known in overrunning(gear_set, found)]
        yield f"No engine braking: {listed(held_one_way, 'and')} lets go" if held_one_way else "The engine brakes"
