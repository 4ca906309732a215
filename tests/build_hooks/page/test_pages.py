"""A page with a fault says what and where; a sound page is filled with its blocks."""

from datetime import date
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from build_hooks.edition import prepare
from build_hooks.library import load
from build_hooks.page.bench_pages import bench_pages
from build_hooks.page.pages import read_pages
from build_hooks.page.rendering import fill_markers

SHOP = """\
name: Test shop
invented: true
gauges:
  dial: {name: Dial, kind: dial, resolution: 0.01 mm, max_error: 0.02 mm}
  depth: {name: Depth, kind: depth, resolution: 0.01 mm, max_error: 0.02 mm}
tools:
  press: {name: Press, note: Mind the arc.}
waits: {soak: {name: Soak, minutes: 20, source: "common practice, no source"}}
"""
UNIT = """\
name: Test 2
invented: true
parts:
  lining: {name: Lining plate, kind: friction, thickness: 1.70 mm}
  plate: {name: Steel plate, kind: steel, thickness: 1.80 mm, once_only: true}
  wave: {name: Wave, kind: wave, thickness: 1.50 mm, free_height: 2.10 mm}
  ring-a: {name: Thin ring, kind: snap-ring, thickness: 1.50 mm, mark: blue}
  ring-b: {name: Thick ring, kind: snap-ring, thickness: 1.70 mm, mark: "<red>"}
packs:
  main:
    name: Main pack
    stack: [wave, {repeat: 2, of: [plate, lining]}, ring-a, {measure: With the dial.}]
    clearance: {min: 0.80 mm, max: 1.20 mm, wave: flat, at: 3 positions, method: dial, source: standard 1, revision: A}
selective:
  ring: {name: Ring, choices: [ring-a, ring-b], tightens: [main]}
"""


@pytest.fixture
def docs(tmp_path: Path) -> Path:
    """A small manual with one unit and no pages."""
    folder = tmp_path / "docs"
    (folder / "units" / "test-2").mkdir(parents=True)
    (folder / "shop.yml").write_text(SHOP, encoding="utf-8")
    (folder / "units" / "test-2" / "unit.yml").write_text(UNIT, encoding="utf-8")
    return folder


def told(docs: Path, page: str) -> list[str]:
    """The problems of a page of the unit, without its path."""
    path = docs / "units" / "test-2" / "page.md"
    path.write_text(page, encoding="utf-8")
    library, problems = load(docs)
    assert library is not None
    assert problems == ()
    return [str(problem).removeprefix(path.as_posix()) for problem in read_pages(docs, library)[1]]


def html(docs: Path, page: str) -> BeautifulSoup:
    """The blocks of a page that has no problem."""
    assert told(docs, page) == []
    library, _ = load(docs)
    assert library is not None
    made = read_pages(docs, library)[0].by_path["units/test-2/page.md"]
    return BeautifulSoup(fill_markers(made.source.text, made.blocks), "html.parser")


