"""A manual that is prepared again: what is remembered is never seen in what comes of it, and little is made anew."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from build_hooks.edition import prepare
from build_hooks.page import rendering
from build_hooks.reading.memory import Memory
from tests.small_manual import edits, small_manual

_DAY = date(2026, 11, 29)


@pytest.fixture
def docs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A manual of two units, without the pages of the calculations, which take longest and are the same in every manual."""
    monkeypatch.setattr("build_hooks.edition.reference_pages", dict)
    small_manual(tmp_path / "docs")
    return tmp_path / "docs"


@pytest.mark.parametrize("seed", range(2))
def test_with_and_without_a_memory_the_same_is_made(docs: Path, seed: int) -> None:
    """After each of many edits, also of what makes the manual unsound and sound again."""
    memory, chance = Memory(), random.Random(seed)
    for edit in edits(docs, chance, 8):
        edit()
        faulty = chance.choice([None, docs / "index.md", docs / "units/oak-1/unit.yml", docs / "shop.yml"])
        if faulty is not None:
            sound = faulty.read_text(encoding="utf-8")
            faulty.write_text(f"{sound}\n```spec\nnothing: 1\n```\n", encoding="utf-8")
            (found, problems), (_, again) = prepare(docs, _DAY), prepare(docs, _DAY, memory)
            assert found is None
            assert list(map(str, again)) == list(map(str, problems)) != []
            faulty.write_text(sound, encoding="utf-8")
        (fresh, none), (known, no_more) = prepare(docs, _DAY), prepare(docs, _DAY, memory)
        assert (list(none), list(no_more)) == ([], [])
        assert fresh is not None and known is not None
        assert {path: (page.source.text, page.blocks) for path, page in known.pages.by_path.items()} == {
            path: (page.source.text, page.blocks) for path, page in fresh.pages.by_path.items()
        }
        assert (known.made, known.learning) == (fresh.made, fresh.learning)


def test_only_what_an_edit_concerns_is_made_anew(docs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A page's own text makes that page; a unit's data the pages that show it, and those of all units."""
    memory, made = Memory(), list[str]()
    render: Callable[..., object] = rendering.render_page

    def noted(source: object, path: str, *of: object) -> object:
        made.append(path)
        return render(source, path, *of)

    monkeypatch.setattr("build_hooks.page.pages.render_page", noted)
    prepare(docs, _DAY, memory)
    made.clear()
    page, unit = docs / "units/oak-1/pack.md", docs / "units/oak-1/unit.yml"
    prepare(docs, _DAY, memory)
    assert made == []
    page.write_text(page.read_text(encoding="utf-8") + "\nMore.\n", encoding="utf-8")
    prepare(docs, _DAY, memory)
    assert made == ["units/oak-1/pack.md"]
    made.clear()
    unit.write_text(unit.read_text(encoding="utf-8").replace("1.20", "1.25"), encoding="utf-8")
    prepare(docs, _DAY, memory)
    assert {path for path in made if not path.startswith(("jobs/", "learning/"))} == {
        "index.md",
        "units/oak-1/pack.md",
        "bench/oak-1/drum.md",
    }
