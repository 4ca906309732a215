"""A copy of the manual opened from a folder by double-click: no server, no fetch, the same answers."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


def _type(page: Page) -> None:
    for index, value in enumerate(("1.50", "1.52", "1.49", "1.51")):
        page.locator(f'[name="lifts.{index}"]').fill(value)


def _warnings(seen: Any) -> list[str]:
    return [text for text in seen.console if text.startswith("Benchleaf:")]


def test_answers_from_a_folder(folder_site: Any, page: Page, seen: Any) -> None:
    """The engine starts from the saved memory in a worker made from text."""
    page.goto(f"{folder_site.address}/index.html")
    _type(page)
    expect(page.locator('[data-bench=result][data-verdict="high"]')).to_be_visible()
    assert len(page.workers) == 1
    assert _warnings(seen) == []
    assert not any(url.startswith("http") for url in seen.requests)


def test_answers_from_a_folder_where_search_has_taken_the_worker(folder_site: Any, page: Page, seen: Any) -> None:
    """The search's stand-in for `Worker` cannot start ours; the browser's own was kept under another name."""
    page.add_init_script("window.NativeWorker = window.Worker; window.Worker = class { constructor() { throw Error('no'); } };")
    page.goto(f"{folder_site.address}/index.html")
    _type(page)
    expect(page.locator('[data-bench=result][data-verdict="high"]')).to_be_visible()
    assert len(page.workers) == 1
    assert _warnings(seen) == []


def test_answers_from_a_folder_without_a_worker(folder_site: Any, page: Page, seen: Any) -> None:
    """A browser that refuses a worker there computes on the page's own thread."""
    page.add_init_script("delete window.Worker")
    page.goto(f"{folder_site.address}/index.html")
    _type(page)
    expect(page.locator('[data-bench=result][data-verdict="high"]')).to_be_visible()
    assert page.workers == []
    assert _warnings(seen) == []


def test_starts_slowly_from_a_folder_without_an_image(folder_site: Any, page: Page, seen: Any) -> None:
    """The stock start finds its parts in scripts as well."""
    page.route("**/inlined/image.js", lambda route: route.abort())
    page.goto(f"{folder_site.address}/index.html")
    _type(page)
    expect(page.locator('[data-bench=result][data-verdict="high"]')).to_be_visible()
    (warning,) = _warnings(seen)
    assert warning.endswith("The engine starts the slow way.")


def test_readings_of_two_folders_are_kept_apart(folder_site: Any, page: Page, tmp_path: Any, seen: Any) -> None:
    """On file:// all folders share one store; the units chosen in one manual are not those of another."""
    other = tmp_path / "another"
    other.mkdir()
    for name in ("index.html", "assets"):
        (other / name).symlink_to(folder_site.folder / name)
    page.goto(f"{folder_site.address}/index.html")
    page.locator("input[name=units][value=inch]").check()
    page.goto(f"{other.as_uri()}/index.html")
    expect(page.locator("bench-calc")).to_have_attribute("data-state", "ready")
    expect(page.locator("input[name=units][value=metric]")).to_be_checked()
    page.goto(f"{folder_site.address}/index.html")
    expect(page.locator("input[name=units][value=inch]")).to_be_checked()
    assert seen.errors == []
