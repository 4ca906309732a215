"""Paths: what is said about a bad one, in which words and at which place, and what is made of a sound one."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml
from bs4 import BeautifulSoup

from build_hooks.edition import prepare
from build_hooks.library import load
from build_hooks.page.learning import Learning, read_learning
from build_hooks.page.pages import read_pages
from build_hooks.schemas import schema_of

ROOT = Path(__file__).parents[3]
CASES = yaml.safe_load((Path(__file__).parent / "path-problems.yml").read_text(encoding="utf-8"))
UNIT = """\
name: Oak 2
parts:
  steel: {name: Steel plate, kind: steel, thickness: 1.80 mm}
  friction: {name: Friction plate, kind: friction, thickness: 1.70 mm}
  backing: {name: Backing plate, kind: backing, thickness: 3.00 mm}
packs:
  only:
    name: Only pack
    stack:
      - {repeat: 2, of: [steel, friction]}
      - {part: backing, side: chamfer up, wrong: "chamfer down: it rocks"}
"""
FILES = {
    "docs/shop.yml": "name: Quay Lane\nseniors: {ash: {name: B. Ash}}\n",
    "docs/units/oak-2/unit.yml": UNIT,
    "docs/standards/seals.md": "# Seals\n\nOne at a time.\n",
}


def written(folder: Path, files: dict[str, str]) -> None:
    """Writes files below a folder."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def learning_of(files: dict[str, str], folder: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Learning, list[str]]:
    """The learning part of a small manual with these files, and the problems of its paths."""
    monkeypatch.chdir(folder)
    written(folder, {**FILES, **files})
    library, problems = load(Path("docs"))
    assert library is not None
    assert problems == ()
    pages, wrong = read_pages(Path("docs"), library)
    assert wrong == ()
    learning, found = read_learning(library, pages)
    return learning, [str(problem) for problem in found]


def changed(case: Any) -> str:
    """The sound path with the changes of a case."""
    text: str = CASES["sound"]
    for old, new in case["change"].items():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


