"""Steps, checks and signal words that are hard to follow, and the whole of what is said of them; cases in messages/plain-writing."""

from __future__ import annotations

import functools
import re
from pathlib import Path
from typing import Any, Final

import pytest
import yaml
from bs4 import BeautifulSoup
from hypothesis import example, given
from hypothesis import strategies as st
from markdown import markdown

from build_hooks.library import Library, load
from build_hooks.markdown.extensions import EXTENSIONS
from build_hooks.page.pages import read_pages
from build_hooks.page.source import PageSource, read_page
from build_hooks.plain_writing import KnownWords, known_words, manual_warnings, writing_warnings
from build_hooks.plain_writing.passage import Passage
from build_hooks.plain_writing.scanner import Kind, scan
from build_hooks.plain_writing.step_rules import words_in
from build_hooks.reading.problems import Mark

ROOT: Final = Path(__file__).parents[3]
CASES: Final = Path(__file__).parents[1] / "messages" / "plain-writing"
# What the invented shop of these cases explains.
KNOWN: Final = KnownWords.of(
    [
        "snap ring", "circlip", "friction plate", "steel plate", "wave plate", "piston", "drum", "hub", "lip", "lip seal",
        "groove", "end play", "return spring", "release spring", "retainer", "forward pack", "front drum", "seal sleeve",
        "spring press", "bench dial indicator", "assembly lubricant", "clearance", "air check",
    ]
)  # fmt: skip
# The extensions that the plugin switches on, without our own.
EXTENSIONS_OF_OTHERS: Final = [name for name in EXTENSIONS if not name.startswith("build_hooks.")]


def read_cases(name: str) -> Any:
    """The cases of one file."""
    return yaml.safe_load((CASES / name).read_text(encoding="utf-8"))


def page_cases() -> list[Any]:
    """Whole pages."""
    names = ("placement.yml", "checks.yml", "words.yml", "scanner.yml", "numbering.yml")
    return [pytest.param(case, id=f"{name}: {case['case']}") for name in names for case in read_cases(name)]


@pytest.mark.parametrize("case", page_cases())
def test_each_warning_of_a_page_is_said_in_these_words_at_this_place(case: Any) -> None:
    """Line, column and the whole text of every warning, in order, and nothing else."""
    found = writing_warnings(case["page"], "docs/p.md", KNOWN, case.get("blocks", ()))
    assert [str(warning) for warning in found] == [f"docs/p.md:{warning}" for warning in case["warnings"]]


@pytest.mark.parametrize("case", read_cases("steps.yml"), ids=lambda case: case["step"])
def test_each_step_that_is_hard_to_follow_is_found(case: Any) -> None:
    """Column and the whole text of every warning of one step."""
    found = writing_warnings(f"1. {case['step']}\n", "p.md", KNOWN)
    assert [str(warning) for warning in found] == [f"p.md:1:{warning}" for warning in case["warnings"]]


@pytest.mark.parametrize("step", read_cases("quiet.yml"))
def test_nothing_is_said_of_a_good_step(step: str) -> None:
    """A rule is quiet where it does not know: two words joined are not two actions, an unknown first word may be a verb."""
    assert writing_warnings(f"1. {step}\n", "p.md", KNOWN) == ()


def test_every_kind_of_warning_has_its_code() -> None:
    """A script can tell the warnings apart."""
    cases = [case for name in ("placement.yml", "checks.yml", "words.yml") for case in read_cases(name)]
    pages = [(case["page"], case.get("blocks", ())) for case in cases]
    pages += [(f"1. {case['step']}", ()) for case in read_cases("steps.yml")]
    codes = {warning.code for page, blocks in pages for warning in writing_warnings(page, "p.md", KNOWN, blocks)}
    assert codes == {
        "check-without-number", "late-caution", "long-step", "no-verb", "passive-step", "two-actions", "undefined-word", "vague-word",
    }  # fmt: skip


@functools.cache
def demo() -> Library:
    """The data of the demo manual."""
    library, _ = load(ROOT / "docs")
    assert library is not None
    return library


@functools.cache
def demo_sources() -> tuple[PageSource, ...]:
    """The pages of the demo manual."""
    pages, _ = read_pages(ROOT / "docs", demo())
    return tuple(page.source for page in pages.by_path.values())


def test_the_demo_has_no_warnings() -> None:
    """The manual that we show is written as we ask others to write."""
    assert [str(warning) for warning in manual_warnings(demo_sources(), demo())] == []


def test_the_demo_is_judged() -> None:
    """Its silence is not for want of steps: hundreds of steps and hold points are looked at."""
    blocks = [block for source in demo_sources() for block in scan(source.text)]
    assert sum(block.kind is Kind.STEP for block in blocks) > 400
    assert sum(block.name == "hold" for block in blocks) > 90


