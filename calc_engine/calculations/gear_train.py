"""gear-train: ratios, speeds and torques of planetary sets, gear by gear."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.choosing import twice
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Declared, amount, choice, group, mapping, number, prose, text
from calc_engine.declare.partly import entries_read
from calc_engine.gears.elements import MOST_ELEMENTS, AppliedIn, Element, unknown_elements
from calc_engine.gears.in_words import reason
from calc_engine.gears.lines import exact, line_of_set, lines_of_pieces, lines_of_speeds, lines_of_torques
from calc_engine.gears.meshing import mesh_problems
from calc_engine.gears.one_way import InGear, one_way_cautions
from calc_engine.gears.planetary_set import PlanetarySet
from calc_engine.gears.train import Motion, Torques, Train, motion, pieces, torques, train_of
from calc_engine.gears.wrong_members import joined_to_itself, unknown_members
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, plain
from calc_engine.quantities.units import Dimension

__all__ = ["GEAR_TRAIN", "GearTrain", "GearTrainResult", "gear_train"]

_MOST_SETS: Final = 12
_MOST_GEARS: Final = 40
_MOST_JOINED: Final = 40
_FACTOR: Final = Declared("number", "Factor", "For an input torque of 1.")
_SPEED: Final = Declared("number", "Speed", "For an input speed of 1.")
_TORQUE: Final = Declared("amount", "Torque", "For the input torque given.", Dimension.TORQUE)
# No reply has more names in one of its lists: three members a set, and the shafts.
_NAMES: Final = (0, 3 * _MOST_SETS + 20 * _MOST_JOINED + 2)


@dataclass(frozen=True, slots=True)
class GearTrain:
    """The inputs of gear-train. Teeth are counts."""

    sets: tuple[PlanetarySet, ...] = group(
        PlanetarySet,
        "Planetary sets",
        "The teeth of each set. Its members are called NAME.sun, NAME.ring and NAME.carrier.",
        many=((1, _MOST_SETS),),
        item_label="Set {n}",
    )
    joined: tuple[tuple[str, ...], ...] | None = text(
        "Joined for good",
        "Members that are one piece, a list for each piece. Shafts may stand among them by any name without a point, as input and output.",
        many=((0, _MOST_JOINED), (1, 20)),
        item_label="Piece {n}",
        optional=True,
    )
    elements: tuple[Element, ...] = group(
        Element,
        "Clutches and brakes",
        "A clutch joins two members, a brake holds one.",
        many=((0, MOST_ELEMENTS),),
        item_label="Element {n}",
    )
    gears: tuple[AppliedIn, ...] = group(
        AppliedIn,
        "Gears",
        "What is on in each gear. What if these two are on? Add a gear for it.",
        many=((1, _MOST_GEARS),),
        item_label="Gear {n}",
    )
    input: str = text("Input", "The member or shaft that is driven.")
    output: str = text("Output", "The member or shaft that drives.")
    input_torque: Fraction | None = amount(
        Dimension.TORQUE, "Input torque", "Gives the torques of the answer in your unit too.",
        above="0 N.m", most="100000 N.m", optional=True,
    )  # fmt: skip

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields, so far as those that are right themselves let it be seen."""
        sets, elements, gears = (
            entries_read(self.sets, PlanetarySet),
            entries_read(self.elements, Element),
            entries_read(self.gears, AppliedIn),
        )
        yield from twice([each.name for each in sets], "sets")
        yield from twice([each.name for each in elements], "elements")
        yield from twice([each.name for each in gears], "gears")
        if len(elements) == len(self.elements):
            yield from unknown_elements(gears, [each.name for each in elements], "gears")
        if len(sets) == len(self.sets):
            yield from self._wrong_members(sets, elements)

    def _wrong_members(self, sets: Sequence[PlanetarySet], elements: Sequence[Element]) -> Iterable[Problem]:
        members = [member for each in sets for member in each.members]
        joined = self.joined or ()
        yield from unknown_members(members, joined, elements, self.input, self.output)
        names = dict.fromkeys((self.input, self.output, *(name for piece in joined for name in piece), *members))
        yield from joined_to_itself(joined, elements, (self.input, self.output), pieces(names, joined))


