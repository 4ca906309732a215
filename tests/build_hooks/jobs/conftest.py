"""The built demo and a browser, as the tests of the site have them, and somebody who works on jobs."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.build_hooks.jobs.mechanic import Mechanic
from tests.site.conftest import address, context, page, site

__all__ = ["address", "context", "mechanic", "page", "site", "without_engine"]


@pytest.fixture
def mechanic(page: Page, address: str) -> Mechanic:
    """Somebody at a bench with an empty profile."""
    return Mechanic(page, address)


@pytest.fixture
def without_engine(chromium: Browser, address: str) -> Iterator[Mechanic]:
    """Somebody with a tablet who calculates nothing: pages are quick where the engine is not started."""
    context = chromium.new_context(viewport={"width": 820, "height": 1180}, has_touch=True, service_workers="block")
    context.route("**/engine-*/**", lambda route: route.abort())
    yield Mechanic(context.new_page(), address)
    context.close()
