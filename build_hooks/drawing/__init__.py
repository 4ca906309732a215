"""Draws clutch packs: plain data in, an SVG element out.

`parts` says what a drawing is made from, `stacking` puts the parts on each other, `geometry` and `exploded` lay the sheet
out, `ink` makes the element. Nothing but `adapter` knows of unit data.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from build_hooks.drawing.exploded import exploded_layout
from build_hooks.drawing.geometry import frame_filling, section_layout
from build_hooks.drawing.ink import svg
from build_hooks.drawing.layout import SMALL_TYPE, Frame
from build_hooks.drawing.parts import DrawnClearance, DrawnPart, DrawnStack
from build_hooks.drawing.sizes import scale_for
from build_hooks.drawing.wording import description, title
from calc_engine import Element

__all__ = ["SMALL_TYPE", "DrawnClearance", "DrawnPart", "DrawnStack", "Frame", "draw_exploded", "draw_section", "frame_filling"]


def draw_section(stacks: Sequence[DrawnStack], frame: Frame | None = None, *, key: str = "") -> Element:
    """The half section of a drum with its stacks in it, every part in its place.

    Args:
        stacks: the packs of one drum, from the bottom up; a part that two of them share is drawn once between them.
        frame: how large the numbers are, and whether the drawing is cut into views.
        key: an id for this drawing on its page, needed only when the same drawing stands there twice.

    Returns:
        An `svg` element. Every part is `<g data-part data-step data-stack data-view>`, its number a `<g class="drawing-label">`
        with the same `data-step`, `data-stack` and `data-view`. `data-views` lists the viewBox of each view.
    """
    return _section(tuple(stacks), frame or Frame(), key)


# Pages, wall and forms show the same drum again and again, and a manual that is watched shows it after each edit.
@lru_cache(maxsize=512)
def _section(stacks: tuple[DrawnStack, ...], frame: Frame, key: str) -> Element:
    words = description(stacks, scale_for(stacks, frame.plate), exploded=False)
    return svg(section_layout(stacks, frame), title(stacks, "half section"), words, key=key)


def draw_exploded(stacks: Sequence[DrawnStack], frame: Frame | None = None, *, key: str = "") -> Element:
    """The same parts apart from each other in the order they go in, with their names.

    Args:
        stacks: as for `draw_section`.
        frame: as for `draw_section`; names are shown unless it says otherwise.
        key: as for `draw_section`.

    Returns:
        An `svg` element, with the same attributes as a half section.
    """
    return _exploded(tuple(stacks), frame or Frame(names=True), key)


@lru_cache(maxsize=512)
def _exploded(stacks: tuple[DrawnStack, ...], frame: Frame, key: str) -> Element:
    words = description(stacks, scale_for(stacks, frame.plate), exploded=True)
    return svg(exploded_layout(stacks, frame), title(stacks, "exploded"), words, key=key)
