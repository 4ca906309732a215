"""Do parts and drums make sense by themselves?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from build_hooks.checks.values import UnitData, known_kind, length_of, repeated, thickness_of, unknown
from build_hooks.model import NEEDS_THICKNESS, Part, PartKind
from build_hooks.model.fields import suited_example
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, quoted
from calc_engine import System

__all__ = ["drum_faults", "part_faults"]

_PLATES: Final = frozenset(("friction", "steel", "backing", "reaction", "pressure"))
# Which kinds a key is for, and what these are called together.
_ONLY_FOR: Final = {
    "waves": (frozenset(("wave",)), "a wave plate"),
    "rim_below": (_PLATES, "a plate"),
    "rim_above": (_PLATES, "a plate"),
    "chamfer": (_PLATES, "a plate"),
    "pistons": (frozenset(("piston",)), "a piston housing"),
    "check_ball": (frozenset(("piston",)), "a piston"),
}


def part_faults(unit: UnitData) -> Iterator[Fault]:
    """Faults in the parts of a unit."""
    for part_id, part in unit.parts.items():
        yield from _no_thickness(part_id, part, unit.units)
        yield from _worn_when_new(part)
        yield from _free_height(part)
        yield from _for_its_kind(part)
        yield from _rim(part)
        yield from _diameters(part)
        yield from _look_alikes(part_id, part, unit)


def _no_thickness(part_id: str, part: Node, units: System) -> Iterator[Fault]:
    kind = part.text_of("kind")
    if kind in NEEDS_THICKNESS and part.lacks("thickness", Part.model_fields):
        message = f"{quoted(part_id)} has no “thickness”, and a part of kind {kind} needs one."
        example = suited_example(Part.model_fields["thickness"].examples or (), units)
        yield Fault(part.mark, "missing-key", message, f"Add it, for example thickness: {example}.")


def _worn_when_new(part: Node) -> Iterator[Fault]:
    worn, thickness = length_of(part, "worn_below"), thickness_of(part)
    if worn is not None and thickness is not None and worn.base > thickness.smallest.base:
        message = f"A new part may be {thickness.smallest}, and would count as worn below {part.text_of('worn_below')}."
        yield Fault(part.children["worn_below"].mark, "worn-when-new", message, "Correct the worn limit or the thickness.")


def _free_height(part: Node) -> Iterator[Fault]:
    given, kind = part.get("free_height"), known_kind(part, PartKind)
    if given is None or kind is None:
        return
    if kind != "wave":
        message = f"Only a wave plate has a free height, and this is of kind {kind}."
        yield Fault(given.mark, "free-height", message, "Take it out, or correct the kind.")
        return
    free, thickness = length_of(part, "free_height"), thickness_of(part)
    if free is not None and thickness is not None and free.base <= thickness.nominal.base:
        message = f"The free height {part.text_of('free_height')} is not more than the flat thickness {thickness.nominal}."
        yield Fault(given.mark, "free-height", message, "Swap them, or correct one of them.")


def _for_its_kind(part: Node) -> Iterator[Fault]:
    """Keys that only parts of some kinds can have."""
    kind = known_kind(part, PartKind)
    for key, (kinds, named) in _ONLY_FOR.items():
        given = part.get(key)
        if given is not None and kind is not None and kind not in kinds:
            message = f"Only {named} has “{key}”, and this is of kind {kind}."
            yield Fault(given.mark, "not-for-kind", message, "Take it out, or correct the kind.")
    pistons = part.get("pistons")
    if pistons is not None:
        yield from repeated(pistons.items, "pistons")


def _rim(part: Node) -> Iterator[Fault]:
    """A rim that is cut back from both faces by the whole thickness of the plate is gone."""
    cuts = [(part.get(key), length_of(part, key)) for key in ("rim_below", "rim_above")]
    thickness = thickness_of(part)
    depth = sum(length.base for _, length in cuts if length is not None)
    if thickness is not None and depth >= thickness.nominal.base:
        mark = next(node.mark for node, length in reversed(cuts) if node is not None and length is not None)
        message = f"The rim is cut back by as much as the plate is thick, {thickness.nominal}."
        yield Fault(mark, "no-rim", message, "Correct rim_below, rim_above or the thickness.")


def _diameters(part: Node) -> Iterator[Fault]:
    inner, outer = length_of(part, "inner"), length_of(part, "outer")
    if inner is not None and outer is not None and inner.base >= outer.base:
        message = f"The inner diameter {part.text_of('inner')} is not less than the outer, {part.text_of('outer')}."
        yield Fault(part.children["inner"].mark, "crossed-diameters", message, "Swap them, or correct one of them.")


def _look_alikes(part_id: str, part: Node, unit: UnitData) -> Iterator[Fault]:
    others = part.get("look_alikes")
    if others is None:
        return
    yield from repeated(others.items, "look_alikes")
    for other in others.items:
        yield from unknown(other, unit.parts, "part", "Add it to parts, or take it out.")
        if other.text == part_id:
            yield Fault(other.mark, "own-look-alike", f"{quoted(part_id)} is named as its own look-alike.", "Take it out.")


def drum_faults(unit: UnitData) -> Iterator[Fault]:
    """Faults in the drums of a unit."""
    for drum_id, drum in unit.drums.items():
        yield from _chambers(drum_id, drum, unit)
        for keys in (("grooves", "boss_grooves"), ("shoulders",)):
            items = [item for key in keys if (named := drum.get(key)) is not None for item in named.items]
            yield from repeated(tuple(items), " and ".join(key for key in keys if drum.get(key) is not None))


def _chambers(drum_id: str, drum: Node, unit: UnitData) -> Iterator[Fault]:
    """What leads to a chamber names a pack of its own drum."""
    for key in ("feeds", "check_balls"):
        found = drum.get(key)
        for item in () if found is None else found.items:
            chamber = item.get("chamber")
            yield from unknown(chamber, unit.packs, "pack", "Name the pack whose piston it feeds.")
            pack = unit.packs.get(item.text_of("chamber") or "")
            if chamber is not None and pack is not None and pack.text_of("drum") != drum_id:
                message = f"{quoted(chamber.text or '')} is not in {quoted(drum_id)}."
                yield Fault(chamber.mark, "other-drum", message, f"Write drum: {drum_id} in that pack, or name another.")
