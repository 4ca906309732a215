"""Single pages of a watched manual: the same bytes as in a whole build, whatever was edited before."""

from __future__ import annotations

import json
import random
import sys
from pathlib import Path
from typing import Final

import pytest

from build_hooks.live import LivePages, main
from build_hooks.plugin import BenchleafPlugin
from build_hooks.reading.memory import Memory
from build_hooks.site.build import build_site
from build_hooks.site.watching import live_command, worker
from tests.small_manual import edits, small_manual

_ROOT: Final = Path(__file__).parents[2]


@pytest.fixture
def manual(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A manual of two units, the current folder."""
    monkeypatch.chdir(tmp_path)
    small_manual(tmp_path / "docs")
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: Quay Lane\nsite_url: http://quay.local/\ntheme: {name: material, font: false}\nplugins: [benchleaf]\n",
        encoding="utf-8",
    )
    for name in ("node_modules", ".cache"):
        (tmp_path / name).symlink_to(_ROOT / name)
    return tmp_path


def _built(folder: Path) -> dict[str, str]:
    """Every page of a whole build that remembers nothing, but those of the wall and the one for what is not there."""
    BenchleafPlugin.memory = Memory()
    assert build_site(Path("mkdocs.yml"), Path("site"), run=worker._run_here) == 0
    pages = sorted((folder / "site").rglob("*.html"))
    places = {page.relative_to(folder / "site").as_posix(): page.read_text(encoding="utf-8") for page in pages}
    return {place: page for place, page in places.items() if not place.startswith(("wall/", "404"))}


def test_each_page_is_that_of_a_whole_build_after_any_edits(manual: Path) -> None:
    """Text, title, data, shop, a new page: what the process remembers never shows."""
    live = LivePages(Path("mkdocs.yml"), Path("site"))
    assert live.take() == {"problem": "", "pages": True}
    for edit in edits(manual / "docs", random.Random(7), 12):
        edit()
        assert live.take() == {"problem": "", "pages": True}
    built = _built(manual)
    assert {place: live.page(place).get("html") for place in built} == built
    # A page is made a second time from what it was made of, not from what was made.
    assert {place: live.page(place).get("html") for place in built} == built


def test_a_fault_leaves_the_last_good_pages(manual: Path) -> None:
    """It is told with its line; what is no page is named by its file, and what only a whole build makes is not answered."""
    live = LivePages(Path("mkdocs.yml"), Path("site"))
    live.take()
    good = live.page("index.html")
    page = manual / "docs/index.md"
    page.write_text("# Quay Lane\n\n```spec\nnothing: 1\n```\n", encoding="utf-8")
    message = f"{page.as_posix()}:4:1: Unknown key “nothing”. Keys here: unit, pack, float, shaft.\n    4 | nothing: 1\n      | ^"
    assert live.take() == {"problem": message, "pages": True}
    assert live.page("index.html") == good
    assert live.page("units/oak-1/unit.yml") == {"file": (manual / "docs/units/oak-1/unit.yml").as_posix()}
    assert [live.page("wall/index.html"), live.page("none.html"), live.page("../mkdocs.yml")] == [{}, {}, {}]


def test_where_others_take_part_only_whole_builds_do(manual: Path) -> None:
    """A plugin may need to see every page; settings at fault are told by the whole build too."""
    config = manual / "mkdocs.yml"
    live = LivePages(Path("mkdocs.yml"), Path("site"))
    text = config.read_text(encoding="utf-8")
    for other in (
        text.replace("[benchleaf]", "[benchleaf, search]"),
        text.replace("[benchleaf]", "[benchleaf, nothing-like-it]"),
    ):
        config.write_text(other, encoding="utf-8")
        assert (live.take(), live.page("index.html")) == ({"problem": "", "pages": False}, {})
    config.write_text(text, encoding="utf-8")
    assert live.take() == {"problem": "", "pages": True}


def test_it_answers_line_by_line(manual: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """As the head of the module says."""
    assert manual.is_dir()
    monkeypatch.setattr(sys, "argv", live_command(Path("mkdocs.yml"), Path("site"))[2:])
    assert main(json.dumps(question) for question in ({"take": True}, {"page": "index.html"}, {"page": "none"})) == 0
    first, page, none = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert (first, none) == ({"problem": "", "pages": True}, {})
    assert page["html"].lstrip().startswith("<!doctype html>")
