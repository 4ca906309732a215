"""A procedure worked through step by step: cautions first, holds hold, and the page is afterwards as it was."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.build_hooks.jobs.mechanic import PROCEDURE, SHEET, SLOW_DISK, Mechanic, entries_in

pytestmark = pytest.mark.browser

# The page's content without what the view itself adds, and without what a state changes.
CONTENT = """() => {
  const copy = document.querySelector("article").cloneNode(true);
  copy.querySelectorAll("bench-job-bar, dialog, .bench-step-way").forEach((part) => part.remove());
  return copy.innerHTML.replaceAll(' class=""', ""); // What a form leaves of a mark that it has taken away.
}"""
# Goes on with the arrow key, ticking what must be, until a step has these words.
FORWARD = """words => {
  for (let left = 120; left > 0; left--) {
    if ([...document.querySelectorAll(".bench-step-body > ol > li")].some((step) => step.textContent.includes(words))) return;
    document.querySelectorAll(".bench-step-body input[data-bench=hold]:not(:checked)").forEach((hold) => hold.click());
    document.activeElement.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight", bubbles: true }));
  }
  throw new Error(`No step has “${words}”.`);
}"""
# Keys that come one after the other before anything of the first has been written.
AT_ONCE = """keys => keys.forEach((key) => {
  document.activeElement.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
})"""
POSITION = "[data-bench=step-position]"
NEXT = "[data-bench=next-step]"
STEP = ".bench-step-body > ol > li"
HOLD = ".bench-step-body input[data-bench=hold]"
WAY = "[data-bench=work-through]"
TICK_FIRST = "Tick the hold point first, or leave it out with a reason."


def begin(mechanic: Mechanic, number: str = "4711") -> Page:
    """A job on the procedure, at its first step."""
    page = mechanic.page
    mechanic.goto(PROCEDURE)
    mechanic.has_job(number)
    page.locator(WAY).click()
    expect(page.locator(POSITION)).to_contain_text("Step 1 of ")
    return page


def at(page: Page) -> int:
    """The number of the step that is shown."""
    return int(page.locator(POSITION).inner_text().split()[1])


def taken(page: Page) -> list[tuple[Any, ...]]:
    """What was noted of each step: its number, what became of it, and by whom."""
    return [(step["number"], step["state"], step["person"]) for step in entries_in(page, "steps")]


def test_the_cautions_of_a_section_are_at_each_of_its_steps(without_engine: Mechanic) -> None:
    """Those of the section before are gone; the step keeps the number that it has in its list."""
    page = begin(without_engine)
    caution = page.locator(".bench-step-body .bench-warning")
    for number, words in enumerate(("Clamp the drum in its stand", "Set the press bridge square", "Press until the housing"), 1):
        page.evaluate(FORWARD, words)
        expect(caution).to_have_count(1)
        expect(caution).to_contain_text("Take the load off with the screw press before you touch the ring.")
        expect(page.locator(".bench-step-body > ol")).to_have_attribute("start", str(number))
        expect(page.locator(POSITION)).to_contain_text("· Strip back")
    page.evaluate(FORWARD, "Turn the drum so that one window faces you")
    expect(caution).to_have_count(0)


def test_a_hold_is_ticked_before_the_work_goes_on(without_engine: Mechanic) -> None:
    """Button and arrow refuse, in words. Enter of a remote ticks it, Enter goes on, Left goes back, Back leaves."""
    page = begin(without_engine)
    page.evaluate(FORWARD, "Press until the housing")
    here = at(page)
    for refuses in ("button", "arrow"):
        if refuses == "button":
            page.locator(NEXT).click(force=True)  # It says that it is disabled, and still answers.
        else:
            page.keyboard.press("ArrowRight")
        expect(page.locator("[data-bench=step-said]")).to_have_text(TICK_FIRST)
        assert at(page) == here
    expect(page.locator(HOLD)).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator(HOLD)).to_be_checked()
    page.keyboard.press("Enter")
    expect(page.locator(STEP)).to_contain_text("Take out the cover ring.")
    page.keyboard.press("ArrowLeft")
    assert at(page) == here
    page.evaluate(AT_ONCE, ["GoBack"])
    expect(page.locator("[data-bench=steps]")).to_be_hidden()
    (tick,) = [tick for tick in entries_in(page, "ticks") if "Cover ring turns in its groove" in tick["hold"]]
    assert (tick["ticked"], tick["person"]) == (True, "Wren Ashby")


def test_presses_in_haste_pass_over_no_step_and_no_hold(without_engine: Mechanic) -> None:
    """Each step is noted once and by who was working then; the sheet says who did which."""
    page = begin(without_engine)
    page.evaluate(FORWARD, "Clamp the drum in its stand")
    first = at(page)
    page.evaluate(AT_ONCE, ["ArrowRight"] * 9)
    expect(page.locator(STEP)).to_contain_text("Press until the housing")
    page.keyboard.press("Escape")
    page.locator("#bench-job-worker").fill("Bo Lind")
    page.locator("#bench-job-worker").blur()
    page.locator(WAY).click()
    expect(page.locator("[data-bench=step-job]")).to_have_text("Job 4711 · Bo Lind")
    page.locator(HOLD).check()
    page.locator(NEXT).click()
    without_engine.noted("steps", first + 2)
    assert taken(page) == [
        *((number, "done", "Wren Ashby") for number in range(1, first + 2)),
        (first + 2, "done", "Bo Lind"),
    ]
    total = entries_in(page, "steps")[-1]["total"]
    without_engine.goto(SHEET)
    expect(page.locator(".bench-sheet-steps li")).to_have_text(
        f"Alder 4 front drum: set the clearance: {first + 2} of {total} done · Wren Ashby 1–{first + 1}, Bo Lind {first + 2}"
    )


def test_steps_go_on_where_they_stopped_though_nothing_is_written_yet(without_engine: Mechanic) -> None:
    """Left and taken up again before the disk has the step: the next one is shown, not the one that was done."""
    page = begin(without_engine)
    page.evaluate(SLOW_DISK)
    page.evaluate(AT_ONCE, ["ArrowRight"] * 6)
    page.keyboard.press("Escape")
    page.locator(WAY).click()
    assert at(page) == 7


def test_a_remote_reaches_every_button_and_leaves_out_by_touch(without_engine: Mechanic) -> None:
    """Down goes from the way on to the other buttons, Up goes back to it; Back of the reason is the step."""
    page = begin(without_engine)
    expect(page.locator(NEXT)).to_be_focused()
    for name in ("skip-step", "show-form", "leave-steps", "leave-steps"):
        page.keyboard.press("ArrowDown")
        expect(page.locator(f"[data-bench={name}]")).to_be_focused()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Enter")
    expect(page.locator("#bench-skip-reason")).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.locator(NEXT)).to_be_focused()
    page.locator(NEXT).tap()
    page.locator("[data-bench=skip-step]").tap()
    page.locator("#bench-skip-reason").fill("Done in bay 4")
    page.locator("[data-bench=skip-sure]").tap()
    without_engine.noted("steps", 2)
    assert taken(page) == [(1, "done", "Wren Ashby"), (2, "skipped", "Wren Ashby")]
    assert at(page) == 3


def test_a_step_left_out_needs_a_reason_and_is_on_the_sheet(without_engine: Mechanic) -> None:
    """Without one nothing goes on; an arrow in the reason moves the cursor, not the step."""
    page = begin(without_engine)
    page.evaluate(FORWARD, "Press until the housing")
    here = at(page)
    page.locator("[data-bench=skip-step]").click()
    page.locator("[data-bench=skip-sure]").click()
    expect(page.locator("[data-bench=skip-problem]")).to_have_text("Enter the reason.")
    page.keyboard.press("ArrowRight")
    assert at(page) == here
    page.locator("#bench-skip-reason").fill("Came in <b>stripped</b>")
    page.keyboard.press("Enter")
    expect(page.locator(STEP)).to_contain_text("Take out the cover ring.")
    without_engine.noted("steps", here)
    without_engine.goto(SHEET)
    line = page.locator("[data-bench=sheet] h3", has_text="Steps left out").locator("+ ul li")
    expect(line).to_contain_text(f"Alder 4 front drum: set the clearance, step {here}: Press until the housing")
    expect(line.locator("strong")).to_have_text("Came in <b>stripped</b> (Wren Ashby)")


@pytest.mark.parametrize(
    ("reason", "words"),
    [("", "All steps of this page are done."), ("No time left", "This page is worked through: 1 step was left out.")],
)
def test_the_end_says_whether_all_was_done(without_engine: Mechanic, reason: str, words: str) -> None:
    """What was left out is not called done, and the way out is what Enter presses."""
    page = begin(without_engine)
    if reason:
        page.locator("[data-bench=skip-step]").click()
        page.locator("#bench-skip-reason").fill(reason)
        page.locator("[data-bench=skip-sure]").click()
    page.evaluate(FORWARD, "Write")  # A step near the end; from there by the button.
    while (place := page.locator(POSITION).inner_text().split())[1] != place[3]:
        for hold in page.locator(HOLD).all():
            hold.check()
        page.locator(NEXT).click()
    for hold in page.locator(HOLD).all():
        hold.check()
    page.locator(NEXT).click()
    expect(page.locator("[data-bench=step-said]")).to_have_text(words)
    expect(page.locator("[data-bench=leave-steps]")).to_be_focused()


def test_the_step_that_starts_a_timer_shows_it(without_engine: Mechanic) -> None:
    """It is no card of its own that may be passed over."""
    page = without_engine.page
    without_engine.goto("units/alder-4/front-drum-assemble/")
    without_engine.has_job("4711")
    page.locator(WAY).click()
    page.evaluate(FORWARD, "Start the timer.")
    expect(page.locator(".bench-step-body [data-press=start]")).to_be_visible()


def test_the_work_goes_on_after_a_reload_where_it_stopped(without_engine: Mechanic) -> None:
    """Behind the step that was taken last; another job begins at the beginning, and one that is through says so."""
    page = begin(without_engine)
    page.evaluate(FORWARD, "Set the press bridge square")
    here = page.locator(POSITION).inner_text()
    page.reload()
    without_engine.works_on("4711")
    way = page.locator(WAY)
    expect(way).to_have_text(f"Resume at {here.partition(' ·')[0].lower()}")
    way.click()
    expect(page.locator(POSITION)).to_have_text(here)
    page.keyboard.press("Escape")
    without_engine.has_job("4712")
    expect(way).to_have_text("Work through it, step by step")
    page.evaluate(
        """([page, number]) => document.querySelector("bench-job-bar").constructor.jobs.note("steps",
          { page, title: "", section: "", step: "The last one of another edition", number, total: number, state: "done", reason: "" })""",
        [PROCEDURE, 999],
    )
    expect(way).to_have_text("Worked through: go through it again")
    way.click()
    expect(page.locator(POSITION)).to_contain_text("Step 1 of ")


def test_leaving_puts_every_part_of_the_page_back(without_engine: Mechanic) -> None:
    """After steps, after the form, and on the way out with Escape: the page's own elements are where they were."""
    page = begin(without_engine)
    page.keyboard.press("Escape")
    before = page.evaluate(CONTENT)
    page.locator(WAY).click()
    for leaves_by_key in (True, False):
        page.evaluate(FORWARD, "Press until the housing" if leaves_by_key else "Turn the drum so that one window faces you")
        page.locator("[data-bench=show-form]").click()
        page.keyboard.press("Escape")
        expect(page.locator(NEXT)).to_be_visible()
        if leaves_by_key:
            page.keyboard.press("Escape")
        else:
            page.locator("[data-bench=leave-steps]").click()
        expect(page.locator("[data-bench=steps]")).to_be_hidden()
        assert page.evaluate(CONTENT) == before
        page.locator(WAY).click()


