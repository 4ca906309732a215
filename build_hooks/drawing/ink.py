"""Makes elements of a finished drawing: classes and a few plain attributes, no colour of its own.

The style sheet gives the colours. Without it the drawing is still black lines on whatever lies behind.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from typing import Final

from build_hooks.drawing.gear_parts import GearPicture
from build_hooks.drawing.hatching import strokes
from build_hooks.drawing.layout import Bracket, Inset, Layout, Piece, Text
from build_hooks.drawing.shapes import Area, Box, Dot, Line, Point, Shape
from build_hooks.drawing.wording import part_title
from build_hooks.reading.ids import id_from
from calc_engine import Element, element

__all__ = ["gear_svg", "svg"]

_FILLED: Final = frozenset(("solid", "arrow"))


def svg(layout: Layout, title: str, description: str, *, key: str) -> Element:
    """The drawing as an element.

    Args:
        layout: where everything stands.
        title: the drawing's title.
        description: the drawing in words.
        key: makes the ids of this drawing its own on the page; empty for one made from its content.

    Returns:
        An `svg` element, the same for the same data. It has no namespace, as HTML needs none.
    """
    body = list(_body(layout))
    name = _name(key, title, description, body)
    views = [_view(view) for view in layout.views]
    attributes = {
        "class": "bench-drawing bench-drawing-one" if layout.one_at_a_time else "bench-drawing",
        "viewBox": views[0],
        "role": "img",
        "aria-labelledby": f"{name}-title {name}-description",
        "fill": "none",
        "stroke": "currentColor",
        "data-views": ";".join(views),
    }
    return element(
        "svg",
        attributes,
        element("title", {"id": f"{name}-title"}, title),
        element("desc", {"id": f"{name}-description"}, description),
        *body,
    )


def gear_svg(picture: GearPicture, title: str, description: str, *, kind: str) -> Element:
    """A drawing of a gear set as an element.

    Args:
        picture: where everything stands.
        title: the drawing's title.
        description: the drawing in words.
        kind: a class of its own.

    Returns:
        An `svg` element, the same for the same data.
    """
    body = [*_shapes(picture.shapes), *(drawn for text in picture.words for drawn in _words(text))]
    name = _name("", title, description, body)
    attributes = {
        "class": f"bench-drawing bench-gear-drawing bench-gear-{kind}",
        "viewBox": _view(picture.room),
        "role": "img",
        "aria-labelledby": f"{name}-title {name}-description",
        "fill": "none",
        "stroke": "currentColor",
    }
    words = (("title", title), ("desc", description))
    told = (element(tag, {"id": f"{name}-{'title' if tag == 'title' else 'description'}"}, said) for tag, said in words)
    return element("svg", attributes, *told, *body)


def _name(key: str, title: str, description: str, body: Sequence[Element]) -> str:
    """A prefix for the drawing's ids."""
    plain = id_from(key)
    digest = hashlib.sha256(json.dumps([key, title, description, body]).encode()).hexdigest()[:10]
    return f"drawing-{plain}-{digest}" if plain else f"drawing-{digest}"


def _body(layout: Layout) -> Iterable[Element]:
    yield element("g", {"class": "drawing-behind-parts"}, *_shapes(layout.behind))
    yield from (_part(piece) for piece in layout.pieces)
    words = (drawn for text in layout.words for drawn in _words(text))
    yield element("g", {"class": "drawing-dimensions"}, *_shapes(layout.over), *words)
    yield from (_bracket(bracket) for bracket in layout.brackets)
    yield from (_inset(inset) for inset in layout.insets)
    yield from (_label(piece) for piece in layout.pieces)


def _step(piece: Piece) -> dict[str, str]:
    return {"data-step": str(piece.part.number), "data-stack": str(piece.stack), "data-view": str(piece.view)}


def _part(piece: Piece) -> Element:
    part = piece.part
    care = {"drawing-shared": part.shared, "drawing-once-only": part.once_only, "drawing-look-alike": part.look_alike}
    classes = ["drawing-part", *(name for name, given in care.items() if given)]
    attributes = {"class": " ".join(classes), "data-part": part.part_id, "data-kind": part.kind, **_step(piece)}
    return element("g", attributes, element("title", {}, part_title(part)), *_shapes(piece.shapes))


