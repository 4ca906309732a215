"""The file that a page saves of a job: how large it is, and that it is read again as it was."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import count, cycle, islice
from typing import Any, Final

import pytest
from hypothesis import given

from build_hooks.schemas import schema_of
from tests.build_hooks.jobs.in_node import NodeModules, node_modules
from tests.build_hooks.jobs.made_up import as_file, job_entries
from tests.build_hooks.jobs.samples import entry_like, sample
from tests.build_hooks.test_schemas import faults_of

SCRIPT = """
import { entriesIn, jobText } from "./records/job-file.js";
const MANUAL = "Fennick Lane Rebuilders";
function answer(entries) {
  const text = jobText(entries, MANUAL);
  return { text, again: entriesIn(text, MANUAL) };
}
"""
LARGEST: Final = 100_000  # Bytes.
# Two hundred entries of the sizes that the demo's pages write: a drum and its end play read twice over and worked through.
ENTRIES: Final = {
    "details": 1, "states": 2, "forms": 60, "answers": 10, "ticks": 30, "steps": 75, "waits": 4, "parts": 12, "notes": 4,
    "accepted": 1, "corrections": 1,
}  # fmt: skip


@pytest.fixture(scope="module")
def saves(tmp_path_factory: pytest.TempPathFactory) -> Iterator[NodeModules]:
    """Writes the file of some entries, and reads it again."""
    with node_modules(SCRIPT, tmp_path_factory.mktemp("script")) as modules:
        yield modules


def large_job() -> list[dict[str, Any]]:
    """Two hundred entries, made from those of the sample."""
    keys, file = count(1), sample()
    return [
        {"list": name, "value": entry_like(entry, next(keys))}
        for name, number in ENTRIES.items()
        for entry in islice(cycle(file[name]), number)
    ]


def test_a_job_of_two_hundred_entries_is_a_small_file(saves: NodeModules) -> None:
    """Without pictures it goes by mail, and over a shop's network, at once."""
    entries = large_job()
    assert len(entries) == 200
    text = saves.ask(entries)["text"]
    assert len(text.encode()) < LARGEST
    schema = schema_of("jobs")
    assert list(faults_of(json.loads(text), schema, schema, "the file")) == []


def test_each_entry_is_a_line(saves: NodeModules) -> None:
    """Two files of a job can be compared line by line, and none is larger than it must be."""
    entries = large_job()
    lines = saves.ask(entries)["text"].splitlines()
    own = [json.loads(line.removesuffix(",")) for line in lines if line.startswith('{"id"')]
    assert sorted(entry["id"] for entry in own) == sorted(entry["value"]["id"] for entry in entries)


@given(entries=job_entries())
def test_what_is_saved_is_read_again_as_it_was(saves: NodeModules, entries: list[dict[str, Any]]) -> None:
    """Every entry, in its list, with all that is in it."""
    found = saves.ask(entries)
    assert sorted(found["again"]["entries"], key=key) == sorted(entries, key=key)
    saved, wanted = json.loads(found["text"]), as_file(entries)
    assert {name: len(saved[name]) for name in wanted if name not in {"format", "version", "manual", "written"}} == {
        name: len(value) for name, value in wanted.items() if isinstance(value, list)
    }


def key(entry: dict[str, Any]) -> str:
    """The key of an entry."""
    return str(entry["value"]["id"])
