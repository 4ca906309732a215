"""A block that was placed is read by the build as it was meant; what is not complete yet is named by its part of the page."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.placing.block import Draft, Point, block_text, draft_of, missing

FILE = "photos/drum.jpg"
BLOCK = """\
```photo
file: photos/drum.jpg
shows: "The drum: its open end, \\"up\\"."
callouts:
  - {at: [40, 25.5], text: "The gap, on a land"}
unit: oak-1
pack: main
part: ring-a
```
"""
DRAFT = Draft(
    shows='The drum: its open end, "up".',
    points=(Point(at=(40, 25.5), words="The gap, on a land"),),
    beside={"unit": "oak-1", "pack": "main", "part": "ring-a"},
)


def test_the_block_is_written_as_a_person_would() -> None:
    """No decimals that say nothing; one line for each call-out; the keys that were there before are kept."""
    assert block_text(FILE, DRAFT) == BLOCK
    assert missing(FILE, DRAFT) == ()


# What fields of a page may hold; a build refuses control characters.
WORDS = st.text(st.characters(exclude_categories=("Cc", "Cs", "Co", "Cn")), min_size=1, max_size=60).filter(str.strip)
PERCENT = st.integers(0, 1000).map(lambda tenths: tenths / 10)


@given(
    WORDS,
    st.lists(st.tuples(st.tuples(PERCENT, PERCENT), WORDS), max_size=12),
    st.sampled_from([FILE, "../a b.png", "a: #b.webp", "true.jpg"]),
)
def test_what_is_written_is_read_again(shows: str, placed: list[tuple[tuple[float, float], str]], file: str) -> None:
    """Whatever the words are, but for their spaces."""
    draft = Draft(shows=shows, points=tuple(Point(at=at, words=words) for at, words in placed), beside={})
    assert missing(file, draft) == ()
    read = draft_of(block_text(file, draft))
    assert read.file == file
    assert read.draft == Draft(
        shows=" ".join(shows.split()),
        points=tuple(Point(at=at, words=" ".join(words.split())) for at, words in placed),
        beside={},
    )


def test_a_block_is_taken_from_a_page_or_without_its_marks() -> None:
    """Indented in a list, too."""
    page = f"---\ntitle: A\n---\n\n# A\n\n1. Look.\n\n{''.join(f'    {line}' for line in BLOCK.splitlines(keepends=True))}\nThe end.\n"
    body = "".join(BLOCK.splitlines(keepends=True)[1:-1])
    assert [draft_of(text).draft for text in (BLOCK, BLOCK.replace("\n", "\r\n"), page, body)] == [DRAFT] * 4


def test_what_is_missing_is_named_by_its_part() -> None:
    """In the order of the block, in words for somebody who looks at the page."""
    empty = Draft(shows=" ", points=(Point(at=(1, 2), words="a"), Point(at=(3, 4), words="")), beside={})
    assert missing(FILE, empty) == ("Description: Say what is to be seen.", "Call-out 2: Say what is to be seen.")
    many = Draft(shows="a", points=tuple(Point(at=(1, 2), words="a") for _ in range(14)), beside={})
    assert missing(FILE, many) == (
        "Call-out 13: There are 14 call-outs; up to 12 can be told apart. Use a second picture, nearer to the thing.",
    )
    odd = Draft(shows="a\x07", points=(), beside={})
    assert missing(FILE, odd) == ("Description: This text holds the control character U+0007. Take it out.",)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (
            "```photo\nfile: a.jpg\nshows: b\ncallouts: [{at: [140, 2], text: c}]\n```\n",
            (
                "Line 4, column 17: A point is two numbers from 0 to 100: percent from the left edge, and percent from the upper edge. "
                "Write for example at: [40, 25]."
            ),
        ),
        ("file: a.jpg\nshow: b\n", "Line 2, column 1: Unknown key “show”. Did you mean “shows”?"),
        (
            "file: [a\n",
            (
                "Line 1, column 7: The “[” that opens here is not closed, or a comma is missing after it. "
                "Put commas between the entries and close the bracket."
            ),
        ),
        ("```stack\npack: main\n```\n", "There is no photo block in this. Paste one that begins with ```photo."),
        (BLOCK + "\n" + BLOCK, "There are 2 photo blocks in this. Paste one of them."),
        ("", "Line 1, column 1: There is nothing in here. Write key: value, for example name: Alder 4."),
    ],
)
def test_what_cannot_be_read_is_told_with_its_place(text: str, problem: str) -> None:
    """And nothing of it is taken over."""
    read = draft_of(text)
    assert (read.draft, read.problems[0]) == (None, problem)
