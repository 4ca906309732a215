"""Several devices with one shared folder: whatever is cut off and when, in the end each has every entry, none twice."""

from __future__ import annotations

import json
import random
import re
import shutil
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from build_hooks.bundle import BrowserFiles
from build_hooks.site.serve import make_server

pytestmark = pytest.mark.browser

PATIENCE: Final = 90_000
MANUAL: Final = "Quay Lane"
_PAGE: Final = (
    '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Jobs</title><link rel="icon" href="data:,"></head><body><h1>Jobs</h1>'
    f'<bench-job-bar data-manual="{MANUAL}" data-manual-root="./" data-edition="2026-11-25" data-jobs="./" data-units="[]" data-people="[]"'
    ' data-folder="shared-jobs/"></bench-job-bar><bench-jobs></bench-jobs><script src="assets/benchleaf/benchleaf.js"></script></body></html>'
)
_JOBS: Final = 'customElements.get("bench-jobs").jobs'
_NOTE: Final = f'(text) => {_JOBS}.note("notes", {{ text, about: "" }})'
_STANDING: Final = f"(({{ current, standing, records }}) => JSON.stringify({{ current, state: standing?.state, trouble: records.trouble }}))({_JOBS})"
_ENTRIES: Final = f"async (job) => (await {_JOBS}.entriesOf(job)).map(({{ value }}) => value.id)"


@dataclass
class Bench:
    """The folder, and the address of a page that uses it."""

    folder: Path
    address: str

    @property
    def site(self) -> Path:
        """Where the page is."""
        return self.folder.parent / "site"


@dataclass
class Device:
    """A browser of its own on the page of the jobs."""

    context: BrowserContext
    page: Page

    def look(self) -> None:
        """Looks at the folder now."""
        self.page.locator("[data-bench=shared-look]").click()

    def expect_state(self, state: str) -> None:
        """Waits until the page says how the folder stands."""
        expect(self.page.locator(f"[data-bench=shared][data-state={state}]")).to_be_visible(timeout=PATIENCE)

    def said(self) -> str:
        """What the page says of the folder."""
        return self.page.locator("[data-bench=shared-said]").inner_text()

    def settle(self) -> None:
        """Looks until all that is here is there too."""
        self.look()
        expect(self.page.locator("[data-bench=shared][data-state=current][data-waiting='0']")).to_be_visible(timeout=PATIENCE)

    def open_job(self, number: str) -> str:
        """Opens a job; gives its key."""
        return str(self.page.evaluate(f"(number) => {_JOBS}.open({{ number }})", number))

    def choose(self, job: str) -> None:
        """Works on a job that is here."""
        self.page.evaluate(f"(job) => {_JOBS}.choose(job)", job)

    def note(self, text: str) -> None:
        """Adds an entry."""
        assert self.page.evaluate(_NOTE, text) is True, f"“{text}” was not taken: {self.page.evaluate(_STANDING)}"

    def entries(self, job: str) -> list[str]:
        """The keys of all that this device has of a job."""
        return sorted(self.page.evaluate(_ENTRIES, job))


def write_page(site: Path, built: Path) -> None:
    """The page of the jobs and its scripts."""
    (site / "assets").mkdir(parents=True)
    shutil.copytree(built / "assets" / "benchleaf", site / "assets" / "benchleaf")
    (site / "index.html").write_text(_PAGE, encoding="utf-8")


@pytest.fixture
def bench(site_folder: tuple[Path, BrowserFiles], tmp_path: Path) -> Iterator[Bench]:
    """Served by our own server."""
    site, folder = tmp_path / "site", tmp_path / "jobs"
    write_page(site, site_folder[0])
    folder.mkdir()
    server = make_server(site, 0, quiet=True, jobs=folder)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield Bench(folder, f"http://localhost:{server.port}/")
    server.shutdown()
    thread.join()


@pytest.fixture
def one(browser: Browser) -> Iterator[Device]:
    """A device that has not opened the page yet."""
    context = browser.new_context()
    yield Device(context, context.new_page())
    context.close()


@pytest.fixture
def devices(browser: Browser, bench: Bench) -> Iterator[list[Device]]:
    """Three of them."""
    made = []
    for _ in range(3):
        context = browser.new_context()
        page = context.new_page()
        page.goto(bench.address)
        made.append(Device(context, page))
        made[-1].expect_state("current")
    yield made
    for device in made:
        device.context.close()


def file_of(bench: Bench, job: str) -> list[str]:
    """The keys of the entries in a job's file; each once, or this fails."""
    found: dict[str, Any] = json.loads((bench.folder / f"{job}.json").read_text(encoding="utf-8"))
    keys = [entry["id"] for entries in found.values() if isinstance(entries, list) for entry in entries]
    assert len(keys) == len(set(keys))
    return sorted(keys)


