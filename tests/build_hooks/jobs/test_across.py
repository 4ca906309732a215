"""Across jobs: the rebuilds of a pack beside the forecast of its drawings, and alone where there is none."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Page, expect

from tests.build_hooks.jobs.mechanic import JOBS, Mechanic
from tests.build_hooks.jobs.samples import answered, sample

pytestmark = pytest.mark.browser

DONE = (
    ("0.88 mm", "44 on a lug"),
    ("0.95 mm", "44 on a lug"),
    ("0.80 mm", "46 on a lug"),
    ("0.92 mm", "44 on a lug"),
    ("0.90 mm", "42 on a lug"),
)


def jobs_of(form: str, title: str) -> bytes:
    """A file of five jobs that each measured one pack."""
    file = sample()
    for name, entries in file.items():
        if isinstance(entries, list):
            file[name] = []
    for at, (clearance, fitted) in enumerate(DONE):
        request = {
            "method": "feeler", "leaves": [[clearance]] * 4, "limits": {"min": "0.70 mm", "max": "1.10 mm"},
            "fitted": fitted,
            "choices": [{"id": f"{size} on a lug", "thickness": f"{size / 10} mm"} for size in (42, 44, 46)],
        }  # fmt: skip
        job = f"{at:016x}"
        entry = answered("pack-clearance", request, at, form=form, title=title, at=f"2026-11-2{at}T08:00:00.000Z")
        details = sample()["details"][0]
        file["answers"].append({**entry, "id": f"{job}/{1:016x}"})
        file["details"].append({**details, "id": f"{job}/{2:016x}", "number": f"50{at}", "at": f"2026-11-2{at}T07:00:00.000Z"})
        file["states"].append({**sample()["states"][0], "id": f"{job}/{3:016x}", "at": f"2026-11-2{at}T07:00:00.000Z"})
    return json.dumps(file).encode()


def chosen(mechanic: Mechanic, page: Page, name: str) -> None:
    """Chooses what is shown, once the engine runs."""
    expect(page.locator("#bench-across")).to_be_visible()
    page.locator("#bench-across").select_option(label=name)
    expect(page.locator("[data-bench=across-answer] [data-output=advice]")).to_be_visible()
    del mechanic


def test_a_pack_whose_cavity_is_drawn_is_shown_beside_its_forecast(mechanic: Mechanic, page: Page) -> None:
    """And one of the same readings whose cavity is not, by itself. Oldest first, as the engine says by itself."""
    mechanic.goto(JOBS)
    mechanic.read(jobs_of("pack-clearance alder-4/intermediate/feeler", "Intermediate brake"))
    mechanic.add()
    chosen(mechanic, page, "Alder 4 · Intermediate brake")
    place = page.locator("[data-bench=across-answer]")
    advice = "Median of 5 rebuilds: 0.90 mm; 5 within today's limits. The gaps agree with the forecast. For 10 more keep "
    expect(place.locator("[data-output=advice]")).to_contain_text(advice)
    expect(place).to_contain_text("rebuild 3: gap = 0.80 + 4.60 (46 on a lug) = 5.40 mm")
    expect(place).to_contain_text(
        "44 on a lug: fitted 3 of 5; forecast 76.05 in 100; for 10 more 6 by the past, 10 by the forecast: keep 10"
    )
    rows = place.locator("[data-output=sizes] tbody tr")
    expect(rows).to_have_count(3)
    expect(place.locator("[data-output=rebuilds] svg")).to_be_visible()
    mechanic.read(
        jobs_of("pack-clearance alder-4/low-reverse/feeler", "Low-reverse brake").replace(b"00000000000", b"11000000000")
    )
    mechanic.add()
    chosen(mechanic, page, "Alder 4 · Low-reverse brake")
    expect(place.locator("[data-output=advice]")).to_have_text(
        "Median of 5 rebuilds: 0.90 mm. Most often fitted: 44 on a lug, 3 of 5."
    )
    expect(place).not_to_contain_text("forecast")
