"""The outline of each kind of part in the place it has been given."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from build_hooks.drawing.marks import marked_box
from build_hooks.drawing.parts import DrawnPart, Edge, Teeth
from build_hooks.drawing.shapes import Area, AreaOf, Dot, Hatch, Line, Point, Shape, box
from build_hooks.drawing.sizes import (
    BOSS_LEFT,
    FRICTION_LEFT,
    FRICTION_RIGHT,
    HUB_RIGHT,
    INNER_LEFT,
    INNER_RIGHT,
    LINING_RIGHT,
    PLATE_LEFT,
    RING_LEFT,
    RING_RIGHT,
    SPRING_LEFT,
    SPRING_RIGHT,
    STEEL_RIGHT,
)
from calc_engine.practice import SideDirection

__all__ = [
    "SHIM_RIGHT",
    "bearing",
    "boss_ring",
    "can_be_rebated",
    "coils",
    "coned_spring",
    "cut_short",
    "friction_plate",
    "hub",
    "rebated_plate",
    "retainer",
    "rimmed_plate",
    "ring",
    "seal",
    "shim",
    "spacer",
    "steel_plate",
    "washer",
    "wave_plate",
]

# The inner edge of a shim, which lies on the shoulder of the drum.
SHIM_RIGHT: Final = FRICTION_LEFT + 70

_STEEL: Final = Hatch(9)
_THICK_STEEL: Final = Hatch(13, rising=False)
_RING: Final = Hatch(6, rising=False)
_LINING: Final = Hatch(6, crossed=True)
# Crests on a wave plate whose number of waves nobody gave: no plate has one wave, so it is a sign and no number.
_SIGN_ONLY: Final = 1
_WAVE_LENGTH: Final = 22.0
_SLEEVE: Final = 10.0
_SHORTEST_SPLINE: Final = 2.0


def _span(teeth: Teeth) -> tuple[float, float]:
    """How far a plate reaches: into the drum's slots, to the hub, or neither."""
    if teeth == "outside":
        return PLATE_LEFT, STEEL_RIGHT
    return FRICTION_LEFT, FRICTION_RIGHT if teeth == "inside" else STEEL_RIGHT


def steel_plate(part: DrawnPart, low: float, high: float) -> tuple[Shape, ...]:
    """A steel, backing, reaction or pressure plate; the thick ones are hatched wider and the other way."""
    left, right = _span(part.teeth)
    thick = part.kind != "steel"
    of: AreaOf = "thick-steel" if thick else "steel"
    return marked_box(part, (left, low, right, high), of, _THICK_STEEL if thick else _STEEL)


def can_be_rebated(part: DrawnPart) -> bool:
    """Whether the rim of a plate can be drawn lower than its face without hiding the mark of its side."""
    if part.side_mark is None or part.side_direction in {None, "down", "in"}:
        return part.side_mark != "dish"
    return part.side_direction == "up" and part.side_mark in {"chamfer", "dimple", "flat", "paint"}


def rebated_plate(part: DrawnPart, low: float, high: float, depth: float) -> tuple[Shape, ...]:
    """A plate whose rim is cut lower than its face, so that the ring over it clears the plates that rest on it.

    Args:
        part: a plate that can be rebated.
        low: its underside.
        high: its upper side.
        depth: how much lower the rim is.

    Returns:
        Its outline and the bold edges of its mark, which is then on the raised face.
    """
    left, right = _span(part.teeth)
    body, *marks = steel_plate(part, low, high)
    cut = FRICTION_LEFT - 3
    if part.side_mark == "chamfer" and part.side_direction == "up":
        bevel = min(9.0, 0.3 * (high - low))
        face = (
            Point(right, high - bevel),
            Point(right - 1.4 * bevel, high),
            Point(cut + 1.4 * bevel, high),
            Point(cut, high - bevel),
        )
        outline = (Point(left, low), Point(right, low), *face, Point(cut, high - depth), Point(left, high - depth))
        return (Area(outline, "thick-steel", _THICK_STEEL), Line(face[:2], "mark"), Line(face[2:], "mark"))
    if not isinstance(body, Area):
        return (body, *marks)
    at = body.points.index(Point(left, high))
    follows_face = body.points[at - 1].y == high
    rim = (Point(cut, high), Point(cut, high - depth), Point(left, high - depth))
    points = (*body.points[:at], *(rim if follows_face else rim[::-1]), *body.points[at + 1 :])
    return (Area(points, body.of, body.hatch), *marks)


