"""The demo's findings and trees: what they hold true is what the pages of the standards say, read here a second time."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import markdown
import pytest
import yaml
from bs4 import BeautifulSoup

from build_hooks.learning.exercises import offers_of, practised_in, subject_ids
from build_hooks.learning.standards_data import standards_data
from build_hooks.library import STANDARDS, Library, load
from build_hooks.page.pages import read_pages
from build_hooks.reading.addresses import address_of
from calc_engine.practice import DRAWINGS, KINDS, read_unit

DOCS = Path(__file__).parents[3] / "docs"
FINDINGS: list[tuple[str, dict[str, Any]]] = [
    (f"{path.stem}/{name}", finding)
    for path in sorted(DOCS.glob("findings/*.yml"))
    for name, finding in yaml.safe_load(path.read_text(encoding="utf-8"))["findings"].items()
]
# What a standard says where a number decides, where a part is out, and where it goes in again; the first that fits is meant.
SAYS = (
    ("measure", r"measure it|compare|\breadings?\b|figure"),
    ("replace", r"scrap|change|do not use it again|out at once|always new|new piston|failed|always does|splinters"),
    ("use-again", r"normal|good|may go in again|nothing felt"),
)


@pytest.fixture(scope="module")
def library() -> Library:
    """The demo."""
    found, problems = load(DOCS)
    assert found is not None
    assert not problems
    return found


def _words(text: str) -> str:
    return " ".join(re.findall(r"\w+", re.sub(r"\]\([^)]*\)", "", text).casefold()))


def _passages(page: str) -> list[str]:
    """Each line of a page behind its heading and, in a table, behind the head of the table."""
    found, heading, head, last = [], "", "", ""
    for line in (DOCS / page).read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            heading, head = line, ""
        elif line.startswith("|---"):
            head = last
        elif not line.strip():
            head = ""
        found.append(f"{heading} // {head} // {line}")
        last = line
    return found


@pytest.mark.parametrize(("name", "finding"), FINDINGS, ids=[name for name, _ in FINDINGS])
def test_the_judgement_is_what_the_page_says(name: str, finding: dict[str, Any]) -> None:
    """The line with the passage, its heading and the head of its table, in words that mean one of the three."""
    lines = [line for line in _passages(finding["page"]) if _words(finding["says"]) in _words(line.rpartition(" // ")[2])]
    assert lines, name
    said = lines[0].casefold()
    assert next(judgement for judgement, words in SAYS if re.search(words, said)) == finding["judgement"], said


def test_each_drawing_of_the_set_is_practised_somewhere_or_free_for_the_shop() -> None:
    """Every judgement has findings, and few drawings wait for their first."""
    assert {finding["judgement"] for _, finding in FINDINGS} == {"use-again", "measure", "replace"}
    drawn = [finding["drawing"] for _, finding in FINDINGS]
    assert len(drawn) == len(set(drawn))
    assert DRAWINGS.keys() - drawn == {"shaft-sound"}


def test_links_lead_to_places_that_are_there(library: Library) -> None:
    """The address of each passage is that of a page, and of a heading as Markdown names it, or of the tree."""
    data = standards_data(library.standards, library.shop)
    pages = {address_of(path.relative_to(DOCS).as_posix()).removesuffix("index.html"): path for path in DOCS.rglob("*.md")}
    for each in [finding for found in data["findings"] for finding in found["findings"]]:
        address, _, anchor = each["page"]["address"].partition("#")
        text = pages[address].read_text(encoding="utf-8").partition("\n---\n")[2]
        html = markdown.markdown(text, extensions=["toc", "tables", "admonition"])
        assert anchor in {str(node["id"]) for node in BeautifulSoup(html, "html.parser").select("h2, h3")}, each["page"]
    (tree,) = data["trees"]
    assert tree["page"] == {"title": "Incoming check", "address": "standards/incoming-check/#tree-incoming"}


def test_the_standards_are_offered_beside_the_units(library: Library) -> None:
    """Findings give judgements, the tree what comes next; nothing else is asked of them."""
    assert subject_ids(library) == ("alder-4", "hazel-2", "rowan-6", STANDARDS)
    assert practised_in(library, STANDARDS) == {
        "hard-parts": "Hard parts and magnet",
        "plates": "Plates and steels",
        "sealing": "Seals, lands and bores",
        "incoming": "Incoming check",
    }
    offered = {
        pack: [kind for kind, reason in kinds.items() if reason is None] for pack, kinds in offers_of(library, STANDARDS).items()
    }
    assert offered == {"hard-parts": ["judge"], "plates": ["judge"], "sealing": ["judge"], "incoming": ["next"]}


def test_every_case_of_the_demo_has_one_right_answer(library: Library) -> None:
    """All findings, and as many cases of the tree as a set can have."""
    unit = read_unit(json.loads(json.dumps(standards_data(library.standards, library.shop))))
    for name, findings in unit.findings.items():
        made = [KINDS["judge"].make(unit, unit.packs[name], 700 + at) for at in range(1, len(findings) + 1)]
        assert {each.given["drawing"] for each in made if each} == {finding.drawing for finding in findings}
    ends = set()
    for at in range(1, 100):
        exercise = KINDS["next"].make(unit, unit.packs["incoming"], 700 + at)
        assert exercise is not None
        marks = {option.label: KINDS["next"].mark(exercise, {"next": option.id}) for option in exercise.asks[0].options}
        (right,) = [label for label, mark in marks.items() if mark.right]
        assert len(marks) == 5
        assert all(mark.why[0] for mark in marks.values())
        ends.add(right)
    assert len(ends) > 15


def test_the_page_shows_the_tree_as_steps(library: Library) -> None:
    """Each question with its answers; each answer leads to a question of the page, or says what to do."""
    pages, problems = read_pages(DOCS, library)
    assert not problems
    (block,) = [block for block in pages.by_path["standards/incoming-check.md"].blocks if 'data-bench="tree"' in block]
    soup = BeautifulSoup(block, "html.parser")
    tree = library.standards.trees["incoming"]
    questions = soup.select(".bench-tree-questions > li")
    assert [str(each["id"]) for each in questions] == [f"tree-incoming-{name}" for name in tree.questions]
    for shown, question in zip(questions, tree.questions.values(), strict=True):
        answers = shown.select("ul > li")
        assert [str(each["data-leads"]) for each in answers] == [answer.leads_to for answer in question.answers]
        for each, answer in zip(answers, question.answers, strict=True):
            link = each.select_one(".bench-tree-then a")
            if answer.leads_to in tree.questions:
                assert link is not None
                assert link["href"] == f"#tree-incoming-{answer.leads_to}"
            else:
                end = tree.ends[answer.leads_to]
                assert end.do in each.get_text()
                assert (link is not None) == (end.page is not None)
                assert link is None or str(link["href"]) == f"../../{address_of(end.page or '').removesuffix('index.html')}"
