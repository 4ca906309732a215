"""The author guide is true: what it shows can be copied into a manual, and it leaves out no key."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from bs4 import BeautifulSoup

from build_hooks.blocks.exercise import ExerciseBody
from build_hooks.learning.path_data import Change, PathData, Practice, Step
from build_hooks.library import load
from build_hooks.model import Keys
from build_hooks.own import read_own
from build_hooks.page.learning import read_learning
from build_hooks.page.pages import read_pages
from build_hooks.page.rendering import fill_markers
from build_hooks.reading.sources import mapping_of
from build_hooks.schemas import schema_of
from calc_engine import answer, set_own
from calc_engine.practice import KINDS
from tests.build_hooks.test_schemas import as_json, faults_of

DOCS: Final = Path(__file__).parents[3] / "docs"
GUIDE: Final = DOCS / "author-guide"
_EXAMPLE: Final = re.compile(r"^(?P<indent> *)````(?P<kind>\w+)\n(?P<text>.*?)^ *````$", re.MULTILINE | re.DOTALL)


def examples(page: str, kind: str) -> Iterator[str]:
    """What a page of the guide shows between lines of four backticks."""
    for found in _EXAMPLE.finditer((GUIDE / page).read_text(encoding="utf-8")):
        if found["kind"] == kind:
            yield re.sub(f"^{found['indent']}", "", found["text"], flags=re.MULTILINE)


@pytest.fixture
def docs(tmp_path: Path) -> Path:
    """The demo's own data, for the examples speak of it."""
    folder = tmp_path / "docs"
    shutil.copytree(DOCS, folder)
    return folder


@pytest.mark.parametrize("page", ["index.md", "blocks.md"])
def test_what_is_shown_of_a_page_can_stand_in_one(page: str, docs: Path) -> None:
    """Each example, copied into a page of its unit, has no problem, and each fence of it becomes a block."""
    shown = list(examples(page, "markdown"))
    assert shown
    for number, text in enumerate(shown):
        head = "" if text.startswith("---") else "---\ntitle: Example\n---\n"
        (docs / "units" / "alder-4" / f"example-{number}.md").write_text(f"{head}{text}\n", encoding="utf-8")
    library, _ = load(docs)
    assert library is not None
    read, problems = read_pages(docs, library)
    assert [str(problem) for problem in problems] == []
    pages = read.by_path
    for number, text in enumerate(shown):
        made = pages[f"units/alder-4/example-{number}.md"]
        blocks = BeautifulSoup(fill_markers(made.source.text, made.blocks), "html.parser").select("[data-bench]")
        assert len(blocks) >= len(re.findall(r"^ *```\w", text, re.MULTILINE))


def test_what_is_shown_of_unit_and_shop_data_fits_their_schemas() -> None:
    """An editor that goes by the schema marks nothing in an example that is copied from the guide."""
    # Read as the manual reads, and as editors do: “on” is a key like others since YAML 1.2.
    shown = [as_json(root.plain()) for text in examples("unit-data.md", "yaml") if (root := mapping_of(text, "example")[0])]
    assert len(shown) >= 6
    for data in shown:
        schema = schema_of("shop" if "gauges" in data else "unit")
        assert list(faults_of({"name": "Oak 2", **data}, schema, schema, "example")) == []


def test_what_is_shown_of_an_old_file_is_what_is_told_of_one(docs: Path) -> None:
    """The demo without the line that says where the direct pack is measured gives the very words of the guide."""
    path = docs / "units" / "alder-4" / "unit.yml"
    written = path.read_text(encoding="utf-8")
    before, _, rest = written.partition('      - measure: "Depth to the pressure plate')
    path.write_text(before + rest[rest.index("      - part: direct-hub\n") :], encoding="utf-8")
    (shown,) = examples("unit-data.md", "text")
    _, problems = load(docs)
    assert [str(problem).partition(": ")[2] for problem in problems] == [shown.strip().partition(": ")[2]]


def test_what_is_shown_of_a_path_is_a_path(docs: Path) -> None:
    """Each example, saved as a file of the demo, is read without a problem and gives a page."""
    shown = list(examples("learning.md", "yaml"))
    assert len(shown) == 2
    for number, text in enumerate(shown):
        (docs / "learning" / f"example-{number}.yml").write_text(text, encoding="utf-8")
    library, _ = load(docs)
    assert library is not None
    learning, problems = read_learning(library, read_pages(docs, library)[0])
    assert [str(problem) for problem in problems] == []
    assert {f"learning/example-{number}.md" for number in range(len(shown))} <= set(learning.pages)


def test_what_is_shown_of_a_calculation_is_one(docs: Path) -> None:
    """Saved as the file that the guide names, it is sound, and refuses what the guide says."""
    (shown,) = examples("own-calculations.md", "python")
    (docs / "calculations").mkdir()
    (docs / "calculations" / "pan_depth.py").write_text(shown, encoding="utf-8")
    own, problems = read_own(docs)
    assert [str(problem) for problem in problems] == []
    try:
        set_own(own.calculations)
        told = answer("pan-depth", {"rail": "2 in", "filter": "2.1 in"})["problems"]
        assert [problem["message"] for problem in told] == ["The filter stands lower than the floor."]
    finally:
        set_own(())


@pytest.mark.parametrize(
    ("page", "model"),
    [
        ("learning.md", PathData),
        ("learning.md", Step),
        ("learning.md", Practice),
        ("learning.md", Change),
        ("blocks.md", ExerciseBody),
    ],
)
def test_the_guide_explains_every_key(page: str, model: type[Keys]) -> None:
    """Each key that may be written stands in a table of the page that is about it."""
    assert set(model.model_fields) - keys_told(page) == set()


def test_the_guide_explains_every_kind_of_exercise() -> None:
    """Each kind stands in the table of kinds."""
    assert set(KINDS) - keys_told("blocks.md") == set()


def keys_told(page: str) -> set[Any]:
    """The words in the first column of the tables of a page of the guide."""
    rows = re.findall(r"^\| (`[^|]*) \|", (GUIDE / page).read_text(encoding="utf-8"), re.MULTILINE)
    return {key for row in rows for key in re.findall(r"`([^`]*)`", row)}
