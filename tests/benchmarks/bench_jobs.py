"""Two thousand jobs in the browser's database: how soon their list is there, and how soon one is found.

The peers, on the same page in the same run: the bare reading of what the list needs, and of every entry, from the database into memory;
and a plain filter over an array in memory.

    python tests/benchmarks/bench_jobs.py [ROUNDS] [--jobs 2000] [--site FOLDER]
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import statistics
import sys
from collections.abc import Sequence
from itertools import batched
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

from playwright.sync_api import BrowserContext, Page, sync_playwright

ROOT: Final = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from build_hooks.site.build import build_site
from tests.benchmarks.serving import served
from tests.build_hooks.jobs.made_up_shop import made_up_jobs
from tests.chromium import FLAGS, chromium_program

FEWEST_ROUNDS: Final = 3
PATIENCE: Final = 300_000
BATCH: Final = 200
WANTED_LIST: Final = 1000
WANTED_KEY: Final = 100
# A page of the demo with a form, where every entry that is noted goes through the strip of jobs.
FORM_PAGE: Final = "bench/alder-4/front-drum/"
TAKE_IN: Final = """async (text) => document.querySelector("bench-job-bar").constructor.jobs.takeIn(JSON.parse(text))"""
# Notes when the first job of the list stands on the screen, counted from the start of the page.
WATCH_LIST: Final = """
new MutationObserver((_changes, watcher) => {
  if (!document.querySelector("[data-bench=jobs] > li")) return;
  watcher.disconnect();
  requestAnimationFrame(() => setTimeout(() => { window.listed = performance.now(); }));
}).observe(document, { childList: true, subtree: true });
"""
# Notes when a key went down, and when the first of what it changed stood on the screen: more jobs than a screen shows follow later.
WATCH_KEY: Final = """() => {
  const watch = (window.watch = { key: 0, painted: 0 });
  addEventListener("keydown", () => { watch.key = performance.now(); watch.painted = 0; }, true);
  new MutationObserver(() => requestAnimationFrame(() => setTimeout(() => { watch.painted ||= performance.now(); })))
    .observe(document.querySelector("bench-jobs"), { childList: true, subtree: true, characterData: true });
}"""
SETTLED: Final = "() => window.watch.painted && performance.now() - window.watch.painted > 200"
# What is read is not checked, sorted or drawn.
BARE_READ: Final = """async (kind) => {
  const [{ name }] = (await indexedDB.databases()).filter(({ name }) => name.endsWith("jobs"));
  const start = performance.now();
  const open = indexedDB.open(name);
  await new Promise((done) => (open.onsuccess = done));
  const all = open.result.transaction("records").objectStore("records").getAll(IDBKeyRange.bound([kind], [kind, []]));
  await new Promise((done) => (all.onsuccess = done));
  window.bare = all.result.map(({ value }) => value);
  open.result.close();
  return performance.now() - start;
}"""
BARE_FILTER: Final = """(words) => {
  const start = performance.now();
  window.found = window.bare.filter((job) => words.split(" ").every((word) => JSON.stringify(job).toLowerCase().includes(word)));
  return performance.now() - start;
}"""
# From a note to its being written, and until the strip and the list have taken it up.
NOTE: Final = """async () => {
  const { jobs } = document.querySelector("bench-job-bar").constructor;
  await jobs.ready;
  await jobs.summaries();
  const start = performance.now();
  await jobs.note("notes", { text: "Measured again.", about: "" });
  return performance.now() - start;
}"""
SUMMARIES: Final = """async () => {
  const { jobs } = document.querySelector("bench-job-bar").constructor;
  const start = performance.now();
  await jobs.summaries();
  return performance.now() - start;
}"""


def told(text: str) -> None:
    """A line for whoever runs this."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def opened(context: BrowserContext, address: str) -> Page:
    """A page whose strip knows its job."""
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    page.add_init_script(WATCH_LIST)
    page.goto(address)
    page.locator("bench-job-bar[data-state]").wait_for(state="attached")
    return page


def fill(page: Page, jobs: Sequence[list[dict[str, Any]]]) -> None:
    """Takes the jobs in as files of them would be."""
    for some in batched(jobs, BATCH, strict=False):
        page.evaluate(TAKE_IN, json.dumps([entry for job in some for entry in job]))


