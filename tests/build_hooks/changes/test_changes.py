"""What differs between two states of a manual is said in the words of the trade, wherever the states are kept."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.changes import (
    FACTS_FILE,
    NoStateError,
    change_page,
    change_text,
    changes_between,
    facts_at,
    facts_of,
    paths_to_read_again,
    written_facts,
)
from build_hooks.changes.facts import Facts, PageFacts, Piece
from build_hooks.cli import main

UNIT: Final = """name: Oak 2
status: {state: approved, approved_by: M. Fennick, approved_on: 2026-09-01, revision: A}
parts:
  steel: {name: Steel plate, kind: steel, thickness: 1.80 mm ± 0.03}
  friction: {name: Friction plate, kind: friction, thickness: 1.70 mm}
  ring: {name: Ring with one dot, kind: snap-ring, thickness: 1.57 mm}
packs:
  low:
    name: Low pack
    stack:
      - {repeat: 5, of: [steel, friction]}
      - {part: ring, side: chamfer up}
    clearance: {min: 0.90 mm, max: 1.40 mm, source: FL-1, revision: A}
"""
PAGE: Final = """---
title: Fit the low pack
status: {state: draft}
---
# Low pack

!!! warning
    The spring is under load.

1. Soak the plates.
2. Count 5 friction plates.

    !!! hold
        Clearance 0.90 to 1.40 mm?

