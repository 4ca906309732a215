"""Mistakes that a rebuilder would see: each planted in the demo is told, and of the demo itself nothing; cases in messages/trade."""

from __future__ import annotations

import functools
import random
import re
import shutil
import tempfile
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Any, Final

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from build_hooks.library import load
from build_hooks.page.source import PageSource, read_page, unit_of
from build_hooks.reading.problems import Problem
from build_hooks.trade import trade_warnings
from build_hooks.trade.counts import count_warnings
from build_hooks.trade.figures import figure_warnings
from build_hooks.trade.hazards import hazard_warnings
from build_hooks.trade.sides import side_warnings
from build_hooks.trade.trade_page import trade_page
from tests.attack.attack_trade import FILES, failure_of, spoilt
from tests.error_codes import codes_in_source

ROOT: Final = Path(__file__).parents[3]
DOCS: Final = ROOT / "docs"
MESSAGES: Final = Path(__file__).parents[1] / "messages" / "trade"
TODAY: Final = date(2026, 11, 28)
DATA: Final = (DOCS / "shop.yml", *sorted(DOCS.glob("units/*/unit.yml")))


@functools.cache
def planted() -> Any:
    """The cases."""
    return yaml.safe_load((MESSAGES / "planted.yml").read_text(encoding="utf-8"))


def with_unit(path: Path, docs: Path) -> tuple[PageSource, str | None]:
    """A page, and the unit that it belongs to."""
    source, problems = read_page(path.read_text(encoding="utf-8"), path.as_posix())
    assert problems == ()
    return source, unit_of(source.facts, path.relative_to(docs).as_posix())


def warnings_of(docs: Path, pages: Iterable[Path]) -> tuple[Problem, ...]:
    """What is told of the data of a folder and some pages of it."""
    library, problems = load(docs)
    assert [str(problem) for problem in problems] == []
    assert library is not None
    return trade_warnings(library, [with_unit(path, docs) for path in pages], TODAY)


def said(warnings: Iterable[Problem], path: str) -> list[str]:
    """Warnings of one file as its cases write them."""
    found = list(warnings)
    assert {warning.path for warning in found} <= {path}
    return [f"{str(warning).removeprefix(f'{path}:')} [{warning.code}]" for warning in found]


@pytest.mark.parametrize("case", planted(), ids=lambda case: case["case"])
def test_each_planted_mistake_is_told_in_these_words_at_this_place(case: Any, tmp_path: Path) -> None:
    """Line, column, the whole text and the code of every warning, and nothing else."""
    # Limits are compared with those of other units; everything else is seen in the unit itself.
    data = DATA if case.get("beside others") else (DATA[0], *(DOCS / case["file"]).parent.glob("unit.yml"))
    for file in {*data, DOCS / case["file"]}:
        copy = tmp_path / file.relative_to(DOCS)
        copy.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(file, copy)
    path = tmp_path / case["file"]
    text = path.read_text(encoding="utf-8")
    place = text.partition(case["change"][0]["old"])[0].count("\n") + 1
    for change in case["change"]:
        assert text.count(change["old"]) == 1, change["old"]
        text = text.replace(change["old"], change["new"])
    path.write_text(text, encoding="utf-8")
    found = warnings_of(tmp_path, [path] if path.suffix == ".md" else [])
    assert said(found, path.as_posix()) == [
        told.replace("@", str(place), 1) if told[0] == "@" else told for told in case["warnings"]
    ]


def test_the_demo_has_no_warnings() -> None:
    """Its data and pages are as the trade would have them."""
    assert [str(warning) for warning in warnings_of(DOCS, sorted(DOCS.rglob("*.md")))] == []


@functools.cache
def codes_of_room() -> set[str]:
    """The codes of all warnings that the room gives."""
    return {code for code, rooms in codes_in_source().items() if "build_hooks/trade" in rooms}


def test_each_kind_of_warning_is_in_the_author_guide() -> None:
    """Each with a source, and the guide names none that is not there."""
    text = (DOCS / "author-guide" / "checks.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `(?P<code>[a-z-]+)` \|.*\| (?P<source>[^|]+) \|$", text, re.MULTILINE)
    named = {code for code, _ in rows} | {*re.findall(r"`(accepted-[a-z-]+)`", text)}
    assert named == codes_of_room()


def test_each_kind_of_warning_is_planted() -> None:
    """No rule is without a case, and there are enough of them."""
    told = {warning.rsplit("[", 1)[1].rstrip("]") for case in planted() for warning in case["warnings"]}
    assert told == {code for code in codes_of_room() if not code.startswith("accepted-")}
    assert len(planted()) >= 25


