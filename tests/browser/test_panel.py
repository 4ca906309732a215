"""The panel in a reader's hands: readings in, answer out, and nothing lost on the way."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Page, expect

from calc_engine.page import answer_for_page

from .seams import before_worker

pytestmark = pytest.mark.browser

ROOT: Final = Path(__file__).parents[2]
CHANGED = "These figures have changed: no answer."
UNFINISHED = "No answer yet: a reading is missing."


def test_the_worked_example_stands_before_anything_runs(open_panel: Any, page: Page) -> None:
    """The answer of the example is there from the first paint and is called an example."""
    page.route("**/benchleaf.js", lambda route: route.abort())
    panel = open_panel()
    expect(panel.result).to_have_attribute("data-example", "true")
    expect(panel.result).to_contain_text("Worked example")
    expect(panel.result).to_contain_text("1.345 mm")


def test_readings_are_answered_by_themselves(open_panel: Any) -> None:
    """With the last reading typed the verdict comes without a press, and the state line says it in a sentence."""
    panel = open_panel()
    panel.type_lifts("1.50", "1.52", "1.49", "1.51")
    panel.expect_verdict("high")
    expect(panel.result.locator(".bench-verdict-word")).to_have_text("Too loose")
    expect(panel.result.locator("svg")).to_have_count(1)
    reply = panel.reply()
    expect(panel.state).to_have_text(reply["result"]["advice"])
    expect(panel.root).to_have_attribute("data-state", "ready")


def test_the_answer_is_the_command_lines(open_panel: Any, page: Page) -> None:
    """The reply in the page is the reply that the same request gets from the engine anywhere else."""
    panel = open_panel()
    page.evaluate("document.addEventListener('bench:answer', (event) => { window.told = event.detail; })")
    panel.type_lifts("1.34", "1.36", "1.33", "1.35")
    panel.expect_verdict("in")
    told = page.evaluate("window.told")
    assert told["calculator"] == "pack-clearance"
    assert told["request"]["lifts"] == ["1.34 mm", "1.36 mm", "1.33 mm", "1.35 mm"]
    assert told["request"]["units"] == "metric"
    assert json.loads(answer_for_page("pack-clearance", json.dumps(told["request"])))["reply"] == told["reply"]


def test_what_is_typed_before_the_engine_is_ready_is_answered_then(open_panel: Any, page: Page) -> None:
    """Nobody waits for the calculator before typing."""
    held: list[Any] = []
    page.route("**/wasm.gz", lambda route: held.append(route))  # noqa: PLW0108 - Playwright marks what it is given
    panel = open_panel()
    panel.type_lifts("1.50", "1.52", "1.49", "1.51")
    panel.work.click()
    expect(panel.state).to_have_text("Starting the calculator… Your readings will be worked out as soon as it is ready.")
    panel.entry("lifts.0").fill("0.50")
    panel.type_lifts("0.50", "0.52", "0.49", "0.51")
    held[0].continue_()
    panel.expect_verdict("low")


def test_typing_starts_the_engine_at_once(open_panel: Any, page: Page) -> None:
    """A reader who turns to the form does not wait for the browser to be idle."""
    page.add_init_script("window.requestIdleCallback = () => 0")
    panel = open_panel()
    page.wait_for_timeout(500)
    expect(panel.root).to_have_attribute("data-state", "loading")
    panel.type_lifts("1.34", "1.36", "1.33", "1.35")
    panel.expect_verdict("in")


def test_enter_works_it_out(open_panel: Any, page: Page) -> None:
    """Enter in any entry is the button, and the page is not left."""
    panel = open_panel()
    panel.type_lifts("1.50", "1.52", "1.49")
    panel.entry("lifts.3").focus()
    page.keyboard.type("1.51")
    page.keyboard.press("Enter")
    panel.expect_verdict("high")
    assert page.url.endswith("/index.html")


def test_the_keyboard_is_enough(open_panel: Any, page: Page) -> None:
    """Units, readings and button are reached by Tab in the order in which they stand."""
    panel = open_panel()
    panel.root.locator("input[name=units][value=metric]").focus()
    page.keyboard.press("ArrowRight")
    for reading in ("0.053", "0.054", "0.052", "0.053"):
        page.keyboard.press("Tab")
        page.keyboard.type(reading)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.dataset.bench ?? document.activeElement.name") != "units"
    panel.work.focus()
    page.keyboard.press("Space")
    panel.expect_verdict("in")
    assert panel.reply()["result"]["clearance"] == "0.053 in"


def test_no_answer_stands_over_figures_it_does_not_belong_to(open_panel: Any) -> None:
    """When a reading is taken away the old verdict goes with it."""
    panel = open_panel()
    panel.type_lifts("1.50", "1.52", "1.49", "1.51")
    panel.expect_verdict("high")
    panel.entry("lifts.2").fill("")
    expect(panel.result).to_have_text(UNFINISHED)
    expect(panel.result).to_have_attribute("data-verdict", "")
    expect(panel.result).to_have_attribute("data-stale", "true")
    panel.entry("lifts.2").fill("1.49")
    panel.expect_verdict("high")
    assert panel.result.get_attribute("data-stale") is None


def test_leaving_an_entry_changes_nothing(open_panel: Any, page: Page) -> None:
    """An answer that stands is not taken away and worked out again when the reader only moves on."""
    panel = open_panel()
    panel.type_lifts("1.50", "1.52", "1.49", "1.51")
    panel.expect_verdict("high")
    page.evaluate("document.addEventListener('bench:answer', () => { window.again = true; })")
    page.keyboard.press("Tab")
    expect(panel.result).to_have_attribute("data-verdict", "high")
    page.wait_for_timeout(600)
    assert page.evaluate("window.again") is None


def test_an_answer_that_comes_too_late_is_dropped(open_panel: Any, wait_for_engine: Any, page: Page) -> None:
    """Only the newest figures are answered, however fast they are changed."""
    panel = open_panel()
    wait_for_engine(page, "ready")
    panel.type_lifts("1.50", "1.52", "1.49", "1.51")
    panel.work.click()
    panel.type_lifts("0.50", "0.52", "0.49", "0.51")
    panel.work.click()
    panel.expect_verdict("low")
    page.wait_for_timeout(500)
    panel.expect_verdict("low")


def test_a_run_that_takes_too_long_is_stopped(page: Page, site: Any, seen: Any) -> None:
    """A calculation that does not end is stopped and said to be; the engine is started again."""
    deaf = "self.onmessage = ({data}) => { if (data.kind === 'start') self.postMessage({v: 1, kind: 'phase', id: 0, phase: 'ready'}); };"
    page.add_init_script(before_worker(deaf, instead=True))
    page.goto(f"{site.address}/impatient.html")
    for index in range(4):
        page.locator(f'[name="lifts.{index}"]').fill("1.20")
    expect(page.locator("[data-bench=state]")).to_have_text(
        "No answer: this calculation took too long and was stopped. "
        "Check the readings, or leave some choices out, and work it out again."
    )
    expect(page.locator("[data-bench=result]")).to_have_text(CHANGED)
    assert len([url for url in seen.requests if url.endswith("benchleaf-worker.js")]) >= 2


def test_readings_outlive_a_reload(open_panel: Any, page: Page) -> None:
    """What was typed, and the units it was typed in, is there again, and is answered again."""
    panel = open_panel()
    panel.type_lifts("1.50", "1.52", "1.49")
    panel.root.locator("input[name=units][value=inch]").check()
    panel.entry("lifts.3").fill("0.0594")
    panel.expect_verdict("high")
    page.reload()
    expect(panel.entry("lifts.0")).to_have_value("1.50")
    expect(panel.entry("lifts.3")).to_have_value("0.0594")
    assert panel.entry("lifts.0").get_attribute("data-unit") == "mm"
    assert panel.entry("lifts.3").get_attribute("data-unit") == "in"
    panel.expect_verdict("high")


def test_clear_removes_the_readings_for_good(open_panel: Any, page: Page) -> None:
    """After Clear the form is empty, the example stands again, and a reload brings nothing back."""
    panel = open_panel()
    panel.type_lifts("1.50", "1.52", "1.49", "1.51")
    panel.expect_verdict("high")
    panel.root.locator("[data-bench=clear]").click()
    for _ in range(2):
        expect(panel.entry("lifts.0")).to_have_value("")
        expect(panel.result).to_have_attribute("data-example", "true")
        expect(panel.result).to_have_attribute("data-verdict", "in")
        page.reload()


def test_units_are_chosen_once_for_the_whole_manual(open_panel: Any, page: Page, site: Any) -> None:
    """The choice goes to every panel and is remembered; a filled entry keeps the unit it was typed in."""
    panel = open_panel("packs")
    panel.entry("lifts.0").fill("1.50")
    panel.root.locator("input[name=units][value=inch]").check()
    assert panel.entry("lifts.0").get_attribute("data-unit") == "mm"
    assert panel.entry("lifts.1").get_attribute("data-unit") == "in"
    unit = panel.root.locator(".bench-entry:has([name='lifts.1']) [data-bench=unit]")
    expect(unit).to_have_text("in")
    other = page.locator("#direct")
    expect(other.locator("input[name=units][value=inch]")).to_be_checked()
    assert other.locator("[name='lifts.0']").get_attribute("data-unit") == "in"
    page.goto(f"{site.address}/anyhow.html")
    expect(page.locator("#anyhow input[name=units][value=inch]")).to_be_checked()
    panel = open_panel("packs")
    panel.entry("lifts.0").fill("")
    assert panel.entry("lifts.0").get_attribute("data-unit") == "in"


def test_a_unit_typed_with_the_figure_is_taken(open_panel: Any) -> None:
    """A reading with a unit or a mark of its own is sent as it stands."""
    panel = open_panel()
    panel.type_lifts("0.053 in", '0.053"', "1,35", "1 9/25")
    panel.expect_verdict("in")


def test_an_answer_is_carried_to_the_panel_that_needs_it(open_panel: Any, page: Page) -> None:
    """A figure worked out in one panel stands in the other, says where it comes from, and goes when it is no longer true."""
    panel = open_panel("packs")
    panel.type_lifts("1.34", "1.36", "1.33", "1.35")
    value = page.locator("#converted [name=value]")
    expect(value).to_have_value("1.345 mm")
    expect(page.locator("#converted [data-bench=from-other-form]")).to_have_text("taken from Forward pack")
    result = page.locator("#converted [data-bench=result]:not([data-example])")
    expect(result).to_contain_text("0.053 in")
    panel.type_lifts("1.24", "1.26", "1.23", "1.25")
    expect(value).to_have_value("1.245 mm")
    panel.entry("lifts.0").fill("")
    expect(value).to_have_value("")
    expect(result).to_have_text(UNFINISHED)
    expect(page.locator("#converted [data-bench=from-other-form]")).to_have_count(0)


def test_what_is_typed_by_hand_is_never_overwritten(open_panel: Any, page: Page) -> None:
    """A carried figure gives way to one typed by hand."""
    panel = open_panel("packs")
    value = page.locator("#converted [name=value]")
    value.fill("1.00 mm")
    panel.type_lifts("1.34", "1.36", "1.33", "1.35")
    panel.expect_verdict("in")
    expect(value).to_have_value("1.00 mm")


def test_text_in_an_answer_stays_text(open_panel: Any, page: Page) -> None:
    """Nothing that is typed is ever read as markup."""
    panel = open_panel()
    panel.type_lifts("<img src=x onerror=alert(1)>", "1.36", "1.33", "1.35")
    panel.work.click()
    expect(panel.problem("lifts.0")).to_be_visible()
    assert page.locator("bench-calc img").count() == 0


def test_a_gauge_that_types_fills_the_form(open_panel: Any, page: Page) -> None:
    """A value and Enter goes to the next reading that is missing; the last one answers."""
    panel = open_panel()
    panel.entry("lifts.2").fill("1.49")
    panel.entry("lifts.0").focus()
    for value, after in (("1.50", "lifts.1"), ("1.52", "lifts.3")):
        page.keyboard.type(value)
        page.keyboard.press("Enter")
        expect(panel.entry(after)).to_be_focused()
    expect(panel.summary).to_be_hidden()
    page.keyboard.type("1.51")
    page.keyboard.press("Enter")
    panel.expect_verdict("high")


def test_enter_in_an_empty_entry_asks_for_the_reading(open_panel: Any, page: Page) -> None:
    """No errors are painted over a form that is only half filled."""
    panel = open_panel()
    panel.type_lifts("1.50", "1.52", "1.49")
    panel.entry("lifts.3").focus()
    page.keyboard.press("Enter")
    expect(panel.state).to_have_text(UNFINISHED)
    expect(panel.entry("lifts.3")).to_be_focused()
    expect(panel.summary).to_be_hidden()


def test_the_worked_example_goes_with_the_first_digit(open_panel: Any, page: Page) -> None:
    """Its verdict is not taken for one on the reader's own reading, not after a reload either."""
    panel = open_panel()
    panel.entry("lifts.0").press_sequentially("1")
    for _ in range(2):
        expect(panel.result).to_have_text(UNFINISHED)
        expect(panel.result).not_to_have_attribute("data-example", "true")
        page.reload()
    panel.root.get_by_role("button", name="Clear the readings").click()
    expect(panel.result).to_have_attribute("data-example", "true")


