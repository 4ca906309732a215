"""Problems stand beside their field, are listed on top, are told to a screen reader, and cost nobody a reading."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


def test_a_wrong_reading_shows_its_problem_and_stays(open_panel: Any) -> None:
    """The entry keeps what was typed, is marked, and is described by its problem."""
    panel = open_panel()
    panel.type_lifts("1.34", "1.3x", "1.33", "1.35")
    panel.work.click()
    problem = panel.problem("lifts.1")
    expect(problem).to_be_visible()
    entry = panel.entry("lifts.1")
    expect(entry).to_have_value("1.3x")
    expect(entry).to_have_attribute("aria-invalid", "true")
    assert problem.get_attribute("id") in entry.get_attribute("aria-describedby").split()
    assert panel.entry("lifts.0").get_attribute("aria-invalid") is None
    expect(panel.result).to_have_text("No answer: see the problems above.")
    expect(panel.state).to_have_text("1 entry needs attention.")


def test_every_problem_is_listed_with_a_way_to_its_entry(open_panel: Any, page: Page) -> None:
    """The list takes the focus when the reader asked for an answer; each line leads to its entry."""
    panel = open_panel()
    panel.type_lifts("1.3x", "1.36", "", "1.35")
    panel.work.click()
    expect(panel.summary).to_be_visible()
    expect(panel.summary).to_be_focused()
    expect(panel.summary.locator(".bench-problem-title")).to_have_text("There are 2 problems")
    links = panel.summary.locator("a")
    expect(links).to_have_count(2)
    expect(links.locator("strong")).to_have_text(["Lift at 1", "Lift at 3"])
    links.nth(1).click()
    expect(panel.entry("lifts.2")).to_be_focused()
    assert page.url.endswith("/index.html")


def test_the_list_names_each_entry_once_and_by_its_row(open_panel: Any) -> None:
    """Three rows have the same labels, and what is missing begins with its label anyway."""
    panel = open_panel("pan", "pan")
    panel.root.get_by_role("button", name="Clear the readings").click()
    panel.work.click()
    expect(panel.summary).to_be_visible()
    said = panel.summary.locator("a").all_inner_texts()
    assert said[0] == "Level read: nothing is filled in. Above the floor of the pan, or from any one mark upwards."
    assert "Step 2, Width: nothing is filled in. Inside, from wall to wall; of a stepped pan the mean." in said
    assert len(set(said)) == len(said)


def test_figures_worked_out_by_themselves_do_not_take_the_focus(open_panel: Any, page: Page) -> None:
    """While a reader types, problems appear without moving anything."""
    panel = open_panel()
    panel.type_lifts("1.34", "1.36", "1.33")
    panel.entry("lifts.3").focus()
    page.keyboard.type("1.3x")
    expect(panel.problem("lifts.3")).to_be_visible()
    expect(panel.entry("lifts.3")).to_be_focused()


def test_problems_go_when_they_are_mended(open_panel: Any) -> None:
    """With the entry put right everything said about it disappears."""
    panel = open_panel()
    panel.type_lifts("1.34", "1.3x", "1.33", "1.35")
    panel.work.click()
    expect(panel.problem("lifts.1")).to_be_visible()
    panel.entry("lifts.1").fill("1.36")
    panel.expect_verdict("in")
    expect(panel.problem("lifts.1")).to_be_hidden()
    expect(panel.summary).to_be_hidden()
    assert panel.entry("lifts.1").get_attribute("aria-invalid") is None


def test_a_problem_of_a_part_without_a_place_stands_at_the_nearest_around_it(open_panel: Any, page: Page) -> None:
    """A list that is wrong as a whole says so beneath the list; what has no place at all is in the list on top."""
    panel = open_panel("anyhow", "anyhow")
    panel.root.locator("[name=method]").select_option("dial")
    panel.work.click()
    expect(panel.summary).to_be_visible()
    expect(panel.problem("lifts.0")).to_be_visible()
    expect(panel.problem("limits.min")).to_be_visible()
    assert panel.summary.locator("li").count() >= 3
    assert page.locator("#anyhow [aria-invalid]").count() >= 3
