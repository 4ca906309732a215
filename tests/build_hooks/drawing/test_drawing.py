"""The drawing as SVG: sound markup whatever the data says, one group for each part, the same every time.

Run as a script, this file draws the figures anew; look at each of them before it is committed.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.drawing import DrawnClearance, DrawnPart, DrawnStack, Frame, draw_exploded, draw_section
from build_hooks.drawing.parts import DrawnHole, Holders
from build_hooks.markdown.html import html_of
from calc_engine import Element

FIGURES = Path(__file__).parent / "figures"
STYLE = Path(__file__).parents[3] / "build_hooks" / "styles" / "drawing.css"


def steel(number: int) -> DrawnPart:
    """A steel plate."""
    return DrawnPart(number, "steel", "Steel plate", "steel", 1.8, teeth="outside")


def friction(number: int) -> DrawnPart:
    """A friction plate."""
    return DrawnPart(number, "friction", "Friction plate", "friction", 1.7, teeth="inside")


SHARED = DrawnPart(
    12,
    "reaction",
    "Reaction plate",
    "reaction",
    5.0,
    teeth="outside",
    side_mark="chamfer",
    side_direction="up",
    look_alike=True,
    shared=True,
    rim_below_mm=0.6,
    rim_above_mm=1.8,
)
LOWER = DrawnStack(
    "Forward pack",
    "Alder 4, invented.",
    "Front drum",
    ("lower", "middle", "upper"),
    (
        DrawnPart(
            1,
            "seal-inner",
            "Inner seal",
            "lip-seal",
            side_mark="lip",
            side_direction="down",
            edge="inner",
            once_only=True,
            groove="boss seal",
            in_boss=True,
        ),
        DrawnPart(
            2, "seal-outer", "Outer seal", "lip-seal", side_mark="lip", side_direction="down", edge="outer", once_only=True
        ),
        DrawnPart(3, "piston", "Piston", "piston", side_mark="flat", side_direction="up", check_ball=True),
        DrawnPart(4, "spring", "Return spring", "return-spring"),
        DrawnPart(5, "retainer", "Retainer", "retainer", side_mark="lip", side_direction="up"),
        DrawnPart(6, "retainer-ring", "Retainer ring", "snap-ring", 1.6, once_only=True, groove="boss ring", in_boss=True),
        DrawnPart(7, "wave", "Wave plate", "wave", 1.5, 2.1, teeth="outside", waves=3),
        steel(8),
        friction(9),
        steel(10),
        friction(11),
        SHARED,
        DrawnPart(13, "ring", "Forward ring", "snap-ring", 1.57, groove="middle", look_alike=True),
        DrawnPart(14, "hub", "Forward hub", "hub", side_mark="step", side_direction="down"),
    ),
    DrawnClearance("0.90 to 1.40 mm", 12, 13, 1.15),
    windows=True,
    holes=(DrawnHole("Forward feed", "boss"), DrawnHole("Drum check ball", "floor", ball=True)),
)
UPPER = DrawnStack(
    "Direct pack",
    "",
    "Front drum",
    ("lower", "middle", "upper"),
    (
        SHARED,
        friction(15),
        steel(16),
        DrawnPart(17, "pressure", "Pressure plate", "pressure", 4.8, teeth="outside", side_mark="dimple", side_direction="up"),
        DrawnPart(18, "upper-spring", "Return spring", "return-spring"),
        DrawnPart(19, "upper-seal", "Seal", "seal", edge="outer"),
        DrawnPart(20, "housing", "Piston housing", "piston", pistons=("down",), shoulder="housing"),
        DrawnPart(
            21,
            "cover-ring",
            "Cover ring",
            "snap-ring",
            2.0,
            groove="upper",
            side_mark="chamfer",
            side_direction="up",
            once_only=True,
        ),
    ),
    DrawnClearance("0.80 to 1.20 mm", 17, 20, 1.0),
    holes=(DrawnHole("Direct feed", "wall"), DrawnHole("Ball of the wall", "wall", ball=True)),
    pressed_from="top",
)
THREE = DrawnStack(
    "Small pack", "", "Drum", ("only",), (steel(1), friction(2), DrawnPart(3, "ring", "Ring", "snap-ring", 2.0, groove="only"))
)
ODD = DrawnStack(
    "Two wave plates, no piston, no drum",
    parts=(
        DrawnPart(1, "wave-a", "Inner wave plate", "wave", 1.27, 1.73, teeth="outside", waves=5),
        steel(2),
        friction(3),
        DrawnPart(4, "wave-b", "Outer wave plate", "wave", 1.27, 1.57, teeth="outside"),
        DrawnPart(5, "washer", "Thrust washer", "thrust-washer", 1.5),
        DrawnPart(6, "bearing", "Bearing", "bearing"),
        DrawnPart(7, "shim", "Shim", "shim", 0.2),
        DrawnPart(8, "dish", "Coned plate", "backing", 3.0, teeth="outside", side_mark="dish", side_direction="down"),
    ),
)
HOSTILE = DrawnStack(
    "</title><script>alert(1)</script>",
    "\x00 & \ud800 \x1b ]]>",
    "<drum>",
    ('"><g>',),
    (
        DrawnPart(1, '"><script>', "<b>מקל</b> &amp; \x07", "steel", 1.8, teeth="outside", groove="<i>"),
        DrawnPart(2, "ring", "x" * 90, "snap-ring", 1.5, groove='"><g>'),
    ),
    DrawnClearance("<0.9> to &1.4; mm", 1, 2, 1.0),
)
NESTED = DrawnStack(
    "Drive pack",
    "",
    "Main drum",
    ("support", "stop", "housing"),
    (
        DrawnPart(1, "middle", "Centre plate", "reaction", 6.0, teeth="outside", rim_below_mm=0.6, rim_above_mm=2.4),
        friction(2),
        steel(3),
        DrawnPart(4, "spacer", "Housing spacer", "shim", 2.15, shoulder="housing"),
        DrawnPart(5, "drive-seal", "Drive seal", "lip-seal", side_mark="lip", side_direction="up", edge="outer"),
        DrawnPart(6, "over-seal", "Overdrive seal", "lip-seal", side_mark="lip", side_direction="down", edge="outer"),
        DrawnPart(
            7, "centre-housing", "Centre housing", "piston", side_mark="paint", side_direction="up", pistons=("down", "up")
        ),
        DrawnPart(
            8, "housing-ring", "Housing ring", "snap-ring", 2.6, groove="housing", side_mark="chamfer", side_direction="up"
        ),
    ),
    DrawnClearance("0.90 to 1.30 mm", 3, 7, 1.1),
    on_floor=False,
    holders=Holders(
        DrawnPart(1, "support", "Support ring", "snap-ring", 1.4, groove="support"),
        DrawnPart(2, "stop", "Low ring", "snap-ring", 2.0, groove="stop"),
        1.35,
    ),
)
THICK = DrawnStack(
    "Pack with a thick plate",
    parts=(steel(1), steel(2), steel(3), DrawnPart(4, "block", "Block", "backing", 40, teeth="outside")),
)
DRAWN = {
    "housing-with-two-pistons.svg": draw_section([NESTED]),
    "thick-plate.svg": draw_section([THICK]),
    "three-parts.svg": draw_section([THREE]),
    "no-piston.svg": draw_section([ODD]),
    "front-drum.svg": draw_section([LOWER, UPPER]),
    "front-drum-on-the-wall.svg": draw_section(
        [LOWER], Frame(words=False, measures=False, one_at_a_time=True, type_size=60, row=26)
    ),
    "forward-exploded.svg": draw_exploded([LOWER]),
}


def tree(drawing: Element) -> ET.Element:
    """The drawing with elements that can be looked for."""
    tag, attributes, children = drawing
    assert isinstance(tag, str)
    assert isinstance(attributes, dict)
    node = ET.Element(tag, attributes)
    for child in children:
        if isinstance(child, list):
            node.append(tree(child))
        else:
            node.text = child
    return node


def file_of(drawing: Element) -> str:
    """The drawing as a file that can be looked at by itself."""
    return html_of(drawing).replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1) + "\n"


@pytest.mark.parametrize("name", sorted(DRAWN))
def test_figures_stay_as_they_were_looked_at(name: str) -> None:
    """A change of the drawing shows in the figures, and so in the change's own record."""
    text = (FIGURES / name).read_text(encoding="utf-8")
    assert file_of(DRAWN[name]) == text
    assert ET.fromstring(text).tag == "{http://www.w3.org/2000/svg}svg"  # noqa: S314 - our own text