@pytest.mark.parametrize(
    ("page", "problem"),
    [
        ("# A\n\n```stack\npack: mian\n```\n", ":4:7: There is no pack “mian”. Did you mean “main”?"),
        ("```stack\npakc: main\n```\n", ":2:1: Unknown key “pakc”. Did you mean “pack”?"),
        ("    ```stack\n    pack: nope\n    ```\n", ":2:11: There is no pack “nope”. Known: main."),
        ("```stack\npack: main\n", ":1:1: The stack block has no end. Put the closing marks on a line of their own behind it."),
        ("```calc\ncalculation: plate-wear\npack: forward\n```\n", ":3:7: plate-wear does not use pack. Take it out. pack is for pack-clearance."),
        ("```calc\ncalculation: end-play\nunit: nope\n```\n", ":3:7: unit has no effect without shaft. Name the shaft, or take unit out."),
        ("```calc\ncalculation: pack-clearence\n```\n", ":2:14: There is no calculation “pack-clearence”. Did you mean “pack-clearance”?"),
        (
            '```calc\ncalculation: pack-clearance\npack: main\nexample: {lifts: [1.0 mm, "1,345 mm", 2 kg]}\n```\n',
            ":4:27: The example has no answer: “1,345” can be read in two ways. (1 more) Write 1.345 or 1345.",
        ),
        ("```spec\nunit: other\npack: main\n```\n", ":2:7: There is no unit “other”. Known: test-2."),
        ("```spec\n{}\n```\n", ":2:1: A spec names one thing: a pack, a float or a shaft. Write pack: forward, or shaft: input."),
        ("```spec\nfloat: play\n```\n", ":2:8: There is no float “play”. There is no float yet."),
        ("```tools\ntools: [pres]\n```\n", ":2:9: There is no tool “pres”. Did you mean “press”?"),
        ("```kit\npacks: [main]\n```\n", ":2:1: This kit lists nothing. Name parts under replace:, or packs with once_only: true."),
        ("```timer\nname: Soak\nminutes: 0\n```\n", ":3:10: A wait in minutes cannot be 0. Write a number from 1 to 10080."),
        ("```timer\nname: Soak\n```\n", ":2:1: This timer has no time. Write wait: and a wait of shop.yml, or name: and minutes:."),
        ("```timer\nwait: soka\n```\n", ":2:7: There is no wait “soka”. Did you mean “soak”?"),
        (
            "```timer\nwait: soak\nminutes: 5\n```\n",
            ":3:10: The wait soak has its minutes in shop.yml. Take one of the two out.",
        ),
        ("---\ntitel: x\n---\n# A\n", ":2:1: Unknown key “titel”. Did you mean “title”?"),
        (
            "---\nstatus: {state: approved}\n---\n",
            ":2:9: The state is approved, but there is no “approved_by” and no “approved_on”. Add for example approved_by: M. Fennick, approved_on: 2026-09-01, or make it a draft.",
        ),
    ],
)  # fmt: skip
def test_a_faulty_page_says_what_and_where(docs: Path, page: str, problem: str) -> None:
    """The whole message, at the line and column where it is to be mended."""
    assert problem in told(docs, page)


def test_every_fault_of_a_page_is_told_at_once(docs: Path) -> None:
    """Front matter and each block have their own."""
    page = "---\ntitel: x\n---\n```stack\npack: a\n```\n\n```spec\npack: b\n```\n"
    assert [line.split(": ")[0] for line in told(docs, page)] == [":2:1", ":5:7", ":9:7"]


def test_a_stack_lists_each_physical_part_in_order(docs: Path) -> None:
    """Repeats are written out: one item a part, numbered as it goes in."""
    items = html(docs, "```stack\npack: main\n```\n").select("[data-bench=stack] li[data-part]")
    assert [item["data-part"] for item in items] == ["wave", "plate", "lining", "plate", "lining", "ring-a"]
    assert [item["value"] for item in items] == ["1", "2", "3", "4", "5", "6"]


def test_the_list_says_where_to_measure_without_a_number(docs: Path) -> None:
    """Behind the ring, with limits, state of the wave plate and method: it is no part, so the numbers stay those of the drawing."""
    items = html(docs, "```stack\npack: main\n```\n").select("[data-bench=stack] > li")
    assert [item.get("value") for item in items] == ["1", "2", "3", "4", "5", "6", None]
    assert items[-1].text == "Measure here 0.80 to 1.20 mm. Wave plate pressed flat. With the dial, at 3 places.With the dial."


def test_the_signs_of_a_drawing_are_explained_beside_it(docs: Path) -> None:
    """Those that stand in it, and no others."""
    legend = html(docs, "```stack\npack: main\n```\n").select(".bench-stack-legend li")
    assert [item.text for item in legend] == [
        "ALWAYS NEW: never fit this part again once it has been out.",
        "THEN MEASURE: measure the clearance once this part is in.",
        "A wave line on a plate: a wave plate; several crests are the number of its waves.",
    ]
    assert html(docs, "```stack\npack: main\ndrawing: none\n```\n").select(".bench-stack-legend") == []


