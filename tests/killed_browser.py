"""A browser that is killed while a page writes, time after time, and what is found when it comes up again."""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, Protocol

from playwright.sync_api import BrowserType, Error, Page, sync_playwright

from build_hooks.site.build import build_site
from build_hooks.site.serve import make_server
from tests.chromium import FLAGS, chromium_program

__all__ = ["PATIENCE", "TELL", "Tally", "Work", "kill_often", "listen", "run_command"]

ROOT: Final = Path(__file__).parents[1]
PATIENCE: Final = 90_000
# A page may crash by itself in the last look as in any round; what was written is then looked at again.
_LAST_LOOKS: Final = 3
_MOST_TIMES: Final = 4
_MARK: Final = "kills "
TELL: Final = """
const tell = (what) => console.debug("kills " + JSON.stringify({ ...what, at: new Date().toISOString() }));
const until = async (is) => { while (!is()) await new Promise((then) => setTimeout(then)); };
let drawn = seed;
const draw = (below) => (drawn = (drawn * 48271) % 2147483647) % below;
"""
"""For a script that works in the page: `tell` reports to `listen`, `until` waits, `draw` gives numbers by chance from `seed`."""


@dataclass
class Tally:
    """What was done and found.

    Attributes:
        kills: how often the browser was ended.
        in_flight: how many of these ends came while something was being written.
        whole: entries that were in the database, whole, though the page had not shown them as done yet.
        shown: entries that the page had shown as done.
        forgot: how often the page no longer knew what it was working on.
        crashed: how often the browser ended a page by itself.
        faults: what was lost or broken, in words.
    """

    kills: int = 0
    in_flight: int = 0
    whole: int = 0
    shown: Counter[str] = field(default_factory=Counter)
    forgot: int = 0
    crashed: int = 0
    faults: list[str] = field(default_factory=list)


class Work(Protocol):
    """What is done in the page, and what must be there afterwards."""

    def arrive(self, page: Page, tally: Tally) -> None:
        """Opens the page in a browser that has just come up."""

    def faults(self, page: Page, tally: Tally) -> Iterator[str]:
        """Holds what is there to what was shown before the browser was killed."""

    def begin(self, page: Page, chance: random.Random) -> int:
        """Begins to work, and goes on until the end; for how many milliseconds that may be put off."""

    def faults_at_end(self, page: Page) -> Iterator[str]:
        """Looks at all of it, when the last round is over."""


def kill_often(browser_type: BrowserType, profile: Path, work: Work, kills: int, seed: int) -> Tally:
    """Works in a browser and kills it, again and again, on one profile.

    Args:
        browser_type: of a started Playwright.
        profile: where the browser keeps its data; empty at the beginning.
        work: what is done, and how it is checked.
        kills: how often the browser is ended, and more often until the page had shown something.
        seed: the same one gives the same choices and the same waits; the machine still decides what is being written just then.
    """
    chance = random.Random(seed)
    tally = Tally()
    # Where the page had shown nothing yet, nothing was tried: on a busy machine that may be so every time.
    while tally.kills < kills or (not tally.shown.total() and tally.kills < _MOST_TIMES * kills):
        with _browser(browser_type, profile) as (page, end):
            with _crashes_counted(tally):
                _look(page, work, tally)
                longest = work.begin(page, chance)
                page.wait_for_timeout(chance.uniform(0, longest))
            end()
            tally.kills += 1
    for _ in range(_LAST_LOOKS):
        with _browser(browser_type, profile) as (page, _), _crashes_counted(tally):
            _look(page, work, tally)
            tally.faults.extend(tuple(work.faults_at_end(page)))
            return tally
    raise AssertionError("the page crashed each time that it was looked at in the end")


@contextlib.contextmanager
def _crashes_counted(tally: Tally) -> Iterator[None]:
    """A page that crashes by itself has come to its end at a moment by chance as well."""
    try:
        yield
    except (Error, AssertionError) as fault:
        if "crashed" not in str(fault):
            raise
        tally.crashed += 1


def _look(page: Page, work: Work, tally: Tally) -> None:
    work.arrive(page, tally)
    if tally.kills:
        known = {fault.partition(": ")[2] for fault in tally.faults}
        found = [fault for fault in work.faults(page, tally) if fault not in known]
        tally.faults.extend(f"kill {tally.kills}: {fault}" for fault in found)


@contextlib.contextmanager
def _browser(browser_type: BrowserType, profile: Path) -> Iterator[tuple[Page, Callable[[], None]]]:
    """A browser of our own, so that its processes can be ended all at once."""
    told = profile / "DevToolsActivePort"
    told.unlink(missing_ok=True)
    command = [
        chromium_program(),
        "--headless=new",
        "--remote-debugging-port=0",
        f"--user-data-dir={profile}",
        *FLAGS,
        "about:blank",
    ]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)

    def end() -> None:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()

    try:
        browser = browser_type.connect_over_cdp(f"http://127.0.0.1:{_port(told)}")
        page = browser.contexts[0].pages[0]
        page.set_default_timeout(PATIENCE)
        yield page, end
        with contextlib.suppress(Exception):  # The connection of a killed browser is gone already.
            browser.close()
    finally:
        end()


def _port(told: Path) -> str:
    """The port that a starting browser writes into its profile."""
    deadline = time.monotonic() + PATIENCE / 1000
    while time.monotonic() < deadline:
        with contextlib.suppress(FileNotFoundError):
            lines = told.read_text(encoding="ascii").splitlines()
            if len(lines) > 1:
                return lines[0]
        time.sleep(0.02)
    raise TimeoutError("the browser did not start")


def listen(page: Page) -> list[dict[str, Any]]:
    """What the scripts of a page tell from now on; the list grows as it is told."""
    events: list[dict[str, Any]] = []

    def hear(text: str) -> None:
        if text.startswith(_MARK):
            events.append(json.loads(text.removeprefix(_MARK)))

    page.on("console", lambda message: hear(message.text))
    return events


def run_command(about: str | None, work_at: Callable[[str], Work], kills: int, words: tuple[str, str]) -> int:
    """The command of a module that kills the browser: builds the demo, serves it, and prints figures.

    Args:
        about: the module's docstring.
        work_at: what is done at an address.
        kills: how often, unless the command says otherwise.
        words: what it means that an end came while something was written, and that the page forgot.

    Returns:
        The status: 1 if anything was lost or broken.
    """
    parser = argparse.ArgumentParser(description=about)
    parser.add_argument("--kills", type=int, default=kills)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--site", type=Path, help="a folder with the built demo, if there is one already")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        site = asked.site or Path(folder, "site")
        if asked.site is None and build_site(ROOT / "mkdocs.yml", site) != 0:
            return 1
        server = make_server(site, 0, quiet=True)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        work = work_at(f"http://localhost:{server.port}")
        tally = kill_often(playwright.chromium, Path(folder, "profile"), work, asked.kills, asked.seed)
        server.shutdown()
    sys.stdout.write(f"{_report(tally, *words)}\n")
    return 1 if tally.faults else 0


def _report(tally: Tally, in_flight: str, forgot: str) -> str:
    lines = [
        f"kills: {tally.kills}, of which {in_flight}: {tally.in_flight}",
        f"entries shown as done: {dict(tally.shown)}",
        f"entries being written that were found whole: {tally.whole}; the rest of those in flight were not there at all",
        f"{forgot}: {tally.forgot}",
        f"pages that crashed by themselves: {tally.crashed}",
        f"lost or half written: {len(tally.faults)}",
        *tally.faults[:20],
    ]
    return "\n".join(lines)
