"""Findings and decision trees as data: what is sound comes through, every fault is told in whole words at its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_hooks.library import load
from build_hooks.reading.memory import Memory

SHOP = """\
name: Quay Lane
gauges:
  mike: {name: Micrometer, kind: micrometer, resolution: 0.01 mm, max_error: 0.004 mm}
  wrench: {name: Wrench, kind: wrench}
  inch: {name: Inch micrometer, kind: micrometer, resolution: 0.001 in, max_error: 0.001 in}
"""
PAGE = """\
---
title: Plates of oak
---
# Plates

Wipe them.

## Look and [feel](other.md)

| You see | It means |
|---|---|
| **blue** spots | scrap |

```text
never written
```

## Measure

Compare the smallest with the worn limit.

```tree
tree: noise
```
"""
FINDINGS = """\
name: Plates
findings:
  spots:
    drawing: steel-spots
    part: Steel plate
    found: dry
    judgement: replace
    reason: It is blue
    page: plates.md
    says: "Blue spots: scrap"
  thin:
    drawing: lining-thin
    part: Friction plate
    found: dry
    judgement: measure
    reason: Thin is no figure
    page: plates.md
    says: the smallest with the worn limit
    reading: {what: Thickness, min: 1.90 mm, max: 2.20 mm, source: the list, gauge: mike}
"""
TREE = """\
name: Noise
page: plates.md
start: standing
questions:
  standing:
    check: Stand still
    asks: Is it there?
    answers:
      - {answer: "yes", leads_to: pump}
      - {answer: "no", leads_to: gears}
  gears:
    check: Drive
    asks: In which gear?
    answers:
      - {answer: one, leads_to: set}
      - {answer: all, leads_to: pump}
ends:
  pump: {do: Look at the pump, page: plates.md, complaints: [It whines]}
  set: {do: Take it out, suspect: the gear set}
"""
FILES = {"shop.yml": SHOP, "plates.md": PAGE, "findings/plates.yml": FINDINGS, "trees/noise.yml": TREE}


def _written(folder: Path, files: dict[str, str]) -> Path:
    docs = folder / "docs"
    for name, text in files.items():
        path = docs / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return docs


def test_sound_data_come_through_with_the_places_that_say_so(tmp_path: Path) -> None:
    """A passage is found across links, emphasis and columns; its address is that of the heading above it."""
    library, problems = load(_written(tmp_path, FILES))
    assert not problems
    assert library is not None
    standards = library.standards
    assert standards.practised == {"plates": "Plates", "noise": "Noise"}
    places = {name: (place.title, place.address) for (_, name), place in standards.places.items()}
    assert places == {
        "spots": ("Plates of oak: Look and feel", "plates/#look-and-feel"),
        "thin": ("Plates of oak: Measure", "plates/#measure"),
    }
    assert standards.trees["noise"].ends["set"].suspect == "the gear set"
    assert not library.at_fault


CASES = [
    ("findings", "steel-spots", "steel-spotz", "4:14: “steel-spotz” is not a drawing of the set. Did you mean “steel-spots”?"),
    ("findings", "replace\n", "bin\n", "7:16: “bin” is not a judgement. Write use-again, measure or replace."),
    (
        "findings",
        'page: plates.md\n    says: "Blue',
        'page: plate.md\n    says: "Blue',
        "9:11: There is no page “plate.md”. Did you mean “plates.md”?",
    ),
    (
        "findings",
        "Blue spots: scrap",
        "Green spots: scrap",
        "10:11: The page “plates.md” does not say this. Copy its words in their order, out of one section.",
    ),
    (
        "findings",
        "Blue spots: scrap",
        "never written",
        "10:11: The page “plates.md” does not say this. Copy its words in their order, out of one section.",
    ),
    (
        "findings",
        "Blue spots: scrap",
        "scrap Measure",
        "10:11: The page “plates.md” does not say this. Copy its words in their order, out of one section.",
    ),
    (
        "findings",
        "judgement: measure",
        "judgement: replace",
        "19:5: Nothing is measured where the judgement is “replace”. Take it out, or write judgement: measure.",
    ),
    ("findings", "min: 1.90 mm, max: 2.20 mm, ", "", "19:14: This reading has no limit. Add min, max, or both."),
    ("findings", "1.90 mm", "2.30 mm", "19:37: The smallest is not below the largest. Check which is which."),
    ("findings", "gauge: mike", "gauge: mik", "19:85: There is no gauge “mik”. Did you mean “mike”?"),
    (
        "findings",
        "gauge: mike",
        "gauge: wrench",
        "19:85: “wrench” has no steps of a length to read. Name a gauge with a resolution in mm or in.",
    ),
    (
        "findings",
        "gauge: mike",
        "gauge: inch",
        "19:85: “inch” reads to 0.001 in, and a limit is in another unit. Name a gauge that reads in the unit of the limits.",
    ),
    ("trees", "start: standing", "start: standin", "3:8: There is no question “standin”. Did you mean “standing”?"),
    ("trees", "leads_to: set", "leads_to: sett", "15:33: There is no question and no end “sett”. Did you mean “set”?"),
    (
        "trees",
        "leads_to: set",
        "leads_to: gears",
        "15:33: The question “gears” is reached in another way already. Let one answer lead to each question; an end may have several.",
        "19:3: Nothing leads to “set”. Let an answer lead to it, or take it out.",
    ),
    (
        "trees",
        "      - {answer: one, leads_to: set}\n",
        "",
        "15:7: This question leaves nothing to choose. Write at least two, or take the question out.",
        "18:3: Nothing leads to “set”. Let an answer lead to it, or take it out.",
    ),
    ("trees", "  set: {do", "  gears: {do", "15:33: There is no question and no end “set”. Known: standing, gears and pump.",
     "19:3: A question is called “gears” too. Give each its own id."),
]  # fmt: skip


@pytest.mark.parametrize(("folder", "old", "new", "told"), [(case[0], case[1], case[2], case[3:]) for case in CASES])
def test_each_fault_is_told_at_its_place(
    folder: str, old: str, new: str, told: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The whole message, and nothing else; nothing is asked about data with faults."""
    name = "findings/plates.yml" if folder == "findings" else "trees/noise.yml"
    assert FILES[name].count(old) == 1
    monkeypatch.chdir(tmp_path)
    _written(tmp_path, FILES | {name: FILES[name].replace(old, new)})
    library, problems = load(Path("docs"))
    assert [str(problem) for problem in problems] == [f"docs/{name}:{each}" for each in told]
    assert library is not None
    assert library.at_fault


