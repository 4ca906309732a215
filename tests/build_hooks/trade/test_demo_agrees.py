"""The demo's pages, findings and data say the same: an order, a count or a limit that stands in two places is read in both.

Each test holds a fault that was once in the demo and that no check of a build could know: it is about what this shop wrote.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import pytest
import yaml

from build_hooks.library import Library, load

_DOCS: Final = Path(__file__).parents[3] / "docs"
_TREE: Final = _DOCS / "trees" / "incoming.yml"
_BETWEEN: Final = re.compile(r"^\| \d+ \| ([^|]+) \|", re.MULTILINE)


@pytest.fixture(scope="module")
def library() -> Library:
    """The demo."""
    library, _ = load(_DOCS)
    assert library is not None
    return library


def _text(path: str) -> str:
    return (_DOCS / path).read_text(encoding="utf-8")


def _place(text: str, words: str) -> int:
    assert words in text, words
    return text.index(words)


def test_the_incoming_check_goes_in_one_order_everywhere() -> None:
    """Page, tree and comeback page name fluid, codes, pressure and drive in the same order; the exercise is marked by the tree."""
    tree = list(yaml.safe_load(_TREE.read_text(encoding="utf-8"))["questions"])
    page = _text("standards/incoming-check.md")
    headings = ("## Look at the fluid", "## Fault codes", "## Line pressure", "## Drive it", "## Stall")
    assert tree == ["since", "fluid", "codes", "pressure", "drive", "stall"]
    assert [*headings] == sorted(headings, key=lambda heading: _place(page, heading))
    assert "fluid, codes, pressure, drive, in that order" in _text("standards/comeback-inspection.md")


def test_the_tree_has_a_way_for_what_the_tables_of_the_pages_name() -> None:
    """Silver in the fluid, pressure too high and a one-way clutch that slips are in the tables: the tree leads on from each."""
    questions = yaml.safe_load(_TREE.read_text(encoding="utf-8"))["questions"]
    for page, row, question in (
        ("standards/incoming-check.md", "silver that shimmers", "fluid"),
        ("standards/line-pressure.md", "high in all positions", "pressure"),
    ):
        assert f"| {row} |" in _text(page)
        assert row in [answer["answer"] for answer in questions[question]["answers"]]
    assert "freewheel" in [answer["leads_to"] for answer in questions["drive"]["answers"]]


def test_a_limit_called_common_practice_stands_on_the_finding_s_page() -> None:
    """A finding that says "common practice" says the figure of its page, and one of a unit's list the figure of that list."""
    for path in sorted((_DOCS / "findings").glob("*.yml")):
        for name, finding in yaml.safe_load(path.read_text(encoding="utf-8"))["findings"].items():
            reading = finding.get("reading")
            if reading is None:
                continue
            assert reading["source"] in {"common practice, no source", "worn limit on the list of Rowan 6"}, name
            if reading["source"] == "common practice, no source":
                limits = [reading[end].removesuffix(" mm") for end in ("min", "max") if end in reading]
                assert " to ".join(limits) + " mm is common practice" in _text(finding["page"]), name


def test_the_worn_limit_of_the_findings_is_that_of_the_plate_they_name(library: Library) -> None:
    """It is the limit in the list of Rowan 6, and a new plate is above it."""
    findings = yaml.safe_load(_text("findings/plates.yml"))["findings"]
    plate = library.units["rowan-6"].parts["reverse-friction"]
    for name in ("thin-lining", "even-lining"):
        assert "Rowan 6 reverse" in findings[name]["part"]
        assert plate.worn_below is not None
        assert f"{float(plate.worn_below.value):.2f} mm" == findings[name]["reading"]["min"]


def test_nothing_runs_between_two_parts_that_turn_as_one(library: Library) -> None:
    """A needle bearing of the list of washers lies between parts that can turn against each other."""
    for unit in library.units.values():
        assert unit.gear_set is not None
        groups = [{member.replace(".", " ") for member in group} for group in unit.gear_set.joined]
        for between in _BETWEEN.findall(_text(f"units/{unit.id}/end-play.md")):
            pair = set(between.strip().split(" and "))
            assert not any(len(pair) == 2 and pair <= group for group in groups), (unit.id, between)


