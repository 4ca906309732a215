"""How much the property tests try: the same few examples every time, or many new ones on request."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import Final

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser, sync_playwright

from tests.chromium import FLAGS, chromium_program

# The same examples on every run and every machine, so that a failure is a failure for everyone.
settings.register_profile("ci", max_examples=50, derandomize=True, deadline=None, database=None)
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


# Each page of a test starts the engine anew and lives for a second or two. What the browser's optimizing compiler makes of the
# runtime in that time takes a fifth of the processor time of such a test, and is thrown away with the page.
_WITHOUT_OPTIMIZING: Final = "--js-flags=--liftoff-only"


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Debian's Chromium, one for all tests of a worker: Playwright can be started only once."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_program(), args=[*FLAGS, _WITHOUT_OPTIMIZING])
        yield browser
        browser.close()
