"""Three browsers with one shared folder, cut off and joined again at random: in the end each has every entry, none twice. Loopback only."""

from __future__ import annotations

import random
import tempfile
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from playwright.sync_api import Browser, sync_playwright

from build_hooks.bundle import build_browser_files
from build_hooks.site.serve import make_server
from tests.attack.table import Row, cases
from tests.browser.test_shared_folder import Bench, Device, file_of, write_page
from tests.chromium import FLAGS, chromium_program

_ROOT: Final = Path(__file__).parents[2]
_ENTRIES: Final = 30


def run(share: float) -> Iterator[Row]:
    """One server and folder for all rounds; each round has a job of its own, and three new browsers."""
    with tempfile.TemporaryDirectory() as name:
        top = Path(name)
        (top / "built" / "assets" / "benchleaf").mkdir(parents=True)
        build_browser_files(top / "built" / "assets" / "benchleaf", _ROOT / "node_modules", _ROOT / ".cache" / "benchleaf", print)
        write_page(top / "site", top / "built")
        (top / "jobs").mkdir()
        server = make_server(top / "site", 0, quiet=True, jobs=top / "jobs")
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            with sync_playwright() as playwright:
                browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
                yield _rounds(browser, Bench(top / "jobs", f"http://localhost:{server.port}/"), cases(100, share))
        finally:
            server.shutdown()
            thread.join()


def _rounds(browser: Browser, bench: Bench, count: int) -> Row:
    row = Row(f"{_ENTRIES} entries of one job by three browsers that are cut off at random")
    for seed in range(count):
        devices = []
        for _ in range(3):
            context = browser.new_context()
            devices.append(Device(context, context.new_page()))
            devices[-1].page.goto(bench.address)
        try:
            row.tried(_failure(bench, devices, random.Random(seed)))
        except AssertionError as failure:  # One round that ends early hides none of the others.
            row.tried(f"seed {seed}: {failure}")
        for device in devices:
            device.context.close()
    return row


def _failure(bench: Bench, devices: list[Device], draw: random.Random) -> str | None:
    """What was lost or doubled in one round."""
    job = devices[0].open_job("4711")
    devices[0].settle()
    for device in devices[1:]:
        device.settle()
        device.choose(job)
    offline = [False] * len(devices)
    for number in range(_ENTRIES):
        index = draw.randrange(len(devices))
        if draw.random() < 0.3:
            offline[index] = not offline[index]
            devices[index].context.set_offline(offline[index])
        devices[index].note(f"entry {number}")
        if draw.random() < 0.2 and not offline[index]:
            devices[index].page.reload()
        if draw.random() < 0.5:
            for device in devices:
                device.look()
    for device in devices:
        device.context.set_offline(offline=False)
    for device in [*devices, *devices]:
        device.settle()
    held = [device.entries(job) for device in devices]
    whole = all(len(one) == _ENTRIES + 2 for one in held) and held[0] == held[1] == held[2] == file_of(bench, job)
    return None if whole else f"{job}: {[len(one) for one in held]} entries, {len(file_of(bench, job))} in the folder"
