"""What one sees of a part: labels that tell parts apart as far as they can be told apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from calc_engine import alike, capitalised, show
from calc_engine.practice.part_kinds import PART_KINDS
from calc_engine.practice.unit import Part

__all__ = ["Row", "labels", "same_look"]

_LEVELS: Final = (("kind",), ("kind", "number"), ("name",), ("name", "number"))
_EVERY: Final = ("kind", "name", "number")


@dataclass(frozen=True, slots=True)
class Row:
    """A part as it stands in a drawn stack.

    Attributes:
        part: the part.
        side: the way round that is seen; None where no mark tells it.
        groove: the groove it sits in.
    """

    part: Part
    side: str | None = None
    groove: str | None = None


def labels(parts: Sequence[Part], *, named: bool = False) -> Mapping[str, str] | None:
    """A label for each part that is true of no other part, and says no more than is needed for that.

    Kind, thickness and mark come first, for that is what lies on the bench; the part number and the name only where these do
    not tell two parts apart. A part without a mark is not told by having none: its mark may have worn off.

    Args:
        parts: each part once.
        named: whether every label is to hold the name.

    Returns:
        Labels by id; None when two parts cannot be told apart by anything that the data says of them.
    """
    known = {part.id: {alike(fact) for fact in _facts(part, _EVERY)} for part in parts}
    found = {part.id: _label_among(part, known, _LEVELS[2:] if named else _LEVELS) for part in parts}
    told = {name: label for name, label in found.items() if label is not None}
    return told if len(told) == len(parts) else None


def _label_among(part: Part, known: Mapping[str, set[str]], levels: Sequence[Sequence[str]]) -> str | None:
    """The shortest label of a part that is true of no other one."""
    for level in levels:
        facts = _facts(part, level)
        said = {alike(fact) for fact in facts}
        if not any(said <= other for name, other in known.items() if name != part.id):
            return " · ".join(facts)
    return None


def same_look(first: Part, second: Part) -> bool:
    """Whether nothing that the data says tells two parts apart."""
    return labels((first, second)) is None


def _facts(part: Part, level: Sequence[str]) -> list[str]:
    facts = (
        capitalised(PART_KINDS[part.kind]) if "kind" in level else None,
        part.name if "name" in level else None,
        show(part.thickness) if part.thickness else None,
        part.mark,
        part.number if "number" in level else None,
    )
    return [fact for fact in facts if fact]
