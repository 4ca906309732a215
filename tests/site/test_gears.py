"""The gear set in a reader's hands: its gears by button and key, as text, and on paper."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


def test_a_reader_goes_through_the_gears(page: Page, address: str) -> None:
    """A press chooses, the arrow keys go on and stop at the last; one gear is shown, and every drawing is told as text."""
    page.goto(f"{address}/units/alder-4/gear-set/")
    gears = page.locator("bench-gears")
    shown = gears.locator(".bench-gear:not([hidden])")
    buttons = gears.locator("[data-bench=gear-buttons] button")
    expect(shown).to_have_attribute("data-gear", "1")
    buttons.nth(1).click()
    expect(shown).to_have_attribute("data-gear", "2")
    page.keyboard.press("ArrowRight")
    expect(shown).to_have_attribute("data-gear", "3")
    expect(buttons.nth(2)).to_be_focused()
    expect(buttons.nth(2)).to_have_attribute("aria-pressed", "true")
    page.keyboard.press("ArrowLeft")
    expect(shown).to_have_attribute("data-gear", "2")
    for _ in range(10):
        page.keyboard.press("ArrowRight")
    expect(shown).to_have_attribute("data-gear", "P")
    told = gears.locator(".bench-gear").nth(2).locator("svg desc").all_text_contents()
    assert told[0].startswith("With the input turning at 1: input, front-drum, front sun 1.00;")
    assert told[1].startswith("On: Forward clutch joins ")
    page.emulate_media(media="print")
    heights = gears.locator(".bench-gear").evaluate_all("gears => gears.map((gear) => gear.getBoundingClientRect().height)")
    assert len(heights) == 8
    assert min(heights) > 0


def test_the_road_test_leads_to_procedure_and_air_check(page: Page, address: str) -> None:
    """Second, fourth and reverse slip: the intermediate brake, with its links in the new answer, and each of them leads somewhere."""
    page.goto(f"{address}/units/alder-4/gear-set/")
    page.wait_for_selector("html[data-engine=ready]", state="attached")
    form = page.locator("[data-calculator=which-element]")
    for row, what in enumerate(("works", "slips", "works", "slips", "works", "slips")):
        form.locator(f"[name='seen.{row}.what']").select_option(what)
    links = form.locator("[data-leads='Intermediate brake'] a")
    expect(links).to_have_text(["Readings", "Alder 4 intermediate brake", "Air check", "Intermediate brake on the shop screen"])
    for link in links.all():
        assert page.request.get(str(link.evaluate("link => link.href"))).ok


def test_what_is_on_is_ticked(page: Page, address: str) -> None:
    """Any elements, by touch or space bar: what they come to, kept over a reload, and gone with the readings."""
    page.goto(f"{address}/units/alder-4/gear-set/")
    page.wait_for_selector("html[data-engine=ready]", state="attached")
    form = page.locator("[data-calculator=gear-train]")
    tick = form.get_by_role("checkbox")
    form.get_by_role("checkbox", name="Forward clutch").check()
    form.get_by_role("checkbox", name="Direct clutch").focus()
    page.keyboard.press("Space")
    state = form.locator("[data-bench=state]")
    expect(state).to_have_text("Tried: 1 to 1")
    form.get_by_role("checkbox", name="Low-reverse brake").check()
    expect(state).to_have_text("Tried: locked")
    page.reload()
    expect(state).to_have_text("Tried: locked")
    assert [one.is_checked() for one in tick.all()] == [True, True, False, True, False]
    form.get_by_role("button", name="Clear the readings").click()
    assert not any(one.is_checked() for one in tick.all())
    heights = tick.evaluate_all("ticks => ticks.map((tick) => tick.closest('label').getBoundingClientRect().height)")
    assert min(heights) >= 48
