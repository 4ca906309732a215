"""The built demo and a browser, as the tests of the site have them, and somebody who works on jobs."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.build_hooks.jobs.mechanic import Mechanic
from tests.site.conftest import address, context, page, site

__all__ = ["address", "context", "mechanic", "page", "site"]


@pytest.fixture
def mechanic(page: Page, address: str) -> Mechanic:
    """Somebody at a bench with an empty profile."""
    return Mechanic(page, address)
