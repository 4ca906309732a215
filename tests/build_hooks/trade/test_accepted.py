"""A comment with a code and a reason accepts a warning at its place; one without a reason, or in vain, is told."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.reading.problems import Problem
from build_hooks.trade import without_accepted
from build_hooks.trade.accepted import accepted_in

IN_YAML: Final = [
    ("a: 1  # accept odd-length: it is that thick\n", [(1, 7, "odd-length", "it is that thick", 1)]),
    ("# accept odd-length: it is\n\na: 1\n", [(1, 1, "odd-length", "it is", 3)]),
    ("  # accept one: a\n  # accept two: b\n  a: 1\n", [(1, 3, "one", "a", 3), (2, 3, "two", "b", 3)]),
    ("a: 1  # accept odd-length:\n", [(1, 7, "odd-length", "", 1)]),
    ("a: 1  # accept odd-length\n", [(1, 7, "odd-length", "", 1)]),
    ("a: {b: 1} # accept odd-length: mm # here\n", [(1, 11, "odd-length", "mm # here", 1)]),
    # What is part of a text is no comment, and neither is one that says something else.
    ('a: "b # accept odd-length: c"\n', []),
    ("a: 'b\n  # accept odd-length: c'\n", []),
    ("a: |\n  b\n  # accept odd-length: c\n", []),
    ("a: |\n  b\n# accept odd-length: c\nd: 1\n", [(3, 1, "odd-length", "c", 4)]),
    ("a: b#accept odd-length: c\n", []),
    ("a: b # accept nothing from outside: it lies\n", []),
    ("a: 1 # accept odd-length: at the end, on no line", [(1, 6, "odd-length", "at the end, on no line", 1)]),
    ("# accept odd-length: nothing follows", [(1, 1, "odd-length", "nothing follows", 1)]),
    ("a: 1 # accept odd-length: b\r\nc: 1\r\n", [(1, 6, "odd-length", "b", 1)]),
]  # fmt: skip
IN_PAGE: Final = [
    ("1. Fit it. <!-- accept passive-step: so it is said -->\n", [(1, 12, "passive-step", "so it is said", 1)]),
    ("<!-- accept long-step: two hands -->\n\n1. Fit it.\n", [(1, 1, "long-step", "two hands", 3)]),
    ("1. Fit it. <!-- accept long-step: -->\n", [(1, 12, "long-step", "", 1)]),
    ("Write `<!-- accept long-step: why -->` there.\n", []),
    ("````markdown\n1. Fit it. <!-- accept long-step: why -->\n```stack\npack: a # accept long-step: why\n```\n````\n", []),
    (
        "---\ntitle: A\nstatus: {review_due: 2020-01-01} # accept review-past-due: closed shop\n---\n",
        [(3, 34, "review-past-due", "closed shop", 3)],
    ),
    ("# A\n\n```stack\npack: a # accept some-code: why\n```\n", [(4, 9, "some-code", "why", 4)]),
    ("# accept some-code: a heading\n", []),
]  # fmt: skip
IN_PYTHON: Final = [
    ("a = 1  # accept starter-text: it is called so\n", [(1, 8, "starter-text", "it is called so", 1)]),
    ("# accept starter-text: it is\n\na = 1\n", [(1, 1, "starter-text", "it is", 3)]),
    ("f(\n    1,  # accept starter-text: why\n)\n", [(2, 9, "starter-text", "why", 2)]),
    ('# accept starter-text: why\n"""What it is.\n\nMore.\n"""\n', [(1, 1, "starter-text", "why", 2)]),
    ("a = 1  # accept starter-text\n", [(1, 8, "starter-text", "", 1)]),
    ("a = '‹›'  # accept starter-text: ‹so›\n", [(1, 11, "starter-text", "‹so›", 1)]),
    ("a = 1  # in mm # accept starter-text: why\n", [(1, 16, "starter-text", "why", 1)]),
    ("a = 1# accept starter-text: why\n", []),
    # What is part of a text is no comment.
    ('a = "# accept starter-text: why"\n', []),
    ('a = """\n# accept starter-text: why\n"""\n', []),
    ('a = """ # accept starter-text: why\n', []),
    ("  a = 1\n b = 1 # accept starter-text: why\n", []),
]  # fmt: skip


