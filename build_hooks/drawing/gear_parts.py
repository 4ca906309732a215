"""What the drawings of a gear set are made from: plain data, without a word about unit data or ink."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from build_hooks.drawing.layout import Text
from build_hooks.drawing.shapes import Box, Shape

__all__ = ["DrawnElement", "DrawnGear", "DrawnMember", "DrawnSet", "GearPicture", "GearPiece"]


@dataclass(frozen=True, slots=True)
class DrawnMember:
    """A wheel or the carrier of a set.

    Attributes:
        kind: ``sun``, ``ring``, ``carrier`` and so on.
        place: where it stands on the lever of its set, from 0 to 1.
        piece: which of the pieces it is part of.
    """

    kind: str
    place: float
    piece: int


@dataclass(frozen=True, slots=True)
class DrawnSet:
    """A planetary set, its teeth in a few signs, and its members."""

    name: str
    teeth: str
    members: tuple[DrawnMember, ...]


@dataclass(frozen=True, slots=True)
class GearPiece:
    """What turns as one.

    Attributes:
        letter: by which both drawings call it.
        name: what is in it, in a few words.
        speed: for input speed 1; None where nothing sets it.
        is_input, is_output, is_case: what is joined to it.
    """

    letter: str
    name: str
    speed: float | None
    is_input: bool = False
    is_output: bool = False
    is_case: bool = False


@dataclass(frozen=True, slots=True)
class DrawnElement:
    """A clutch between two pieces, or a brake between one and the case.

    Attributes:
        name: what it is called.
        pieces: the two pieces, or the one.
        is_on: whether it is on.
        is_one_way: whether it holds one way only.
    """

    name: str
    pieces: tuple[int, ...]
    is_on: bool
    is_one_way: bool = False


@dataclass(frozen=True, slots=True)
class DrawnGear:
    """A gear set in one gear.

    Attributes:
        label: the gear.
        sets: from front to rear.
        pieces: all of them; the case is the last.
        elements: in the order of the chart.
        slowest, fastest: the speeds between which every gear of the unit lies, so that all are drawn to one scale.
    """

    label: str
    sets: Sequence[DrawnSet]
    pieces: Sequence[GearPiece]
    elements: Sequence[DrawnElement]
    slowest: float
    fastest: float


@dataclass(frozen=True, slots=True)
class GearPicture:
    """A finished drawing: its shapes and words, and the room it takes."""

    shapes: tuple[Shape, ...]
    words: tuple[Text, ...]
    room: Box
