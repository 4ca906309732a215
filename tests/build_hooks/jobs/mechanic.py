"""Somebody at the bench who opens jobs and types readings, and what the browser's database then holds."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import FilePayload, Locator, Page, expect

from tests.build_hooks.learning.records import records_in
from tests.site.conftest import PATIENCE

__all__ = ["BENCH", "JOBS", "PROCEDURE", "READING", "SHEET", "SLOW_DISK", "Mechanic", "entries_in"]

BENCH: Final = "bench/alder-4/front-drum/"
PROCEDURE: Final = "units/alder-4/front-drum-clearance/"
JOBS: Final = "jobs/"
SHEET: Final = "jobs/sheet/"
READING: Final = "bench-calc [data-bench=pack] input[type=text]"

# A disk that takes its time over each entry.
SLOW_DISK = """() => {
  const { records } = document.querySelector("bench-job-bar").constructor.jobs;
  const put = records.put.bind(records);
  records.put = async (...given) => (await new Promise((then) => setTimeout(then, 300)), put(...given));
}"""


def entries_in(page: Page, name: str) -> list[dict[str, Any]]:
    """The entries of one list, in the order in which they were noted."""
    values = [record["value"] for record in records_in(page, "jobs") if record["kind"] == "entry"]
    return sorted((value["entry"] for value in values if value["list"] == name), key=lambda entry: str(entry["at"]))


class Mechanic:
    """Somebody at the manual: opens its pages and goes by what is seen."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address = page, address
        expect.set_options(timeout=PATIENCE)

    def beside(self) -> Mechanic:
        """The same browser in another tab."""
        return Mechanic(self.page.context.new_page(), self.address)

    def goto(self, where: str) -> None:
        """Opens a page, and waits until it knows its job."""
        self.page.goto(f"{self.address}/{where}")
        expect(self.page.locator("bench-job-bar")).to_have_attribute("data-state", re.compile("none|open|closed"))

    def job(self, number: str, **details: str) -> None:
        """Opens a new job with the form of the strip."""
        self.page.locator("[data-bench=open-job]").click()
        self.page.locator("#bench-job-number").fill(number)
        self.page.locator("#bench-job-unit").select_option(details.pop("unit", "Alder 4"))
        for name, text in {"technician": "Wren Ashby", **details}.items():
            self.page.locator(f"#bench-job-{name}").fill(text)
        self.page.get_by_role("button", name="Open the job").click()
        self.works_on(number)

    def has_job(self, number: str) -> None:
        """Opens a new job as the form of the strip would, without its keys and clicks."""
        self.page.evaluate(
            """async (number) => {
              const { jobs } = document.querySelector("bench-job-bar").constructor;
              jobs.worker = "Wren Ashby";
              await jobs.open({ number, unit: "Alder 4", serial: "", complaint: "", technician: "Wren Ashby" });
            }""",
            number,
        )
        self.works_on(number)

    def works_on(self, number: str) -> None:
        """Waits until the page works on a job."""
        expect(self.page.locator("html")).to_have_attribute("data-job", number)

    def switch(self, number: str) -> None:
        """Goes to another open job by the strip."""
        self.page.get_by_role("button", name=f"Go to {number}", exact=True).click()
        self.works_on(number)

    def reading(self, at: int = 0) -> Locator:
        """A place for a figure of the form of the page, by its number."""
        return self.page.locator(READING).nth(at)

    def type(self, *figures: str) -> None:
        """Types figures into the first places of the form."""
        for at, figure in enumerate(figures):
            self.reading(at).fill(figure)

    def noted(self, name: str, count: int) -> list[dict[str, Any]]:
        """Waits until a list has so many entries; they are returned."""
        for _ in range(400):
            if len(found := entries_in(self.page, name)) >= count:
                break
            self.page.wait_for_timeout(25)
        assert len(found) == count, found
        return found

    def save(self, folder: Path) -> Path:
        """Saves the first job of the list as a file."""
        with self.page.expect_download() as download:
            self.page.locator("[data-bench=save-job]").first.click()
        path = folder / download.value.suggested_filename
        download.value.save_as(path)
        return path

    def read(self, content: bytes | Path) -> str:
        """Opens a file of jobs; what is said of it."""
        said = self.page.locator("[data-bench=jobs-said]")
        said.evaluate("place => { place.textContent = '' }")
        made: FilePayload | Path = (
            content if isinstance(content, Path) else {"name": "jobs.json", "mimeType": "application/json", "buffer": content}
        )
        self.page.locator("#bench-jobs-file").set_input_files(made)
        expect(said).not_to_have_text("")
        return said.inner_text()

    def add(self) -> str:
        """Adds what the file brings; what is said of it."""
        said = self.page.locator("[data-bench=jobs-said]")
        self.page.locator("[data-bench=add-entries]").click()
        expect(said).to_have_text(re.compile(r"^(\d+ (entry|entries) added\.|Nothing was added.*)$"))
        return said.inner_text()
