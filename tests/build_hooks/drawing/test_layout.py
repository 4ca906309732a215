"""Where everything on a drawing stands: measured on the layout, for stacks of every kind, sound and odd."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from build_hooks.drawing.exploded import exploded_layout
from build_hooks.drawing.geometry import section_layout
from build_hooks.drawing.hatching import strokes
from build_hooks.drawing.labels import fitted, spread, text_width, wrapped
from build_hooks.drawing.layout import Frame, Layout, Piece
from build_hooks.drawing.parts import DrawnClearance, DrawnPart, DrawnStack, Kind, Teeth
from build_hooks.drawing.shapes import Area, Box, Hatch, Line, Point, bounds, box
from calc_engine.practice import SIDE_DIRECTIONS, SIDE_MARKS, SideDirection, SideMark

GROOVES = ("lower", "middle", "upper")
NAMES = st.one_of(st.text(max_size=90), st.sampled_from(["x" * 90, "מקל " * 22, "<b>&amp;</b>", "摩擦片" * 20, ""]))


def kinds() -> tuple[Kind, ...]:
    """Every kind of part."""
    return get_args(Kind.__value__)


@st.composite
def odd_parts(draw: st.DrawFn) -> tuple[DrawnPart, ...]:
    """Any parts in any order, with any marks: mostly nothing that could be built."""
    count = draw(st.integers(0, 24))
    lengths = st.one_of(st.none(), st.floats(0.01, 60))
    return tuple(
        DrawnPart(
            number=at + 1,
            part_id=f"part-{at}",
            name=draw(NAMES),
            kind=draw(st.sampled_from(kinds())),
            thickness_mm=draw(lengths),
            free_height_mm=draw(lengths),
            teeth=draw(st.sampled_from(get_args(Teeth.__value__))),
            side_mark=draw(st.one_of(st.none(), st.sampled_from(SIDE_MARKS))),
            side_direction=draw(st.one_of(st.none(), st.sampled_from(SIDE_DIRECTIONS))),
            groove=draw(st.one_of(st.none(), st.sampled_from(GROOVES))),
            edge=draw(st.sampled_from([None, "inner", "outer"])),
            once_only=draw(st.booleans()),
            look_alike=draw(st.booleans()),
        )
        for at in range(count)
    )


@st.composite
def odd_stacks(draw: st.DrawFn) -> DrawnStack:
    """A stack of odd parts, its clearance between any two of them or between parts that are not there."""
    parts = draw(odd_parts())
    number = st.integers(0, len(parts) + 1)
    clearance = draw(
        st.one_of(
            st.none(),
            st.builds(
                DrawnClearance,
                st.sampled_from(["0.90 to 1.40 mm", "x" * 60, ""]),
                number,
                number,
                st.one_of(st.none(), st.floats(0, 30)),
            ),
        )
    )
    drum = draw(st.sampled_from([None, "Front drum", "<drum>"]))
    grooves = draw(st.sampled_from([(), ("lower",), GROOVES, ("g" * 90, "lower")]))
    return DrawnStack(draw(NAMES), "", drum, grooves, parts, clearance, draw(st.booleans()))


@st.composite
def sound_stacks(draw: st.DrawFn) -> DrawnStack:
    """A pack as a rebuilder would meet it: a piston under it or over it, plates in turn, a backing plate and its ring."""
    thick = st.floats(0.8, 3.0)
    parts: list[DrawnPart] = []

    def add(kind: Kind, thickness: float | None = None, teeth: Teeth = "none", **more: Any) -> None:
        parts.append(
            DrawnPart(len(parts) + 1, f"part-{len(parts)}", f"Part {len(parts) + 1}", kind, thickness, teeth=teeth, **more)
        )

    below = draw(st.booleans())
    if below:
        add("lip-seal", side_mark="lip", side_direction="down", edge="inner")
        add("lip-seal", side_mark="lip", side_direction="down", edge="outer")
        add("piston")
        if draw(st.booleans()):
            add("return-spring")
            add("retainer", side_mark="lip", side_direction="up")
            add("snap-ring", draw(thick))
    if draw(st.booleans()):
        add("wave", draw(thick), "outside")
    steel, friction = draw(thick), draw(thick)
    for _ in range(draw(st.integers(1, 9))):
        add("steel", steel, "outside")
        add("friction", friction, "inside")
    add(
        "backing",
        draw(st.floats(2.0, 8.0)),
        "outside",
        side_mark=draw(st.sampled_from(["chamfer", "step", "dimple", "flat"])),
        side_direction="up",
    )
    last = len(parts)
    if draw(st.booleans()):
        add("hub", side_mark="step", side_direction="down")
    if not below:
        add("return-spring")
        add("lip-seal", side_mark="lip", side_direction="up", edge="inner")
        add("lip-seal", side_mark="lip", side_direction="up", edge="outer")
        add("piston")
    add("snap-ring", draw(thick), groove="upper")
    above = len(parts) if below else len(parts) - 1
    return DrawnStack("Pack", "", "Drum", GROOVES, tuple(parts), DrawnClearance("0.90 to 1.40 mm", last, above, 1.15))


FRAMES = st.builds(
    Frame,
    type_size=st.sampled_from([12.0, 20.0, 48.0]),
    names=st.booleans(),
    view_height=st.sampled_from([None, 500.0, 900.0]),
    row=st.sampled_from([None, 26.0]),
    words=st.booleans(),
    measures=st.booleans(),
)


def both(stack: DrawnStack, frame: Frame) -> tuple[Layout, Layout]:
    """The stack in both forms."""
    return section_layout([stack], frame), exploded_layout([stack], frame)


def overlap(one: Box, other: Box, slack: float = 1e-6) -> bool:
    """Whether the two share more than an edge."""
    return (
        one.left < other.right - slack
        and other.left < one.right - slack
        and one.top < other.bottom - slack
        and other.top < one.bottom - slack
    )


def check_labels(layout: Layout) -> None:
    """Numbers keep clear of each other, and everything that is written is on the sheet."""
    sheet = Box(0, 0, layout.width, layout.height)
    labels = [piece.label for piece in layout.pieces]
    in_order = sorted(labels, key=lambda label: label.box.top)
    assert all(upper.box.bottom <= lower.box.top + 1e-6 for upper, lower in pairwise(in_order))
    texts = [*layout.words, *(label.number for label in labels), *(word for label in labels for word in label.words)]
    assert all(sheet.holds(text.box) for text in (*texts, *(bracket.title for bracket in layout.brackets)))
    assert not any(overlap(first.box, second.box) for first, second in combinations(texts, 2))


def check_leaders(layout: Layout) -> None:
    """No two lines to numbers cross behind the place where they bend."""
    ends = sorted((piece.label.leader.points[1].y, piece.label.leader.points[2].y) for piece in layout.pieces)
    assert all(first[1] < second[1] for first, second in pairwise(ends) if first[0] < second[0])


def check_parts(layout: Layout) -> None:
    """Every part, and the start of every leader, is inside the drum."""
    for piece in layout.pieces:
        assert layout.drum.holds(bounds(piece.shapes), slack=3.0)
        assert bounds(piece.shapes).holds(Box(*piece.label.leader.points[0], *piece.label.leader.points[0]))


@given(odd_stacks(), FRAMES)
def test_no_number_covers_another_whatever_the_data(stack: DrawnStack, frame: Frame) -> None:
    """Any parts, any names, any sizes: numbers keep clear of each other, nothing leaves the sheet."""
    for layout in both(stack, frame):
        check_labels(layout)
        check_leaders(layout)
        assert [piece.part for piece in layout.pieces] == list(stack.parts)


@given(odd_stacks(), FRAMES)
def test_all_parts_stand_inside_the_drum(stack: DrawnStack, frame: Frame) -> None:
    """The drum is as tall as what stands in it, be it ever so odd."""
    for layout in both(stack, frame):
        check_parts(layout)


@given(sound_stacks(), FRAMES)
def test_parts_of_a_sound_pack_do_not_run_into_each_other(stack: DrawnStack, frame: Frame) -> None:
    """No corner of a part lies inside another part."""
    pieces = section_layout([stack], frame).pieces
    for first, second in combinations(pieces, 2):
        assert not _runs_into(first, second), (first.part, second.part)
        assert not _runs_into(second, first), (second.part, first.part)


def _runs_into(piece: Piece, other: Piece) -> bool:
    bodies = [shape.points for shape in other.shapes if isinstance(shape, Area)]
    corners = [point for shape in piece.shapes if isinstance(shape, Area) for point in shape.points]
    return any(_inside(corner, body) for corner in corners for body in bodies)


def _inside(point: Point, body: tuple[Point, ...]) -> bool:
    """Whether a point lies inside an outline: a ray to the right crosses it an odd number of times."""
    crossed = 0
    for start, end in pairwise((*body, body[0])):
        if (start.y > point.y) != (end.y > point.y):
            at = start.x + (point.y - start.y) / (end.y - start.y) * (end.x - start.x)
            if abs(at - point.x) < 1e-6:
                return False
            crossed += at > point.x
    return crossed % 2 == 1


@given(sound_stacks(), st.sampled_from([300.0, 500.0, 900.0]))
def test_views_show_every_part_whole(stack: DrawnStack, height: float) -> None:
    """Each part and its number lie wholly within the view that is theirs; all views are of one size."""
    layout = section_layout([stack], Frame(view_height=height))
    sizes = {(round(view.right - view.left, 6), round(view.bottom - view.top, 6)) for view in layout.views}
    assert len(sizes) == 1
    for piece in layout.pieces:
        assert layout.views[piece.view].holds(bounds(piece.shapes))
        assert layout.views[piece.view].holds(piece.label.number.box)


@pytest.mark.parametrize("count", [3, 40, 200])
def test_long_and_short_stacks_stay_legible(count: int) -> None:
    """Three parts or two hundred: every number is there at its full size, and no plate is thinner than can be seen."""
    parts = tuple(
        DrawnPart(at, "plate", "Plate", "friction" if at % 2 else "steel", 1.7, teeth="inside" if at % 2 else "outside")
        for at in range(1, count + 1)
    )
    layout = section_layout([DrawnStack("Pack", "", "Drum", (), parts)], Frame())
    check_labels(layout)
    check_parts(layout)
    assert len(layout.pieces) == count
    assert {piece.label.number.size for piece in layout.pieces} == {20.0}
    assert all(bounds(piece.shapes).bottom - bounds(piece.shapes).top >= 9 for piece in layout.pieces)


def test_thickness_is_to_scale_among_plates() -> None:
    """A plate twice as thick is drawn twice as tall."""
    parts = (
        DrawnPart(1, "thin", "Thin", "steel", 1.5, teeth="outside"),
        DrawnPart(2, "thick", "Thick", "backing", 3.0, teeth="outside"),
    )
    thin, thick = (bounds(piece.shapes) for piece in section_layout([DrawnStack("Pack", parts=parts)], Frame()).pieces)
    assert thick.bottom - thick.top == pytest.approx(2 * (thin.bottom - thin.top))


def test_the_clearance_is_to_scale_and_between_its_parts() -> None:
    """A gap of 1.5 mm over a plate of 1.5 mm is as tall as the plate; its dimension spans just that gap."""
    parts = (
        DrawnPart(1, "plate", "Plate", "backing", 1.5, teeth="outside"),
        DrawnPart(2, "ring", "Ring", "snap-ring", 1.5, groove="g"),
    )
    stack = DrawnStack("Pack", "", "Drum", ("g",), parts, DrawnClearance("1.0 to 2.0 mm", 1, 2, 1.5))
    layout = section_layout([stack], Frame())
    plate, ring = (bounds(piece.shapes) for piece in layout.pieces)
    heights = sorted(
        {
            shape.points[0].y
            for shape in layout.over
            if isinstance(shape, Line) and shape.of == "measure" and len({y for _, y in shape.points}) == 1
        }
    )
    assert heights == [pytest.approx(ring.bottom), pytest.approx(plate.top)]
    assert plate.top - ring.bottom == pytest.approx(plate.bottom - plate.top + 2.5)
    assert [text.text for text in layout.words if text.role == "measure"] == ["1.0 to", "2.0 mm"]


def test_a_shared_plate_is_drawn_once_between_its_packs() -> None:
    """The second pack goes on from the plate of the first, and the ring over the plate clears it."""
    shared = DrawnPart(3, "shared", "Shared plate", "reaction", 5.0, teeth="outside", shared=True)
    lower = (
        DrawnPart(1, "steel", "Steel", "steel", 1.8, teeth="outside"),
        DrawnPart(2, "friction", "Friction", "friction", 1.7, teeth="inside"),
        shared,
        DrawnPart(4, "ring", "Ring", "snap-ring", 1.57, groove="middle"),
    )
    upper = (
        shared,
        DrawnPart(5, "friction", "Friction", "friction", 1.6, teeth="inside"),
        DrawnPart(6, "steel", "Steel", "steel", 1.6, teeth="outside"),
    )
    stacks = [
        DrawnStack("Lower", "", "Drum", GROOVES, lower, DrawnClearance("0.9 to 1.4 mm", 3, 4, 1.15)),
        DrawnStack("Upper", "", "Drum", GROOVES, upper),
    ]
    layout = section_layout(stacks, Frame())
    assert [piece.part.number for piece in layout.pieces] == [1, 2, 3, 4, 5, 6]
    places = {piece.part.number: bounds(piece.shapes) for piece in layout.pieces}
    assert places[5].bottom == pytest.approx(places[3].top - 2.5)
    assert places[6].bottom < places[4].top
    assert not any(_runs_into(first, second) for first in layout.pieces for second in layout.pieces if first is not second)
    assert [bracket.title.text.strip("\u2068\u2069") for bracket in layout.brackets] == ["Lower", "Upper"]


def test_steel_reaches_the_wall_and_friction_reaches_the_hub() -> None:
    """Steel plates are toothed into the drum, friction plates stand off the wall and reach further in."""
    parts = (
        DrawnPart(1, "steel", "Steel", "steel", 1.8, teeth="outside"),
        DrawnPart(2, "friction", "Friction", "friction", 1.7, teeth="inside"),
    )
    steel, friction = (bounds(piece.shapes) for piece in section_layout([DrawnStack("Pack", parts=parts)], Frame()).pieces)
    assert steel.left < friction.left
    assert steel.right < friction.right


@pytest.mark.parametrize(("direction", "sign"), [("up", -1), ("down", 1)])
def test_a_lip_looks_where_it_is_said_to(direction: SideDirection, sign: int) -> None:
    """The furthest point of a lip seal, past the piston's edge, lies on the side that the lip looks to."""
    parts = (
        DrawnPart(1, "seal", "Seal", "lip-seal", side_mark="lip", side_direction=direction, edge="outer"),
        DrawnPart(2, "piston", "Piston", "piston"),
    )
    seal = section_layout([DrawnStack("Pack", "", "Drum", (), parts)], Frame()).pieces[0].shapes[0]
    assert isinstance(seal, Area)
    tip = min(seal.points)
    middle = (min(point.y for point in seal.points) + max(point.y for point in seal.points)) / 2
    assert (tip.y - middle) * sign > 0


