"""Does a drawing agree with the words: seals in their grooves, rims on their shoulders, rings on the flank that takes the load?"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.drawing import DrawnClearance, DrawnPart, DrawnStack
from build_hooks.drawing.adapter import drum_stacks, linked_stacks, pack_stack
from build_hooks.drawing.drum import DRUM_FLOOR
from build_hooks.drawing.geometry import section_layout
from build_hooks.drawing.grouping import PistonGroup, grouped
from build_hooks.drawing.layout import Frame, Layout
from build_hooks.drawing.parts import ChamferedEdge, DrawnHole, Edge, End, Push
from build_hooks.drawing.shapes import Area, Box, Dot, Line, Shape, bounds
from build_hooks.drawing.sizes import BOSS_LEFT, scale_for
from build_hooks.drawing.stacking import piled
from build_hooks.drawing.wording import description
from build_hooks.library import load
from build_hooks.model import Unit

FRAME = Frame()
# A lip is drawn loose: as much as it will be pressed in.
LIP = 4.5
FRICTION = DrawnPart(4, "friction", "Friction plate", "friction", 1.7, teeth="inside")


@pytest.fixture(scope="module")
def units() -> dict[str, Unit]:
    """The units of the demo."""
    library, problems = load(Path(__file__).parents[3] / "docs")
    assert problems == ()
    assert library is not None
    return dict(library.units)


def areas(shapes: tuple[Shape, ...]) -> list[Area]:
    """The closed outlines among some shapes."""
    return [shape for shape in shapes if isinstance(shape, Area)]


def drum_of(layout: Layout) -> Area:
    """The section of the drum."""
    return next(area for area in areas(layout.behind) if area.of == "drum")


def body_of(layout: Layout, number: int) -> tuple[Shape, ...]:
    """The shapes of a part."""
    return next(piece.shapes for piece in layout.pieces if piece.part.number == number)


def hollows(outline: Area) -> list[Box]:
    """The grooves of an outline: four corners in a row that go in, along and out again."""
    points = (*outline.points, *outline.points[:3])
    found = []
    for first, second, third, last in zip(points, points[1:], points[2:], points[3:], strict=False):
        if first.y == second.y and third.y == last.y and second.x == third.x and first.x == last.x and first.y != last.y:
            across, along = sorted((first.x, second.x)), sorted((first.y, last.y))
            found.append(Box(across[0], along[0], across[1], along[1]))
    return found


def lip_pack(edge: Edge, *, in_boss: bool) -> DrawnStack:
    """A piston with one lip seal, in the drum's boss or in its own groove."""
    seal = DrawnPart(
        1,
        "seal",
        "Seal",
        "lip-seal",
        side_mark="lip",
        side_direction="down",
        edge=edge,
        groove="seal" if in_boss else None,
        in_boss=in_boss,
    )
    return DrawnStack("Pack", "", "Drum", (), (seal, DrawnPart(2, "piston", "Piston", "piston")))


@pytest.mark.parametrize(("edge", "in_boss"), [("inner", True), ("inner", False), ("outer", False)])
def test_a_seal_lies_in_the_groove_that_the_data_names(edge: Edge, in_boss: bool) -> None:
    """Within a groove of the boss, or of the piston; the other of the two has none."""
    layout = section_layout([lip_pack(edge, in_boss=in_boss)], FRAME)
    seal = bounds(body_of(layout, 1))
    holder, other = drum_of(layout), areas(body_of(layout, 2))[0]
    if not in_boss:
        holder, other = other, holder
    (groove,) = hollows(holder)
    wider = Box(groove.left - LIP, groove.top, groove.right + LIP, groove.bottom)
    assert wider.holds(seal)
    assert hollows(other) == []


def test_a_ring_in_a_groove_of_the_boss_holds_its_retainer_there() -> None:
    """The ring of a spring retainer reaches into the boss, although its groove has a name."""
    parts = (
        DrawnPart(1, "piston", "Piston", "piston"),
        DrawnPart(2, "spring", "Spring", "return-spring"),
        DrawnPart(3, "retainer", "Retainer", "retainer"),
        DrawnPart(4, "ring", "Ring", "snap-ring", 1.6, groove="retainer", in_boss=True),
    )
    layout = section_layout([DrawnStack("Pack", "", "Drum", ("lower",), parts)], FRAME)
    ring = bounds(body_of(layout, 4))
    assert ring.right > BOSS_LEFT + layout.drum.left - 20
    assert any(groove.left < ring.right < groove.right for groove in hollows(drum_of(layout)))


