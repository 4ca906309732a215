"""Firefox ESR and WebKitGTK, each started once and driven by its own driver, and the demo to open in them."""

from __future__ import annotations

import os
import shutil
import subprocess
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import pytest

from build_hooks.site.offline import write_folder
from tests.ports import free_port
from tests.site.conftest import address, site

from .webdriver import PATIENCE, Browser, HttpDriver, MarionetteDriver, connect

__all__ = ["address", "site"]

# Debian's package of each program.
PACKAGES: Final[Mapping[str, str]] = {
    "firefox-esr": "firefox-esr",
    "WebKitWebDriver": "webkit2gtk-driver",
    "Xvfb": "xvfb",
}


def program(name: str) -> str:
    """Where a program lies. Without it a promise cannot be tested, and that is a failure."""
    found = shutil.which(name)
    assert found, f"{name} is needed for these tests: call tools/need-browsers, or apt-get install {PACKAGES[name]}"
    return found


@contextmanager
def running(command: list[str], home: Path, **more: str) -> Iterator[subprocess.Popen[bytes]]:
    """A program with an empty home of its own, ended at the end."""
    folders = dict.fromkeys(("HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME"), str(home))
    environment = {**os.environ, **folders, **more}
    process = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    try:
        yield process
    finally:
        process.terminate()
        process.communicate()


@contextmanager
def firefox(home: Path) -> Iterator[Browser]:
    """Debian's Firefox without a window, over its own socket; it writes the port of that into its profile."""
    profile = home / "profile"
    profile.mkdir()
    (profile / "user.js").write_text('user_pref("marionette.port", 0);\n', encoding="utf-8")
    command = [program("firefox-esr"), "--headless", "--marionette", "--no-remote", "--profile", str(profile)]
    with running(command, home):
        port = port_in(profile / "MarionetteActivePort")
        browser = Browser(connect(lambda: MarionetteDriver(port, {})))
        yield browser
        browser.close()


def port_in(file: Path) -> int:
    """The number in a file that is being written."""
    deadline = time.monotonic() + PATIENCE
    while not (file.is_file() and file.read_text(encoding="ascii").strip()):
        assert time.monotonic() < deadline, "Firefox did not open its socket"
        time.sleep(0.1)
    return int(file.read_text(encoding="ascii"))


@contextmanager
def webkit(home: Path) -> Iterator[Browser]:
    """WebKitGTK's own small browser, by its own driver, on a screen that nobody sees."""
    display = [program("Xvfb"), "-displayfd", "1", "-screen", "0", "1280x900x24", "-nolisten", "tcp"]
    with running(display, home) as screen:
        assert screen.stdout
        number = screen.stdout.readline().decode().strip()
        assert number, "Xvfb did not start"
        port = free_port()
        with running([program("WebKitWebDriver"), f"--port={port}"], home, DISPLAY=f":{number}", LIBGL_ALWAYS_SOFTWARE="1"):
            browser = Browser(connect(lambda: HttpDriver(port, {})))
            yield browser
            browser.close()


@pytest.fixture(scope="session", params=["firefox", "webkit"])
def browser(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """Each browser in turn."""
    start = {"firefox": firefox, "webkit": webkit}[request.param]
    with start(tmp_path_factory.mktemp(request.param)) as made:
        yield made


@pytest.fixture(scope="session")
def folder(site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo as it opens by double-click."""
    target = tmp_path_factory.mktemp("folder") / "manual"
    write_folder(site, target)
    return target


@pytest.fixture(params=["served", "folder"])
def open_page(request: pytest.FixtureRequest, browser: Browser) -> Callable[[str], str]:
    """Opens a page of the demo, by the way of its folder; gives the address at which it lies."""
    if request.param == "served":
        base, page = str(request.getfixturevalue("address")), ""
    else:
        base, page = request.getfixturevalue("folder").as_uri(), "index.html"

    def opened(way: str) -> str:
        browser.open(f"{base}/{way}{page}")
        return str(base)

    return opened
