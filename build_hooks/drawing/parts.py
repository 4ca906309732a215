"""What the drawing is made from: plain data that knows nothing of unit files or pages."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calc_engine.practice import SideDirection, SideMark

__all__ = [
    "ChamferedEdge", "DrawnClearance", "DrawnHole", "DrawnPart", "DrawnStack", "Edge", "End", "Holders", "Kind", "Push", "Teeth", "Through",
]  # fmt: skip

type Kind = Literal[
    "friction", "steel", "wave", "backing", "reaction", "pressure", "snap-ring", "piston", "seal", "lip-seal",
    "return-spring", "retainer", "thrust-washer", "bearing", "shim", "hub",
]  # fmt: skip
type Teeth = Literal["outside", "inside", "none"]
type Edge = Literal["inner", "outer"]
type ChamferedEdge = Literal["inner", "outer", "both"]
type Push = Literal["up", "down"]
type End = Literal["bottom", "top"]
type Through = Literal["boss", "wall", "floor"]


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
        in_boss: that groove is in the boss of the drum, not in its wall.
        shoulder: the name of the shoulder of the drum that it rests on.
        waves: how many waves a wave plate has, None when nobody said.
        rim_below_mm: how far its rim is cut back from its lower face [mm].
        rim_above_mm: how far its rim is cut back from its upper face [mm].
        chamfer: which edge of its face is chamfered, if it has a chamfer.
        pistons: for a housing, which way each piston in it pushes.
        check_ball: there is a check ball in it.
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
    in_boss: bool = False
    shoulder: str | None = None
    waves: int | None = None
    rim_below_mm: float = 0
    rim_above_mm: float = 0
    chamfer: ChamferedEdge = "outer"
    pistons: tuple[Push, ...] = ()
    check_ball: bool = False


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
class Holders:
    """The rings of another pack that hold the plate on which a stack begins.

    Attributes:
        below: the ring under it.
        above: the ring over it.
        gap_mm: how far it can move between them [mm].
    """

    below: DrawnPart | None = None
    above: DrawnPart | None = None
    gap_mm: float | None = None


@dataclass(frozen=True, slots=True)
class DrawnHole:
    """A feed hole of the drum, or the hole of a check ball.

    Attributes:
        name: what it is called.
        through: what of the drum it leads through.
        ball: a check ball sits in it.
    """

    name: str
    through: Through
    ball: bool = False


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
        holders: what holds the first part, if that is of another pack.
        windows: the wall of the drum has windows beside the plates.
        pressed_from: the end that its piston is at, None when nobody said.
        holes: the holes of the drum that lead to the chamber of its piston.
    """

    title: str
    description: str = ""
    drum_name: str | None = None
    grooves: tuple[str, ...] = ()
    parts: tuple[DrawnPart, ...] = ()
    clearance: DrawnClearance | None = None
    on_floor: bool = True
    holders: Holders = Holders()
    windows: bool = False
    pressed_from: End | None = None
    holes: tuple[DrawnHole, ...] = ()
