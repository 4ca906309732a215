"""How the engine comes up: its states in words, its two ways to start, and what happens when neither works."""

from __future__ import annotations

import gzip
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from .seams import before_worker

pytestmark = pytest.mark.browser

SLOW = "The engine starts the slow way."


def _warnings(seen: Any) -> list[str]:
    return [text for text in seen.console if text.startswith("Benchleaf:")]


def test_says_that_it_starts_and_that_it_is_ready(open_panel: Any, page: Page, wait_for_engine: Any, seen: Any) -> None:
    """A reader is told in words how the calculator stands, and scripts by an attribute."""
    panel = open_panel()
    assert page.get_attribute("html", "data-engine") in {"loading", "ready"}
    wait_for_engine(page, "ready")
    expect(panel.state).to_have_text("Ready.")
    expect(panel.root).to_have_attribute("data-state", "ready")
    assert _warnings(seen) == []


def test_starts_from_the_saved_memory_without_the_library(open_panel: Any, page: Page, wait_for_engine: Any, seen: Any) -> None:
    """The first calculation fetches neither the standard library nor the engine's wheel."""
    open_panel()
    wait_for_engine(page, "ready")
    names = sorted(url.rsplit("/", 1)[-1] for url in seen.requests if "/engine-" in url)
    assert names == ["benchleaf-worker.js", "image.gz", "runtime.js", "wasm.gz"]


# A clock that has moved whenever it is looked at, as on a machine so slow that milliseconds pass between two looks.
SLOW_CLOCK = """
{ const now = performance.now.bind(performance); let looks = 0; performance.now = () => now() + 3 * looks++; }
"""


def test_the_saved_memory_fits_a_machine_whose_clock_runs_away(site: Any, page: Page, wait_for_engine: Any, seen: Any) -> None:
    """What the runtime notes of time while it comes up differs from start to start; the image leaves it as it is found."""
    page.add_init_script(before_worker(SLOW_CLOCK))
    page.goto(f"{site.address}/index.html")
    wait_for_engine(page, "ready")
    assert page.get_attribute("html", "data-engine-start") == "image"
    assert _warnings(seen) == []


def test_fetches_fewer_bytes_than_a_stock_start(site: Any) -> None:
    """Compressed, the first calculation costs less than the stock start's files and the same wheel."""

    def packed(name: str) -> int:
        content = (site.engine / name).read_bytes()
        return len(content) if name.endswith((".gz", ".zip", ".whl")) else len(gzip.compress(content, 9))

    shared = packed("wasm.gz") + packed("runtime.js")
    assert shared + packed("image.gz") + packed("benchleaf-worker.js") < shared + packed("stdlib.zip") + packed("engine.whl")


def test_nothing_is_started_where_nothing_is_calculated(page: Page, site: Any, seen: Any) -> None:
    """A page without a calculation fetches the page's script and no more."""
    page.goto(f"{site.address}/reading.html")
    page.mouse.wheel(0, 500)
    page.wait_for_timeout(2500)  # Longer than the latest moment of a start.
    assert [url.rsplit("/", 1)[-1] for url in seen.requests if url.startswith("http")] == ["reading.html", "benchleaf.js"]
    assert page.get_attribute("html", "data-engine") is None