def test_the_form_is_shown_among_the_steps_and_keeps_its_readings(without_engine: Mechanic) -> None:
    """Arrows there move between figures; back at the step, and on the page, the readings are still there."""
    page = begin(without_engine)
    page.locator("[data-bench=show-form]").click()
    entry = page.locator(".bench-step-body bench-calc [data-bench=pack] input[type=text]").first
    expect(entry).to_be_focused()
    entry.fill("1.46")
    page.keyboard.press("ArrowRight")
    page.locator("[data-bench=back-to-step]").click()
    assert at(page) == 1
    page.keyboard.press("Escape")
    expect(without_engine.reading(0)).to_have_value("1.46")
    page.reload()
    expect(without_engine.reading(0)).to_have_value("1.46")


def test_the_steps_of_a_closed_job_are_turned_over_and_not_noted(without_engine: Mechanic) -> None:
    """Also when it is closed on another tab while they are shown; opened again, they can be done again."""
    page = begin(without_engine)
    page.locator(NEXT).click()
    without_engine.noted("steps", 1)
    page.evaluate("document.querySelector('bench-job-bar').constructor.jobs.setState('closed')")
    expect(page.locator(NEXT)).to_have_text("Next")
    expect(page.locator("[data-bench=skip-step]")).to_have_count(0)
    page.locator("[data-bench=leave-steps]").click()
    expect(page.locator(WAY)).to_have_text("Read it step by step")
    page.locator(WAY).click()
    assert at(page) == 1
    last = int(page.locator(POSITION).inner_text().split()[3].split("\n")[0])
    for number in range(2, last + 1):
        page.keyboard.press("ArrowRight")
        assert at(page) == number
    expect(page.locator(NEXT)).to_be_disabled()
    assert taken(page) == [(1, "done", "Wren Ashby")]
    page.evaluate("document.querySelector('bench-job-bar').constructor.jobs.setState('open')")
    expect(page.locator(NEXT)).to_be_enabled()
    expect(page.locator("[data-bench=skip-step]")).to_be_visible()