def test_a_drawing_is_as_wide_as_its_numbers_and_words_need(docs: Path) -> None:
    """Numbers of 11 pixels and words of 10 on a screen, words of 6.5 points on paper; on a narrow screen it is moved in its frame."""
    (frame,) = html(docs, "```stack\npack: main\n```\n").select(".bench-stack-frame")
    (drawn,) = frame.select("svg")
    (number, *_) = drawn.select(".drawing-number")
    screen, paper = (rule.rpartition(": ")[2] for rule in str(frame["style"]).split("; "))
    least, printed = float(screen.removesuffix("px")), float(paper.removesuffix("mm"))
    wide = float(str(drawn["viewbox"] if drawn.has_attr("viewbox") else drawn["viewBox"]).split()[2])
    assert float(str(number["font-size"])) * least / wide >= 11
    word = min(float(str(text["font-size"])) for text in drawn.select("text"))
    assert word * least / wide >= 10
    assert 6.5 <= word * printed / wide * 72 / 25.4 < 7


def test_a_whole_drum_is_one_list_with_each_place_to_measure(two_packs: Path) -> None:
    """Packs in the order that the drum says, pieces under the name of their pack, the shared plate under the number that it has."""
    soup = html(two_packs, "```stack\ndrum: drum\n```\n")
    assert soup.figcaption.text == "Whole Big drum: 8 parts, in the order they go in. 1 goes in first."
    items = soup.select("[data-bench=stack] > li")
    assert [item.get("value") or item.contents[0].text for item in items] == [
        "Lower pack", "1", "2", "3", "Main pack", "3", "4", "5", "6", "7", "8", "Measure here: Main pack",
    ]  # fmt: skip
    assert [item["value"] for item in items if item.has_attr("data-already-in")] == ["3"]
    assert [str(number.text) for number in soup.select("svg .drawing-number")] == ["1", "2", "3", "4", "5", "6", "7", "8"]
    assert soup.select_one(".bench-stack-wall a")["href"].endswith("wall/test-2/drum_drum/index.html")


def test_a_stack_block_names_a_pack_or_a_drum_that_says_its_order(two_packs: Path) -> None:
    """Not both, not neither; a drum without an order has no list."""
    neither = ":2:1: A stack names either a pack or a drum. Write pack: forward, or drum: front-drum."
    assert told(two_packs, "```stack\ndrawing: none\n```\n") == [neither]
    assert told(two_packs, "```stack\npack: main\ndrum: drum\n```\n") == [neither]
    data = two_packs / "units" / "test-2" / "unit.yml"
    data.write_text(data.read_text(encoding="utf-8").replace(", order: [lower, main]", ""), encoding="utf-8")
    assert told(two_packs, "```stack\ndrum: drum\n```\n") == [
        ":2:7: The drum “Big drum” does not say in which order its packs go in. Write its order: in unit.yml, or name a pack."
    ]


STEPS = """
    stack:
      - {part: wave, line_up: {mark: the notch, to: the rib}, tool: press, any_time_before: lining}
      - repeat: 2
        of: [plate, {part: lining, check: {text: Rim to plate, quantity: depth, min: 4.10 mm, max: 4.30 mm, at: 2 positions, source: standard 1, revision: A}}]
      - {part: ring-a, check: {text: Turn the hub., quantity: turning-torque, max: 0.6 N.m, gauge: wrench, source: standard 1, revision: B}}
      - {measure: With the dial.}
"""


def test_a_step_says_marks_tool_free_order_and_what_is_measured_after_it(docs: Path) -> None:
    """Each on a line of its own, told apart by its word; a check in a repeat comes at every turn, with a blank for each position."""
    data = docs / "units" / "test-2" / "unit.yml"
    stack = "    stack: [wave, {repeat: 2, of: [plate, lining]}, ring-a, {measure: With the dial.}]\n"
    steps = STEPS.lstrip("\n").replace("any_time_before: lining", "any_time_before: ring-a")
    assert stack in UNIT
    data.write_text(UNIT.replace(stack, steps), encoding="utf-8")
    (docs / "shop.yml").write_text(
        SHOP.replace("gauges:\n", "gauges:\n  wrench: {name: Small wrench, kind: wrench}\n"), encoding="utf-8"
    )
    items = html(docs, "```stack\npack: main\n```\n").select("[data-bench=stack] > li")
    assert [line.text for line in items[0].select("p")] == [
        "LINE UP the notch with the rib",
        "Tool: Press.",
        "May also go in at any time before the Thin ring.",
    ]
    checks = [items[at].select_one(".bench-stack-check") for at in (2, 4, 5)]
    depth = "CHECK Depth: 4.10 to 4.30 mm. Rim to plate. At 2 places. Standard 1, revision A.mmmm"
    torque = "CHECK Turning torque: at most 0.6 N·m. Turn the hub. With: Small wrench. Standard 1, revision B.N·m"
    assert [check.text for check in checks if check] == [depth, depth, torque]
    assert [len(check.select(".bench-stack-blank")) for check in checks if check] == [2, 2, 1]
    assert [len(item.select(".bench-stack-check")) for item in items] == [0, 0, 1, 0, 1, 1, 0]


