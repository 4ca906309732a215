"""The pages of the jobs by the rules of WCAG 2.2 AA that a program can check, with targets of 48 pixels, and by keys alone.

Sources: axe-core (the rules); 48 pixels: common practice for gloves, no source (WCAG 2.2, 2.5.8 asks for 24).
"""

from __future__ import annotations

import json
from typing import Final

import pytest
from playwright.sync_api import Page, expect

from tests.build_hooks.jobs.mechanic import JOBS, PROCEDURE, SHEET, Mechanic
from tests.build_hooks.jobs.samples import drum_job
from tests.build_hooks.jobs.test_step_view import FORWARD, WAY
from tests.site.conftest import ROOT
from tests.site.test_accessibility import RULES, WIDTH

pytestmark = pytest.mark.browser

AXE: Final = (ROOT / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
BROKEN: Final = """rules => axe.run(document.querySelector("dialog[open]") ?? document, { runOnly: rules }).then(({ violations }) =>
  violations.flatMap(({ id, nodes }) => nodes.map(({ target, failureSummary }) => [id, target.join(" "), failureSummary])))"""
OURS: Final = "bench-job-bar, bench-jobs, bench-build-sheet, .bench-step-way, .bench-step-head, .bench-step-foot"
# What is pressed, and is no link within a sentence. The label of a tick or of a file is pressed with it.
SMALL: Final = """ours => [...document.querySelectorAll(ours)].flatMap((room) => [...room.querySelectorAll(
    "button, summary, select, input, .bench-file, .bench-job-buttons a, .bench-job-line > a")])
  .filter((one) => !one.closest(".bench-across") || one.matches("select"))
  .filter((one) => one.type !== "file" && one.checkVisibility({ contentVisibilityAuto: true }))
  .map((one) => [one, one.getBoundingClientRect()])
  .filter(([, { width, height }]) => width < 47.5 || height < 47.5)
  .map(([one, { width, height }]) => `${width}x${height} ${one.outerHTML.slice(0, 120)}`)"""
REACHED: Final = """ours => {
  const all = [...document.querySelectorAll(ours)].flatMap((room) => [...room.querySelectorAll("button, summary, select, input, a[href]")])
    .filter((one) => one.checkVisibility({ contentVisibilityAuto: true }) && !one.disabled);
  return [all.length, all.filter((one) => !one.dataset.reached).map((one) => one.outerHTML.slice(0, 120))];
}"""


def faults(page: Page) -> list[object]:
    """The rules that the page breaks, and what is too small to be hit."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE)
    return [*page.evaluate(BROKEN, RULES), *page.evaluate(SMALL, OURS)]


def with_the_drum(mechanic: Mechanic) -> Page:
    """The common job as the current one, on the list of jobs."""
    mechanic.goto(JOBS)
    mechanic.read(json.dumps(drum_job()).encode())
    mechanic.add()
    mechanic.page.locator("[data-bench=work-on]").click()
    mechanic.works_on("4711")
    return mechanic.page


def test_list_and_build_sheet(without_engine: Mechanic) -> None:
    """Also with the form of a new job, with that of a correction, and on a phone, where nothing scrolls sideways."""
    page = with_the_drum(without_engine)
    assert faults(page) == []
    page.locator("[data-bench=open-job]").click()
    assert faults(page) == []
    without_engine.goto(SHEET)
    page.locator("[data-bench=correct-entry] summary").click()
    page.locator("#bench-correct-what").select_option(index=1)
    assert faults(page) == []
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate(WIDTH, 320) == 320
    assert faults(page) == []


def test_the_steps(without_engine: Mechanic) -> None:
    """With a caution, with a hold, with the reason for a step that is left out, and with the form."""
    page = without_engine.page
    without_engine.goto(PROCEDURE)
    without_engine.has_job("4711")
    page.locator(WAY).click()
    page.evaluate(FORWARD, "Press until the housing")
    expect(page.locator(".bench-step-body .bench-warning")).to_be_visible()
    assert faults(page) == []
    box = page.locator(".bench-step-body label:has(input[data-bench=hold])").bounding_box()
    assert box is not None
    assert box["height"] >= 47.5
    page.locator("[data-bench=skip-step]").click()
    assert faults(page) == []
    page.locator("[data-bench=back-to-step]").click()
    page.locator("[data-bench=show-form]").click()
    assert faults(page) == []


def test_everything_is_reached_by_the_tab_key(without_engine: Mechanic) -> None:
    """On the list and on the sheet, and what has the focus is seen to have it."""
    page = with_the_drum(without_engine)
    for where in (JOBS, SHEET):
        without_engine.goto(where)
        page.locator("bench-jobs li, [data-bench=sheet]").first.wait_for()
        # The first that is not hidden; from there on, it is the tab key.
        page.locator("#bench-job-worker").evaluate("one => { one.focus(); one.dataset.reached = 'true'; }")
        count, _ = page.evaluate(REACHED, OURS)
        for _ in range(count + 8):
            page.keyboard.press("Tab")
            unseen = page.evaluate(
                """ours => { const one = document.activeElement; one.dataset.reached = "true";
                   const { outlineStyle, outlineWidth } = getComputedStyle(one.type === "file" ? one.closest("label") : one);
                   return one.closest(ours) && (outlineStyle === "none" || parseFloat(outlineWidth) < 2) ? one.outerHTML : null; }""",
                OURS,
            )
            assert unseen is None
        assert page.evaluate(REACHED, OURS)[1] == []
