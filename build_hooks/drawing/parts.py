"""What the drawing is made from: plain data that knows nothing of unit files or pages."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calc_engine.practice import SideDirection, SideMark

__all__ = ["DrawnClearance", "DrawnPart", "DrawnStack", "Edge", "Kind", "Teeth"]

type Kind = Literal[
    "friction", "steel", "wave", "backing", "reaction", "pressure", "snap-ring", "piston", "seal", "lip-seal",
    "return-spring", "retainer", "thrust-washer", "bearing", "shim", "hub",
]  # fmt: skip
type Teeth = Literal["outside", "inside", "none"]
type Edge = Literal["inner", "outer"]


@dataclass(frozen=True, slots=True)
class DrawnPart:
    """One physical part in the order it goes in.

    Attributes:
        number: the step at which it goes in; the number that the drawing shows.
        part_id: its id in the unit data; parts that are alike share it.
        name: what it is called.
        kind: what it is.
        thickness_mm: its thickness [mm], None when nobody gave one.
        free_height_mm: the height of a wave plate with nothing on it [mm].
        teeth: where its teeth are.
        side_mark: the mark that tells its sides apart.
        side_direction: where that mark looks: up to the open end, down, in to the axis, out to the wall.
        groove: the name of the groove it goes into.
        edge: for a seal, which edge of the piston it goes on; None when nobody said.
        once_only: never used again once it has been out.
        look_alike: another part gets mistaken for it.
        shared: it serves two packs, and is drawn once between them.
        measured_next: once it is in, the clearance of its pack is measured.
    """

    number: int
    part_id: str
    name: str
    kind: Kind
    thickness_mm: float | None = None
    free_height_mm: float | None = None
    teeth: Teeth = "none"
    side_mark: SideMark | None = None
    side_direction: SideDirection | None = None
    groove: str | None = None
    edge: Edge | None = None
    once_only: bool = False
    look_alike: bool = False
    shared: bool = False
    measured_next: bool = False


@dataclass(frozen=True, slots=True)
class DrawnClearance:
    """The clearance of a stack, dimensioned between two of its parts.

    Attributes:
        label: the limits as they are to be read, for example "0.90 to 1.40 mm".
        below: number of the part under the gap.
        above: number of the part over the gap.
        size_mm: how wide the gap is drawn [mm], None for as wide as is easy to see.
    """

    label: str
    below: int
    above: int
    size_mm: float | None = None


@dataclass(frozen=True, slots=True)
class DrawnStack:
    """A pack: its parts from the bottom of the drum up.

    Attributes:
        title: what it is called.
        description: what the drawing is of, for a reader who cannot see it.
        drum_name: the drum it stands in, None for a pack that has none of its own.
        grooves: the ring grooves of the drum, from the bottom up.
        parts: in the order they go in.
        clearance: where the clearance is measured.
        on_floor: the first part lies on the floor of the drum; else on what another pack has put there.
    """

    title: str
    description: str = ""
    drum_name: str | None = None
    grooves: tuple[str, ...] = ()
    parts: tuple[DrawnPart, ...] = ()
    clearance: DrawnClearance | None = None
    on_floor: bool = True
