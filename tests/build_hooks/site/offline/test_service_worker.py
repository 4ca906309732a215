"""The served manual, kept by the browser: whole, without a network, and never another edition in the middle of a job."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, expect

from build_hooks.bundle.assets import scripts_from
from build_hooks.reading.addresses import SERVICE_WORKER
from build_hooks.site.offline import write_offline
from build_hooks.site.serve import HEADERS_FILE
from tests.site.conftest import ROOT

from .conftest import CLEARANCE, EDITIONS, LIFTS, PANEL, Reader, Served

pytestmark = pytest.mark.browser

# Every file of a list, as the page gets it now: those that do not come.
NOT_THERE = """
async (paths) => {
  const answers = await Promise.all(paths.map((path) => fetch(path).then((answer) => answer.ok, () => false)));
  return paths.filter((path, index) => !answers[index]);
}
"""
BAR = "[data-bench=edition]"
NOT_KEPT = "Benchleaf: this edition could not be stored for use without the network: {}. The manual works as before."


def listed(folder: Path) -> list[str]:
    """The paths that a service worker keeps."""
    first = (folder / SERVICE_WORKER).read_text(encoding="utf-8").split(";\n", 1)[0]
    return list(json.loads(first.removeprefix("self.benchleafEdition="))["files"])


def test_the_whole_manual_works_with_the_network_cut(whole: Served, reader: Callable[[], Reader]) -> None:
    """After one visit to the start page: every file, the search, a calculation, the wall, and words for what is not there."""
    visitor = reader()
    visitor.open(whole.address)
    visitor.wait_until_kept()
    whole.stop()
    paths = listed(whole.folder)
    assert len(paths) > 100
    assert {path.relative_to(whole.folder).as_posix() for path in whole.folder.rglob("*.html")} <= set(paths)
    assert visitor.page.evaluate(NOT_THERE, paths) == []
    visitor.open(whole.address)
    visitor.finds("front drum set the clearance")
    expect(visitor.page).to_have_url(re.compile(f"{whole.address}{CLEARANCE}"))
    visitor.answers()
    visitor.open(f"{whole.address}wall/alder-4/forward/?screen=bay-1")
    expect(visitor.page.locator("html[data-wall=ready]")).to_be_attached()
    visitor.page.keyboard.press("2")
    expect(visitor.page.locator(".wall-step[data-current] .wall-count")).to_contain_text("2 of")
    visitor.open(f"{whole.address}standards")
    expect(visitor.page).to_have_url(f"{whole.address}standards/")
    answer = visitor.page.goto(f"{whole.address}no-such-page/")
    assert answer
    assert answer.status == 404
    expect(visitor.page.locator("h1")).to_contain_text("404")
    expect(visitor.page.locator("article")).to_contain_text("There is no page at this address.")


# A page that comes to rest only when the test says so.
STILL_LOADING = """
const started = navigator.locks.request;
navigator.locks.request = function (name, options, held) {
  if (options.mode !== "shared") return started.apply(this, arguments);
  return started.call(this, name, options, () => new Promise((done) => { window.comeToRest = done; }));
};
"""


def test_storing_waits_while_a_page_loads(served: Served, reader: Callable[[], Reader]) -> None:
    """Whoever turns from page to page is not held up by it."""
    visitor = reader()
    visitor.page.add_init_script(STILL_LOADING)
    visitor.open(f"{served.address}standards/")
    visitor.until("window.comeToRest && navigator.serviceWorker.getRegistration().then((kept) => kept?.installing !== undefined)")
    visitor.until(f"{EDITIONS}.then((names) => names.length === 1)")
    visitor.page.wait_for_timeout(500)
    stored = f"{EDITIONS}.then(([name]) => caches.open(name)).then((kept) => kept.keys()).then((files) => files.length)"
    assert visitor.page.evaluate(stored) == 0
    visitor.page.evaluate("window.comeToRest()")
    visitor.wait_until_kept()


def test_a_new_edition_waits_until_it_is_wanted(served: Served, reader: Callable[[], Reader]) -> None:
    """It is announced in words; the old one goes on, page after page, and what is typed outlives the change."""
    visitor = reader()
    visitor.open(f"{served.address}{CLEARANCE}")
    visitor.wait_until_kept()
    (old,) = visitor.editions()
    visitor.answers()
    served.change("The second edition")
    visitor.look_for_edition()
    bar = visitor.page.locator(BAR)
    expect(bar).to_contain_text("A new edition is available.")
    expect(visitor.page.locator(f'{PANEL} [name="trials.0.readings.0.lifts.3"]')).to_have_value(LIFTS[3])
    visitor.open(served.address)
    expect(visitor.page.locator("h1")).not_to_contain_text("The second edition")
    visitor.open(f"{served.address}{CLEARANCE}")
    expect(visitor.page.locator(f'{PANEL} [name="trials.0.readings.0.lifts.3"]')).to_have_value(LIFTS[3])
    with visitor.page.expect_navigation():
        bar.get_by_role("button", name="Load it").click()
    for index, reading in enumerate(LIFTS):
        expect(visitor.page.locator(f'{PANEL} [name="trials.0.readings.0.lifts.{index}"]')).to_have_value(reading)
    expect(visitor.page.locator(f'{PANEL} [data-bench=result][data-verdict="measure"]:not([data-example])')).to_be_visible()
    expect(bar).to_have_count(0)
    visitor.open(served.address)
    expect(visitor.page.locator("h1")).to_contain_text("The second edition")
    visitor.until("caches.keys().then((names) => names.length === 2)")
    assert old not in visitor.editions()
    assert visitor.warnings() == []


def test_later_means_later(served: Served, reader: Callable[[], Reader]) -> None:
    """Whoever is busy sends the bar away; the next page has it again."""
    visitor = reader()
    visitor.open(served.address)
    visitor.wait_until_kept()
    served.change("The second edition")
    visitor.look_for_edition()
    visitor.page.get_by_role("button", name="Later").click()
    expect(visitor.page.locator(BAR)).to_have_count(0)
    visitor.open(f"{served.address}standards/")
    expect(visitor.page.locator(BAR)).to_contain_text("A new edition is available.")


def test_a_page_that_is_open_stays_with_its_edition(served: Served, reader: Callable[[], Reader]) -> None:
    """Another page of the same browser loads the new one: the first is asked too, and gets no part of the new one till then."""
    first, second = reader(), reader()
    first.open(f"{served.address}{CLEARANCE}")
    first.wait_until_kept()
    (old,) = first.editions()
    second.open(served.address)
    (served.folder / "assets/benchleaf/mark.js").write_text("2", encoding="utf-8")
    served.change("The second edition")
    second.look_for_edition()
    with second.page.expect_navigation():
        second.page.get_by_role("button", name="Load it").click()
    expect(second.page.locator("h1")).to_contain_text("The second edition")
    expect(first.page.locator(BAR)).to_contain_text("A new edition is available.")
    served.stop()
    start = "fetch('{}').then((answer) => answer.text()).then((text) => text.includes('The second edition'))"
    assert not first.page.evaluate(start.format(served.address))
    assert second.page.evaluate(start.format(served.address))
    first.answers()
    assert old in second.editions()
    first.page.close()
    second.open(f"{served.address}standards/")
    second.until("caches.keys().then((names) => names.length === 2)")
    assert old not in second.editions()


def test_an_edition_that_cannot_be_fetched_whole_is_never_served(served: Served, reader: Callable[[], Reader]) -> None:
    """A file is missing on the server: the old edition stays, nothing of the new is left, and one line says so."""
    visitor = reader()
    visitor.open(served.address)
    visitor.wait_until_kept()
    before = visitor.editions()
    (served.folder / "standards/new.html").write_text("<html><body>new</body></html>", encoding="utf-8")
    served.change("The second edition")
    (served.folder / "standards/new.html").unlink()
    with visitor.page.expect_console_message(lambda message: message.text.startswith("Benchleaf")):
        visitor.look_for_edition()
    assert visitor.warnings() == [NOT_KEPT.format("“standards/new.html” could not be fetched as this edition has it")]
    visitor.open(served.address)
    expect(visitor.page.locator("h1")).not_to_contain_text("The second edition")
    expect(visitor.page.locator(BAR)).to_have_count(0)
    visitor.until(f"{EDITIONS}.then((names) => names.length === 1)")
    assert visitor.editions() == before
    # When the server has it whole, it is kept after all.
    served.change("The third edition")
    visitor.look_for_edition()
    expect(visitor.page.locator(BAR)).to_contain_text("A new edition is available.")


def test_a_file_that_is_not_as_listed_is_not_kept(served: Served, reader: Callable[[], Reader]) -> None:
    """Something on the way changes a file: the first visit keeps nothing, says so, and works from the network."""
    page = served.folder / "standards/seals/index.html"
    page.write_text(page.read_text(encoding="utf-8") + "<!-- changed -->", encoding="utf-8")
    visitor = reader()
    with visitor.page.expect_console_message(lambda message: message.text.startswith("Benchleaf")):
        visitor.open(f"{served.address}{CLEARANCE}")
    assert visitor.warnings() == [NOT_KEPT.format("“standards/seals/index.html” could not be fetched as this edition has it")]
    visitor.answers()
    # The next page tries again, and its attempt lies in the store until it has failed too.
    with visitor.page.expect_console_message(lambda message: message.text.startswith("Benchleaf")):
        visitor.open(f"{served.address}standards/seals/")
    assert visitor.page.evaluate("navigator.serviceWorker.controller === null")
    assert visitor.editions() == []


def test_without_room_the_manual_works_from_the_network(
    served: Served, reader: Callable[[], Reader], context: BrowserContext
) -> None:
    """The store is full: one line says so, the calculation answers, and the next page does not fetch it all again."""
    visitor = reader()
    quota(context, visitor, served, 1_000_000)
    with visitor.page.expect_console_message(lambda message: message.text.startswith("Benchleaf")):
        visitor.open(f"{served.address}{CLEARANCE}")
    assert visitor.warnings() == [NOT_KEPT.format("there is no room for it in this browser's store")]
    visitor.answers()
    visitor.until(f"{EDITIONS}.then((names) => names.length === 0)")
    visitor.said.clear()
    fetched: list[str] = []
    context.on("request", lambda request: fetched.append(request.url) if request.service_worker else None)
    with visitor.page.expect_console_message(lambda message: message.text.startswith("Benchleaf")):
        visitor.open(served.address)
    assert visitor.warnings() == [NOT_KEPT.format("there was no room for it less than an hour ago")]
    assert fetched == []


def test_without_room_beside_the_old_edition_the_reader_may_let_it_go(
    served: Served, reader: Callable[[], Reader], context: BrowserContext
) -> None:
    """No one is kept on an old edition for want of room: the bar says why, and loading it begins anew."""
    visitor = reader()
    visitor.open(served.address)
    visitor.wait_until_kept()
    used = visitor.page.evaluate("navigator.storage.estimate().then((room) => room.usage)")
    quota(context, visitor, served, used + 1_000_000)
    served.change("The second edition")
    visitor.look_for_edition()
    expect(visitor.page.locator(BAR)).to_contain_text("There is no room to store it beside the old one.")
    expect(visitor.page.locator("h1")).not_to_contain_text("The second edition")
    with visitor.page.expect_navigation():
        visitor.page.get_by_role("button", name="Load it").click()
    expect(visitor.page.locator("h1")).to_contain_text("The second edition")
    visitor.wait_until_kept()
    served.stop()
    visitor.open(served.address)
    expect(visitor.page.locator("h1")).to_contain_text("The second edition")


def quota(context: BrowserContext, visitor: Reader, served: Served, size: int) -> None:
    """Gives the site so much room, in bytes."""
    context.new_cdp_session(visitor.page).send(
        "Storage.overrideQuotaForOrigin", {"origin": served.address.rstrip("/"), "quotaSize": size}
    )


def test_a_browser_that_refuses_works_from_the_network(served: Served, reader: Callable[[], Reader]) -> None:
    """A server's policy forbids the service worker: one line says so, and the calculation answers."""
    stored = served.folder / HEADERS_FILE
    stored.write_text(stored.read_text(encoding="utf-8").replace("worker-src 'self' blob:", "worker-src blob:"), encoding="utf-8")
    served.stop()
    served.start()
    visitor = reader()
    with visitor.page.expect_console_message(lambda message: message.text.startswith("Benchleaf")):
        visitor.open(f"{served.address}{CLEARANCE}")
    (warning,) = visitor.warnings()
    assert re.fullmatch(NOT_KEPT.format(".*"), warning)
    visitor.answers()