def queries_of(jobs: Sequence[list[dict[str, Any]]]) -> dict[str, str]:
    """What is asked for: of a job in the middle of them, each thing that a job is found by."""
    job = next(job for job in jobs[len(jobs) // 2 :] if any(entry["list"] == "parts" for entry in job))
    details = next(entry["value"] for entry in job if entry["list"] == "details")
    part = next(entry["value"] for entry in job if entry["list"] == "parts")
    return {
        "number": details["number"],
        "serial": details["serial"].lower(),
        "unit": details["unit"].lower(),
        "person": details["person"].lower(),
        "part": part["number"].lower(),
    }


def key_time(page: Page, words: str) -> float:
    """Milliseconds from the last key of some words to what they find, on the screen."""
    field = page.locator("#bench-job-find")
    field.fill("")
    field.press_sequentially(words[:-1])
    page.wait_for_timeout(300)
    page.keyboard.press(words[-1])
    page.wait_for_function(SETTLED)
    return float(page.evaluate("window.watch.painted - window.watch.key"))


def measured(context: BrowserContext, address: str, queries: dict[str, str], rounds: int) -> dict[str, list[float]]:
    """Every time of every round, by what was measured; ours and the peers in turn."""
    times: dict[str, list[float]] = {}

    def note(name: str, value: float) -> None:
        times.setdefault(name, []).append(value)

    for _ in range(rounds):
        page = opened(context, f"{address}/jobs/")
        page.wait_for_function("() => window.listed")
        note("list", page.evaluate("window.listed"))
        note("every entry, bare", page.evaluate(BARE_READ, "entry"))
        note("jobs, bare", page.evaluate(BARE_READ, "job"))
        note("jobs, ours", page.evaluate(SUMMARIES))
        page.evaluate(WATCH_KEY)
        for name, words in queries.items():
            note(f"key {name}", key_time(page, words))
            note(f"filter {name}", page.evaluate(BARE_FILTER, words))
        page.close()
        page = opened(context, f"{address}/{FORM_PAGE}")
        note("note", page.evaluate(NOTE))
        page.close()
    return times


def print_times(times: dict[str, list[float]], alone: float, queries: dict[str, str]) -> None:
    """The table, and ours beside the peers."""
    told(f"\n{'milliseconds':52} {'median':>8} {'slowest':>8}")

    def row(name: str, key: str) -> None:
        told(f"{name:52} {statistics.median(times[key]):8.1f} {max(times[key]):8.1f}")

    row(f"start of the page until the list is shown (< {WANTED_LIST})", "list")
    told(f"{'the same with one job':52} {alone:8.1f}")
    row("what the list needs, read by us", "jobs, ours")
    row("the same, bare reading", "jobs, bare")
    row("every entry, bare reading", "every entry, bare")
    for name, words in queries.items():
        row(f"key to results by {name}: {words} (< {WANTED_KEY})", f"key {name}")
        row("the same, plain filter over an array in memory", f"filter {name}")
    row("a note on the page of a form, until it is written", "note")

    def ratio(name: str, ours: float, peer: float) -> None:
        told(f"{name}: {ours / peer:.2f}")

    told("")
    median = {key: statistics.median(value) for key, value in times.items()}
    ratio("list, two thousand jobs / one job", median["list"], alone)
    ratio("what the list needs, ours / bare reading", median["jobs, ours"], median["jobs, bare"])
    ratio("list more than with one job / bare reading of every entry", median["list"] - alone, median["every entry, bare"])
    for name in queries:
        ratio(f"key to results by {name} / plain filter", median[f"key {name}"], median[f"filter {name}"])


def main() -> None:
    """Measures and prints."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("rounds", type=int, nargs="?", default=5)
    parser.add_argument("--jobs", type=int, default=2000)
    parser.add_argument("--site", type=Path, help="a folder with the built demo, if there is one already")
    asked = parser.parse_args()
    with TemporaryDirectory() as name, sync_playwright() as playwright:
        site = asked.site or Path(name, "site")
        assert asked.site or build_site(ROOT / "mkdocs.yml", site) == 0
        browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
        told(f"Chromium {browser.version}, {platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
        jobs = list(made_up_jobs(asked.jobs, seed=1))
        told(f"{len(jobs):,} jobs, {sum(map(len, jobs)):,} entries")
        with served(site) as address:
            context = browser.new_context(service_workers="block")
            page = opened(context, f"{address}/jobs/")
            fill(page, jobs[-1:])
            alone = min(one_job(context, address) for _ in range(3))
            fill(page, jobs)
            page.locator("[data-bench=work-on]").first.click()
            page.close()
            queries = queries_of(jobs)
            print_times(measured(context, address, queries, max(FEWEST_ROUNDS, asked.rounds)), alone, queries)
        browser.close()


def one_job(context: BrowserContext, address: str) -> float:
    """Milliseconds until a list of one job is shown."""
    page = opened(context, f"{address}/jobs/")
    page.wait_for_function("() => window.listed")
    time = float(page.evaluate("window.listed"))
    page.close()
    return time


if __name__ == "__main__":
    main()
