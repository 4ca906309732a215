"""Is a gear set said so that it can be worked out: can its teeth mesh, is everything there that it names?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import gcd
from typing import Final

from build_hooks.checks.gear_chart import chart_faults
from build_hooks.checks.values import UnitData, repeated, unknown
from build_hooks.model import CASE, ChartRow, GearElement, GearSet, PlanetarySet, read_model
from build_hooks.model.fields import is_member
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, did_you_mean, listed, quoted
from calc_engine import mesh_problems

__all__ = ["gear_set_faults"]

_PAIRS_OF_WHEELS: Final = (("sun", "ring"), ("sun", "sun2"), ("ring", "ring2"))
_JOINED_BY_A_CLUTCH: Final = 2


def gear_set_faults(unit: UnitData) -> Iterator[Fault]:
    """Faults in the gear set of a unit; what its gears come to is looked at once everything in it is named and can mesh."""
    root = unit.root.get("gear_set")
    if root is None or not root.is_mapping:
        return
    found = tuple(_named_and_meshing(root, unit))
    yield from found
    gear_set = read_model(GearSet, root, unit.units)[0]
    if gear_set is not None and not found:
        yield from chart_faults(root, gear_set)


def _named_and_meshing(root: Node, unit: UnitData) -> Iterator[Fault]:
    sets = _entries(root, "sets")
    for planetary in sets.values():
        yield from _teeth(planetary)
    known = _members(root, sets)
    for piece in _items(root, "joined"):
        yield from repeated(piece.items, "this piece")
        for member in piece.items:
            yield from _unknown_member(member, known)
    for end in ("input", "output"):
        yield from _unknown_member(root.get(end), known)
    pieces = _pieces(root)
    yield from _same_ends(root, pieces)
    elements = _entries(root, "elements")
    for element_id, element in elements.items():
        yield from _element(element_id, element, known, pieces, unit)
    yield from _packs_twice(elements)
    yield from _chart(root, elements)


def _entries(root: Node, key: str) -> Mapping[str, Node]:
    found = root.get(key)
    return {} if found is None else found.children


def _items(root: Node, key: str) -> tuple[Node, ...]:
    found = root.get(key)
    return () if found is None else found.items


def _teeth(node: Node) -> Iterator[Fault]:
    """What keeps wheels and planets of a set from running together; wrong shape is told elsewhere."""
    planetary, _ = read_model(PlanetarySet, node)
    if planetary is None:
        return
    if planetary.wheels not in {*_PAIRS_OF_WHEELS}:
        message = f"A set has two wheels, and this one has {listed(planetary.wheels, 'and') if planetary.wheels else 'none'}."
        yield Fault(node.mark, "not-two-wheels", message, "Give sun and ring, or sun and sun2, or ring and ring2.")
        return
    simple = planetary.wheels == _PAIRS_OF_WHEELS[0]
    if planetary.pairs and (not simple or planetary.planet2 is not None):
        message = "Planets in pairs run between a sun and a ring, and are not stepped."
        yield Fault(node.children["pairs"].mark, "not-used", message, "Take pairs out, or give sun and ring without planet2.")
    elif planetary.planet2 is None and simple:
        yield from _simple(planetary, node)
    elif planetary.planet is None or planetary.planet2 is None:
        message = "A stepped planet has teeth at both of its steps."
        yield Fault(node.mark, "missing-key", message, "Give planet and planet2.")
    else:
        yield from _stepped(planetary, node)


def _simple(planetary: PlanetarySet, node: Node) -> Iterator[Fault]:
    for problem in mesh_problems(
        sun=planetary.sun or 0,
        ring=planetary.ring or 0,
        planet=planetary.planet,
        planets=planetary.planets,
        pairs=planetary.pairs,
    ):
        remedy = problem.remedy
        if problem.code == "cannot-mesh" and (planetary.ring or 0) > (planetary.sun or 0):
            if planetary.shifted_teeth:
                continue
            remedy = f"{remedy} Where they are cut for another centre distance, write shifted_teeth: true."
        yield Fault((node.get(problem.field) or node).mark, problem.code, problem.message, remedy)


def _stepped(planetary: PlanetarySet, node: Node) -> Iterator[Fault]:
    """Planets that are all alike mesh at even places only if both wheels are in step there.

    A planet further on by 1/n of a turn has turned on its pin by what the first wheel asks, and by what the second asks, each but for
    whole teeth. Both can be met if (first x planet2 -+ second x planet)/n is a multiple of the common divisor of the planet's teeth: minus
    for wheels of one kind, plus for sun and ring. Derived here; textbooks of planetary gears have it for sun and ring, from memory.
    """
    first, second = (getattr(planetary, wheel) for wheel in planetary.wheels)
    planet, planet2, planets = planetary.planet or 1, planetary.planet2 or 1, planetary.planets
    sign = 1 if planetary.wheels == _PAIRS_OF_WHEELS[0] else -1
    if planets is not None and (first * planet2 + sign * second * planet) % (planets * gcd(planet, planet2)):
        message = f"{planets} stepped planets that are alike cannot be spaced evenly with these teeth."
        yield Fault(node.children["planets"].mark, "uneven-planets", message, "Count planets and teeth again.")


def _members(root: Node, sets: Mapping[str, Node]) -> tuple[str, ...]:
    """Every name that may be used: the members of the sets, and shafts that are joined, driven or drive."""
    members = [f"{name}.{kind}" for name, node in sets.items() for kind in (*_wheels(node), "carrier")]
    ends = [root.text_of("input"), root.text_of("output")]
    joined = [member.text for piece in _items(root, "joined") for member in piece.items]
    return (*members, *(name for name in dict.fromkeys((*ends, *joined)) if name and "." not in name))


def _wheels(planetary: Node) -> tuple[str, ...]:
    """The wheels of a set; all that there may be, where they are not two, which is told already."""
    kinds = ("sun", "sun2", "ring", "ring2")
    given = tuple(kind for kind in kinds if planetary.get(kind))
    return given if given in _PAIRS_OF_WHEELS else kinds


def _unknown_member(member: Node | None, known: tuple[str, ...]) -> Iterator[Fault]:
    if member is None or member.text is None or member.text in known or not is_member(member.text):
        return
    remedy = did_you_mean(member.text, known) or "Name a wheel or carrier of a set, or add the shaft to joined."
    yield Fault(member.mark, "unknown-member", f"The gear set has no member {quoted(member.text)}.", remedy)


def _pieces(root: Node) -> dict[str, frozenset[str]]:
    """For each name that is joined to others all names of its piece."""
    pieces: dict[str, frozenset[str]] = {}
    for piece in _items(root, "joined"):
        names = {member.text or "" for member in piece.items}
        together = frozenset(names.union(*(pieces.get(name, frozenset()) for name in names)))
        pieces |= dict.fromkeys(together, together)
    return pieces


def _one_piece(first: str | None, second: str | None, pieces: Mapping[str, frozenset[str]]) -> bool:
    return first is not None and (first == second or second in pieces.get(first, ()))


def _same_ends(root: Node, pieces: Mapping[str, frozenset[str]]) -> Iterator[Fault]:
    output = root.get("output")
    if output is not None and _one_piece(root.text_of("input"), output.text, pieces):
        message = "Input and output are one piece: there would be nothing to shift."
        yield Fault(output.mark, "joined-to-itself", message, "Correct one of them, or joined.")


def _element(
    element_id: str, node: Node, known: tuple[str, ...], pieces: Mapping[str, frozenset[str]], unit: UnitData
) -> Iterator[Fault]:
    joins, holds = node.get("joins"), node.get("holds")
    for member in (*(() if joins is None else joins.items), holds):
        yield from _unknown_member(member, known)
    if not any(node.misspelt(key, GearElement.model_fields) for key in ("joins", "holds")):
        yield from _joins_or_holds(element_id, node)
    if (
        joins is not None
        and len(joins.items) == _JOINED_BY_A_CLUTCH
        and _one_piece(joins.items[0].text, joins.items[1].text, pieces)
    ):
        message = f"{quoted(element_id)} joins a member to itself: both are one piece."
        yield Fault(joins.mark, "joined-to-itself", message, "Correct a member, or joined.")
    yield from unknown(node.get("pack"), unit.packs, "pack", "Add it to packs, or take it out.")
    yield from _pack_or_reason(element_id, node)


def _joins_or_holds(element_id: str, node: Node) -> Iterator[Fault]:
    joins, holds = node.get("joins"), node.get("holds")
    if CASE in [item.text for item in (() if joins is None else joins.items)]:
        message = f"{quoted(element_id)} joins a member to the case: that is a brake."
        yield Fault(node.children["joins"].mark, "joins-or-holds", message, "Write holds: and the member.")
    elif (joins is None) == (holds is None):
        does = "joins two members and holds one" if joins else "neither joins two members nor holds one"
        message = f"{quoted(element_id)} {does}."
        yield Fault(node.mark, "joins-or-holds", message, "Write joins: [a, b] for a clutch, or holds: a for a brake.")
    elif joins is not None and len(joins.items) != _JOINED_BY_A_CLUTCH and isinstance(joins.value, tuple):
        message = f"A clutch joins two members, and this one has {len(joins.items)}."
        yield Fault(joins.mark, "joins-or-holds", message, "Write two; members that are always one piece go into joined.")


def _pack_or_reason(element_id: str, node: Node) -> Iterator[Fault]:
    fields = GearElement.model_fields
    reason = node.get("without_pack")
    if reason is not None and node.get("pack") is not None:
        message = f"{quoted(element_id)} has a pack, and a reason for having none."
        yield Fault(reason.mark, "given-twice", message, "Take one of them out.")
    if all(node.lacks(key, fields) for key in ("pack", "without_pack", "turns_freely")):
        message = f"{quoted(element_id)} has no pack."
        remedy = "Name it with pack:, or say why there is none, for example without_pack: a band."
        yield Fault(node.mark, "element-without-pack", message, remedy)


def _packs_twice(elements: Mapping[str, Node]) -> Iterator[Fault]:
    """One pack cannot be two elements."""
    owner: dict[str, str] = {}
    for element_id, node in elements.items():
        pack = node.get("pack")
        if pack is None or pack.text is None:
            continue
        if pack.text in owner:
            message = f"{quoted(pack.text)} is the pack of {quoted(owner[pack.text])} already."
            yield Fault(pack.mark, "listed-twice", message, "Correct one of them.")
        owner.setdefault(pack.text, element_id)


def _chart(root: Node, elements: Mapping[str, Node]) -> Iterator[Fault]:
    chart = root.get("chart")
    if chart is not None and chart.value == ():
        yield Fault(
            chart.mark, "empty", "The chart is empty.", "Write a row for each gear, for example {gear: 1, on: [forward]}."
        )
    used: set[str] = set()
    labels: dict[str, None] = {}
    for row in _items(root, "chart"):
        on = row.get("on")
        for name in () if on is None else on.items:
            yield from unknown(name, elements, "element", "Add it to elements, or take it out.")
            used.add(name.text or "")
        yield from () if on is None else repeated(on.items, "this gear")
        label = _label(row)
        if label is not None and label in labels:
            message = f"Gear {quoted(label)} is in the chart twice."
            yield Fault(row.mark, "listed-twice", message, "Take one of the rows out, or give its range.")
        labels[label or ""] = None
    yield from _never_on(root, elements, used)
    for element in elements.values():
        yield from _idle_nowhere(element, labels)


def _label(row: Node) -> str | None:
    read, _ = read_model(ChartRow, row)
    return None if read is None else read.label


def _never_on(root: Node, elements: Mapping[str, Node], used: set[str]) -> Iterator[Fault]:
    section, chart = root.get("elements"), root.get("chart")
    if section is None or chart is None or not chart.items:
        return
    for element_id in elements:
        if element_id not in used and not any(name not in elements for name in used):
            message = f"{quoted(element_id)} is on in no gear of the chart."
            yield Fault(section.keys[element_id], "never-on", message, "Add it to the gears that it is on in, or take it out.")


def _idle_nowhere(element: Node, labels: Mapping[str, None]) -> Iterator[Fault]:
    idle = element.get("idle_in")
    for gear in () if idle is None else idle.items:
        if gear.text is not None and gear.text not in labels:
            message = f"The chart has no gear {quoted(gear.text)}."
            yield Fault(gear.mark, "unknown-gear", message, f"Its gears: {', '.join(labels)}.")
