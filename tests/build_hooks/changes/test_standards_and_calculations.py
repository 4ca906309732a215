"""Changes of findings, decision trees and calculations are told by what they are about, never by an id or a key."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.changes import (
    Facts,
    change_page,
    change_text,
    changes_between,
    facts_of,
    paths_to_read_again,
    read_facts,
    written_facts,
)
from build_hooks.changes.calculation_facts import calculation_facts
from calc_engine.practice import DRAWINGS
from tests.build_hooks.own.manual import SOURCE

FINDINGS: Final = """name: Plates
findings:
  thin-lining:
    drawing: lining-thin
    part: Friction plate
    found: A new one lies beside it
    judgement: measure
    reason: Thin is no figure
    page: standards/plates.md
    says: Compare the smallest
    reading: {what: Smallest of 3 readings, min: 1.90 mm, source: list of the unit, gauge: micrometer}
  burnt-lining:
    drawing: lining-burnt
    part: Friction plate
    found: It smells burned
    judgement: replace
    reason: Burned lining is out
    page: standards/plates.md
    says: burned
"""
TREE: Final = """name: It came in
page: standards/incoming.md
start: fluid
questions:
  fluid:
    check: Look at the fluid
    asks: What is on the white cloth?
    answers:
      - {answer: "milky", leads_to: water}
      - {answer: "splinters", leads_to: broken}
      - {answer: "clear", leads_to: codes}
  codes:
    check: Read the codes
    asks: Is there one?
    answers:
      - {answer: "yes", leads_to: wires}
      - {answer: "no", leads_to: broken}
ends:
  water: {suspect: the cooler, do: The unit comes out, page: standards/plates.md, complaints: [It judders]}
  broken: {suspect: gears, do: The unit comes out}
  wires: {do: Mend the cable}
"""
PATH: Final = """name: First week
edition: A
steps:
  - {id: read, page: standards/incoming.md}
  - {id: pan, page: standards/pan.md}
  - {id: judge, practice: {kind: judge, unit: standards, pack: plates}}
  - {id: next, practice: {kind: next, unit: standards, pack: incoming}}
