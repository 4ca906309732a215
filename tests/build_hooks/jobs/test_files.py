"""Jobs as files: carried to another machine, put together from two copies, and refused whole when something is wrong."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.build_hooks.jobs.damage import damaged, judged
from tests.build_hooks.jobs.mechanic import BENCH, JOBS, Mechanic, entries_in
from tests.build_hooks.jobs.samples import entry_like, sample
from tests.build_hooks.learning.records import records_in

pytestmark = pytest.mark.browser

ENTRIES = sum(len(value) for value in sample().values() if isinstance(value, list))
ALL_THERE = f"This file holds {ENTRIES} entries of 1 job. All of them are here already."


def as_file(value: object) -> bytes:
    """A file of it."""
    return json.dumps(value).encode()


def jobs_of(page: Page) -> list[dict[str, Any]]:
    """Entries, and what the list of jobs shows of them."""
    return [record for record in records_in(page, "jobs") if record["kind"] != "remembered"]


def all_entries(page: Page) -> list[Any]:
    """Every entry in the database."""
    return [record for record in records_in(page, "jobs") if record["kind"] == "entry"]


def test_a_saved_job_is_the_same_in_another_profile_and_adds_nothing_twice(
    mechanic: Mechanic, page: Page, chromium: Browser, address: str, tmp_path: Path
) -> None:
    """The same entries, and the same list of jobs; the readings are in the form when the job is worked on."""
    mechanic.goto(BENCH)
    mechanic.job("4711", serial="A4-20-1188")
    mechanic.type("1.46", "1.49")
    mechanic.reading(1).blur()
    page.wait_for_timeout(500)
    mechanic.goto(JOBS)
    file = mechanic.save(tmp_path)
    assert file.name == "job-4711.json"
    context = chromium.new_context(service_workers="block")
    other = Mechanic(context.new_page(), address)
    other.goto(JOBS)
    count = len(all_entries(page))
    brought = (
        f"This file holds {count} entries of 1 job. {count} of them are not here yet and would be added; nothing here is changed."
    )
    assert other.read(file.read_bytes()) == brought
    assert all_entries(other.page) == []
    assert other.add() == f"{count} entries added."
    # What each bench remembers of its choice is its own.
    assert jobs_of(other.page) == jobs_of(page)
    assert other.read(file.read_bytes()) == f"This file holds {count} entries of 1 job. All of them are here already."
    expect(other.page.locator("[data-bench=add-entries]")).to_have_count(0)
    other.page.locator("[data-bench=work-on]").click()
    other.works_on("4711")
    other.goto(BENCH)
    expect(other.reading(1)).to_have_value("1.49")
    context.close()


def test_two_copies_that_went_apart_come_together_either_way(mechanic: Mechanic, page: Page) -> None:
    """The union of both, whichever is opened first; what both have is not written over."""
    ours, theirs = sample(), sample()
    note = ours["notes"][0]
    ours["notes"].append(entry_like(note, 0xA001, text="Ours."))
    theirs["notes"].append(entry_like(note, 0xB001, text="Theirs."))
    found = []
    for first, second in ((ours, theirs), (theirs, ours)):
        mechanic.goto(JOBS)
        for copy, count in ((first, ENTRIES + 1), (second, 1)):
            mechanic.read(as_file(copy))
            assert mechanic.add() == ("1 entry added." if count == 1 else f"{count} entries added.")
        found.append(records_in(page, "jobs"))
        delete = page.locator("[data-bench=delete-job]")
        delete.click()
        delete.click()
        expect(page.locator("[data-bench=job-count]")).to_have_text("No job yet. Open one with the button above.")
    assert found[0] == found[1]
    texts = [record["value"]["entry"]["text"] for record in found[0] if record["value"].get("list") == "notes"]
    assert {"Ours.", "Theirs."} <= set(texts)


def changed(change: Callable[[dict[str, Any]], object]) -> bytes:
    """The sample with a change."""
    file = sample()
    change(file)
    return as_file(file)


def test_what_is_no_sound_file_is_refused_in_words_and_changes_nothing(mechanic: Mechanic, page: Page) -> None:
    """Damaged, foreign, newer, hostile, from the wrong year, of another job, enormous."""
    mechanic.goto(JOBS)
    mechanic.read(as_file(sample()))
    mechanic.add()
    before = records_in(page, "jobs")
    note = sample()["notes"][0]
    other = "ffd1f2a3b4c5d6e7"
    late = entry_like(note, 0xC001, at="2100-01-01T00:00:00.000Z")
    files = {
        b"": "This file is damaged or is not a file of saved jobs.",
        as_file(sample())[:-9]: "This file is damaged or is not a file of saved jobs.",
        b"[]": "This is not a file of saved jobs.",
        as_file({"format": "benchleaf-progress", "version": 1}): "This is not a file of saved jobs.",
        changed(lambda file: file.update(version=2)): "This file was saved by a newer edition of the manual (file version 2; this page reads 1). Open it there.",
        changed(lambda file: file.update(manual="<b>Other</b>")): "This file belongs to another manual: <b>Other</b>.",
        changed(lambda file: file["notes"][0].update(text="x" * 100_000)): "This file is damaged: “text” of “notes” of the file, item 1 is too long.",
        changed(lambda file: file["notes"].append(late)): "An entry in “notes” is dated 2100-01-01T00:00:00.000Z, in the future: today is ",
        changed(lambda file: file["notes"].append(note)): f"This file is damaged: two entries have the key {note['id']}.",
        changed(lambda file: file["accepted"][0].update(answer=f"{other}/0000000000000004")): "This file is damaged: an entry in “accepted” speaks of another job.",
        as_file(sample()).replace(b'"text":', b'"__proto__": {"text": 1}, "text":', 1): "This file is damaged: “notes” of the file, item 1 has a “__proto__” that does not belong there.",
    }  # fmt: skip
    for content, words in files.items():
        answer = mechanic.read(content)
        assert answer.startswith(words), (content[:80], answer)
        assert answer.endswith(" Nothing was changed."), answer
        expect(page.locator("[data-bench=add-entries]")).to_have_count(0)
        assert records_in(page, "jobs") == before
    assert mechanic.read(as_file(sample())) == ALL_THERE


def test_a_file_that_is_far_too_large_is_not_even_read(mechanic: Mechanic, page: Page, tmp_path: Path) -> None:
    """It might be larger than the memory."""
    file = tmp_path / "jobs.json"
    with file.open("wb") as large:
        large.truncate(100_000_001)
    mechanic.goto(JOBS)
    assert mechanic.read(file) == "This file is too large to be one of saved jobs. Nothing was changed."
    assert records_in(page, "jobs") == []


def test_markup_and_names_of_the_language_in_a_file_are_words(mechanic: Mechanic, page: Page) -> None:
    """They are taken as what somebody typed, also of 1970; nothing of them runs."""
    hostile = "<img src=x onerror=\"document.title='ran'\">"
    file = sample()
    file["details"][0].update(number="constructor", complaint=hostile)
    file["notes"][0].update(text=hostile, at="1970-01-01T00:00:00.000Z")
    file["forms"][0].update(form="__proto__")
    mechanic.goto(JOBS)
    mechanic.read(as_file(file))
    assert mechanic.add() == f"{ENTRIES} entries added."
    expect(page.locator("[data-bench=jobs] h3")).to_contain_text("Job constructor")
    page.locator("[data-bench=work-on]").click()
    mechanic.works_on("constructor")
    mechanic.goto("jobs/sheet/")
    expect(page.locator("[data-bench=sheet]")).to_contain_text(hostile)
    assert page.locator("[data-bench=sheet] img").count() == 0
    assert page.title() != "ran"
    assert [entry["form"] for entry in entries_in(page, "forms")][:1] == ["__proto__"]


def test_changed_files_are_refused_whole_or_fit_the_schema(mechanic: Mechanic, page: Page) -> None:
    """Some of those that ``python -m tests.attack jobs`` tries: none throws, none is half taken in."""
    mechanic.goto(JOBS)
    verdicts = list(judged(page, damaged(40, seed=1)))
    assert [verdict.fault for verdict in verdicts if verdict.fault is not None] == []
    assert {verdict.is_taken for verdict in verdicts} == {True, False}
    assert len(verdicts) == 40