@functools.cache
def small() -> Path:
    """The smallest unit of the demo with one page, in a folder that lasts as long as the tests."""
    docs = Path(tempfile.mkdtemp()) / "docs"
    for file in ("shop.yml", *FILES[::2]):
        (docs / file).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(DOCS / file, docs / file)
    return docs


@settings(max_examples=15, deadline=None)
@given(st.sampled_from(FILES[::2]), st.randoms(use_true_random=False))
def test_whatever_is_written_is_told_with_its_place(file: str, chance: random.Random) -> None:
    """Data and a page, spoilt at random, bring no traceback, and no warning beside the file; the attack tries more."""
    sound = (DOCS / file).read_text(encoding="utf-8")
    try:
        assert failure_of(small(), file, spoilt(sound, chance)) is None
    finally:
        (small() / file).write_text(sound, encoding="utf-8")


_PIECES: Final = (
    "1. ", "2. ", "Fit ", "the reaction plate", "chamfer down", "5 ", "five ", "forward ", "and ", "friction plates", "steel", "drops", ", ", ". ",
    "clearance ", "0.90 to 1.40 mm", "at least ", "2 in", " or more", "the press", "with air", "\n", "\n\n    !!! hold\n        ", "all 9 plates", "through 8 plates",
    "\n\n!!! warning\n    Mind it.\n\n", "<!-- accept count-off-data: so -->", "²", "  ", "limits",
)  # fmt: skip


@functools.cache
def demo() -> Any:
    """The demo's data, read once."""
    return load(DOCS)[0]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(_PIECES), max_size=30))
def test_no_page_breaks_the_rules(pieces: list[str]) -> None:
    """Each warning of a page made of the words that the rules know stands at a character of it."""
    text = "".join(pieces)
    source, _ = read_page(text, "docs/units/alder-4/p.md")
    lines = text.split("\n")
    page = trade_page(source, "alder-4", demo())
    for check in (hazard_warnings, count_warnings, figure_warnings, side_warnings):
        for fault in check(page):
            assert 1 <= fault.mark.column <= len(lines[fault.mark.line - 1]), fault


@pytest.mark.parametrize(
    "text",
    ["1. Fit 5" + " " * 200_000 + "friction plates.", "1. " + "3 forward, " * 20_000 + "friction plates.", "1. Clearance 5" + " " * 100_000 + "to."],
    ids=["spaces", "list", "range"],
)  # fmt: skip
def test_a_long_line_ends(text: str) -> None:
    """Nothing in a line keeps a rule busy."""
    source, _ = read_page(text, "docs/units/alder-4/p.md")
    assert trade_warnings(demo(), [(source, "alder-4")], TODAY) == ()


QUIET: Final = [
    "Lay in one friction plate, drained but not wiped.",
    "Put in the first two friction plates.",
    "If you count four friction plates, look for the fifth.",
    "Never lay two friction plates together.",
    "Count 9 friction plates into the tray.",
    "Turn the plate: 32 teeth, 1 wave plate.",
    "Press the piston home by hand.",
    "Lay the pressure plate on, dimple up.",
    "Look for the reaction plate whose chamfer up there is worn.",
    "The two readings of the clearance agree within 0.02 mm.",
    "Clearance 0.90 to 1.40 mm.",
    "The clearance grows by at least 0.60 mm.",
    "Measure a plate: 1.50 mm or more.",
]


@pytest.mark.parametrize("step", QUIET)
def test_nothing_is_said_of_a_step_that_may_be_right(step: str) -> None:
    """A rule is quiet where it does not know: on a page of the front drum, whose packs have 5 and 4 friction plates."""
    source, _ = read_page(f"```stack\ndrum: front-drum\n```\n\n1. {step}\n", "docs/units/alder-4/p.md")
    assert [str(warning) for warning in trade_warnings(demo(), [(source, "alder-4")], TODAY)] == []


def test_the_words_of_an_author_are_understood() -> None:
    """The same thing in other words is told as well."""
    steps = ["Install five friction plates.", "Lay the backing plate on, flat up.", "Feed it with compressed air."]
    page = "```spec\npack: intermediate\n```\n\n" + "".join(f"{at}. {step}\n" for at, step in enumerate(steps, 1))
    source, _ = read_page(page, "docs/units/alder-4/p.md")
    found = trade_warnings(demo(), [(source, "alder-4")], TODAY)
    assert [(warning.line, warning.code) for warning in found] == [
        (5, "count-off-data"),
        (6, "side-off-data"),
        (7, "hazard-unwarned"),
    ]
