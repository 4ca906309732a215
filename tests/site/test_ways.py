"""From the front page to every page of the built manual in three presses, without the menu; and the doors of the front page."""

from __future__ import annotations

from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Final
from urllib.parse import unquote, urljoin, urlsplit

import pytest
from playwright.sync_api import Page

PRESSES: Final = 3
HOST: Final = "http://manual.local/"
MOMENTS: Final = {
    "it-came-in": {"shop-walk", "incoming-check", "lifting-and-removal"},
    "it-lies-open": {
        "teardown-findings", "cleanliness", "washing-and-passages", "inspection", "case-and-cracks", "bolts-and-threads", "drums-and-bores",
        "bushings-and-shafts", "sealing-ring-lands", "thrust-faces", "gears-and-pinions", "one-way-clutches", "pump", "plates-and-steels",
    },
    "it-goes-together": {
        "stack-order", "pausing-a-job", "seals", "pistons-and-return-springs", "snap-rings", "friction-plates-and-soak", "splines-and-hubs",
        "freeing-a-pack", "measuring-clearance", "dial-indicator-at-the-bench", "bands-and-servos", "thrust-washers-and-bearings",
        "end-play", "air-check", "valve-body-care", "filter-pan-and-magnet", "torque-and-adapters",
    },
    "it-goes-back": {"converter", "cooler-and-lines", "installing", "first-fill", "line-pressure", "relearn-drive", "road-test"},
    "it-came-back": {"a-week-later", "comeback-inspection"},
}  # fmt: skip
SCREENS: Final = {"television": (1920, 1080), "tablet": (834, 1112), "phone": (360, 740)}
SMALLEST: Final = 48


class _Links(HTMLParser):
    """The links of a page's own text, by the heading above them; the menus and the head of the page are left out."""

    def __init__(self, *, whole: bool) -> None:
        super().__init__()
        self.by_heading: dict[str, list[str]] = {}
        self._whole = whole
        self._inside = whole
        self._heading = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "article" and "md-content__inner" in (given.get("class") or ""):
            self._inside = True
        if not self._inside:
            return
        if tag in {"h1", "h2", "h3"}:
            self._heading = given.get("id") or ""
        if tag == "a" and given.get("href"):
            self.by_heading.setdefault(self._heading, []).append(str(given["href"]))

    def handle_endtag(self, tag: str) -> None:
        if tag == "article" and not self._whole:
            self._inside = False


def links_of(site: Path, page: str) -> dict[str, set[str]]:
    """The pages that a page's text leads to, by the heading above the link. The wall's pages are all text."""
    reader = _Links(whole=page.startswith("wall/"))
    reader.feed((site / page / "index.html").read_text(encoding="utf-8"))
    return {heading: set(_pages(page, hrefs)) for heading, hrefs in reader.by_heading.items()}


def _pages(page: str, hrefs: list[str]) -> Iterator[str]:
    for href in hrefs:
        parts = urlsplit(urljoin(f"{HOST}{page}", href))
        if f"{parts.scheme}://{parts.netloc}/" == HOST:
            yield unquote(parts.path).removeprefix("/").removesuffix("index.html")


def presses(site: Path) -> dict[str, int]:
    """How many presses each page is from the front page."""
    found = {"": 0}
    edge = [""]
    while edge:
        reached = {to for page in edge for pages in links_of(site, page).values() for to in pages}
        count = found[edge[0]] + 1
        edge = sorted(to for to in reached if to not in found and (site / to / "index.html").is_file())
        found.update(dict.fromkeys(edge, count))
    return found


@pytest.mark.browser
def test_every_page_is_three_presses_from_the_front_page(site: Path) -> None:
    """By the links in the text alone, so that a reader who never opens the menu gets there too."""
    found = presses(site)
    pages = {path.parent.relative_to(site).as_posix() for path in site.rglob("index.html")}
    addresses = {"" if page == "." else f"{page}/" for page in pages}
    far = {page: found.get(page, "no way") for page in sorted(addresses) if found.get(page, PRESSES + 1) > PRESSES}
    assert far == {}


@pytest.mark.browser
def test_each_moment_leads_to_its_pages(site: Path) -> None:
    """The front page has a door to each moment, and behind it stand its pages."""
    front = (site / "index.html").read_text(encoding="utf-8")
    by_heading = links_of(site, "standards/")
    for moment, pages in MOMENTS.items():
        assert f'href="standards/#{moment}"' in front
        assert by_heading[moment] - {"standards/"} >= {f"standards/{page}/" for page in pages}


@pytest.mark.browser
def test_every_standard_belongs_to_a_moment(site: Path) -> None:
    """A new one is not forgotten."""
    there = {path.parent.name for path in (site / "standards").glob("*/index.html")}
    assert there == {page for pages in MOMENTS.values() for page in pages}


@pytest.mark.browser
@pytest.mark.parametrize("screen", SCREENS)
def test_the_doors_are_large_on_every_screen(page: Page, address: str, screen: str) -> None:
    """48 px each way, WCAG 2.2 target size and more, and none beside the screen."""
    width, height = SCREENS[screen]
    page.set_viewport_size({"width": width, "height": height})
    page.goto(f"{address}/")
    boxes = page.locator(".bench-doors a").evaluate_all(
        "doors => doors.map(door => { const { width, height, left, right } = door.getBoundingClientRect(); return [width, height, left, right]; })"
    )
    assert len(boxes) >= len(MOMENTS)
    assert [box for box in boxes if box[0] < SMALLEST or box[1] < SMALLEST or box[2] < 0 or box[3] > width] == []


@pytest.mark.browser
def test_the_arrow_keys_reach_every_door(page: Page, address: str) -> None:
    """With the four arrows of a remote, from the first door to each other one, and Enter goes through."""
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.goto(f"{address}/")
    page.locator(".bench-doors a").first.wait_for()
    page.wait_for_load_state("load")
    names = page.locator(".bench-doors a").evaluate_all("doors => doors.map(door => door.href)")
    page.keyboard.press("ArrowDown")
    seen = {page.evaluate("document.activeElement.href")}
    edge = list(seen)
    while edge:
        at = edge.pop()
        for key in ("ArrowRight", "ArrowDown", "ArrowLeft", "ArrowUp"):
            page.locator(".bench-doors a").nth(names.index(at)).focus()
            page.keyboard.press(key)
            reached = page.evaluate("document.activeElement.href")
            if reached not in seen:
                seen.add(reached)
                edge.append(reached)
    assert seen == set(names)
    page.locator(".bench-doors a", has_text="It came back").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/standards/#it-came-back")


@pytest.mark.browser
def test_the_arrow_keys_stay_with_who_types(page: Page, address: str) -> None:
    """In the search box they choose a result, and move nothing else."""
    page.goto(f"{address}/")
    field = page.locator(".bench-search-field")
    field.focus()
    page.keyboard.press("ArrowDown")
    assert field.evaluate("field => document.activeElement === field")