"""
FILES: Final = {
    "shop.yml": "name: Quay Lane\ngauges: {micrometer: {name: Micrometer 25}, feeler: {name: Feeler set}}\n",
    "findings/plates.yml": FINDINGS,
    "trees/incoming.yml": TREE,
    "calculations/pan_depth.py": SOURCE,
    "learning/first-week.yml": PATH,
    "standards/plates.md": "# Friction plates\n",
    "standards/seals.md": "# Seals\n",
    "standards/incoming.md": "# Incoming\n\n```tree\ntree: incoming\n```\n",
    "standards/pan.md": "# The pan\n\n```calc\ncalculation: pan-depth\n```\n",
}


def manual(folder: Path) -> Path:
    """A small manual; it need not be sound."""
    for name, text in FILES.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def told(docs: Path, name: str, before: str, after: str) -> list[str]:
    """The lines that tell a change of one file."""
    old = facts_of(docs)
    assert before in FILES[name]
    (docs / name).write_text(FILES[name].replace(before, after), encoding="utf-8")
    new = facts_of(docs)
    # A built site keeps facts as JSON: they are compared alike.
    kept = read_facts(written_facts(old)), read_facts(written_facts(new))
    assert kept == (old, new)
    return change_text(changes_between(*kept), paths_to_read_again(*kept)).splitlines()


def again(what: str) -> str:
    """The line that asks for a new edition of the path."""
    return f"Learning path “First week”: {what} changed since. Raise its edition, and say what is to be read again."


BURNT: Final = "what is known It smells burned; verdict replace; reason Burned lining is out; standard Friction plates; words of the standard burned"
THIN: Final = "Findings “Plates” · finding “thin lining” · "


@pytest.mark.parametrize(
    ("before", "after", "line"),
    [
        ("judgement: measure", "judgement: use-again", f"{THIN}verdict: measure → use again"),
        ("Thin is no figure", "Thin is a word", f"{THIN}reason: Thin is no figure → Thin is a word"),
        ("min: 1.90 mm", "min: 1.85 mm", f"{THIN}smallest: 1.90 mm → 1.85 mm"),
        ("min: 1.90 mm,", "", f"{THIN}smallest: gone: 1.90 mm"),
        ("min: 1.90 mm,", "min: 1.90 mm, max: 2.10 mm,", f"{THIN}largest: new: 2.10 mm"),
        ("source: list of the unit", "source: shop rule", f"{THIN}limit from: list of the unit → shop rule"),
        ("gauge: micrometer", "gauge: feeler", f"{THIN}gauge: Micrometer 25 → Feeler set"),
        ("what: Smallest", "what: Mean", f"{THIN}what is measured: Smallest of 3 readings → Mean of 3 readings"),
        ("says: Compare", "says: Look at", f"{THIN}words of the standard: Compare the smallest → Look at the smallest"),
        ("standards/plates.md\n    says: burned", "standards/seals.md\n    says: burned",
         "Findings “Plates” · finding “burnt lining” · standard: Friction plates → Seals"),
        ("lining-burnt", "lining-glazed",
         f"Findings “Plates” · finding “burnt lining” · drawing: {DRAWINGS['lining-burnt'].shows} → {DRAWINGS['lining-glazed'].shows}"),
        (FINDINGS[FINDINGS.index("  burnt"):], "",
         f"Findings “Plates” · finding “burnt lining”: gone: Friction plate; drawing {DRAWINGS['lining-burnt'].shows}; {BURNT}"),
        ("name: Plates", "name: Plates and steels", "Findings “Plates and steels” · name: Plates → Plates and steels"),
    ],
)  # fmt: skip
def test_a_finding(tmp_path: Path, before: str, after: str, line: str) -> None:
    """Its verdict, reason, limits, drawing and standard; the path that practises it is to be practised again."""
    named = "Plates and steels" if "steels" in after else "Plates"
    assert told(manual(tmp_path), "findings/plates.yml", before, after) == [line, again(named)]


TREE_IS: Final = "Decision tree “It came in” · "


@pytest.mark.parametrize(
    ("before", "after", "line"),
    [
        ("asks: Is there one?", "asks: Is there any?", f"{TREE_IS}question “Read the codes” · asks: Is there one? → Is there any?"),
        ("Read the codes", "Read every code", f"{TREE_IS}question “Read every code” · check: Read the codes → Read every code"),
        ('"milky", leads_to: water', '"milky", leads_to: codes',
         f"{TREE_IS}question “Look at the fluid” · answer “milky” · leads to: end “the cooler” → question “Read the codes”"),
        ('"no", leads_to: broken', '"no", leads_to: wires',
         f"{TREE_IS}question “Read the codes” · answer “no” · leads to: end “gears” → end “Mend the cable”"),
        ('"milky"', '"milky, or pink"',
         f"{TREE_IS}question “Look at the fluid” · answer “milky, or pink” · its words: milky → milky, or pink"),
        ('      - {answer: "splinters", leads_to: broken}\n', "",
         f"{TREE_IS}question “Look at the fluid” · answer “splinters”: gone: leads to end “gears”"),
        ('      - {answer: "yes"', '      - {answer: "one of a sensor", leads_to: water}\n      - {answer: "yes"',
         f"{TREE_IS}question “Read the codes” · answer “one of a sensor”: new: leads to end “the cooler”"),
        ("do: Mend the cable", "do: Mend the plug", f"{TREE_IS}end “Mend the plug” · what to do: Mend the cable → Mend the plug"),
        ("suspect: gears", "suspect: bearings", f"{TREE_IS}end “bearings” · suspect: gears → bearings"),
        ('"splinters", leads_to: broken}\n      - {answer: "clear", leads_to: codes}\n', '"splinters", leads_to: wires}\n      - {answer: "clear", leads_to: codes}\n',
         f"{TREE_IS}question “Look at the fluid” · answer “splinters” · leads to: end “gears” → end “Mend the cable”"),
        ("complaints: [It judders]", "complaints: [It judders, It slips]", f"{TREE_IS}end “the cooler” · what customers say: new: It slips"),
        ("page: standards/plates.md", "page: standards/seals.md", f"{TREE_IS}end “the cooler” · page to go on with: Friction plates → Seals"),
        ("start: fluid", "start: codes", f"{TREE_IS}begins with: question “Look at the fluid” → question “Read the codes”"),
        ("page: standards/incoming.md", "page: standards/seals.md", f"{TREE_IS}shown on: Incoming → Seals"),
    ],
)  # fmt: skip
def test_a_tree(tmp_path: Path, before: str, after: str, line: str) -> None:
    """Its questions, answers, and where they lead; the page that shows it is to be read again, and its exercises."""
    pages = "It came in" if "seals.md" in after and "incoming" in before else "Incoming, It came in"
    assert told(manual(tmp_path), "trees/incoming.yml", before, after) == [line, again(pages)]


def test_ends_that_are_called_the_same_are_told_apart(tmp_path: Path) -> None:
    """By their ids, else an answer that leads from one to the other would look unchanged."""
    docs = manual(tmp_path)
    same = TREE.replace("suspect: gears", "suspect: the cooler")
    (docs / "trees/incoming.yml").write_text(same, encoding="utf-8")
    old = facts_of(docs)
    (docs / "trees/incoming.yml").write_text(
        same.replace('"milky", leads_to: water', '"milky", leads_to: broken'), encoding="utf-8"
    )
    assert change_text(changes_between(old, facts_of(docs)), ()) == (
        f"{TREE_IS}question “Look at the fluid” · answer “milky” · leads to: end “the cooler (water)” → end “the cooler (broken)”\n"
    )


CALCULATION: Final = "Calculation “Filter: <gap> below it” · "


@pytest.mark.parametrize(
    ("before", "after", "lines"),
    [
        ('floor.", above="0 mm", most="200 mm"', 'floor.", above="0 mm", most="150 mm"', ["input “Depth of the pan” · largest: 200 mm → 150 mm"]),
        ('edge.", above="0 mm"', 'edge.", least="0 mm"',
         ["input “Height of the filter” · smallest: new: 0 mm", "input “Height of the filter” · more than: gone: 0 mm"]),
        ('"Height of the filter"', '"Filter"', ["input “Filter” · label: Height of the filter → Filter"]),
        ('"Between filter and floor."', '"Over the floor."', ["answer “Gap” · explanation: Between filter and floor. → Over the floor."]),
        ('    limits: Limits = group(Limits, "Limits", "Of the gap.", role="limits")\n', "",
         ["input “Limits”: gone: label Limits; explanation Of the gap.; kind group; kind of figure or words (Limits); role limits"]),
        ("g = d - f", "g = d - f - 1", ["formula: g = d - f → g = d - f - 1"]),
        ('Source("made up for the tests")', 'Source("shop rule", "page 2")', ["source: made up for the tests → shop rule; page 2"]),
        ("made up.", "invented.",
         ["what it works out: How far the filter stands off the floor of the pan | made up. → How far the filter stands off the floor of the pan | invented."]),
        ('"Fit the pan."', '"Fit it."', ["words or figures “ADVICE” · in: Fit the pan. → Fit it."]),
        ("gap = request.depth - request.filter\n", "gap = request.depth - 2 * request.filter\n",
         ["arithmetic of “work_out”: gap = request.depth - request.filter → gap = request.depth - 2 * request.filter"]),
        ('"filter": "46.5 mm"', '"filter": "46 mm"', ["example · filter: 46.5 mm → 46 mm"]),
    ],
)  # fmt: skip
def test_a_calculation(tmp_path: Path, before: str, after: str, lines: list[str]) -> None:
    """Its entries and their limits, formula, source, words and arithmetic; the page with its form is to be read again."""
    found = told(manual(tmp_path), "calculations/pan_depth.py", before, after)
    assert found == [*(f"{CALCULATION}{line}" for line in lines), again("The pan")]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('"""The depth less the height."""', '"""What is left."""'),
        ("    gap = request.depth - request.filter\n", "    # Rail to floor, less rail to filter.\n    gap = (request.depth -\n           request.filter)\n"),
        ('most="200 mm")\n    limits', 'most="200.0 mm")\n    limits'),
    ],
)  # fmt: skip
def test_what_only_reads_otherwise_is_no_change(tmp_path: Path, before: str, after: str) -> None:
    """A comment, a line broken anew, a zero at the end of an amount."""
    assert told(manual(tmp_path), "calculations/pan_depth.py", before, after) == ["Nothing has changed."]


@pytest.mark.parametrize(
    ("name", "called"),
    [
        ("findings/plates.yml", "Findings “Plates”"),
        ("trees/incoming.yml", "Decision tree “It came in”"),
        ("calculations/pan_depth.py", "Calculation “Filter: <gap> below it”"),
    ],
)
def test_files_that_come_and_go(tmp_path: Path, name: str, called: str) -> None:
    """Whole, by what they are called; on the page as well, where no text becomes markup."""
    docs = manual(tmp_path)
    old = facts_of(docs)
    (docs / name).unlink()
    without = facts_of(docs)
    assert change_text(changes_between(old, without), ()) == f"{called}: gone: the whole file\n"
    assert change_text(changes_between(without, old), ()) == f"{called}: new: the whole file\n"
    page = change_page(changes_between(without, old), (), "then")
    assert page.endswith("| What | Before | Now |\n|---|---|---|\n|  |  | the whole file |\n\n")
    assert "<gap>" not in page


def test_no_calculation_runs_when_it_is_compared(tmp_path: Path) -> None:
    """Old revisions are read too: what a file would do is never done."""
    docs = manual(tmp_path)
    mark = tmp_path / "ran"
    text = f"open({mark.as_posix()!r}, 'w')\n{SOURCE}"
    (docs / "calculations/pan_depth.py").write_text(text, encoding="utf-8")
    assert "calculations/pan_depth.py" in facts_of(docs).data
    assert not mark.exists()


@pytest.mark.parametrize(
    "source", ["", "a = 1\n", "def f(:\n", "x = " + "(" * 500, "C = Calculation(\n", "a = " + "-" * 5000 + "1\n"]
)
def test_what_declares_no_calculation_says_nothing(source: str) -> None:
    """Neither does what Python cannot read."""
    assert calculation_facts(source) is None


@pytest.mark.parametrize(
    "source",
    [
        "C = Calculation()",
        "C = Calculation(*a, **b)",
        "C = Calculation(request=R, example=1)\nclass R:\n    r: R = group(R)\n    s: int\n",
    ],
)
def test_odd_declarations_are_read(source: str) -> None:
    """As far as they go: a class that holds itself ends somewhere."""
    assert calculation_facts(source) is not None


def test_each_drawing_is_seen_in_words_of_its_own() -> None:
    """Two of the same words would hide a change from one to the other."""
    assert [words for words, times in Counter(drawing.shows for drawing in DRAWINGS.values()).items() if times > 1] == []


JSON: Final = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                [
                    "findings",
                    "reading",
                    "drawing",
                    "questions",
                    "ends",
                    "answers",
                    "answer",
                    "leads_to",
                    "inputs",
                    "arithmetic",
                    "label",
                    "a",
                ]
            ),
            inner,
            max_size=4,
        )
    ),
    max_leaves=12,
)
NAMES: Final = st.sampled_from(["findings/a.yml", "trees/a.yml", "calculations/a.py"])


@given(NAMES, st.dictionaries(st.sampled_from(["findings", "questions", "ends", "inputs", "answers", "name"]), JSON), JSON)
def test_files_need_not_be_sound(name: str, old: dict[str, object], new: object) -> None:
    """Whatever they hold, they are compared; the same is no change."""
    facts = Facts({name: old}, {}), Facts({name: new if isinstance(new, dict) else {"findings": new}}, {})
    change_text(changes_between(*facts), paths_to_read_again(*facts))
    assert changes_between(facts[0], facts[0]) == ()
