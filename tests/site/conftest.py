"""The demo manual, built once and served as a shop would serve it, and a browser to open it with."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from build_hooks.site.build import build_site
from build_hooks.site.serve import make_server

ROOT: Final = Path(__file__).parents[2]
# A start takes a second on an idle machine; a busy one may need many.
PATIENCE: Final = 90_000


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The built demo: that of `make test`, or one of its own. With several test workers the first builds it and the others wait."""
    if built := os.environ.get("BENCHLEAF_BUILT"):
        assert (ROOT / built / "index.html").is_file()
        return ROOT / built
    base = tmp_path_factory.getbasetemp()
    shared = (base if worker_id == "master" else base.parent) / "demo-site"
    lock = shared.with_suffix(".lock")
    try:
        os.close(os.open(lock, os.O_CREAT | os.O_EXCL))
    except FileExistsError:
        deadline = time.monotonic() + 600
        while not (shared / "index.html").is_file():
            assert time.monotonic() < deadline, "the other worker did not build the demo"
            time.sleep(0.5)
        return shared
    assert build_site(ROOT / "mkdocs.yml", shared) == 0
    return shared


@pytest.fixture(scope="session")
def address(site: Path) -> Iterator[str]:
    """The demo, served with its own headers."""
    server = make_server(site, 0, quiet=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://localhost:{server.port}"
    server.shutdown()


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    """A reader with an empty profile."""
    # What a service worker answers is not seen by the check of requests below; it has tests of its own.
    made = chromium.new_context(viewport={"width": 1280, "height": 900}, service_workers="block")
    made.set_default_timeout(PATIENCE)
    yield made
    made.close()


def faults_noted(page: Page, own: tuple[str, ...]) -> list[str]:
    """What goes wrong in a page from now on: scripts that fail, and requests to addresses that begin in none of these ways."""
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
    page.on("request", lambda request: None if request.url.startswith(own) else faults.append(request.url))
    return faults


@pytest.fixture
def page(context: BrowserContext, address: str) -> Iterator[Page]:
    """A page that fails its test when a script fails or another host is asked."""
    opened = context.new_page()
    faults = faults_noted(opened, (address, "data:", "blob:"))
    yield opened
    assert faults == []
