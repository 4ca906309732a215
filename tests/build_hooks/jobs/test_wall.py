"""The shop screen shows the current job, and one press of a remote goes to the next."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.build_hooks.jobs.mechanic import JOBS, Mechanic

pytestmark = pytest.mark.browser


def test_the_current_job_is_on_every_screen_and_one_press_goes_to_the_next(without_engine: Mechanic) -> None:
    """Without a job there is nothing; a closed one is passed over; the manual in the same tab follows; nothing is cut off."""
    page = without_engine.page
    page.set_viewport_size({"width": 1280, "height": 720})
    page.goto(f"{without_engine.address}/wall/")
    expect(page.locator("html")).to_have_attribute("data-wall", "ready")
    job = page.locator("[data-bench=wall-job]")
    expect(job).to_be_hidden()
    without_engine.goto("standards/friction-plates-and-soak/")
    for number in ("4711", "4712", "4713"):
        without_engine.has_job(number)
        page.locator("bench-timer [data-press=start]").first.click()
    for where in ("wall/", "wall/alder-4/direct/"):
        page.goto(f"{without_engine.address}/{where}")
        expect(job).to_have_text("Job 4713 · next: 4711")
        for number in ("4711", "4712", "4713"):
            expect(page.locator("[data-bench=timers]")).to_contain_text(f"Job {number}: ")
        box = job.bounding_box()
        assert box is not None
        assert (box["height"] >= 47.5, box["x"] >= 0, box["y"] + box["height"] <= 720) == (True, True, True)
        assert page.evaluate("() => document.scrollingElement.scrollHeight <= innerHeight")
    page.keyboard.press("ContextMenu")
    expect(job).to_have_text("Job 4711 · next: 4712")
    job.click()
    expect(job).to_have_text("Job 4712 · next: 4713")
    other = without_engine.beside()
    other.goto(JOBS)
    other.works_on("4712")  # A tab that has not chosen yet.
    other.page.evaluate("document.querySelector('bench-job-bar').constructor.jobs.setState('closed')")
    expect(job).to_have_text("Job 4712, closed · next: 4711")
    page.keyboard.press("j")
    expect(job).to_have_text("Job 4711 · next: 4713")
    page.goto(f"{without_engine.address}/{JOBS}")
    without_engine.works_on("4711")
