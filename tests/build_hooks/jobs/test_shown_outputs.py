"""What a page notes of an answer is what is compared when the job is judged again, for every calculation."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from build_hooks.jobs.recheck import recheck
from calc_engine import CATALOGUE, encode, panel, shown_outputs, work_out
from tests.build_hooks.jobs.in_node import NodeModules, node_modules
from tests.build_hooks.jobs.samples import entry_like, sample

SCRIPT = """
import { shownOutputs } from "./jobs/shown-outputs.js";
const answer = shownOutputs;
"""


@pytest.fixture(scope="module")
def page_shows(tmp_path_factory: pytest.TempPathFactory) -> Iterator[NodeModules]:
    """Reads the outputs out of a panel, as the page does."""
    with node_modules(SCRIPT, tmp_path_factory.mktemp("script")) as modules:
        yield modules


def noted(page_shows: NodeModules, name: str, key: int) -> dict[str, Any]:
    """The entry that a page writes of a calculation's example."""
    calculation = CATALOGUE[name]
    worked = work_out(name, dict(calculation.example))
    drawn = json.loads(json.dumps(panel(worked)))
    return entry_like(
        sample()["answers"][0],
        key,
        title=calculation.title,
        calculation=name,
        request=dict(calculation.example),
        result=json.loads(encode(worked.reply["result"])),
        shown=page_shows.ask(drawn),
        verdict=drawn[1].get("data-verdict", ""),
    )


@pytest.mark.parametrize("name", CATALOGUE)
def test_the_page_shows_the_outputs_that_the_engine_compares(page_shows: NodeModules, name: str) -> None:
    """The same fields, the same words, and at least one."""
    found = noted(page_shows, name, 1)["shown"]
    assert found == shown_outputs(work_out(name, dict(CATALOGUE[name].example)))
    assert found


def test_every_calculation_agrees_when_it_is_judged_again(page_shows: NodeModules, tmp_path: Path) -> None:
    """A job with an answer of each."""
    file = sample()
    file["answers"] = [noted(page_shows, name, 1000 + at) for at, name in enumerate(CATALOGUE)]
    path = tmp_path / "job.json"
    path.write_text(json.dumps(file), encoding="utf-8")
    judged = recheck(path)
    assert [line for line in judged.lines if not line.endswith(": agrees")] == []
    assert (judged.total, judged.differ) == (len(CATALOGUE), 0)
