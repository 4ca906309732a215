"""A finished drawing as plain data: where every outline, number and word stands, heights counting downwards."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from build_hooks.drawing.labels import text_width
from build_hooks.drawing.parts import DrawnPart
from build_hooks.drawing.shapes import Box, Line, Point, Shape, moved

__all__ = [
    "SMALL_TYPE",
    "Bracket",
    "Frame",
    "Inset",
    "Label",
    "Layout",
    "Piece",
    "Role",
    "Text",
    "shifted",
    "text_at",
    "text_box",
]

type Anchor = Literal["start", "middle", "end"]
type Role = Literal["number", "name", "tag-once", "tag-alike", "tag-measure", "groove", "feed", "measure", "note", "title"]

# The smallest type of a drawing, against that of its numbers: all of it must be legible on a phone and on paper.
SMALL_TYPE: Final = 0.8
_USUAL_TYPE: Final = 20.0


@dataclass(frozen=True, slots=True)
class Frame:
    """How large numbers are, and how a drawing is cut into views.

    Attributes:
        type_size: size of the numbers in drawing units; the half section itself is about 510 of these wide.
        names: the names of the parts stand beside their numbers.
        view_height: a drawing taller than this is looked at in several views, None for one view of everything.
        row: how tall a usual plate is drawn, None for as tall as a number.
        words: names of grooves, framed words for what needs care, titles of stacks and the note on scale are written.
        measures: clearances are dimensioned.
        one_at_a_time: only the number of the current part is shown; each stands at the height of its part.
    """

    type_size: float = _USUAL_TYPE
    names: bool = False
    view_height: float | None = None
    row: float | None = None
    words: bool = True
    measures: bool = True
    one_at_a_time: bool = False

    @property
    def pitch(self) -> float:
        """The least distance from one number to the next."""
        return 1.2 * self.type_size

    @property
    def plate(self) -> float:
        """How tall a usual plate is drawn."""
        return self.pitch if self.row is None else self.row


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text.

    Attributes:
        text: what it says.
        role: what it is for.
        at: its reference point, on the middle of the line.
        size: its type size.
        anchor: which end of it stands on the reference point.
        box: the room it takes.
        upright: it reads from below upwards, along a bracket.
    """

    text: str
    role: Role
    at: Point
    size: float
    anchor: Anchor
    box: Box
    upright: bool = False


@dataclass(frozen=True, slots=True)
class Label:
    """The number of a part.

    Attributes:
        number: the number.
        words: the name beside it, and framed words for what needs care.
        leader: the line from the part to the number.
        box: the room of number and words together.
    """

    number: Text
    words: tuple[Text, ...]
    leader: Line
    box: Box


@dataclass(frozen=True, slots=True)
class Piece:
    """One physical part of the drawing.

    Attributes:
        part: the part.
        stack: which stack it belongs to, from 0.
        shapes: its outlines.
        label: its number.
        view: the view that shows it whole, from 0.
    """

    part: DrawnPart
    stack: int
    shapes: tuple[Shape, ...]
    label: Label
    view: int = 0


@dataclass(frozen=True, slots=True)
class Inset:
    """A piece of the drawing once more, larger: shown while its part is the current one.

    Attributes:
        part: the part.
        stack: which stack it belongs to, from 0.
        frame: where the inset is.
        seen: the piece of the drawing that it shows; a square as the frame is.
        beside: what is seen of all else, not cut off at the edge.
        shapes: the part's outlines.
    """

    part: DrawnPart
    stack: int
    frame: Box
    seen: Box
    beside: tuple[Shape, ...]
    shapes: tuple[Shape, ...]


@dataclass(frozen=True, slots=True)
class Bracket:
    """Says which numbers are of which stack."""

    line: Line
    title: Text


@dataclass(frozen=True, slots=True)
class Layout:
    """A finished drawing.

    Attributes:
        width: of the whole drawing.
        height: of the whole drawing.
        behind: the drum and the lines behind the parts.
        drum: the room in which all parts stand.
        pieces: the parts, in the order they go in.
        over: dimension lines and guides.
        words: names of grooves, dimensions, notes.
        brackets: the titles of the stacks, when there are several.
        views: what is looked at as one picture, from the bottom up.
        one_at_a_time: only the number of the current part is shown.
        insets: small parts drawn larger, for when they are the current part.
    """

    width: float
    height: float
    behind: tuple[Shape, ...]
    drum: Box
    pieces: tuple[Piece, ...]
    over: tuple[Shape, ...]
    words: tuple[Text, ...]
    brackets: tuple[Bracket, ...]
    views: tuple[Box, ...]
    one_at_a_time: bool = False
    insets: tuple[Inset, ...] = ()


def text_box(text: str, at: Point, size: float, anchor: Anchor, *, even: bool = False) -> Box:
    """The room that a line of text takes, its middle being at `at`."""
    wide = text_width(text, size, even=even)
    left = at.x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    return Box(left, at.y - 0.55 * size, left + wide, at.y + 0.55 * size)


def text_at(text: str, role: Role, at: Point, size: float, anchor: Anchor = "start") -> Text:
    """A line of text with the room it takes."""
    even = role in {"number", "measure"}
    return Text(text, role, at, size, anchor, text_box(text, at, size, anchor, even=even))


def shifted(layout: Layout, dx: float, dy: float) -> Layout:
    """The same drawing somewhere else on its sheet."""
    return replace(
        layout,
        behind=moved(layout.behind, dx, dy),
        drum=_box(layout.drum, dx, dy),
        pieces=tuple(
            replace(piece, shapes=moved(piece.shapes, dx, dy), label=_label(piece.label, dx, dy)) for piece in layout.pieces
        ),
        over=moved(layout.over, dx, dy),
        words=tuple(_text(text, dx, dy) for text in layout.words),
        brackets=tuple(Bracket(_line(bracket.line, dx, dy), _text(bracket.title, dx, dy)) for bracket in layout.brackets),
    )


def _box(box: Box, dx: float, dy: float) -> Box:
    return Box(box.left + dx, box.top + dy, box.right + dx, box.bottom + dy)


def _line(line: Line, dx: float, dy: float) -> Line:
    return Line(tuple(Point(x + dx, y + dy) for x, y in line.points), line.of)


def _text(text: Text, dx: float, dy: float) -> Text:
    return replace(text, at=Point(text.at.x + dx, text.at.y + dy), box=_box(text.box, dx, dy))


def _label(label: Label, dx: float, dy: float) -> Label:
    words = tuple(_text(word, dx, dy) for word in label.words)
    return Label(_text(label.number, dx, dy), words, _line(label.leader, dx, dy), _box(label.box, dx, dy))
