"""Kills the browser while the record is written, time after time, and looks whether anything is lost that the page had shown as done.

Usage: ``python -m tests.build_hooks.learning.kills [--kills 100] [--seed 1]`` from the top of the repository. It builds the demo, serves it, and
prints figures.

Each round opens a browser on the same profile, goes by the buttons of the page as fast as it answers (pages read and taken back, tasks
signed, exercises marked), and after a time by chance ends every process of the browser at once (SIGKILL). What the page had shown up to
then must be in the database, and what was being written must be there whole or not at all. A machine that loses its power is another
matter: that the disk is waited for is held by a test of its own.
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Final

from playwright.sync_api import Page, expect

from build_hooks.schemas import schema_of
from tests.build_hooks.learning.records import note_all_opened, records_in
from tests.build_hooks.test_schemas import faults_of
from tests.killed_browser import PATIENCE, TELL, Tally, listen, run_command

__all__ = ["Learning"]

PERSON: Final = "Wren Ashby"
# Milliseconds of work before the end, at most: some dozens of entries.
LONGEST_STEPS: Final = 600
LONGEST_MARKS: Final = 2000
LISTS: Final = {"person": "people", "step": "steps", "signed": "signed", "attempt": "attempts", "review": "reviews"}

# Each press is told before it is made, and once the page has shown that it is kept.
_TELL: Final = (
    TELL
    + """
