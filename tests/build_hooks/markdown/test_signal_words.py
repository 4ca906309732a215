"""Signal words that would not be shown as such are problems with a place; the right ones are not."""

from __future__ import annotations

import pytest
from markdown import markdown

from build_hooks.markdown.admonitions import KINDS
from build_hooks.markdown.extensions import EXTENSIONS
from build_hooks.markdown.signal_words import signal_faults
from build_hooks.page.source import read_page


def told(page: str) -> list[tuple[int, int, str]]:
    """Line, column and kind of each fault."""
    return [(fault.mark.line, fault.mark.column, fault.code) for fault in signal_faults(page)]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    "page",
    [
        "!!! {}\n    Text.\n",
        "!!!{}\n    Text.\n",
        '!!! {} "Hot oil"\n    Text.\n',
        "!!! {}\n\n    Text.\n\n    More.\n\nOutside.\n",
        "!!! {}\n    Text\n    that goes on.\n1. A step.\n",
        "1. A step.\n\n    !!! {}\n        Text.\n\n2. Another.\n",
        "1. A step.\n\n\t!!! {}\n\t\tText.\n",
        "!!! {}\n    Text.\n    !!! why\n        Inner.\n",
        "!!! {}\n    Text.",
    ],
)
def test_what_is_shown_as_a_box_is_right(kind: str, page: str) -> None:
    """In the ways in which Markdown reads it; and Markdown does read it."""
    written = page.format(kind)
    assert told(written) == []
    assert f"bench-signal bench-{kind}" in markdown(written, extensions=EXTENSIONS)


@pytest.mark.parametrize(
    ("line", "message", "remedy"),
    [
        ("!!! warnng", "“warnng” is no signal word.", "Did you mean “warning”?"),
        ("!!! Cation", "“Cation” is no signal word.", "Did you mean “caution”?"),
        ("!!! dangers", "“dangers” is no signal word.", "Did you mean “danger”?"),
        ("!! warning", "“!! warning” is not read as a signal word.", "Write “!!! warning” and nothing else on the line."),
        ("!!!!danger", "“!!!!danger” is not read as a signal word.", "Write “!!! danger” and nothing else on the line."),
        ("??? danger", "“??? danger” is not read as a signal word.", "Write “!!! danger” and nothing else on the line."),
        ("!!!  hold", "“!!!  hold” is not read as a signal word.", "Write “!!! hold” and nothing else on the line."),
        ("!!! warning:", "“!!! warning:” is not read as a signal word.", "Write “!!! warning” and nothing else on the line."),
        (
            "!!! warning Hot oil",
            "“!!! warning Hot oil” is not read as a signal word.",
            'Write “!!! warning "Hot oil"”, or set the text in by four spaces on the next line.',
        ),
        (
            "!!! caution: the piston moves.",
            "“!!! caution: the piston moves.” is not read as a signal word.",
            'Write “!!! caution "the piston moves."”, or set the text in by four spaces on the next line.',
        ),
    ],
)
def test_a_line_that_would_lose_its_word_is_told(line: str, message: str, remedy: str) -> None:
    """With what would be right. As it stands, the reader would see no such box, or one without its words."""
    page = f"Before.\n\n{line}\n    Text of it.\n"
    (fault,) = signal_faults(page)
    assert (fault.mark, fault.message, fault.remedy) == ((3, 1), message, remedy)


def test_a_box_without_text_is_told() -> None:
    """What was meant to stand in it would stand outside, or nowhere."""
    assert told("!!! danger\nNever go under it.\n") == [(1, 1, "signal-without-text")]
    assert told("!!! danger\n  Never go under it.\n") == [(1, 1, "signal-without-text")]
    assert told("!!! danger\n") == [(1, 1, "signal-without-text")]
    assert told("1. A step.\n\n    !!! hold\n    Flush?\n") == [(3, 5, "signal-without-text")]


def test_text_that_falls_out_of_its_box_is_told() -> None:
    """The second half of a warning would stand under it as ordinary text."""
    page = "!!! warning\n    The spring is under load\nuntil its ring is seated.\n"
    assert told(page) == [(3, 1, "text-outside-signal")]
    (fault,) = signal_faults(page)
    assert fault.message == "This line falls out of the warning above it."
    assert fault.remedy == "Set all of its text in by 4 spaces, or leave a blank line before what does not belong to it."
    shown = markdown(page, extensions=EXTENSIONS)
    assert shown.index("</div>") < shown.index("until its ring")


def test_other_boxes_and_other_text_are_left_alone() -> None:
    """Plain boxes have no meaning for safety; code is shown as it is; an exclamation is no box."""
    assert told("!!! note\n    Text.\n\n!!! tip\nText.\n") == []
    assert told("Stop!!! danger\n\n!!! unheard-of\n    Text.\n") == []
    assert told("````markdown\n!!! warnng\n```\n!!! danger\n````\n\n<!-- !!! danger\n!!! danger\n-->\n") == []


def test_code_within_a_line_hides_nothing_behind_it() -> None:
    """Three marks on either side of a word are no listing."""
    assert told("```bench``` is code.\n\n!!! warnng\n    Text.\n") == [(3, 1, "unknown-signal-word")]


def test_each_is_a_problem_of_its_page() -> None:
    """With the line of the file, front matter included; several at once."""
    _, problems = read_page("---\ntitle: Test\n---\n\n!!! warnng\n    Text.\n\n!!! hold\n", "docs/page.md")
    assert [str(problem) for problem in problems] == [
        "docs/page.md:5:1: “warnng” is no signal word. Did you mean “warning”?",
        "docs/page.md:8:1: No text belongs to this hold. Set all of its text in by 4 spaces.",
    ]
