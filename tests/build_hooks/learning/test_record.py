"""The record: what is kept over a reload, who may do what, and the file that carries it from machine to machine."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from build_hooks.schemas import schema_of
from tests.build_hooks.learning.conftest import Learner
from tests.build_hooks.learning.records import PUT, do_before
from tests.build_hooks.test_schemas import faults_of

pytestmark = pytest.mark.browser


def today(page: Page) -> str:
    """The day as the page's calendar has it."""
    day: str = page.evaluate("new Intl.DateTimeFormat('sv-SE').format(new Date())")
    return day


def read_steps(page: Page, *steps: str) -> None:
    """Opens pages, as a reader does, and ticks them as read."""
    for step in steps:
        open_step(page, step)
        tick_step(page, step)


def open_step(page: Page, step: str) -> None:
    """Opens the page of a step."""
    opened = page.context.new_page()
    opened.goto(str(page.locator(f"li[data-step={step}] .bench-step-what a").evaluate("link => link.href")))
    opened.close()


def tick_step(page: Page, step: str) -> None:
    """Ticks a page that was opened as read."""
    item = page.locator(f"li[data-step={step}]")
    item.locator("[data-bench=have-read]").click()
    expect(item).to_have_attribute("data-state", "done")


def sign(page: Page, step: str, senior: str = "M. Fennick") -> None:
    """Signs a task."""
    item = page.locator(f"li[data-step={step}]")
    item.locator("[data-bench=open-sign]").click()
    item.get_by_role("radio", name=senior, exact=True).check()
    item.get_by_role("button", name="I watched this task").click()


def some_record(learner: Learner) -> None:
    """Two people, pages read, a task signed."""
    page = learner.page
    learner.open("first-week/")
    learner.be("Tomasz Reed")
    learner.be("Wren Ashby")
    read_steps(page, "read-start", "read-walk")
    sign(page, "walk-task")
    expect(page.locator("li[data-step=walk-task]")).to_have_attribute("data-state", "done")


def test_what_is_done_and_what_is_next_outlives_a_reload(learner: Learner, page: Page) -> None:
    """Each step is kept when it is done; the next one is marked, and said on the index as well."""
    some_record(learner)
    page.reload()
    expect(page.locator(".bench-path-done")).to_have_text("3 of 42 steps done.")
    expect(page.locator("li[data-next]")).to_have_attribute("data-step", "read-cleanliness")
    expect(page.locator("li[data-step=walk-task] .bench-step-state")).to_contain_text(f"Seen by M. Fennick on {today(page)}.")
    learner.open("index.html")
    expect(page.locator("li[data-path=first-week]")).to_contain_text("3 of 42 steps done.")
    expect(page.locator("li[data-path=first-week]")).to_contain_text("Next: Cleanliness")


def test_each_person_has_a_record_of_their_own(learner: Learner, page: Page) -> None:
    """Several people share a machine; who is chosen sees their own steps, and no name is taken twice."""
    some_record(learner)
    learner.be("Tomasz Reed")
    expect(page.locator(".bench-path-done")).to_have_text("0 of 42 steps done.")
    page.locator("[data-bench=change-person]").click()
    page.locator("[name=new-person]").fill("wren ashby")
    page.locator(".bench-person-add button").click()
    expect(page.locator(".bench-person-fault")).to_have_text(
        "There is a wren ashby already. Choose them, or write the new name in full."
    )


def test_a_page_is_ticked_only_after_it_was_opened(learner: Learner, page: Page) -> None:
    """By who is learning, and in an order of their own; another person has to open it again."""
    learner.open("first-week/")
    learner.be("Wren Ashby")
    item = page.locator("li[data-step=read-seals]")
    expect(item.locator("[data-bench=have-read]")).to_be_disabled()
    expect(item).to_contain_text("Open the page first.")
    item.locator(".bench-step-what a").click()
    page.wait_for_url("**/standards/seals/")  # Until it is loaded: its script notes that it was opened.
    page.go_back()
    expect(item).not_to_contain_text("Open the page first.")
    item.locator("[data-bench=have-read]").click()
    expect(item).to_contain_text(f"Read on {today(page)}.")
    learner.be("Tomasz Reed")
    expect(item.locator("[data-bench=have-read]")).to_be_disabled()