def _inset(inset: Inset) -> Element:
    """A frame round the small part, and a larger frame that shows what is in it."""
    frame = _rect(inset.frame, 0)
    return element(
        "g",
        {"class": "drawing-inset", "data-step": str(inset.part.number), "data-stack": str(inset.stack), "aria-hidden": "true"},
        element("rect", {"class": "drawing-inset-mark", **_rect(inset.seen, 0)}),
        element("rect", {"class": "drawing-inset-frame", **frame}),
        element(
            "svg",
            {**frame, "viewBox": _view(inset.seen)},
            element("g", {"class": "drawing-inset-beside"}, *_shapes(inset.beside)),
            element("g", {"class": "drawing-inset-part"}, *_shapes(inset.shapes)),
        ),
        element("rect", {"class": "drawing-inset-mark", **frame}),
    )


def _label(piece: Piece) -> Element:
    label = piece.label
    start = label.leader.points[0]
    dot = {"cx": _n(start.x), "cy": _n(start.y), "r": "2.4", "fill": "currentColor", "stroke": "none"}
    return element(
        "g",
        {"class": "drawing-label", **_step(piece), "aria-hidden": "true"},
        _line("leader", label.leader),
        element("circle", {"class": "drawing-dot", **dot}),
        element("rect", {"class": "drawing-number-back", **_rect(label.number.box, 4), "stroke": "none"}),
        *(drawn for text in (label.number, *label.words) for drawn in _words(text)),
    )


def _words(text: Text) -> Iterable[Element]:
    """A line of text on the frames that its role has."""
    pad, pad_y = 0.3 * text.size, 0.06 * text.size
    if text.role == "tag-alike":
        behind = _raised(text.box, 0.15 * text.size)
        yield element("rect", {"class": "drawing-tag-alike-shadow", **_rect(behind, pad, pad_y)})
    if text.role in {"tag-once", "tag-alike"}:
        yield element("rect", {"class": f"drawing-{text.role}-frame", **_rect(text.box, pad, pad_y)})
    x, y = _n(text.at.x), _n(text.at.y)
    attributes = {"class": f"drawing-{text.role}", "x": x, "y": y, "dy": ".35em", "font-size": _n(text.size)}
    if text.anchor != "start":
        attributes["text-anchor"] = text.anchor
    if text.upright:
        attributes["transform"] = f"rotate(-90 {x} {y})"
    yield element("text", {**attributes, "fill": "currentColor", "stroke": "none"}, text.text)


def _raised(box: Box, by: float) -> Box:
    return Box(box.left + by, box.top - by, box.right + by, box.bottom - by)


def _bracket(bracket: Bracket) -> Element:
    return element("g", {"class": "drawing-stack-title"}, _line("bracket", bracket.line), *_words(bracket.title))


def _line(of: str, line: Line) -> Element:
    return element("path", {"class": f"drawing-{of}", "d": _path(line.points)})


def _rect(box: Box, pad: float, pad_y: float = 0) -> dict[str, str]:
    wide, tall = box.right - box.left + 2 * pad, box.bottom - box.top + 2 * pad_y
    return {"x": _n(box.left - pad), "y": _n(box.top - pad_y), "width": _n(wide), "height": _n(tall)}


def _shapes(shapes: Iterable[Shape]) -> Iterable[Element]:
    return (drawn for shape in shapes for drawn in _shape(shape))


def _shape(shape: Shape) -> Iterable[Element]:
    if isinstance(shape, Dot):
        yield element("circle", {"class": f"drawing-{shape.of}", "cx": _n(shape.x), "cy": _n(shape.y), "r": _n(shape.radius)})
    elif isinstance(shape, Area):
        yield from _area(shape)
    else:
        yield _line(shape.of, shape)


def _area(area: Area) -> Iterable[Element]:
    fill = {"fill": "currentColor"} if area.of in _FILLED else {}
    yield element("path", {"class": f"drawing-{area.of}", "d": f"{_path(area.points)}z", **fill})
    lines = strokes(area.points, area.hatch) if area.hatch else ()
    if lines:
        classes = f"drawing-hatch drawing-{area.of}-hatch"
        yield element("path", {"class": classes, "d": _strokes(lines), "stroke-width": ".8"})


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
