"""No file of printed answers is left unread."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.published.files import HERE, bench_topics, problem_of, read, topics

CASE = "cases:\n  - {id: a, expected: '1'}\n"


@pytest.mark.parametrize("path", [pytest.param(path, id=path.name) for path in topics(HERE)])
def test_every_file_is_checked(path: Path) -> None:
    """It can be read, has cases, and some test takes them."""
    assert problem_of(path) is None


@pytest.mark.parametrize(
    ("name", "text", "problem"),
    [
        ("a.yml", CASE, None),
        ("a.yaml", CASE, "a.yaml is not read: its name must end in .yml."),
        ("a.yml", "cases: [", "a.yml cannot be read as YAML."),
        ("a.yml", b"\xff", "a.yml cannot be read as YAML."),
        ("a.yml", "", "a.yml must hold lists of cases under cases and does_not_follow, and nothing else."),
        (
            "a.yml",
            CASE.replace("cases", "case"),
            "a.yml must hold lists of cases under cases and does_not_follow, and nothing else.",
        ),
        ("a.yml", "cases: [1]", "a.yml must hold lists of cases under cases and does_not_follow, and nothing else."),
        ("a.yml", "cases: []", "a.yml has no case that is checked."),
        ("a.yml", "cases: [{id: a, why_not: Not ours.}]", "a.yml has no case that is checked."),
    ],
)
def test_a_file_that_checks_nothing_is_a_problem(tmp_path: Path, name: str, text: str | bytes, problem: str | None) -> None:
    """Misnamed, broken, empty, misspelt, or with nothing in it that is checked."""
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    assert topics(tmp_path) == [path]
    assert problem_of(path) == problem
    assert len(read(path, "cases")) == (problem is None)


def test_a_file_belongs_to_the_module_of_its_name(tmp_path: Path) -> None:
    """The general test leaves it to that, and that has to read it."""
    path, module = tmp_path / "a.yml", tmp_path / "test_a.py"
    path.write_text(CASE, encoding="utf-8")
    assert bench_topics(tmp_path) == [path]
    module.write_text("", encoding="utf-8")
    assert bench_topics(tmp_path) == []
    assert problem_of(path) == "a.yml is not read by test_a.py."
    module.write_text('CASES = "a.yml"', encoding="utf-8")
    assert problem_of(path) is None
