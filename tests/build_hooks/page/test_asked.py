"""What people ask a page for: read from its front matter, checked within the page and between pages."""

from __future__ import annotations

from pathlib import Path

from build_hooks.library import load
from build_hooks.page.pages import read_pages

LONG = "what do I do when the ring that I have just put in jumps out again"


def told(folder: Path, pages: dict[str, str]) -> tuple[dict[str, tuple[str, ...]], list[str]]:
    """What each page is asked for by, and the problems, by the pages' front matter."""
    (folder / "shop.yml").write_text("name: Test shop\n", encoding="utf-8")
    for name, head in pages.items():
        (folder / name).write_text(f"---\n{head}\n---\n# A page\n", encoding="utf-8")
    library, _ = load(folder)
    assert library is not None
    read, problems = read_pages(folder, library)
    asked = {path: page.source.facts.asked_as for path, page in read.by_path.items()}
    return asked, [str(problem).replace(f"{folder.as_posix()}/", "") for problem in problems]


def test_phrases_are_read(tmp_path: Path) -> None:
    """In the order they are written; a page without them has none."""
    asked, problems = told(tmp_path, {"a.md": "asked_as: [stopped halfway, Who carries on]", "b.md": "title: B"})
    assert (asked, problems) == ({"a.md": ("stopped halfway", "Who carries on"), "b.md": ()}, [])


def test_a_phrase_that_stands_twice_is_told_where_it_stands_again(tmp_path: Path) -> None:
    """Capitals and spaces make no other phrase of it."""
    _, problems = told(tmp_path, {"a.md": "asked_as: [stopped halfway, Stopped  halfway]"})
    assert problems == ["a.md:2:29: “Stopped  halfway” is listed twice in asked_as. Take one of them out."]


def test_a_phrase_of_two_pages_leads_to_neither(tmp_path: Path) -> None:
    """The later page is told which has it already."""
    _, problems = told(tmp_path, {"a.md": "asked_as: [ring flew off]", "b.md": "asked_as:\n  - left over\n  - Ring flew off"})
    assert problems == [
        "b.md:4:5: “ring flew off” stands in asked_as of a.md too. Leave it on the page that is to be read first."
    ]


def test_nobody_types_a_whole_story(tmp_path: Path) -> None:
    """A phrase of more than twelve words is refused."""
    _, problems = told(tmp_path, {"a.md": f"asked_as: [{LONG}]"})
    assert problems == [
        f"a.md:2:12: “{LONG[:60]}…” has more than 12 words, and nobody types that many. Keep the words that tell it from other things."
    ]


def test_what_is_no_list_is_told_by_the_schema(tmp_path: Path) -> None:
    """The rules of our own do not fall over it."""
    asked, problems = told(tmp_path, {"a.md": "asked_as: stopped halfway"})
    assert asked == {"a.md": ()}
    assert len(problems) == 1
    assert problems[0].startswith("a.md:2:11: ")
