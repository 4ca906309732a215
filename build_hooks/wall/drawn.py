"""The drawing of a pack as the wall shows it: large, one number at a time, in views where it is tall."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from build_hooks.drawing import Frame, draw_section, frame_filling
from build_hooks.drawing.adapter import drum_stacks, pack_stack
from build_hooks.model import Drum, Pack, Screen, Unit
from build_hooks.wall.sizes import SIZE_WITHOUT_SCREEN, letter_size
from calc_engine import Element

__all__ = ["drawer", "frame_for"]

# What the drawing has of the picture, in hundredths of its height (browser/wall/wall.css): 40 % of the width between the
# margins; the height without margins and without the foot, which grows with the letters.
_WIDTH_SHARE: Final = 37.6
_HEIGHT: Final = 94.5
_FOOT_LETTERS: Final = 1.3
_LEAST_FOOT: Final = 6.7
# How wide a half section is with a number of three digits, in drawing units: this, and so many letters.
_SECTION_WIDTH: Final = 560
_NUMBER_LETTERS: Final = 2
_WIDE: Final = 16 / 9
# How tall a usual plate is drawn at least, and at most where the stack is short and its place is high.
_ROW: Final = 22
_TALLEST_ROW: Final = 64


def frame_for(screens: Iterable[Screen]) -> Frame:
    """A frame whose number can be read on each of these screens, as all other letters can.

    Args:
        screens: the screens of the shop; with none, a usual one is taken.

    Returns:
        The frame: the wider the letters, the fewer parts stand in one view.
    """
    sizes = [(float(letter_size(screen).size_vh), screen.pixels.width / screen.pixels.height) for screen in screens]
    sizes = sizes or [(float(SIZE_WITHOUT_SCREEN), _WIDE)]
    # The drawing fills its place in width or in height; the number must be large enough in either case.
    type_size = max(_type_size(letter, _WIDTH_SHARE * shape) for letter, shape in sizes)
    height = min(type_size * (_HEIGHT - max(_FOOT_LETTERS * letter, _LEAST_FOOT)) / letter for letter, _ in sizes)
    return Frame(type_size=type_size, row=_ROW, words=False, measures=False, one_at_a_time=True, view_height=height)


def _type_size(letter: float, width: float) -> float:
    room = max(width - _NUMBER_LETTERS * letter, letter)
    return round(_SECTION_WIDTH * letter / room + 0.5)


def drawer(screens: Iterable[Screen]) -> Callable[[Unit, Pack | Drum], Element]:
    """What draws packs and whole drums for these screens.

    Args:
        screens: the screens of the shop.

    Returns:
        A function of a unit and one of its packs or drums: the half section as an element, whose parts carry their step.
    """
    frame = frame_for(screens)

    def draw(unit: Unit, thing: Pack | Drum) -> Element:
        stacks = [pack_stack(unit, thing.id)] if isinstance(thing, Pack) else drum_stacks(unit, thing)
        return draw_section(stacks, frame_filling(stacks, frame, _TALLEST_ROW))

    return draw
