"""The manual over plain http on a name of the shop's own network: it works, and says what is missing there."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from tests.chromium import FLAGS, chromium_program
from tests.site.conftest import PATIENCE

from .conftest import CLEARANCE, Reader, Served

pytestmark = pytest.mark.browser

# A name of the domain that is kept for tests (RFC 6761): no one else answers to it.
NAME = "bench.test"
MISSING = (
    "Served without https: this manual cannot be stored for use without the network, and the wall view cannot keep its screen on."
)


@pytest.fixture(scope="module")
def browser(chromium: Browser) -> Iterator[Browser]:
    """A browser that finds the name on this machine."""
    made = chromium.browser_type.launch(
        executable_path=chromium_program(), args=[*FLAGS, f"--host-resolver-rules=MAP {NAME} 127.0.0.1"]
    )
    yield made
    made.close()


@pytest.fixture
def visitor(browser: Browser) -> Iterator[Reader]:
    """A page of it, whose scripts must not fail."""
    made = Reader(browser.new_page())
    made.page.set_default_timeout(PATIENCE)
    expect.set_options(timeout=PATIENCE)
    faults: list[str] = []
    made.page.on("pageerror", lambda error: faults.append(str(error)))
    yield made
    made.page.context.close()
    assert faults == []


def test_it_works_and_says_what_is_missing(served: Served, visitor: Reader) -> None:
    """The search finds, the calculation answers from the saved memory, and a line at the foot says it in words."""
    visitor.open(f"http://{NAME}:{served.port}/")
    # Measured, so that the words stay true: such a page has neither.
    assert visitor.page.evaluate("[isSecureContext, 'serviceWorker' in navigator, 'wakeLock' in navigator]") == [False] * 3
    visitor.finds("front drum set the clearance")
    visitor.answers()
    assert len(visitor.page.workers) == 1
    expect(visitor.page.locator("[data-bench=served]")).to_have_text(MISSING)
    expect(visitor.page.locator("[data-bench=served]")).to_be_visible()


def test_the_wall_works_and_says_that_its_screen_may_go_dark(served: Served, visitor: Reader) -> None:
    """It steps by the remote's keys; what to do about the screen stands at the foot of its lists."""
    visitor.open(f"http://{NAME}:{served.port}/wall/alder-4/forward/")
    expect(visitor.page.locator("html[data-wall=ready]")).to_be_attached()
    visitor.page.keyboard.press("2")
    expect(visitor.page.locator(".wall-step[data-current] .wall-count")).to_contain_text("2 of")
    visitor.page.keyboard.press("Escape")
    expect(visitor.page.locator("[data-bench=wall-awake]")).to_have_text("set TV to stay on")


def test_on_this_machine_nothing_is_missing(served: Served, visitor: Reader) -> None:
    """Browsers trust their own machine as they trust https: no such line there."""
    visitor.open(f"{served.address}{CLEARANCE}")
    visitor.wait_until_kept()
    expect(visitor.page.locator("[data-bench=served]")).to_have_count(0)