@dataclass(frozen=True, slots=True)
class GearFound:
    """What a gear comes to."""

    name: str = text("Gear", "As it was given.", role="identity")
    state: str = choice(
        "State",
        "Fixed: the output follows from the input. Free: it does not. Locked: the input cannot turn.",
        {"fixed": "fixed", "free": "free", "locked": "locked"},
    )
    ratio: Fraction | None = number(
        "Ratio",
        "Input speed over output speed, negative in reverse. Absent without one, or when the output is held still.",
        optional=True,
    )
    ratio_exact: str | None = text("Ratio, exact", "As a whole number or a fraction.", optional=True)
    step: Fraction | None = number("Step", "The ratio of the gear before over this one.", optional=True)
    reason: str = prose("Why", "Why it is fixed, free or locked, and which torques cannot be told.")
    speeds: dict[str, Fraction] = mapping(
        "Speeds", "Of every member, for input speed 1. One that nothing sets is absent.", of=_SPEED, names=_NAMES
    )
    torques: dict[str, Fraction] = mapping(
        "Torques",
        "What the rest of the train puts on each member of a set, for input torque 1; those of a set add up to nothing. "
        "Of a shaft by itself, what the engine puts on the input and the load on the output.",
        of=_FACTOR,
        names=_NAMES,
    )
    carries: dict[str, Fraction] = mapping(
        "Elements carry",
        "For input torque 1: of a brake, what it puts on its member; of a clutch, what passes from its first member to its second.",
        of=_FACTOR,
        names=_NAMES,
    )
    slips: dict[str, Fraction] = mapping(
        "Open elements slip",
        "For input speed 1: of a brake, the speed of its member; of a clutch, the speed of its first member less that of its second.",
        of=_SPEED,
        names=_NAMES,
    )
    planets: dict[str, Fraction] = mapping(
        "Planets turn",
        "On their pins, so relative to the carrier, for input speed 1. Of a pair, the planet at the sun.",
        of=_SPEED,
        names=_NAMES,
    )
    power: dict[str, Fraction] = mapping(
        "Power through the sets", "For each set the power that enters it, for input power 1.", of=_FACTOR, names=_NAMES
    )
    output_torque: Fraction | None = amount(
        Dimension.TORQUE, "Output torque", "What the output gives, without losses.", optional=True
    )
    carried: dict[str, Fraction] | None = mapping(
        "Elements carry, as torque", "As carries, for the input torque given.", of=_TORQUE, names=_NAMES, optional=True
    )


@dataclass(frozen=True, slots=True)
class GearTrainResult:
    """The outputs of gear-train."""

    advice: str = text("Ratios", "Every gear with its ratio.", role="advice")
    gears: tuple[GearFound, ...] = group(GearFound, "Gears", "What each gear comes to.", many=((1, _MOST_GEARS),))


def gear_train(request: GearTrain, units: AnswerUnits) -> Answer[GearTrainResult]:
    """Ratio, speeds and torques of every gear, without losses.

    For each set n_first - n_carrier = -k (n_second - n_carrier), k = ring/sun; its torques are as 1 : k : -(1 + k). See
    `gears.planetary_set` for the other kinds of sets and `gears.train` for how they are solved.

    Args:
        request: the sets, what is joined, the elements and the gears.
        units: for the torques in the working.

    Returns:
        What each gear comes to, with the working.

    Source: the equation of Willis and the balance of torques; any textbook of mechanisms.

    Example:
        >>> from calc_engine import answer
        >>> sets, brake = [{"name": "P", "sun": 30, "ring": 75}], {"name": "B", "holds": "P.ring"}
        >>> low = {"sets": sets, "elements": [brake], "gears": [{"name": "low", "on": ["B"]}], "input": "P.sun", "output": "P.carrier"}
        >>> found = answer("gear-train", low)["result"]["gears"][0]
        >>> found["ratio"], found["ratio_exact"], found["carries"]
        (3.5, '7/2', {'B': 2.5})
    """
    train = train_of(request.sets, request.joined or (), request.elements, (request.input, request.output))
    moved = [motion(train, gear.on) for gear in request.gears]
    torque = [
        torques(train, gear.on) if each.ratio is not None else None for gear, each in zip(request.gears, moved, strict=True)
    ]
    before = [None, *(each.ratio for each in moved)]
    found = tuple(
        _gear(train, gear, each, balance, last, request.input_torque)
        for gear, each, balance, last in zip(request.gears, moved, torque, before, strict=False)
    )
    working = [*map(line_of_set, request.sets), *lines_of_pieces(train.piece_of)]
    for gear, each, balance in zip(request.gears, moved, torque, strict=True):
        working += [f"{gear.name}: {line}" for line in _lines(train, gear, each, balance, request.input_torque, units)]
    result = GearTrainResult(advice="; ".join(f"{gear.name}: {_said(gear)}" for gear in found), gears=found)
    cautions = (*_teeth_cautions(request.sets), *one_way_cautions(_one_ways(request, found)))
    return Answer(result, tuple(working), cautions)


