"""What all pictures of an answer share: their width, and figures and names written where they fit."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from calc_engine.answer_view.markup import Element, element

__all__ = ["MARGIN", "WIDTH", "label"]

# Drawing units, not pixels: a picture scales to its column.
WIDTH: Final = 720
MARGIN: Final = 8
# A letter of the figures' type is six tenths of its size wide. The styles write larger on a phone, where the picture is
# small: 34 units; what fits then fits always.
_LETTER: Final = Fraction(6, 10) * 34


def label(x: int, y: int, text: str, kind: str) -> Element:
    """A text in a picture, centred on a place, or beginning or ending there where it would run out of the picture.

    Args:
        x: the place across.
        y: the line it stands on.
        text: at most 34 letters fit on a phone.
        kind: its class.

    Returns:
        An SVG element.
    """
    width = round(len(text) * _LETTER)
    if x < width // 2:
        anchor, at = "start", max(min(x, WIDTH - width), MARGIN)
    elif x > WIDTH - width // 2:
        anchor, at = "end", min(max(x, width), WIDTH - MARGIN)
    else:
        anchor, at = "middle", x
    return element("text", {"x": str(at), "y": str(y), "text-anchor": anchor, "class": kind}, text)