def test_a_page_that_the_path_changed_is_opened_again(learner: Learner, page: Page, kept: Callable[[], Any]) -> None:
    """That it was open for the older edition does not count for the newer one."""
    learner.open("first-week/")
    learner.be("Wren Ashby")
    read_steps(page, "read-air-check")
    (record,) = (record for record in kept() if record["kind"] == "step")
    page.evaluate(PUT, ["step", record["id"], {**record["value"], "edition": "A"}])
    page.reload()
    item = page.locator("li[data-step=read-air-check]")
    expect(item).to_have_attribute("data-state", "again")
    expect(item.locator("[data-bench=have-read]")).to_be_disabled()
    read_steps(page, "read-air-check")


def test_a_browser_that_notes_nothing_lets_pages_be_ticked(chromium: Any, address: str) -> None:
    """Where the storage is off nobody can know what was opened: nobody is locked out for that."""
    context = chromium.new_context(service_workers="block")
    page = context.new_page()
    page.add_init_script("Storage.prototype.setItem = () => { throw new DOMException('no', 'SecurityError'); }")
    learner = Learner(page, address)
    learner.open("first-week/")
    learner.be("Wren Ashby")
    page.locator("li[data-step=read-start] [data-bench=have-read]").click()
    expect(page.locator("li[data-step=read-start]")).to_have_attribute("data-state", "done")
    context.close()


def test_a_senior_of_the_shop_signs_today_after_the_steps_before(learner: Learner, page: Page) -> None:
    """No name can be typed and no day chosen; a senior with a PIN gives it; a signature can be taken back."""
    learner.open("first-week/")
    learner.be("Wren Ashby")
    item = page.locator("li[data-step=walk-task]")
    expect(item.locator("[data-bench=open-sign]")).to_be_disabled()
    expect(item).to_contain_text("Signed after the steps before it: Start here; A walk round the shop.")
    expect(page.locator("li[data-step=layout-task]")).to_contain_text("Start here; A walk round the shop; and 5 more.")
    read_steps(page, "read-start", "read-walk")
    item.locator("[data-bench=open-sign]").click()
    expect(item.get_by_role("radio")).to_have_count(2)
    expect(item.locator("input[type=text], input[type=date]")).to_have_count(0)
    expect(item.locator("input[type=password]")).to_be_hidden()
    watched = item.get_by_role("button", name="I watched this task")
    watched.click()
    expect(item.locator(".bench-sign-fault")).to_have_text("Choose the name of the senior who watched.")
    item.get_by_role("radio", name="A. Dorn").check()
    for pin in ("", "2605", "02604"):
        item.locator("input[type=password]").fill(pin)
        watched.click()
        expect(item.locator(".bench-sign-fault")).to_have_text("This is not the PIN of that senior. Type it again.")
    item.locator("input[type=password]").fill("2604")
    watched.click()
    expect(item).to_contain_text(f"Seen by A. Dorn on {today(page)}.")
    item.get_by_role("button", name="Take it back").click()
    expect(item).to_have_attribute("data-state", "open")
    sign(page, "walk-task")
    expect(item).to_contain_text(f"Seen by M. Fennick on {today(page)}.")


def test_nobody_signs_their_own_task(learner: Learner, page: Page) -> None:
    """A senior who learns is not among those who may sign, however they write their name."""
    learner.open("first-week/")
    learner.be("m.  fennick")
    read_steps(page, "read-start", "read-walk")
    item = page.locator("li[data-step=walk-task]")
    item.locator("[data-bench=open-sign]").click()
    expect(item.get_by_role("radio")).to_have_count(1)
    expect(item.get_by_role("radio", name="A. Dorn")).to_be_visible()


def test_an_old_signature_of_another_name_is_read_and_shown_as_such(learner: Learner, page: Page, tmp_path: Path) -> None:
    """A record from before, or of a senior who has left, still counts, and says that the shop does not name them."""
    learner.open("record/")
    record = json.loads((Path(__file__).parent / "sample-record.json").read_text(encoding="utf-8"))
    record["signed"][0]["senior"] = "O. Vane"
    file = tmp_path / "record.json"
    file.write_text(json.dumps(record), encoding="utf-8")
    assert learner.read(file).startswith("5 records were read.")
    expect(page.locator("[data-bench=matrix] tr[data-task=layout-task]")).to_contain_text(
        "O. Vane (not a senior in shop.yml now)"
    )
    learner.open("first-week/")
    learner.be("Wren Ashby")
    item = page.locator("li[data-step=layout-task]")
    expect(item).to_contain_text("Seen by O. Vane (not a senior in shop.yml now) on 2026-11-24.")
    expect(item).to_have_attribute("data-state", "done")


