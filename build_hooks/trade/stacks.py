"""Stacks that no rebuilder would build: more plates than a drum holds, two friction plates face to face."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from build_hooks.checks.packs import PLATES, Place
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, quoted
from build_hooks.trade.sound_unit import SoundUnit, expanded

__all__ = ["MOST_FRICTION", "stack_warnings"]

# Common practice, no source: no pack of a passenger car's or a truck's automatic has more.
MOST_FRICTION: Final = 12


def stack_warnings(unit: SoundUnit) -> Iterator[Fault]:
    """Stacks of a unit that can hardly be meant so."""
    for pack_id, pack in unit.data.packs.items():
        yield from _too_many(pack_id, pack, unit)
        yield from _together(pack, unit)


def _too_many(pack_id: str, pack: Node, unit: SoundUnit) -> Iterator[Fault]:
    count = unit.unit.packs[pack_id].friction_count
    stack = pack.get("stack")
    if count <= MOST_FRICTION or stack is None:
        return
    repeats = [repeat for item in stack.items if (repeat := item.get("repeat")) is not None]
    most = max(repeats, key=lambda repeat: repeat.value if isinstance(repeat.value, int) else 0, default=stack)
    message = f"{quoted(pack_id)} holds {count} friction plates; packs have up to {MOST_FRICTION}."
    yield Fault(most.mark, "many-plates", message, "Check the repeat.")


def _together(pack: Node, unit: SoundUnit) -> Iterator[Fault]:
    """Two linings face to face turn with the same hub: no torque passes between them. Common practice, no source."""
    before: Place | None = None
    told: set[int] = set()
    for place in expanded(pack):
        kind = unit.data.kind_of(place.part_id)
        if kind == "friction" and before is not None and id(place.entry) not in told:
            told.add(id(place.entry))
            message = f"Friction plate {quoted(place.part_id or '')} lies on friction plate {quoted(before.part_id or '')}."
            yield Fault(place.entry.mark, "friction-together", message, "Put a steel plate between them.")
        if kind in PLATES:
            before = place if kind == "friction" else None