def test_every_part_is_one_group_in_the_order_it_goes_in() -> None:
    """`data-part` and `data-step` name each physical part once, the shared plate too."""
    groups = [group for group in tree(DRAWN["front-drum.svg"]).iter("g") if "data-part" in group.attrib]
    wanted = [*LOWER.parts, *UPPER.parts[1:]]
    assert [(group.get("data-part"), group.get("data-step")) for group in groups] == [
        (part.part_id, str(part.number)) for part in wanted
    ]
    assert [group.get("data-stack") for group in groups] == ["0"] * 14 + ["1"] * 7


def test_every_part_has_its_number() -> None:
    """Each number stands in a group with the step of its part."""
    labels = [group for group in tree(DRAWN["front-drum.svg"]).iter("g") if group.get("class") == "drawing-label"]
    numbers = [next(text.text for text in label.iter("text") if text.get("class") == "drawing-number") for label in labels]
    assert numbers == [str(number) for number in range(1, 22)]
    assert [label.get("data-step") for label in labels] == numbers


def test_once_only_and_look_alike_are_marked_in_words() -> None:
    """Both marks are words in frames of different shape, and they stand with the right parts."""
    marked: dict[str, list[str]] = {"ALWAYS NEW": [], "LOOK-ALIKE": []}
    for label in tree(DRAWN["front-drum.svg"]).iter("g"):
        for text in label.findall("text"):
            if text.text in marked:
                marked[text.text].append(label.get("data-step", ""))
    assert marked == {"ALWAYS NEW": ["1", "2", "6", "21"], "LOOK-ALIKE": ["12", "13"]}