@pytest.mark.parametrize("case", CASES["cases"], ids=lambda case: str(case["case"]))
def test_each_fault_of_a_path_is_said_in_these_words_at_this_place(
    case: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Path, line, column and the whole text, in order, and nothing else; with a fault no page is made."""
    learning, problems = learning_of({"docs/learning/start.yml": changed(case)}, tmp_path, monkeypatch)
    assert problems == [f"docs/learning/start.yml:{problem}" for problem in case["problems"]]
    assert ("learning/start.md" in learning.pages) == (not case["problems"])


def test_a_task_that_nobody_could_sign_is_a_problem(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A shop that names no seniors; a path without tasks needs none."""
    files = {"docs/shop.yml": "name: Quay Lane\n", "docs/learning/start.yml": CASES["sound"]}
    _, problems = learning_of(files, tmp_path, monkeypatch)
    remedy = "Add them to shop.yml, for example seniors: {fennick: {name: M. Fennick}}."
    assert problems == [f"docs/learning/start.yml:10:75: Nobody could sign this task: the shop names no seniors. {remedy}"]
    task = "  - {id: fit, task: Fit the seal., standard: standards/seals.md, seen_by: senior}\n"
    files["docs/learning/start.yml"] = CASES["sound"].replace(task, "  - {id: fit, page: standards/seals.md}\n")
    assert learning_of(files, tmp_path, monkeypatch)[1] == []


def test_paths_that_need_each_other_are_both_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A circle is told in every file of it, at the name that leads into it."""
    sound = CASES["sound"]
    files = {
        "docs/learning/one.yml": sound.replace("needs: []", "needs: [two]"),
        "docs/learning/two.yml": sound.replace("needs: []", "needs: [three]"),
        "docs/learning/three.yml": sound.replace("needs: []", "needs: [one]"),
    }
    _, problems = learning_of(files, tmp_path, monkeypatch)
    remedy = "Let one of them need the other, not both."
    assert problems == [
        f"docs/learning/one.yml:6:9: This path needs itself, by way of “two” and “three”. {remedy}",
        f"docs/learning/three.yml:6:9: This path needs itself, by way of “one” and “two”. {remedy}",
        f"docs/learning/two.yml:6:9: This path needs itself, by way of “three” and “one”. {remedy}",
    ]


def test_files_that_cannot_be_paths(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A name that a page of ours has, a name that is no id, and a file that nothing would read."""
    sound = CASES["sound"]
    files = {f"docs/learning/{name}": sound for name in ("record.yml", "First Week.yml", "other.yaml")}
    _, problems = learning_of(files, tmp_path, monkeypatch)
    assert problems == [
        (
            "docs/learning/First Week.yml:1:1: “First Week.yml” cannot be the name of a path. "
            "Use small letters, figures and hyphens, for example first-week.yml."
        ),
        "docs/learning/other.yaml:1:1: This file is called other.yaml. Rename it to other.yml.",
        (
            "docs/learning/record.yml:1:1: A path cannot be called “record”: that page is made by itself. "
            "Rename it to something else than index, practice or record."
        ),
    ]


def test_paths_come_in_the_order_in_which_they_can_be_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One that needs another stands behind it, whatever the names of their files."""
    sound = CASES["sound"]
    files = {"docs/learning/a.yml": sound.replace("needs: []", "needs: [b]"), "docs/learning/b.yml": sound}
    learning, problems = learning_of(files, tmp_path, monkeypatch)
    assert problems == []
    assert [path.id for path in learning.paths] == ["b", "a"]


def test_a_manual_without_paths_has_practice_and_record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody has to write a path to practise."""
    learning, problems = learning_of({}, tmp_path, monkeypatch)
    assert problems == []
    assert list(learning.pages) == ["learning/index.md", "learning/practice.md", "learning/record.md"]


def test_the_page_of_a_path_stands_without_scripts() -> None:
    """Every step is there in words with its link; the page's script is told the same steps."""
    edition, problems = prepare(ROOT / "docs", date(2026, 11, 25))
    assert list(problems) == []
    assert edition is not None
    soup = BeautifulSoup(edition.pages.by_path["learning/first-week.md"].blocks[0], "html.parser")
    told = json.loads(soup.select_one("script[data-bench=learning]").text)  # type: ignore[union-attr]
    (path,) = (path for path in told["paths"] if path["id"] == "first-week")
    assert [item["data-step"] for item in soup.select("li[data-step]")] == [step["id"] for step in path["steps"]]
    first, practice, task = (soup.select_one(f"[data-step={name}]") for name in ("read-seals", "order-high", "piston-task"))
    assert first is not None and practice is not None and task is not None
    assert first.get_text() == "Read Seals"
    assert first.a is not None and first.a["href"] == "../../standards/seals/"
    assert practice.a is not None
    assert practice.a["href"] == (
        "../../learning/practice/?kind=order&unit=hazel-2&pack=high&count=2&path=first-week&step=order-high"
    )
    assert task.get_text().endswith("By the page Pistons and return springs. Seen by: senior.")
    assert "Edition E. Parts are judged as they are found" in soup.get_text()


@pytest.mark.parametrize(
    ("body", "problem"),
    [
        ("kind: ordre\npack: only", "docs/page.md:4:7: There is no kind of exercise “ordre”. Did you mean “order”?"),
        ("kind: order\npack: forward", "docs/page.md:5:7: There is no pack “forward”. Known: only."),
        ("kind: order\npack: only\ncount: 0", ("docs/page.md:6:8: The count of exercises must be a whole number. "
         "Write 1 to 20, for example count: 5.")),
        ("kind: order\npack: only\nset: 10000", ("docs/page.md:6:6: The number of a set must be a whole number. "
         "Write 1 to 9999, for example set: 4821.")),
        ("kind: clearance\npack: only", ("docs/page.md:4:1: No fair exercise can be made of this. "
         "The pack has no clearance limits. Choose another kind or pack.")),
    ],
)  # fmt: skip
def test_each_fault_of_an_exercise_block_is_said(
    body: str, problem: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where it stands in the page, and what would be right."""
    monkeypatch.chdir(tmp_path)
    written(tmp_path, {**FILES, "docs/page.md": f"# P\n\n```exercise\n{body}\nunit: oak-2\n```\n"})
    library, _ = load(Path("docs"))
    assert library is not None
    assert [str(found) for found in read_pages(Path("docs"), library)[1]] == [problem]


def test_an_exercise_block_is_a_place_for_the_page_s_script(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It says what is asked and whose manual it is; two of one kind have ids of their own."""
    monkeypatch.chdir(tmp_path)
    block = "```exercise\nunit: oak-2\npack: only\nkind: order\nset: 4821\n```\n"
    written(tmp_path, {**FILES, "docs/page.md": f"# P\n\n{block}\n{block}"})
    library, _ = load(Path("docs"))
    assert library is not None
    pages, problems = read_pages(Path("docs"), library)
    assert problems == ()
    first, second = (BeautifulSoup(block, "html.parser").find(True) for block in pages.by_path["page.md"].blocks)
    assert first is not None and second is not None
    asked = {name: first[f"data-{name}"] for name in ("kind", "unit", "pack", "count", "set", "manual")}
    assert asked == {"kind": "order", "unit": "oak-2", "pack": "only", "count": "3", "set": "4821", "manual": "Quay Lane"}
    assert first.get_text(" ") == "Stack order: Oak 2, Only pack An exercise stands here where the page's script runs."
    assert [first["id"], second["id"]] == ["exercise-oak-2-only-order", "exercise-oak-2-only-order-2"]


@pytest.mark.parametrize("name", ["progress", "jobs"])
def test_the_published_schema_of_a_record_is_the_one_that_the_page_checks_by(name: str) -> None:
    """``benchleaf schema NAME`` made it; after a change of the model it is made again."""
    published = json.loads((ROOT / "docs" / "schemas" / f"{name}.schema.json").read_text(encoding="utf-8"))
    bundled = json.loads((ROOT / "build_hooks" / "browser" / "records" / f"{name}.schema.json").read_text(encoding="utf-8"))
    assert published == schema_of(name)
    # The browser's copy does without the name of its dialect: no script names an address.
    assert bundled == {key: value for key, value in published.items() if key != "$schema"}