def steel(number: int) -> DrawnPart:
    """A steel plate."""
    return DrawnPart(number, "steel", "Steel plate", "steel", 1.8, teeth="outside")


def housed(pushes: tuple[Push, ...], *, spacer: bool, spring: bool) -> DrawnStack:
    """A pack under a housing whose rim is on the shoulder of the drum."""
    parts = [steel(1), DrawnPart(2, "friction", "Friction plate", "friction", 1.7, teeth="inside"), steel(3)]
    if spacer:
        parts.append(DrawnPart(4, "spacer", "Spacer", "shim", 2.1, shoulder="housing"))
    if spring:
        parts.append(DrawnPart(5, "spring", "Spring", "return-spring"))
    for at, push in enumerate(pushes):
        lip: Push = "up" if push == "down" else "down"
        parts += [
            DrawnPart(6 + 2 * at, "inner", "Inner seal", "lip-seal", side_mark="lip", side_direction=lip, edge="inner"),
            DrawnPart(7 + 2 * at, "outer", "Outer seal", "lip-seal", side_mark="lip", side_direction=lip, edge="outer"),
        ]
    parts.append(DrawnPart(10, "housing", "Housing", "piston", pistons=pushes, shoulder=None if spacer else "housing"))
    return DrawnStack("Pack", "", "Drum", ("upper",), tuple(parts), DrawnClearance("0.80 to 1.20 mm", 3, 10, 1.0))


HOUSINGS = st.builds(
    housed, st.sampled_from([("down",), ("down", "up")]), spacer=st.booleans(), spring=st.booleans()
)  # fmt: skip


@given(HOUSINGS)
def test_the_nose_is_level_with_the_underside_of_the_rim(stack: DrawnStack) -> None:
    """The housing and the piston that pushes down end at one height, which is the clearance over the pack."""
    layout = section_layout([stack], FRAME)
    housing, piston, *_ = areas(body_of(layout, 10))
    assert bounds([housing]).bottom == pytest.approx(bounds([piston]).bottom)
    plate = bounds(body_of(layout, 3))
    assert plate.top - bounds([piston]).bottom == pytest.approx(scale_for([stack], FRAME.plate).clearance(1.0) + 2.5)


@given(HOUSINGS)
def test_the_rim_rests_on_the_shoulder(stack: DrawnStack) -> None:
    """On the shoulder's own face, or on the spacer that lies there."""
    layout = section_layout([stack], FRAME)
    rim = bounds(areas(body_of(layout, 10))[:1])
    rest = {piece.part.part_id: bounds(piece.shapes) for piece in layout.pieces}.get("spacer", rim)
    faces = [
        (one.y, *sorted((one.x, other.x)))
        for one, other in pairwise(drum_of(layout).points)
        if one.y == other.y and abs(one.y - rest.bottom) <= 1
    ]
    assert any(left - 3 <= rest.left and rest.left + 10 <= right for _, left, right in faces)
    assert rest.top == pytest.approx(rim.bottom) or rest is rim


@given(HOUSINGS)
def test_each_seal_of_a_housing_rubs_on_it(stack: DrawnStack) -> None:
    """Its groove is in a piston, its lip reaches the housing, and the lip points to the chamber between the two."""
    layout = section_layout([stack], FRAME)
    housing, *pistons = areas(body_of(layout, 10))
    walls = {point.x for point in housing.points}
    for piece in layout.pieces:
        if piece.part.kind != "lip-seal":
            continue
        seal = bounds(piece.shapes)
        holder = next(piston for piston in pistons if bounds([piston]).top < seal.top and seal.bottom < bounds([piston]).bottom)
        wider = [Box(groove.left - LIP, groove.top, groove.right + LIP, groove.bottom) for groove in hollows(holder)]
        assert any(groove.holds(seal) for groove in wider)
        tip = seal.left if piece.part.edge == "outer" else seal.right
        assert any(abs(tip - wall) < 1 for wall in walls)
        body, upwards = bounds([holder]), piece.part.side_direction == "up"
        web = (bounds([housing]).top + bounds([housing]).bottom) / 2 if len(pistons) > 1 else bounds([housing]).top
        assert (body.top > web) if upwards else (body.bottom < web)


