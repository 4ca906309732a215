"""How much the property tests try: the same few examples every time, or many new ones on request."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from typing import Final

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser, sync_playwright

# The same examples on every run and every machine, so that a failure is a failure for everyone.
settings.register_profile("ci", max_examples=35, derandomize=True, deadline=None, database=None)
# HYPOTHESIS_PROFILE=long: new examples each time, for a search that may take an hour.
settings.register_profile("long", max_examples=2000, derandomize=False, deadline=None)
# HYPOTHESIS_PROFILE=mutation: a few examples for each of thousands of mutants; mutmut calls one test from several places.
settings.register_profile(
    "mutation",
    max_examples=12,
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.differing_executors],
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))

FLAGS: Final = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Debian's Chromium, one for all tests of a worker: Playwright can be started only once. Its own browser is never fetched."""
    program = next((found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), None)
    assert program is not None, "Chromium is needed: apt-get install chromium"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=FLAGS)
        yield browser
        browser.close()