def test_a_screen_reader_hears_the_whole_stack() -> None:
    """Title and description are named by the picture, and say parts, sides, grooves, clearance and scale; runs are said once."""
    root = tree(DRAWN["front-drum.svg"])
    title, words = root[0], root[1]
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{title.get('id')} {words.get('id')}"
    assert title.text == "Forward pack and Direct pack in Front drum: half section"
    assert words.text == (
        "Alder 4, invented. Half section, the drum's wall at the left and the axis at the right. "
        "Forward pack, from the bottom: 1: Inner seal, lip down, in the boss seal groove, always new; 2: Outer seal, lip down, always new; 3: Piston, flat up; "
        "4: Return spring; 5: Retainer, lip up; 6: Retainer ring, in the boss ring groove, always new; 7: Wave plate, 3 waves; "
        "8 to 11: 2 times Steel plate, then Friction plate; "
        "12: Reaction plate, chamfer up, shared by two packs, has a look-alike; 13: Forward ring, in the middle groove, has a look-alike; "
        "14: Forward hub, step down. Forward feed, through the boss: to the chamber of Forward pack. "
        "Drum check ball, a check ball in the floor: to the chamber of Forward pack. Clearance 0.90 to 1.40 mm, between 12 and 13. "
        "Direct pack, from the bottom: 12: Reaction plate, chamfer up, shared by two packs, has a look-alike; 15: Friction plate; "
        "16: Steel plate; 17: Pressure plate, dimple up; 18: Return spring; 19: Seal; 20: Piston housing; "
        "21: Cover ring, chamfer up, in the upper groove, always new. Its piston presses it from the top. "
        "Direct feed, through the wall: to the chamber of Direct pack. "
        "Ball of the wall, a check ball in the wall: to the chamber of Direct pack. Clearance 0.80 to 1.20 mm, between 17 and 20. "
        "Plates and rings to scale in thickness. All else not to scale."
    )


@pytest.mark.parametrize(
    ("sizes", "note"),
    [
        ((1.8, 1.8), "Plates and rings to scale in thickness. All else not to scale."),
        ((1.8, 1.8, 0.1), "Plates and rings to scale in thickness, but for step 3. All else not to scale."),
        ((1.8, 1.8, 90.0), "Plates and rings to scale in thickness, but for step 3. All else not to scale."),
        ((None, None, None, None, None), "Not to scale."),
    ],
)
def test_a_drawing_says_what_is_to_scale(sizes: tuple[float | None, ...], note: str) -> None:
    """A plate that would be too thin to see or too thick to fit is drawn otherwise, and the note says so."""
    parts = tuple(DrawnPart(at, "plate", "Plate", "steel", size, teeth="outside") for at, size in enumerate(sizes, start=1))
    notes = [
        text.text
        for text in tree(draw_section([DrawnStack("Pack", parts=parts)])).iter("text")
        if text.get("class") == "drawing-note"
    ]
    assert notes == [note]


def test_hostile_names_stay_words() -> None:
    """Angle brackets, quotes, control signs and broken signs: the page has one picture and nothing else."""
    for form, drawn in {"half section": draw_section([HOSTILE], key='"><script>'), "exploded": draw_exploded([HOSTILE])}.items():
        assert tree(drawn)[0].text == f"</title><script>alert(1)</script> in <drum>: {form}"
        page = BeautifulSoup(f"<main>{html_of(drawn)}</main>".encode(), "html.parser")
        assert page.find_all(["script", "b", "i"]) == []
        assert len(page.find_all("svg")) == 1