@given(HOUSINGS)
def test_parts_of_a_housing_do_not_run_into_each_other(stack: DrawnStack) -> None:
    """A spring stands beside the rim, outside the plates; no part lies in another."""
    layout = section_layout([stack], FRAME)
    places = {piece.part.part_id: bounds(piece.shapes) for piece in layout.pieces}
    skirt = areas(body_of(layout, 10))[0]
    if "spring" in places and "spacer" not in places:
        inside = sorted({point.x for point in skirt.points})[1]
        assert inside < places["spring"].left
        assert places["spring"].right < places["steel"].left


@given(st.floats(0.5, 3), st.floats(0.1, 3), st.integers(1, 9))
def test_a_wave_plate_is_flat_where_it_is_cut(thickness: float, rise: float, waves: int) -> None:
    """Its section is a box of its thickness, and the sign on it has as many crests as it has waves."""
    part = DrawnPart(1, "wave", "Wave plate", "wave", thickness, thickness + rise, teeth="outside", waves=waves)
    stack = DrawnStack("Pack", parts=(part, steel(2)))
    shapes = body_of(section_layout([stack], FRAME), 1)
    (body,) = areas(shapes)
    scale = scale_for([stack], FRAME.plate)
    assert len({point.y for point in body.points}) == 2
    assert bounds([body]).bottom - bounds([body]).top == pytest.approx(scale.thickness(part))
    (sign,) = (shape for shape in shapes if isinstance(shape, Line) and shape.of == "wave")
    heights = [point.y for point in sign.points]
    crests = sum(before > here < after for before, here, after in zip(heights, heights[1:], heights[2:], strict=False))
    assert crests == waves
    assert bounds([body]).holds(bounds([sign]))


@given(st.floats(0, 1.5), st.floats(0, 2.5))
def test_a_rim_is_cut_back_as_far_as_the_data_says(below: float, above: float) -> None:
    """From the lower and from the upper face, to scale; the face itself keeps the whole thickness."""
    plate = DrawnPart(
        2,
        "plate",
        "Plate",
        "reaction",
        5.0,
        teeth="outside",
        side_mark="chamfer",
        side_direction="up",
        rim_below_mm=below,
        rim_above_mm=above,
    )
    stack = DrawnStack("Pack", parts=(steel(1), plate))
    (body,) = areas(body_of(section_layout([stack], FRAME), 2))
    per_mm = scale_for([stack], FRAME.plate).per_mm
    box = bounds([body])
    rim = [point.y for point in body.points if point.x == box.left]
    assert box.bottom - box.top == pytest.approx(5 * per_mm)
    if above > 0 or below > 0:
        assert box.bottom - max(rim) == pytest.approx(below * per_mm, abs=1e-6)
        assert min(rim) - box.top == pytest.approx(above * per_mm, abs=13.1 if above == 0 else 1e-6)


@pytest.mark.parametrize(("edge", "cut"), [("outer", (True, False)), ("inner", (False, True)), ("both", (True, True))])
def test_a_chamfer_is_at_the_edge_that_the_data_names(edge: ChamferedEdge, cut: tuple[bool, bool]) -> None:
    """At the outer edge unless the data says otherwise."""
    plate = DrawnPart(
        1, "plate", "Plate", "backing", 4.0, teeth="outside", side_mark="chamfer", side_direction="up", chamfer=edge
    )
    (body,) = areas(body_of(section_layout([DrawnStack("Pack", parts=(plate,))], FRAME), 1))
    box = bounds([body])
    top = sorted(point.x for point in body.points if point.y == box.top)
    assert (top[0] > box.left, top[-1] < box.right) == cut


