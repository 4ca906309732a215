"""Markup in every text of the data, built once: none of it runs in a page of any kind; the long run is `tests/attack`."""

from __future__ import annotations

from playwright.sync_api import Browser

from tests.attack.attack_injection import KINDS, built, judge

# One of each kind: a page with blocks, one that is only text, what is made of paths, words, calculations, and the wall view.
PAGES = [
    "index.html",
    "units/hazel-2/high-pack-clearance/index.html",
    "learning/front-drum/index.html",
    "words/index.html",
    "wall/index.html",
    "wall/hazel-2/high/index.html",
    "404.html",
]
# Texts that the demo has and that the build takes as they are.
FEWEST = 900


def test_no_text_of_the_data_runs(chromium: Browser) -> None:
    """With the site's policy and without any; every page keeps its foot and its scripts, and asks no other host."""
    with built(KINDS) as (site, count):
        assert count > FEWEST
        outcome = list(judge(chromium, site, [path for path in PAGES if (site / path).is_file()]))
    assert len(outcome) == 2 * len(PAGES)
    assert [fault for _, fault in outcome if fault] == []
