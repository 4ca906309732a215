"""A shop that reads in inches: its forms take inches from the first reading, and a reader who wants millimetres gets them."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

PANEL = "calc-oak-2-low"


def units_beside(panel: Any) -> list[str]:
    """What stands behind each entry for a reading."""
    return [str(text) for text in panel.root.locator('.bench-row:has([name^="lifts."]) [data-bench=unit]').all_inner_texts()]


def test_a_reading_is_taken_as_inches(open_panel: Any, page: Page) -> None:
    """From what is typed off the gauge to the verdict: nothing had to be chosen, and the maker's limits stay in millimetres."""
    panel = open_panel("inch-low", PANEL)
    expect(panel.root.locator("input[name=units][value=inch]")).to_be_checked()
    assert units_beside(panel) == ["in"] * 4
    expect(panel.entry("limits.min")).to_have_value("0.90 mm")
    expect(panel.root.locator('[data-row="limits.min"] .bench-converted')).to_have_text("0.0354 in, converted")
    expect(panel.root.locator('[data-row="limits.min"] .bench-converted')).to_be_visible()
    page.evaluate("document.addEventListener('bench:answer', (event) => { window.told = event.detail; })")
    panel.type_lifts(".046", ".047", ".046", ".045")
    panel.expect_verdict("in")
    told = page.evaluate("window.told")
    assert told["request"]["lifts"] == [".046 in", ".047 in", ".046 in", ".045 in"]
    assert told["reply"]["result"]["clearance"] == "0.046 in"


def test_a_reading_that_is_missing_is_asked_for_in_inches(open_panel: Any) -> None:
    """The example in the message is one that an inch gauge could show."""
    panel = open_panel("inch-low", PANEL)
    panel.type_lifts(".046", ".047", ".046")
    panel.work.click()
    expect(panel.problem("lifts.3")).to_have_text("This field is empty. Write a value, for example 0.034 in.")


def test_a_block_may_start_in_other_units_than_the_shop(open_panel: Any) -> None:
    """The author of the page knows what is read here."""
    panel = open_panel("inch-metric", PANEL)
    expect(panel.root.locator("input[name=units][value=metric]")).to_be_checked()
    assert units_beside(panel) == ["mm"] * 4


def test_what_a_reader_has_chosen_goes_before_block_and_shop(open_panel: Any, page: Page) -> None:
    """It is chosen once, and holds on every page, whatever that page starts in."""
    panel = open_panel("inch-low", PANEL)
    panel.root.locator("input[name=units][value=metric]").check()
    assert units_beside(panel) == ["mm"] * 4
    page.reload()
    expect(panel.root.locator("input[name=units][value=metric]")).to_be_checked()
    panel.root.locator("input[name=units][value=inch]").check()
    other = open_panel("inch-metric", PANEL)
    expect(other.root.locator("input[name=units][value=inch]")).to_be_checked()
    assert units_beside(other) == ["in"] * 4