def test_a_washer_that_is_held_by_tabs_has_one_in_every_size(library: Library) -> None:
    """Output washers lie with their tabs in slots, so none is told apart by having no tab."""
    for unit in library.units.values():
        for part in unit.parts.values():
            assert part.mark != "no tab", (unit.id, part.id)


def test_a_pry_test_is_made_at_four_places() -> None:
    """As the standard of snap rings says, on every page and in every list."""
    assert "Repeat at 4 places" in _text("standards/snap-rings.md")
    for path in (*_DOCS.rglob("*.md"), *_DOCS.glob("units/*/unit.yml")):
        places = set(re.findall(r"pry test (?:passed )?at (\d+) places", path.read_text(encoding="utf-8")))
        assert places <= {"4"}, path


def test_pull_back_is_measured_on_the_engine() -> None:
    """The converter's page measures it with all bell bolts tight, so no final assembly asks for it on the bench."""
    for path in _DOCS.glob("units/*/final-assembly.md"):
        assert "Pull-back of the converter measured, before" not in path.read_text(encoding="utf-8"), path


def test_what_is_compared_with_the_depth_at_teardown_was_measured_at_teardown() -> None:
    """Two pages hold a depth against that of the teardown; the page of the teardown writes it down."""
    for page in ("standards/splines-and-hubs.md", "standards/thrust-washers-and-bearings.md"):
        assert "at teardown" in _text(page)
    assert "Measure how deep each drum and hub sits" in _text("standards/teardown-findings.md")


def test_the_level_is_set_before_its_plug_is_tight() -> None:
    """Nothing is drained or added after the plug was tightened."""
    page = _text("standards/first-fill.md")
    assert _place(page, "Drain or add, if the level is off") < _place(page, "Fit the plug with a new washer")


def test_every_worn_limit_of_a_list_is_asked_for_on_a_page_of_its_unit() -> None:
    """A plate below it is scrap, so a step of a page holds each plate against it."""
    for path in _DOCS.glob("units/*/unit.yml"):
        pages = "\n".join(page.read_text(encoding="utf-8") for page in path.parent.glob("*.md"))
        limits = re.findall(r"worn_below: ([0-9.]+ (?:mm|in))", path.read_text(encoding="utf-8"))
        assert limits, path
        for limit in limits:
            assert f"{limit} or more" in pages, (path, limit)


def test_what_a_list_wants_measured_is_a_step_of_a_page_and_its_gauge_lies_ready(library: Library) -> None:
    """The wall asks for the depth, height or torque of a part: so does the page, with the same limits, its gauge among its tools."""
    for unit in library.units.values():
        pages = [path.read_text(encoding="utf-8") for path in (_DOCS / "units" / unit.id).glob("*.md")]
        data = _text(f"units/{unit.id}/unit.yml")
        for check in re.findall(r"check: \{(.+?)\}", data):
            gauge = re.search(r"gauge: ([a-z-]+)", check)
            limit = re.search(r"max: ([0-9.]+ [A-Za-z.]+)", check)
            assert gauge is not None and limit is not None, check
            words = [limit[1], gauge[1]]
            assert any(all(word in page for word in words) for page in pages), (unit.id, words)


def test_above_a_shoulder_the_bore_is_wider() -> None:
    """What lies on the shoulder went in past the groove above it, so steel plates there are wider than those below it."""
    parts = yaml.safe_load(_text("units/rowan-6/unit.yml"))["parts"]
    below, above = (float(parts[name]["outer"].removesuffix(" mm")) for name in ("drive-steel", "reduction-steel"))
    shoulder = [float(parts["housing-spacer-200"][side].removesuffix(" mm")) for side in ("inner", "outer")]
    assert below <= shoulder[0] < above <= shoulder[1]
    assert "smaller across than the low rings" not in _text("units/rowan-6/unit.yml")