const kept = () => document.querySelector("[data-bench=kept-trouble]").hidden;
"""
)
_STEPS: Final = (
    "(seed) => {"
    + _TELL
    + """
  // The first six: the first task can be signed when the pages before it are read, and no exercise stands before it.
  const items = [...document.querySelectorAll("li[data-step]:not([data-form=practice])")].slice(0, 6);
  const can = (item) => item.dataset.state === "done" || item.querySelector(".bench-step-state button")?.disabled === false;
  const press = (item) => {
    const place = item.querySelector(".bench-step-state");
    if (item.dataset.state === "done" || item.dataset.form === "page") return place.querySelector("button").click();
    place.querySelector("[data-bench=open-sign]").click();
    place.querySelector("input[type=radio]").click();
    place.querySelector("button[type=submit]").click();
  };
  const work = async () => {
    for (let number = 1; ; number += 1) {
      await until(() => items.some(can));
      const ready = items.filter(can);
      const item = ready[draw(ready.length)];
      const was = item.dataset.state;
      const signs = was !== "done" && item.dataset.form === "task";
      const entry = { step: item.dataset.step, state: was === "done" ? "open" : "done", senior: signs ? "M. Fennick" : "" };
      tell({ ...entry, now: "pressed" });
      press(item);
      await until(() => item.dataset.state !== was && kept());
      tell({ ...entry, now: "shown" });
    }
  };
  void work();
}"""
)
_MARKS: Final = (
    "(seed) => {"
    + _TELL
    + """
  const exercise = document.querySelector("bench-exercise");
  const work = async () => {
    for (;;) {
      await until(() => exercise.dataset.state === "asked");
      const options = exercise.querySelectorAll(".bench-ask input");
      options[draw(options.length)].click();
      tell({ now: "pressed" });
      exercise.querySelector("[data-bench=mark-it]").click();
      await until(() => /Recorded for/.test(exercise.querySelector("[data-bench=state]").textContent) && kept());
      tell({ now: "shown" });
      const ways = exercise.querySelectorAll(".bench-exercise-after button");
      ways[draw(ways.length)].click();
    }
  };
  void work();
}"""
)
_SAVE: Final = """() => new Promise((then) => {
  const address = URL.createObjectURL.bind(URL);
  URL.createObjectURL = (blob) => (then(blob.text()), address(blob));
  document.querySelector(".bench-move [data-bench=save-record]").click();
})"""


@dataclass
class _Expected:
    """What must be in the database: the state of each step, and the attempts."""

    steps: dict[str, tuple[str, str, str]] = field(default_factory=dict)
    attempts: set[str] = field(default_factory=set)


@dataclass
class Learning:
    """Somebody who goes through a path and marks exercises.

    Attributes:
        address: of the served demo.
        expected: what must be in the database.
        events: what was pressed and shown since the browser came up.
    """

    address: str
    expected: _Expected = field(default_factory=_Expected)
    events: list[dict[str, Any]] = field(default_factory=list)

    def arrive(self, page: Page, tally: Tally) -> None:
        """Opens the path and sees to it that somebody is learning."""
        _arrive(page, self.address, tally)

    def faults(self, page: Page, tally: Tally) -> Iterator[str]:
        """Holds the database, and what the page shows of it, to what was shown before the end."""
        yield from _faults(records_in(page), page, self.expected, self.events, tally)
        self.events = []

    def begin(self, page: Page, chance: random.Random) -> int:
        """Begins to press buttons."""
        self.events = listen(page)
        return _begin(page, self.address, chance)

    def faults_at_end(self, page: Page) -> Iterator[str]:
        """At the end the whole record is saved as a file, and holds every record of the database."""
        yield from _file_faults(page, self.address)


def _arrive(page: Page, address: str, tally: Tally) -> None:
    page.goto(f"{address}/learning/first-week/")
    now, new = page.locator(".bench-person-now"), page.locator("[name=new-person]")
    expect(now.or_(new)).to_be_visible(timeout=PATIENCE)
    if now.is_visible():
        note_all_opened(page)
        return
    known = page.locator(".bench-person-names button", has_text=PERSON)
    if known.count():
        tally.forgot += 1
        known.click()
    else:
        if tally.kills:
            tally.faults.append(f"kill {tally.kills}: {PERSON} is gone")
        new.fill(PERSON)
        page.locator(".bench-person-add button").click()
    expect(now).to_be_visible()
    note_all_opened(page)


def _begin(page: Page, address: str, chance: random.Random) -> int:
    seed = chance.randrange(1, 9999)
    if chance.random() < 0.5:
        page.evaluate(_STEPS, seed)
        return LONGEST_STEPS
    page.goto(f"{address}/learning/practice/?unit=alder-4&pack=forward&kind=which&count=20&set={seed}")
    expect(page.locator("bench-exercise[data-state=asked]")).to_be_visible(timeout=PATIENCE)
    page.evaluate(_MARKS, seed)
    return LONGEST_MARKS


def _faults(
    records: list[dict[str, Any]], page: Page, expected: _Expected, events: list[dict[str, Any]], tally: Tally
) -> Iterator[str]:
    tally.in_flight += bool(events) and events[-1]["now"] == "pressed"
    schema = schema_of("progress")
    for record in records:
        of_kind = schema["properties"][LISTS[record["kind"]]]["items"]
        yield from faults_of(record["value"], of_kind, schema, f"{record['kind']} {record['id']}")
    yield from _step_faults(records, page, expected, events, tally)
    yield from _attempt_faults(records, expected, events, tally)
    yield from _review_faults(records)


def _step_faults(
    records: list[dict[str, Any]], page: Page, expected: _Expected, events: list[dict[str, Any]], tally: Tally
) -> Iterator[str]:
    pressed = ""
    for event in (event for event in events if "step" in event):
        if event["now"] == "shown":
            tally.shown["signed" if event["senior"] else "step"] += 1
            expected.steps[event["step"]] = (event["state"], event["senior"], pressed)
        pressed = event["at"]
    found = {record["value"]["step"]: record["value"] for record in records if record["kind"] in {"step", "signed"}}
    shown: dict[str, str] = page.evaluate(
        "Object.fromEntries([...document.querySelectorAll('li[data-step]')].map(({ dataset }) => [dataset.step, dataset.state]))"
    )
    for step, value in found.items():
        state = "open" if value.get("taken_back") else "done"
        if _is_newer(value, events):
            tally.whole += 1
            expected.steps[step] = (state, value.get("senior", "") if state == "done" else "", value["at"])
        if shown[step] != state:
            yield f"step {step} is {state} in the database, and the page shows {shown[step]}"
    for step, (state, senior, at) in expected.steps.items():
        value = found.get(step)
        if value is None:
            yield f"step {step} is lost"
            continue
        whole = value["at"] >= at and bool(value.get("taken_back")) == (state == "open")
        if not whole or (state == "done" and value.get("senior", "") != senior):
            yield f"step {step} was shown as {state} {senior}, and the database has {value}"


def _attempt_faults(
    records: list[dict[str, Any]], expected: _Expected, events: list[dict[str, Any]], tally: Tally
) -> Iterator[str]:
    found = {record["id"]: record["value"] for record in records if record["kind"] == "attempt"}
    if lost := expected.attempts - set(found):
        yield f"{len(lost)} marks of earlier rounds are lost"
    fresh = [value for name, value in found.items() if name not in expected.attempts]
    new = sorted(value["at"] for value in fresh if not _is_newer(value, events))
    tally.whole += len(fresh) - len(new)
    told = [event for event in events if "step" not in event]
    shown = [(first["at"], second["at"]) for first, second in pairwise(told) if second["now"] == "shown"]
    tally.shown["mark"] += len(shown)
    for begun, done in shown:
        if not any(begun <= at <= done for at in new):
            yield f"the mark shown at {done} is lost"
    if len(new) != len(shown):
        yield f"{len(new)} new marks, and {len(shown)} were shown"
    expected.attempts = set(found)


def _is_newer(value: dict[str, Any], events: list[dict[str, Any]]) -> bool:
    """Whether an entry is of a press that nothing was shown of, as far as it was told: the last words may be lost with the browser."""
    if not events:
        return True
    last = events[-1]
    at = str(value["at"])
    told = str(last["at"])
    return at >= told if last["now"] == "pressed" else at > told


def _review_faults(records: list[dict[str, Any]]) -> Iterator[str]:
    """A mark and the day on which what was missed comes again are written together."""
    reviews = {record["id"]: record["value"]["at"] for record in records if record["kind"] == "review"}
    last: dict[str, str] = {}
    values = [record["value"] for record in records if record["kind"] == "attempt"]
    for value in sorted(values, key=lambda value: value["at"]):
        exercise = f"{value['person']}/{value['unit']}/{value['pack']}/{value['exercise']}/{value['seed']}"
        if exercise in last or not value["right"]:
            last[exercise] = value["at"]
    if last != reviews:
        apart = sorted(set(last.items()) ^ set(reviews.items()))
        yield f"marks and days to come again do not belong together: {apart[:4]}"


def _file_faults(page: Page, address: str) -> Iterator[str]:
    records = records_in(page)
    page.goto(f"{address}/learning/record/")
    expect(page.locator(".bench-move [data-bench=save-record]")).to_be_visible()
    saved = json.loads(page.evaluate(_SAVE))
    schema = schema_of("progress")
    yield from faults_of(saved, schema, schema, "the file")
    for kind, name in LISTS.items():
        own = sorted((record["value"] for record in records if record["kind"] == kind), key=lambda value: str(value["id"]))
        if own != saved[name]:
            yield f"the file has other {name} than the database"


if __name__ == "__main__":
    sys.exit(
        run_command(
            __doc__,
            Learning,
            kills=100,
            words=("between a press and what the page showed of it", "who was learning had to be chosen again"),
        )
    )