def rimmed_plate(part: DrawnPart, low: float, high: float, cuts: tuple[float, float]) -> tuple[Shape, ...]:
    """A plate whose rim is cut back from its faces, as its data says.

    Args:
        part: the plate.
        low: its underside.
        high: its upper side.
        cuts: how far the rim is cut back from the lower and from the upper face.

    Returns:
        Its outline and the bold edges of its mark, which is on the face inside the rim.
    """
    left, right = _span(part.teeth)
    inside = FRICTION_LEFT - 3
    below, above = cuts
    on_face = above if part.side_direction == "up" else below
    body, *marks = marked_box(
        part, (inside, low, right, high), "thick-steel", _THICK_STEEL, deepest=on_face or min(below, above) or 13
    )
    if not isinstance(body, Area):
        return (body, *marks)
    edge = sorted(point.y for point in body.points if point.x == inside)
    outer = [point for point in body.points if point.x != inside or point.y not in {edge[0], edge[-1]}]
    rim = [
        Point(inside, edge[-1]), Point(inside, high - above), Point(left, high - above), Point(left, low + below), Point(inside, low + below),
        Point(inside, edge[0]),
    ]  # fmt: skip
    at = body.points.index(Point(inside, edge[0]))
    upwards = body.points[at - 1].x == inside
    before = [point for point in body.points[:at] if point in outer]
    after = [point for point in body.points[at:] if point in outer]
    return (Area((*before, *(rim if upwards else reversed(rim)), *after), body.of, body.hatch), *marks)


def friction_plate(part: DrawnPart, low: float, high: float) -> tuple[Shape, ...]:
    """A friction plate: a steel core that reaches to its teeth, with lining on both faces."""
    left, right = _span(part.teeth)
    lined_left = max(left, FRICTION_LEFT)
    lined_right = min(right, LINING_RIGHT)
    third = (high - low) / 3
    top = marked_box(_with_side(part, "up"), (lined_left, high - third, lined_right, high), "lining", _LINING)
    bottom = marked_box(_with_side(part, "down"), (lined_left, low, lined_right, low + third), "lining", _LINING)
    return (Area(box(left, low + third, right, high - third), "core"), *top, *bottom)


def _with_side(part: DrawnPart, direction: SideDirection) -> DrawnPart:
    """The part without its mark, unless the mark looks this way: each lining is one side of the plate."""
    if part.side_direction == direction and part.side_mark != "dish":
        return part
    return DrawnPart(part.number, part.part_id, part.name, part.kind)


def wave_plate(part: DrawnPart, low: float, thickness: float, rise: float) -> tuple[Shape, ...]:
    """A wave plate: its waves run round the drum, so that it is flat where it is cut.

    Args:
        part: the wave plate.
        low: the lowest height that it takes up when it is free.
        thickness: how thick it is.
        rise: how much more it takes up.

    Returns:
        The plate halfway up its free height, without hatch, and on it a wave line with as many crests as it has waves, where that is known.
    """
    left, right = _span(part.teeth)
    under = low + rise / 2
    start = left + 0.3 * (right - left)
    count = part.waves or _SIGN_ONLY
    pitch = min(_WAVE_LENGTH, 0.6 * (right - left) / count)
    line = _wave_line(count, pitch, Point(start, under + thickness / 2), 0.3 * thickness)
    return (Area(box(left, under, right, under + thickness), "steel"), Line(line, "wave"))


def _wave_line(count: int, pitch: float, start: Point, reach: float) -> tuple[Point, ...]:
    """So many whole waves from `start`, to and fro by `reach`. Each half wave is a parabola; two of them meet with the same slope."""
    steps = 12
    points: list[Point] = []
    for step in range(2 * count * steps + 1):
        half, along = divmod(step, steps)
        share = along / steps
        swing = 4 * share * (1 - share) * (-1 if half % 2 else 1)
        points.append(Point(start.x + pitch / 2 * step / steps, start.y + reach * swing))
    return tuple(points)


