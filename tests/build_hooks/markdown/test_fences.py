"""Blocks are found in a page with their place, and nothing else is touched."""

import pytest
from pygments.lexers import get_all_lexers

from build_hooks.blocks import BLOCKS
from build_hooks.markdown.fences import cut_fences, marker, misspelt_fences, open_fences
from build_hooks.page.source import read_page

PAGE = """# Title

Text.

```stack
pack: forward
```

1. Step

    ```timer
    name: Soak
    minutes: 20
    ```

````
```stack
pack: shown, not run
```
````

```python
print("not ours")
```
"""


def test_each_block_is_cut_out_with_its_line_and_indent() -> None:
    """A block is given with the line of its opening marks, its indent and its body without that indent."""
    _, fences = cut_fences(PAGE, {"stack", "timer"})
    assert [(fence.name, fence.line, fence.indent, fence.body) for fence in fences] == [
        ("stack", 5, 0, "pack: forward\n"),
        ("timer", 11, 4, "name: Soak\nminutes: 20\n"),
    ]


def test_the_page_keeps_its_line_count() -> None:
    """Lines behind a block keep their numbers, so that later problems point at the right one."""
    marked, _ = cut_fences(PAGE, {"stack", "timer"})
    assert marked.count("\n") == PAGE.count("\n")
    assert marked.split("\n")[22] == 'print("not ours")'


def test_a_longer_fence_shows_blocks_instead_of_running_them() -> None:
    """A guide for authors may show a block inside four marks."""
    marked, fences = cut_fences(PAGE, {"stack"})
    assert len(fences) == 1
    assert "pack: shown, not run" in marked


def test_a_block_without_an_end_is_told() -> None:
    """The rest of the page is its body, and it says that it was not closed."""
    _, fences = cut_fences("a\n```stack\npack: forward\n", {"stack"})
    assert [fence.closed for fence in fences] == [False]


def test_a_block_without_an_end_ends_where_the_next_begins() -> None:
    """The next one is read as usual, and the page keeps its line count, however near they are."""
    for between in ("pack: a\n\nText.\n", ""):
        page = f"a\n```calc\n{between}```stack\npack: b\n```\nlast"
        marked, fences = cut_fences(page, {"calc", "stack"})
        assert [(fence.name, fence.line, fence.closed) for fence in fences] == [
            ("calc", 2, False),
            ("stack", 3 + between.count("\n"), True),
        ]
        assert fences[1].body == "pack: b\n"
        assert marked.count("\n") == page.count("\n")


@pytest.mark.parametrize(
    ("page", "line", "column", "shown", "marks"),
    [
        ("a\n\n```python\nx = 1\n\n# More\n", 3, 1, "```python", "```"),
        ("a\n\n   ~~~~\nx\n~~~\n", 3, 4, "~~~~", "~~~~"),
        ("```\nx\n\n```calc\ncalculation: x\n```\n", 1, 1, "```", "```"),
    ],
)
def test_a_listing_without_an_end_is_told_where_it_begins(page: str, line: int, column: int, shown: str, marks: str) -> None:
    """What follows it would be shown as code, blocks included."""
    (fault,) = open_fences(page, {"calc"})
    assert fault.mark == (line, column)
    assert fault.message == f"The listing that begins with “{shown}” has no end."
    assert fault.remedy == f"Put {marks} on a line of its own behind it."


def test_a_listing_with_an_end_is_no_fault() -> None:
    """Nor is a longer one that shows a block."""
    assert open_fences(PAGE, {"stack", "timer"}) == ()


def test_tilde_fences_and_longer_closings_count() -> None:
    """Both signs of Markdown's fences open a block; the closing may be longer, not shorter."""
    _, fences = cut_fences("~~~~spec\npack: a\n~~~\n~~~~~\nafter", {"spec"})
    assert fences[0].body == "pack: a\n~~~\n"
    assert fences[0].closed


def test_a_marker_stands_alone_between_blank_lines() -> None:
    """Markdown sees a block of HTML, whatever stands before it."""
    marked, _ = cut_fences("text\n```spec\npack: a\n```\nmore", {"spec"})
    assert marked.split("\n") == ["text", "", marker(0), "", "more"]


@pytest.mark.parametrize(
    ("name", "near"),
    [("clac", "calc"), ("Stack", "stack"), ("stak", "stack"), ("tool", "tools"), ("excercise", "exercise"), ("timers", "timer")],
)
def test_a_misspelt_name_is_told_with_its_place(name: str, near: str) -> None:
    """Its data would be shown as a listing, and the calculation or the stack would be missing from the page."""
    page = f"---\ntitle: Test\n---\n\n1. Step\n\n    ```{name}\n    pack: forward\n    ```\n"
    _, problems = read_page(page, "docs/page.md")
    assert [str(problem) for problem in problems] == [f"docs/page.md:7:8: “{name}” is no block. Did you mean “{near}”?"]


def test_listings_are_left_alone() -> None:
    """The name of any language, no name, and whatever a longer fence shows."""
    names = {alias for _, aliases, _, _ in get_all_lexers() for alias in aliases} - {"spec"}
    listings = "".join(f"```{name}\nx\n```\n\n" for name in sorted(names))
    assert misspelt_fences(listings, BLOCKS) == ()
    assert misspelt_fences("```\nx\n```\n\n````markdown\n```clac\n```\n````\n", BLOCKS) == ()