def test_a_path_waits_for_the_path_that_it_needs(learner: Learner, page: Page) -> None:
    """Nothing of it can be ticked or signed before; it says what is missing."""
    some_record(learner)
    learner.open("front-drum/")
    expect(page.locator(".bench-path-first")).to_have_text(
        "First finish First week. You may read ahead, but nothing on this path can be ticked or signed until then."
    )
    expect(page.locator("[data-needs=first-week]")).to_have_text("First week 3 of 42 done")
    expect(page.locator("[data-bench=have-read]").first).to_be_disabled()
    expect(page.locator("[data-bench=open-sign]").first).to_be_disabled()
    expect(page.locator("li[data-next]")).to_have_count(0)


def test_who_passed_an_older_edition_is_told_what_changed(learner: Learner, page: Page, tmp_path: Path) -> None:
    """What the new edition changed, and which steps are to be done again; the rest still counts."""
    some_record(learner)
    do_before(page, "clearance-task")
    sign(page, "clearance-task")
    expect(page.locator("li[data-step=clearance-task]")).to_have_attribute("data-state", "done")
    learner.open("record/")
    file = learner.save(tmp_path)
    older = json.loads(file.read_text(encoding="utf-8"))
    for record in (*older["steps"], *older["signed"], *older["attempts"]):
        # Later than what is here, so that it is taken, and not so late that it is refused.
        record["edition"], record["at"] = "A", (datetime.now(UTC) + timedelta(hours=1)).strftime("%Y-%m-%dT%H:%M:%SZ")
    file.write_text(json.dumps(older), encoding="utf-8")
    learner.read(file)
    expect(page.locator("[data-bench=matrix] tr[data-task=clearance-task] td[data-state=again]")).to_contain_text(
        "Again · M. Fennick"
    )
    learner.open("first-week/")
    changes = page.locator("[data-bench=changes]")
    expect(changes).to_contain_text("What has changed since you began (edition A):")
    expect(changes).to_contain_text("Edition B: The air check is now part of day 4, with a senior listening.")
    expect(changes).to_contain_text("6 steps must be done again; they are marked.")
    expect(page.locator("li[data-step=clearance-task] .bench-step-again")).to_have_text(
        "Again: Done in edition A; it has changed since."
    )
    expect(page.locator("li[data-step=read-start]")).to_have_attribute("data-state", "done")


def test_practice_for_a_path_counts_what_was_right_at_the_first_go(learner: Learner, page: Page, tmp_path: Path) -> None:
    """Two different exercises right at the first go make the step; a second try and the same one again do not."""
    learner.open("first-week/")
    learner.be("Wren Ashby")
    learner.open("record/")
    file = learner.save(tmp_path)
    record = json.loads(file.read_text(encoding="utf-8"))
    (person,) = record["people"]
    same = {"person": person["id"], "exercise": "order", "unit": "hazel-2", "pack": "high", "on": "2026-11-25",
            "path": "first-week", "step": "order-high", "edition": "D"}  # fmt: skip
    answers = [(101, True, True), (101, True, True), (102, False, True), (102, True, False)]
    record["attempts"] = [
        {"id": f"{person['id']}/{number}", "at": "2026-11-25T08:00:00Z", **same, "seed": seed, "right": right, "first": first}
        for number, (seed, right, first) in enumerate(answers)
    ]
    file.write_text(json.dumps(record), encoding="utf-8")
    assert learner.read(file) == "5 records were read. Newer entries already here were left as they are."
    learner.open("first-week/")
    expect(page.locator("li[data-step=order-high]")).to_contain_text("1 of 2 right at the first go.")
    record["attempts"].append({**record["attempts"][0], "id": f"{person['id']}/9", "seed": 104})
    file.write_text(json.dumps(record), encoding="utf-8")
    learner.open("record/")
    learner.read(file)
    learner.open("first-week/")
    expect(page.locator("li[data-step=order-high]")).to_have_attribute("data-state", "done")


