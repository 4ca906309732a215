"""Problems are shown as one line for tools, with the faulty line for people, and in two formats for machines."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from build_hooks.cli import main
from build_hooks.reading.problems import Problem
from build_hooks.reading.showing import shown, with_line


def problem(path: Path, line: int, column: int) -> Problem:
    """A fault at a place."""
    return Problem(path.as_posix(), line, column, "unit", "The unit “ft.lb” is not known.", "Write lbf.ft.")


def test_the_faulty_line_follows_with_a_mark_at_its_column(tmp_path: Path) -> None:
    """As compilers show it."""
    file = tmp_path / "pump.yml"
    file.write_text("name: Pump\ntorque: 25 ft.lb\n", encoding="utf-8")
    assert with_line(problem(file, 2, 12)) == (
        f"{file.as_posix()}:2:12: The unit “ft.lb” is not known. Write lbf.ft.\n    2 | torque: 25 ft.lb\n      |            ^"
    )


def test_a_long_line_is_cut_around_the_fault(tmp_path: Path) -> None:
    """The mark is still under the column."""
    file = tmp_path / "long.md"
    file.write_text("x" * 500 + "[bad" + "y" * 500, encoding="utf-8")
    _, line, mark = with_line(problem(file, 1, 501)).splitlines()
    assert line[mark.index("^")] == "["
    assert len(line) < 140


@pytest.mark.parametrize("content", [None, b"\xff\xfe\n", b""])
def test_a_line_that_cannot_be_read_is_left_out(tmp_path: Path, content: bytes | None) -> None:
    """The problem itself is always shown."""
    file = tmp_path / "gone.yml"
    if content is not None:
        file.write_bytes(content)
    assert with_line(problem(file, 3, 1)) == str(problem(file, 3, 1))


def test_nothing_in_the_line_reaches_the_terminal_as_a_command(tmp_path: Path) -> None:
    """Control characters are written as escapes."""
    file = tmp_path / "odd.yml"
    file.write_text("a\x1b[2Jb: c\n", encoding="utf-8")
    assert "\x1b" not in with_line(problem(file, 1, 1))


def test_json_and_annotations_hold_everything(tmp_path: Path) -> None:
    """One object, or one command, for each."""
    one, other = problem(tmp_path / "a.yml", 1, 2), problem(tmp_path / "b, c.yml", 3, 4)
    assert json.loads(shown([one], [other], "json", lines=False))[1] == {
        "severity": "warning", "path": other.path, "line": 3, "column": 4, "code": "unit",
        "message": "The unit “ft.lb” is not known.", "remedy": "Write lbf.ft.",
    }  # fmt: skip
    assert shown([one], [other], "github", lines=False).splitlines()[1] == (
        f"::warning file={tmp_path.as_posix()}/b%2C c.yml,line=3,col=4,title=unit::The unit “ft.lb” is not known. Write lbf.ft."
    )


def test_check_prints_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With an option; without one a line each, as before, where nobody watches."""
    docs = tmp_path / "docs"
    docs.mkdir()
    (docs / "shop.yml").write_text("nmae: Quay Lane\n", encoding="utf-8")
    counts = {}
    for options in ([], ["--lines"], ["--format", "json"], ["--format", "github"]):
        assert main(["check", "--docs", str(docs), *options]) == 1
        counts[" ".join(options)] = capsys.readouterr().out
    assert counts["--lines"].count("\n") == 3 * counts[""].count("\n")
    assert "    1 | nmae: Quay Lane\n      | ^" in counts["--lines"]
    assert len(json.loads(counts["--format json"])) == counts[""].count("\n")
    assert counts["--format github"].startswith("::error file=")
