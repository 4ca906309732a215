"""Where things stand across the drawing, and how tall a thickness is drawn.

The half section shows the drum's wall at the left and the axis at the right. Across the drawing nothing is to scale: a
clutch plate is many times wider than it is thick. Upwards, plates and rings are to scale among themselves.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median
from typing import Final

from build_hooks.drawing.parts import DrawnPart, DrawnStack, Kind

__all__ = [
    "AXIS",
    "BOSS_LEFT",
    "BOSS_RIGHT",
    "FRICTION_LEFT",
    "FRICTION_RIGHT",
    "GAP",
    "GROOVE",
    "HUB_RIGHT",
    "INNER_LEFT",
    "INNER_RIGHT",
    "LINING_RIGHT",
    "PLATE_LEFT",
    "RIM_LEFT",
    "RIM_RIGHT",
    "RING_LEFT",
    "RING_RIGHT",
    "ROOT",
    "SCALED",
    "SHOULDER",
    "SLEEVE_RIGHT",
    "SPRING_LEFT",
    "SPRING_RIGHT",
    "STEEL_RIGHT",
    "TOOTH",
    "WALL",
    "WEB_RIGHT",
    "Scale",
    "scale_for",
]  # fmt: skip

# From the wall to the axis.
WALL: Final = 20.0  # outside of the drum
GROOVE: Final = 35.0  # bottom of a ring groove
RING_LEFT: Final = 37.0
ROOT: Final = 50.0  # bottom of the drum's slots, and its bore
PLATE_LEFT: Final = 52.0
TOOTH: Final = 60.0  # inside of the drum's teeth, seen behind
RING_RIGHT: Final = 69.0
FRICTION_LEFT: Final = 76.0
RIM_LEFT: Final = 160.0  # the part of a piston that presses on the pack
RIM_RIGHT: Final = 244.0
LINING_RIGHT: Final = 302.0
STEEL_RIGHT: Final = 308.0
FRICTION_RIGHT: Final = 338.0  # inner teeth
HUB_RIGHT: Final = 356.0
SPRING_LEFT: Final = 316.0
SPRING_RIGHT: Final = 384.0
INNER_LEFT: Final = 366.0  # washers and bearings
WEB_RIGHT: Final = 436.0  # inner edge of a piston
BOSS_LEFT: Final = 440.0
INNER_RIGHT: Final = 432.0
BOSS_RIGHT: Final = 472.0
SLEEVE_RIGHT: Final = 466.0  # the shaft of the lowest hub
AXIS: Final = 506.0

SHOULDER: Final = 30.0  # how far the wall steps out above a shoulder

# Between parts that touch, so that each keeps an outline of its own.
GAP: Final = 2.5

# Kinds whose thickness is drawn to scale.
SCALED: Final[frozenset[Kind]] = frozenset(
    ("friction", "steel", "wave", "backing", "reaction", "pressure", "snap-ring", "thrust-washer", "shim")
)
_PLATES: Final[frozenset[Kind]] = frozenset(("friction", "steel", "wave"))

# A row of the drawing at its usual size; heights that are not to scale are given for it and grow with the numbers.
_USUAL_PITCH: Final = 24.0
_THINNEST: Final = 9.0
_THICKEST: Final = 84.0
_USUAL_MM: Final = 1.8
_UNKNOWN: Final = 20.0
_BEARING: Final = 26.0


@dataclass(frozen=True, slots=True)
class Scale:
    """How tall things are drawn.

    Attributes:
        unit: one for numbers of the usual size, more for larger ones; heights that are not to scale are times this.
        per_mm: height of a millimetre of thickness.
    """

    unit: float
    per_mm: float

    def thickness(self, part: DrawnPart) -> float:
        """How tall the part is drawn: to scale, but never too thin to see nor so thick that it hides the rest."""
        if part.kind == "bearing" and part.thickness_mm is None:
            return _BEARING * self.unit
        if part.thickness_mm is None:
            return _UNKNOWN * self.unit
        return min(max(part.thickness_mm * self.per_mm, _THINNEST * self.unit), _THICKEST * self.unit)

    def length(self, size_mm: float) -> float:
        """How tall so many millimetres of a part are drawn."""
        return size_mm * self.per_mm

    def is_cut_short(self, part: DrawnPart) -> bool:
        """Whether the part is too thick to be drawn whole."""
        return part.thickness_mm is not None and part.thickness_mm * self.per_mm > _THICKEST * self.unit

    def is_true(self, part: DrawnPart) -> bool:
        """Whether the part is drawn to scale."""
        return part.thickness_mm is not None and abs(self.thickness(part) - part.thickness_mm * self.per_mm) < 1e-9  # noqa: PLR2004

    def wave(self, part: DrawnPart) -> float:
        """How much taller than its thickness a free wave plate is drawn."""
        free, flat = part.free_height_mm, part.thickness_mm
        rise = (free - flat) * self.per_mm if free is not None and flat is not None else 0
        return min(max(rise, 7 * self.unit), 30 * self.unit)

    def clearance(self, size_mm: float | None) -> float:
        """How wide a clearance is drawn: to scale where that can be seen."""
        wide = 0 if size_mm is None else size_mm * self.per_mm
        return min(max(wide, 9 * self.unit), 40 * self.unit)

    def is_true_clearance(self, size_mm: float | None) -> bool:
        """Whether a clearance is drawn to scale."""
        return size_mm is not None and abs(self.clearance(size_mm) - size_mm * self.per_mm) < 1e-9  # noqa: PLR2004


def scale_for(stacks: Iterable[DrawnStack], pitch: float) -> Scale:
    """The scale at which a usual plate of these stacks is about as tall as a number.

    Args:
        stacks: what is to be drawn.
        pitch: from one number to the next.

    Returns:
        The scale.
    """
    parts = [part for stack in stacks for part in stack.parts if part.thickness_mm]
    sizes = [part.thickness_mm or 0 for part in parts if part.kind in _PLATES] or [
        part.thickness_mm or 0 for part in parts if part.kind in SCALED
    ]
    usual = median(sizes) if sizes else _USUAL_MM
    return Scale(unit=pitch / _USUAL_PITCH, per_mm=pitch / usual)
