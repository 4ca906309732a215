"""Kills the browser while a job is written, time after time, and looks whether anything is lost that the page had called written.

Usage: ``python -m tests.build_hooks.jobs.kills [--kills 200] [--seed 1]`` from the top of the repository. It builds the demo, serves it, and
prints figures.

Each round opens a browser on the same profile and works on a job as fast as the page goes along: readings are typed into the form of a
procedure, its hold points ticked and taken back, notes added on the build sheet, and the page left for another while it still writes.
After some entries, and a time by chance, every process of the browser is ended at once (SIGKILL). Every entry that the page had called
written must be in the database as it was, none half, and nothing that was done once may be there twice.
"""

from __future__ import annotations

import json
import random
import sys
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby, pairwise
from typing import Any, Final

from playwright.sync_api import Page, expect

from build_hooks.jobs.job_file import ENTRY_LISTS
from build_hooks.schemas import schema_of
from tests.build_hooks.jobs.mechanic import JOBS, PROCEDURE, SHEET, Mechanic
from tests.build_hooks.learning.records import records_in
from tests.build_hooks.test_schemas import faults_of
from tests.killed_browser import PATIENCE, TELL, Tally, listen, run_command

__all__ = ["Jobs"]

# What is told before the end, at most: of each entry that it is being written, and that it is written.
MOST_TOLD: Final = 50
# Milliseconds after that, at most: writing takes about as long.
LONGEST: Final = 40
LONGEST_LEAVE: Final = 250
# A job of a shop has some dozens of entries; each note goes through all of its job.
FULL: Final = 150
# Seconds within which a form shows what the job holds, on a machine with other work.
FORM_STANDS: Final = 15

# What is on its way into the database is told, and once the page calls it written.
_WATCH: Final = """
const { jobs } = document.querySelector("bench-job-bar").constructor;
const { records } = jobs;
const put = records.put.bind(records);
records.put = async (given, following) => {
  const entries = given.filter(({ kind }) => kind === "entry").map(({ value }) => value);
  tell({ now: "writing", entries });
  const isWritten = await put(given, following);
  tell({ now: isWritten ? "written" : "refused", entries });
  return isWritten;
};
const idle = () => new Promise((then) => setTimeout(then, draw(40)));
"""
_TYPE: Final = (
    "([seed, round]) => {"
    + TELL
    + _WATCH
    + """
  const places = [...document.querySelectorAll("bench-calc input[type=text]")].filter((place) => place.name.includes("lifts"));
  const holds = [...document.querySelectorAll("input[data-bench=hold]")];
  const type = (number) => {
    const place = places[draw(places.length)];
    place.value = `1.${String(round).padStart(4, "0")}${String(number).padStart(4, "0")}`;
    place.dispatchEvent(new Event("input", { bubbles: true }));
    if (draw(4) > 0) place.dispatchEvent(new Event("change", { bubbles: true }));
  };
  const work = async () => {
    for (let number = 1; ; number += 1) {
      if (draw(3) === 0) holds[draw(holds.length)].click();
      else type(number);
      await idle();
    }
  };
  void work();
}"""
)
_NOTE: Final = (
    "([seed, round]) => {"
    + TELL
    + _WATCH
    + """
  const work = async () => {
    for (let number = 1; ; number += 1) {
      await until(() => document.getElementById("bench-note"));
      document.getElementById("bench-note").value = `Note ${round}/${number}`;
      document.querySelector("[data-bench=add-note]").click();
      await idle();
    }
  };
  void work();
}"""
)
_SAVE: Final = """() => new Promise((then) => {
  const address = URL.createObjectURL.bind(URL);
  URL.createObjectURL = (blob) => (then(blob.text()), address(blob));
  document.querySelector("[data-bench=save-jobs]").click();
})"""
_LIFTS: Final = """() => Object.fromEntries(
  [...document.querySelectorAll("bench-calc input[type=text]")]
    .filter(({ name }) => name.includes("lifts"))
    .map(({ name, value }) => [`entry ${name}`, value]))"""