@given(st.text(max_size=60), st.text(max_size=60), st.text(max_size=20))
def test_any_text_gives_sound_markup(name: str, label: str, key: str) -> None:
    """Whatever signs names, ids, labels and keys are made of, a page has as many elements as the drawing."""
    parts = (
        DrawnPart(1, name, name, "steel", 1.8, teeth="outside", groove=name),
        DrawnPart(2, "ring", label, "snap-ring", 2.0, groove=label),
    )
    stack = DrawnStack(name, label, name, (label, name), parts, DrawnClearance(label, 1, 2))
    for drawn in (draw_section([stack], key=key), draw_exploded([stack], key=key)):
        found = BeautifulSoup(html_of(drawn).encode(), "html.parser").find_all(name=True)
        assert [node.name for node in found] == [node.tag for node in tree(drawn).iter()]


def test_the_same_data_gives_the_same_drawing() -> None:
    """Drawn twice, equal."""
    assert draw_section([LOWER, UPPER]) == DRAWN["front-drum.svg"]
    assert draw_exploded([LOWER]) == DRAWN["forward-exploded.svg"]


def test_ids_are_unique_on_a_page() -> None:
    """Different drawings, and the same drawing with different keys, share no id."""
    drawings = [*DRAWN.values(), draw_section([THREE], key="again"), draw_section([THREE], key="and again")]
    ids = [node.attrib["id"] for drawn in drawings for node in tree(drawn).iter() if "id" in node.attrib]
    assert len(ids) == 2 * len(drawings)
    assert len(set(ids)) == len(ids)


def test_a_long_stack_has_views_that_its_parts_name() -> None:
    """`data-views` lists every view from the bottom up, each part says which is its own, and the picture opens at the first."""
    root = tree(draw_section([LOWER, UPPER], Frame(view_height=300)))
    views = root.attrib["data-views"].split(";")
    steps = {group.attrib["data-step"]: int(group.attrib["data-view"]) for group in root.iter("g") if "data-part" in group.attrib}
    assert len(views) > 1
    assert steps["1"] == 0
    assert steps["21"] == len(views) - 1
    assert root.get("viewBox") == views[0]


@pytest.mark.parametrize("stacks", [[], [DrawnStack("Empty pack", "", "Drum", ("lower",))], [DrawnStack("")]])
def test_nothing_to_draw_is_a_drum_that_says_so(stacks: list[DrawnStack]) -> None:
    """No stack, or a stack without parts: a sound picture without parts."""
    for drawn in (draw_section(stacks), draw_exploded(stacks)):
        root = tree(drawn)
        assert not [group for group in root.iter("g") if "data-part" in group.attrib]
        assert root[1].text is not None
        assert ("no parts are listed" in root[1].text) is bool(stacks)


def test_seals_are_solid_springs_are_outlines_and_plates_are_hatched() -> None:
    """Materials are told apart without colour: by solid, outline, single hatch and cross-hatch."""
    groups = {group.get("data-kind"): group for group in tree(DRAWN["front-drum.svg"]).iter("g") if "data-part" in group.attrib}
    classes = {kind: {word for shape in group for word in shape.get("class", "").split()} for kind, group in groups.items()}
    assert "drawing-solid" in classes["lip-seal"]
    assert classes["return-spring"] == {"drawing-edge", "drawing-outline"}
    assert {"drawing-steel", "drawing-steel-hatch"} <= classes["steel"]
    assert {"drawing-lining", "drawing-lining-hatch", "drawing-core"} <= classes["friction"]


def test_the_drawing_carries_no_colour_of_its_own() -> None:
    """Colours come from the style sheet, so that light, dark and print each have their own."""
    for node in (node for drawn in DRAWN.values() for node in tree(drawn).iter()):
        assert {node.get("fill", "none"), node.get("stroke", "none")} <= {"none", "currentColor"}
        assert "style" not in node.attrib


def test_the_style_sheet_knows_every_class() -> None:
    """Each class of a shape is styled; those of plain words and plain hatch need no rule of their own."""
    sheet = re.sub(r"/\*.*?\*/", "", STYLE.read_text(encoding="utf-8"), flags=re.DOTALL)
    styled = set(re.findall(r"\.(drawing-[a-z-]+)", sheet))
    plain = {"drawing-groove", "drawing-feed", "drawing-name", "drawing-note", "drawing-title", "drawing-piston-hatch"}
    for drawn in DRAWN.values():
        shapes = (node for node in tree(drawn).iter() if node.tag in {"path", "circle", "rect", "text"})
        words = {word for shape in shapes for word in shape.get("class", "").split()}
        assert words - plain <= styled


if __name__ == "__main__":
    for figure, drawn in DRAWN.items():
        (FIGURES / figure).write_text(file_of(drawn), encoding="utf-8")
