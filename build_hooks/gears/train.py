"""From the gear set of a unit to a request of the engine, and from its answer to figures for each gear of the chart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from build_hooks.model import CASE, ChartRow, GearElement, GearSet, PlanetarySet, Way
from calc_engine import work_out

__all__ = ["HELD", "GearFigures", "WrongWay", "faults_of_way", "figures_of", "kinds_of_elements", "train_request"]

HELD: Final = "the case"
"""The brake that holds in every gear what is joined to the case."""

_SIGN: Final = {Way.FORWARDS: 1, Way.BACKWARDS: -1}


@dataclass(frozen=True, slots=True)
class GearFigures:
    """What one gear of the chart comes to, for input speed 1 and input torque 1.

    Attributes:
        row: the gear as the data have it.
        state: ``fixed``, ``free`` or ``locked``.
        reason: why, in the engine's words.
        ratio: input speed over output speed; None without one.
        step: the ratio of the gear before over this one; None where the gear before is of another range, or drives the other way.
        speeds: of each member and shaft that has one.
        torques: what the rest of the train puts on each member.
        carries: the torque through each element that is on, by its id: what a brake puts on its member, what a clutch passes to its second.
        slips: the speed of the members of each open element, by its id: of a brake its member's, of a clutch the first less the second.
    """

    row: ChartRow
    state: str
    reason: str
    ratio: Fraction | None
    step: Fraction | None
    speeds: Mapping[str, Fraction]
    torques: Mapping[str, Fraction]
    carries: Mapping[str, Fraction]
    slips: Mapping[str, Fraction]


def train_request(gear_set: GearSet, *, named: bool = False) -> dict[str, Any]:
    """The gear set as a request of ``gear-train``. An element that is on but carries nothing is left out of that gear.

    Args:
        gear_set: found sound in shape, every member and element known.
        named: whether elements are called by their names, as a reader knows them, and not by their ids.
    """
    called = {known: element.name if named else known for known, element in gear_set.elements.items()}
    # What is joined to the case is held in every gear: to the engine, by a brake that is always on.
    held = [{"name": HELD, "holds": member} for member in gear_set.held_for_good[:1]]
    request: dict[str, Any] = {
        "sets": [_set(each) for each in gear_set.sets.values()],
        "joined": [[name for name in piece if name != CASE] for piece in gear_set.joined if {*piece} != {CASE}],
        "elements": [*(_element(element, called[known]) for known, element in gear_set.elements.items()), *held],
        "gears": [
            {"name": row.label, "on": [*(called[known] for known in gear_set.at_work(row)), *(brake["name"] for brake in held)]}
            for row in gear_set.chart
        ],
        "input": gear_set.input,
        "output": gear_set.output,
    }
    if gear_set.input_torque is not None:
        request["input_torque"] = str(gear_set.input_torque)
    return request


def _set(planetary: PlanetarySet) -> dict[str, Any]:
    given = {"name": planetary.id} | {wheel: getattr(planetary, wheel) for wheel in planetary.wheels}
    if planetary.planets is not None:
        given["planets"] = planetary.planets
    if planetary.pairs:
        given["pairs"] = True
    elif planetary.planet2 is not None:
        simple = planetary.wheels == ("sun", "ring")
        first, second = ("planet_at_sun", "planet_at_ring") if simple else ("planet_at_first", "planet_at_second")
        given |= {first: planetary.planet, second: planetary.planet2}
    return given


def _element(element: GearElement, name: str) -> dict[str, Any]:
    what = {"joins": list(element.joins)} if element.holds is None else {"holds": element.holds}
    return {"name": name, **what, **({"one_way": True} if element.turns_freely else {})}


def kinds_of_elements(gear_set: GearSet) -> Iterator[dict[str, str]]:
    """The elements as ``which-element`` takes them, by their names.

    Args:
        gear_set: the gear set.
    """
    for element in gear_set.elements.values():
        kind = "one-way" if element.turns_freely else "clutch" if element.holds is None else "brake"
        yield {"name": element.name, "kind": kind}


def figures_of(gear_set: GearSet) -> tuple[GearFigures, ...]:
    """What each gear of the chart comes to, in the order of the chart.

    Args:
        gear_set: found sound in shape, every member and element known.

    Raises:
        Refused: the engine finds something wrong that the checks did not.
    """
    found = work_out("gear-train", train_request(gear_set)).answer.result.gears
    return tuple(
        GearFigures(
            row,
            gear.state,
            gear.reason,
            gear.ratio,
            gear.step if at and _follows(gear_set.chart[at - 1], row) and _is_step(gear.step) else None,
            gear.speeds,
            gear.torques,
            gear.carries,
            gear.slips,
        )
        for at, (row, gear) in enumerate(zip(gear_set.chart, found, strict=True))
    )


def _follows(before: ChartRow, row: ChartRow) -> bool:
    return before.told_range == row.told_range and row.drives


def _is_step(step: Fraction | None) -> bool:
    return step is not None and step > 0


@dataclass(frozen=True, slots=True)
class WrongWay:
    """A one-way clutch that a gear asks what it cannot do.

    Attributes:
        element: its id.
        gear: which gear of the chart, from 0.
        holds: whether it would have to hold; else it would have to let go.
    """

    element: str
    gear: int
    holds: bool


def faults_of_way(gear_set: GearSet, figures: tuple[GearFigures, ...]) -> Iterator[WrongWay]:
    """Where a one-way clutch would have to hold the way it turns freely, or to turn the way it holds.

    A member that turns freely forwards is kept from turning backwards, so the clutch can only put a torque forwards on it.

    Args:
        gear_set: the gear set.
        figures: of its gears.
    """
    for known, element in gear_set.elements.items():
        if element.turns_freely is None:
            continue
        sign = _SIGN[element.turns_freely]
        for at, gear in enumerate(figures):
            if gear.carries.get(known, 0) * sign < 0:
                yield WrongWay(known, at, holds=True)
            turns = gear.slips.get(known, Fraction(0)) * (1 if element.joins == () else -1)
            if gear.ratio is not None and turns * sign < 0:
                yield WrongWay(known, at, holds=False)