def cut_short(low: float, high: float) -> tuple[Shape, ...]:
    """The sign across a plate that is thicker than it is drawn: a band of it is left out."""
    middle, half = (low + high) / 2, 4.0
    left, right = PLATE_LEFT, STEEL_RIGHT
    count = 10
    pitch = (right - left) / count
    zigzag = [Point(left + pitch * at, middle + (half if at % 2 else -half)) for at in range(count + 1)]
    return tuple(Line(tuple(Point(x, y + up) for x, y in zigzag), "break") for up in (-half, half))


def ring(part: DrawnPart, low: float, high: float, dx: float = 0) -> tuple[Shape, ...]:
    """A snap ring in the groove of the drum's wall."""
    return marked_box(part, (RING_LEFT + dx, low, RING_RIGHT + dx, high), "ring", _RING)


def boss_ring(part: DrawnPart, low: float, high: float) -> tuple[Shape, ...]:
    """A snap ring in the groove of the boss: it holds a retainer."""
    return marked_box(part, (BOSS_LEFT - 18, low, BOSS_LEFT + 11, high), "ring", _RING)


def seal(part: DrawnPart, corners: tuple[float, float, float, float], edge: Edge) -> tuple[Shape, ...]:
    """A seal in its groove at the outer (left) or inner (right) edge of a piston.

    A lip seal opens to the side that its lip looks, which is the side of the pressure, and its lip reaches past the edge.

    Args:
        part: the seal.
        corners: left, low, right, high of its groove.
        edge: which edge of the piston.

    Returns:
        One solid outline.
    """
    left, low, right, high = corners
    shares: _Shares = _PLAIN_SEAL
    direction = part.side_direction
    if part.kind == "lip-seal" and direction is not None:
        shares = _LIP_DOWN if direction in {"up", "down"} else _LIP_OUT
    sideways = shares == _LIP_OUT
    from_right = direction == "in" if sideways else edge == "inner"
    wide, tall = right - left, high - low
    points = tuple(
        Point(right - wide * x if from_right else left + wide * x, high - tall * y if direction == "up" else low + tall * y)
        for x, y in shares
    )
    return (Area(points, "solid"),)


# Corners in shares of a groove: from its open side across, and from its low end up.
type _Shares = tuple[tuple[float, float], ...]

# A lip seal at the outer edge with its lip down, in shares of its groove: heel above, the long lip at the wall, the short leg.
_LIP_DOWN: Final[_Shares] = ((0.1, 1), (1, 1), (1, 0.12), (0.8, 0.12), (0.56, 0.55), (0.1, 0), (-0.26, 0.02), (-0.12, 0.5))
# The same with its lip outwards.
_LIP_OUT: Final[_Shares] = (
    (1, 0),
    (1, 1),
    (0.1, 1),
    (-0.2, 0.95),
    (-0.2, 0.75),
    (0.5, 0.5),
    (-0.2, 0.25),
    (-0.2, 0.05),
    (0.1, 0),
)
# A square seal, which has no way round.
_PLAIN_SEAL: Final[_Shares] = ((-0.15, 0.2), (-0.15, 0.8), (0.15, 1), (1, 1), (1, 0), (0.15, 0))


def coils(
    low: float, high: float, left: float = SPRING_LEFT, right: float = SPRING_RIGHT, wire: float = 4.4
) -> tuple[Shape, ...]:
    """A coil spring cut through: its wires at both sides, and the turns between them behind."""
    turns = max(2, round((high - low - 2 * wire) / (2.5 * wire)))
    pitch = (high - low - 2 * wire) / (turns - 0.5)
    at_left = [low + wire + pitch * turn for turn in range(turns)]
    at_right = [height + pitch / 2 for height in at_left]
    x_left, x_right = left + wire, right - wire
    lines: list[Shape] = []
    for turn in range(turns):
        lines.append(Line((Point(x_left, at_left[turn] + wire), Point(x_right, at_right[turn] + wire)), "edge"))
        lines.append(Line((Point(x_left, at_left[turn] - wire), Point(x_right, at_right[turn] - wire)), "edge"))
    wires = [Dot(x_left, height, wire, "outline") for height in at_left] + [
        Dot(x_right, height, wire, "outline") for height in at_right
    ]
    return (*lines, *wires)


def coned_spring(part: DrawnPart, low: float, high: float, left: float, right: float) -> tuple[Shape, ...]:
    """A coned disc spring, its hollow where the part says."""
    return marked_box(part, (left, low, right, high), "outline")