def _teeth_cautions(sets: Sequence[PlanetarySet]) -> Iterator[str]:
    for each in sets:
        at_sun, at_ring = each.planet_teeth or (None, None)
        if each.sun is not None and each.ring is not None and at_sun == at_ring:
            for problem in mesh_problems(
                sun=each.sun, ring=each.ring, planet=at_sun, planets=each.planets, pairs=bool(each.pairs)
            ):
                yield f"{each.name}: {problem.message} {problem.remedy}"


def _one_ways(request: GearTrain, found: Sequence[GearFound]) -> dict[str, list[InGear]]:
    return {
        element.name: [
            # A clutch passes its torque on to its second member, which then may only run ahead of the first.
            InGear(gear.name, gear.carries.get(element.name), _against_case(element, gear.slips.get(element.name)))
            for gear in found
        ]
        for element in request.elements
        if element.one_way
    }


def _against_case(element: Element, slip: Fraction | None) -> Fraction | None:
    return slip if slip is None or element.joins is None else -slip


def _said(gear: GearFound) -> str:
    if gear.ratio is not None:
        return f"{plain(gear.ratio, 3)} to 1"
    return "output held" if gear.state == "fixed" else gear.state


def _gear(
    train: Train, gear: AppliedIn, moved: Motion, found: Torques | None, before: Fraction | None, torque: Fraction | None
) -> GearFound:
    speeds = {name: moved.speeds[piece] for name, piece in train.piece_of.items() if piece in moved.speeds}
    shares = {} if found is None else _torques_of_members(train, found)
    carries = {} if found is None else {name: found.elements[name] for name in gear.on if name in found.elements}
    return GearFound(
        name=gear.name,
        state=moved.state,
        ratio=moved.ratio,
        ratio_exact=None if moved.ratio is None else str(moved.ratio),
        step=None if before is None or moved.ratio is None else before / moved.ratio,
        reason=reason(train, gear.on, moved, found),
        speeds=speeds,
        torques=shares,
        carries=carries,
        slips=dict(_slips(train, gear.on, speeds)),
        planets=dict(_planets(train, speeds)),
        power=dict(_power(train, speeds, shares)),
        output_torque=None if torque is None or moved.ratio is None else torque * moved.ratio,
        carried=None if torque is None else {name: torque * value for name, value in carries.items()},
    )


def _torques_of_members(train: Train, found: Torques) -> dict[str, Fraction]:
    """The torque on each member that follows, and on input and output where these are shafts."""
    shafts = {train.input: Fraction(1)} | ({} if found.output is None else {train.output: found.output})
    members = {
        member: found.sets[each.name] * share if each.name in found.sets else None
        for each in train.sets
        for member, share in zip(each.members, each.shares, strict=True)
    }
    return {name: value for name, value in (shafts | members).items() if value is not None}


def _slips(train: Train, on: Sequence[str], speeds: dict[str, Fraction]) -> Iterator[tuple[str, Fraction]]:
    for element in train.elements:
        of_members = [speeds[member] for member in element.members if member in speeds]
        if element.name not in on and len(of_members) == len(element.members):
            yield element.name, of_members[0] - (of_members[1] if len(of_members) > 1 else 0)


