"""Attacks on saved jobs: files changed by chance are refused whole, or taken in whole and fit the schema."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from playwright.sync_api import sync_playwright

from build_hooks.site.serve import make_server
from tests.attack.table import Row, cases
from tests.build_hooks.jobs.damage import damaged, judged
from tests.chromium import FLAGS, chromium_program

__all__ = ["run"]

_ROOT: Final = Path(__file__).parents[2]


def run(share: float) -> Iterator[Row]:
    """One row on the served demo, which must have been built."""
    row = Row("files of jobs mutated: refused whole, or taken whole and fitting the schema; none throws")
    server = make_server(_ROOT / "site", 0, quiet=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
        page = browser.new_context(service_workers="block").new_page()
        page.goto(f"http://localhost:{server.port}/jobs/")
        page.locator("bench-job-bar[data-state=none]").wait_for()
        for verdict in judged(page, damaged(cases(5000, share), seed=1)):
            row.tried(verdict.fault)
        browser.close()
    server.shutdown()
    yield row
