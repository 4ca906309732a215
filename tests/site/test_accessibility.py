"""The whole demo by the rules of WCAG 2.2 AA that a program can check, and on the narrowest screen.

Sources: axe-core (the rules), WCAG 2.2 success criterion 1.4.10 (320 CSS pixels without scrolling in two directions).
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, Page

from .conftest import PATIENCE, ROOT

RULES: Final = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
KINDS: Final = [
    "", "author-guide/blocks/", "author-guide/serving/", "calculations/", "calculations/choose-parts/", "calculations/set-clearances/",
    "calculations/gear-train/", "calculations/stack-forecast/", "calculations/which-element/",
    "first-week/", "learning/", "learning/front-drum/", "learning/practice/", "learning/record/", "standards/seals/", "units/alder-4/",
    "units/alder-4/front-drum-assemble/", "units/alder-4/front-drum-clearance/",
    "units/rowan-6/main-drum-clearance/", "wall/", "wall/alder-4/", "wall/alder-4/direct/", "words/",
]  # fmt: skip
# The pages of the demo are opened in so many tests, so that all workers have some.
PARTS: Final = 4
# Not as it is at once: the theme's script puts each table into a frame that scrolls.
WIDTH: Final = """
async (wanted) => {
  const page = document.scrollingElement;
  for (let left = 50; left && page.scrollWidth > wanted; left--) await new Promise((done) => setTimeout(done, 100));
  return page.scrollWidth;
}
"""

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def reader(chromium: Browser) -> Page:
    """One tab for all pages."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900}, service_workers="block")
    context.set_default_timeout(PATIENCE)
    return context.new_page()


@pytest.mark.parametrize("page", KINDS)
def test_no_rule_of_wcag_is_broken(page: str, reader: Page, address: str) -> None:
    """Names, roles, contrast, structure: nothing is found on any kind of page."""
    reader.set_viewport_size({"width": 1280, "height": 900})
    reader.goto(f"{address}/{page}")
    reader.evaluate((ROOT / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8"))
    found = reader.evaluate(
        "rules => axe.run({ runOnly: rules }).then(({ violations }) => "
        "violations.flatMap(({ id, nodes }) => nodes.map(({ target, failureSummary }) => [id, target.join(' '), failureSummary])))",
        RULES,
    )
    assert found == []


def every_page(site: Path) -> list[str]:
    """The address of each page, below the root."""
    return sorted(f"{found.parent.relative_to(site).as_posix()}/".removeprefix("./") for found in site.rglob("index.html"))


@pytest.mark.parametrize("part", range(PARTS))
def test_no_page_scrolls_sideways_on_a_narrow_phone(reader: Page, site: Path, address: str, part: int) -> None:
    """At 320 CSS pixels everything fits the width; only a table, a drawing or a listing may scroll within itself."""
    # The engine would be started anew on each page; the worked example stands without it. Playwright's own way to hold back
    # a file would have each page fetch and compile all its scripts again.
    network = reader.context.new_cdp_session(reader)
    network.send("Network.enable")
    network.send("Network.setBlockedURLs", {"urls": ["*/engine-*/*"]})
    reader.set_viewport_size({"width": 320, "height": 640})
    wide = []
    for page in every_page(site)[part::PARTS]:
        reader.goto(f"{address}/{page}", wait_until="domcontentloaded")
        if (width := reader.evaluate(WIDTH, 320)) > 320:
            wide.append((page, width))
    network.detach()
    assert wide == []
