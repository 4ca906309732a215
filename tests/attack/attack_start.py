"""Attacks on the start of the engine: damaged, missing and stalled files, dead workers, browsers that refuse, slow networks.

Each case opens the built demo in a new profile and reads how it ends. A damaged file may never be used without notice;
an answer must be the right one; and what is said to the reader must name the file, or the true reason, in words.
"""

from __future__ import annotations

import random
import re
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import Browser, Page, Playwright, Route, sync_playwright

from build_hooks.site.serve import make_server
from tests.attack.table import Row, cases
from tests.chromium import FLAGS, chromium_program

__all__ = ["run"]

_ROOT: Final = Path(__file__).parents[2]
_PAGE: Final = "units/alder-4/front-drum-clearance/"
_PANEL: Final = "#calc-alder-4-front-drum"
_LIFTS: Final = ("1.31", "1.36", "1.33", "1.40")
_SCRIPTS: Final = ("runtime.js", "benchleaf-worker.js")
_WITH_IMAGE: Final = (*_SCRIPTS, "wasm.gz", "image.gz")
_WITHOUT_IMAGE: Final = (*_SCRIPTS, "wasm.gz", "stdlib.zip", "engine.whl")
# A name of the domain that is kept for tests (RFC 6761): plain http on another name than localhost is no secure context.
_PLAIN: Final = "shop.test"
_PATIENCE: Final = 90.0
_SILENCE: Final = 20.0
_UNREADABLE: Final = re.compile(r"object Object|Traceback|undefined|null")
_WASM_FORBIDDEN: Final = "does not let the calculator's machine code run"

type Change = Callable[[bytes], bytes]


class _Site:
    """The built demo, served."""

    def __init__(self, port: int) -> None:
        self.port = port
        (self.engine,) = (_ROOT / "site/assets/benchleaf").glob("engine-*")

    def bytes_of(self, name: str) -> bytes:
        return (self.engine / name).read_bytes()

    def address(self, host: str = "localhost") -> str:
        return f"http://{host}:{self.port}/{_PAGE}"