def test_two_manuals_on_one_host_do_not_mix(
    short_site: Path, serve: Callable[[Path], Served], reader: Callable[[], Reader], tmp_path: Path
) -> None:
    """Each keeps its own, and a new edition of one leaves the other alone."""
    for name in ("north", "south"):
        shutil.copytree(short_site, tmp_path / "host" / name)
    (tmp_path / "host" / "index.html").write_text("<p>two manuals</p>", encoding="utf-8")
    served = serve(tmp_path / "host")
    north, south = reader(), reader()
    for visitor, name in ((north, "north"), (south, "south")):
        visitor.open(f"{served.address}{name}/")
        visitor.wait_until_kept()
    names = north.editions()
    assert sorted(name.split(":")[1] for name in names) == ["/north/", "/south/"]
    Served(tmp_path / "host" / "south").change("The second edition")
    south.look_for_edition()
    with south.page.expect_navigation():
        south.page.get_by_role("button", name="Load it").click()
    expect(south.page.locator("h1")).to_contain_text("The second edition")
    south.until("caches.keys().then((names) => names.length === 4)")
    assert len(set(names) & set(south.editions())) == 1
    served.stop()
    north.open(f"{served.address}north/{CLEARANCE}")
    north.answers()
    expect(north.page.locator(BAR)).to_have_count(0)


