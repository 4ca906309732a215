"""Whatever runs in a page is checked, the engine proves itself, and what fails says why."""

from __future__ import annotations

import gzip
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Page, expect

from build_hooks.bundle import build_browser_files

from .conftest import ASSETS, ROOT
from .seams import before_worker

pytestmark = pytest.mark.browser

RELOAD: Final = "Reload the page; if it fails again, ask whoever maintains this manual to build it again."
DAMAGED: Final = "the file “{}” is damaged or belongs to another edition. " + RELOAD
# Plain http has no digest of the browser's own.
NO_DIGEST: Final = "Object.defineProperty(Crypto.prototype, 'subtle', { get: () => undefined });"
LIFTS: Final = ("1.50", "1.52", "1.49", "1.51")


def _type(page: Page, *values: str) -> None:
    for index, value in enumerate(values or LIFTS):
        page.locator(f'[name="lifts.{index}"]').fill(value)


def _flipped(content: bytes) -> bytes:
    changed = bytearray(content)
    changed[len(changed) // 2] ^= 1
    return bytes(changed)


def _login(_content: bytes) -> bytes:
    return b"\n<!DOCTYPE html><html><title>Sign in</title></html>"


def _serve_changed(page: Page, site: Any, name: str, change: Callable[[bytes], bytes]) -> None:
    content = change((site.engine / name).read_bytes())
    page.route(f"**/{name}", lambda route: route.fulfill(body=content, content_type="text/javascript"))


@pytest.mark.parametrize("digest", ["the browser's", "ours"])
@pytest.mark.parametrize("name", ["runtime.js", "benchleaf-worker.js", "wasm.gz"])
def test_a_flipped_bit_is_noticed(page: Page, site: Any, wait_for_engine: Any, seen: Any, name: str, digest: str) -> None:
    """With no digest of the browser's own it is noticed as well, before anything has run."""
    if digest == "ours":
        page.add_init_script(NO_DIGEST)
        page.add_init_script(before_worker(NO_DIGEST))
    _serve_changed(page, site, name, _flipped)
    page.goto(f"{site.address}/index.html")
    wait_for_engine(page, "failed")
    expect(page.locator("[data-bench=state]")).to_have_text(f"The calculator could not start: {DAMAGED.format(name)}")
    assert seen.errors == []


def test_it_starts_with_a_digest_of_our_own(page: Page, site: Any, wait_for_engine: Any, seen: Any) -> None:
    """No false alarm: the same files pass."""
    page.add_init_script(NO_DIGEST)
    page.add_init_script(before_worker(NO_DIGEST))
    page.goto(f"{site.address}/index.html")
    wait_for_engine(page, "ready")
    assert page.get_attribute("html", "data-engine-start") == "image"
    assert seen.console == []


@pytest.mark.parametrize(
    ("name", "change", "why"),
    [
        ("wasm.gz", lambda _: b"", f"the file “wasm.gz” is empty. {RELOAD}"),
        ("wasm.gz", lambda content: content[: len(content) // 2], DAMAGED.format("wasm.gz")),
        ("benchleaf-worker.js", lambda _: b"", f"the file “benchleaf-worker.js” is empty. {RELOAD}"),
        (
            "wasm.gz",
            _login,
            (
                "the server sent a web page instead of the file “wasm.gz”. "
                "A sign-in page of the network may stand in the way: sign in, then reload the page."
            ),
        ),
    ],
    ids=["empty", "cut", "empty script", "sign-in page"],
)
def test_each_damage_is_called_by_its_name(
    page: Page, site: Any, wait_for_engine: Any, name: str, change: Callable[[bytes], bytes], why: str
) -> None:
    """The compiler's complaint of a damaged file is no reason for a reader."""
    _serve_changed(page, site, name, change)
    page.goto(f"{site.address}/index.html")
    wait_for_engine(page, "failed")
    expect(page.locator("[data-bench=state]")).to_have_text(f"The calculator could not start: {why}")


@pytest.mark.parametrize("name", ["wasm.gz", "runtime.js", "benchleaf-worker.js"])
def test_a_file_that_does_not_come_is_named(page: Page, site: Any, wait_for_engine: Any, name: str) -> None:
    """After a silence; the reader is told what to look at."""
    held: list[Any] = []
    page.route(f"**/{name}", lambda route: held.append(route))  # noqa: PLW0108 - Playwright marks what it is given
    page.goto(f"{site.address}/impatient.html")
    wait_for_engine(page, "failed")
    expect(page.locator("[data-bench=state]")).to_have_text(
        f"The calculator could not start: the file “{name}” stopped loading. Check the network, then try again."
    )


def test_a_browser_without_webassembly_is_told_at_once(page: Page, site: Any, wait_for_engine: Any) -> None:
    """The engine needs it; nothing else is wrong."""
    page.add_init_script(before_worker("delete self.WebAssembly;"))
    page.goto(f"{site.address}/index.html")
    wait_for_engine(page, "failed")
    expect(page.locator("[data-bench=state]")).to_have_text(
        "The calculator could not start: this browser has no WebAssembly, or it is switched off, and the calculator needs it. "
        "Use another browser, or ask whoever looks after this one to switch it on."
    )


@pytest.mark.parametrize(
    ("fault", "why"),
    [
        ("{ code: 7 }", "without a reason"),
        (
            "new Error('Traceback (most recent call last):\\n  File\\nImportError: no such thing.\\n')",
            "ImportError: no such thing",
        ),
    ],
    ids=["no error", "traceback"],
)
def test_a_reason_can_be_read(page: Page, site: Any, wait_for_engine: Any, fault: str, why: str) -> None:
    """Neither a traceback nor the name of an object is one."""
    page.add_init_script(before_worker(f"WebAssembly.compileStreaming = () => Promise.reject({fault});"))
    page.goto(f"{site.address}/index.html")
    wait_for_engine(page, "failed")
    expect(page.locator("[data-bench=state]")).to_have_text(
        f"The calculator could not start: its program failed to start ({why}). "
        "Reload the page; if it fails again, use another browser."
    )


@pytest.fixture
def false_site(site: Any, serve: Callable[[Path], str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """A site built with an image that has another word for one verdict; every digest in it is that of its files."""
    image = gzip.decompress((site.engine / "image.gz").read_bytes())
    word = b"Looks too tight"
    assert word in image, "the words of the verdict are no longer in the image as they were"
    monkeypatch.setattr("build_hooks.bundle.make_image", lambda *_: image.replace(word, b"Looks too loose"))
    folder = tmp_path / "false"
    shutil.copytree(site.folder, folder)
    files = build_browser_files(folder / ASSETS, ROOT / "node_modules", tmp_path / "cache", lambda _: None)
    return type(site)(folder, serve(folder), files)


def test_an_engine_that_answers_wrongly_is_stopped(false_site: Any, page: Page, wait_for_engine: Any) -> None:
    """It is asked what is known before it answers a reader; no answer of it is ever shown."""
    page.add_init_script("addEventListener('bench:answer', () => { window.answered = true; }, true);")
    page.goto(f"{false_site.address}/index.html")
    _type(page)
    wait_for_engine(page, "failed")
    expect(page.locator("[data-bench=state]")).to_have_text(
        "The calculator could not start: the calculator gave a wrong answer to a known question (pack-clearance); "
        "the manual's files are damaged. Build or copy it again."
    )
    expect(page.locator("[data-bench=result]")).to_have_text("No answer: the calculator is not running.")
    assert page.evaluate("window.answered") is None


def test_while_an_answer_is_awaited_the_old_one_is_out_of_date(open_panel: Any, page: Page) -> None:
    """On the screen it is marked, its verdict is hidden, and on paper it is not there."""
    panel = open_panel()
    panel.type_lifts(*LIFTS)
    panel.expect_verdict("high")
    page.evaluate("Worker.prototype.postMessage = () => {}")
    panel.entry("lifts.0").fill("0.50")
    expect(panel.state).to_have_text("Working it out…")
    note = panel.result.locator(".bench-obsolete")
    expect(note).to_have_text("No answer yet. The previous one is out of date; a new one is being worked out.")
    expect(panel.result).to_have_attribute("data-verdict", "")
    expect(panel.result).to_have_attribute("data-stale", "waiting")


@pytest.mark.parametrize("when", ["ready", "loading"])
def test_a_worker_that_dies_is_replaced_soon(page: Page, site: Any, wait_for_engine: Any, seen: Any, when: str) -> None:
    """The page hears of it at once and asks the next worker what was not answered."""
    held: list[Any] = []
    if when == "loading":
        page.route("**/wasm.gz", lambda route: held.append(route), times=1)  # noqa: PLW0108 - Playwright marks what it is given
    page.goto(f"{site.address}/index.html")
    if when == "ready":
        wait_for_engine(page, "ready")
    # One holds the lock of its life, the other waits for it.
    while page.evaluate("navigator.locks.query().then(({ held, pending }) => held.length * pending.length)") == 0:
        page.wait_for_timeout(50)
    page.workers[0].evaluate("setTimeout(() => self.close())")
    _type(page)
    expect(page.locator('[data-bench=result][data-verdict="high"]')).to_be_visible()
    assert [text for text in seen.console if text.startswith("Benchleaf")] == [
        "Benchleaf: the browser has ended the engine's worker. It is started again."
    ]
