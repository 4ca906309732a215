"""Magnified insets, for parts that are too small to be seen from where the drawing is read."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from build_hooks.drawing.layout import Inset, Piece
from build_hooks.drawing.shapes import Box, Shape, bounds

__all__ = ["insets_for"]

# Against the height of a number: a part with less room than its square, and not longer than this, gets an inset of at most this size.
_LONGEST: Final = 2.0
_LARGEST: Final = 4.5
# Of the drawing's place that an inset may take up; and how much of the drawing it shows, against the part's long and short side.
_SHARE: Final = 0.46
_ROUND_LONG: Final = 1.3
_ROUND_SHORT: Final = 2.0
_MARGIN: Final = 6.0


def insets_for(
    pieces: Sequence[Piece], behind: Sequence[Shape], views: Sequence[Box], room: Box, number: float
) -> tuple[Inset, ...]:
    """An inset for each part that is small beside a number.

    Args:
        pieces: the parts of the drawing, each with the view that shows it.
        behind: what is drawn before the parts.
        views: the views.
        room: in which all parts stand.
        number: how tall a number is.

    Returns:
        The insets, each in that corner of its view and of the room that is furthest from its part.
    """
    return tuple(
        _inset(piece, pieces, behind, _place(views[piece.view], room), number) for piece in pieces if _is_small(piece, number)
    )


def _is_small(piece: Piece, number: float) -> bool:
    wide, tall = _sides(bounds(piece.shapes))
    return wide * tall < number**2 and max(wide, tall) < _LONGEST * number


def _sides(box: Box) -> tuple[float, float]:
    return box.right - box.left, box.bottom - box.top


def _place(view: Box, room: Box) -> Box:
    """Where in a view an inset may be."""
    left, top = max(view.left, room.left) + _MARGIN, max(view.top, room.top) + _MARGIN
    return Box(left, top, min(view.right, room.right) - _MARGIN, min(view.bottom, room.bottom) - _MARGIN)


def _inset(piece: Piece, pieces: Sequence[Piece], behind: Sequence[Shape], place: Box, number: float) -> Inset:
    part = bounds(piece.shapes)
    wide, tall = _sides(place)
    side = max(min(_SHARE * wide, _SHARE * tall, _LARGEST * number), number)
    middle = ((part.left + part.right) / 2, (part.top + part.bottom) / 2)
    frame = _furthest(middle, side, place)
    short, long = sorted(_sides(part))
    half = max(_ROUND_LONG * long, _ROUND_SHORT * short) / 2
    seen = Box(middle[0] - half, middle[1] - half, middle[0] + half, middle[1] + half)
    others = (shape for other in pieces if other is not piece for shape in other.shapes)
    beside = tuple(shape for shape in (*behind, *others) if _meets(bounds([shape]), seen))
    return Inset(piece.part, piece.stack, frame, seen, beside, piece.shapes)


def _furthest(middle: tuple[float, float], side: float, place: Box) -> Box:
    """The square in a corner of the place that is furthest from a point."""
    x = place.left if middle[0] > (place.left + place.right) / 2 else place.right - side
    y = place.top if middle[1] > (place.top + place.bottom) / 2 else place.bottom - side
    return Box(x, y, x + side, y + side)


def _meets(one: Box, other: Box) -> bool:
    return one.left < other.right and other.left < one.right and one.top < other.bottom and other.top < one.bottom