def test_a_bevelled_ring_bears_on_the_sloped_wall_of_its_groove() -> None:
    """The upper flank of the groove has the slope of the bevel and touches it; the room is under the ring."""
    ring = DrawnPart(2, "ring", "Ring", "snap-ring", 2.0, groove="upper", side_mark="chamfer", side_direction="up")
    stack = DrawnStack("Pack", "", "Drum", ("upper",), (steel(1), ring))
    pile = piled([stack], scale_for([stack], FRAME.plate), start=0)
    (notch,) = pile.notches
    bevel = next(shape for shape in pile.placed[1].shapes if isinstance(shape, Line))
    low, high = sorted(bevel.points)
    steep = (high.y - low.y) / (high.x - low.x)
    mouth, bottom = 50, 35
    assert notch.slope == pytest.approx((mouth - bottom) * steep)
    assert notch.high - (mouth - low.x) * steep - low.y == pytest.approx(0.8)
    assert pile.placed[1].low - notch.low == pytest.approx(4)


def test_a_ring_lies_against_the_flank_that_takes_the_load() -> None:
    """A ring over its pack is pressed up, one under a plate is pressed down."""
    parts = (
        steel(1),
        DrawnPart(2, "support", "Support ring", "snap-ring", 1.2, groove="lower"),
        DrawnPart(3, "plate", "Plate", "reaction", 5.0, teeth="outside"),
        DrawnPart(4, "ring", "Ring", "snap-ring", 1.6, groove="middle"),
    )
    stack = DrawnStack("Pack", "", "Drum", ("lower", "middle"), parts)
    pile = piled([stack], scale_for([stack], FRAME.plate), start=0)
    rooms = [
        (placed.low - notch.low, notch.high - placed.high)
        for placed, notch in zip((pile.placed[1], pile.placed[3]), pile.notches, strict=True)
    ]
    assert [room for pair in rooms for room in pair] == pytest.approx([0.8, 4, 4, 0.8])


def test_a_pack_alone_shows_what_holds_its_first_plate(units: dict[str, Unit]) -> None:
    """The rings of the pack below stand under and over the shared plate, in their own grooves, and are no parts of this one."""
    stack = pack_stack(units["alder-4"], "direct")
    assert [ring and ring.part_id for ring in (stack.holders.below, stack.holders.above)] == ["support-ring", "forward-ring-b"]
    layout = section_layout([stack], FRAME)
    rings = [area for area in areas(layout.behind) if area.of == "ring"]
    plate = bounds(body_of(layout, 1))
    assert [bounds([ring]).top > plate.bottom - 10 for ring in rings] == [True, False]
    assert [text.text.strip("\u2068\u2069") for text in layout.words if text.role == "groove"] == [
        f"{name}\u2069 groove" for name in ("upper", "middle", "lower")
    ]
    assert len(layout.pieces) == len(stack.parts)


def test_grooves_stand_in_the_order_that_the_data_gives(units: dict[str, Unit]) -> None:
    """From the lowest up, for every drum of the demo; those of the boss are not among those of the wall."""
    for unit in units.values():
        for name, pack in unit.packs.items():
            if pack.drum is None:
                continue
            layout = section_layout(linked_stacks(unit, name), FRAME)
            said = [
                text.text.replace("\u2068", "").partition("\u2069")[0]
                for text in layout.words
                if text.role == "groove" and "\u2068" in text.text
            ]
            heights = [text.at.y for text in layout.words if text.role == "groove"]
            assert heights == sorted(heights)
            assert said == [groove for groove in reversed(pack.drum.grooves) if groove in said]


def test_a_plate_that_is_too_thick_to_draw_has_a_break_across_it() -> None:
    """A usual plate has none."""
    thick = DrawnPart(4, "thick", "Thick plate", "backing", 40, teeth="outside")
    layout = section_layout([DrawnStack("Pack", parts=(steel(1), steel(2), steel(3), thick))], FRAME)
    broken = [
        piece.part.number for piece in layout.pieces if any(isinstance(one, Line) and one.of == "break" for one in piece.shapes)
    ]
    assert broken == [4]


@pytest.mark.parametrize("ball", [True, False])
def test_a_check_ball_is_drawn_where_the_data_says_so(ball: bool) -> None:
    """A ball in the web of the piston."""
    layout = section_layout(
        [DrawnStack("Pack", "", "Drum", (), (DrawnPart(1, "piston", "Piston", "piston", check_ball=ball),))], FRAME
    )
    shapes = body_of(layout, 1)
    balls = [shape for shape in shapes if isinstance(shape, Dot)]
    assert len(balls) == ball
    assert all(bounds(shapes[:1]).holds(bounds([one])) for one in balls)