@pytest.mark.parametrize("mark", ["chamfer", "dimple", "lip", "step", "tooth", "flat"])
@pytest.mark.parametrize("direction", ["up", "down"])
def test_a_side_mark_is_on_its_side(mark: SideMark, direction: SideDirection) -> None:
    """The bold edge of the mark touches the face that it looks from, and not the other."""
    part = DrawnPart(1, "plate", "Plate", "backing", 3.0, teeth="outside", side_mark=mark, side_direction=direction)
    piece = section_layout([DrawnStack("Pack", "", "Drum", (), (part,))], Frame()).pieces[0]
    body = bounds(piece.shapes[:1])
    heights = [point.y for shape in piece.shapes if isinstance(shape, Line) and shape.of == "mark" for point in shape.points]
    marked, other = (body.top, body.bottom) if direction == "up" else (body.bottom, body.top)
    assert any(abs(height - marked) < 1e-6 for height in heights)
    assert all(abs(height - other) > 1 for height in heights)


@given(st.lists(st.floats(0, 1000), min_size=1, max_size=40), st.floats(1, 60))
def test_spreading_moves_labels_as_little_as_can_be(wanted: list[float], pitch: float) -> None:
    """Labels keep their order and distance; the places are those of SciPy's isotonic regression."""
    wanted.sort()
    found = spread(wanted, [pitch] * len(wanted))
    assert all(second - first >= pitch - 1e-6 for first, second in pairwise(found))
    expected = isotonic_regression([place - at * pitch for at, place in enumerate(wanted)]).x
    assert found == pytest.approx([place + at * pitch for at, place in enumerate(expected)], abs=1e-6)