@contextmanager
def _served() -> Iterator[_Site]:
    server = make_server(_ROOT / "site", 0, quiet=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield _Site(server.port)
    server.shutdown()


@contextmanager
def _browser(playwright: Playwright, *flags: str) -> Iterator[Browser]:
    opened = playwright.chromium.launch(
        executable_path=chromium_program(), args=[*FLAGS, f"--host-resolver-rules=MAP {_PLAIN} 127.0.0.1", *flags]
    )
    yield opened
    opened.close()


@contextmanager
def _page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(service_workers="block")
    yield context.new_page()
    context.close()


def _replace(page: Page, name: str, content: bytes) -> None:
    page.route(f"**/engine-*/{name}", lambda route: route.fulfill(body=content, content_type="application/octet-stream"))


def _ended(page: Page, patience: float = _PATIENCE) -> tuple[str, str]:
    """How the start ended, and what the page says of it."""
    page.wait_for_selector("html[data-engine=ready], html[data-engine=failed]", state="attached", timeout=patience * 1000)
    return page.get_attribute("html", "data-engine") or "", page.locator(f"{_PANEL} [data-bench=state]").inner_text()


def _wrong_answer(page: Page) -> str | None:
    for index, value in enumerate(_LIFTS):
        page.locator(f'{_PANEL} [name="trials.0.readings.0.lifts.{index}"]').fill(value)
    result = page.locator(f"{_PANEL} [data-bench=result]:not([data-example])[data-reply]")
    result.wait_for(timeout=_PATIENCE * 1000)
    verdict = result.get_attribute("data-verdict")
    return None if verdict == "measure" else f"verdict “{verdict}”"


def _judged(page: Page, name: str, reasons: tuple[str, ...], patience: float = _PATIENCE) -> str | None:
    """Why the case failed: it ended in a reason that is neither true nor readable, or in a start on a changed file."""
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    try:
        state, words = _ended(page, patience)
    except Exception as silence:  # noqa: BLE001 - whatever it is, it is the finding
        return f"{name}: no end within {patience:g} s ({str(silence).splitlines()[0]})"
    if state == "ready":
        # Only the image can be done without.
        if name == "image.gz" and page.get_attribute("html", "data-engine-start") == "stock":
            return _wrong_answer(page)
        return f"{name}: the change was not noticed"
    if _UNREADABLE.search(words) or not any(reason.format(name) in words for reason in reasons):
        return f"{name}: “{words}”"
    return None


def _flips(browser: Browser, site: _Site, row: Row, names: tuple[str, ...], number: int, host: str) -> Row:
    chance = random.Random(20261128)
    for at in range(number):
        name = names[at % len(names)]
        content = bytearray(site.bytes_of(name))
        where = chance.randrange(len(content))
        content[where] ^= 1 << chance.randrange(8)
        with _page(browser) as page:
            if "image.gz" not in names:
                page.route("**/engine-*/image.gz", lambda route: route.fulfill(status=404))
            _replace(page, name, bytes(content))
            page.goto(site.address(host))
            reasons = ("the file “{}” is damaged or belongs to another edition",)
            failure = _judged(page, name, reasons)
            row.tried(failure and f"{failure} (byte {where})")
    return row


_BROKEN: Final[dict[str, tuple[Callable[[Route, bytes], Any], tuple[str, ...]]]] = {
    "missing": (lambda route, _: route.fulfill(status=404), ("the file “{}” could not be read",)),
    "empty": (lambda route, _: route.fulfill(body=b""), ("the file “{}” is empty", "the file “{}” could not be read")),
    "cut": (lambda route, content: route.fulfill(body=content[: len(content) // 2]), ("the file “{}” is damaged",)),
    "sign-in page": (
        lambda route, _: route.fulfill(body="<!doctype html><title>Sign in</title>", content_type="text/html"),
        ("the server sent a web page instead of the file “{}”",),
    ),
    "stalled": (lambda _route, _: None, ("the file “{}” stopped loading",)),
}


def _answering(answer: Callable[[Route, bytes], Any], content: bytes) -> Callable[[Route], Any]:
    """A handler of one argument: to one that takes more, a second one is handed."""
    return lambda route: answer(route, content)


def _broken(browser: Browser, site: _Site, row: Row, number: int) -> Row:
    every = [(how, name) for name in (*_WITH_IMAGE, "stdlib.zip", "engine.whl") for how in _BROKEN]
    for how, name in every[:: max(1, len(every) // number)][:number]:
        answer, reasons = _BROKEN[how]
        with _page(browser) as page:
            if name not in _WITH_IMAGE:
                page.route("**/engine-*/image.gz", lambda route: route.fulfill(status=404))
            content = site.bytes_of(name)
            page.route(f"**/engine-*/{name}", _answering(answer, content))
            page.goto(site.address())
            failure = _judged(page, name, reasons, _SILENCE + 10 if name != "image.gz" else _PATIENCE)
            row.tried(failure and f"{how}: {failure}")
    return row


def _killed(browser: Browser, site: _Site, row: Row, number: int) -> Row:
    for at in range(number):
        with _page(browser) as page:
            if at % 2:
                page.route("**/engine-*/wasm.gz", lambda _route: None, times=1)
            page.goto(site.address())
            if not at % 2:
                _ended(page)
            while not page.evaluate("navigator.locks.query().then(({ held, pending }) => held.length * pending.length)"):
                page.wait_for_timeout(50)
            page.workers[0].evaluate("setTimeout(() => self.close())")
            page.wait_for_timeout(200)
            row.tried(_wrong_answer(page))
    return row


def _refused(playwright: Playwright, site: _Site, row: Row, number: int) -> Row:
    with _browser(playwright, "--js-flags=--jitless") as browser, _page(browser) as page:
        page.goto(site.address())
        row.tried(_judged(page, "", ("this browser has no WebAssembly",), _SILENCE))
    if number < 2:
        return row

    def without_leave(route: Route) -> None:
        response = route.fetch()
        policy = response.headers["content-security-policy"].replace(" 'wasm-unsafe-eval'", "")
        route.fulfill(response=response, headers={**response.headers, "content-security-policy": policy})

    with _browser(playwright) as browser, _page(browser) as page:
        page.route("**/*", without_leave)
        page.goto(site.address())
        row.tried(_judged(page, "", (_WASM_FORBIDDEN,), _SILENCE))
    return row


def _slow(browser: Browser, site: _Site, row: Row, number: int) -> Row:
    for speed in (50_000, 200_000)[2 - number :]:
        with _page(browser) as page:
            page.goto(site.address().removesuffix(_PAGE))
            session = page.context.new_cdp_session(page)
            session.send("Network.enable")
            limits = {"offline": False, "latency": 200, "downloadThroughput": speed, "uploadThroughput": speed}
            session.send("Network.emulateNetworkConditions", limits)
            page.goto(site.address(), timeout=300_000, wait_until="commit")
            state, words = _ended(page, 600)
            started = page.get_attribute("html", "data-engine-start")
            row.tried(None if (state, started) == ("ready", "image") else f"{speed} B/s: {state} {started} “{words}”")
    return row


def run(share: float) -> Iterator[Row]:
    """Every attack on the start. The site is what `make build` has built."""
    with _served() as site, sync_playwright() as playwright:
        with _browser(playwright) as browser:
            yield _flips(browser, site, Row("flipped bits, localhost"), _WITH_IMAGE, cases(42, share), "localhost")
            yield _flips(browser, site, Row("flipped bits, no image"), _WITHOUT_IMAGE, cases(12, share), "localhost")
            yield _flips(browser, site, Row("flipped bits, plain http"), _WITH_IMAGE, cases(22, share), _PLAIN)
            yield _flips(browser, site, Row("flipped bits, plain http, no image"), _WITHOUT_IMAGE, cases(10, share), _PLAIN)
            yield _broken(browser, site, Row("missing, empty, cut, sign-in page, stalled"), cases(30, share))
            yield _killed(browser, site, Row("worker killed, ready and loading"), cases(2, share))
        yield _refused(playwright, site, Row("no WebAssembly, policy against it"), cases(2, share))
        with _browser(playwright) as browser:
            yield _slow(browser, site, Row("slow network"), cases(2, share))
