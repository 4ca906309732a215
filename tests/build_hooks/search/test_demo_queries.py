"""What people in a shop type finds what they mean, through the very script that the page runs."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import pytest
import yaml

from build_hooks.bundle.assets import scripts_from
from build_hooks.search import INDEX, write_search
from tests.build_hooks.search.asking import Asked, ask, load_queries, page_rank, rank
from tests.build_hooks.search.demo_pages import DOCS, demo_edition, pages_of_edition

# What was reached when the ranking was settled, less a little, so that a new page in the demo does not break it.
FLOORS: Final = {
    "tuned": {"pages at 1": 0.92, "pages at 3": 0.98, "entries at 1": 0.89, "entries at 3": 0.95},
    "held out": {"pages at 1": 0.90, "pages at 3": 0.98, "entries at 1": 0.80, "entries at 3": 0.94},
    "fresh": {"pages at 1": 0.88, "pages at 3": 0.94, "entries at 1": 0.80, "entries at 3": 0.90},
    # Written before the writer had seen the index; wanted: 0.90 and 0.97. The misses of the first half were looked at, those of
    # the second never; but its figures were seen while the ranking was settled.
    "said at the bench, looked at": {"pages at 1": 0.90, "pages at 3": 0.93, "entries at 1": 0.90, "entries at 3": 0.93},
    "said at the bench, measured": {"pages at 1": 0.72, "pages at 3": 0.89, "entries at 1": 0.72, "entries at 3": 0.82},
    # By a writer who knew titles and headings only; measured once. Wanted: 0.90 and 0.97.
    "never seen the search": {"pages at 1": 0.68, "pages at 3": 0.85, "entries at 1": 0.67, "entries at 3": 0.81},
    "by four people of a shop": {"pages at 1": 0.72, "pages at 3": 0.89, "entries at 1": 0.72, "entries at 3": 0.85},
}
BENCH: Final = "said at the bench"
FEWEST_QUERIES: Final = 80
SHORTEST_START: Final = 3

type Answers = list[tuple[Asked, dict[str, Any]]]


@pytest.fixture(scope="module")
def index(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's index, as the build writes it."""
    edition = demo_edition()
    site = tmp_path_factory.mktemp("site")
    warnings: list[str] = []
    write_search(site, pages_of_edition(edition), edition.library, scripts_from(DOCS.parent / "node_modules"), warnings.append)
    assert warnings == []
    return site / INDEX


@pytest.fixture(scope="module")
def answers(index: Path) -> Answers:
    """Each query with what it found."""
    queries = load_queries(yaml.safe_load((Path(__file__).parent / "queries.yml").read_text(encoding="utf-8")))
    return list(zip(queries, ask(index, [asked.words for asked in queries]), strict=True))


def recall(answers: Answers) -> dict[str, float]:
    """The share of queries whose page or entry is the first, or among the first three."""
    ranks = {
        "pages": [page_rank(asked, answer) for asked, answer in answers],
        "entries": [rank(asked, answer) for asked, answer in answers],
    }
    return {f"{name} at {most}": sum(at <= most for at in ranks[name]) / len(answers) for name in ranks for most in (1, 3)}


def part_of(asked: Asked) -> str:
    """The set that a query is counted in."""
    if not asked.fresh:
        return "tuned" if asked.tuned else "held out"
    return f"{asked.group}, {'looked at' if asked.looked_at else 'measured'}" if asked.group == BENCH else asked.group


@pytest.mark.parametrize("part", FLOORS)
def test_recall_is_above_its_floor(answers: Answers, part: str) -> None:
    """The thing meant is the first result, or among the first three; also for queries that were never tuned on."""
    chosen = [(asked, answer) for asked, answer in answers if part == part_of(asked)]
    assert chosen
    reached = recall(chosen)
    assert {name: share for name, share in reached.items() if share < FLOORS[part][name]} == {}


def test_there_are_enough_queries_and_each_is_told_once(answers: Answers) -> None:
    """The list is long enough to mean something, and none counts twice."""
    words = [asked.words for asked, _ in answers]
    assert len(words) >= FEWEST_QUERIES
    assert len(set(words)) == len(words)


def test_every_query_names_pages_that_are_there(answers: Answers) -> None:
    """A page that has moved must not count as found or missed."""
    known = set(pages_of_edition(demo_edition()))
    assert [(asked.words, page) for asked, _ in answers for page in asked.pages if page not in known] == []


def test_every_find_leads_to_a_page_that_is_there(answers: Answers) -> None:
    """The pages of the manual, or its wall view."""
    known = set(pages_of_edition(demo_edition()))
    found = {find["url"].partition("#")[0] for _, answer in answers for find in answer["finds"]}
    assert {url for url in found if url not in known and not url.startswith("wall/")} == set()


def test_the_list_does_not_go_empty_while_a_query_is_typed(answers: Answers, index: Path) -> None:
    """From the third letter on there is nearly always something to choose: what is there at the end was there before."""
    starts = [asked.words[:count] for asked, _ in answers if asked.tuned for count in range(SHORTEST_START, len(asked.words) + 1)]
    empty = [start for start, answer in zip(starts, ask(index, starts), strict=True) if not answer["count"]]
    assert len(empty) / len(starts) < 0.01, empty


def test_the_limits_stand_in_the_first_result(index: Path) -> None:
    """Whoever asks for a clearance reads it without opening anything."""
    (answer,) = ask(index, ["forward pack clearance"])
    first = answer["finds"][0]
    assert (first["kind"], first["title"], first["page"]) == ("spec", "Forward pack clearance", "Alder 4")
    assert first["said"].startswith("0.90 to 1.40 mm, wave plate flat")
    assert first["said"].endswith("From shop standard FL-12, revision C")