@given(st.floats(5, 300), st.floats(5, 80), st.floats(3, 15), st.booleans())
def test_hatch_fills_a_box_evenly(wide: float, tall: float, spacing: float, rising: bool) -> None:
    """Strokes run at 45 degrees, stay inside, and lie as close as they should: length times distance gives the area."""
    lines = strokes(box(10, 20, 10 + wide, 20 + tall), Hatch(spacing, rising=rising))
    room = Box(10, 20, 10 + wide, 20 + tall)
    for start, end in lines:
        assert end.y - start.y == pytest.approx((start.x - end.x) if rising else (end.x - start.x), abs=1e-6)
        assert room.holds(Box(start.x, min(start.y, end.y), end.x, max(start.y, end.y)), slack=1e-6)
    covered = sum((end.x - start.x) * spacing for start, end in lines)
    assert covered == pytest.approx(wide * tall, abs=spacing * min(wide, tall) + spacing**2)


def test_hatch_leaves_a_hollow_free() -> None:
    """No stroke crosses the notch of an outline that is not convex."""
    outline = tuple(Point(*corner) for corner in ((0, 0), (100, 0), (100, 60), (60, 60), (60, 20), (40, 20), (40, 60), (0, 60)))
    for start, end in strokes(outline, Hatch(7, crossed=True)):
        middle = Point((start.x + end.x) / 2, (start.y + end.y) / 2)
        assert not (40 < middle.x < 60 and middle.y > 20)
        assert _inside(middle, outline)


