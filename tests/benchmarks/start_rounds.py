"""What is measured in one round, in real browsers with empty profiles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from tempfile import TemporaryDirectory
from typing import Any, Final

from playwright.sync_api import BrowserContext, Playwright

from calc_engine import CATALOGUE
from tests.chromium import FLAGS, chromium_program

__all__ = ["ANSWERS_A_ROUND", "Visits", "answer_times", "browser_version", "first_paint", "speed", "visits"]

ANSWERS_A_ROUND: Final = 20
_PATIENCE: Final = 120_000
_READY: Final = "html[data-engine=ready]"
_NOTE_READY: Final = """
new MutationObserver(() => {
  if (document.documentElement.dataset.engine === "ready") window.readyAfter ??= performance.now();
}).observe(document, { subtree: true, attributes: true, attributeFilter: ["data-engine"] });
"""
# Submits a form as its reader does, and waits until the answer stands in the page. A reader looks at a page that stands
# still: without the frame in between, the answer before it would be laid out in the time of this one.
_ASK: Final = """
async (name) => {
  await new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn)));
  const panel = document.getElementById(name);
  const form = panel.querySelector("form");
  const answered = new Promise((done) => {
    const told = ({ detail }) => done([performance.now(), detail.reply.ok]);
    panel.addEventListener("bench:answer", told, { once: true });
  });
  const start = performance.now();
  form.requestSubmit();
  const [end, ok] = await answered;
  return [end - start, ok];
}
"""
_PAINTED: Final = """
() => new Promise((done) => new PerformanceObserver((seen) => {
  const paint = seen.getEntriesByName("first-contentful-paint")[0];
  if (paint) done(paint.startTime);
}).observe({ type: "paint", buffered: true }))
"""
_SPIN: Final = """
() => {
  const start = performance.now();
  let number = 1;
  for (let turn = 0; turn < 3e7; turn++) number = (Math.imul(number, 31) + turn) | 0;
  return performance.now() - start + (number & 0);
}
"""


@dataclass(slots=True)
class Visits:
    """Two visits with a profile that was empty before the first.

    Attributes:
        ready: milliseconds from navigation until the engine was ready, for each.
        asked: addresses that the first asked for.
    """

    ready: list[float] = field(default_factory=list)
    asked: set[str] = field(default_factory=set)


@contextmanager
def _empty_profile(playwright: Playwright) -> Iterator[BrowserContext]:
    with TemporaryDirectory() as profile:
        context = playwright.chromium.launch_persistent_context(profile, executable_path=chromium_program(), args=FLAGS)
        context.set_default_timeout(_PATIENCE)
        yield context
        context.close()


def browser_version(playwright: Playwright) -> str:
    """Name and version of the browser."""
    browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
    version = browser.version
    browser.close()
    return f"Chromium {version}"


def visits(playwright: Playwright, address: str, count: int = 2) -> Visits:
    """Visits a page with an empty profile, and again."""
    found = Visits()
    with _empty_profile(playwright) as context:
        context.add_init_script(_NOTE_READY)
        page = context.new_page()
        page.goto("about:blank")
        page.wait_for_timeout(500)
        page.on("request", lambda request: found.asked.add(request.url))
        for visit in range(count):
            if visit:
                page.wait_for_timeout(1000)  # What the browser keeps of a first visit it writes when there is time.
                page.goto("about:blank")
            page.goto(address)
            page.wait_for_selector(_READY, state="attached")
            found.ready.append(page.evaluate("window.readyAfter"))
    return found


def first_paint(playwright: Playwright, addresses: Sequence[str], repeats: int) -> list[list[float]]:
    """Milliseconds from navigation to the first contentful paint, for each page in turn, always with an empty store."""
    times: list[list[float]] = [[] for _ in addresses]
    browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
    for _ in range(repeats):
        for found, address in zip(times, addresses, strict=True):
            context = browser.new_context(viewport={"width": 1280, "height": 900})
            page = context.new_page()
            page.goto(address)
            found.append(page.evaluate(_PAINTED))
            context.close()
    browser.close()
    return times


def answer_times(playwright: Playwright, address: str, times: int, pause: int) -> dict[str, list[float]]:
    """Milliseconds from submitting each form until its answer stands in the page.

    Args:
        playwright: the browsers.
        address: a page with a form for each calculation.
        times: how often each is submitted, in turns; the first of each is its very first.
        pause: milliseconds from a page that is ready until the first of all.
    """
    found: dict[str, list[float]] = {name: [] for name in CATALOGUE}
    with _empty_profile(playwright) as context:
        page = context.new_page()
        page.goto(address)
        page.wait_for_selector(_READY, state="attached")
        page.wait_for_timeout(pause)
        for _ in range(times):
            for name, taken in found.items():
                milliseconds, ok = _asked(page.evaluate(_ASK, name))
                assert ok, f"the example of {name} is refused"
                taken.append(milliseconds)
    return found


def _asked(value: Any) -> tuple[float, bool]:
    return float(value[0]), bool(value[1])


def speed(playwright: Playwright, repeats: int) -> list[float]:
    """Milliseconds that a fixed loop takes in a page: tells how much slower a slowed page is."""
    browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
    page = browser.new_page()
    page.wait_for_timeout(500)
    page.evaluate(_SPIN)
    taken = [float(page.evaluate(_SPIN)) for _ in range(repeats)]
    browser.close()
    return taken
