"""What fuzzing the build has found, each mended at its cause: `python -m tests.fuzz.fuzz_build` looks for more."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any, Final

import pytest

from build_hooks.edition import prepare
from build_hooks.library import load
from build_hooks.page.rendering import render_page
from build_hooks.page.source import read_page
from build_hooks.reading.problems import Problem
from build_hooks.reading.showing import with_line
from build_hooks.reading.sources import read_mapping
from build_hooks.scaffold.entries import add_entries
from tests.small_manual import small_manual

PATH = "name: First week\nabout: For those who begin.\nedition: A\nsteps:\n"
TREE = "name: Noise\npage: index.md\nstart: since\nquestions: {}\nends: {}\n"
FINDING = """\
name: Plates
findings:
  thin:
    drawing: lining-thin
    part: Friction plate
    found: dry
    judgement: measure
    reason: It is thin
    page: index.md
    says: its wave
    reading: {what: Smallest of 3 readings, min: 1.90 mm, source: list, gauge: mike}
"""
GEARS = "name: Oak 1\ngear_set:\n  sets:\n    climb: [a]\n"
KIT = "name: Oak 1\nparts: {ring: {name: Ring, kind: snap-ring, thickness: 1 mm}}\nselective: {ring: {name: R, choices: [ring], tightens: [lo]}}\n"


@pytest.fixture
def docs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A sound manual in the current folder."""
    monkeypatch.chdir(tmp_path)
    small_manual(Path("docs"))
    return Path("docs")


def said(docs: Path) -> list[str]:
    """Every problem of the manual, in full."""
    return [str(problem) for problem in prepare(docs, date(2026, 11, 29))[1]]


def write(path: Path, text: str | bytes) -> None:
    """Writes a file, with its folder."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())


@contextmanager
def opened() -> Iterator[list[str]]:
    """The files that are opened meanwhile, by where they really are."""
    found: list[str] = []
    listening = True

    def hear(event: str, arguments: tuple[Any, ...]) -> None:
        if listening and event == "open" and isinstance(arguments[0], str):
            found.append(str(Path(arguments[0]).resolve()))

    sys.addaudithook(hear)
    yield found
    listening = False


def test_a_tree_without_questions_and_a_shop_without_gauges_are_told_of(docs: Path) -> None:
    """Where no name is known, there was nothing to list: a traceback was all that the author saw."""
    write(docs / "trees" / "noise.yml", TREE)
    write(docs / "findings" / "plates.yml", FINDING)
    write(docs / "shop.yml", "name: Quay Lane\nwords: {wave: {meaning: A plate with waves.}}\n")
    found = said(docs)
    assert "docs/trees/noise.yml:3:8: There is no question “since”. There is no question yet." in found
    assert "docs/findings/plates.yml:11:80: There is no gauge “mike”. There is no gauge yet." in found


def test_a_step_of_a_path_that_lacks_its_id_is_told_so(docs: Path) -> None:
    """The key had the name of a form of a stack's item, and was cut out of the path of the fault."""
    write(docs / "learning" / "first.yml", f"{PATH}  - {{page: index.md}}\n")
    assert said(docs) == ["docs/learning/first.yml:5:5: This entry has no “id”. Add it, for example id: read-seals."]


def test_a_set_of_gears_that_is_a_list_is_told_so(docs: Path) -> None:
    """A set is read by itself too, where nothing leads to the fault."""
    write(docs / "units" / "oak-1" / "unit.yml", GEARS)
    assert "docs/units/oak-1/unit.yml:4:12: Keys with values are wanted here. Write key: value." in said(docs)


def test_a_code_is_words_with_hyphens_also_where_one_of_several_things_is_wanted(docs: Path) -> None:
    """Scripts know problems by their codes."""
    write(docs / "units" / "oak-1" / "unit.yml", KIT)
    codes = {problem.code for problem in load(docs)[1]}
    assert "unknown-reference" in codes
    assert all(code.replace("-", "").isalnum() for code in codes)


@pytest.mark.parametrize("sign", ["\x85", "\u2028", "\u2029"])
def test_signs_that_only_the_parser_takes_for_a_line_end_are_refused_where_they_stand(sign: str, docs: Path) -> None:
    """What came behind one was told a line too far down, and beyond the end of a page."""
    write(docs / "units" / "oak-1" / "unit.yml", f"name: Oak\nabout: a{sign}b\nno_key: 1\n")
    write(docs / "index.md", f"# Start\n\n```spec\nunit: elm-2\npack: ma{sign}in\n```\n")
    told = f"The control character U+{ord(sign):04X} is not allowed here. Take it out."
    assert said(docs) == [f"docs/index.md:5:9: {told}", f"docs/units/oak-1/unit.yml:2:9: {told}"]


def test_a_page_whose_lines_end_in_returns_has_its_blocks(docs: Path) -> None:
    """CommonMark 0.31 (2.1): a return by itself ends a line. The blocks of such a page were shown as listings."""
    write(docs / "index.md", (docs / "index.md").read_bytes().replace(b"\n", b"\r").replace(b"pack: main", b"pack: mian"))
    assert said(docs) == [f"docs/index.md:{line}:7: There is no pack “mian”. Did you mean “main”?" for line in (7, 12)]


def test_an_entry_goes_into_a_file_whose_lines_end_in_returns(docs: Path) -> None:
    """At its place, with the line ends that the file has."""
    path = docs / "units" / "oak-1" / "unit.yml"
    write(path, b"name: Oak 1\rdrums:\r  drum:\r    name: Drum\rabout: a\r")
    made = add_entries(path, {"drums": "other: {name: Other}"})
    assert made == "name: Oak 1\rdrums:\r  drum:\r    name: Drum\r  other: {name: Other}\rabout: a\r"