def test_units_switched_over_readings_are_asked_about(open_panel: Any, page: Page) -> None:
    """Converted for the eye only: a reading on the limit stays on it."""
    panel = open_panel()
    page.evaluate("document.addEventListener('bench:answer', (event) => { window.told = event.detail; })")
    panel.type_lifts("1.40", "1.40", "1.40", "1.40")
    panel.expect_verdict("in")
    page.locator("#forward input[name=units][value=inch]").check()
    question = panel.root.locator("[data-bench=units-question]")
    expect(question.locator("p")).to_have_text("4 readings are typed in mm.")
    expect(panel.entry("lifts.0")).to_have_value("1.40")
    question.get_by_role("button", name="Convert to inch").click()
    expect(question).to_have_count(0)
    for _ in range(2):
        expect(panel.entry("lifts.0")).to_have_value("0.0551")
        expect(panel.root.locator("[data-bench=converted-from]").first).to_have_text("converted from 1.40 mm, which counts")
        panel.expect_verdict("in")
        assert panel.reply()["result"]["verdict"] == "in"
        page.reload()
    panel.entry("lifts.0").fill("0.0552")
    expect(panel.root.locator("[data-bench=converted-from]")).to_have_count(3)
    panel.expect_verdict("high")


def test_units_switched_can_clear_or_leave_the_readings(open_panel: Any, page: Page) -> None:
    """As the reader says; nothing is asked where nothing is typed."""
    panel = open_panel()
    inch, metric = (page.locator(f"#forward input[name=units][value={name}]") for name in ("inch", "metric"))
    question = panel.root.locator("[data-bench=units-question]")
    inch.check()
    expect(question).to_have_count(0)
    panel.type_lifts("0.05", "0.05 in", "", "")
    metric.check()
    expect(question.locator("p")).to_have_text("One reading is typed in inch.")
    question.get_by_role("button", name="Leave them").click()
    expect(panel.entry("lifts.0")).to_have_value("0.05")
    inch.check()
    metric.check()
    question.get_by_role("button", name="Clear them").click()
    expect(panel.entry("lifts.0")).to_have_value("")
    expect(panel.entry("lifts.0")).to_have_attribute("data-unit", "mm")
    expect(panel.entry("lifts.1")).to_have_value("0.05 in")


def test_given_figures_stay_in_the_unit_of_their_source(open_panel: Any, page: Page) -> None:
    """The converted figure stands beside it and says so."""
    panel = open_panel()
    page.add_style_tag(content=(ROOT / "build_hooks/browser/calc-panel/panel.css").read_text(encoding="utf-8"))
    row = panel.root.locator('[data-row="limits.max"]')
    expect(row.locator("input")).to_have_value("1.40 mm")
    expect(row.locator(".bench-converted")).to_be_hidden()
    page.locator("#forward input[name=units][value=inch]").check()
    expect(row.locator("input")).to_have_value("1.40 mm")
    expect(row.locator(".bench-converted")).to_have_text("0.0551 in, converted")
