"""The demo as its reader uses it: from the start page to a verdict and the ring to fit."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import Page, expect

from tests.standing_reply import standing_reply

pytestmark = pytest.mark.browser

CLEARANCE = "/units/alder-4/front-drum-clearance/"
PANEL = "#calc-alder-4-front-drum"
LIFTS = ("1.31", "1.36", "1.33", "1.40")


def fill(page: Page, panel: str, readings: tuple[str, ...]) -> None:
    """Types lifts into a panel."""
    for index, reading in enumerate(readings):
        page.locator(f'{panel} [name="trials.0.readings.0.lifts.{index}"]').fill(reading)


def from_command_line(name: str, request: object) -> Any:
    """What ``python -m calc_engine run`` answers."""
    done = subprocess.run(
        [sys.executable, "-m", "calc_engine", "run", name],
        input=json.dumps(request).encode(),
        stdout=subprocess.PIPE,
        check=False,
    )
    return json.loads(done.stdout)


def test_the_readings_give_the_order_of_the_command_line(page: Page, address: str) -> None:
    """The drum's page answers with the same JSON as the command line, and says which parts to fetch for both packs."""
    page.goto(f"{address}{CLEARANCE}")
    page.evaluate("window.asked = []; addEventListener('bench:answer', (event) => window.asked.push(event.detail.request))")
    fill(page, PANEL, LIFTS)
    for index, (plate, ring) in enumerate((("24.86", "23.56"), ("24.88", "23.57"), ("24.85", "23.56"), ("24.89", "23.59"))):
        page.locator(f'{PANEL} [name="trials.0.readings.1.to_plate.{index}"]').fill(plate)
        page.locator(f'{PANEL} [name="trials.0.readings.1.to_ring.{index}"]').fill(ring)
        page.locator(f'{PANEL} [name="trials.0.readings.2.lifts.{index}"]').fill("0.28")
    page.locator(f"{PANEL} [data-bench=work]").click()
    expect(page.locator(f"{PANEL} [data-bench=result]:not([data-example])")).to_have_attribute("data-verdict", "fit")
    reply = standing_reply(page.locator(PANEL))
    assert reply == from_command_line("set-clearances", page.evaluate("window.asked.at(-1)"))
    assert reply["result"]["fit"] == {"Direct pressure plate": "5.00 mm, 50 by the dimple, DP-500, bin C3"}
    shown = page.locator(f"{PANEL} [data-bench=result]")
    expect(shown).to_contain_text("Direct pressure plate: 5.00 mm, 50 by the dimple, DP-500, bin C3 (")
    expect(shown).to_contain_text("mean = (1.31 + 1.36 + 1.33 + 1.40) / 4 = 1.35 mm")


def test_a_mistyped_reading_keeps_what_was_typed(page: Page, address: str) -> None:
    """The problem stands beside its field and is announced; nothing typed is lost, and no old verdict stands."""
    page.goto(f"{address}{CLEARANCE}")
    fill(page, PANEL, ("1.31", "1,345", "1.33", "1.40"))
    page.locator(f"{PANEL} [data-bench=work]").click()
    problem = page.locator(f'{PANEL} [data-bench=problem][data-field="trials.0.readings.0.lifts.1"]')
    expect(problem).to_contain_text("“1,345” can be read in two ways.")
    wrong = page.locator(f'{PANEL} [name="trials.0.readings.0.lifts.1"]')
    expect(wrong).to_have_value("1,345")
    expect(wrong).to_have_attribute("aria-invalid", "true")
    expect(page.locator(f'{PANEL} [name="trials.0.readings.0.lifts.3"]')).to_have_value("1.40")
    expect(page.locator(f"{PANEL} .bench-verdict-word")).to_have_count(0)


