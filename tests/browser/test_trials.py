"""A drum from the first trial to the last: old readings never stand beside a new part."""

from __future__ import annotations

from typing import Any, Final

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

FORWARD: Final = ("1.46", "1.49", "1.47", "1.50")
DIRECT: Final = (("24.86", "23.56"), ("24.88", "23.57"), ("24.85", "23.56"), ("24.89", "23.59"))


@pytest.fixture
def drum(open_panel: Any, page: Page) -> Any:
    """The form of a drum with two packs and two places; its newest request and reply are kept."""
    panel = open_panel("trials", "trials")
    page.evaluate("document.addEventListener('bench:answer', (event) => { window.told = event.detail; })")
    return panel


def read(panel: Any, field: str, *values: str) -> None:
    """Types the readings of a pack."""
    for at, value in enumerate(values):
        panel.entry(f"trials.0.readings.{field}.{at}").fill(value)


def read_both(panel: Any) -> None:
    """Types the readings of both packs."""
    read(panel, "0.lifts", *FORWARD)
    read(panel, "1.to_plate", *(plate for plate, _ in DIRECT))
    read(panel, "1.to_ring", *(ring for _, ring in DIRECT))


def told(panel: Any, verdict: str) -> Any:
    """The reply with that order."""
    panel.expect_verdict(verdict)
    return panel.reply()["result"]


def press(panel: Any, name: str) -> None:
    """Presses a button."""
    panel.root.get_by_role("button", name=name).click()


def test_one_order_for_the_drum(drum: Any) -> None:
    """A pack that was not read is asked for; then one order names every part that changes."""
    read(drum, "0.lifts", *FORWARD)
    assert told(drum, "measure")["measure"] == ["direct"]
    expect(drum.root.locator("[data-pack=direct]")).to_have_attribute("data-asked", "true")
    read_both(drum)
    assert told(drum, "fit")["fit"] == {"ring": "thick", "plate": "5.20"}


def test_a_changed_part_makes_old_readings_stale(drum: Any, page: Page) -> None:
    """They are struck and asked for again; what was read in the first trial stays to be seen, also after a reload."""
    read_both(drum)
    told(drum, "fit")
    press(drum, "Parts changed as ordered: next trial")
    for _ in range(2):
        assert told(drum, "measure")["measure"] == ["forward", "direct"]
        expect(drum.root.locator("[data-bench=trial-number]")).to_have_text("Trial 2")
        expect(drum.entry("trials.0.fitted.0.id")).to_have_value("thick")
        struck = drum.root.locator("[data-pack=forward] [data-bench=earlier-reading]")
        expect(struck).to_have_text("Trial 1: 1.46 mm, 1.49 mm, 1.47 mm, 1.50 mm. A part has been changed since: read it again.")
        expect(struck.locator("s")).to_have_count(1)
        page.reload()
    read(drum, "0.lifts", "1.05", "1.07", "1.06", "1.06")
    result = told(drum, "measure")
    assert result["measure"] == ["direct"]
    assert result["packs"]["direct"]["stale"]
    expect(drum.root.locator("[data-bench=earlier-trial]")).to_have_count(1)


def test_a_reading_that_does_not_move_by_the_part_is_doubted(drum: Any) -> None:
    """The part is not home, or not the size its mark says: no further part is ordered."""
    read_both(drum)
    told(drum, "fit")
    press(drum, "Parts changed as ordered: next trial")
    told(drum, "measure")
    read(drum, "0.lifts", "1.46", "1.48", "1.47", "1.47")
    result = told(drum, "check-part")
    assert result["check"] == ["forward"]
    assert "fit" not in result


def test_a_part_chosen_beneath_readings_is_asked_about(drum: Any, page: Page) -> None:
    """No answer stands until the reader has said whether the part was changed, or only the form was wrong."""
    read_both(drum)
    told(drum, "fit")
    question = drum.root.locator("[data-bench=part-question]")
    drum.entry("trials.0.fitted.1.id").select_option("5.20")
    expect(question.get_by_role("button").first).to_be_focused()
    expect(drum.result).to_have_text("No answer yet: say first what became of the part.")
    press(drum, "Take my choice back")
    told(drum, "fit")
    expect(drum.entry("trials.0.fitted.1.id")).to_have_value("5.00")
    drum.entry("trials.0.fitted.1.id").select_option("5.20")
    press(drum, "No, only the form was wrong")
    assert not told(drum, "cannot")["packs"]["direct"]["stale"]
    drum.entry("trials.0.fitted.1.id").select_option("5.00")
    press(drum, "Yes, the part was changed: next trial")
    expect(drum.root.locator("[data-bench=trial-number]")).to_have_text("Trial 2")
    result = told(drum, "cannot")
    assert result["packs"]["direct"]["stale"]
    assert result["packs"]["direct"]["clearance"] == "1.5 mm"
    earlier = drum.root.locator("[data-bench=earlier-trial]")
    earlier.locator("summary").click()
    expect(earlier.locator("li").nth(1)).to_have_text("plate: 5.20")


def test_a_trial_can_be_taken_up_again(drum: Any) -> None:
    """Going back brings the readings of the trial before."""
    read_both(drum)
    told(drum, "fit")
    press(drum, "Parts changed as ordered: next trial")
    told(drum, "measure")
    drum.root.locator("[data-bench=earlier-trial] summary").click()
    press(drum, "Go back to trial 1")
    told(drum, "fit")
    expect(drum.entry("trials.0.readings.0.lifts.0")).to_have_value("1.46")
    expect(drum.root.locator("[data-bench=earlier-trial]")).to_have_count(0)


def test_clear_begins_with_the_first_trial(drum: Any) -> None:
    """Nothing of the last drum greets the next one."""
    read_both(drum)
    told(drum, "fit")
    press(drum, "Parts changed as ordered: next trial")
    told(drum, "measure")
    press(drum, "Clear the readings")
    expect(drum.result).to_have_attribute("data-example", "true")
    expect(drum.root.locator("[data-bench=trial-number]")).to_have_text("Trial 1")
    expect(drum.entry("trials.0.fitted.0.id")).to_have_value("thin")


def test_a_problem_of_a_later_trial_stands_at_its_entry(drum: Any) -> None:
    """The engine counts trials, the form shows the present one."""
    read_both(drum)
    told(drum, "fit")
    press(drum, "Parts changed as ordered: next trial")
    told(drum, "measure")
    read(drum, "0.lifts", "1.05", "1,4x", "1.06", "1.06")
    expect(drum.problem("trials.0.readings.0.lifts.1")).to_be_visible()
