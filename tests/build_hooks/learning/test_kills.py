"""The record outlives a browser that is killed while it is written; ``python -m tests.build_hooks.learning.kills`` does it a hundred times."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.build_hooks.learning.conftest import Learner
from tests.build_hooks.learning.kills import Learning
from tests.build_hooks.learning.records import note_all_opened
from tests.killed_browser import kill_often

pytestmark = pytest.mark.browser


def test_nothing_that_was_shown_as_done_is_lost_when_the_browser_is_killed(
    chromium: Browser, address: str, tmp_path: Path
) -> None:
    """Three ends at moments by chance: all that was shown is there, and what was being written is whole or not there."""
    tally = kill_often(chromium.browser_type, tmp_path / "profile", Learning(address), kills=3, seed=20261125)
    assert tally.faults == []
    assert tally.kills >= 3
    assert tally.shown.total() > 0


def test_an_entry_counts_as_kept_when_it_is_on_the_disk(learner: Learner, page: Page) -> None:
    """Each change asks for strict durability (Indexed Database API 3.0, 2.7.1), so that a power cut loses nothing that was shown."""
    learner.open("first-week/")
    page.evaluate(
        """() => {
          window.asked = [];
          const real = IDBDatabase.prototype.transaction;
          IDBDatabase.prototype.transaction = function (...given) {
            const change = real.apply(this, given);
            if (change.mode === "readwrite") window.asked.push(change.durability);
            return change;
          };
        }"""
    )
    learner.be("Wren Ashby")
    note_all_opened(page)
    page.locator("[data-bench=have-read]").first.click()
    expect(page.locator("li[data-step=read-start]")).to_have_attribute("data-state", "done")
    assert page.evaluate("window.asked") == ["strict", "strict"]
