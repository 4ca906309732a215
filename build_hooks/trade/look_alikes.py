"""Parts that look alike, and nothing that says how to tell one from the other. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Final

from build_hooks.model import Part
from build_hooks.reading.problems import Fault, Mark, quoted
from build_hooks.trade.sound_unit import SoundUnit, size_of

__all__ = ["look_alike_warnings"]

# What the eye takes for the same, in mm. Common practice, no source.
_NEAR: Final = {"thickness": 0.3, "outer": 3, "inner": 3}
_KINDS: Final = frozenset({"friction", "steel", "wave", "backing", "reaction", "pressure", "snap-ring", "seal", "lip-seal"})


def look_alike_warnings(unit: SoundUnit) -> Iterator[Fault]:
    """Pairs of parts that are named as look-alikes or are nearly the same, without a word on how to tell them apart."""
    told = _told_apart(unit)
    seen: set[frozenset[str]] = set()
    for part_id, part in unit.data.parts.items():
        alike = part.get("look_alikes")
        for other in () if alike is None else alike.items:
            yield from _untold(part_id, other.text or "", other.mark, "are named as look-alikes", unit, told, seen)
    for first, second in combinations(unit.unit.parts, 2):
        if _near(unit.unit.parts[first], unit.unit.parts[second]):
            yield from _untold(second, first, unit.key_mark("parts", second), "are nearly the same", unit, told, seen)


def _told_apart(unit: SoundUnit) -> set[str]:
    """Parts of which the data say, at the part or at a place, how they are told from others."""
    placed = (entry for pack in unit.unit.packs.values() for entry in pack.physical_stack)
    return {part.id for part in unit.unit.parts.values() if part.tell_apart} | {
        entry.part.id for entry in placed if entry.tell_apart
    }


def _untold(
    one: str, other: str, mark: Mark, why: str, unit: SoundUnit, told: set[str], seen: set[frozenset[str]]
) -> Iterator[Fault]:
    pair = frozenset({one, other})
    if pair in seen or pair & told or _marked_apart(unit.unit.parts[one], unit.unit.parts[other]):
        return
    seen.add(pair)
    message = f"{quoted(other)} and {quoted(one)} {why}, and nothing says how to tell them apart."
    yield Fault(mark, "look-alikes-untold", message, "Add tell_apart: to one of them, or a mark: to each.")


def _marked_apart(one: Part, other: Part) -> bool:
    return one.mark is not None and other.mark is not None and one.mark != other.mark


def _near(one: Part, other: Part) -> bool:
    """Whether two parts are of one kind and no size that both have tells them apart."""
    if one.kind not in _KINDS or one.kind != other.kind:
        return False
    sizes = [(size_of(one, key), size_of(other, key), most) for key, most in _NEAR.items()]
    both = [(a, b, most) for a, b, most in sizes if a is not None and b is not None]
    return bool(both) and all(abs(a - b) <= most for a, b, most in both)
