"""Mistakes that a rebuilder would see: each planted in the demo is told, and of the demo itself nothing; cases in messages/trade."""

from __future__ import annotations

import functools
import re
import shutil
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Any, Final

import pytest
import yaml

from build_hooks.library import load
from build_hooks.page.source import PageSource, read_page, unit_of
from build_hooks.reading.problems import Problem
from build_hooks.trade import trade_warnings
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
    for file in {*DATA, DOCS / case["file"]}:
        copy = tmp_path / file.relative_to(DOCS)
        copy.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(file, copy)
    path = tmp_path / case["file"]
    text = path.read_text(encoding="utf-8")
    for change in case["change"]:
        assert text.count(change["old"]) == 1, change["old"]
        text = text.replace(change["old"], change["new"])
    path.write_text(text, encoding="utf-8")
    found = warnings_of(tmp_path, [path] if path.suffix == ".md" else [])
    assert said(found, path.as_posix()) == case["warnings"]


def test_the_demo_has_no_warnings() -> None:
    """Its data and pages are as the trade would have them."""
    assert [str(warning) for warning in warnings_of(DOCS, sorted(DOCS.rglob("*.md")))] == []


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
