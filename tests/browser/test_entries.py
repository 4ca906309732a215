"""What a form makes of its entries: lists that grow, parts that only some choices want, groups that may be left out."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.waiting import until

pytestmark = pytest.mark.browser


@pytest.fixture
def anyhow(open_panel: Any) -> Any:
    """The panel in which every entry of pack clearance is open, its limits typed."""
    panel = open_panel("anyhow", "anyhow")
    panel.entry("limits.min").fill("0.90")
    panel.entry("limits.max").fill("1.40")
    return panel


@pytest.fixture
def sent(anyhow: Any, page: Page) -> Any:
    """The newest request that was answered."""
    return _asked_by(anyhow, page)


def _asked_by(panel: Any, page: Page) -> Any:
    """Calculates, and takes the request that was answered."""
    page.evaluate("document.addEventListener('bench:answer', (event) => { window.told = event.detail; })")

    def newest() -> Any:
        page.evaluate("window.told = null")
        panel.work.click()
        page.wait_for_selector("bench-calc[data-state=ready]", state="attached")
        return until(page, "window.told && window.told.request")

    return newest


def _add(panel: Any, field: str) -> Any:
    return panel.root.locator(f'[data-bench=list][data-field="{field}"] > [data-bench=add]')


def _take_out(panel: Any, field: str) -> Any:
    return panel.root.locator(f'[data-bench=list][data-field="{field}"] > [data-bench=item] > [data-bench=remove]')


def _leave_one(panel: Any, field: str) -> None:
    """Brings a list down to its first entry."""
    while _take_out(panel, field).count() > 1:
        _take_out(panel, field).last.click()


def test_only_what_the_choice_wants_is_shown_and_sent(anyhow: Any, sent: Any) -> None:
    """Readings of another method are hidden and left out, but not forgotten."""
    anyhow.entry("method").select_option("dial")
    _leave_one(anyhow, "lifts")
    anyhow.entry("lifts.0").fill("1.20")
    expect(anyhow.entry("cavity")).to_be_hidden()
    assert sent()["lifts"] == ["1.20 mm"]
    anyhow.entry("method").select_option("depth")
    _leave_one(anyhow, "to_plate")
    _leave_one(anyhow, "to_ring")
    expect(anyhow.entry("lifts.0")).to_be_hidden()
    anyhow.entry("to_plate.0").fill("5.20")
    anyhow.entry("to_ring.0").fill("4.00")
    request = sent()
    assert "lifts" not in request
    assert request["to_plate"] == ["5.20 mm"]
    anyhow.entry("method").select_option("dial")
    expect(anyhow.entry("lifts.0")).to_have_value("1.20")


def test_an_entry_that_may_stay_empty_is_left_out(anyhow: Any, sent: Any) -> None:
    """Empty optional entries and groups are not part of the request; a group in use is."""
    anyhow.entry("method").select_option("dial")
    _leave_one(anyhow, "lifts")
    anyhow.entry("lifts.0").fill("1.20")
    request = sent()
    assert {"gauge", "wave", "friction_plates", "spread_limit"}.isdisjoint(request)
    anyhow.entry("gauge.resolution").fill("0.01")
    request = sent()
    assert request["gauge"]["resolution"] == "0.01 mm"


def test_a_list_grows_and_shrinks_and_stays_numbered(anyhow: Any, sent: Any, page: Page) -> None:
    """Added entries are named, labelled and described in their turn; one taken out of the middle closes the gap."""
    anyhow.entry("method").select_option("dial")
    _leave_one(anyhow, "lifts")
    for _ in range(3):
        _add(anyhow, "lifts").click()
    expect(anyhow.entry("lifts.3")).to_be_focused()
    for index, value in enumerate(("1.10", "1.20", "1.30", "1.40")):
        anyhow.entry(f"lifts.{index}").fill(value)
    _take_out(anyhow, "lifts").nth(1).click()
    expect(anyhow.entry("lifts.3")).to_have_count(0)
    assert sent()["lifts"] == ["1.10 mm", "1.30 mm", "1.40 mm"]
    labels = [page.locator(f'label[for="{anyhow.entry(f"lifts.{index}").get_attribute("id")}"]') for index in range(3)]
    assert [label.inner_text().split()[-1] for label in labels] == ["1", "2", "3"]
    problems = [anyhow.problem(f"lifts.{index}").get_attribute("id") for index in range(3)]
    assert problems == [anyhow.entry(f"lifts.{index}").get_attribute("aria-describedby") for index in range(3)]
    assert [button.get_attribute("aria-label")[-1] for button in _take_out(anyhow, "lifts").all()] == ["1", "2", "3"]


def test_lists_in_lists(anyhow: Any, sent: Any) -> None:
    """Leaves of a feeler at several positions: both lists grow, and each knows its place."""
    anyhow.entry("method").select_option("feeler")
    _leave_one(anyhow, "leaves")
    _leave_one(anyhow, "leaves.0")
    anyhow.entry("leaves.0.0").fill("1.00")
    _add(anyhow, "leaves.0").click()
    anyhow.entry("leaves.0.1").fill("0.20")
    _add(anyhow, "leaves").click()
    anyhow.entry("leaves.1.0").fill("0.90")
    _add(anyhow, "leaves").click()
    anyhow.entry("leaves.2.0").fill("1.25")
    _add(anyhow, "leaves.2").click()
    anyhow.entry("leaves.2.1").fill("0.05")
    assert sent()["leaves"] == [["1.00 mm", "0.20 mm"], ["0.90 mm"], ["1.25 mm", "0.05 mm"]]
    _take_out(anyhow, "leaves").nth(1).click()
    assert sent()["leaves"] == [["1.00 mm", "0.20 mm"], ["1.25 mm", "0.05 mm"]]


def test_groups_in_lists(anyhow: Any, sent: Any) -> None:
    """Parts of a stack: each entry of the list is an object of named fields."""
    anyhow.entry("method").select_option("parts")
    _leave_one(anyhow, "parts")
    anyhow.entry("cavity").fill("20.00")
    _add(anyhow, "parts").click()
    for index, (name, thickness, count) in enumerate((("friction", "1.70", "5"), ("steel", "1.80", "6"))):
        anyhow.entry(f"parts.{index}.name").fill(name)
        anyhow.entry(f"parts.{index}.thickness").fill(thickness)
        anyhow.entry(f"parts.{index}.count").fill(count)
    request = sent()
    assert request["cavity"] == "20.00 mm"
    assert request["parts"] == [
        {"name": "friction", "thickness": "1.70 mm", "count": "5"},
        {"name": "steel", "thickness": "1.80 mm", "count": "6"},
    ]


def test_lists_keep_their_length_over_a_reload(anyhow: Any, page: Page) -> None:
    """Readings in entries that were added are there again."""
    anyhow.entry("method").select_option("feeler")
    _leave_one(anyhow, "leaves")
    _leave_one(anyhow, "leaves.0")
    _add(anyhow, "leaves").click()
    _add(anyhow, "leaves.1").click()
    anyhow.entry("leaves.0.0").fill("1.10")
    anyhow.entry("leaves.1.0").fill("1.00")
    anyhow.entry("leaves.1.1").fill("0.15")
    page.reload()
    expect(anyhow.entry("leaves.1.1")).to_have_value("0.15")
    expect(anyhow.entry("method")).to_have_value("feeler")
    anyhow.expect_verdict("in")


def test_the_last_entry_cannot_be_taken_out(anyhow: Any) -> None:
    """A list never gets shorter than it may be."""
    anyhow.entry("method").select_option("dial")
    _leave_one(anyhow, "lifts")
    expect(_take_out(anyhow, "lifts")).to_be_disabled()
    _add(anyhow, "lifts").click()
    expect(_take_out(anyhow, "lifts").first).to_be_enabled()


def test_groups_by_name(open_panel: Any, page: Page) -> None:
    """A trial of a drum: a part for each place, and readings by any method for each pack that was read."""
    drum = open_panel("drum", "drum")
    for field in ("packs", "positions", "positions.0.choices", "trials", "trials.0.fitted", "trials.0.readings"):
        _leave_one(drum, field)
    _leave_one(drum, "trials.0.readings.0.lifts")
    typed = {
        "packs.0.name": "low", "packs.0.limits.min": "0.80", "packs.0.limits.max": "1.20",
        "positions.0.name": "ring", "positions.0.choices.0.id": "thin", "positions.0.choices.0.thickness": "2.00",
        "trials.0.fitted.0.(name)": "ring", "trials.0.fitted.0.id": "thin",
        "trials.0.readings.0.(name)": "low", "trials.0.readings.0.lifts.0": "1.10",
    }  # fmt: skip
    for name, value in typed.items():
        drum.entry(name).fill(value)
    drum.root.locator("[data-map=key]").first.fill("low")
    expect(drum.entry("trials.0.readings.0.to_plate.0")).to_be_hidden()
    sent = _asked_by(drum, page)
    first = {"fitted": {"ring": {"id": "thin"}}, "readings": {"low": {"method": "dial", "lifts": ["1.10 mm"]}}}
    request = sent()
    assert request["packs"] == [{"name": "low", "limits": {"min": "0.80 mm", "max": "1.20 mm"}}]
    assert request["trials"] == [first]
    # A second trial, from the template: read by another method; what is left empty of readings is left out.
    _add(drum, "trials").click()
    drum.entry("trials.1.fitted.0.(name)").fill("ring")
    drum.entry("trials.1.fitted.0.id").fill("thin")
    drum.entry("trials.1.fitted.0.measured").fill("2.01")
    second = {"fitted": {"ring": {"id": "thin", "measured": "2.01 mm"}}}
    assert sent()["trials"] == [first, second]
    drum.entry("trials.1.readings.0.(name)").fill("low")
    drum.entry("trials.1.readings.0.method").select_option("depth")
    expect(drum.entry("trials.1.readings.0.lifts.0")).to_be_hidden()
    drum.entry("trials.1.readings.0.to_plate.0").fill("5.09")
    drum.entry("trials.1.readings.0.to_ring.0").fill("4.00")
    read = {"low": {"method": "depth", "to_plate": ["5.09 mm"], "to_ring": ["4.00 mm"]}}
    assert sent()["trials"] == [first, second | {"readings": read}]
    drum.expect_verdict("stay")
    # A problem of a named part is shown where that part is.
    drum.entry("trials.1.fitted.0.id").fill("thick")
    drum.work.click()
    expect(drum.problem("trials.1.fitted.0.id")).to_have_text("“thick” is not in the list of sizes. Name one of: thin.")


@pytest.fixture
def gears(open_panel: Any) -> Any:
    """The panel of a small gear train, typed; a gear in which nothing is on among its gears."""
    panel = open_panel("gears", "gears")
    typed = {
        "sets.0.name": "P", "sets.0.sun": "30", "sets.0.ring": "72", "joined.0": "input,P.sun", "elements.0.name": "B", "elements.0.holds": "P.ring",
        "elements.1.name": "C", "elements.1.joins": " input , P.carrier, ", "gears.0.name": "low", "gears.0.on": "B", "gears.1.name": "N",
        "input": "input", "output": "P.carrier",
    }  # fmt: skip
    for name, text in typed.items():
        panel.entry(name).fill(text)
    return panel


def test_names_are_typed_with_commas_between_them(gears: Any, page: Page) -> None:
    """Each is a name of the list; spaces and a last comma are none; a list that may be empty is sent empty, an optional one not at all."""
    request = _asked_by(gears, page)()
    assert request["joined"] == [["input", "P.sun"]]
    assert request["elements"] == [{"name": "B", "holds": "P.ring"}, {"name": "C", "joins": ["input", "P.carrier"]}]
    assert request["gears"] == [{"name": "low", "on": ["B"]}, {"name": "N", "on": []}]
    expect(gears.root.locator("[data-output=advice]")).to_have_text("low: 3.4 to 1; N: free")


def test_a_name_in_a_list_has_its_problem_at_the_entry_of_the_list(gears: Any) -> None:
    """The list is one entry, whichever of its names is wrong."""
    gears.entry("gears.0.on").fill("B, X")
    gears.work.click()
    problem = gears.root.locator('[data-bench=problem][data-field="gears.0.on"]')
    expect(problem).to_have_text("There is no element “X”. Name one of: B, C.")