def _planets(train: Train, speeds: dict[str, Fraction]) -> Iterator[tuple[str, Fraction]]:
    for each in train.sets:
        (first, _, carrier), turns = each.members, each.planet_turns
        if turns is not None and first in speeds and carrier in speeds:
            yield each.name, turns * (speeds[first] - speeds[carrier])


def _power(train: Train, speeds: dict[str, Fraction], shares: dict[str, Fraction]) -> Iterator[tuple[str, Fraction]]:
    for each in train.sets:
        if all(member in speeds and member in shares for member in each.members):
            flows = (speeds[member] * shares[member] for member in each.members)
            yield each.name, sum((flow for flow in flows if flow.numerator > 0), Fraction(0))


def _lines(
    train: Train, gear: AppliedIn, moved: Motion, found: Torques | None, torque: Fraction | None, units: AnswerUnits
) -> Iterator[str]:
    yield from lines_of_speeds(train, gear.on, moved)
    if moved.state != "fixed":
        yield reason(train, gear.on, moved, found)
    if found is None:
        return
    yield from lines_of_torques(train, gear.on, found)
    if torque is not None:
        for name, value in ((name, found.elements[name]) for name in gear.on if name in found.elements):
            carried = units.equals(value * torque, Dimension.TORQUE)
            yield f"{name}: {exact(value)} × {units.show(torque, Dimension.TORQUE)} {carried}"


_EXAMPLE: Final = {
    "sets": [
        {"name": "front", "sun": 36, "ring": 66, "planets": 3},
        {"name": "rear", "sun": 30, "ring": 72, "planets": 3},
    ],
    "joined": [["input", "front.sun"], ["front.carrier", "middle"], ["rear.ring", "output"]],
    "elements": [
        {"name": "low brake", "holds": "front.ring"},
        {"name": "high clutch", "joins": ["input", "middle"]},
        {"name": "sun clutch", "joins": ["middle", "rear.sun"]},
        {"name": "carrier clutch", "joins": ["middle", "rear.carrier"]},
        {"name": "sun brake", "holds": "rear.sun"},
        {"name": "reverse brake", "holds": "rear.carrier"},
    ],
    "gears": [
        {"name": "1", "on": ["low brake", "sun clutch", "carrier clutch"]},
        {"name": "2", "on": ["low brake", "carrier clutch", "sun brake"]},
        {"name": "3", "on": ["high clutch", "sun clutch", "carrier clutch"]},
        {"name": "4", "on": ["high clutch", "carrier clutch", "sun brake"]},
        {"name": "R", "on": ["low brake", "sun clutch", "reverse brake"]},
    ],
    "input": "input",
    "output": "output",
    "input_torque": "200 N.m",
}

GEAR_TRAIN: Final = Calculation(
    name="gear-train",
    title="Planetary gear trains",
    about="From the teeth, what is joined and what is on in each gear: ratio, the speed of every member and the torque on it, exactly.",
    asked_as=(
        "ratio calculator",
        "planetary ratio",
        "gear ratio from teeth",
        "teeth count",
        "final ratio",
        "speed of each member",
        "sun planet ring speeds",
        "compound planetary",
        "reduction ratio",
        "cálculo de relación",
        "tooth count to ratio",
    ),
    request=GearTrain,
    result=GearTrainResult,
    compute=gear_train,
    formulas=(
        r"n_\text{sun} - n_\text{carrier} = -k\,(n_\text{ring} - n_\text{carrier}), \quad k = \frac{z_\text{ring}}{z_\text{sun}}",
        r"k = -\frac{z_\text{ring}}{z_\text{sun}} \text{ with planets in pairs}",
        r"k = \frac{z_\text{ring}\,z_\text{planet at sun}}{z_\text{sun}\,z_\text{planet at ring}} \text{ with stepped planets}",
        r"T_\text{sun} : T_\text{ring} : T_\text{carrier} = 1 : k : -(1 + k)",
    ),
    sources=(
        Source("R. Willis, Principles of Mechanism, 1841", "", "the equation of speeds, as every textbook of mechanisms has it"),
        Source("Balance of torques and powers", "", "without losses; held against a numeric solver in the tests"),
    ),
    example=_EXAMPLE,
    subject="unit",
)
