"""Runs the page's own search, in Node, over queries."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

__all__ = ["Asked", "ask", "load_queries", "page_rank", "page_rank_of", "rank"]

_HERE: Final = Path(__file__).parent
_NOT_FOUND: Final = 10_000
# Groups whose queries were written after all tuning.
_FRESH: Final = frozenset({"fresh", "said at the bench", "never seen the search", "by four people of a shop"})


@dataclass(frozen=True, slots=True)
class Asked:
    """A query with what it should find.

    Attributes:
        group: the heading it stands under.
        words: what is typed.
        pages: addresses of the pages, any of which is right.
        entries: ``kind: title`` of the results, any of which is right; empty where any result on one of the pages is.
        tuned: whether the ranking was tuned on it.
        fresh: whether it was written after all tuning.
        looked_at: whether what it found was looked at afterwards, to mend what it missed: every second one of its group.
    """

    group: str
    words: str
    pages: frozenset[str]
    entries: frozenset[str]
    tuned: bool
    fresh: bool
    looked_at: bool


def load_queries(listed: dict[str, list[dict[str, Any]]]) -> tuple[Asked, ...]:
    """The queries of queries.yml; every second one was tuned on, but none of the fresh ones.

    Args:
        listed: what the file holds.
    """
    rows = [(group, row, at % 2 == 0) for group, rows in listed.items() for at, row in enumerate(rows)]
    return tuple(
        Asked(
            group,
            str(row["ask"]),
            frozenset(row["pages"]),
            frozenset(row.get("entries", ())),
            tuned=group not in _FRESH and at % 2 == 0,
            fresh=group in _FRESH,
            looked_at=looked_at,
        )
        for at, (group, row, looked_at) in enumerate(rows)
    )


def ask(index_script: Path, queries: Sequence[str]) -> list[dict[str, Any]]:
    """What the search finds.

    Args:
        index_script: the index as the build writes it.
        queries: what is typed.

    Returns:
        For each: how many finds, how many of them whole, other words looked for, and the first twenty finds.
    """
    done = subprocess.run(
        ["node", str(_HERE / "find.mjs"), str(index_script)],
        input=json.dumps(list(queries)),
        capture_output=True,
        text=True,
        check=True,
    )
    answers: list[dict[str, Any]] = json.loads(done.stdout)
    return answers


def rank(asked: Asked, answer: dict[str, Any]) -> int:
    """The place of the first right result, from 1."""
    for place, find in enumerate(answer["finds"], 1):
        found = f"{find['kind']}: {find['title']}" in asked.entries if asked.entries else _page(find) in asked.pages
        if found:
            return place
    return _NOT_FOUND


def page_rank(asked: Asked, answer: dict[str, Any]) -> int:
    """The place of the first right page among the pages found, each counted once."""
    return page_rank_of(asked, [_page(find) for find in answer["finds"]])


def page_rank_of(asked: Asked, pages: Sequence[str]) -> int:
    """The place of the first right page, each counted once."""
    return next((place for place, page in enumerate(dict.fromkeys(pages), 1) if page in asked.pages), _NOT_FOUND)


def _page(find: dict[str, Any]) -> str:
    return str(find["url"]).partition("#")[0]
