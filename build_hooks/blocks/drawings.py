"""The drawings block: parts as they are found, out of the set that findings are drawn from."""

from __future__ import annotations

from pydantic import Field

from build_hooks.blocks.context import Context
from build_hooks.model import Keys
from build_hooks.model.fields import Flag
from build_hooks.model.standards import DrawingName
from calc_engine import Element, element
from calc_engine.practice import DRAWINGS, finding_drawing

__all__ = ["DrawingsBody", "render_drawings"]


class DrawingsBody(Keys):
    """The body of a drawings block."""

    show: tuple[DrawingName, ...] = Field(
        default=tuple(DRAWINGS), description="Names of drawings of the set; all of them if left out.", examples=["[steel-spots]"]
    )
    names: Flag = Field(
        default=False, description="Whether the name of each is told, for whoever chooses one.", examples=["true"]
    )


def render_drawings(body: DrawingsBody, _context: Context) -> Element:
    """The drawings side by side, below each what it shows."""
    return element(
        "div", {"class": "bench-drawings", "data-bench": "drawings"}, *(_figure(name, body.names) for name in body.show)
    )


def _figure(name: str, named: bool) -> Element:
    told = (element("code", {}, name), " ") if named else ()
    return element("figure", {}, finding_drawing(name), element("figcaption", {}, *told, DRAWINGS[name].shows))
