"""Files of saved jobs with changes by chance, and how a page judges them."""

from __future__ import annotations

import copy
import json
import random
import subprocess
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import batched
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import Page

from build_hooks.jobs.job_file import ENTRY_LISTS
from build_hooks.schemas import schema_of
from tests.build_hooks.jobs.samples import sample
from tests.build_hooks.test_schemas import faults_of

__all__ = ["Verdict", "damaged", "judged"]

_ROOT: Final = Path(__file__).parents[3]
_BATCH: Final = 100
_HOSTILE: Final[list[Any]] = [
    None, True, 0, -1, 10**12, 1.5, "", "x" * 5000, "<img src=x onerror=__x()>", "javascript:__x()", "2999-01-01T00:00:00.000Z",
    "1970-01-01T00:00:00.000Z", "2026-02-30T00:00:00.000Z", "9999-12-31T00:00:00Z", [], {}, [[]], {"__proto__": 1}, "constructor",
    "\u0000", "../../x", "ffd1f2a3b4c5d6e7/0000000000000001", "00d1f2a3b4c5d6e7/0000000000000003",
]  # fmt: skip
# Why a file is refused that fits the schema: what a schema cannot say.
_BEYOND_SCHEMA: Final = ("two entries have the key", "in the future", "speaks of another job", "belongs to another manual")
# Each file is judged by the page's own reader, and taken in by its own jobs; the database is looked at past both, then emptied.
_JUDGE: Final = """async (texts) => {
  const { jobs } = document.querySelector("bench-job-bar").constructor;
  const stored = async () => {
    const open = indexedDB.open(jobs.records.name);
    await new Promise((done) => (open.onsuccess = done));
    const all = open.result.transaction("records").objectStore("records").getAll();
    await new Promise((done) => (all.onsuccess = done));
    open.result.close();
    return all.result.filter(({ kind }) => kind === "entry").map(({ value }) => value);
  };
  const judge = async (text) => {
    try {
      const found = jobFiles.entriesIn(text, jobs.manual);
      const count = "refused" in found ? null : await jobs.takeIn(found.entries);
      if (!("refused" in found)) await jobs.summaries();
      return { ...found, count, stored: await stored() };
    } catch (fault) {
      return { thrown: String(fault) };
    }
  };
  const verdicts = [];
  for (const text of texts) {
    const verdict = await judge(text);
    verdicts.push(verdict);
    if (verdict.thrown || verdict.stored.length > 0) await jobs.records.clear();
  }
  return JSON.stringify(verdicts); // As a text: what brings plain data out of the page drops names that the language knows.
}"""


def damaged(number: int, seed: int) -> Iterator[str]:
    """Saved jobs with places replaced, removed or doubled, or their text damaged.

    Args:
        number: how many.
        seed: the same one gives the same files.
    """
    chance = random.Random(seed)
    for _ in range(number):
        yield _damaged(chance)


def _damaged(chance: random.Random) -> str:
    file = sample()
    for _ in range(chance.randint(1, 3)):
        path = chance.choice(_places(file))
        here: Any = file
        for key in path[:-1]:
            here = here[key]
        _change(here, path[-1], chance)
    text = json.dumps(file)
    if chance.random() < 0.1:
        place = chance.randrange(len(text))
        text = text[:place] + chr(chance.randrange(256)) + text[place + chance.randrange(20) :]
    return text


def _places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    inner = list(value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ())
    return [found for key, item in inner for found in ((*path, key), *_places(item, (*path, key)))]


def _change(here: Any, key: Any, chance: random.Random) -> None:
    kind = chance.randrange(3)
    if kind == 0:
        here[key] = copy.deepcopy(chance.choice(_HOSTILE))
    elif kind == 1:
        del here[key]
    elif isinstance(here, list):
        here.append(copy.deepcopy(here[key]))
    else:
        here[f"{key}x"] = here[key]


@dataclass(frozen=True, slots=True)
class Verdict:
    """How a page took a file.

    Attributes:
        is_taken: whether it was taken in.
        fault: what was wrong with that, in words; None when all was right.
    """

    is_taken: bool
    fault: str | None


def judged(page: Page, texts: Iterable[str]) -> Iterator[Verdict]:
    """How a page takes each file.

    Args:
        page: one of the manual, with no job in its browser.
        texts: of the files.
    """
    page.evaluate(_reader())
    for batch in batched(texts, _BATCH, strict=False):
        for text, found in zip(batch, json.loads(page.evaluate(_JUDGE, list(batch))), strict=True):
            yield Verdict("count" in found and found["count"] is not None, _fault(text, found))


@cache
def _reader() -> str:
    """The page's own reader of files, as a script that a test can call."""
    command = ["node_modules/.bin/esbuild", "build_hooks/browser/records/job-file.js", "--bundle", "--format=iife"]
    return subprocess.run(
        [*command, "--global-name=jobFiles", "--footer:js=globalThis.jobFiles = jobFiles;"],
        cwd=_ROOT, capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip


def _fault(text: str, found: dict[str, Any]) -> str | None:
    if "thrown" in found:
        return f"it throws {found['thrown']}: {text[:200]}"
    if "refused" in found:
        return _fault_of_refusal(text, found)
    schema = schema_of("jobs")
    file = json.loads(text)
    if unfit := next(faults_of(file, schema, schema, "the file"), None):
        return f"taken in, and does not fit the schema: {unfit}"
    entries = {entry["id"]: entry for name in ENTRY_LISTS for entry in file[name]}
    stored = {value["id"]: value["entry"] for value in found["stored"]}
    if found["count"] != len(entries) or stored != entries:
        return f"{len(entries)} entries in the file, {found['count']} called added, {len(stored)} stored: {text[:200]}"
    return None


def _fault_of_refusal(text: str, found: dict[str, Any]) -> str | None:
    if found["stored"]:
        return f"refused, and {len(found['stored'])} entries were taken: {text[:200]}"
    if any(why in found["refused"] for why in _BEYOND_SCHEMA):
        return None
    schema = schema_of("jobs")
    try:
        fits = next(faults_of(json.loads(text), schema, schema, "the file"), None) is None
    except ValueError:
        return None
    return f"it fits the schema and is refused: {found['refused']}" if fits else None
