"""What stacking parts gives: each part in its place, and the grooves and gaps beside them."""

from __future__ import annotations

from dataclasses import dataclass

from build_hooks.drawing.parts import DrawnPart, Push, Through
from build_hooks.drawing.shapes import Point, Shape

__all__ = ["Chamber", "Gap", "Hole", "Notch", "Pile", "Placed", "Shoulder"]


@dataclass(frozen=True, slots=True)
class Placed:
    """A part where it stands, heights counting upwards from the floor of the drum.

    Attributes:
        part: the part.
        stack: which of the stacks it belongs to, from 0.
        shapes: its outlines.
        anchor: where the line to its number starts.
        low: the height of its underside.
        high: the height of its upper side.
        rebate: how much lower than that its rim is.
        give: how far up or down the anchor may move and still be on the part.
    """

    part: DrawnPart
    stack: int
    shapes: tuple[Shape, ...]
    anchor: Point
    low: float
    high: float
    rebate: float = 0
    give: float = 1.0


@dataclass(frozen=True, slots=True)
class Notch:
    """A ring groove in the wall, or in the boss.

    Attributes:
        name: what the drum calls it, None when it has no name.
        low: its lower flank.
        high: its upper flank.
        in_boss: it is in the boss, not in the wall.
        slope: how much lower its upper flank is at the bottom than at its mouth, for a bevelled ring; less than zero: how much higher
            its lower flank is.
    """

    name: str | None
    low: float
    high: float
    in_boss: bool = False
    slope: float = 0


@dataclass(frozen=True, slots=True)
class Gap:
    """A clearance, from the height of one face to that of the other."""

    label: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Chamber:
    """The room behind a piston that fluid is fed to.

    Attributes:
        push: which way its piston pushes.
        low: its lower end.
        high: its upper end.
        inner: the wall of its own towards the axis, from left to right; None where the boss of the drum is that wall.
    """

    push: Push
    low: float
    high: float
    inner: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole of the drum, heights counting upwards.

    Attributes:
        name: what it is called.
        through: what it leads through.
        ball: a check ball sits in it.
        chamber: where it leads to.
        out: how far the wall stands out there.
    """

    name: str
    through: Through
    ball: bool
    chamber: Chamber
    out: float = 0


@dataclass(frozen=True, slots=True)
class Shoulder:
    """Where the wall steps out, so that a part can rest on it.

    Attributes:
        height: of the face that the part rests on.
        width: how far the wall steps out.
        pocket: left, bottom and right of the pocket for a spring that is sunk into that face; None for none.
    """

    height: float
    width: float
    pocket: tuple[float, float, float] | None = None

    @property
    def foot(self) -> float:
        """The lowest height to which it is cut."""
        return self.height if self.pocket is None else self.pocket[1]


@dataclass(frozen=True, slots=True)
class Pile:
    """All that stands in a drum so far.

    Attributes:
        placed: the parts, in the order they go in.
        notches: the ring grooves that hold something.
        gaps: the clearances.
        rim: how high the parts reach beside the wall.
        plates: how high they reach where the friction plates are.
        inner: how high they reach near the axis.
        shoulder: where the wall steps out, None for a straight wall.
        ledge: how high that what rests on the shoulder reaches; a housing goes on there. None for nothing.
        boss: how high the boss of the drum has to be.
        shafts: how high the shafts of hubs reach.
        supports: floor and top of the boss of what carries a piston higher up, which no list of parts names.
        smooth: pieces of the wall without teeth, from one height to another.
        holders: rings of another pack, which hold the first plate.
        nose: how high the nose of the last piston reaches that pushes up through the ring over its housing.
        chambers: the rooms behind the pistons, each with the stack that its piston is of.
    """

    placed: tuple[Placed, ...] = ()
    notches: tuple[Notch, ...] = ()
    gaps: tuple[Gap, ...] = ()
    rim: float = 0
    plates: float = 0
    inner: float = 0
    shoulder: Shoulder | None = None
    ledge: float | None = None
    boss: float = 0
    shafts: float = 0
    supports: tuple[tuple[float, float], ...] = ()
    smooth: tuple[tuple[float, float], ...] = ()
    holders: tuple[Shape, ...] = ()
    nose: float = 0
    chambers: tuple[tuple[int, Chamber], ...] = ()

    @property
    def top(self) -> float:
        """How high the parts reach anywhere."""
        return max(self.rim, self.plates, self.inner, self.shafts - 16)