@dataclass
class Jobs:
    """Somebody who works on one job after the other.

    Attributes:
        address: of the served demo.
        known: the entries that must be in the database, by key.
        events: what was being written since the browser came up, and what was called written.
        number: of the job that is worked on.
        rounds: how often work was begun.
    """

    address: str
    known: dict[str, Any] = field(default_factory=dict)
    events: list[dict[str, Any]] = field(default_factory=list)
    number: int = 0
    rounds: int = 0

    def arrive(self, page: Page, tally: Tally) -> None:
        """Opens the procedure, in the job that was worked on."""
        mechanic = Mechanic(page, self.address)
        page.route("**/engine-*/**", lambda route: route.abort())  # What is typed is kept without it, and a start takes seconds.
        mechanic.goto(PROCEDURE)
        if self.number == 0:
            return self._open(mechanic)
        if page.locator(f"html[data-job='{self.number}']").count() == 0:
            tally.forgot += 1
            mechanic.switch(str(self.number))
        return None

    def _open(self, mechanic: Mechanic) -> None:
        self.number += 1
        mechanic.job(str(self.number))

    def faults(self, page: Page, tally: Tally) -> Iterator[str]:
        """Holds the database, and the readings in the form, to what was called written."""
        records = records_in(page, "jobs")
        found = {record["id"]: record["value"] for record in records if record["kind"] == "entry"}
        tally.in_flight += bool(self.events) and self.events[-1]["now"] == "writing"
        written = {entry["id"]: entry for event in self.events if event["now"] == "written" for entry in event["entries"]}
        tally.shown.update(entry["list"] for entry in written.values())
        self.known.update(written)
        yield from _lost(self.known, found)
        tally.whole += len(found.keys() - self.known.keys())
        self.known, self.events = found, []
        yield from _half_written(found)
        yield from _doubled([value["entry"] for value in found.values() if value["list"] == "notes"], "text")
        yield from _typed_twice([value["entry"] for value in found.values() if value["list"] == "forms"])
        yield from _ticked_twice([value["entry"] for value in found.values() if value["list"] == "ticks"])
        yield from _summary_faults(records)
        yield from self._form_faults(page, found)

    def _form_faults(self, page: Page, found: dict[str, Any]) -> Iterator[str]:
        """The form shows the last reading of each place that the database has of the job."""
        (job,) = {id_.partition("/")[0] for id_, value in found.items() if value["entry"].get("number") == str(self.number)}
        typed: dict[str, str] = {}
        own = [value["entry"] for id_, value in found.items() if value["list"] == "forms" and id_.startswith(job)]
        for entry in sorted(own, key=lambda entry: (entry["at"], entry["id"])):
            typed |= _readings(entry)
        shown = _settled(page, typed)
        yield from (
            f"{name} is {value} in the database, and the form shows {shown[name]}"
            for name, value in typed.items()
            if shown[name] != value
        )

    def begin(self, page: Page, chance: random.Random) -> int:
        """Types and ticks, or notes, or leaves the page while it writes."""
        mechanic = Mechanic(page, self.address)
        if sum(value["list"] != "details" for value in self.known.values()) > FULL * self.number:
            self._open(mechanic)
        self.rounds += 1
        self.events = listen(page)
        given = [chance.randrange(1, 9999), self.rounds]
        way = chance.choice(["type", "note", "leave"])
        if way == "note":
            mechanic.goto(SHEET)
            expect(page.locator("#bench-note")).to_be_visible()
        page.evaluate(_NOTE if way == "note" else _TYPE, given)
        self._wait(page, chance.randrange(MOST_TOLD))
        if way != "leave":
            return LONGEST
        page.wait_for_timeout(chance.uniform(0, LONGEST))
        page.goto(f"{self.address}/{SHEET}", wait_until="commit")
        return LONGEST_LEAVE

    def _wait(self, page: Page, told: int) -> None:
        """Counted by what was written, so that a busy machine is killed in the same places."""
        deadline = time.monotonic() + PATIENCE / 1000
        while len(self.events) < told and time.monotonic() < deadline:
            page.wait_for_timeout(5)

    def faults_at_end(self, page: Page) -> Iterator[str]:
        """All jobs are saved as one file, and it holds every entry of the database."""
        Mechanic(page, self.address).goto(JOBS)
        expect(page.locator("[data-bench=jobs] > li")).to_have_count(min(self.number, 50))
        saved = json.loads(page.evaluate(_SAVE))
        schema = schema_of("jobs")
        yield from faults_of(saved, schema, schema, "the file")
        entries = {entry["id"]: entry for name in ENTRY_LISTS for entry in saved[name]}
        if entries != {id_: value["entry"] for id_, value in self.known.items()}:
            yield f"the file has {len(entries)} entries, and not those {len(self.known)} of the database"


