"""Writes a finished drawing as SVG: classes and a few plain attributes, no colour of its own.

The style sheet gives the colours. Without it the drawing is still black lines on whatever lies behind.
"""

from __future__ import annotations

import hashlib
import html
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from build_hooks.drawing.hatching import strokes
from build_hooks.drawing.layout import Bracket, Layout, Piece, Text
from build_hooks.drawing.shapes import Area, Box, Dot, Point, Shape
from build_hooks.drawing.wording import part_title

__all__ = ["svg"]

# XML knows no other control signs, and no halves of surrogate pairs.
_UNPRINTABLE: Final = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_FILLED: Final = frozenset(("solid", "arrow"))


def svg(layout: Layout, title: str, description: str, *, key: str, current: int | None) -> str:
    """The drawing as SVG text.

    Args:
        layout: where everything stands.
        title: the drawing's title.
        description: the drawing in words.
        key: makes the ids of this drawing its own on the page; empty for one made from its content.
        current: number of the part that is going in now; those before it are in, those after it are not yet. None for no step.

    Returns:
        An `svg` element, the same for the same data.
    """
    body = "".join(_body(layout, current))
    name = _name(key, title, description, body)
    shown = next((piece.view for piece in layout.pieces if piece.part.number == current), 0)
    kinds = {"bench-drawing-one": layout.one_at_a_time, "bench-drawing-stepped": current is not None}
    attributes = {
        "class": " ".join(("bench-drawing", *(kind for kind, given in kinds.items() if given))),
        "xmlns": "http://www.w3.org/2000/svg",
        "viewBox": _view(layout.views[shown]),
        "role": "img",
        "aria-labelledby": f"{name}-title {name}-description",
        "fill": "none",
        "stroke": "currentColor",
        "data-views": ";".join(_view(view) for view in layout.views),
    }
    heads = f'<title id="{name}-title">{escaped(title)}</title><desc id="{name}-description">{escaped(description)}</desc>'
    return f"<svg{_attributes(attributes)}>{heads}{body}</svg>"


def escaped(text: str) -> str:
    """Text that is safe in markup: signs with a meaning escaped, signs that XML forbids replaced."""
    return html.escape(_UNPRINTABLE.sub("\ufffd", text), quote=True)


def _attributes(values: Mapping[str, str]) -> str:
    return "".join(f' {name}="{escaped(value)}"' for name, value in values.items())


def _name(key: str, *content: str) -> str:
    """A prefix for the drawing's ids."""
    plain = "-".join(re.findall(r"[a-z0-9]+", key.casefold()))
    digest = hashlib.sha256("\0".join((key, *content)).encode("utf-8", "replace")).hexdigest()[:10]
    return f"drawing-{plain}-{digest}" if plain else f"drawing-{digest}"


def _body(layout: Layout, current: int | None) -> Iterable[str]:
    yield '<g class="drawing-behind-parts">'
    yield from (_shape(shape) for shape in layout.behind)
    yield "</g>"
    yield from (_part(piece, current) for piece in layout.pieces)
    yield '<g class="drawing-dimensions">'
    yield from (_shape(shape) for shape in layout.over)
    yield from (_words(text) for text in layout.words)
    yield "</g>"
    yield from (_bracket(bracket) for bracket in layout.brackets)
    yield from (_label(piece, current) for piece in layout.pieces)


def _state(piece: Piece, current: int | None) -> dict[str, str]:
    if current is None:
        return {}
    number = piece.part.number
    return {"data-current": ""} if number == current else {"data-in": ""} if number < current else {}


def _step(piece: Piece, current: int | None) -> dict[str, str]:
    return {
        "data-step": str(piece.part.number),
        "data-stack": str(piece.stack),
        "data-view": str(piece.view),
        **_state(piece, current),
    }


def _part(piece: Piece, current: int | None) -> str:
    part = piece.part
    care = {"drawing-shared": part.shared, "drawing-once-only": part.once_only, "drawing-look-alike": part.look_alike}
    classes = ["drawing-part", *(name for name, given in care.items() if given)]
    attributes = {"class": " ".join(classes), "data-part": part.part_id, "data-kind": part.kind, **_step(piece, current)}
    shapes = "".join(_shape(shape) for shape in piece.shapes)
    return f"<g{_attributes(attributes)}><title>{escaped(part_title(part))}</title>{shapes}</g>"