@pytest.mark.parametrize(("text", "found"), IN_YAML)
def test_what_accepts_in_data(text: str, found: list[tuple[int, int, str, str, int]]) -> None:
    """Line and column of the comment, the code, the reason, and the line that is meant."""
    accepted = accepted_in(text, ".yml")
    assert [(*one.mark, one.code, one.reason, one.line) for one in accepted] == found


@pytest.mark.parametrize(("text", "found"), IN_PAGE)
def test_what_accepts_in_a_page(text: str, found: list[tuple[int, int, str, str, int]]) -> None:
    """In its text as in HTML, in its head and its blocks as in YAML; what is only shown accepts nothing."""
    accepted = accepted_in(text, ".md")
    assert [(*one.mark, one.code, one.reason, one.line) for one in accepted] == found


@pytest.mark.parametrize(("text", "found"), IN_PYTHON)
def test_what_accepts_in_a_calculation(text: str, found: list[tuple[int, int, str, str, int]]) -> None:
    """As in data; in what Python cannot read nothing is accepted."""
    accepted = accepted_in(text, ".py")
    assert [(*one.mark, one.code, one.reason, one.line) for one in accepted] == found


def left_of(tmp_path: Path, text: str, *codes: str) -> list[str]:
    """What is left of warnings in line 1, columns 1, 2 and so on, of a file with a text."""
    path = tmp_path / "unit.yml"
    path.write_text(text, encoding="utf-8")
    warnings = [Problem(path.as_posix(), 1, at, code, "Odd.", "Mend it.") for at, code in enumerate(codes, 1)]
    return [str(warning).removeprefix(f"{path.as_posix()}:") for warning in without_accepted(warnings, [path])]


def test_a_warning_is_accepted_with_a_reason(tmp_path: Path) -> None:
    """All of that code on the line, and none of another."""
    text = "a: 1 # accept odd-length: it is so\n"
    assert left_of(tmp_path, text, "odd-length", "same-name", "odd-length") == ["1:2: Odd. Mend it."]


def test_without_a_reason_the_warning_stays(tmp_path: Path) -> None:
    """And the comment is told."""
    assert left_of(tmp_path, "a: 1 # accept odd-length:  \n", "odd-length") == [
        "1:1: Odd. Mend it.",
        "1:6: “odd-length” is accepted here without a reason, so the warning stays. Write the reason behind a colon: accept odd-length: why.",
    ]


def test_what_accepts_nothing_is_told(tmp_path: Path) -> None:
    """It was written for a warning that is gone, or its code is misspelt."""
    assert left_of(tmp_path, "a: 1 # accept odd-lenght: it is so\n", "odd-length") == [
        "1:1: Odd. Mend it.",
        "1:6: “odd-lenght” is accepted here, and line 1 has no such warning. Take the comment out, or correct the code of the warning in it.",
    ]


@given(
    st.lists(
        st.sampled_from(
            ["# accept odd-length: why", "<!-- accept odd-length: why -->", "a: |", "'", '"', "```", "---", "\n", " ", "- b"]
        )
    )
)
def test_no_text_breaks_the_reader(pieces: list[str]) -> None:
    """Whatever a file holds, each comment that is found stands where it says."""
    text = "".join(pieces)
    lines = text.split("\n")
    for ending in (".yml", ".md", ".py"):
        for one in accepted_in(text, ending):
            assert "accept odd-length" in lines[one.mark.line - 1][one.mark.column - 1 :]
            assert one.mark.line <= one.line <= len(lines)


@pytest.mark.parametrize(
    "text",
    ["# accept odd-length: why\n" * 20_000, "a: b # accept odd-length: why\n" * 10_000, "#" + " " * 900_000, "a: '# accept b: c" + "\n # accept b: c" * 20_000],
    ids=["stacked", "each line", "spaces", "in a text"],
)  # fmt: skip
def test_a_large_file_ends(text: str) -> None:
    """Each comment of a large file is found once, in a time that grows with its length."""
    for ending in (".yml", ".md", ".py"):
        assert len({one.mark for one in accepted_in(text, ending)}) in {0, 10_000, 20_000}