def test_save_clear_and_open_gives_the_same(learner: Learner, page: Page, kept: Callable[[], Any], tmp_path: Path) -> None:
    """The file fits the published schema; what is read from it is what was there, to the last record."""
    some_record(learner)
    learner.open("record/")
    before = kept()
    assert len(before) == 5
    file = learner.save(tmp_path)
    schema = schema_of("progress")
    saved = json.loads(file.read_text(encoding="utf-8"))
    assert list(faults_of(saved, schema, schema, "file")) == []
    assert saved["manual"] == "Fennick Lane Rebuilders"
    learner.clear()
    assert kept() == []
    expect(page.locator("[data-bench=matrix]")).to_contain_text("Nobody is in the record yet.")
    assert learner.read(file) == "5 records were read. Newer entries already here were left as they are."
    assert kept() == before


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("cut", "This file is damaged or is not a saved record."),
        ("empty", "This file is damaged or is not a saved record."),
        ("list", "This file is not a record of learning."),
        ("job", "This file is not a record of learning."),
        (
            "newer",
            "This file was saved by a newer edition of the manual (file version 2; this page reads 1). Open it there.",
        ),
        ("elsewhere", "This file belongs to another manual: Quay Lane."),
        ("day", "This file is damaged: “on” of “steps” of the file, item 1 is not a day."),
        ("lacks", "This file is damaged: “signed” of the file, item 1 has no “senior”."),
        ("more", "This file is damaged: the file has a “colour” that does not belong there."),
        ("seed", "This file is damaged: “people” of the file is not of the type array."),
        ("stranger", "This file is damaged: a record in “steps” belongs to somebody who is not in the file."),
    ],
)
def test_a_file_that_is_not_sound_changes_nothing(
    change: str, said: str, learner: Learner, kept: Callable[[], Any], tmp_path: Path
) -> None:
    """Damaged, foreign or newer: it says which, and every record stays as it was."""
    some_record(learner)
    learner.open("record/")
    file = learner.save(tmp_path)
    before = kept()
    text = file.read_text(encoding="utf-8")
    file.write_text(spoilt(change, text), encoding="utf-8")
    assert learner.read(file) == f"{said} Nothing was changed."
    assert kept() == before


