"""The demo as a browser keeps it: copies of it that may be changed, each with a server that can be stopped."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from build_hooks.bundle.assets import scripts_from
from build_hooks.site.offline import write_offline
from tests.site.conftest import PATIENCE, ROOT, site
from tests.waiting import until

__all__ = ["site"]

CLEARANCE: Final = "units/alder-4/front-drum-clearance/"
PANEL: Final = "#calc-alder-4-front-drum"
LIFTS: Final = ("1.31", "1.36", "1.33", "1.40")
# Our caches, without the note of which page uses which.
EDITIONS: Final = "caches.keys().then((names) => names.filter((name) => !name.endsWith(':pages')))"


@dataclass
class Served:
    """A folder and the server that serves it, in a process of its own: when it is ended, no connection is left."""

    folder: Path
    port: int = 0
    _process: subprocess.Popen[str] | None = field(default=None, repr=False)

    @property
    def address(self) -> str:
        """With a slash at its end."""
        return f"http://localhost:{self.port}/"

    def start(self) -> None:
        """Starts it; again on the same port where it has run before."""
        command = [sys.executable, "-m", "build_hooks", "serve", "--site", str(self.folder), "--port", str(self.port)]
        self._process = subprocess.Popen(
            command,
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
        )
        assert self._process.stdout
        said = self._process.stdout.readline()
        found = re.search(r"http://localhost:(\d+)/", said)
        assert found, said
        self.port = int(found[1])

    def stop(self) -> None:
        """Ends it: from now on there is no network."""
        if self._process:
            self._process.terminate()
            self._process.communicate()
            self._process = None

    def change(self, text: str) -> None:
        """Puts a new edition into the place of the old: its start page says something else."""
        page = self.folder / "index.html"
        page.write_text(
            re.sub(r"<h1[^>]*>.*?</h1>", f'<h1 id="start">{text}</h1>', page.read_text(encoding="utf-8")), encoding="utf-8"
        )
        write_offline(self.folder, scripts_from(ROOT / "node_modules"))


@pytest.fixture(scope="session")
def kept_site(site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with its service worker. Not to be changed."""
    folder = tmp_path_factory.mktemp("kept") / "site"
    shutil.copytree(site, folder)
    write_offline(folder, scripts_from(ROOT / "node_modules"))
    return folder


@pytest.fixture
def serve() -> Iterator[Callable[[Path], Served]]:
    """Serves a folder."""
    servers: list[Served] = []

    def start(folder: Path) -> Served:
        servers.append(Served(folder))
        servers[-1].start()
        return servers[-1]

    yield start
    for server in servers:
        server.stop()


@pytest.fixture(scope="session")
def short_site(kept_site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A manual of a few pages, so that keeping it takes less time. Not to be changed."""
    folder = tmp_path_factory.mktemp("short") / "site"
    unused = shutil.ignore_patterns("lunr", "calculations", "rowan-6", "hazel-2", "a*-check", "f*-soak", "m*-clearance", "[pt]*s")
    shutil.copytree(kept_site, folder, ignore=unused)
    write_offline(folder, scripts_from(ROOT / "node_modules"))
    return folder


@pytest.fixture
def served(short_site: Path, serve: Callable[[Path], Served], tmp_path: Path) -> Served:
    """A copy of it, served."""
    shutil.copytree(short_site, tmp_path / "site")
    return serve(tmp_path / "site")


@pytest.fixture
def whole(kept_site: Path, serve: Callable[[Path], Served], tmp_path: Path) -> Served:
    """A copy of the whole demo, served."""
    shutil.copytree(kept_site, tmp_path / "site")
    return serve(tmp_path / "site")


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    """A reader with an empty profile."""
    made = chromium.new_context(viewport={"width": 1280, "height": 900})
    made.set_default_timeout(PATIENCE)
    expect.set_options(timeout=PATIENCE)
    yield made
    made.close()


@dataclass
class Reader:
    """A page, and what it said."""

    page: Page
    said: list[str] = field(default_factory=list)

    def open(self, address: str) -> None:
        """Goes to an address."""
        self.page.goto(address)

    def wait_until_kept(self) -> None:
        """Waits until the manual is kept and serves this page."""
        self.until("navigator.serviceWorker.controller !== null")

    def until(self, condition: str) -> None:
        """Waits for something in the page."""
        until(self.page, condition, seconds=PATIENCE / 1000)

    def editions(self) -> list[str]:
        """What is in the browser's store."""
        found: list[str] = self.page.evaluate(EDITIONS)
        return found

    def look_for_edition(self) -> None:
        """Asks the server for a new edition, as the browser does by itself at each visit."""
        self.page.evaluate("navigator.serviceWorker.getRegistration().then((kept) => kept.update()).catch(() => {})")

    def answers(self) -> None:
        """Types readings into the forward pack's panel and gets the verdict."""
        for index, reading in enumerate(LIFTS):
            self.page.locator(f'{PANEL} [name="trials.0.readings.0.lifts.{index}"]').fill(reading)
        expect(self.page.locator(f'{PANEL} [data-bench=result][data-verdict="measure"]:not([data-example])')).to_be_visible()

    def finds(self, typed: str) -> None:
        """Types into the search box and opens the best find."""
        self.page.locator("input[role=combobox]").fill(typed)
        expect(self.page.locator("[role=option]").first).to_be_visible()
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")

    def warnings(self) -> list[str]:
        """What our scripts said on the console."""
        return [text for text in self.said if text.startswith("Benchleaf")]


@pytest.fixture
def reader(context: BrowserContext) -> Callable[[], Reader]:
    """Makes pages of one browser."""

    def made() -> Reader:
        reader = Reader(context.new_page())
        reader.page.on("console", lambda message: reader.said.append(message.text))
        return reader

    return made
