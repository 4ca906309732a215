"""What stands in a job, and its file, do not depend on the order in which its entries arrive."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.schemas import schema_of
from tests.build_hooks.jobs.in_node import NodeModules, node_modules
from tests.build_hooks.jobs.made_up import as_file, job_entries
from tests.build_hooks.jobs.samples import sample
from tests.build_hooks.test_schemas import faults_of

# The order of names in what stands counts as well: lists are drawn in it.
SCRIPT = """
import { standingOf } from "./jobs/standing.js";
import { openThings } from "./jobs/jobs.js";
import { jobText } from "./records/job-file.js";
globalThis.window = { addEventListener() {} };
function answer(entries) {
  const standing = standingOf(entries);
  const { written, ...file } = JSON.parse(jobText(entries, "Fennick Lane Rebuilders"));
  return { standing: JSON.stringify(standing), open: openThings(standing), file: JSON.stringify(file) };
}
"""


@pytest.fixture(scope="module")
def stands(tmp_path_factory: pytest.TempPathFactory) -> Iterator[NodeModules]:
    """Works out what stands in entries, what lies open, and their file."""
    with node_modules(SCRIPT, tmp_path_factory.mktemp("script")) as modules:
        yield modules


@given(entries=job_entries())
def test_what_is_made_up_fits_the_schema(entries: list[dict[str, Any]]) -> None:
    """Otherwise the properties would be of files that no page takes."""
    schema = schema_of("jobs")
    assert list(faults_of(as_file(entries), schema, schema, "the file")) == []


@given(entries=job_entries(), seed=st.integers(0, 1000))
def test_the_order_of_arrival_changes_nothing(stands: NodeModules, entries: list[dict[str, Any]], seed: int) -> None:
    """The same standing to the letter, the same open things, the same file."""
    first = stands.ask(entries)
    shuffled = random.Random(seed).sample(entries, len(entries))
    assert stands.ask(shuffled) == first
    assert stands.ask(entries[::-1]) == first


def test_the_sample_stands_the_same_in_every_order(stands: NodeModules) -> None:
    """It has an entry of each kind; ten orders by chance."""
    entries = [
        {"list": name, "value": value} for name, values in sample().items() if isinstance(values, list) for value in values
    ]
    orders = [random.Random(seed).sample(entries, len(entries)) for seed in range(10)]
    assert [stands.ask(order) for order in orders] == [stands.ask(entries)] * 10
