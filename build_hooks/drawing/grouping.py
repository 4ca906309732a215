"""Which parts belong to one piston: its seals, its spring, the retainer of the spring and the ring of the retainer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from build_hooks.drawing.parts import DrawnPart, Edge, End, Kind

__all__ = ["Numbered", "PistonGroup", "grouped", "is_plate"]

_AROUND: Final[frozenset[Kind]] = frozenset(("piston", "seal", "lip-seal", "return-spring", "retainer"))
_HELD: Final[frozenset[Kind]] = frozenset(("return-spring", "retainer"))

# Parts of a group, each with its place in it.
type Numbered = tuple[tuple[int, DrawnPart], ...]


@dataclass(frozen=True, slots=True)
class PistonGroup:
    """A piston with what belongs to it, in the order these parts go in.

    Attributes:
        parts: all of them.
        upper: the piston stands over its pack and pushes down; else it lies under it and pushes up.
    """

    parts: tuple[DrawnPart, ...]
    upper: bool

    @property
    def piston(self) -> DrawnPart:
        """The piston."""
        return next(part for part in self.parts if part.kind == "piston")

    def of(self, *kinds: Kind) -> Numbered:
        """The parts of these kinds, each with its place in the group."""
        return tuple((at, part) for at, part in enumerate(self.parts) if part.kind in kinds)

    def seals(self, edge: Edge) -> Numbered:
        """The seals at this edge; those of no known edge go to the outer and the inner edge in turn."""
        found: list[tuple[int, DrawnPart]] = []
        unknown = 0
        for at, part in self.of("seal", "lip-seal"):
            on: Edge = part.edge or ("inner" if unknown % 2 else "outer")
            unknown += part.edge is None
            if on == edge:
                found.append((at, part))
        return tuple(found)


def grouped(parts: Sequence[DrawnPart], pressed_from: End | None = None) -> tuple[DrawnPart | PistonGroup, ...]:
    """The parts of a stack, those of each piston taken together.

    Args:
        parts: in the order they go in.
        pressed_from: the end of the pack that its piston is at; None: over the pack when plates stand before it and none behind it.

    Returns:
        Single parts and piston groups, in order.
    """
    items: list[DrawnPart | PistonGroup] = []
    at = 0
    while at < len(parts):
        end = _end_of_run(parts, _behind_shims(parts, at))
        run = tuple(parts[at:end])
        if any(part.kind == "piston" for part in run):
            upper = _is_upper(parts[:at], parts[end:], pressed_from)
            housed = any(part.pistons for part in run)
            if (housed or not upper) and parts[at].kind == "shim":
                items.append(parts[at])
                at += 1
                continue
            items += [PistonGroup(piece, upper) for piece in _one_piston_each(run)]
            at = end
        else:
            items.append(parts[at])
            at += 1
    return tuple(items)


def _is_upper(before: Sequence[DrawnPart], behind: Sequence[DrawnPart], pressed_from: End | None) -> bool:
    """Whether a piston between these parts lies over its pack."""
    if pressed_from == "bottom" or not any(is_plate(part) for part in before):
        return False
    return pressed_from == "top" or not any(is_plate(part) for part in behind)


def _behind_shims(parts: Sequence[DrawnPart], start: int) -> int:
    """Behind the shims that stand here: those right before a piston over its pack carry it."""
    return next((at for at in range(start, len(parts)) if parts[at].kind != "shim"), len(parts))


def is_plate(part: DrawnPart) -> bool:
    """Whether the part is one of a pack's plates."""
    return part.kind in {"friction", "steel", "wave", "backing", "reaction", "pressure"}


def _end_of_run(parts: Sequence[DrawnPart], start: int) -> int:
    """Behind the last part in a row that can belong to a piston; a ring in no groove of the wall holds a retainer."""
    at = start
    while at < len(parts):
        part = parts[at]
        holds = part.kind == "snap-ring" and (part.groove is None or part.in_boss) and at > start and parts[at - 1].kind in _HELD
        if part.kind not in _AROUND and not holds:
            break
        at += 1
    return at


def _one_piston_each(run: tuple[DrawnPart, ...]) -> list[tuple[DrawnPart, ...]]:
    """A run cut into pieces of one piston each; what stands between two pistons and is no spring's goes to the second."""
    pieces: list[list[DrawnPart]] = [[]]
    for at, part in enumerate(run):
        has_piston = any(one.kind == "piston" for one in pieces[-1])
        holding = part.kind in _HELD or part.kind == "snap-ring"
        if has_piston and not holding and any(one.kind == "piston" for one in run[at:]):
            pieces.append([])
        pieces[-1].append(part)
    return [tuple(piece) for piece in pieces]
