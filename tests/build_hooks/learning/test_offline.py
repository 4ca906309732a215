"""Learning without a network: from a folder opened by double-click, and from what the browser keeps of the served manual."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from build_hooks.site.offline import write_folder
from tests.build_hooks.learning.conftest import Learner
from tests.build_hooks.learning.records import records_in
from tests.build_hooks.site.offline.conftest import Reader, Served, kept_site, serve, whole
from tests.site.conftest import PATIENCE

__all__ = ["kept_site", "serve", "whole"]

pytestmark = pytest.mark.browser


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """A page with an empty profile, whose scripts must not fail."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    context.set_default_timeout(PATIENCE)
    expect.set_options(timeout=PATIENCE)
    made = context.new_page()
    faults: list[str] = []
    made.on("pageerror", lambda error: faults.append(str(error)))
    yield made
    context.close()
    assert faults == []


def day_one(learner: Learner) -> None:
    """From the index to the path by its link, a page read, and from the path to its practice, answered and recorded."""
    page = learner.page
    expect(page.locator("[name=new-person]")).to_be_visible()
    learner.be("Wren Ashby")
    page.locator("li[data-path=first-week] a").click()
    item = page.locator("li[data-step=read-start]")
    expect(item.locator("[data-bench=have-read]")).to_be_disabled()
    item.locator(".bench-step-what a").click()
    expect(page.locator("bench-path")).to_have_count(0)
    page.wait_for_load_state()  # Its script notes that it was opened.
    page.go_back()
    item.locator("[data-bench=have-read]").click()
    expect(item).to_have_attribute("data-state", "done")
    page.locator("li[data-step=fault-high] [data-bench=practise]").click()
    learner.asked()
    for name in page.locator("bench-exercise [data-ask]").all():
        name.locator("input").first.check()
    page.locator("[data-bench=mark-it]").click()
    expect(page.locator("bench-exercise [data-bench=state]")).to_contain_text("Recorded for Wren Ashby.")
    kinds = {record["kind"] for record in records_in(page)}
    assert {"person", "step", "attempt"} <= kinds


def test_from_a_folder(kept_site: Path, page: Page, tmp_path: Path) -> None:
    """Links, exercises and the record work with no server and no network; another folder has a record of its own."""
    write_folder(kept_site, tmp_path / "one")
    shutil.copytree(tmp_path / "one", tmp_path / "other")
    page.context.set_offline(True)
    page.goto((tmp_path / "one/learning/index.html").as_uri())
    day_one(Learner(page, ""))
    page.goto((tmp_path / "one/learning/record/index.html").as_uri())
    expect(page.locator("[data-bench=sheet] tr", has_text="Start here")).to_contain_text("done")
    page.goto((tmp_path / "other/learning/record/index.html").as_uri())
    expect(page.locator("[data-bench=matrix]")).to_contain_text("Nobody is in the record yet.")


def test_with_the_network_cut(whole: Served, page: Page) -> None:
    """After one visit to the start page everything of the learning part is there."""
    visitor = Reader(page)
    visitor.open(whole.address)
    visitor.wait_until_kept()
    whole.stop()
    page.goto(f"{whole.address}learning/")
    expect(page).to_have_url(re.compile("/learning/"))
    day_one(Learner(page, whole.address.rstrip("/")))