TWO_PACKS = """\
name: Test 2
parts:
  lining: {name: Lining plate, kind: friction, thickness: 1.70 mm, worn_below: 1.50 mm}
  plate: {name: Steel plate, kind: steel, thickness: 1.80 mm}
  middle: {name: Middle plate, kind: reaction, thickness: 5.00 mm}
  wave: {name: Wave, kind: wave, thickness: 1.50 mm, free_height: 2.10 mm}
  long-wave: {name: Long wave, kind: wave, thickness: 0.06 in, free_height: 0.10 in}
drums:
  drum: {name: Big drum, order: [lower, main]}
packs:
  lower: {name: Lower pack, drum: drum, stack: [plate, lining, middle]}
  main:
    name: Main pack
    drum: drum
    stack: [middle, wave, lining, plate, lining, long-wave, {measure: With the dial.}]
    clearance: {min: 0.80 mm, max: 1.20 mm, wave: flat, at: 3 positions, method: dial, source: standard 1, revision: A}
"""


@pytest.fixture
def two_packs(docs: Path) -> Path:
    """The small manual with two packs about one plate, the upper one with two wave plates."""
    (docs / "units" / "test-2" / "unit.yml").write_text(TWO_PACKS, encoding="utf-8")
    return docs


def test_the_list_beside_a_drum_has_the_numbers_of_its_drawing(two_packs: Path) -> None:
    """Both packs are listed under their names; the plate they share has one number, in both lists as in the drawing."""
    soup = html(two_packs, "```stack\npack: main\ndrawing: drum\n```\n")
    assert [heading.text for heading in soup.select(".bench-stack-pack")] == ["Lower pack", "Main pack"]
    listed = [
        [(item["value"], item["data-part"]) for item in group.select("li[data-part]")]
        for group in soup.select("[data-bench=stack]")
    ]
    lower = [("1", "plate"), ("2", "lining"), ("3", "middle")]
    main = [("3", "middle"), ("4", "wave"), ("5", "lining"), ("6", "plate"), ("7", "lining"), ("8", "long-wave")]
    assert listed == [lower, main]
    drawn = {(part["data-step"], part["data-part"]) for part in soup.select("svg [data-part]")}
    assert drawn == {*lower, *main}
    assert soup.figcaption is not None
    assert soup.figcaption.text == "Lower pack and Main pack: 8 parts, in the order they go in. 1 goes in first."


def test_heights_of_two_wave_plates_are_added(two_packs: Path) -> None:
    """Free 2.10 mm + 0.10 in = 4.64 mm, flat 1.50 mm + 0.06 in = 3.024 mm: between them 1.616 mm go into the clearance."""
    soup = html(two_packs, "```calc\ncalculation: pack-clearance\npack: main\n```\n")
    values = {entry["name"]: entry.get("value") for entry in soup.select("input[name]")}
    assert (values["wave.free"], values["wave.flat"]) == ("4.64 mm", "3.024 mm")
    assert "2 wave plates flat, their heights added." in soup.get_text(" ")


def test_a_spec_shows_the_worn_limit_of_each_part_once(two_packs: Path) -> None:
    """With the state of the wave plates, so that both limits are at hand."""
    rows = [row.get_text("|") for row in html(two_packs, "```spec\npack: main\n```\n").select("tr")]
    assert "Worn limit|Lining plate: below 1.50 mm" in rows
    assert "2 wave plates|flat" in rows
    assert sum("Worn" in row for row in rows) == 1


