"""Lays a drawing out on its sheet: numbers, titles and note beside it, and room for all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from build_hooks.drawing.insets import insets_for
from build_hooks.drawing.labelling import brackets_for, labels_for, views_for
from build_hooks.drawing.layout import SMALL_TYPE, Frame, Layout, Piece, Text, shifted, text_at
from build_hooks.drawing.parts import DrawnStack
from build_hooks.drawing.placed import Placed
from build_hooks.drawing.shapes import Box, Point, Shape, bounds, flipped
from build_hooks.drawing.sizes import AXIS, Scale
from build_hooks.drawing.wording import scale_note

__all__ = ["Sheet", "sheet", "turned"]

_MARGIN: Final = 8.0
_LEADERS_BEND: Final = AXIS + 6


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a drawing shows before numbers are added, heights counting downwards.

    Attributes:
        parts: in the order they go in.
        behind: what is drawn before the parts.
        room: inside which all parts stand.
        over: dimension lines and guides.
        texts: at the left of the drawing.
    """

    parts: tuple[Placed, ...]
    behind: tuple[Shape, ...]
    room: Box
    over: tuple[Shape, ...]
    texts: tuple[Text, ...]


def turned(placed: Placed, top: float) -> Placed:
    """A part whose heights counted upwards, counted downwards from `top`."""
    anchor = Point(placed.anchor.x, top - placed.anchor.y)
    return replace(placed, shapes=flipped(placed.shapes, top), anchor=anchor, low=top - placed.low, high=top - placed.high)


def sheet(stacks: Sequence[DrawnStack], scale: Scale, frame: Frame, drawn: Sheet) -> Layout:
    """The finished drawing.

    Args:
        stacks: what it shows.
        scale: how tall things are.
        frame: how large numbers are, and what is written.
        drawn: the drawing without numbers.

    Returns:
        The drawing with numbers, titles and note, its upper left corner at the origin.
    """
    labels = labels_for(drawn.parts, _LEADERS_BEND, frame)
    pieces = tuple(Piece(one.part, one.stack, one.shapes, label) for one, label in zip(drawn.parts, labels, strict=True))
    right = max((label.box.right for label in labels), default=_LEADERS_BEND)
    brackets = brackets_for(pieces, [stack.title for stack in stacks], right, frame) if frame.words else ()
    boxes = [
        bounds(drawn.behind), bounds(drawn.over) if drawn.over else drawn.room, *(label.box for label in labels), *(text.box for text in drawn.texts),
        *(bracket.title.box for bracket in brackets), *(bounds(one.shapes) for one in drawn.parts),
    ]  # fmt: skip
    notes = _notes(stacks, scale, frame, Point(drawn.room.left, max(box.bottom for box in boxes)))
    boxes += [note.box for note in notes]
    dx, dy = _MARGIN - min(box.left for box in boxes), _MARGIN - min(box.top for box in boxes)
    width, height = max(box.right for box in boxes) + dx + _MARGIN, max(box.bottom for box in boxes) + dy + _MARGIN
    layout = Layout(
        width, height, drawn.behind, drawn.room, pieces, drawn.over, (*drawn.texts, *notes), brackets, (), frame.one_at_a_time
    )
    placed = shifted(layout, dx, dy)
    views, viewed = views_for(placed.pieces, width, height, frame.view_height)
    insets = insets_for(viewed, placed.behind, views, placed.drum, frame.type_size) if frame.one_at_a_time else ()
    return replace(placed, views=views, pieces=viewed, insets=insets)


def _notes(stacks: Sequence[DrawnStack], scale: Scale, frame: Frame, corner: Point) -> tuple[Text, ...]:
    """The note on scale under the drawing."""
    if not frame.words:
        return ()
    size = SMALL_TYPE * frame.type_size
    return (text_at(scale_note(stacks, scale), "note", Point(corner.x, corner.y + 1.4 * size), size),)
