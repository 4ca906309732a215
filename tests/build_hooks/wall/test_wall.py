"""The wall view's pages: every part in order, letters large enough, markup sound whatever the data says."""

import posixpath
from dataclasses import replace
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from build_hooks.library import Library, load
from build_hooks.model import State, Status, wrong_sentences
from build_hooks.wall import FormPlace, letter_size, wall_pages
from build_hooks.wall.pages import Place
from calc_engine import element

DEMO = Path(__file__).parents[3] / "docs"
PLACE = Place(
    "2026-11-25",
    lambda unit, pack: element("svg", {}, element("title", {}, f"{unit.id} {pack.id}")),
    lambda path: f"data:{path}",
)


@pytest.fixture(scope="module")
def library() -> Library:
    """The demo's data."""
    found, problems = load(DEMO)
    assert problems == ()
    assert found is not None
    return found


def test_every_pack_has_its_page(library: Library) -> None:
    """Start, one page a unit, one page a pack, at the fixed places."""
    pages = wall_pages(library, PLACE)
    expected = {"wall/index.html"}
    for unit in library.units.values():
        expected.add(f"wall/{unit.id}/index.html")
        expected |= {f"wall/{unit.id}/{pack.id}/index.html" for pack in unit.packs.values()}
        expected |= {f"wall/{unit.id}/gear_set/index.html"} if unit.gear_set else set()
        expected |= {f"wall/{unit.id}/drum_{drum.id}/index.html" for drum in unit.drums.values() if drum.order}
    assert set(pages) == expected


@pytest.mark.parametrize(
    ("status", "said"),
    [
        (Status(state=State.APPROVED), []),
        (Status(state=State.DRAFT), ["Draft"]),
        (Status(state=State.WITHDRAWN, withdrawn_because="see FL-40"), ["Withdrawn: do not build by this. see FL-40"]),
    ],
)
def test_every_screen_of_a_unit_says_how_far_its_data_have_got(library: Library, status: Status, said: list[str]) -> None:
    """In the foot, which every step shows; nothing where they are approved."""
    unit = replace(library.units["hazel-2"], status=status)
    pages = wall_pages(replace(library, units={unit.id: unit}), PLACE)
    for path in ("wall/hazel-2/index.html", "wall/hazel-2/high/index.html"):
        found = BeautifulSoup(pages[path], "html.parser").select(".wall-foot .wall-standing")
        assert [standing.text for standing in found] == said


def test_the_stack_has_one_entry_for_each_physical_part(library: Library) -> None:
    """In the order it goes in; the drawing stands outside, so that nothing is counted twice."""
    pages = wall_pages(library, PLACE)
    for unit in library.units.values():
        for pack in unit.packs.values():
            soup = BeautifulSoup(pages[f"wall/{unit.id}/{pack.id}/index.html"], "html.parser")
            found = [part["data-part"] for part in soup.select("[data-bench=stack] [data-part]")]
            assert found == [entry.part.id for entry in pack.physical_stack]
            assert soup.svg is not None
            assert soup.svg.title is not None
            assert soup.svg.title.text == f"{unit.id} {pack.id}"


def test_a_whole_drum_has_one_page_with_each_place_to_measure(library: Library) -> None:
    """Both packs under one run of numbers; the shared plate has a second step that lights it again; the menu leads there."""
    pages = wall_pages(library, PLACE)
    soup = BeautifulSoup(pages["wall/alder-4/drum_front-drum/index.html"], "html.parser")
    steps = soup.select(".wall-steps > li")
    assert [step["data-step"] for step in steps if "measure" in step["data-step"]] == ["measure-forward", "measure-direct"]
    measured = [index for index, step in enumerate(steps) if "measure" in step["data-step"]]
    assert [steps[index - 1]["data-part"] for index in measured] == ["forward-ring-b", "direct-pressure-480"]
    assert [steps[index].select_one(".wall-count").text for index in measured] == ["20 of 36 in", "30 of 36 in"]
    assert [steps[index].select_one("h2").text for index in measured] == [
        "Measure here: Forward pack",
        "Measure here: Direct pack",
    ]
    again = soup.select_one("[data-step=again-19]")
    assert (again["data-part"], again["data-lights"]) == ("reaction-plate-500", "19")
    assert [again.select_one(f".wall-{kind}").text for kind in ("count", "turn")] == ["19 of 36", "Already in"]
    assert soup.select_one(".wall-end h2").text == "All 36 parts in"
    assert (
        soup.select_one(".wall-end .wall-hold").text == "HOLD All 2 clearances within their limits, readings on the build sheet?"
    )
    menu = BeautifulSoup(pages["wall/alder-4/index.html"], "html.parser")
    card = menu.select_one('[id="drum_front-drum"]')
    assert (card["href"], card.text) == ("drum_front-drum/index.html", "5Whole Front drum36 parts, 2 packs")


