"""Copies of a job that come together are the union of all their entries, whichever comes first and however often."""

from __future__ import annotations

import json
import random
from typing import Any, Final

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Page

from tests.build_hooks.jobs.made_up import JOB, job_entries
from tests.build_hooks.jobs.mechanic import JOBS, Mechanic

pytestmark = pytest.mark.browser

# Into the page's own database, and out of it.
TAKE_IN: Final = """async (text) => {
  const { job, arrivals } = JSON.parse(text); // As a text: plain data on the way into a page lose names that the language knows.
  const { jobs } = document.querySelector("bench-job-bar").constructor;
  await jobs.records.clear();
  const counts = [];
  for (const copy of arrivals) counts.push(await jobs.takeIn(copy));
  const entries = (await jobs.entriesOf(job)).sort((one, other) => (one.value.id < other.value.id ? -1 : 1));
  return JSON.stringify({ counts, entries, summaries: await jobs.summaries() });
}"""


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(entries=job_entries(), seed=st.integers(0, 1000))
def test_copies_in_any_order_and_number_come_to_the_union(
    mechanic: Mechanic, page: Page, entries: list[dict[str, Any]], seed: int
) -> None:
    """Nothing is lost, doubled or written over, and the list of jobs says what it says of the whole taken in at once."""
    if page.url == "about:blank":
        mechanic.goto(JOBS)
    chance = random.Random(seed)
    copies = [chance.sample(entries, chance.randint(0, len(entries))) for _ in range(3)]
    arrivals = chance.sample([*copies, entries, chance.choice(copies)], 5)
    forged = [{**entry, "value": {**entry["value"], "person": "Somebody else"}} for entry in entries]
    whole = taken_in(page, [entries])
    found = taken_in(page, [*arrivals, forged])
    assert whole["entries"] == sorted(entries, key=lambda entry: str(entry["value"]["id"]))
    assert (found["entries"], found["summaries"]) == (whole["entries"], whole["summaries"])
    assert found["counts"] == fresh_in([*arrivals, forged])


def taken_in(page: Page, arrivals: list[list[dict[str, Any]]]) -> dict[str, Any]:
    """What an empty database holds when all of this has arrived, and how many entries were new each time."""
    found: dict[str, Any] = json.loads(page.evaluate(TAKE_IN, json.dumps({"job": JOB, "arrivals": arrivals})))
    return found


def fresh_in(arrivals: list[list[dict[str, Any]]]) -> list[int]:
    """How many entries of each arrival no arrival before it has brought."""
    known = set[str]()
    counts = []
    for copy in arrivals:
        ids = {str(entry["value"]["id"]) for entry in copy}
        counts.append(len(ids - known))
        known |= ids
    return counts