def test_the_wall_says_it_in_its_lists_only(served: Served, reader: Callable[[], Reader]) -> None:
    """A stack that is being worked at is left alone; the list has an entry that the remote's keys reach."""
    visitor = reader()
    visitor.open(f"{served.address}wall/alder-4/forward/")
    visitor.wait_until_kept()
    served.change("The second edition")
    visitor.look_for_edition()
    visitor.until("navigator.serviceWorker.getRegistration().then((kept) => kept.waiting !== null)")
    visitor.page.keyboard.press("ArrowRight")
    expect(visitor.page.locator(BAR)).to_have_count(0)
    visitor.page.keyboard.press("Escape")
    entry = visitor.page.locator(f"li{BAR} a")
    expect(entry).to_contain_text("A new edition is available.")
    expect(visitor.page.locator("ol.wall-menu a").first).to_be_focused()
    visitor.page.keyboard.press("PageUp")
    expect(entry).to_be_focused()
    with visitor.page.expect_navigation():
        visitor.page.keyboard.press("Enter")
    expect(visitor.page.locator(BAR)).to_have_count(0)
    visitor.open(served.address)
    expect(visitor.page.locator("h1")).to_contain_text("The second edition")


def test_writing_it_twice_changes_nothing(served: Served) -> None:
    """The same site has the same edition, whoever builds it and how often."""
    before = {path: path.read_bytes() for path in served.folder.rglob("*") if path.is_file()}
    write_offline(served.folder, scripts_from(ROOT / "node_modules"))
    assert {path: path.read_bytes() for path in served.folder.rglob("*") if path.is_file()} == before
