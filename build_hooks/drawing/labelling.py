"""The column of numbers at the right, and the column of groove names and dimensions at the left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from build_hooks.drawing.labels import fitted, spread, text_width, wrapped
from build_hooks.drawing.layout import SMALL_TYPE, Bracket, Frame, Label, Piece, Role, Text, text_at
from build_hooks.drawing.parts import DrawnPart
from build_hooks.drawing.placed import Gap, Notch, Placed
from build_hooks.drawing.shapes import Area, Box, Line, Point, Shape, bounds
from build_hooks.drawing.sizes import RING_LEFT

__all__ = ["brackets_for", "labels_for", "left_column", "views_for"]

_RUN: Final = 36.0  # over which a leader slants
_NAME_ROOM: Final = 14.0  # in type sizes
_LEADERS_APART: Final = 5.0
# Keep a name that runs from right to left from turning what stands beside it.
_FIRST_STRONG_ISOLATE: Final = "\u2068"
_END_ISOLATE: Final = "\u2069"
_LEFT_ROOM: Final = 7.0
_INSIDE_ARROWS: Final = 34.0
_MARGIN: Final = 10.0


def labels_for(placed: Sequence[Placed], start: float, frame: Frame) -> tuple[Label, ...]:
    """A number for every part, in a column, none covering another; no two leaders cross.

    Args:
        placed: the parts, the heights of their anchors counting downwards.
        start: where the leaders leave their own height; the column stands behind it.
        frame: how large numbers are.

    Returns:
        The labels, in the order of the parts.
    """
    anchors = _apart(placed)
    order = sorted(range(len(placed)), key=lambda at: (anchors[at].y, -at))
    wanted = [anchors[at].y for at in order]
    names = [_name(one.part, frame) if frame.names else () for one in placed]
    heights = wanted if frame.one_at_a_time else spread(wanted, [frame.pitch * max(len(names[at]), 1) for at in order])
    digits = max((len(str(one.part.number)) for one in placed), default=1)
    column = start + _RUN + 5 + text_width("0" * digits, frame.type_size, even=True)
    tags_at = column + 0.45 * frame.type_size
    if frame.names:
        longest = max((text_width(line, frame.type_size) for lines in names for line in lines), default=0)
        tags_at += longest + 0.6 * frame.type_size
    made = {
        at: _label(placed[at].part, names[at], anchors[at], height, (start, column, tags_at), frame)
        for at, height in zip(order, heights, strict=True)
    }
    return tuple(made[at] for at in range(len(placed)))


def _apart(placed: Sequence[Placed]) -> list[Point]:
    """The anchors, moved within their parts so that no leader runs into another; of two at one height the later goes above."""
    order = sorted(range(len(placed)), key=lambda at: (placed[at].anchor.y, -at))
    for at in range(len(order) - 1):
        first, second = placed[order[at]], placed[order[at + 1]]
        if order[at] < order[at + 1] and second.anchor.y - first.anchor.y < min(_LEADERS_APART, first.give + second.give):
            order[at], order[at + 1] = order[at + 1], order[at]
    heights = spread([placed[at].anchor.y for at in order], [_LEADERS_APART] * len(order))
    made = {
        at: Point(
            placed[at].anchor.x, min(max(height, placed[at].anchor.y - placed[at].give), placed[at].anchor.y + placed[at].give)
        )
        for at, height in zip(order, heights, strict=True)
    }
    return [made[at] for at in range(len(placed))]


def _name(part: DrawnPart, frame: Frame) -> tuple[str, ...]:
    """A name as it stands beside its number, with side and groove, in as many lines as it needs."""
    said = [f"{part.side_mark} {part.side_direction}"] if part.side_mark and part.side_direction else []
    said += [f"{part.groove} groove"] if part.groove else []
    size, room = frame.type_size, _NAME_ROOM * frame.type_size
    *lines, last = (f"{_FIRST_STRONG_ISOLATE}{line}{_END_ISOLATE}" for line in wrapped(part.name, size, room))
    if not said:
        return (*lines, last)
    facts = ", ".join(said)
    joined = f"{last}, {facts}"
    if text_width(joined, size) <= room:
        return (*lines, joined)
    return (*lines, f"{last},", *wrapped(facts, size, room))


def _label(
    part: DrawnPart, name: Sequence[str], anchor: Point, height: float, columns: tuple[float, float, float], frame: Frame
) -> Label:
    start, column, tags_at = columns
    size = frame.type_size
    number = text_at(str(part.number), "number", Point(column, height), size, "end")
    words: list[Text] = []
    first = height - 0.5 * frame.pitch * (len(name) - 1)
    words += [text_at(line, "name", Point(column + 0.5 * size, first + nth * frame.pitch), size) for nth, line in enumerate(name)]
    at = tags_at
    if part.once_only and frame.words:
        words.append(text_at("ALWAYS NEW", "tag-once", Point(at + 0.3 * size, height), SMALL_TYPE * size))
        at = words[-1].box.right + 0.75 * size
    if part.look_alike and frame.words:
        words.append(text_at("LOOK-ALIKE", "tag-alike", Point(at + 0.3 * size, height), SMALL_TYPE * size))
        at = words[-1].box.right + 0.75 * size
    if part.measured_next and frame.words:
        words.append(text_at("▼ THEN MEASURE", "tag-measure", Point(at + 0.3 * size, height), SMALL_TYPE * size))
    boxes = [number.box, *(word.box for word in words)]
    tagged = any(word.role.startswith("tag") for word in words)
    room = Box(
        number.box.left,
        height - 0.5 * frame.pitch * max(len(name), 1),
        max(box.right for box in boxes) + (0.3 * size if tagged else 0),
        height + 0.5 * frame.pitch * max(len(name), 1),
    )
    bend = Point(start + _RUN, height)
    return Label(number, tuple(words), Line((anchor, Point(start, anchor.y), bend), "leader"), room)


def left_column(
    notches: Sequence[Notch], gaps: Sequence[Gap], wall: float, frame: Frame, holes: Sequence[Notch] = ()
) -> tuple[tuple[Shape, ...], tuple[Text, ...]]:
    """The names of the grooves and the dimensions, left of the wall.

    Args:
        notches: the grooves, heights counting downwards (so that `low` is the larger).
        gaps: the clearances, likewise.
        wall: the outside of the wall.
        frame: how large numbers are.
        holes: the holes in the wall, likewise.

    Returns:
        Guides, dimension lines and arrows; and the texts.
    """
    small = SMALL_TYPE * frame.type_size
    large = 0.86 * frame.type_size if frame.words else frame.type_size
    room = _LEFT_ROOM * frame.type_size
    entries: list[tuple[float, tuple[str, ...], float, Notch | Gap]] = [
        (notch.high + 4, _groove(notch.name, small, room), small, notch) for notch in notches if notch.name and frame.words
    ]
    entries += [
        ((hole.low + hole.high) / 2, wrapped(_isolated(hole.name or ""), small, room), small, hole)
        for hole in holes
        if frame.words
    ]
    entries += [
        (gap.low + 0.6 * large, tuple(fitted(line, large, room) for line in _lines(gap.label)), large, gap)
        for gap in gaps
        if frame.measures
    ]
    entries.sort(key=lambda entry: entry[0])
    heights = spread([entry[0] for entry in entries], [1.25 * entry[2] * len(entry[1]) for entry in entries])
    shapes: list[Shape] = []
    texts: list[Text] = []
    edge = wall - 14
    for (wanted, lines, size, what), height in zip(entries, heights, strict=True):
        if isinstance(what, Gap):
            shapes += _dimension(what, edge)
        else:
            shapes.append(Line((Point(edge - 6, height), Point(wall - 3, wanted)), "guide"))
        first = height - 0.6 * size * (len(lines) - 1)
        role: Role = "measure" if isinstance(what, Gap) else "feed" if what in holes else "groove"
        texts += [text_at(line, role, Point(edge - 9, first + 1.2 * size * at), size, "end") for at, line in enumerate(lines)]
    return tuple(shapes), tuple(texts)


def _groove(name: str, size: float, room: float) -> tuple[str, ...]:
    return wrapped(f"{_isolated(name)} groove", size, room)


def _isolated(name: str) -> str:
    return f"{_FIRST_STRONG_ISOLATE}{name}{_END_ISOLATE}"


def _lines(label: str) -> tuple[str, ...]:
    """A dimension on two short lines, broken at the word between its limits."""
    first, to, second = label.partition(" to ")
    return (f"{first} to", second) if to else (label,)


def _dimension(gap: Gap, x: float) -> tuple[Shape, ...]:
    """Extension lines from both faces across the wall, and a dimension line; its arrows stand outside when the gap is small."""
    extensions = [Line((Point(x - 5, height), Point(RING_LEFT + 34, height)), "measure") for height in (gap.low, gap.high)]
    inside = gap.low - gap.high >= _INSIDE_ARROWS
    reach = 0 if inside else 14
    line = Line((Point(x, gap.high - reach), Point(x, gap.low + reach)), "measure")
    return (*extensions, line, _arrow(x, gap.high, up=inside), _arrow(x, gap.low, up=not inside))


def _arrow(x: float, tip: float, *, up: bool) -> Area:
    back = tip + (10 if up else -10)
    return Area((Point(x, tip), Point(x - 3.2, back), Point(x + 3.2, back)), "arrow")


def brackets_for(pieces: Sequence[Piece], titles: Sequence[str], right: float, frame: Frame) -> tuple[Bracket, ...]:
    """A bracket beside the numbers of each stack, with its title along it; none for a single stack."""
    if len(titles) < 2:  # noqa: PLR2004
        return ()
    size = SMALL_TYPE * frame.type_size
    made: list[Bracket] = []
    for at, title in enumerate(titles):
        boxes = [piece.label.box for piece in pieces if piece.stack == at or (piece.stack == at - 1 and piece.part.shared)]
        if not boxes:
            continue
        top, bottom = min(box.top for box in boxes) + 3, max(box.bottom for box in boxes) - 3
        x = right + 8 + at % 2 * 2.2 * size
        line = Line((Point(x - 5, top), Point(x, top), Point(x, bottom), Point(x - 5, bottom)), "bracket")
        shown = f"{_FIRST_STRONG_ISOLATE}{fitted(title, size, bottom - top)}{_END_ISOLATE}"
        middle = Point(x + 0.8 * size, (top + bottom) / 2)
        half = text_width(shown, size) / 2
        box = Box(middle.x - 0.55 * size, middle.y - half, middle.x + 0.55 * size, middle.y + half)
        made.append(Bracket(line, Text(shown, "title", middle, size, "middle", box, upright=True)))
    return tuple(made)


def views_for(
    pieces: Sequence[Piece], width: float, height: float, wanted: float | None
) -> tuple[tuple[Box, ...], tuple[Piece, ...]]:
    """Cuts a drawing into views from the bottom up, each of them showing some parts whole, with their numbers.

    Args:
        pieces: the parts.
        width: of the drawing.
        height: of the drawing.
        wanted: the height of a view; None for one view.

    Returns:
        The views, all of the same size, and the pieces with the view that shows each.
    """
    if wanted is None or wanted >= height or not pieces:
        return (Box(0, 0, width, height),), tuple(pieces)
    spans = [_span(piece) for piece in pieces]
    tall = max(wanted, *(bottom - top + 2 * _MARGIN for top, bottom in spans))
    tall = min(tall, height)
    left = sorted(range(len(pieces)), key=lambda at: -spans[at][1])
    views: list[Box] = []
    shown: dict[int, int] = {}
    while left:
        bottom = min(max(spans[left[0]][1] + _MARGIN, tall), height)
        bottom = height if not views else bottom
        whole = [at for at in left if spans[at][0] >= bottom - tall - 1e-9 and spans[at][1] <= bottom + 1e-9]
        for at in whole:
            shown[at] = len(views)
        left = [at for at in left if at not in shown]
        views.append(Box(0, bottom - tall, width, bottom))
    return tuple(views), tuple(replace(piece, view=shown[at]) for at, piece in enumerate(pieces))


def _span(piece: Piece) -> tuple[float, float]:
    shown = bounds(piece.shapes)
    return min(shown.top, piece.label.box.top), max(shown.bottom, piece.label.box.bottom)