@given(NAMES, st.floats(0, 400))
def test_a_fitted_text_fits(text: str, room: float) -> None:
    """A text is cut to its room with an ellipsis, or left alone."""
    shown = fitted(text, 20, room)
    assert text_width(shown, 20) <= max(room, text_width("…", 20))
    assert shown == text or shown.endswith("…")


@given(NAMES, st.floats(30, 400))
def test_a_wrapped_text_is_whole_and_fits(text: str, room: float) -> None:
    """Nothing is left out but the spaces at which lines are broken, and no line is wider than the room."""
    lines = wrapped(text, 20, room)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(text_width(line, 20) <= room for line in lines)


def test_a_long_name_is_not_cut() -> None:
    """It stands in lines under each other, with its side and its groove."""
    name = "Overdrive piston housing ring with a bevel on one face"
    part = DrawnPart(1, "ring", name, "snap-ring", 2.0, groove="housing", side_mark="chamfer", side_direction="up")
    (piece,) = section_layout([DrawnStack("Pack", "", "Drum", ("housing",), (part,))], Frame(names=True)).pieces
    lines = [word.text for word in piece.label.words if word.role == "name"]
    assert lines == [
        "\u2068Overdrive piston housing\u2069",
        "\u2068ring with a bevel on one\u2069",
        "\u2068face\u2069,",
        "chamfer up, housing",
        "groove",
    ]