FEEDS = (DrawnHole("Own feed", "boss"), DrawnHole("Wall feed", "wall"), DrawnHole("Ball", "floor", ball=True))


def test_feeds_and_check_balls_lead_to_the_chamber_and_carry_their_names() -> None:
    """Under a piston that pushes up: through the boss and the wall at the height of the chamber, the ball in the floor below it."""
    piston = DrawnPart(1, "piston", "Piston", "piston")
    stack = DrawnStack("Pack", "", "Drum", (), (piston, steel(2), FRICTION), holes=FEEDS)
    layout = section_layout([stack], FRAME)
    assert [text.text.strip("\u2068\u2069") for text in layout.words if text.role == "feed"] == ["Wall feed", "Own feed", "Ball"]
    boss, wall, ball = (bounds([area]) for area in areas(layout.over) if area.of == "outline")
    body = bounds(body_of(layout, 1))
    chamber = (body.bottom, drum_floor(layout))
    for hole in (boss, wall):
        assert chamber[0] <= hole.top < hole.bottom <= chamber[1]
    assert body.right < boss.left
    assert wall.right < body.left
    assert ball.top == pytest.approx(chamber[1])
    (dot,) = (shape for shape in layout.over if isinstance(shape, Dot))
    assert ball.holds(bounds([dot]))
    assert "Ball, a check ball in the floor: to the chamber of Pack." in description(
        [stack], scale_for([stack], 24), exploded=False
    )


def drum_floor(layout: Layout) -> float:
    """The height of the inside of the floor: between the two highest corners that the section has below its boss."""
    heights = sorted({point.y for point in drum_of(layout).points})
    return heights[-1] - DRUM_FLOOR


def test_a_pack_is_fed_through_the_housing_that_holds_its_piston(units: dict[str, Unit]) -> None:
    """The chamber that pushes down is that of the pack below, the one that pushes up that of the pack above; no two lines cross."""
    unit = units["rowan-6"]
    layout = section_layout(drum_stacks(unit, unit.drums["main-drum"]), FRAME)
    housing = bounds(next(piece.shapes for piece in layout.pieces if piece.part.part_id == "centre-housing"))
    holes = [bounds([area]) for area in areas(layout.over) if area.of == "outline"]
    assert [housing.holds(hole) for hole in holes] == [False, True, True]
    assert holes[2].bottom < holes[1].top
    lanes = [shape for shape in layout.over if isinstance(shape, Line) and shape.of == "hidden"]
    assert [line.points[1].x for line in lanes] == sorted(line.points[1].x for line in lanes)
    # On a shop screen the holes are there, but no words.
    bare = section_layout(drum_stacks(unit, unit.drums["main-drum"]), SHOP_SCREEN)
    assert [text.role for text in bare.words] == []
    assert sum(area.of == "outline" for area in areas(bare.over)) == 3


def test_the_piston_is_at_the_end_that_presses_the_pack() -> None:
    """Where nothing is said, plates behind a piston mean that it lies under its pack; what is said counts more."""
    parts = (steel(1), FRICTION, DrawnPart(3, "piston", "Piston", "piston"), steel(4))
    upper = {
        end: [item.upper for item in grouped(parts, end) if isinstance(item, PistonGroup)] for end in (None, "top", "bottom")
    }
    assert upper == {None: [False], "top": [True], "bottom": [False]}


@pytest.mark.parametrize(("end", "way"), [("top", "down"), (None, "up")])
def test_a_ring_under_a_pack_that_is_pressed_from_the_top_lies_on_the_lower_flank(end: End | None, way: str) -> None:
    """Its groove has the play on the other side; without a word about the end, a ring with no plate over it is pushed up."""
    ring = DrawnPart(1, "ring", "Ring", "snap-ring", 1.6, groove="lower")
    shim = DrawnPart(2, "shim", "Shim", "shim", 1.0)
    stack = DrawnStack("Pack", "", "Drum", ("lower",), (ring, shim, steel(3), FRICTION), pressed_from=end)
    pile = piled([stack], scale_for([stack], FRAME.plate), start=0.0)
    (notch,) = pile.notches
    placed = pile.placed[0]
    play = {"down": placed.low - notch.low, "up": notch.high - placed.high}
    assert play[way] == pytest.approx(min(play.values()))
    assert max(play.values()) > 2 * play[way]