def test_three_devices_that_are_cut_off_at_random_come_to_the_same_job(bench: Bench, devices: list[Device]) -> None:
    """Each adds to it all the time, with the network and without; two write at the same moment often enough."""
    job = devices[0].open_job("4711")
    devices[0].settle()
    for device in devices[1:]:
        device.settle()
        device.choose(job)
    draw = random.Random(7)
    offline = [False] * 3
    for number in range(24):
        index = draw.randrange(3)
        if draw.random() < 0.3:
            offline[index] = not offline[index]
            devices[index].context.set_offline(offline[index])
        devices[index].note(f"entry {number}")
        if draw.random() < 0.5:
            for device in devices:
                device.look()
    for device in devices:
        device.context.set_offline(False)
    for device in [*devices, *devices]:
        device.settle()
    held = devices[0].entries(job)
    assert len(held) == 24 + 2
    assert [device.entries(job) for device in devices] == [held] * 3
    assert file_of(bench, job) == held


def test_what_is_made_without_the_network_is_said_and_comes_later(bench: Bench, devices: list[Device]) -> None:
    """How many entries wait, since when; and that all is well again."""
    device = devices[0]
    job = device.open_job("4711")
    device.settle()
    device.context.set_offline(True)
    device.note("unplugged")
    device.look()
    device.expect_state("unreachable")
    expect(device.page.locator("[data-bench=shared-said]")).to_contain_text("1 entry not yet there.")
    assert device.said()[:37] == "Shared folder: not reachable since " + device.said()[35:37]
    device.context.set_offline(False)
    device.settle()
    assert device.said() == "Shared folder: up to date."
    assert file_of(bench, job) == device.entries(job)


def test_a_damaged_or_foreign_file_is_set_aside_and_stays_as_it_is(bench: Bench, devices: list[Device]) -> None:
    """By its name, with the reason; other jobs go on, also the one whose file it took the place of."""
    device = devices[0]
    job = device.open_job("4711")
    device.settle()
    (bench.folder / f"{job}.json").write_text("{", encoding="utf-8")
    (bench.folder / "ffffffffffffffff.json").write_text('{"format": "something"}', encoding="utf-8")
    device.note("after the damage")
    device.look()
    expect(device.page.locator("[data-bench=shared-more] li")).to_have_count(2, timeout=PATIENCE)
    assert sorted(device.page.locator("[data-bench=shared-more] li").all_inner_texts()) == sorted([
        f"Set aside: {job}.json. This file is damaged or is not a file of saved jobs. It stays there as it is, and nothing is written over it.",
        "Set aside: ffffffffffffffff.json. This is not a file of saved jobs. It stays there as it is, and nothing is written over it.",
    ])  # fmt: skip
    assert (bench.folder / f"{job}.json").read_text(encoding="utf-8") == "{"
    (bench.folder / f"{job}.json").unlink()
    device.settle()
    assert file_of(bench, job) == device.entries(job)


def test_a_job_deleted_on_one_device_stays_in_the_folder(bench: Bench, devices: list[Device]) -> None:
    """It does not come back by itself; the reader can bring it back."""
    device = devices[0]
    job = device.open_job("4711")
    device.settle()
    before = device.entries(job)
    device.page.evaluate(f"(job) => {_JOBS}.remove(job)", job)
    device.settle()
    assert device.entries(job) == []
    device.page.locator("[data-bench=shared-bring-back]").click()
    expect(device.page.locator(f"[data-bench=jobs] [data-job='{job}']")).to_be_visible(timeout=PATIENCE)
    assert device.entries(job) == before == file_of(bench, job)


def test_an_entry_that_was_lost_in_the_folder_is_put_back(bench: Bench, devices: list[Device]) -> None:
    """Another program has put an old file there: the next look makes it good, without anybody's doing."""
    device = devices[0]
    job = device.open_job("4711")
    device.settle()
    old = (bench.folder / f"{job}.json").read_bytes()
    device.note("lost later")
    device.settle()
    (bench.folder / f"{job}.json").write_bytes(old)
    deadline = time.monotonic() + PATIENCE / 1000
    while file_of(bench, job) != device.entries(job):
        assert time.monotonic() < deadline
        device.look()
        device.page.wait_for_timeout(200)


def silence(device: Device) -> list[Route]:
    """Leaves the first request for the list without an answer; it is in what this returns, once it was made."""
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    device.page.route("**/shared-jobs/", hold, times=1)
    return held


