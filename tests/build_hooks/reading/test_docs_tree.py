"""What nothing is read from in a docs folder, and what of it nobody would see in the site."""

from __future__ import annotations

import os
import socket
from datetime import date
from pathlib import Path

import pytest

from build_hooks.edition import prepare
from build_hooks.reading import docs_tree
from build_hooks.reading.docs_tree import files_of
from build_hooks.wall import Place, wall_addresses, wall_pages

ROOT = Path(__file__).parents[3]
OUT = "This link leads out of the docs folder. Put the file or folder itself here, or a link within the docs folder."
DEAD = "This link leads to nothing. Put the file itself here, or remove the link."
LOOP = "This link leads back to itself. Put the file itself here, or remove the link."
BACK = "This link leads back to a folder that it lies in. Remove it."
ODD = "This is not a plain file. Put a plain file here."


@pytest.fixture
def docs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A docs folder of a shop and a page, with a file and a folder beside it."""
    monkeypatch.chdir(tmp_path)
    folder = Path("docs")
    put(folder, "shop.yml", "name: Quay Lane\n")
    put(folder, "index.md", "# Quay Lane\n")
    put(Path("private"), "page.md", "# Secret\n")
    return folder


def put(folder: Path, name: str, text: str = "# Page\n") -> None:
    """Writes a file."""
    (folder / name).parent.mkdir(parents=True, exist_ok=True)
    (folder / name).write_text(text, encoding="utf-8")


def problems(docs: Path) -> list[str]:
    """Every problem of the manual."""
    return [str(problem) for problem in prepare(docs, date(2026, 1, 5))[1]]


def test_links_that_lead_out_are_refused(docs: Path) -> None:
    """A page, a folder, a picture, the data of a unit, a learning path; by way of another link as well."""
    for folder in ("units/oak", "learning"):
        (docs / folder).mkdir(parents=True)
    put(Path("private"), "unit.yml", "name: Oak\n")
    put(Path("private"), "path.yml", "name: First\nabout: a\nsteps: [{id: a, edition: A, task: Look.}]\n")
    for link, target in (
        ("page.md", "../private/page.md"),
        ("folder", "../private"),
        ("picture.png", "/etc/hostname"),
        ("units/oak/unit.yml", "../../../private/unit.yml"),
        ("learning/first.yml", "../../private/path.yml"),
        ("inside.md", "page.md"),
    ):
        (docs / link).symlink_to(target)
    told = [line for line in problems(docs) if OUT in line]
    assert told == [
        f"docs/{path}:1:1: {OUT}"
        for path in ("folder", "inside.md", "learning/first.yml", "page.md", "picture.png", "units/oak/unit.yml")
    ]


def test_links_within_are_followed(docs: Path) -> None:
    """To a page and to a folder; their pages are checked like any other. The docs folder itself may be a link."""
    put(docs, "a/page.md")
    (docs / "b").symlink_to("a")
    (docs / "c.md").symlink_to("a/page.md")
    Path("linked").symlink_to("docs")
    for folder in (docs, Path("linked")):
        files, found = files_of(folder)
        assert [path.relative_to(folder).as_posix() for path in files] == [
            "a/page.md",
            "b/page.md",
            "c.md",
            "index.md",
            "shop.yml",
        ]
        assert found == ()
    assert problems(docs) == []


def test_what_is_no_file_is_one_line_each(docs: Path) -> None:
    """Nothing waits for a pipe, or goes round in a loop; what two readers meet is told once."""
    (docs / "units" / "oak").mkdir(parents=True)
    os.mkfifo(docs / "units" / "oak" / "unit.yml")
    os.mkfifo(docs / "pipe.md")
    (docs / "device.png").symlink_to("/dev/zero")
    (docs / "dead.md").symlink_to("nowhere.md")
    (docs / "self.md").symlink_to("self.md")
    (docs / "back").symlink_to(".")
    (docs / "units" / "oak" / "up").symlink_to("..")
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(str(docs / "socket"))
    Path(os.fsdecode(b"docs/caf\xe9.md")).write_text("# a\n", encoding="utf-8")
    assert problems(docs) == [
        f"docs/back:1:1: {BACK}",
        "docs/caf\\udce9.md:1:1: The name of this file is not UTF-8. Rename it.",
        f"docs/dead.md:1:1: {DEAD}",
        f"docs/device.png:1:1: {ODD}",
        f"docs/pipe.md:1:1: {ODD}",
        f"docs/self.md:1:1: {LOOP}",
        f"docs/socket:1:1: {ODD}",
        f"docs/units/oak/unit.yml:1:1: {ODD}",
        f"docs/units/oak/up:1:1: {BACK}",
    ]


def test_links_that_multiply_files_come_to_an_end(docs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Thirty folders, each linked twice from the one before, are a thousand million files."""
    monkeypatch.setattr(docs_tree, "MOST_FILES", 500)
    for number in range(30):
        put(docs, f"{number}/page.md")
        for name in ("x", "y"):
            (docs / str(number) / name).symlink_to(f"../{number + 1}")
    (docs / "30").mkdir()
    assert [str(problem) for problem in files_of(docs)[1]] == [
        "docs:1:1: There are more than 500 files in here, or too many links. Look for links between folders."
    ]


def test_a_page_that_a_made_one_would_hide_is_refused(docs: Path) -> None:
    """By its address in the site, however the file is called."""
    for name in (
        "wall/index.md",
        "wall.md",
        "calculations/index.md",
        "Calculations/end-play.md",
        "words.md",
        "learning/record.md",
        "service-worker.js",
    ):
        put(docs, name)
    put(docs, "assets/benchleaf/fonts/mine.woff2")
    hides = "The build makes {} itself and would hide this. Give it another name."
    assert problems(docs) == [
        f"docs/Calculations/end-play.md:1:1: {hides.format('calculations/end-play/index.html')}",
        "docs/assets/benchleaf/fonts/mine.woff2:1:1: The folder assets/benchleaf is made by the build. Use another folder.",
        f"docs/calculations/index.md:1:1: {hides.format('calculations/index.html')}",
        f"docs/learning/record.md:1:1: {hides.format('learning/record/index.html')}",
        f"docs/service-worker.js:1:1: {hides.format('service-worker.js')}",
        f"docs/wall.md:1:1: {hides.format('wall/index.html')}",
        f"docs/wall/index.md:1:1: {hides.format('wall/index.html')}",
        f"docs/words.md:1:1: {hides.format('words/index.html')}",
    ]


def test_two_pages_of_one_address_are_refused(docs: Path) -> None:
    """All but the first; a README beside an index is nobody's loss, for the builder says that it leaves it out."""
    for name in ("a.md", "a/index.md", "README.md"):
        put(docs, name)
    assert problems(docs) == [
        "docs/a/index.md:1:1: a.md has the same address in the site. Give one of them another name.",
    ]


def test_the_wall_is_where_it_says() -> None:
    """The addresses are those of the pages."""
    edition, _ = prepare(ROOT / "docs", date(2026, 1, 5))
    assert edition is not None
    place = Place("5 Jan", lambda *_: None, lambda _: None)
    assert tuple(sorted(wall_pages(edition.library, place))) == tuple(sorted(wall_addresses(edition.library)))