def _settled(page: Page, typed: dict[str, str]) -> dict[str, str]:
    """What the form shows, once it had the time to put the readings back: a page knows its job before its form stands."""
    deadline = time.monotonic() + FORM_STANDS
    while True:
        shown: dict[str, str] = page.evaluate(_LIFTS)
        if shown.items() >= typed.items() or time.monotonic() > deadline:
            return shown
        page.wait_for_timeout(20)


def _lost(known: dict[str, Any], found: dict[str, Any]) -> Iterator[str]:
    for id_, value in known.items():
        if id_ not in found:
            yield f"an entry of “{value['list']}” is lost: {id_}"
        elif found[id_] != value:
            yield f"an entry of “{value['list']}” was changed: {value}, and is now {found[id_]}"


def _half_written(found: dict[str, Any]) -> Iterator[str]:
    schema = schema_of("jobs")
    for id_, value in found.items():
        yield from faults_of(value["entry"], schema["properties"][value["list"]]["items"], schema, f"{value['list']} {id_}")


def _doubled(entries: list[dict[str, Any]], name: str) -> Iterator[str]:
    for text, count in Counter(entry[name] for entry in entries).items():
        if count > 1:
            yield f"“{text}” is there {count} times"


def _typed_twice(entries: list[dict[str, Any]]) -> Iterator[str]:
    """Each reading was typed once, and no two were alike."""
    yield from _doubled([{"reading": reading} for entry in entries for reading in _readings(entry).values()], "reading")


def _readings(entry: dict[str, Any]) -> dict[str, str]:
    """What was typed into the places for readings, by the place."""
    changes = entry["changes"].items()
    return {name: value["value"] for name, value in changes if name.startswith("entry ") and "lifts" in name}


def _ticked_twice(entries: list[dict[str, Any]]) -> Iterator[str]:
    """A hold point that is ticked is next taken back."""

    def which(entry: dict[str, Any]) -> tuple[str, str]:
        return str(entry["id"]).partition("/")[0], str(entry["hold"])

    ordered = sorted(entries, key=lambda entry: (which(entry), entry["at"], entry["id"]))
    for (_, hold), ticks in groupby(ordered, key=which):
        if any(one["ticked"] == other["ticked"] for one, other in pairwise(ticks)):
            yield f"“{hold}” has the same tick twice"


def _summary_faults(records: list[dict[str, Any]]) -> Iterator[str]:
    """What the list of jobs shows is written together with the entry that it follows from."""
    newest: dict[str, str] = {}
    for record in records:
        if record["kind"] == "entry":
            job = record["id"].partition("/")[0]
            newest[job] = max(newest.get(job, ""), record["value"]["at"])
    listed = {record["id"]: record["value"]["at"] for record in records if record["kind"] == "job"}
    if listed != newest:
        yield f"the list and the entries do not belong together: {sorted(set(listed.items()) ^ set(newest.items()))[:4]}"


if __name__ == "__main__":
    sys.exit(
        run_command(
            __doc__,
            Jobs,
            kills=200,
            words=("while an entry was being written", "the job had to be chosen again"),
        )
    )
