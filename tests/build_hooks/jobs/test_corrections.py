"""Entries are only added: what was wrong is struck out with a reason, and what cannot be read goes only after it was saved."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.build_hooks.jobs.mechanic import JOBS, PROCEDURE, SHEET, Mechanic, entries_in
from tests.build_hooks.jobs.samples import SAMPLE

pytestmark = pytest.mark.browser

PUT = """async (records) => {
  const [{ name }] = (await indexedDB.databases()).filter(({ name }) => name.endsWith("jobs"));
  const open = indexedDB.open(name);
  await new Promise((done) => (open.onsuccess = done));
  const change = open.result.transaction("records", "readwrite");
  for (const record of records) change.objectStore("records").put(record);
  await new Promise((done) => (change.oncomplete = done));
  open.result.close();
}"""
CORRECTED = ".bench-sheet-corrected li"


def with_the_sample(mechanic: Mechanic) -> Page:
    """The sample as the current job, on its build sheet."""
    mechanic.goto(JOBS)
    mechanic.read(SAMPLE.read_bytes())
    mechanic.add()
    mechanic.page.locator("[data-bench=work-on]").click()
    mechanic.works_on("4711")
    mechanic.page.locator("#bench-job-worker").fill("Bo Lind")
    mechanic.page.locator("#bench-job-worker").blur()
    mechanic.goto(SHEET)
    mechanic.works_on("4711")
    return mechanic.page


def correct(page: Page, wrong: str, reason: str, right: str | None = None) -> None:
    """Corrects an entry by the form under the sheet's buttons."""
    if not page.locator("#bench-correct-what").is_visible():
        page.locator("[data-bench=correct-entry] summary").click()
    page.locator("#bench-correct-what").select_option(label=wrong)
    if right is not None:
        page.locator("#bench-correct-right").fill(right)
    page.locator("#bench-correct-reason").fill(reason)
    page.locator("[data-bench=correct]").click()


def test_a_wrong_number_is_put_right_and_the_sheet_shows_both(without_engine: Mechanic) -> None:
    """The old one is struck out with reason and name; every fault of the form is said in words."""
    page = with_the_sample(without_engine)
    fault = page.locator("[data-bench=correct-problem]")
    for wrong, right, reason, words in (
        ("–", None, "", "Choose what is wrong."),
        ("Job number: 4711", "", "", "Enter what is right."),
        ("Serial number: A4-20-1188", "A4-20-1188", "", "That is what it says already."),
        ("Unit: Alder 4", "Alder", "", "Choose a unit of this manual: Alder 4, Hazel 2, Rowan 6."),
        ("Serial number: A4-20-1188", "A4-20-1189", "", "Enter the reason."),
    ):
        correct(page, wrong, reason, right)
        expect(fault).to_have_text(words)
    correct(page, "Serial number: A4-20-1188", "Plate read <b>wrong</b>", "A4-20-1189")
    expect(page.locator(".bench-sheet-facts")).to_contain_text("A4-20-1189")
    line = page.locator(CORRECTED, has_text="Serial number")
    expect(line).to_contain_text("Serial number: A4-20-1188 A4-20-1189 · Plate read <b>wrong</b> Bo Lind, ")
    expect(line.locator("del")).to_have_text("A4-20-1188")
    assert [details["serial"] for details in entries_in(page, "details")] == ["A4-20-1188", "A4-20-1189"]


def test_a_reading_typed_wrong_is_put_right_in_its_form(without_engine: Mechanic) -> None:
    """Its answer no longer counts, and the sheet leads to the form until there is another one."""
    page = with_the_sample(without_engine)
    correct(page, "Output shaft: end play, reading 1: 0.31 mm", "Misread", "0.41")
    line = page.locator(CORRECTED, has_text="Output shaft: end play, reading 1")
    expect(line.locator("del")).to_have_text("0.31 mm")
    expect(line).to_contain_text("0.31 mm 0.41 mm · Misread Bo Lind, ")
    expect(page.locator("[data-bench=sheet] tbody th", has_text="Output shaft")).to_have_count(0)
    expect(page.locator("[data-bench=tag]")).to_contain_text(
        "Output shaft: end play: A reading was corrected: open the form, so that its answer is worked out again."
    )
    expect(page.locator("[data-bench=open-form]")).to_have_attribute("href", "../../bench/alder-4/front-drum/")
    assert [entry["changes"] for entry in entries_in(page, "forms")][-1] == {
        "entry readings.0": {"value": "0.41", "unit": "mm", "touched": True}
    }
    assert len(entries_in(page, "answers")) == 3


def test_a_tick_by_mistake_is_taken_back_and_may_be_ticked_again(without_engine: Mechanic) -> None:
    """On its page the box is empty then; a correction may itself be taken back."""
    page = without_engine.page
    without_engine.goto(PROCEDURE)
    without_engine.has_job("4711")
    hold = page.locator("input[data-bench=hold]").first
    hold.check()
    (tick,) = without_engine.noted("ticks", 1)
    without_engine.goto(SHEET)
    expect(page.locator(".bench-sheet-holds li")).to_have_count(1)
    entry = f"{tick['title']}: {tick['hold']}"
    correct(page, entry if len(entry) <= 120 else f"{entry[:120]}…", "Wrong drum")
    expect(page.locator(".bench-sheet-holds li")).to_have_count(0)
    expect(page.locator(f"{CORRECTED} del")).to_contain_text(tick["hold"][:60])
    other = without_engine.beside()
    other.goto(PROCEDURE)
    other.works_on("4711")
    box = other.page.locator("input[data-bench=hold]").first
    expect(box).not_to_be_checked()
    correct(page, "Wrong drum", "It was this drum")
    expect(page.locator(".bench-sheet-holds li")).to_have_count(1)
    expect(box).to_be_checked()
    assert len(entries_in(page, "ticks")) == 1


def test_what_cannot_be_read_is_removed_only_after_it_was_saved(without_engine: Mechanic, tmp_path: Path) -> None:
    """The file holds it as it is, with the reason; everything else stays, and a job of which nothing is left goes."""
    page = with_the_sample(without_engine)
    kept = len(entries_in(page, "answers"))
    broken = {"id": "00000000000000ff/0000000000000001", "at": "2026-11-25T08:00:00.000Z", "list": "notes", "entry": {"text": 7}}
    summary = {"id": "00000000000000ff", "at": broken["at"], **dict.fromkeys(("number", "unit"), "lost")}
    page.evaluate(
        PUT,
        [{"kind": "entry", "id": broken["id"], "value": broken}, {"kind": "job", "id": summary["id"], "value": summary}],
    )
    without_engine.goto(JOBS)
    trouble = page.locator("[data-bench=job-trouble]")
    expect(trouble).to_contain_text("1 entry of the jobs on this machine cannot be read.")
    remove = page.locator("[data-bench=remove-aside]")
    expect(remove).to_have_count(0)
    with page.expect_download() as download:
        page.locator("[data-bench=save-aside]").click()
    download.value.save_as(tmp_path / "unreadable.json")
    (saved,) = json.loads((tmp_path / "unreadable.json").read_text(encoding="utf-8"))
    assert saved["value"] == broken
    assert saved["why"]
    remove.click()
    expect(remove).to_have_text("Remove them for good? Press again.")
    remove.click()
    expect(trouble).to_be_hidden()
    page.reload()
    without_engine.works_on("4711")
    expect(page.locator("[data-bench=jobs] > li")).to_have_count(1)
    expect(trouble).to_be_hidden()
    assert len(entries_in(page, "answers")) == kept
