"""What one sees of a part: labels that tell parts apart as far as they can be told apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from calc_engine import show

from .unit import Part
from .words import KINDS, alike, capital

__all__ = ["Row", "labels", "same_look"]

_LEVELS: Final = (("kind",), ("kind", "number"), ("name",), ("name", "number"))


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
    """A label for each part, no two alike, that says no more than is needed to tell them apart.

    Kind, thickness and mark come first, for that is what lies on the bench; the part number and the name only where these do
    not tell two parts apart.

    Args:
        parts: each part once.
        named: whether every label is to hold the name.

    Returns:
        Labels by id; None when two parts cannot be told apart by anything that the data says of them.
    """
    levels = _LEVELS[2:] if named else _LEVELS
    found: dict[str, str] = {}
    for level in levels:
        texts = {part.id: _label(part, level) for part in parts}
        counted = Counter(alike(text) for text in texts.values())
        for name, text in texts.items():
            if counted[alike(text)] == 1:
                found.setdefault(name, text)
    whole = len(found) == len(parts) == len({alike(text) for text in found.values()})
    return {part.id: found[part.id] for part in parts} if whole else None


def same_look(first: Part, second: Part) -> bool:
    """Whether nothing that the data says tells two parts apart."""
    return labels((first, second)) is None


def _label(part: Part, level: Sequence[str]) -> str:
    facts = [
        part.name if "name" in level else capital(KINDS[part.kind]),
        show(part.thickness) if part.thickness else None,
        part.mark,
        part.number if "number" in level else None,
    ]
    return " · ".join(fact for fact in facts if fact)
