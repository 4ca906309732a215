"""A rebuild over two days: begun on one tablet, taken up on another through the shared folder, proved by one sheet and one file."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Route, expect

from build_hooks.cli import main
from build_hooks.site.serve import make_server
from tests.build_hooks.jobs.mechanic import BENCH, JOBS, SHEET, Mechanic
from tests.build_hooks.jobs.test_paper import printed

pytestmark = pytest.mark.browser

END_PLAY = "units/alder-4/end-play/"
# Forward too loose, direct in its limits, the float; then all three after the order.
FIRST = ("1.44", "1.49", "1.46", "1.51", "24.62", "24.65", "24.60", "24.63", "23.52", "23.53", "23.52", "23.53", "0.49", "0.50", "0.47", "0.49")  # fmt: skip
SECOND = ("1.27", "1.29", "1.27", "1.28", "24.42", "24.45", "24.40", "24.43", "23.52", "23.53", "23.52", "23.53", "0.28", "0.29", "0.28", "0.28")  # fmt: skip
ORDER = "Fit Reaction plate: 5.20 mm"


@pytest.fixture
def shop(site: Path, tmp_path: Path) -> Iterator[str]:
    """The address of the demo in a shop whose devices share their jobs."""
    (folder := tmp_path / "jobs").mkdir()
    server = make_server(site, 0, quiet=True, jobs=folder)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://localhost:{server.port}"
    server.shutdown()


def shared(route: Route) -> None:
    """A page as it is built for a shop that names its folder."""
    answer = route.fetch()
    route.fulfill(response=answer, body=answer.text().replace("<bench-job-bar ", '<bench-job-bar data-folder="shared-jobs/" '))


def tablet(chromium: Browser, address: str) -> Mechanic:
    """A tablet of the shop with an empty profile."""
    context: BrowserContext = chromium.new_context(
        viewport={"width": 820, "height": 1180}, has_touch=True, service_workers="block"
    )
    context.route(lambda url: url.endswith("/"), shared)
    return Mechanic(context.new_page(), address)


def settle(mechanic: Mechanic) -> None:
    """Looks into the folder until all that is here is there too."""
    mechanic.goto(JOBS)
    mechanic.page.locator("[data-bench=shared-look]").click()
    expect(mechanic.page.locator("[data-bench=shared][data-state=current][data-waiting='0']")).to_be_visible()


def shaft(mechanic: Mechanic, at: int) -> Locator:
    """The form of a shaft's end play: the output shaft's is the first."""
    return mechanic.page.locator("bench-calc").nth(at)


def read(form: Locator, *figures: str) -> None:
    """Types readings, each with Enter, as a gauge with a cable does."""
    for at, figure in enumerate(figures):
        entry = form.locator(f"[name='lifts.{at}']")
        entry.fill(figure)
        entry.press("Enter")


def advice(mechanic: Mechanic, words: str, at: int = 0) -> None:
    """Waits for what the form says, and for its verdict on the screen."""
    said = shaft(mechanic, at).locator("[data-bench=result] .bench-verdict")
    expect(said).to_contain_text(words)


def test_a_job_over_two_days_and_two_tablets(
    chromium: Browser, shop: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The order of the first day is carried out on the second; what is accepted, changed and corrected is on the sheet, and recheck agrees."""
    first = tablet(chromium, shop)
    first.goto(BENCH)
    first.job("4711", serial="A4-20-1188", complaint="Slips in 3 when hot")
    first.type(*FIRST)
    advice(first, ORDER)
    settle(first)
    first.page.context.close()

    second = tablet(chromium, shop)
    page = second.page
    second.goto(JOBS)
    page.locator("[data-bench=work-on]").click()
    second.works_on("4711")
    page.locator("#bench-job-worker").fill("Bo Lind")
    page.locator("#bench-job-worker").blur()
    second.goto(BENCH)
    page.get_by_role("button", name="Parts changed as ordered: next trial").click()
    second.type(*SECOND)
    advice(second, "Every pack is within its limits")

    # The washer that was read with gives way to another: nothing that was read with it is an answer for that.
    second.goto(END_PLAY)
    output = shaft(second, 0)
    read(output, "0.81", "0.82", "0.81")
    advice(second, "Too loose. Fit two tabs.")
    expect(output.locator(".bench-verdict")).to_be_in_viewport()
    output.locator("[name=fitted]").select_option("two tabs")
    expect(output.locator(".bench-verdict")).to_have_count(0)
    output.get_by_role("button", name="Calculate").click()
    expect(output.locator(".bench-verdict")).to_have_count(0)
    output.get_by_role("button", name="Yes, the part was changed: read again").click()
    expect(output.locator("[name='lifts.0']")).to_be_focused()
    expect(output.locator("[name='lifts.2']")).to_have_value("")
    read(output, "0.51", "0.52", "0.51")
    advice(second, "Within the limits")
    read(shaft(second, 1), "0.62", "0.61", "0.63")
    advice(second, "Too loose", at=1)

    second.goto(SHEET)
    sheet = page.locator("[data-bench=sheet]")
    page.locator(".bench-accept input").fill("No thicker washer is made")
    page.locator("[data-bench=accept]").click()
    expect(sheet).to_contain_text("ACCEPTED OUT OF LIMITS by Bo Lind: No thicker washer is made")
    wrong = page.locator("#bench-correct-what optgroup[label='Readings typed'] option")
    expect(wrong.first).to_have_text("Front drum: set the clearances, trial 2, Forward pack, lift 1: 1.27 mm")
    page.locator("[data-bench=close-job]").click()
    for paper in ("A4", "Letter"):
        (text,) = printed(page, "sheet", paper)
        assert "OUT OF LIMITS Too loose" in text
    verdicts = [row.split()[-1] for row in sheet.locator("tbody tr:has(th)").all_inner_texts()]
    assert verdicts == ["In", "In", "In", "In", "loose"]

    second.goto(JOBS)
    file = second.save(tmp_path)
    assert file.stat().st_size < 100_000
    assert main(["recheck", str(file)]) == 0
    assert "0 that differ." in capsys.readouterr().out
    page.context.close()