| Bolt | Torque |
|---|---|
| Cover | 20 N m |
"""
PATH: Final = "name: First week\nedition: A\nsteps:\n  - {id: read-low, page: units/oak-2/low.md}\n"


def manual(folder: Path) -> Path:
    """A small manual."""
    for name, text in {
        "shop.yml": "name: Quay Lane\nseniors: {dorn: {name: A. Dorn, pin: 'secret'}}\n",
        "units/oak-2/unit.yml": UNIT,
        "units/oak-2/low.md": PAGE,
        "learning/first-week.yml": PATH,
    }.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def changed(docs: Path, name: str, **changes: str) -> list[str]:
    """The lines that tell a change of one file."""
    old = facts_of(docs)
    text = (docs / name).read_text(encoding="utf-8")
    for before, after in changes.items():
        assert before in text
        text = text.replace(before, after)
    (docs / name).write_text(text, encoding="utf-8")
    new = facts_of(docs)
    return change_text(changes_between(old, new), paths_to_read_again(old, new)).splitlines()


AGAIN: Final = "Learning path “First week”: Fit the low pack changed since. Raise its edition, and say what is to be read again."


@pytest.mark.parametrize(
    ("name", "before", "after", "lines"),
    [
        ("units/oak-2/unit.yml", "max: 1.40 mm", "max: 1.30 mm",
         ["Oak 2 · packs · Low pack · clearance · max: 1.40 mm → 1.30 mm", AGAIN]),
        ("units/oak-2/unit.yml", "min: 0.90 mm", "min: 0.9 mm", ["Nothing has changed."]),
        ("units/oak-2/unit.yml", "revision: A}\nparts", "revision: B}\nparts", ["Oak 2 · status · revision: A → B"]),
        ("units/oak-2/unit.yml", "repeat: 5", "repeat: 4", ["Oak 2 · packs · Low pack · stack · repeat: 5 → 4", AGAIN]),
        ("units/oak-2/unit.yml", "side: chamfer up", "side: chamfer down",
         ["Oak 2 · packs · Low pack · stack · Ring with one dot · side: chamfer up → chamfer down", AGAIN]),
        ("units/oak-2/unit.yml", "[steel, friction]}", "[friction, steel]}",
         ["Oak 2 · packs · Low pack · stack · of: new: Friction plate",
          "Oak 2 · packs · Low pack · stack · of: gone: Friction plate", AGAIN]),
        ("units/oak-2/unit.yml", "      - {part: ring, side: chamfer up}\n", "",
         ["Oak 2 · packs · Low pack · stack: gone: Ring with one dot; side chamfer up", AGAIN]),
        ("units/oak-2/unit.yml", "  steel: {name: Steel plate,", "  steel: {name: Steel plate, once_only: true,",
         ["Oak 2 · parts · Steel plate · once only: new: yes", AGAIN]),
        ("units/oak-2/low.md", "Count 5", "Count 4",
         ["Page “Fit the low pack” · step: Count 5 friction plates. → Count 4 friction plates.", AGAIN]),
        ("units/oak-2/low.md", "0.90 to 1.40 mm?", "0.90 to 1.30 mm?",
         ["Page “Fit the low pack” · hold: Clearance 0.90 to 1.40 mm? → Clearance 0.90 to 1.30 mm?", AGAIN]),
        ("units/oak-2/low.md", "1. Soak", "1. Wipe the drum.\n1. Soak", ["Page “Fit the low pack” · step: new: Wipe the drum.", AGAIN]),
        ("units/oak-2/low.md", "20 N m", "25 N m", ["Page “Fit the low pack” · row: | Cover | 20 N m | → | Cover | 25 N m |", AGAIN]),
        ("units/oak-2/low.md", "state: draft", "state: withdrawn", ["Page “Fit the low pack” · status · state: draft → withdrawn"]),
        ("learning/first-week.yml", "edition: A", "edition: B", ["First week · edition: A → B"]),
    ],
)  # fmt: skip
def test_a_change_is_told_in_a_line(tmp_path: Path, name: str, before: str, after: str, lines: list[str]) -> None:
    """What differs, where, from what to what; and which path asks to be read again."""
    assert changed(manual(tmp_path), name, **{before: after}) == lines


def test_files_that_come_and_go_are_told(tmp_path: Path) -> None:
    """A unit and a page, whole."""
    old, new = facts_of(manual(tmp_path / "old")), facts_of(manual(tmp_path / "new"))
    assert changes_between(old, new) == ()
    for path in ("units/oak-2/unit.yml", "units/oak-2/low.md"):
        (tmp_path / "new" / path).unlink()
    without = facts_of(tmp_path / "new")
    assert (
        change_text(changes_between(old, without), ())
        == "Oak 2: gone: the whole file\nPage “Fit the low pack”: gone: the whole page\n"
    )
    assert (
        change_text(changes_between(without, old), ())
        == "Oak 2: new: the whole file\nPage “Fit the low pack”: new: the whole page\n"
    )


def test_a_raised_edition_asks_for_nothing_more(tmp_path: Path) -> None:
    """The path says itself what is to be read again."""
    docs = manual(tmp_path)
    old = facts_of(docs)
    (docs / "learning/first-week.yml").write_text(PATH.replace("edition: A", "edition: B"), encoding="utf-8")
    (docs / "units/oak-2/low.md").write_text(PAGE.replace("Count 5", "Count 4"), encoding="utf-8")
    assert paths_to_read_again(old, facts_of(docs)) == ()


def test_a_state_is_a_revision_a_built_site_or_a_folder(tmp_path: Path) -> None:
    """All three say the same of the same files, and none holds the PIN of a senior."""
    docs = manual(tmp_path / "manual" / "docs")
    for command in (["init", "-q"], ["add", "."], ["-c", "user.name=x", "-c", "user.email=x@y", "commit", "-qm", "x"]):
        subprocess.run(["git", *command], cwd=tmp_path / "manual", check=True)
    site = tmp_path / "site"
    (site / FACTS_FILE).parent.mkdir(parents=True)
    (site / FACTS_FILE).write_text(written_facts(facts_of(docs)), encoding="utf-8")
    now = facts_of(docs)
    assert facts_at("HEAD", docs) == facts_at(str(site), docs) == facts_at(str(docs), docs) == now
    assert "secret" not in written_facts(now)
    (docs / "units/oak-2/low.md").write_text("# Low\n", encoding="utf-8")
    assert facts_at("HEAD", docs) == now


@pytest.mark.parametrize(
    ("state", "message"),
    [
        ("v9", "“v9” is no folder of a built site, and no git revision that has docs. Name a folder, a tag or a commit, for example HEAD~1."),
        ("--output=x",
         "“--output=x” is no folder of a built site, and no git revision that has docs. Name a folder, a tag or a commit, for example HEAD~1."),
        ("empty", "empty is neither a site that was built with this version nor a docs folder. Name one of these, or a git revision."),
        ("broken", f"broken/{FACTS_FILE} is damaged. Build that site again."),
    ],
)  # fmt: skip
def test_what_is_no_state_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, state: str, message: str) -> None:
    """With what would be one; an option of git is none."""
    monkeypatch.chdir(tmp_path)
    manual(Path("docs"))
    Path("empty").mkdir()
    damaged = Path("broken") / FACTS_FILE
    damaged.parent.mkdir(parents=True)
    damaged.write_text('{"data": {}, "pages": {"a": 1}}', encoding="utf-8")
    with pytest.raises(NoStateError) as refused:
        facts_at(state, Path("docs"))
    assert str(refused.value) == message


def test_the_command_prints_lines_or_writes_a_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The page is no change itself, and no other file is written over."""
    monkeypatch.chdir(tmp_path)
    docs, old = manual(Path("docs")), manual(Path("old"))
    (docs / "units/oak-2/unit.yml").write_text(UNIT.replace("1.40", "1.30"), encoding="utf-8")
    assert main(["changes", str(old)]) == 0
    assert capsys.readouterr().out.splitlines()[0] == "Oak 2 · packs · Low pack · clearance · max: 1.40 mm → 1.30 mm"
    for _ in range(2):
        assert main(["changes", str(old), "--page", "docs/what-changed.md"]) == 0
    assert capsys.readouterr().out == "docs/what-changed.md\n" * 2
    assert Path("docs/what-changed.md").read_text(encoding="utf-8") == (
        "# What changed\n\nSince old.\n\n## Oak 2\n\n| What | Before | Now |\n|---|---|---|\n"
        "| packs · Low pack · clearance · max | 1&#46;40 mm | 1&#46;30 mm |\n\n"
        "## Read again\n\nWhat these learning paths lead to has changed, and their edition has not.\n\n- First week: Fit the low pack\n"
    )
    assert main(["changes", str(old), "--page", "docs/units/oak-2/low.md"]) == 1
    assert capsys.readouterr().err == "docs/units/oak-2/low.md is not a page that this command wrote. Name another file.\n"
    assert (docs / "units/oak-2/low.md").read_text(encoding="utf-8") == PAGE


@given(st.text(max_size=40), st.text(max_size=40))
def test_no_text_of_the_data_becomes_markup_of_the_page(old: str, new: str) -> None:
    """Cells stay cells, whatever is written in them."""
    before = Facts({}, {"a.md": PageFacts("A", {}, ())})
    after = Facts({}, {"a.md": PageFacts("A", {}, tuple(Piece("step", text) for text in (old, new)))})
    page = change_page(changes_between(before, after), (), "then")
    rows = [line for line in page.split("\n") if line.startswith("| step")]
    assert len(rows) == 2
    assert all(row.count("|") == 4 for row in rows)
    assert "<" not in "".join(rows)
