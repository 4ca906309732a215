"""Firefox ESR and WebKitGTK: calculation, search and wall, served and from a folder opened by double-click."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import pytest

from .webdriver import Browser

pytestmark = pytest.mark.browser

CLEARANCE: Final = "units/alder-4/front-drum-clearance/"
PANEL: Final = "#calc-alder-4-front-drum"
LIFTS: Final = ("1.31", "1,345", "1.33", "1.40")
# Keys as W3C WebDriver names them.
ENTER: Final = "\ue007"
RIGHT: Final = "\ue014"
LEFT: Final = "\ue012"
# The number of the part and the words that stand on the screen: a part with many words takes several.
SCREEN: Final = "document.querySelector('.wall-step[data-current]')?.innerText.trim()"


def test_a_mistyped_reading_is_told_and_a_right_one_answered(browser: Browser, open_page: Callable[[str], str]) -> None:
    """The problem stands beside its field; put right, the verdict comes, from an engine that started from its image."""
    open_page(CLEARANCE)
    for index, reading in enumerate(LIFTS):
        browser.type(f'{PANEL} [name="trials.0.readings.0.lifts.{index}"]', reading)
    browser.click(f"{PANEL} [data-bench=work]")
    told = browser.wait(
        f"document.querySelector('{PANEL} [data-bench=problem][data-field=\"trials.0.readings.0.lifts.1\"]').textContent"
    )
    assert "“1,345” can be read in two ways." in told
    wrong = f'{PANEL} [name="trials.0.readings.0.lifts.1"]'
    assert browser.run("return document.querySelector(arguments[0]).getAttribute('aria-invalid')", wrong) == "true"
    browser.clear(wrong)
    browser.type(wrong, "1.36")
    verdict = browser.wait(
        f"document.querySelector('{PANEL} [data-bench=result][data-verdict=measure]:not([data-example])')?.textContent"
    )
    assert "Measure Direct pack" in verdict
    assert "mean = (1.31 + 1.36 + 1.33 + 1.40) / 4 = 1.35 mm" in verdict
    assert browser.run("return document.documentElement.dataset.engineStart") == "image"


def test_search_leads_to_the_page(browser: Browser, open_page: Callable[[str], str]) -> None:
    """Words in the box, a list of finds, Enter: the page of the best one."""
    base = open_page("")
    browser.type("input[role=combobox]", "front drum set the clearance")
    browser.wait("document.querySelector('[role=option]')?.textContent")
    browser.type("input[role=combobox]", ENTER)
    browser.wait("location.href.startsWith(arguments[0])", f"{base}/{CLEARANCE}")
    browser.wait("document.querySelector('h1')?.textContent.includes('clearance')")


def test_arrow_keys_step_the_wall(browser: Browser, open_page: Callable[[str], str]) -> None:
    """A remote has little more than arrows: right goes on, left goes back, one screen a press."""
    open_page("wall/alder-4/forward/")
    browser.wait("document.documentElement.dataset.wall === 'ready'")
    first = browser.wait(SCREEN)
    assert first.startswith("1 of")
    browser.press(RIGHT)
    second = browser.wait(f"{SCREEN} !== arguments[0] && {SCREEN}", first)
    browser.press(RIGHT)
    browser.wait(f"![arguments[0], arguments[1]].includes({SCREEN})", first, second)
    browser.press(LEFT)
    browser.wait(f"{SCREEN} === arguments[0]", second)
