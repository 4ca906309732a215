"""Draws the pictures of the demo's photo blocks: invented things, plainly drawn. Run it as ``python tools/draw_pictures.py``."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Final

from PIL import Image, ImageDraw

_PHOTOS: Final = Path(__file__).parents[1] / "docs" / "units" / "alder-4" / "photos"
_PAPER, _STEEL, _DARK, _SHADE, _BLUE = "#f4f1ea", "#c9ccd0", "#2b2e31", "#9aa0a6", "#4d6f9e"
_LARGE: Final = 3  # Drawn so many times as large, then made smaller: edges come out smooth.


def _canvas(width: int, height: int) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", (width * _LARGE, height * _LARGE), _PAPER)
    return image, ImageDraw.Draw(image)


def _scaled(*values: float) -> list[float]:
    return [value * _LARGE for value in values]


def _saved(image: Image.Image, name: str) -> None:
    small = image.resize((image.width // _LARGE, image.height // _LARGE), Image.Resampling.LANCZOS)
    _PHOTOS.mkdir(parents=True, exist_ok=True)
    small.save(_PHOTOS / name, quality=85, optimize=True)


def _disc(draw: ImageDraw.ImageDraw, radius: float, fill: str, x: float = 480, y: float = 360) -> None:
    draw.ellipse(_scaled(x - radius, y - radius, x + radius, y + radius), fill=fill, outline=_DARK, width=3 * _LARGE)


def draw_support_ring() -> None:
    """The drum from its open end: twelve windows with lands between, the blue ring in its groove, its gap on a land."""
    image, draw = _canvas(960, 720)
    _disc(draw, 340, _STEEL)
    _disc(draw, 292, _SHADE)
    for window in range(12):
        angle = math.radians(30 * window + 15)
        inner, outer, half = 294, 338, math.radians(8)
        corners = [
            (480 + radius * math.cos(angle + turn), 360 + radius * math.sin(angle + turn))
            for radius, turn in ((inner, -half), (outer, -half), (outer, half), (inner, half))
        ]
        draw.polygon([tuple(_scaled(*corner)) for corner in corners], fill=_DARK)
    box = _scaled(480 - 290, 360 - 290, 480 + 290, 360 + 290)
    draw.arc(box, start=6, end=354, fill=_DARK, width=30 * _LARGE)
    inside = _scaled(480 - 287, 360 - 287, 480 + 287, 360 + 287)
    draw.arc(inside, start=6.6, end=353.4, fill=_BLUE, width=24 * _LARGE)
    _disc(draw, 236, "#b98f5a")
    _disc(draw, 160, _STEEL)
    _disc(draw, 70, _PAPER)
    _saved(image, "support-ring.jpg")


def draw_ring_faces() -> None:
    """Three rings cut through, side by side: the cover ring alone has a bevel."""
    image, draw = _canvas(960, 420)
    for place, (thick, bevel) in enumerate(((96, 0), (158, 0), (160, 52))):
        left, bottom, wide = 70 + 300 * place, 340, 220
        top = bottom - thick
        shape = [(left, top), (left + wide - bevel, top), (left + wide, top + bevel), (left + wide, bottom), (left, bottom)]
        fill = _BLUE if place == 0 else _STEEL
        draw.polygon([tuple(_scaled(*corner)) for corner in shape], fill=fill)
        draw.line([tuple(_scaled(*corner)) for corner in (*shape, shape[0])], fill=_DARK, width=4 * _LARGE, joint="curve")
    draw.line(_scaled(40, 340, 920, 340), fill=_DARK, width=3 * _LARGE)
    _saved(image, "ring-faces.png")


if __name__ == "__main__":
    draw_support_ring()
    draw_ring_faces()