@pytest.mark.parametrize(
    ("damage", "why"),
    [
        (lambda image: image[: len(image) // 2], ""),
        (lambda image: image[:100_000] + bytes(2000) + image[102_000:], ""),
        (lambda image: gzip.compress(gzip.decompress(image)[:8] + b"{" + gzip.decompress(image)[9:]), "is damaged or belongs"),
        (lambda _image: b"no image at all", "is damaged or belongs to another edition"),
    ],
    ids=["cut short", "zeros inside", "changed", "another file"],
)
def test_a_damaged_image_is_not_used(
    copy_of_site: Any, page: Page, wait_for_engine: Any, seen: Any, damage: Callable[[bytes], bytes], why: str
) -> None:
    """The stock start serves instead, and says so in the console."""
    image = copy_of_site.engine / "image.gz"
    image.write_bytes(damage(image.read_bytes()))
    page.goto(f"{copy_of_site.address}/index.html")
    wait_for_engine(page, "ready")
    (warning,) = _warnings(seen)
    assert warning.startswith("Benchleaf: the saved memory could not be used (")
    assert why in warning
    assert warning.endswith(SLOW)
    assert any(url.endswith("stdlib.zip") for url in seen.requests)


def test_both_starts_give_the_same_answer(copy_of_site: Any, site: Any, page: Page, seen: Any) -> None:
    """An engine started from its memory and one started from its files answer alike, to the letter."""
    (copy_of_site.engine / "image.gz").unlink()
    replies = []
    for address in (site.address, copy_of_site.address):
        page.goto(f"{address}/index.html")
        for index, value in enumerate(("1.34", "1.36", "1.33", "1.35")):
            page.locator(f'[name="lifts.{index}"]').fill(value)
        result = page.locator("[data-bench=result][data-reply]")
        expect(result).to_be_visible()
        replies.append((result.get_attribute("data-reply"), result.inner_html()))
    assert replies[0] == replies[1]
    assert len(_warnings(seen)) == 1


def test_a_worker_that_says_nothing_is_given_up(site: Any, page: Page, wait_for_engine: Any, seen: Any) -> None:
    """A runtime can hang without failing: after a silence it is started again, and then the reader is told."""
    page.add_init_script(before_worker("", instead=True))
    page.goto(f"{site.address}/impatient.html")
    wait_for_engine(page, "failed")
    state = page.locator("[data-bench=state]")
    expect(state).to_have_text(
        "The calculator could not start: it did not respond. "
        "Try again; if it still does not respond, use another browser or work it out by the formulas."
    )
    assert _warnings(seen) == ["Benchleaf: the engine did not respond. It is being started again, the slow way."]


def test_a_failed_start_can_be_tried_again(page: Page, site: Any, wait_for_engine: Any, seen: Any) -> None:
    """After a failure one press starts the engine anew, and readings typed meanwhile are answered."""
    page.route("**/wasm.gz", lambda route: route.abort())
    page.goto(f"{site.address}/index.html")
    wait_for_engine(page, "failed")
    for index, value in enumerate(("1.50", "1.52", "1.49", "1.51")):
        page.locator(f'[name="lifts.{index}"]').fill(value)
    page.unroute("**/wasm.gz")
    page.locator("[data-bench=retry]").click()
    expect(page.locator('[data-bench=result][data-verdict="high"]')).to_be_visible()
    expect(page.locator("[data-bench=retry]")).to_have_count(0)
    assert page.get_attribute("html", "data-engine") == "ready"
    assert seen.errors == []


def test_a_missing_file_is_named(copy_of_site: Any, page: Page, wait_for_engine: Any, seen: Any) -> None:
    """When the program itself is missing, no start can help: the reader is told what and what to do."""
    (copy_of_site.engine / "wasm.gz").unlink()
    page.goto(f"{copy_of_site.address}/index.html")
    wait_for_engine(page, "failed")
    expect(page.locator("[data-bench=state]")).to_have_text(
        "The calculator could not start: the file “wasm.gz” could not be read. "
        "Reload the page; if it fails again, ask whoever maintains this manual to build it again."
    )
    expect(page.locator("bench-calc")).to_have_attribute("data-state", "failed")
    assert page.locator("[data-bench=result]").get_attribute("data-example") == "true"
    assert seen.errors == []


def test_a_server_that_inflates_on_the_way_does_no_harm(site: Any, page: Page, wait_for_engine: Any, seen: Any) -> None:
    """Some servers send a .gz file as compressed content; the parts are then already inflated when they arrive."""

    def inflating(route: Any) -> None:
        name = route.request.url.rsplit("/", 1)[-1]
        route.fulfill(body=gzip.decompress((site.engine / name).read_bytes()), content_type="application/octet-stream")

    page.route("**/*.gz", inflating)
    page.goto(f"{site.address}/index.html")
    wait_for_engine(page, "ready")
    assert _warnings(seen) == []


def test_a_refused_worker_is_done_without(page: Page, site: Any, seen: Any) -> None:
    """Where no worker can be made the page computes on its own thread."""
    page.add_init_script("delete window.Worker")
    page.goto(f"{site.address}/index.html")
    for index, value in enumerate(("1.50", "1.52", "1.49", "1.51")):
        page.locator(f'[name="lifts.{index}"]').fill(value)
    expect(page.locator('[data-bench=result][data-verdict="high"]')).to_be_visible()
    assert _warnings(seen) == []


# Tells of each thing that the worker does of its own accord, in a message that is none of the protocol's.
TOLD = """
{ const native = self.setTimeout; let count = 0;
  self.setTimeout = (task, ...more) => native(() => { task(); self.postMessage({ tasks: ++count }); }, ...more); }
"""
# Notes what page and worker say to each other.
OVERHEARD = """
window.heard = { asked: [], tasks: 0, tasksWhenAnswered: null };
const Native = window.Worker;
window.Worker = class extends Native {
  constructor(url) {
    super(url);
    this.addEventListener("message", ({ data }) => {
      if (data.tasks) heard.tasks = data.tasks;
      if (data.kind === "result") heard.tasksWhenAnswered ??= heard.tasks;
    });
  }
  postMessage(message, ...more) {
    if (["warm-up", "run"].includes(message.kind)) heard.asked.push(message);
    super.postMessage(message, ...more);
  }
};
"""


def _overheard(page: Page, site: Any, name: str) -> None:
    page.add_init_script(before_worker(TOLD))
    page.add_init_script(OVERHEARD)
    page.goto(f"{site.address}/{name}.html")


def test_the_engine_warms_up_on_what_the_page_calculates(page: Page, site: Any, wait_for_engine: Any, seen: Any) -> None:
    """A runtime that has just started is slow: it works on the page's own calculations, and then rests."""
    _overheard(page, site, "packs")
    wait_for_engine(page, "ready")
    page.wait_for_timeout(2000)
    asked = page.evaluate("heard.asked.map(({ kind, calculations }) => [kind, calculations])")
    assert asked == [["warm-up", ["pack-clearance", "convert"]]]
    done = page.evaluate("heard.tasks")
    assert done > 2
    page.wait_for_timeout(500)
    assert page.evaluate("heard.tasks") == done
    assert _warnings(seen) == []


def test_a_reader_does_not_wait_for_the_warm_up(page: Page, site: Any, wait_for_engine: Any, seen: Any) -> None:
    """What is asked in the moment in which the engine is ready comes before most of it."""
    held: list[Any] = []
    page.route("**/image.gz", lambda route: held.append(route))  # noqa: PLW0108 - Playwright marks what it is given
    _overheard(page, site, "index")
    for index, value in enumerate(("1.50", "1.52", "1.49", "1.51")):
        page.locator(f'[name="lifts.{index}"]').fill(value)
    page.locator("button[data-bench=work]").click()
    expect(page.locator("[data-bench=state]")).to_contain_text("Your readings will be worked out as soon as it is ready.")
    while not held:
        page.wait_for_timeout(20)
    held[0].continue_()
    wait_for_engine(page, "ready")
    expect(page.locator('[data-bench=result][data-verdict="high"]')).to_be_visible()
    assert page.evaluate("heard.tasksWhenAnswered") <= 2
    assert _warnings(seen) == []


def test_the_pages_own_thread_does_not_warm_up(page: Page, site: Any, wait_for_engine: Any, seen: Any) -> None:
    """There it would stand in the way of typing."""
    page.add_init_script(
        """delete window.Worker; window.kinds = []; let serve;
        Object.defineProperty(window, "benchleafServe", {
          get: () => serve && ((post) => { const receive = serve(post); return (message) => { kinds.push(message.kind); receive(message); }; }),
          set: (given) => { serve = given; } });"""
    )
    page.goto(f"{site.address}/index.html")
    wait_for_engine(page, "ready")
    page.wait_for_timeout(500)
    assert set(page.evaluate("kinds")) == {"start", "piece", "end"}
    assert _warnings(seen) == []


def test_machine_code_that_is_forbidden_is_said(page: Page, site: Any, wait_for_engine: Any, seen: Any) -> None:
    """A policy without leave for WebAssembly makes the stock runtime hang; here it is told at once."""

    def forbidding(route: Any) -> None:
        policy = "default-src 'none'; script-src 'self'; worker-src 'self'; connect-src 'self'"
        response = route.fetch()
        route.fulfill(response=response, headers={**response.headers, "content-security-policy": policy})

    page.route("**/*", forbidding)
    page.goto(f"{site.address}/index.html")
    wait_for_engine(page, "failed")
    expect(page.locator("[data-bench=state]")).to_have_text(
        "The calculator could not start: the browser, or a rule of the server, does not let the calculator's machine code run. "
        "Try another browser, or ask whoever serves this manual to allow 'wasm-unsafe-eval'."
    )
    assert len(seen.requests) > 0