def test_a_preset_panel_holds_the_limits_and_an_answer(docs: Path) -> None:
    """The entries are named by the contract; the worked example is answered by the engine at build time."""
    page = "```calc\ncalculation: pack-clearance\npack: main\nexample: {lifts: [1.1 mm, 1.2 mm, 1.3 mm]}\n```\n"
    soup = html(docs, page)
    names = [entry["name"] for entry in soup.select("input[name], select[name]")]
    assert {"lifts.0", "lifts.1", "lifts.2", "limits.min", "limits.max", "wave.measured", "fitted"} <= set(names)
    assert len(names) == len(set(names)) + 1  # the two radio buttons of the units share their name
    result = soup.select_one("[data-bench=result]")
    assert result is not None
    assert result["data-verdict"] == "in"
    assert "mean = (1.10 + 1.20 + 1.30) / 3 = 1.20 mm" in result.text
    assert "<red>" in soup.select_one("select[name=fitted]").text


def test_labels_belong_to_their_entries(docs: Path) -> None:
    """Every entry has a label and a place for its problem, and no id stands twice."""
    soup = html(
        docs, "```calc\ncalculation: pack-clearance\npack: main\n```\n\n```calc\ncalculation: pack-clearance\npack: main\n```\n"
    )
    ids = [found["id"] for found in soup.select("[id]")]
    assert len(ids) == len(set(ids))
    for entry in soup.select("[data-kind]"):
        assert soup.select_one(f'label[for="{entry["id"]}"]'), entry
        assert soup.select_one(f"#{entry['id']}-problem"), entry


def test_a_unit_at_fault_is_blamed_once(docs: Path) -> None:
    """A page that names a unit with problems of its own adds none."""
    (docs / "units" / "test-2" / "unit.yml").write_text(UNIT.replace("kind: steel", "kind: steal"), encoding="utf-8")
    (docs / "units" / "test-2" / "page.md").write_text("```stack\npack: main\n```\n", encoding="utf-8")
    edition, problems = prepare(docs, date(2026, 11, 25))
    assert edition is None
    assert [problem.code for problem in problems] == ["unknown-word"]


def test_every_page_says_that_it_is_invented(docs: Path) -> None:
    """The strip stands under the title, with the state of the page."""
    (docs / "units" / "test-2" / "page.md").write_text("# A\n", encoding="utf-8")
    edition, problems = prepare(docs, date(2026, 11, 25))
    assert list(problems) == []
    assert edition is not None
    written = edition.content("units/test-2/page.md", "<h1>A</h1><p>b</p>")
    assert written.startswith("<h1>A</h1><bench-job-bar ")
    assert '</bench-job-bar><div class="bench-standing"' in written
    assert "not for use on a real unit" in written
    assert "Draft" in written


WITHDRAWN = UNIT.replace("name: Test 2\n", "name: Test 2\nstatus: {state: withdrawn, withdrawn_because: see Test 3}\n", 1)


def test_what_is_withdrawn_says_so_on_screen_and_paper(docs: Path) -> None:
    """A page of its own state, and every page of a unit whose data are withdrawn, whatever it says of itself."""
    (docs / "units" / "test-2" / "unit.yml").write_text(WITHDRAWN, encoding="utf-8")
    approved = "status: {state: approved, approved_by: M. Fennick, approved_on: 2026-09-01}"
    (docs / "units" / "test-2" / "page.md").write_text(f"---\n{approved}\n---\n# A\n", encoding="utf-8")
    (docs / "b.md").write_text("---\nstatus: {state: withdrawn, withdrawn_because: see page A}\n---\n# B\n", encoding="utf-8")
    edition, problems = prepare(docs, date(2026, 11, 25))
    assert list(problems) == []
    assert edition is not None
    for path, reason in (("units/test-2/page.md", "see Test 3"), ("b.md", "see page A")):
        written = edition.content(path, "<h1>A</h1>", title="A")
        assert 'class="bench-standing bench-withdrawn"' in written
        assert f"<strong>Withdrawn</strong><span>Do not work from this page: {reason}</span>" in written
        assert "WITHDRAWN: do not work from this" in written