def spoilt(change: str, text: str) -> str:
    """The file with something wrong; a sound new person in it must not get in either."""
    record = json.loads(text)
    record["people"].append({"id": "newcomer", "at": datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"), "name": "New Comer"})
    changes: dict[str, Callable[[], object]] = {
        "list": lambda: [record],
        "job": lambda: {"format": "benchleaf-job", "version": 1},
        "newer": lambda: {**record, "version": 2, "something": "new"},
        "elsewhere": lambda: {**record, "manual": "Quay Lane"},
        "day": lambda: {**record, "steps": [{**record["steps"][0], "on": "2026-02-30"}, *record["steps"][1:]]},
        "lacks": lambda: {**record, "signed": [{key: item for key, item in record["signed"][0].items() if key != "senior"}]},
        "more": lambda: {**record, "colour": "green"},
        "seed": lambda: {**record, "people": {}},
        "stranger": lambda: {**record, "people": record["people"][2:]},
    }
    whole = json.dumps(changes[change]() if change in changes else record)
    return {"cut": whole[: len(whole) // 2], "empty": ""}.get(change, whole)


def test_of_two_records_the_newer_one_stands(learner: Learner, page: Page, tmp_path: Path) -> None:
    """An old file does not take back what has been done since."""
    learner.open("first-week/")
    learner.be("Wren Ashby")
    read_steps(page, "read-start")
    learner.open("record/")
    file = learner.save(tmp_path)
    learner.open("first-week/")
    page.locator("li[data-step=read-start]").get_by_role("button", name="Take it back").click()
    expect(page.locator("li[data-step=read-start]")).to_have_attribute("data-state", "open")
    read_steps(page, "read-cleanliness")
    learner.open("record/")
    learner.read(file)
    learner.open("first-week/")
    expect(page.locator("li[data-step=read-start]")).to_have_attribute("data-state", "open")
    expect(page.locator("li[data-step=read-cleanliness]")).to_have_attribute("data-state", "done")


def test_storage_that_is_refused_is_said_and_the_file_is_offered(chromium: Any, address: str, tmp_path: Path) -> None:
    """The page goes on by itself; nothing is said to be kept that is not, and the file holds it all."""
    context = chromium.new_context()
    page = context.new_page()
    page.add_init_script("IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); }")
    learner = Learner(page, address)
    learner.open("first-week/")
    learner.be("Wren Ashby")
    read_steps(page, "read-start")
    trouble = page.locator("[data-bench=kept-trouble]")
    expect(trouble).to_contain_text("This browser stores nothing for this manual, so the record lasts only as long as this page.")
    with page.expect_download() as download:
        trouble.locator("[data-bench=save-record]").click()
    download.value.save_as(tmp_path / "record.json")
    saved = json.loads((tmp_path / "record.json").read_text(encoding="utf-8"))
    assert [person["name"] for person in saved["people"]] == ["Wren Ashby"]
    assert [step["step"] for step in saved["steps"]] == ["read-start"]
    context.close()


def test_storage_that_is_full_is_said_and_tried_again(learner: Learner, page: Page, kept: Callable[[], Any]) -> None:
    """The entry stays in the page and is written with the next one, as soon as there is room."""
    learner.open("first-week/")
    learner.be("Wren Ashby")
    page.evaluate(
        """() => {
          window.realPut = IDBObjectStore.prototype.put;
          IDBObjectStore.prototype.put = () => { throw new DOMException("no room", "QuotaExceededError"); };
        }"""
    )
    read_steps(page, "read-start")
    trouble = page.locator("[data-bench=kept-trouble]")
    expect(trouble).to_contain_text("The browser's storage is full: the last entry is not stored yet.")
    assert [record["kind"] for record in kept()] == ["person"]
    page.evaluate("() => { IDBObjectStore.prototype.put = window.realPut; }")
    read_steps(page, "read-cleanliness")
    expect(trouble).to_be_hidden()
    assert sorted(record["value"].get("step", "") for record in kept()) == ["", "read-cleanliness", "read-start"]


def test_the_matrix_says_who_may_do_what(learner: Learner, page: Page) -> None:
    """People across, tasks down; a cell names the senior and the day."""
    some_record(learner)
    learner.open("record/")
    expect(page.locator("[data-bench=matrix] thead th")).to_have_text(["Bench task", "Tomasz Reed", "Wren Ashby"])
    cells = page.locator("[data-bench=matrix] tr[data-task=walk-task] td")
    expect(cells).to_have_text(["not yet", f"M. Fennick{today(page)}"])
    expect(page.locator("[data-bench=matrix] tr[data-task]")).to_have_count(11)


def test_the_record_of_a_person_is_printed_by_itself(learner: Learner, page: Page) -> None:
    """On paper there is the person's sheet with room for signatures, and no button, matrix or menu."""
    some_record(learner)
    learner.open("record/")
    expect(page.locator("[data-bench=sheet] h2")).to_contain_text("Record of Wren Ashby")
    page.emulate_media(media="print")
    expect(page.locator("[data-bench=sheet] tr", has_text="Walk round the shop with a senior")).to_contain_text("M. Fennick")
    expect(page.locator(".bench-signatures")).to_be_visible()
    for hidden in ("[data-bench=matrix]", ".bench-move", "[data-bench=person]", "[data-bench=print]"):
        expect(page.locator(hidden).first).to_be_hidden()
    # The page must be able to print itself, also under the policy of the server.
    page.emulate_media(media="screen")
    page.evaluate("window.print = () => { document.title = 'printed'; }")
    page.locator("[data-bench=print]").click()
    expect(page).to_have_title("printed")


def test_a_person_can_be_taken_off_the_list(learner: Learner, page: Page) -> None:
    """Only after a second press; the others stay."""
    some_record(learner)
    learner.open("record/")
    button = page.locator("[data-bench=remove-person]")
    button.click()
    expect(button).to_have_text("Press again to take Wren Ashby off the list. Their record stays in saved files.")
    button.click()
    expect(page.locator("[data-bench=matrix] thead th")).to_have_text(["Bench task", "Tomasz Reed"])