def _label(piece: Piece, current: int | None) -> str:
    label = piece.label
    start = label.leader.points[0]
    attributes = {"class": "drawing-label", **_step(piece, current), "aria-hidden": "true"}
    back = label.number.box
    return (
        f"<g{_attributes(attributes)}>"
        f'<path class="drawing-leader" d="{_path(label.leader.points)}"/>'
        f'<circle class="drawing-dot" cx="{_n(start.x)}" cy="{_n(start.y)}" r="2.4" fill="currentColor" stroke="none"/>'
        f'<rect class="drawing-number-back" {_rect(back, 4)} stroke="none"/>'
        f"{_words(label.number)}{''.join(_words(word) for word in label.words)}</g>"
    )


def _words(text: Text) -> str:
    framed = text.role in {"tag-once", "tag-alike"}
    pad = 0.3 * text.size
    frame = f'<rect class="drawing-{text.role}-frame" {_rect(text.box, pad, 0.12 * text.size)}/>' if framed else ""
    if text.role == "tag-alike":
        behind = _rect(_raised(text.box, 0.22 * text.size), pad, 0.12 * text.size)
        frame = f'<rect class="drawing-tag-alike-shadow" {behind}/>{frame}'
    place = f'x="{_n(text.at.x)}" y="{_n(text.at.y)}"'
    turn = f' transform="rotate(-90 {_n(text.at.x)} {_n(text.at.y)})"' if text.upright else ""
    anchor = "" if text.anchor == "start" else f' text-anchor="{text.anchor}"'
    return (
        f'{frame}<text class="drawing-{text.role}" {place} dy=".35em" font-size="{_n(text.size)}"{anchor}{turn}'
        f' fill="currentColor" stroke="none">{escaped(text.text)}</text>'
    )


def _raised(box: Box, by: float) -> Box:
    return Box(box.left + by, box.top - by, box.right + by, box.bottom - by)


def _bracket(bracket: Bracket) -> str:
    return f'<g class="drawing-stack-title"><path class="drawing-bracket" d="{_path(bracket.line.points)}"/>{_words(bracket.title)}</g>'


def _rect(box: Box, pad: float, pad_y: float = 0) -> str:
    wide, tall = box.right - box.left + 2 * pad, box.bottom - box.top + 2 * pad_y
    return f'x="{_n(box.left - pad)}" y="{_n(box.top - pad_y)}" width="{_n(wide)}" height="{_n(tall)}"'


def _shape(shape: Shape) -> str:
    if isinstance(shape, Dot):
        return f'<circle class="drawing-{shape.of}" cx="{_n(shape.x)}" cy="{_n(shape.y)}" r="{_n(shape.radius)}"/>'
    if isinstance(shape, Area):
        fill = ' fill="currentColor"' if shape.of in _FILLED else ""
        outline = f'<path class="drawing-{shape.of}" d="{_path(shape.points)}z"{fill}/>'
        if shape.hatch is None:
            return outline
        lines = strokes(shape.points, shape.hatch)
        return (
            f'{outline}<path class="drawing-hatch drawing-{shape.of}-hatch" d="{_strokes(lines)}" stroke-width=".8"/>'
            if lines
            else outline
        )
    return f'<path class="drawing-{shape.of}" d="{_path(shape.points)}"/>'


def _n(value: float) -> str:
    """A number with one decimal, in the fewest signs."""
    text = f"{value:.1f}".removesuffix(".0")
    if text == "-0":
        return "0"
    return text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) else text


def _path(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in points)


def _strokes(lines: Sequence[tuple[Point, Point]]) -> str:
    return "".join(
        f"M{_n(start.x)} {_n(start.y)}l{_n(end.x - start.x)} {_n(end.y - start.y)}".replace(" -", "-") for start, end in lines
    )


def _view(view: Box) -> str:
    return f"{_n(view.left)} {_n(view.top)} {_n(view.right - view.left)} {_n(view.bottom - view.top)}"
