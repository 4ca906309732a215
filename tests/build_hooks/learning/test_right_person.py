"""The record belongs to the right person and the exercise to the right unit; a damaged entry hides nothing else."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from build_hooks.schemas import schema_of
from tests.build_hooks.learning.conftest import Learner
from tests.build_hooks.learning.records import PUT, records_in
from tests.build_hooks.learning.test_record import open_step, read_steps, tick_step
from tests.build_hooks.test_schemas import faults_of

pytestmark = pytest.mark.browser

SAMPLE: dict[str, Any] = json.loads((Path(__file__).parent / "sample-record.json").read_text(encoding="utf-8"))


def test_another_tab_does_not_change_whom_this_page_records_for(learner: Learner, page: Page, context: BrowserContext) -> None:
    """It says so, offers to follow, and records for the person it shows; what is ticked here appears there."""
    learner.open("first-week/")
    learner.be("Ben")
    learner.be("Ann")
    open_step(page, "read-start")
    other = Learner(context.new_page(), learner.address)
    other.open("first-week/")
    other.be("Ben")
    notice = page.locator(".bench-person-elsewhere")
    expect(notice).to_contain_text("Another tab now shows Ben. This page still records for Ann.")
    tick_step(page, "read-start")
    (step,) = [record["value"] for record in records_in(page) if record["kind"] == "step"]
    (ann,) = [record["id"] for record in records_in(page) if record["kind"] == "person" and record["value"]["name"] == "Ann"]
    assert step["person"] == ann
    other.be("Ann")
    expect(other.page.locator("li[data-step=read-start]")).to_have_attribute("data-state", "done")
    read_steps(other.page, "read-cleanliness")
    expect(page.locator("li[data-step=read-cleanliness]")).to_have_attribute("data-state", "done")
    expect(notice).to_have_count(0)
    other.be("Ben")
    page.locator("[data-bench=follow-person]").click()
    expect(page.locator(".bench-person-now")).to_contain_text("Ben")


def test_exercises_of_two_units_on_one_page_both_work(learner: Learner, page: Page) -> None:
    """Each has the data of its own unit."""
    learner.open("practice/")
    page.evaluate("""() => {
      for (const [unit, pack] of [["alder-4", "forward"], ["hazel-2", "high"], ["rowan-6", "low"]]) {
        const exercise = document.createElement("bench-exercise");
        Object.assign(exercise.dataset, { unit, pack, kind: "order", set: "4821", person: "elsewhere" });
        document.querySelector(".bench-practice-stage").append(exercise);
      }
    }""")
    expect(page.locator("bench-exercise[data-state=asked]")).to_have_count(3)


def test_one_card_that_is_refused_hides_no_other(learner: Learner, page: Page, tmp_path: Path) -> None:
    """The others are due, and the page says that one is missing."""
    record = copy.deepcopy(SAMPLE)
    record["reviews"][0]["card"]["due"] = record["reviews"][0]["due"] = "2026-11-20"
    second = copy.deepcopy(record["reviews"][0])
    second["id"] = second["card"]["id"] = f"{second['id']}1"
    second["card"]["due"] = "9100-01-01"
    record["reviews"].append(second)
    learner.open("record/")
    file = tmp_path / "record.json"
    file.write_text(json.dumps(record), encoding="utf-8")
    assert learner.read(file).startswith("6 records were read.")
    learner.open("practice/")
    learner.be("Wren Ashby")
    expect(page.locator("[data-bench=review]")).to_have_count(1)
    expect(page.locator("[data-bench=refused-cards]")).to_contain_text("1 exercise that was missed has a damaged date")


DAMAGED = [
    ("person", "x1", None),
    ("person", "x2", {"at": "2026-11-25T08:00:00Z", "id": "x2"}),
    ("person", "x3", {"at": "2026-11-25T08:00:00Z", "id": "x3", "name": 5}),
    ("person", "x4", []),
    ("step", "x5", None),
    ("step", "x6", {"at": 5, "id": "x6"}),
    ("signed", "x7", {"at": "2026-11-25T08:00:00Z", "id": "x7", "person": None}),
    ("attempt", "x8", "text"),
    ("attempt", "x9", {"at": "2026-11-25T08:00:00Z", "id": "other"}),
    ("review", "x10", {"at": "2026-11-25T08:00:00Z", "id": "x10", "card": {}}),
]


def test_damaged_entries_are_set_aside(learner: Learner, page: Page) -> None:
    """They are counted, can be removed, and the rest works as before: people, ticks, save and clear."""
    learner.open("first-week/")
    learner.be("Ann")
    read_steps(page, "read-start")
    for one in DAMAGED:
        page.evaluate(PUT, list(one))
    for where in ("first-week/", "index.html", "practice/", "record/"):
        learner.open(where)
        expect(page.locator(".bench-person-now")).to_contain_text("Ann")
        expect(page.locator("[data-bench=aside]")).to_contain_text("damaged and set aside. Everything else is unaffected.")
    expect(page.locator("[data-bench=aside]")).to_contain_text("9 entries of the record are")
    page.locator("[data-bench=remove-aside]").click()
    expect(page.locator("[data-bench=aside]")).to_have_count(0)
    assert {record["kind"] for record in records_in(page)} == {"person", "step", "review"}
    learner.open("practice/")
    page.locator("[data-bench=remove-aside]").click()
    expect(page.locator("[data-bench=aside]")).to_have_count(0)
    assert {record["kind"] for record in records_in(page)} == {"person", "step"}


def changed(**lists: Any) -> dict[str, Any]:
    """The sample with the first entry of some lists changed."""
    record = copy.deepcopy(SAMPLE)
    for name, changes in lists.items():
        record[name][0] |= changes
    return record


REFUSED_BY_SCHEMA = [
    changed(steps={"at": "2026-13-25T08:10:00.000Z"}),
    changed(steps={"at": "9999-11-25T08:10:00.000Z"}),
    changed(steps={"at": "2026-11-25T25:10:00.000Z"}),
    changed(signed={"on": "2026-02-30"}),
    changed(reviews={"card": {}}),
    changed(reviews={"card": SAMPLE["reviews"][0]["card"] | {"easiness": "1.2"}}),
    changed(reviews={"card": SAMPLE["reviews"][0]["card"] | {"interval": -1}}),
    changed(people={"name": ""}),
    changed(people={"name": "Wren  Ashby"}),
    changed(signed={"senior": " M. Fennick"}),
]
REFUSED_BY_PAGE = [
    (changed(signed={"senior": "wren ASHBY"}), "Nobody signs their own task."),
    (changed(signed={"on": "2150-01-01"}), "in the future"),
    (changed(attempts={"at": "2150-11-25T08:15:00.000Z"}), "in the future"),
    (
        SAMPLE | {"people": [*SAMPLE["people"], SAMPLE["people"][0] | {"id": "b", "name": "wren ashby"}]},
        "two people called wren ashby",
    ),
]


@pytest.mark.parametrize("record", REFUSED_BY_SCHEMA)
def test_the_schema_is_as_strict_as_the_page(record: dict[str, Any]) -> None:
    """What the page refuses by shape, any tool refuses that goes by the published schema."""
    schema = schema_of("progress")
    assert list(faults_of(record, schema, schema, "record"))


def test_a_file_that_cannot_be_true_is_refused_whole(learner: Learner, page: Page, tmp_path: Path) -> None:
    """Nothing of it is taken, and the reason is given."""
    learner.open("record/")
    file = tmp_path / "record.json"
    for record in REFUSED_BY_SCHEMA:
        file.write_text(json.dumps(record), encoding="utf-8")
        assert learner.read(file).startswith("This file is damaged: ")
    for record, reason in REFUSED_BY_PAGE:
        file.write_text(json.dumps(record), encoding="utf-8")
        assert reason in learner.read(file)
    assert records_in(page) == []


def test_damaged_readings_of_a_form_are_left(learner: Learner, page: Page) -> None:
    """Whatever a browser's storage holds, the form comes up and calculates."""
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(f"{learner.address}/units/alder-4/front-drum-clearance/")
    key = page.evaluate("""() => {
      const field = document.querySelector("bench-calc form input[name='trials.0.readings.0.lifts.0']");
      field.value = "1.20"; field.dispatchEvent(new Event("input", { bubbles: true }));
      return Object.keys(sessionStorage)[0];
    }""")
    assert key
    for value in (
        "null", "{", "[]", "5", '"text"', '{"lists":null,"entries":[],"mappings":{}}', '{"lists":{},"entries":[null],"mappings":{}}',
        '{"lists":{},"entries":[{"name":"trials.0.readings.0.lifts.0","value":5,"unit":"mm"}],"mappings":{}}', '{"lists":{"lifts":-1},"entries":[],"mappings":{}}',
        '{"lists":{},"entries":[],"mappings":{"effect":[null]}}', '{"lists":{},"entries":[],"mappings":null}',
    ):  # fmt: skip
        page.evaluate("([key, value]) => sessionStorage.setItem(key, value)", [key, value])
        page.reload()
        expect(page.locator("html[data-engine=ready]")).to_be_attached()
    assert faults == []
