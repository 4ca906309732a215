"""Steps are shown under the numbers that their author wrote."""

from __future__ import annotations

from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st
from markdown import markdown

from build_hooks.markdown.extensions import EXTENSIONS
from build_hooks.plain_writing.numbering import misnumbered_steps
from build_hooks.plain_writing.scanner import Kind, scan

BREAKS = ("!!! notice\n    Mind.", "Words between.", "```text\nx\n```", "<!-- aside -->", "## Heading", "- point")


def shown(page: str) -> list[int]:
    """The number that a reader sees before each step, in the order of the page."""
    soup = BeautifulSoup(markdown(page, extensions=EXTENSIONS), "html.parser")
    numbers = {}
    for steps in soup.select("ol"):
        for number, step in enumerate(steps.find_all("li", recursive=False), int(str(steps.get("start", "1")))):
            numbers[id(step)] = number
    return [numbers[id(step)] for step in soup.select("ol > li")]


def test_a_list_behind_a_break_goes_on() -> None:
    """As written; and one that begins at 1 begins at 1."""
    page = "1. Fit it.\n2. Turn it.\n\n!!! warning\n    It springs out.\n\n3. Ease it in.\n4. Let go.\n\nText.\n\n1. Begin.\n"
    assert shown(page) == [1, 2, 3, 4, 1]


def test_steps_in_a_step_too() -> None:
    """Each list by itself."""
    assert shown("4. Fit it.\n\n    1. Left.\n    2. Right.\n\n5. Turn it.\n") == [4, 1, 2, 5]


@given(st.lists(st.one_of(st.integers(1, 9), st.sampled_from(BREAKS)), min_size=1, max_size=12))
def test_what_is_not_warned_of_is_shown_as_written(blocks: list[int | str]) -> None:
    """And what is warned of is shown otherwise: the check reads lists as Markdown does."""
    page = "\n\n".join(f"{block}. Do it." if isinstance(block, int) else block for block in blocks) + "\n"
    found = scan(page)
    written = [int(block.name) for block in found if block.kind is Kind.STEP]
    lists: dict[int, set[str]] = {}
    for block in found:
        if block.kind is Kind.STEP:
            lists.setdefault(block.list_number, set()).add(block.name)
    by_itself = any(numbers == {"1"} for numbers in lists.values())
    if list(misnumbered_steps(found)):
        assert shown(page) != written
    elif not by_itself:
        assert shown(page) == written