def retainer(part: DrawnPart, low: float, high: float) -> tuple[Shape, ...]:
    """The pressed plate that holds a spring down, with the lip round its ring."""
    left, right = SPRING_LEFT - 6, BOSS_LEFT - 2
    sheet = (high - low) * 0.5
    up = part.side_direction != "down"
    near, far = (low, high) if up else (high, low)
    step = sheet if up else -sheet
    lip = right - 26
    points = (
        Point(left, near), Point(right, near), Point(right, near + step), Point(lip + 5, near + step), Point(lip + 5, far),
        Point(lip, far), Point(lip, near + step), Point(left, near + step),
    )  # fmt: skip
    marks = (
        (Line((Point(lip, near + step), Point(lip, far), Point(lip + 5, far), Point(lip + 5, near + step)), "mark"),)
        if part.side_mark
        else ()
    )
    return (Area(points, "steel"), *marks)


def washer(part: DrawnPart, low: float, high: float) -> tuple[Shape, ...]:
    """A thrust washer near the axis."""
    return marked_box(part, (INNER_LEFT, low, INNER_RIGHT, high), "ring", _RING)


def shim(part: DrawnPart, low: float, high: float) -> tuple[Shape, ...]:
    """A shim or spacer: a narrow ring at the wall."""
    return marked_box(part, (PLATE_LEFT, low, SHIM_RIGHT, high), "ring", _RING)


def spacer(part: DrawnPart, corners: tuple[float, float, float, float]) -> tuple[Shape, ...]:
    """A spacer on a shoulder of the wall."""
    return marked_box(part, corners, "ring", _RING)


def bearing(part: DrawnPart, low: float, high: float) -> tuple[Shape, ...]:
    """A thrust bearing near the axis: two races and the rollers between them."""
    race = (high - low) / 4
    radius = (high - low) / 4
    count = 4
    pitch = (INNER_RIGHT - INNER_LEFT) / count
    rollers = tuple(Dot(INNER_LEFT + (at + 0.5) * pitch, (low + high) / 2, radius * 0.9, "outline") for at in range(count))
    lower = marked_box(_with_side(part, "down"), (INNER_LEFT, low, INNER_RIGHT, low + race), "ring")
    upper = marked_box(_with_side(part, "up"), (INNER_LEFT, high - race, INNER_RIGHT, high), "ring")
    return (*lower, *upper, *rollers)


def hub(
    part: DrawnPart, low: float, web: tuple[float, float], right: float, sleeve: float, meshed: Sequence[tuple[float, float]] = ()
) -> tuple[Shape, ...]:
    """A hub: its toothed wall beside the friction plates, its web over them to the axis, and the sleeve of its shaft.

    Args:
        part: the hub.
        low: lower end of its toothed wall.
        web: underside and top of its web.
        right: the inside of its shaft.
        sleeve: upper end of its shaft.
        meshed: lower and upper side of each friction plate's teeth that stand in its splines, from the lowest up.

    Returns:
        The splines, the outline, and the mark of its side.
    """
    teeth, root = FRICTION_RIGHT - 8, FRICTION_RIGHT + 1
    under, top = web
    body = (
        Point(root, low), Point(HUB_RIGHT, low), Point(HUB_RIGHT, under), Point(right, under), Point(right, sleeve),
        Point(right - _SLEEVE, sleeve), Point(right - _SLEEVE, top), Point(root, top),
    )  # fmt: skip
    splines = _splines(low, top, (teeth, root), meshed)
    edge = low if part.side_direction == "down" else top
    mark = (
        (Line((Point(root, edge), Point(HUB_RIGHT, edge)), "mark"),)
        if part.side_mark and part.side_direction in {"up", "down"}
        else ()
    )
    return (*splines, Area(body, "thick-steel", Hatch(11)), *mark)


def _splines(low: float, top: float, across: tuple[float, float], meshed: Sequence[tuple[float, float]]) -> tuple[Shape, ...]:
    """The splines of a hub, seen between the teeth of the friction plates that stand in them."""
    teeth, root = across
    found: list[Shape] = []
    for start, end in sorted((*meshed, (top, top))):
        stop = min(start, top)
        if stop - low > _SHORTEST_SPLINE:
            found.append(Area(box(teeth, low, root, stop), "spline"))
        low = max(low, end)
    return tuple(found)
