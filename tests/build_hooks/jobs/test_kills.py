"""A job outlives a browser that is killed while it is written; ``python -m tests.build_hooks.jobs.kills`` does it two hundred times."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.build_hooks.jobs.kills import Jobs
from tests.killed_browser import kill_often

pytestmark = pytest.mark.browser


def test_nothing_that_was_called_written_is_lost_when_the_browser_is_killed(
    chromium: Browser, address: str, tmp_path: Path
) -> None:
    """Two ends at moments by chance: every entry that was written is there once and whole."""
    tally = kill_often(chromium.browser_type, tmp_path / "profile", Jobs(address), kills=2, seed=3)
    assert tally.faults == []
    assert tally.kills >= 2
    assert tally.shown.total() > 0