def test_the_list_is_waited_for_while_the_browser_asks_for_the_password(bench: Bench, one: Device) -> None:
    """The browser's question is part of the request: ending that would take away what is being typed."""
    ended: list[str] = []
    held = silence(one)
    one.page.on("requestfailed", lambda request: ended.append(request.url))
    one.page.clock.install()
    one.page.goto(bench.address)
    while not held:
        one.page.wait_for_timeout(50)
    one.page.clock.fast_forward(31_000)
    one.expect_state("unanswered")
    assert re.sub("[0-9]{2}:[0-9]{2}", "TIME", one.said()) == (
        "Shared folder: no answer since TIME. If the browser asks for a name and a password, enter them. "
        "What you enter in the manual is kept here."
    )
    one.page.clock.fast_forward(80_000)
    assert ended == []
    held.pop().continue_()
    one.expect_state("current")


def test_look_now_asks_again_when_no_answer_comes(bench: Bench, one: Device) -> None:
    """A server that has gone silent does not hold the page for the time that a password may take."""
    held = silence(one)
    one.page.clock.install()
    one.page.goto(bench.address)
    while not held:
        one.page.wait_for_timeout(50)
    one.page.clock.fast_forward(31_000)
    one.expect_state("unanswered")
    one.settle()
    assert one.said() == "Shared folder: up to date."


def test_a_password_that_was_not_given_is_asked_for_only_when_the_reader_wants(bench: Bench, one: Device) -> None:
    """Each further page would ask again; a link leads to where it can be entered, and Look now goes on."""
    asked: list[str] = []

    def refuse(route: Route) -> None:
        asked.append(route.request.method)
        route.fulfill(status=401)

    one.page.route("**/shared-jobs/", refuse)
    one.page.goto(bench.address)
    one.expect_state("password")
    assert one.said() == (
        "Shared folder: the server wants a password. Open the folder, enter it there, and come back, whatever the server shows then."
    )
    assert one.page.get_by_role("link", name="Open the folder").get_attribute("href") == f"{bench.address}shared-jobs/"
    one.page.reload()
    one.expect_state("password")
    one.page.wait_for_timeout(1_000)
    assert asked == ["PROPFIND"]
    one.page.unroute("**/shared-jobs/")
    one.settle()


def test_a_server_that_does_not_check_conditions_gets_no_job(bench: Bench, one: Device) -> None:
    """It says that it has written, though the condition could not be met."""
    written: list[str] = []

    def accept(route: Route) -> None:
        if route.request.method != "PUT":
            return route.continue_()
        written.append(route.request.url.rpartition("/")[2])
        return route.fulfill(status=201)

    one.page.route("**/shared-jobs/*", accept)
    one.page.goto(bench.address)
    one.expect_state("current")
    one.open_job("4711")
    one.expect_state("unsafe")
    assert one.said() == (
        "Shared folder: the server writes over files without checking (If-Match). Nothing of this device was written. "
        "Take another server: see “Serving” in the author's guide. 2 entries not yet there."
    )
    assert written == ["0000000000000000.json"]


def test_an_entry_of_another_device_in_the_same_moment_is_put_together_with_ours(bench: Bench, devices: list[Device]) -> None:
    """The file changes after it was listed and before it is written: the server answers 412, and both are kept."""
    first, second = devices[:2]
    job = first.open_job("4711")
    first.settle()
    second.settle()
    second.choose(job)
    answers: list[int] = []

    def overtaken(route: Route) -> None:
        if route.request.method != "PUT" or answers:
            return route.continue_()
        second.note("faster")
        second.settle()
        answer = route.fetch()
        answers.append(answer.status)
        return route.fulfill(response=answer)

    first.page.route("**/shared-jobs/*.json", overtaken)
    first.note("slower")
    first.settle()
    second.settle()
    assert answers == [412]
    held = first.entries(job)
    assert len(held) == 2 + 2
    assert held == second.entries(job) == file_of(bench, job)


def test_a_shop_that_names_no_folder_asks_for_none(bench: Bench, one: Device) -> None:
    """Not one request beyond the page's own files, also with a job open."""
    page = bench.site / "index.html"
    page.write_text(_PAGE.replace(' data-folder="shared-jobs/"', ""), encoding="utf-8")
    asked: list[str] = []
    one.page.on("request", lambda request: asked.append(request.url))
    one.page.clock.install()
    one.page.goto(bench.address)
    one.open_job("4711")
    one.page.clock.fast_forward(60_000)
    expect(one.page.locator("[data-bench=jobs] [data-job]")).to_have_count(1)
    assert one.page.locator("[data-bench=shared]").count() == 0
    assert [url for url in asked if "shared-jobs" in url] == []
    assert asked[0] == bench.address