@pytest.mark.parametrize("source", demo_sources(), ids=lambda source: Path(source.path).relative_to(ROOT).as_posix())
def test_the_scanner_finds_the_steps_and_boxes_that_markdown_finds(source: PageSource) -> None:
    """Python-Markdown, which builds the pages, counts as many numbered items, and as many boxes of each kind, in the same order."""
    soup = BeautifulSoup(markdown(source.text, extensions=EXTENSIONS_OF_OTHERS), "html.parser")
    boxes = [_classes(box) for box in soup.select("div.admonition")]
    # Reading a step takes what stands in it out of the tree, so this comes last.
    steps = [_letters(item) for item in soup.select("ol > li")]
    found = scan(source.text)
    assert [re.sub(r"\W|X", "", block.passage.plain) for block in found if block.kind is Kind.STEP] == steps
    assert [block.name for block in found if block.kind is Kind.BOX] == boxes


def _letters(item: Any) -> str:
    """The letters and figures of a list item by itself, without code and without what stands in it."""
    for inner in item.select("ol, ul, div, pre, code"):
        inner.extract()
    return re.sub(r"\W|X", "", item.get_text())


def _classes(box: Any) -> str:
    return str(next(name for name in box["class"] if name != "admonition"))


def test_the_words_of_the_demo_are_known_by_every_name() -> None:
    """Words and their other names, parts, tools, gauges and consumables count as explained."""
    known = known_words(demo())
    expected = {"snap ring", "circlip", "forward friction plate", "seal installing sleeve", "bench dial indicator", "front drum"}
    assert expected <= known.phrases


def test_front_matter_is_no_step() -> None:
    """A page as it is read from its file: places are those of the file."""
    source, _ = read_page("---\ntitle: 'x'\n---\n\n1. Seat it properly.\n", "p.md")
    warnings = writing_warnings(source.text, source.path, KNOWN)
    assert [(warning.line, warning.column, warning.code) for warning in warnings] == [(5, 12, "vague-word")]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Press the piston home.", 4),
        ("Load the stem by about 1 mm (common practice, no source).", 6),
        ("Set 0.05 mm, 30 psi and 20 N.m.", 5),
        ("Take the low-reverse brake – gently.", 5),
        ("40 × 400 / 450 = 35.6 N.m", 4),
    ],
)
def test_words_are_counted_as_a_reader_takes_them_in(text: str, count: int) -> None:
    """ASD-STE100's way of counting: a figure with its unit is one word, one with hyphens too, brackets are set apart."""
    assert words_in(Passage.of([(Mark(1, 1), text)])) == count


PIECES: Final = st.sampled_from(
    ["1. ", "- ", "# ", "!!! hold\n", "!!! danger\n", "    ", "\n", "\n\n", "```", "|", "<!--", "-->", "Press", " and ", " lift", "the",
     "*", "_", "`", "[a](b)", "(", ")", ".", ",", "12", " mm", "is fitted", "ATF", "dog ring", "\t", "é", "\\", '<div data-bench-block="0"></div>']
)  # fmt: skip


@given(st.lists(PIECES, max_size=40).map("".join))
@example("1. *a\n*b* `c")
@example("!!! hold")
def test_any_page_is_judged_without_a_stumble(page: str) -> None:
    """Whatever stands in a page, each warning has a place inside it and one line of text."""
    lines = page.split("\n")
    for warning in writing_warnings(page, "p.md", KNOWN, ["calc"]):
        assert 1 <= warning.line <= len(lines)
        assert 1 <= warning.column <= max(1, len(lines[warning.line - 1]))
        assert "\n" not in str(warning)


@given(st.lists(PIECES, max_size=40).map("".join))
def test_blanking_markup_keeps_every_character_in_its_place(text: str) -> None:
    """What is left of a text stands where it stood: each letter is the letter of the page, or blank."""
    plain = Passage.of([(Mark(1, 1), text)]).plain
    assert len(plain) == len(text)
    assert all(kept in {written, " ", "X"} for kept, written in zip(plain, text, strict=True))


# The timer may go off in the garbage collector: there Python reports the error and goes on, and the timer comes again.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_a_page_that_takes_too_long_is_broken_off_and_the_others_are_judged(monkeypatch: pytest.MonkeyPatch) -> None:
    """Thousands of steps that are each looked up in the rest of their section."""
    monkeypatch.setattr("build_hooks.plain_writing.judge.LONGEST", 0.3)
    steps = "\n".join(f"{number}. Measure the clearance." for number in range(1, 20_000))
    pages = [read_page(text, path)[0] for text, path in ((steps, "a.md"), ("1. Seat it properly.\n", "b.md"))]
    slow, other = manual_warnings(pages, demo())
    assert str(slow) == ("a.md:1:1: This page takes more than 20 seconds. Split it up, and look for a passage that is no text.")
    assert (other.path, other.code) == ("b.md", "vague-word")


def test_a_long_row_of_full_stops_is_read_once() -> None:
    """And not once more from each of them, which would take a minute."""
    page, _ = read_page(f"1. Fit it{'.' * 200_000}x\n", "a.md")
    assert [warning.code for warning in manual_warnings([page], demo())] == []
