"""The built demo and a browser, as the tests of the site have them."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.build_hooks.learning.records import records_in
from tests.site.conftest import PATIENCE, address, context, page, site

__all__ = ["Learner", "address", "context", "page", "site"]


class Learner:
    """Somebody at the manual: opens its pages and goes by what is seen."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address = page, address
        expect.set_options(timeout=PATIENCE)

    def open(self, where: str) -> None:
        """Opens a page of the learning part."""
        self.page.goto(f"{self.address}/learning/{where}")
        expect(self.page.locator("[data-bench=person] > div > *").first).to_be_attached()

    def be(self, name: str) -> None:
        """Chooses a person, or adds them."""
        change = self.page.locator("[data-bench=change-person]")
        known = self.page.locator(".bench-person-names button", has_text=name)
        expect(change.or_(self.page.locator("[name=new-person]"))).to_be_visible()
        if change.is_visible():
            change.click()
            expect(self.page.locator("[name=new-person]")).to_be_visible()
        if known.count():
            known.click()
        else:
            self.page.locator("[name=new-person]").fill(name)
            self.page.locator(".bench-person-add button").click()
        expect(self.page.locator(".bench-person-now")).to_contain_text(name)

    def exercise(self, asked: str) -> None:
        """Opens practice of something and waits until it is asked."""
        self.open(f"practice/?{asked}")
        self.asked()

    def asked(self) -> None:
        """Waits until an exercise is asked."""
        expect(self.page.locator("bench-exercise[data-state=asked]")).to_be_visible()

    def save(self, folder: Path) -> Path:
        """Saves the record as a file."""
        with self.page.expect_download() as download:
            self.page.locator(".bench-move [data-bench=save-record]").click()
        path = folder / download.value.suggested_filename
        download.value.save_as(path)
        return path

    def read(self, file: Path) -> str:
        """Opens a saved record; what is said of it."""
        said = self.page.locator("[data-bench=moved]")
        said.evaluate("place => { place.textContent = '' }")
        self.page.locator("#bench-record-file").set_input_files(file)
        expect(said).not_to_have_text(re.compile("^(Reading the file…)?$"))
        return said.inner_text()

    def clear(self) -> None:
        """Removes everything from this machine."""
        button = self.page.locator("[data-bench=clear-record]")
        button.click()
        expect(button).to_contain_text("Press again")
        button.click()
        expect(self.page.locator("[data-bench=moved]")).to_have_text("Everything was removed from this machine.")


@pytest.fixture
def learner(page: Page, address: str) -> Learner:
    """Somebody with an empty profile."""
    return Learner(page, address)


@pytest.fixture
def kept(page: Page) -> Callable[[], list[object]]:
    """Reads the browser's database past our own code: every record, by kind and id."""
    return lambda: records_in(page)