def test_a_piston_that_pushes_up_reaches_through_the_ring_over_its_housing(units: dict[str, Unit]) -> None:
    """Its nose is right under the first plate of the pack above, not a ring below it."""
    unit = units["rowan-6"]
    layout = section_layout(drum_stacks(unit, unit.drums["main-drum"]), FRAME)
    housing = next(piece for piece in layout.pieces if piece.part.part_id == "centre-housing")
    wave = next(piece for piece in layout.pieces if piece.part.part_id == "reduction-wave")
    assert 0 < bounds(housing.shapes).top - bounds(wave.shapes).bottom < 15


@pytest.mark.parametrize("windows", [True, False])
def test_windows_are_hidden_edges_in_the_wall(windows: bool) -> None:
    """Under the lowest and over the highest plate that reaches the wall."""
    stack = DrawnStack("Pack", "", "Drum", (), (steel(1), steel(2)), windows=windows)
    layout = section_layout([stack], FRAME)
    edges = [shape.points[0].y for shape in layout.behind if isinstance(shape, Line) and shape.of == "hidden"]
    assert edges == (
        [pytest.approx(bounds(body_of(layout, 1)).bottom), pytest.approx(bounds(body_of(layout, 2)).top)] if windows else []
    )


def test_friction_teeth_reach_the_root_of_the_hubs_splines() -> None:
    """The splines of the hub are left out where a tooth of a plate stands in them."""
    parts = (
        steel(1), DrawnPart(2, "friction", "Friction plate", "friction", 1.7, teeth="inside"), steel(3), DrawnPart(4, "hub", "Hub", "hub"),
    )  # fmt: skip
    layout = section_layout([DrawnStack("Pack", parts=parts)], FRAME)
    core = next(bounds([area]) for area in areas(body_of(layout, 2)) if area.of == "core")
    splines = [bounds([area]) for area in areas(body_of(layout, 4)) if area.of == "spline"]
    assert all(0 <= spline.right - core.right <= 1.5 for spline in splines)
    assert all(spline.bottom <= core.top or spline.top >= core.bottom for spline in splines)
    assert len(splines) == 2


SHOP_SCREEN = Frame(type_size=60, row=26, words=False, measures=False, one_at_a_time=True, view_height=700)


def test_a_small_part_has_a_magnified_inset_on_the_shop_screen(units: dict[str, Unit]) -> None:
    """Each seal, spring and ring of the demo: at least half as large again, in its view, away from the part; a plate has none."""
    for unit in units.values():
        for name in unit.packs:
            layout = section_layout([pack_stack(unit, name)], SHOP_SCREEN)
            shown = {inset.part.number: inset for inset in layout.insets}
            small = {piece.part.number for piece in layout.pieces if piece.part.kind in {"lip-seal", "seal", "snap-ring"}}
            plates = {
                piece.part.number for piece in layout.pieces if piece.part.kind in {"steel", "friction", "wave", "backing", "hub"}
            }
            assert small <= set(shown)
            assert not plates & set(shown)
            for piece in layout.pieces:
                if piece.part.number not in shown:
                    continue
                inset, part = shown[piece.part.number], bounds(piece.shapes)
                assert inset.frame.right - inset.frame.left >= 1.5 * (inset.seen.right - inset.seen.left)
                assert inset.seen.holds(part)
                assert layout.views[piece.view].holds(inset.frame)
                assert (
                    inset.frame.right <= part.left
                    or part.right <= inset.frame.left
                    or inset.frame.bottom <= part.top
                    or part.bottom <= inset.frame.top
                )


def test_a_page_needs_no_insets(units: dict[str, Unit]) -> None:
    """Only where one number at a time is shown."""
    assert section_layout([pack_stack(units["alder-4"], "direct")], FRAME).insets == ()
