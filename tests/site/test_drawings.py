"""The drawings of the demo are legible on a phone and on paper, and move the page nowhere."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.waiting import until

pytestmark = pytest.mark.browser

DRAWN = ("/bench/rowan-6/main-drum/", "/bench/alder-4/front-drum/", "/units/alder-4/front-drum-assemble/")
# Size of the smallest type of each drawing and of its smallest number, in pixels of the page.
SIZES = """() => [...document.querySelectorAll("svg.bench-drawing")].map((drawing) => {
  const scale = drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width;
  const least = (texts) => Math.min(...[...texts].map((text) => parseFloat(text.getAttribute("font-size")) * scale));
  return [least(drawing.querySelectorAll("text")), least(drawing.querySelectorAll(".drawing-number"))];
})"""
TEXT_WIDTH = round((210 - 20 - 11) * 96 / 25.4)


@pytest.mark.parametrize("width", [360, 390, 414])
def test_on_a_phone_a_drawing_is_moved_in_its_own_frame(page: Page, address: str, width: int) -> None:
    """Numbers of 11 pixels, words of 10; the frame takes the arrow keys; the page is no wider than the screen."""
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(f"{address}{DRAWN[0]}")
    sizes = page.evaluate(SIZES)
    assert sizes
    assert all(word >= 10 and number >= 11 for word, number in sizes)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    frame = page.locator(".bench-stack-frame").first
    frame.focus()
    page.keyboard.press("ArrowRight")
    until(page, "document.querySelector('.bench-stack-frame').scrollLeft > 0")


@pytest.mark.parametrize("width", [820, 1024, 1280, 1920])
def test_on_a_larger_screen_the_whole_drawing_is_in_sight(page: Page, address: str, width: int) -> None:
    """Its signs stand at its right end: “then measure” must not be found by chance. The words are not much smaller for it."""
    page.set_viewport_size({"width": width, "height": 900})
    for path in (*DRAWN, "/units/alder-4/intermediate-brake/", "/units/rowan-6/case-brakes/"):
        page.goto(f"{address}{path}")
        until(page, "document.querySelectorAll('.bench-stack-drawing:not([data-fits=true])').length === 0")
        assert all(word >= 9 for word, _ in page.evaluate(SIZES))


def test_a_drawing_that_is_wider_than_its_frame_says_so(page: Page, address: str) -> None:
    """Whatever the width of the screen: the words come and go when a tablet is turned."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{address}{DRAWN[0]}")
    hint = page.locator(".bench-stack-hint").first
    expect(hint).to_have_text("Move the drawing sideways to see all of it.")
    expect(hint).to_be_visible()
    page.set_viewport_size({"width": 1180, "height": 820})
    expect(hint).to_be_hidden()
    page.set_viewport_size({"width": 720, "height": 900})
    expect(hint).to_be_visible()


@pytest.mark.parametrize("path", DRAWN)
def test_on_paper_no_word_of_a_drawing_is_smaller_than_six_and_a_half_points(page: Page, address: str, path: str) -> None:
    """The whole drum of 49 parts, and the pack drawn apart with its names; none is taller than a sheet."""
    page.set_viewport_size({"width": TEXT_WIDTH, "height": 900})
    page.emulate_media(media="print")
    page.goto(f"{address}{path}")
    sizes = page.evaluate(SIZES)
    assert sizes
    assert all(word >= 6.5 * 96 / 72 for word, _ in sizes)
    tallest = page.evaluate(
        "Math.max(...[...document.querySelectorAll('svg.bench-drawing')].map((one) => one.getBoundingClientRect().height))"
    )
    assert tallest <= (297 - 16 - 11) * 96 / 25.4