def test_a_bracket_left_open_at_the_end_of_a_file_without_a_line_end_has_its_place_in_the_file(docs: Path) -> None:
    """The parser counts one line more than there is."""
    write(docs / "units" / "oak-1" / "unit.yml", "name: Oak\nparts: {a: {name:")
    ((problem,), lines) = read_mapping(docs / "units" / "oak-1" / "unit.yml")[1], ["name: Oak", "parts: {a: {name:"]
    assert problem.line <= len(lines)
    assert problem.column <= len(lines[problem.line - 1]) + 1


def test_the_line_that_is_shown_is_the_line_that_is_counted(tmp_path: Path) -> None:
    """A form feed in a page ends no line."""
    write(tmp_path / "a.md", "a\x0cb\x1cc\nfaulty\n")
    assert "faulty" in with_line(Problem((tmp_path / "a.md").as_posix(), 2, 1, "a", "b", "c"))


def test_a_picture_may_be_called_anything(docs: Path) -> None:
    """A name longer than any disk allows was an error of the system."""
    write(docs / "index.md", f"# Start\n\n```photo\nfile: {'a' * 300}.png\nshows: A drum.\n```\n")
    (told,) = said(docs)
    assert told.startswith("docs/index.md:4:7: There is no picture “aaaa")


@pytest.mark.parametrize(
    ("link", "target"),
    [
        ("units/ash-9/unit.yml", "outside/unit.yml"),
        ("units/ash-9", "outside"),
        ("shop.yml", "outside/unit.yml"),
        ("learning/first.yml", "outside/unit.yml"),
        ("learning", "outside"),
        ("photos/out.md", "outside/unit.yml"),
        ("photos/out.png", "outside/unit.yml"),
    ],
)
def test_nothing_is_read_by_a_link_that_leads_out(link: str, target: str, docs: Path) -> None:
    """It is refused, and what it leads to is not opened: its text would be told in problems."""
    write(Path("outside/unit.yml"), "secret: [\n")
    path = docs / link
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.is_dir():
        path.rmdir()
    path.unlink(missing_ok=True)
    path.symlink_to(Path(target).resolve())
    if link.startswith("photos/"):
        write(docs / "index.md", f"# Start\n\n```photo\nfile: {link}\nshows: A drum.\n```\n")
    with opened() as files:
        found = said(docs)
    assert (
        f"docs/{link}:1:1: This link leads out of the docs folder. Put the file or folder itself here, or a link within the docs folder."
        in found
    )
    assert not any("secret" in problem for problem in found)
    assert str(Path("outside/unit.yml").resolve()) not in files


def test_units_that_are_a_link_out_are_not_listed(docs: Path) -> None:
    """What lies there is nobody's business."""
    for path in sorted((docs / "units").rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    (docs / "units").rmdir()
    Path("outside/Secret Name").mkdir(parents=True)
    (docs / "units").symlink_to(Path("outside").resolve())
    assert not any("Secret" in problem for problem in said(docs))


def test_a_marker_of_a_block_that_an_author_wrote_is_told_where_it_stands(docs: Path) -> None:
    """It was told at the block of the page whose own marker looks the same."""
    marker = '<div data-bench-block="0"></div>'
    write(docs / "index.md", f"# Start\n\n```spec\nunit: elm-2\npack: main\n```\n\nAnd {marker}\n")
    assert said(docs) == ["docs/index.md:8:10: “data-bench-block” of “<div>” is not allowed in a page. Take it out."]


_DEMO: Final = Path(__file__).parents[2] / "docs"


@pytest.mark.parametrize(
    ("unit", "block"),
    [
        (unit, f"calculation: {block}\nexample: {example}")
        for unit, block, examples in (
            ("hazel-2", "end-play\nshaft: input", ["{lifts: }", "{lifts: 1}", "{lifts: {a: b}}", "{lifts: [[]]}"]),
            ("hazel-2", "pack-clearance\npack: high", ["{lifts: }", "{lifts: 1}", "{leaves: }", "{leaves: [1, [2]]}"]),
            (
                "alder-4",
                "set-clearances\ndrum: front-drum",
                ["{forward: }", "{forward: 1}", "{forward: {lifts: }}", "{forward: {lifts: 1}}"],
            ),
            (
                "alder-4",
                "which-element",
                ["{seen: }", "{seen: 1}", "{seen: [1]}", "{seen: [{gear: [a]}]}", "{seen: [{what: a}]}", "{seen: {a: b}}"],
            ),
            (
                "alder-4",
                "gear-train\nunit: alder-4",
                [
                    "{gears: }",
                    "{gears: 1}",
                    "{gears: [1]}",
                    "{gears: [{on: [a]}]}",
                    "{a: 1}",
                    "{gears: [{name: [a]}]}",
                    "{gears: {a: b}}",
                ],
            ),
        )
        for example in examples
    ],
)
def test_an_example_of_the_wrong_shape_is_refused_at_its_place(unit: str, block: str) -> None:
    """The note beside the form was written before the engine could refuse what it lists."""
    library, problems = load(_DEMO)
    assert library is not None, problems
    text = f"# A\n\n```calc\n{block}\n```\n"
    source, problems = read_page(text, "a.md")
    _, found = render_page(source, f"units/{unit}/a.md", library)
    assert problems == ()
    assert found
    assert all(problem.line == 3 + len(block.split("\n")) or problem.line == 4 for problem in found), [
        str(each) for each in found
    ]
