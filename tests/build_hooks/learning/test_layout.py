"""The learning part on a phone and on the shop's screen: nothing runs out of the picture, and everything can be hit and read."""

from __future__ import annotations

from typing import Final

import pytest
from playwright.sync_api import Page, expect

from build_hooks.library import load
from build_hooks.wall.sizes import letter_size
from tests.build_hooks.learning.conftest import Learner
from tests.build_hooks.learning.test_record import some_record
from tests.site.conftest import ROOT

pytestmark = pytest.mark.browser

PAGES: Final = ("index.html", "first-week/", "front-drum/", "practice/", "record/")
EXERCISES: Final = tuple(
    f"practice/?unit={unit}&pack={pack}&kind={kind}&set=12"
    for unit, pack, kind in (
        ("hazel-2", "high", "order"),
        ("alder-4", "forward", "fault"),
        ("hazel-2", "high", "gauge"),
        ("alder-4", "forward", "clearance"),
        ("alder-4", "forward", "which"),
        ("alder-4", "forward", "believable"),
    )
)
# What may be pressed, as far as it is drawn: a round mark in its label counts by the label.
SMALL: Final = """() => [...document.querySelectorAll(".bench-learning :is(button, input, summary, label:has(input))")]
  .filter((one) => one.getClientRects().length && !one.matches("[type=radio]"))
  .filter((one) => Math.min(one.getBoundingClientRect().width, one.getBoundingClientRect().height) < 47.5)
  .map((one) => `${one.tagName} ${one.className} ${one.textContent}`)"""
FINE_PRINT: Final = """(least) => {
  const found = new Set();
  const walk = document.createTreeWalker(document.querySelector("article"), NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const { parentElement: holder, data } = walk.currentNode;
    if (!data.trim() || !holder.getClientRects().length || holder.closest("script, svg")) continue;
    const size = Number.parseFloat(getComputedStyle(holder).fontSize);
    if (size < least) found.add(`${size} ${holder.className} ${data.trim().slice(0, 40)}`);
  }
  return [...found];
}"""


def opened(learner: Learner, where: str) -> None:
    """Opens a page and waits for its exercise, if it has one."""
    learner.open(where)
    if "kind=" in where:
        learner.asked()


def test_nothing_runs_out_of_a_phone_and_every_target_is_48_pixels(learner: Learner, page: Page) -> None:
    """At 320 pixels no page scrolls sideways; whatever is pressed is large enough for a thumb in a glove."""
    page.set_viewport_size({"width": 320, "height": 640})
    some_record(learner)
    page.locator("li[data-step=walk-task]").get_by_role("button", name="Take it back").click()
    page.locator("li[data-step=walk-task] [data-bench=open-sign]").click()
    page.get_by_role("radio", name="A. Dorn").check()
    found = {}
    for where in ("", *PAGES, *EXERCISES):
        if where:
            opened(learner, where)
        too_wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        found[where] = (too_wide, page.evaluate(SMALL))
    assert found == dict.fromkeys(found, (0, []))


def test_letters_on_the_shop_screen_are_as_large_as_on_the_wall(learner: Learner, page: Page) -> None:
    """Chosen by keyboard, kept by the browser, 20 minutes of arc and more on every page of the part, and undone again."""
    page.set_viewport_size({"width": 1920, "height": 1080})
    library, _ = load(ROOT / "docs")
    assert library is not None
    least = float(letter_size(library.shop.screens["bay-1"]).size_vh) / 100 * 1080
    some_record(learner)
    page.locator("[data-letters-for=bay-1]").focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-letters-for=bay-1]")).to_be_focused()
    found = {}
    for where in (*PAGES, EXERCISES[0], EXERCISES[1], EXERCISES[3]):
        opened(learner, where)
        found[where] = (page.evaluate("document.documentElement.scrollWidth - innerWidth"), page.evaluate(FINE_PRINT, least))
    assert found == dict.fromkeys(found, (0, []))
    page.locator("[data-letters-for='']").click()
    assert page.evaluate(FINE_PRINT, least) != []


def test_a_screen_can_be_named_in_the_address(learner: Learner, page: Page) -> None:
    """So that the shop's screen opens as it should; a name that the shop does not know changes nothing."""
    learner.open("practice/?screen=bay-9")
    expect(page.locator("html[data-letters]")).to_have_count(0)
    learner.open("practice/?screen=bay-4")
    expect(page.locator("html[data-letters]")).to_have_count(1)
    expect(page.locator("[data-letters-for=bay-4]")).to_have_attribute("aria-pressed", "true")
