"""The demo's own good steps, spoilt one way at a time: how many of the spoilt ones are found."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Final

import pytest

from build_hooks.library import load
from build_hooks.page.pages import read_pages
from build_hooks.page.source import PageSource
from build_hooks.plain_writing import KnownWords, known_words, writing_warnings
from build_hooks.plain_writing.scanner import Block, Kind, scan

DOCS: Final = Path(__file__).parents[3] / "docs"
# Two things at once, and what is forbidden, are no second action: "open the valve and keep the air on" is good.
NO_ACTION: Final = re.compile(r"(?:^|[.,] )(?:keep|do not|hold)\b", re.IGNORECASE)
BOX_BEFORE_LIST: Final = re.compile(r"(?m)^!!! (?:danger|warning|caution|notice)\n(?:    .*\n)+\n(?=1\. )")


@functools.cache
def demo() -> tuple[tuple[PageSource, ...], KnownWords]:
    """The pages of the demo but for the author guide, and the words that it explains."""
    library, _ = load(DOCS)
    assert library is not None
    pages, _ = read_pages(DOCS, library)
    sources = (page.source for path, page in pages.by_path.items() if not path.startswith("author-guide"))
    return tuple(sources), known_words(library)


def said(block: Block) -> str:
    """A step's text on one line, without its label and its last stop."""
    return re.sub(r"^Task: ", "", " ".join(block.passage.plain.split())).rstrip(". ")


def steps() -> Iterator[str]:
    """The text of each step."""
    for source in demo()[0]:
        yield from (said(block) for block in scan(source.text) if block.kind is Kind.STEP)


def pairs() -> Iterator[tuple[str, str]]:
    """Each step that is one sentence with the one behind it."""
    for source in demo()[0]:
        found = [block for block in scan(source.text) if block.kind is Kind.STEP]
        for one, two in pairwise(found):
            first, second = said(one), said(two)
            if one.list_number == two.list_number and ". " not in first and not NO_ACTION.search(f"{first}. {second}"):
                yield first, second


def found_in(spoilt: list[str], code: str) -> float:
    """The share of spoilt steps that this warning is given for."""
    known = demo()[1]
    return sum(any(w.code == code for w in writing_warnings(f"1. {step}.\n", "p.md", known)) for step in spoilt) / len(spoilt)


@pytest.mark.parametrize(
    ("joined", "share"),
    [("{0}, then {1}", 0.99), ("{0} and then {1}", 0.98), ("{0} and {1}", 0.89), ("{0}, {1}", 0.87), ("{0}. {2}", 0.98)],
)
def test_two_steps_made_one_are_found(joined: str, share: float) -> None:
    """Joined by "then" or a full stop hardly one is missed; by "and" or a comma, where a noun might as well follow, one in eight."""
    spoilt = [joined.format(one, two[:1].lower() + two[1:], two) for one, two in pairs()]
    assert len(spoilt) > 300
    assert found_in(spoilt, "two-actions") >= share


def test_a_vague_word_is_always_found() -> None:
    """Behind any step."""
    assert found_in([f"{step} properly" for step in steps()], "vague-word") == 1


def test_a_step_that_tells_instead_of_ordering_is_found() -> None:
    """Its verb moved behind what it does something to: "the piston press"."""
    told = [re.sub(r"^(\w+) (the|a|an|each|both) (\w+).*$", r"\2 \3 is next", step) for step in steps()]
    spoilt = [step[:1].upper() + step[1:] for step in told if step.endswith("is next")]
    assert len(spoilt) > 200
    assert found_in(spoilt, "no-verb") == 1


def test_a_passive_is_found() -> None:
    """The order turned into a state of affairs."""
    told = [
        re.sub(r"^(\w+) (the|a|an|each|both) (\w+) (?:of|in|on|to|from|with|down|out|up)\b.*$", r"\2 \3 must be seated", step)
        for step in steps()
    ]
    spoilt = [step[:1].upper() + step[1:] for step in told if step.endswith("must be seated")]
    assert len(spoilt) > 100
    assert found_in(spoilt, "passive-step") == 1


def moved(text: str, box: re.Match[str]) -> str:
    """A page with a signal word moved behind the list that it stands before."""
    rest = text[box.end() :]
    end = re.search(r"(?m)^(?=\S)(?!\d+\. )", rest)
    cut = end.start() if end else len(rest)
    return text[: box.start()] + rest[:cut].rstrip("\n") + "\n\n" + box[0] + "\n" + rest[cut:]


def test_a_signal_word_moved_behind_its_list_is_found() -> None:
    """All but those that another list follows which they might as well be about."""
    sources, known = demo()
    results = [
        any(
            warning.code == "late-caution"
            for warning in writing_warnings(moved(source.text, box), "p.md", known, [fence.name for fence in source.fences])
        )
        for source in sources
        for box in BOX_BEFORE_LIST.finditer(source.text)
    ]
    assert len(results) > 35
    assert sum(results) / len(results) >= 0.85
