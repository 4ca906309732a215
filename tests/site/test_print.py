"""A printed page: few sheets, nothing cut, a head on each, and what belongs together on one sheet."""

from __future__ import annotations

import io
import re
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from tests.site.test_demo import CLEARANCE, LIFTS, PANEL, fill
from tests.standing_reply import standing_reply

pytestmark = pytest.mark.browser

# The sheets that each took before it had a print of its own: 24, 8 and 28. The first and the last have since got a float to measure, and a
# whole drum is drawn so large that its words can be read; the second has since got the soak and the stack.
PROCEDURES = {
    "Alder 4 · Front drum: set the clearance": ("/units/alder-4/front-drum-clearance/", 10),
    "Hazel 2 · Low pack: set the clearance": ("/units/hazel-2/low-pack-clearance/", 4),
    "Rowan 6 · Main drum: set the clearance": ("/units/rowan-6/main-drum-clearance/", 10),
}
# A4 without the margins of `print.css`, in pixels of a style sheet.
TEXT_WIDTH = round((210 - 20 - 11) * 96 / 25.4)


def sheets(page: Page) -> list[str]:
    """The text of each A4 sheet that a page prints on, with single spaces."""
    printed = PdfReader(io.BytesIO(page.pdf(format="A4", prefer_css_page_size=True)))
    return [" ".join(sheet.extract_text().split()) for sheet in printed.pages]


def keep_only(page: Page, kept: str) -> None:
    """Leaves some parts of a page, under a space whose height a test may set: a short print is a quick one."""
    page.evaluate(
        """kept => {
            const article = document.querySelector("article");
            // What stays is not moved: a form that is taken out begins anew.
            [...article.children].filter((part) => !part.matches(kept)).forEach((part) => part.remove());
            article.prepend(Object.assign(document.createElement("div"), {id: "space"}));
        }""",
        kept,
    )


def work(page: Page, readings: tuple[str, ...]) -> None:
    """Types the readings and waits for the answer."""
    fill(page, PANEL, readings)
    page.locator(f"{PANEL} [data-bench=work]").click()
    standing_reply(page.locator(PANEL))


@pytest.mark.parametrize("head", PROCEDURES)
def test_a_procedure_prints_on_few_sheets_with_a_head_on_each(page: Page, address: str, head: str) -> None:
    """The head names the unit, the page, its revision, the edition and the sheet; the last sheet has lines to sign."""
    path, most = PROCEDURES[head]
    page.goto(f"{address}{path}")
    printed = sheets(page)
    assert len(printed) <= most
    for number, sheet in enumerate(printed, 1):
        place = f"Edition of {datetime.now(UTC).date().isoformat()} · sheet {number} of {len(printed)}"
        assert re.match(rf"{re.escape(head)} Revision [A-Z] · {place}", sheet), sheet[:200]
    assert all(line in printed[-1] for line in ("Job", "Date", "Name", "Signature"))
    assert "Opens this page on a phone" in printed[0]
    expect(page.locator(".bench-printed-code")).to_be_hidden()


@pytest.mark.parametrize("path", ["/units/rowan-6/main-drum-clearance/", CLEARANCE, "/calculations/choose-parts/"])
def test_nothing_is_cut_and_no_type_is_small(page: Page, address: str, path: str) -> None:
    """Everything ends within the sheet; 9 pt are 12 pixels."""
    page.set_viewport_size({"width": TEXT_WIDTH, "height": 900})
    page.emulate_media(media="print")
    page.goto(f"{address}{path}")
    assert page.locator(".md-content").bounding_box()["width"] == TEXT_WIDTH  # type: ignore[index]
    wide = page.evaluate(
        """width => [...document.querySelectorAll(".md-content *")]
            .filter((element) => !element.closest("svg, math") || element.matches("svg, math"))
            .filter((element) => element.getClientRects().length && element.getBoundingClientRect().right > width + 1)
            .map((element) => element.outerHTML.slice(0, 120))""",
        TEXT_WIDTH,
    )
    assert wide == []
    small = page.evaluate(
        """() => [...document.querySelectorAll(".md-content :not(sup, sub, option, script, style)")]
            .filter((element) => !element.closest("svg, math") && element.getClientRects().length)
            .filter((element) => [...element.childNodes].some((node) => node.nodeType === 3 && node.data.trim()))
            .filter((element) => parseFloat(getComputedStyle(element).fontSize) < 11.99)
            .map((element) => `${getComputedStyle(element).fontSize} ${element.outerHTML.slice(0, 120)}`)"""
    )
    assert small == []


def test_a_verdict_and_limits_stay_on_one_sheet(page: Page, address: str) -> None:
    """However far down a sheet they come: with 60 mm more above them each time they slide past its end."""
    page.goto(f"{address}{CLEARANCE}")
    work(page, LIFTS)
    keep_only(page, f".bench-spec, {PANEL}")
    for above in range(0, 240, 60):
        page.evaluate("height => { document.querySelector('#space').style.height = `${height}mm`; }", above)
        printed = sheets(page)
        verdict = next(sheet for sheet in printed if "Measure Direct pack" in sheet)
        assert "MEASURE" in verdict.upper()
        limits = next(sheet for sheet in printed if "Alder 4, Forward pack: clearance" in sheet)
        assert "shop standard FL-12" in limits
        assert "shop standard FL-13" in limits


@pytest.mark.parametrize("path", [CLEARANCE, "/units/rowan-6/main-drum-clearance/"])
def test_the_form_of_a_drum_goes_on_between_its_packs(page: Page, address: str, path: str) -> None:
    """It begins on the first sheet; a pack's limits are with its blanks, and the line for the answer with the last pack."""
    page.goto(f"{address}{path}")
    limits = [" ".join(text.split()) for text in page.locator(".bench-pack .bench-limits").all_inner_texts()]
    printed = sheets(page)
    assert "Trial 1" in printed[0]
    # The limits, and the number of the last position that is read.
    whole = [re.compile(rf"{re.escape(text)}.*? at 4\b") for text in limits]
    at = [next(number for number, sheet in enumerate(printed) if pack.search(sheet)) for pack in whole]
    assert at[0] == 0
    assert at == sorted(at)
    assert "By the readings above:" in printed[at[-1]]


def test_a_form_prints_blank_then_with_its_answer_and_never_an_old_one(page: Page, address: str) -> None:
    """The worked example keeps its sentence; its figures leave the paper to the readings."""
    page.goto(f"{address}{CLEARANCE}")
    keep_only(page, f"{PANEL}, .bench-sign-off")
    blank = " ".join(sheets(page))
    assert "Worked example: Forward pack 1.31 mm, 1.36 mm, 1.33 mm, 1.40 mm" in blank
    assert "By the readings above:" in blank
    assert "Then measure again" not in blank
    assert "mean = (1.31" not in blank
    assert "Calculate" not in blank
    work(page, ("1.10", "1.12", "1.11", "1.13"))
    answered = " ".join(sheets(page))
    assert "mean = (1.10 + 1.12 + 1.11 + 1.13) / 4" in answered
    assert "By the readings above:" not in answered
    page.locator(f'{PANEL} [name="trials.0.readings.0.lifts.0"]').fill("1.00")
    expect(page.locator(f"{PANEL} [data-bench=result][data-stale]")).to_be_attached()
    assert "mean = (1.10" not in " ".join(sheets(page))