def test_a_page_that_does_not_show_its_tree_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who is sent to the page must find the tree there."""
    monkeypatch.chdir(tmp_path)
    _written(tmp_path, FILES | {"plates.md": PAGE.replace("tree: noise", "tree: other")})
    _, problems = load(Path("docs"))
    assert [str(problem) for problem in problems] == [
        "docs/trees/noise.yml:2:7: The page “plates.md” does not show this tree. Write a tree block there: tree: noise."
    ]


@pytest.mark.parametrize(
    ("path", "told"),
    [
        ("findings/oak.yaml", "docs/findings/oak.yaml:1:1: This file is called oak.yaml. Rename it to oak.yml."),
        (
            "findings/Oak.yml",
            "docs/findings/Oak.yml:1:1: “Oak.yml” cannot be its name. Use small letters, figures and hyphens, for example plates.yml.",
        ),
        (
            "trees/plates.yml",
            "docs/trees/plates.yml:1:1: There is a set of findings “plates” too. Rename one of the two files: exercises name them alike.",
        ),
        (
            "units/standards/unit.yml",
            "docs/units/standards:1:1: A unit cannot be called “standards”. Rename the folder: exercises name the shop's standards so.",
        ),
    ],
)  # fmt: skip
def test_a_file_with_a_name_that_is_none_is_told(path: str, told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Names are what exercises and records go by."""
    monkeypatch.chdir(tmp_path)
    text = FINDINGS if path.startswith("findings") else TREE if path.startswith("trees") else "name: Standards\n"
    page = PAGE + "\n```tree\ntree: plates\n```\n"
    _written(tmp_path, FILES | {path: text, "plates.md": page})
    _, problems = load(Path("docs"))
    assert [str(problem) for problem in problems] == [told]


def test_the_same_data_give_the_very_same_object(tmp_path: Path) -> None:
    """Pages are made anew only when something has changed; a page that a finding names is a part of it."""
    docs, memory = _written(tmp_path, FILES), Memory()
    first, second = (load(docs, memory)[0] for _ in range(2))
    assert first is not None
    assert second is not None
    assert first.standards is second.standards
    (docs / "plates.md").write_text(PAGE.replace("## Measure", "## Size"), encoding="utf-8")
    third, problems = load(docs, memory)
    assert third is not None
    assert not problems
    assert third.standards.places["plates", "thin"].address == "plates/#size"