def test_units_are_in_the_order_of_their_numbers(tmp_path: Path) -> None:
    """1, 2, 10, 11, and not 1, 10, 11, 2."""
    for number in (11, 2, 10, 1):
        (tmp_path / "units" / f"oak-{number}").mkdir(parents=True)
        text = f"name: Oak {number}\nparts: {{plate: {{name: Plate, kind: steel, thickness: 2 mm}}}}\npacks: {{low: {{name: Low, stack: [plate]}}}}\n"
        (tmp_path / "units" / f"oak-{number}" / "unit.yml").write_text(text, encoding="utf-8")
    (tmp_path / "shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    found, problems = load(tmp_path)
    assert problems == ()
    assert found is not None
    start = BeautifulSoup(wall_pages(found, PLACE)["wall/index.html"], "html.parser")
    assert [name.text for name in start.select(".wall-name")] == ["Oak 1", "Oak 2", "Oak 10", "Oak 11"]


def test_the_place_to_measure_says_limits_state_method_readings_and_form(library: Library) -> None:
    """Behind the forward ring, before the hub; the last screen says what is due then."""
    form = FormPlace("Front drum: set the clearance", "units/alder-4/front-drum-clearance/#calc-alder-4-forward")
    place = replace(PLACE, forms={("alder-4", "forward"): form})
    soup = BeautifulSoup(wall_pages(library, place)["wall/alder-4/forward/index.html"], "html.parser")
    steps = soup.select(".wall-steps > li")
    at = next(index for index, step in enumerate(steps) if step["data-step"] == "measure")
    assert (steps[at - 1]["data-part"], steps[at + 1]["data-part"]) == ("forward-ring-b", "forward-hub")
    assert steps[at].select_one(".wall-count").text == "20 of 21 in"
    said = [chunk.text.replace("\N{NO-BREAK SPACE}", " ") for chunk in steps[at].select(".wall-chunk")]
    assert said == [
        "0.90 to 1.40 mm",
        "Wave plate pressed flat.",
        "With the dial, at 4 places.",
        "Free the pack. Dial in a window, on a lug of the lowest steel. Zero pressed down, read lifted against the ring.",
        "HOLD Wave plate flat at zero, each lift repeats within 0.02 mm, float of the reaction plate read too?",
        "Form: Front drum: set the clearance",
        (
            "It takes two people: one presses both hooks, the other sets the dial. "
            "Then the float: dial on the reaction plate, which is pressed down on its support ring, then lifted."
        ),
        "Shop standard FL-12, revision C.",
        "21 Forward hub",
    ]
    assert steps[at].img["src"] == f"data:{form.address}"
    assert [chunk.text for chunk in soup.select(".wall-end .wall-chunk")] == [
        "HOLD Clearance within its limits, readings on the build sheet?",
        "Air check before the unit is closed.",
        "This stack on a phone",
    ]
    assert soup.select_one(".wall-end .wall-part").text == "All 21 parts in"


def test_what_goes_wrong_is_two_sentences(library: Library) -> None:
    """The fault, then what it leads to; what is written as one piece stays one."""
    entry = library.units["alder-4"].packs["forward"].physical_stack[0]
    assert wrong_sentences(replace(entry, wrong="lip up: the pack slips")) == "Wrong: lip up. The pack slips"
    assert wrong_sentences(replace(entry, wrong="an old ring has lost its tension")) == "Wrong: an old ring has lost its tension"
    assert wrong_sentences(replace(entry, wrong=None)) is None


def test_the_side_of_a_plate_is_the_truth(library: Library) -> None:
    """The stamped steel plates go in rounded edge up, all of them; nothing says that either way would do."""
    soup = BeautifulSoup(wall_pages(library, PLACE)["wall/alder-4/forward/index.html"], "html.parser")
    plate = soup.select_one("[data-part=forward-steel]")
    assert plate.select_one(".wall-side").text == "▲\N{NO-BREAK SPACE}Rounded edge up, all alike"
    assert plate.select_one(".wall-part").text == "Forward steel plate"
    assert plate.select_one(".wall-turn").text.replace("\N{NO-BREAK SPACE}", " ") == "1 of 5, 4 left"
    assert "ither way" not in plate.text


def test_a_step_says_marks_tool_and_what_is_measured_after_it(library: Library) -> None:
    """Marks, tool and figure must be seen; what else may be known can wait behind the arrow down."""
    pages = wall_pages(library, PLACE)
    soup = BeautifulSoup(pages["wall/alder-4/direct/index.html"], "html.parser")
    housing, ring, seal = (
        soup.select_one(f"[data-part={part}]") for part in ("direct-piston-housing", "cover-ring", "direct-seal-outer")
    )
    assert (
        housing.select_one(".wall-line-up").text
        == "LINE UP the drilled tooth of the housing with the feed hole in the drum's wall"
    )
    assert [ring.select_one(f".wall-{kind}").text.replace("\N{NO-BREAK SPACE}", " ") for kind in ("tool", "check", "source")] == [
        "Tool: Screw press with bridge.",
        "CHECK Turning torque: at most 0.6 N·m. Hold the drum, turn the direct hub slowly by its shaft.",
        "With: Turning torque gauge, 0 to 2 N.m. Shop standard FL-17, revision A.",
    ]
    assert seal.select_one(".wall-order").text == "May also go in at any time before the Direct piston housing."
    asides = [chunk for step in (housing, ring, seal) for chunk in step.select("[data-aside]")]
    assert not [chunk for chunk in asides if {"wall-line-up", "wall-tool", "wall-check"} & set(chunk["class"])]


def test_back_leads_to_a_card_that_is_there(library: Library) -> None:
    """What stands behind the address of the way up is the id of a card of that menu; the first menu has no way up."""
    pages = {path: BeautifulSoup(page, "html.parser") for path, page in wall_pages(library, PLACE).items()}
    assert pages["wall/index.html"].select_one(".wall-up") is None
    ups = [(path, soup.select_one(".wall-up")["href"]) for path, soup in pages.items() if path != "wall/index.html"]
    assert len(ups) == len(pages) - 1
    for path, address in ups:
        above, _, name = address.partition("#")
        menu = posixpath.normpath(posixpath.join(posixpath.dirname(path), above))
        assert len(pages[menu].select(f'[id="{name}"]')) == 1, path


def test_any_stack_is_three_presses_away(library: Library) -> None:
    """Units and packs carry number keys: two presses from the start screen, up to nine of each."""
    pages = wall_pages(library, PLACE)
    for path, page in pages.items():
        numbers = [link["data-number"] for link in BeautifulSoup(page, "html.parser").select("a[data-number]")]
        assert numbers == [str(number) for number in range(1, len(numbers) + 1)], path
        assert len(numbers) <= 9


def test_letters_subtend_twenty_minutes_of_arc(library: Library) -> None:
    """Height over distance is 0.00582 (NUREG-0700 rev. 3, 11.4.1.5-1 gives 0.006 for 20 minutes, rounded)."""
    for screen in library.shop.screens.values():
        size = letter_size(screen)
        assert float(size.capital_mm / screen.distance.base) == pytest.approx(0.00581778, abs=5e-9)
        capital_on_glass = size.size_vh / 100 * size.screen_mm * 668 / 1000
        assert float(capital_on_glass) == pytest.approx(float(size.capital_mm), rel=1e-9)


def test_a_43_inch_picture_is_535_mm_high(library: Library) -> None:
    """43 in x 25.4 x 9 / sqrt(337), by Pythagoras on a 16 to 9 picture."""
    screen = next(found for found in library.shop.screens.values() if found.diagonal.value == 43)
    assert float(letter_size(screen).screen_mm) == pytest.approx(535.46, abs=0.005)