def test_the_first_field_is_soon_reached(page: Page, address: str) -> None:
    """Within three screens of a tablet on the procedure pages; on a drum's own page the form is on a phone's first screen."""
    page.set_viewport_size({"width": 820, "height": 1180})
    for path in (CLEARANCE, "/units/rowan-6/main-drum-clearance/"):
        page.goto(f"{address}{path}")
        box = page.locator("bench-calc [data-bench=pack] input[type=text]").first.bounding_box()
        assert box is not None
        assert box["y"] < 3 * 1180
    page.set_viewport_size({"width": 390, "height": 844})
    for path in ("alder-4/front-drum/", "alder-4/case/", "rowan-6/main-drum/", "hazel-2/drum/"):
        page.goto(f"{address}/bench/{path}")
        box = page.locator("bench-calc").first.bounding_box()
        assert box is not None
        assert box["y"] < 844 / 2


def test_an_answer_that_names_many_parts_fits_every_screen(page: Page, address: str) -> None:
    """Parts with mark, number and bin, and what each choice of them comes to, beside each other on a tablet and below each other on a phone."""
    page.goto(f"{address}/bench/alder-4/front-drum/")
    form = page.locator("bench-calc")
    for entry in form.locator("[name*='.readings.']:is([type=text])").all():
        entry.fill("2.40" if "to_plate" in str(entry.get_attribute("name")) else "1.31")
    expect(form.locator(".bench-verdict-word")).to_have_text("Not with this kit")
    expect(form.locator(".bench-choices").first).to_contain_text("bin A4")
    for width in (1920, 1280, 1024, 820, 390, 320):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width


def test_inch_is_chosen_once_and_remembered(page: Page, address: str) -> None:
    """The next page asks in inches, and answers in inches."""
    page.goto(f"{address}{CLEARANCE}")
    page.locator(f"{PANEL} [name=units][value=inch]").check()
    page.goto(f"{address}/units/alder-4/intermediate-brake/")
    expect(page.locator("bench-calc [name=units][value=inch]").first).to_be_checked()
    expect(page.locator("bench-calc [data-bench=unit]").first).to_have_text("in")


def test_front_matter_stays_out_of_the_navigation(site: Path) -> None:
    """A page's standing is said in words under its title; the theme would write its own mark of it in every page."""
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert "datetime" not in text, path
        assert "md-status" not in text, path


def test_every_page_is_marked_as_invented(site: Path) -> None:
    """Every page, the wall and the pages made from the catalogue included."""
    pages = [path for path in site.rglob("*.html") if path.name != "404.html"]
    assert len(pages) > 50
    for path in pages:
        text = BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser").get_text(" ")
        assert "nvented" in text, path


def test_links_lead_somewhere(site: Path) -> None:
    """Every link of every page leads to a file of the site, and every anchor to an element."""
    ids: dict[Path, set[str]] = {}
    soups = {path: BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser") for path in site.rglob("*.html")}
    for path, soup in soups.items():
        ids[path] = {found["id"] for found in soup.select("[id]")}
    for path, soup in soups.items():
        if path.name == "404.html":
            continue
        for link in soup.select("a[href], link[href], script[src], img[src]"):
            target = str(link.get("href") or link.get("src"))
            if target.startswith(("http", "data:", "mailto:", "javascript:")):
                assert link.name == "a" or "rel" in link.attrs or target.startswith("data:"), (path, target)
                continue
            where, _, anchor = target.partition("#")
            there = path if not where else (path.parent / where.split("?")[0]).resolve()
            there = there / "index.html" if there.is_dir() else there
            assert there.is_file(), (path, target)
            if anchor and not anchor.startswith("__") and there in ids:
                assert anchor in ids[there], (path, target)


def test_without_scripts_the_worked_example_stands(context: Any, chromium: Any, address: str) -> None:
    """Form, labels, units and the example's answer are there from the first paint."""
    quiet = chromium.new_context(java_script_enabled=False)
    opened = quiet.new_page()
    opened.goto(f"{address}{CLEARANCE}")
    result = opened.locator(f"{PANEL} [data-bench=result]")
    expect(result).to_contain_text("Change parts")
    expect(opened.locator(f'{PANEL} label[for="calc-alder-4-front-drum-trials-0-readings-0-lifts-0"]')).to_have_text("Lift at 1")
    quiet.close()