WITH_FLOAT = """\
name: Test 2
drums:
  drum: {name: Drum}
parts:
  lining: {name: Lining plate, kind: friction, thickness: 1.70 mm}
  middle-500: {name: Middle plate, kind: reaction, thickness: 5.00 mm, mark: one line}
  middle-520: {name: Thick middle plate, kind: reaction, thickness: 5.20 mm, mark: two lines}
  ring-a: {name: Thin ring, kind: snap-ring, thickness: 1.50 mm, mark: blue}
  ring-b: {name: Thick ring, kind: snap-ring, thickness: 1.70 mm, mark: red}
packs:
  main:
    name: Main pack
    drum: drum
    stack: [lining, middle-500, ring-a, {measure: With the dial.}]
    clearance: {min: 0.80 mm, max: 1.20 mm, at: 3 positions, method: dial, gauge: dial, source: standard 1, revision: A}
floats:
  play:
    name: Play of the middle plate
    drum: drum
    limits: {min: 0.05 mm, max: 0.55 mm, at: 3 positions, method: dial, gauge: dial, source: standard 2, revision: B}
selective:
  ring: {name: Ring, choices: [ring-a, ring-b], tightens: [main, play]}
  middle: {name: Middle, choices: [middle-500, middle-520], tightens: [main, play]}
"""
ROOM_FOR_ONE = """\
```calc
calculation: set-clearances
drum: drum
example: {main: {lifts: [1.39 mm, 1.39 mm, 1.39 mm]}, play: {lifts: [0.30 mm, 0.30 mm, 0.30 mm]}}
```
"""


@pytest.fixture
def with_float(docs: Path) -> Path:
    """The small manual with a plate that floats below its ring."""
    (docs / "units" / "test-2" / "unit.yml").write_text(WITH_FLOAT, encoding="utf-8")
    return docs


def test_a_drum_is_never_told_to_take_parts_that_would_not_go_in(with_float: Path) -> None:
    """Both thick parts would bring the pack to the middle of its limits, but the plate would be 0.10 mm too thick for its place."""
    (advice,) = html(with_float, ROOM_FOR_ONE).select("[data-output=advice]")
    assert advice.text == "Fit Middle: 5.20 mm, two lines. Then measure again."
    more_room = ROOM_FOR_ONE.replace("0.30 mm", "0.50 mm")
    (advice,) = html(with_float, more_room).select("[data-output=advice]")
    assert advice.text == "Fit Ring: 1.70 mm, red; Middle: 5.20 mm, two lines. Then measure again."


def test_the_limits_of_a_float_are_shown_with_their_source(with_float: Path) -> None:
    """A spec block names it like a pack."""
    (table,) = html(with_float, "```spec\nfloat: play\n```\n").select("[data-bench=spec]")
    assert [row.get_text(" ") for row in table.select("caption, tr")] == [
        "Test 2, Play of the middle plate: limits",
        "Limits 0.05 mm to 0.55 mm",
        "Measured at 3 positions",
        "Source standard 2, revision B",
    ]


def test_the_example_of_a_drum_names_its_packs_and_floats(with_float: Path) -> None:
    """A name that is neither is told at its place."""
    page = ROOM_FOR_ONE.replace("play:", "paly:")
    assert told(with_float, page) == [":4:61: The drum has no pack or float “paly” with limits. Did you mean “play”?"]


def test_parts_for_a_float_are_chosen_with_it(with_float: Path) -> None:
    """A choice for the pack alone could leave the plate no room."""
    choose = "```calc\ncalculation: choose-parts\npacks: [main{}]\nexample: {{clearances: {{main: 1.39 mm{}}}}}\n```\n"
    assert told(with_float, choose.format("", "")) == [
        ":3:8: A part of these packs also changes play. Name every pack that it touches."
    ]
    assert html(with_float, choose.format(", play", ", play: 0.30 mm")).select("[data-bench=result]")
    assert told(with_float, choose.format(", paly", "")) == [":3:15: There is no pack or float “paly”. Did you mean “play”?"]


def test_the_page_of_a_drum_has_its_floats(with_float: Path) -> None:
    """With the limits of the packs; what has no stack is no list of parts."""
    library, _ = load(with_float)
    assert library is not None
    page = bench_pages(library, read_pages(with_float, library)[0])["bench/test-2/drum.md"].text
    assert "```spec\nfloat: play\n```" in page
    assert "```stack\npack: play" not in page
