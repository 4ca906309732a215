"""Who is joined to whom: a line for each piece that turns as one, the sets and elements as columns across them. Without ink."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from build_hooks.drawing.gear_parts import DrawnElement, DrawnGear, DrawnSet, GearPicture
from build_hooks.drawing.labels import fitted, text_width
from build_hooks.drawing.layout import Text, text_at
from build_hooks.drawing.shapes import Area, Box, Dot, Line, Point, Shape, box

__all__ = ["line_picture"]

_TYPE: Final = 16.0
_NAMES: Final = 232
_SET: Final = 84
_ELEMENT: Final = 40
_ROW: Final = 38
_TOP: Final = 58
_SPEED: Final = 74
_PLATES: Final = 8  # half of the height of the sign of a clutch
_WIDE: Final = 11  # half of its width
_STILL: Final = 1e-9


def line_picture(gear: DrawnGear) -> GearPicture:
    """The gear set in one gear, as lines.

    Args:
        gear: the gear set; the case is the last of its pieces.

    Returns:
        The drawing as plain data.
    """
    elements_from = _NAMES + _SET * len(gear.sets) + 20
    right = elements_from + _ELEMENT * len(gear.elements) + 6
    shapes = [*_tracks(gear, right)]
    words = [*_names(gear, right)]
    for at, each in enumerate(gear.sets):
        middle = _NAMES + _SET * at + _SET / 2
        shapes += _set(each, middle)
        words += _set_words(each, middle)
    for at, element in enumerate(gear.elements):
        middle = elements_from + _ELEMENT * at + _ELEMENT / 2
        shapes += _element(element, middle, len(gear.pieces) - 1)
        words.append(_element_name(gear, element, middle))
    longest = max((text_width(element.name, _TYPE) for element in gear.elements), default=0.0)
    return GearPicture(tuple(shapes), tuple(words), Box(0, 0, right + _SPEED, _height(len(gear.pieces) - 1) + longest + 36))


def _height(piece: int) -> float:
    return _TOP + _ROW * piece


def _tracks(gear: DrawnGear, right: float) -> Iterator[Shape]:
    for at, piece in enumerate(gear.pieces):
        height = _height(at)
        ends = (Point(_NAMES, height), Point(right, height))
        if piece.is_case:
            yield Line(ends, "mark")
            for step in range(int(_NAMES), int(right), 12):
                yield Line((Point(step, height + 9), Point(step + 8, height + 1)), "edge")
        elif piece.speed is None:
            yield Line(ends, "hidden")
        else:
            yield Line(ends, "guide" if abs(piece.speed) < _STILL else "speed")


def _names(gear: DrawnGear, right: float) -> Iterator[Text]:
    yield text_at("speed", "note", Point(right + 8, _TOP - 30), 0.85 * _TYPE)
    for at, piece in enumerate(gear.pieces):
        height = _height(at)
        yield text_at(piece.letter, "name", Point(0, height), _TYPE)
        yield text_at(fitted(piece.name, 0.9 * _TYPE, _NAMES - 32), "note", Point(22, height), 0.9 * _TYPE)
        yield text_at(_speed(piece.speed), "measure", Point(right + 8, height), _TYPE)


def _speed(speed: float | None) -> str:
    if speed is None:
        return "?"
    return "0" if abs(speed) < _STILL else f"{speed:.2f}".replace("-", "−")


def _set(drawn: DrawnSet, middle: float) -> Iterator[Shape]:
    heights = [_height(member.piece) for member in drawn.members]
    yield Line((Point(middle, min(heights)), Point(middle, max(heights))), "lever")
    yield from (Dot(middle, height, 5, "solid") for height in heights)


def _set_words(drawn: DrawnSet, middle: float) -> Iterator[Text]:
    yield text_at(drawn.name, "name", Point(middle, _TOP - 30), _TYPE, "middle")
    for member in drawn.members:
        yield text_at(member.kind, "note", Point(middle + 8, _height(member.piece) - 0.6 * _TYPE), 0.8 * _TYPE)


def _element(element: DrawnElement, middle: float, case: int) -> Iterator[Shape]:
    """Two plates: together when it is on, apart when it is off; a one-way clutch has a wedge between them."""
    first, second = sorted(_height(piece) for piece in (*element.pieces, case)[:2])
    at = (first + second) / 2 if second - first <= _ROW else second - _ROW / 2
    apart = 0 if element.is_on else _PLATES
    yield Line((Point(middle, first), Point(middle, at - apart)), "lever" if element.is_on else "edge")
    yield Line((Point(middle, at + apart), Point(middle, second)), "lever" if element.is_on else "edge")
    yield from (Dot(middle, height, 4, "solid") for height in (first, second))
    if element.is_on:
        yield Area(box(middle - _WIDE, at - _PLATES + 1, middle + _WIDE, at + _PLATES - 1), "solid")
    else:
        for side in (-1, 1):
            yield Line((Point(middle - _WIDE, at + side * _PLATES), Point(middle + _WIDE, at + side * _PLATES)), "lever")
    if element.is_one_way and not element.is_on:
        yield Area((Point(middle - 5, at - 4), Point(middle + 5, at - 4), Point(middle, at + 4)), "solid")


def _element_name(gear: DrawnGear, element: DrawnElement, middle: float) -> Text:
    end = _height(len(gear.pieces) - 1) + 22
    width = text_width(element.name, _TYPE)
    at = Point(middle, end + width / 2)
    text = text_at(element.name, "name" if element.is_on else "note", at, _TYPE, "middle")
    return Text(
        text.text, text.role, at, text.size, "middle", Box(middle - _TYPE / 2, end, middle + _TYPE / 2, end + width), upright=True
    )
