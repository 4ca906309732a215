"""Timers: they run on through a reload and on other pages, sound until somebody confirms, and say when they slept."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Locator, Page, expect

from build_hooks.blocks.context import Context
from build_hooks.blocks.timer import TimerBody, render_timer
from build_hooks.bundle.assets import bundled
from build_hooks.library import Library
from build_hooks.markdown.html import html_of
from build_hooks.model import Shop, Wait

pytestmark = pytest.mark.browser

ROOT: Final = Path(__file__).parents[2]
STYLES: Final = ("styles/paper.css", "browser/timer/timer.css")
SHOP: Final = Shop(
    name="Quay Lane", waits={"soak": Wait(name="Soak the plates", minutes=20, source="common practice, no source")}
)
NOON: Final = datetime(2026, 11, 25, 12, 0, 0)  # noqa: DTZ001 - the time of day that the page shows
# Tones are counted instead of heard.
LISTENER: Final = """
window.tones = 0;
window.AudioContext = class {
  state = "running"; currentTime = 0; destination = {};
  createOscillator() { return {frequency: {}, connect: (next) => next, start: () => { window.tones += 1; }, stop: () => {}}; }
  createGain() { return {gain: {}, connect: () => {}}; }
  resume() { return Promise.resolve(); }
};
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page with two timers, one without, and a script for both."""
    made = tmp_path_factory.mktemp("timers")
    context = Context(Library(made, SHOP, {}), None)
    blocks = [TimerBody(wait="soak"), TimerBody(name="Let the sealant cure", minutes=90)]
    styles = "".join((ROOT / "build_hooks" / name).read_text(encoding="utf-8") for name in STYLES)
    pages = {"index": "".join(html_of(render_timer(block, context)) for block in blocks), "other": "<p>Another page.</p>"}
    for name, body in pages.items():
        (made / f"{name}.html").write_text(
            f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{name}</title><link rel="icon" href="data:,">'
            f'<meta name="viewport" content="width=device-width"><style>{styles}</style></head><body data-md-color-scheme="default">'
            f'<main class="md-typeset"><h1>{name}</h1>{body}</main><script src="timers.js"></script></body></html>',
            encoding="utf-8",
        )
    entry = made / "entry.js"
    browser = ROOT / "build_hooks" / "browser"
    entry.write_text(
        f'import {{ runTimers }} from "{browser}/timer/run.js";\nimport {{ Store }} from "{browser}/page/store.js";\n'
        'runTimers(new Store(() => localStorage, "test:"));\n',
        encoding="utf-8",
    )
    (made / "timers.js").write_bytes(bundled(ROOT / "node_modules", str(entry), {}))
    entry.unlink()
    return made


@pytest.fixture
def opened(page: Page, folder: Path, serve: Callable[[Path], str], seen: Any) -> Page:
    """The page, at noon."""
    page.clock.install(time=NOON)
    page.add_init_script(LISTENER)
    page.goto(f"{serve(folder)}/index.html")
    # Time passes only as a test says, however busy the machine is.
    page.clock.pause_at(NOON + timedelta(seconds=10))
    return page


def soak(page: Page) -> Locator:
    """The first timer of the page."""
    return page.locator("bench-timer").first


def listed(page: Page) -> Locator:
    """The list at the foot."""
    return page.locator("[data-bench=timers]")


def press(place: Locator, name: str) -> None:
    """Presses a button of a timer by what stands on it."""
    place.get_by_role("button", name=name).click()


def tones(page: Page) -> int:
    """How many have sounded."""
    return int(page.evaluate("window.tones"))


def test_it_says_its_time_before_it_runs(opened: Page) -> None:
    """Name, minutes and source, and one button."""
    expect(soak(opened).locator("p").first).to_have_text("Soak the plates: 20 minutes (common practice, no source)")
    assert soak(opened).locator("button:visible").all_inner_texts() == ["Start"]
    expect(listed(opened)).to_be_hidden()


def test_it_counts_down_pauses_and_goes_on(opened: Page) -> None:
    """What is left, and the time of day at which it is over; a pause stands still."""
    press(soak(opened), "Start")
    expect(soak(opened).locator("[data-bench=state]")).to_have_text("Soak the plates: started, over at 12:20.")
    opened.clock.fast_forward(61_000)
    expect(soak(opened).locator("[data-bench=left]")).to_have_text("Running18:59 leftover at 12:20")
    press(soak(opened), "Pause")
    opened.clock.fast_forward(600_000)
    expect(soak(opened).locator("[data-bench=left]")).to_have_text("Paused18:59 left")
    press(soak(opened), "Go on")
    expect(soak(opened).locator("[data-bench=left]")).to_have_text("Running18:59 leftover at 12:30")
    press(soak(opened), "Reset")
    assert soak(opened).locator("button:visible").all_inner_texts() == ["Start"]
    expect(listed(opened)).to_be_hidden()


def test_a_key_is_enough_and_the_focus_stays(opened: Page) -> None:
    """The button that takes the place of the one pressed has the focus."""
    soak(opened).get_by_role("button", name="Start").focus()
    for key, after in (("Enter", "Pause"), ("Enter", "Go on"), ("Enter", "Pause")):
        opened.keyboard.press(key)
        expect(soak(opened).get_by_role("button", name=after)).to_be_focused()


def test_it_goes_on_through_a_reload_and_on_another_page(opened: Page) -> None:
    """Two at once, the first to end first; each leads to its place."""
    press(opened.locator("bench-timer").nth(1), "Start")
    opened.clock.fast_forward(60_000)
    press(soak(opened), "Start")
    opened.reload()
    expect(soak(opened).locator("[data-bench=left]")).to_contain_text("over at 12:21")
    opened.goto(opened.url.replace("index", "other"))
    opened.clock.run_for(1_000)
    expect(listed(opened).locator("li a")).to_have_text(["Soak the plates", "Let the sealant cure"])
    opened.clock.fast_forward(120_000)
    expect(listed(opened).locator("li").first.locator("[data-bench=left]")).to_contain_text(re.compile(r"1[78]:\d\d left"))
    listed(opened).get_by_role("link", name="Let the sealant cure").click()
    opened.wait_for_url("**/index.html#timer-2")


def test_it_sounds_until_somebody_confirms(opened: Page) -> None:
    """Mark, words and sound; three tones every 4 s."""
    press(soak(opened), "Start")
    opened.clock.fast_forward(1_199_000)
    assert tones(opened) == 0
    expect(soak(opened)).to_have_attribute("data-state", "running")
    opened.clock.run_for(1_500)
    expect(soak(opened)).to_have_attribute("data-state", "over")
    expect(opened.get_by_role("alert")).to_have_text("Soak the plates: time is over.")
    expect(soak(opened).locator("[data-bench=left]")).to_have_text("OVERover since 12:20")
    opened.clock.run_for(4_500)
    assert tones(opened) == 6
    press(listed(opened), "Stop the sound")
    opened.clock.run_for(20_000)
    assert tones(opened) == 6
    expect(soak(opened)).to_have_attribute("data-state", "over")
    press(listed(opened), "Reset")
    expect(soak(opened)).to_have_attribute("data-state", "ready")


def test_it_says_that_it_slept(opened: Page) -> None:
    """Over by the clock of the day, and since when nothing was heard."""
    press(soak(opened), "Start")
    opened.clock.fast_forward("32:00")
    expect(soak(opened).locator("[data-bench=left]")).to_have_text(
        "OVERover since 12:20Nothing ran here until 12:32: this device slept or the manual was closed, so no sound was heard."
    )


def test_a_page_is_silent_while_another_has_just_sounded(opened: Page) -> None:
    """The other page is played by its mark in the storage: two real ones may look in the same millisecond."""
    press(soak(opened), "Start")
    opened.clock.fast_forward(1_199_500)
    opened.evaluate("localStorage.setItem('test:timers-sounded', String(Date.now() + 500))")
    opened.clock.run_for(4_250)
    assert soak(opened).get_attribute("data-state") == "over"
    assert tones(opened) == 0
    opened.clock.run_for(500)
    assert tones(opened) == 3


def test_what_is_confirmed_in_one_tab_is_silent_in_all(opened: Page) -> None:
    """Confirmed once is confirmed everywhere."""
    press(soak(opened), "Start")
    other = opened.context.new_page()
    other.add_init_script(LISTENER)
    other.goto(opened.url)
    opened.clock.fast_forward(1_200_500)
    opened.clock.run_for(4_500)
    expect(soak(other)).to_have_attribute("data-state", "over")
    heard = tones(opened) + tones(other)
    assert heard >= 6
    press(soak(other), "Stop the sound")
    expect(soak(opened).get_by_role("button", name="Stop the sound")).to_be_hidden()
    opened.clock.run_for(9_000)
    assert tones(opened) + tones(other) == heard
    expect(soak(opened)).to_have_attribute("data-state", "over")


def test_a_browser_that_plays_nothing_says_so(opened: Page) -> None:
    """A page on which nothing was pressed may not sound."""
    press(soak(opened), "Start")
    opened.add_init_script("window.AudioContext = class { state = 'suspended'; resume() { return Promise.resolve(); } };")
    opened.reload()
    opened.clock.fast_forward(1_202_000)
    expect(listed(opened)).to_contain_text("This browser plays no sound before you press something on this page.")


def test_odd_storage_is_passed_over(opened: Page) -> None:
    """What another program left there neither shows nor breaks anything."""
    opened.evaluate(
        """localStorage.setItem("test:timers", '[{"key": 1}, null, "x", {"key": "a", "title": "t", "page": "p", "ends": "soon"}]')"""
    )
    opened.reload()
    expect(listed(opened)).to_be_hidden()
    press(soak(opened), "Start")
    expect(soak(opened)).to_have_attribute("data-state", "running")


def test_targets_fit_gloves_and_nothing_is_covered(opened: Page) -> None:
    """48 px at least; the list leaves room below the page."""
    opened.set_viewport_size({"width": 360, "height": 640})
    press(soak(opened), "Start")
    for button in opened.locator("button:visible, [data-bench=timers] a").all():
        box = button.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 48
    opened.evaluate("window.scrollTo(0, document.documentElement.scrollHeight)")
    last = opened.locator("bench-timer").nth(1).bounding_box()
    foot = listed(opened).bounding_box()
    assert last is not None
    assert foot is not None
    assert last["y"] + last["height"] <= foot["y"]
    assert opened.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_browser_that_stores_nothing_runs_it_while_the_page_is_open(opened: Page) -> None:
    """And says so."""
    opened.add_init_script("Storage.prototype.setItem = () => { throw new Error('full'); };")
    opened.reload()
    press(soak(opened), "Start")
    opened.clock.fast_forward(61_000)
    expect(soak(opened).locator("[data-bench=left]")).to_contain_text("18:59 left")
    expect(soak(opened).locator("[data-bench=state]")).to_have_text(
        "This browser stores nothing: the timer stops if you leave this page."
    )
    press(soak(opened), "Pause")
    expect(soak(opened)).to_have_attribute("data-state", "paused")
