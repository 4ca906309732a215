"""A length that is ten times its kin, or 25.4 times: a point that slipped, or inches written as millimetres.

Common practice, no source: the thin plates of one unit are 1 to 4 mm thick, its thick plates 3 to 10 mm, its rings 1 to 4 mm, and
the limits of its packs come to 0.1 to 0.6 mm for each friction plate. So no two of a kind differ by as much as six times.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from statistics import median_low
from typing import Final, NamedTuple

from build_hooks.model import Limits, Pack, Part
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, Mark, quoted
from build_hooks.trade.sound_unit import SoundUnit, size_of
from build_hooks.trade.stacks import MOST_FRICTION

__all__ = ["length_warnings"]

_THIN: Final = frozenset({"friction", "steel", "wave"})
_THICK: Final = frozenset({"backing", "reaction", "pressure"})
_RINGS: Final = frozenset({"snap-ring"})
# Lengths of one kind never differ so much, and a slip is never less: 10 times at least.
_UNLIKE: Final = 6
# From here on 25.4 is nearer than 10.
_INCHES: Final = 16
_PAIR: Final = 2
_NAMES: Final = {
    "thickness": "thickness",
    "outer": "outer diameter",
    "inner": "inner diameter",
    "worn_below": "worn limit",
    "free_height": "free height",
}


class _Length(NamedTuple):
    """A length among its kin: in mm, what it is called, as it is written, and where."""

    base: Fraction
    name: str
    written: str
    mark: Mark


def length_warnings(unit: SoundUnit) -> Iterator[Fault]:
    """Lengths of a unit that are far off others of their kind."""
    told: set[Mark] = set()
    for kin in _groups(unit):
        for fault in _odd(kin):
            if fault.mark not in told:
                told.add(fault.mark)
                yield fault
    yield from _limits_of_packs(unit)
    yield from _end_plays(unit)


def _groups(unit: SoundUnit) -> Iterator[list[_Length]]:
    parts = unit.unit.parts.values()
    for kinds in (_THIN, _THICK, _RINGS):
        yield _lengths((part for part in parts if part.kind in kinds), "thickness", unit)
    for key in ("outer", "inner"):
        yield _lengths((part for part in parts if part.kind in _THIN | _THICK), key, unit)
    for kit in unit.unit.kits.values():
        yield _lengths(kit.choices, "thickness", unit)
    for part in parts:
        for key in ("worn_below", "free_height"):
            yield [*_lengths([part], "thickness", unit), *_lengths([part], key, unit)]


def _lengths(parts: Iterable[Part], key: str, unit: SoundUnit) -> list[_Length]:
    sized = ((part.id, base) for part in parts if (base := size_of(part, key)))
    return [_length(part_id, base, key, unit.data.parts[part_id]) for part_id, base in sized]


def _length(part_id: str, base: Fraction, key: str, node: Node) -> _Length:
    return _Length(base, f"{_NAMES[key]} of {quoted(part_id)}", node.text_of(key) or "", node.children[key].mark)


def _odd(kin: Sequence[_Length]) -> Iterator[Fault]:
    """Those that are far off the middle of their kin; of two that differ nobody knows which is wrong, and the second is named."""
    if len(kin) < _PAIR:
        return
    middle = kin[0].base if len(kin) == _PAIR else median_low(length.base for length in kin)
    like = next(length for length in kin if length.base == middle)
    for length in kin:
        if _times(length.base, middle) >= _UNLIKE:
            yield _fault(length, f"the {like.name}, {like.written}", length.base / middle)


def _times(one: Fraction, other: Fraction) -> Fraction:
    return max(one, other) / min(one, other)


def _fault(length: _Length, like: str, ratio: Fraction) -> Fault:
    times = max(ratio, 1 / ratio)
    compared = f"{round(times)} times" if ratio > 1 else f"{round(times)} times smaller than"
    message = f"The {length.name}, {length.written}, is {compared} {like}."
    slip = "the unit: inches or millimetres" if times >= _INCHES else "the decimal point"
    return Fault(length.mark, "odd-length", message, f"Check {slip}.")


def _limits_of_packs(unit: SoundUnit) -> Iterator[Fault]:
    """Limits for each friction plate, beside those of all other packs of the manual."""
    others = [(other, pack) for other in unit.library.units.values() for pack in other.packs.values() if _plated(pack)]
    for pack_id, pack in unit.unit.packs.items():
        node = unit.data.packs[pack_id].get("clearance")
        if node is None or pack.clearance is None or not _plated(pack):
            continue
        for key in ("min", "max"):
            kin = [_for_each(other, key) for whose, other in others if (whose.id, other.id) != (unit.unit.id, pack_id)]
            yield from _unlike(node, key, _for_each(pack, key), kin, f"{key} of {quoted(pack_id)}, for each friction plate")


def _plated(pack: Pack) -> bool:
    # More plates than any pack has are a wrong count, and that is told by itself.
    return pack.clearance is not None and 0 < pack.friction_count <= MOST_FRICTION


def _for_each(pack: Pack, key: str) -> Fraction:
    return _limit(pack.clearance, key) / pack.friction_count if pack.clearance else Fraction(0)


def _limit(limits: Limits, key: str) -> Fraction:
    return limits.min.base if key == "min" else limits.max.base


def _end_plays(unit: SoundUnit) -> Iterator[Fault]:
    others = [(other.id, shaft) for other in unit.library.units.values() for shaft in other.shafts.values()]
    for shaft_id, shaft in unit.unit.shafts.items():
        node = unit.data.shafts[shaft_id].children["end_play"]
        kin = [other.end_play.max.base for whose, other in others if (whose, other.id) != (unit.unit.id, shaft_id)]
        yield from _unlike(node, "max", shaft.end_play.max.base, kin, f"max of {quoted(shaft_id)}")


def _unlike(node: Node, key: str, value: Fraction, kin: Sequence[Fraction], name: str) -> Iterator[Fault]:
    """A limit that is far off the middle of its kin; with fewer than two of them nobody knows which is wrong."""
    known = [base for base in kin if base]
    if len(known) < _PAIR or not value:
        return
    middle = median_low(known)
    if _times(value, middle) >= _UNLIKE:
        length = _Length(value, name, node.text_of(key) or "", node.children[key].mark)
        yield _fault(length, "what is usual in this manual", value / middle)
