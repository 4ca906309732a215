"""The build sheet and the tag on paper: A4 and US Letter, few sheets, nothing cut, and a square code that reads back."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from typing import Final

import pytest
from playwright.sync_api import Page
from pypdf import PdfReader

from tests.build_hooks.jobs.mechanic import JOBS, SHEET, Mechanic
from tests.build_hooks.jobs.samples import drum_job

pytestmark = pytest.mark.browser

# Width and height in points: ISO 216 A4, ANSI/ASME Y14.1 size A (US Letter).
PAPERS: Final = {"A4": (595, 842), "Letter": (612, 792)}
# Margins of print.css in points: top, right, bottom, left. The running head is above the upper one.
MARGINS: Final = tuple(mm / 25.4 * 72 for mm in (16, 11, 11, 20))
MODULES: Final = """code => {
  const size = code.viewBox.baseVal.width;
  const rows = Array.from({ length: size }, () => Array(size).fill(0));
  for (const [, x, y] of code.querySelector("path").getAttribute("d").matchAll(/M(\\d+) (\\d+)h1v1h-1z/g)) rows[y][x] = 1;
  return rows;
}"""


@pytest.fixture
def sheet(without_engine: Mechanic) -> Page:
    """The build sheet of the common job."""
    without_engine.goto(JOBS)
    without_engine.read(json.dumps(drum_job()).encode())
    without_engine.add()
    without_engine.page.locator("[data-bench=work-on]").click()
    without_engine.works_on("4711")
    without_engine.goto(SHEET)
    without_engine.page.locator("[data-bench=sheet]").wait_for()
    return without_engine.page


def printed(page: Page, what: str, paper: str) -> list[str]:
    """The text of each sheet, on the paper that the browser's dialog has chosen."""
    page.evaluate("what => { document.documentElement.dataset.print = what; }", what)
    pages = PdfReader(io.BytesIO(page.pdf(format=paper, prefer_css_page_size=True))).pages
    width, height = PAPERS[paper]
    top, right, bottom, left = MARGINS
    outside: list[tuple[str, float, float]] = []
    for one in pages:
        # The browser rounds the sheet up to whole points.
        assert (float(one.mediabox.width), float(one.mediabox.height)) == pytest.approx((width, height), abs=1.1)

        def seen(text: str, matrix: list[float], place: list[float], _font: object, _size: float) -> None:
            # From the text's own space to that of the sheet; y counts from below.
            x = place[4] * matrix[0] + matrix[4]
            y = place[5] * matrix[3] + matrix[5]
            if text.strip() and y < height - top and not (left - 1 <= x <= width - right and bottom - 1 <= y):
                outside.append((text, x, y))

        one.extract_text(visitor_text=seen)
    assert outside == []
    return [" ".join(one.extract_text().split()) for one in pages]


@pytest.mark.parametrize("paper", PAPERS)
def test_a_common_job_is_one_sheet_with_all_that_was_noted(sheet: Page, paper: str) -> None:
    """Readings, trials, a changed part, holds, torque, what was accepted, and the lines to sign; the tag is another sheet."""
    (text,) = printed(sheet, "sheet", paper)
    for words in (
        "Build sheet 4711", "Unit Alder 4", "Serial number A4-20-1188", "Complaint Slips in 3rd when hot",
        "Front drum: forward 1.27 mm; 1.29 mm; 1.26 mm; 1.28 mm (trial 2 of 2) 1.275 mm ± 0.027 mm",
        "forward ring: one dot; reaction plate: 5.20, measured 5.21 mm",
        "NOT MEASURED since a part was changed",
        "OUT OF LIMITS Too loose",
        "ACCEPTED OUT OF LIMITS by Wren Ashby: Customer declined a new drum.",
        "Alder 4 front drum: set the clearance: 24 of 24 ticked", "Alder 4 front drum: assemble: 31 of 31 ticked",
        "Torque wrench with an extension:", "Forward piston outer seal (FR-110)", "Soak the friction plates started",
        "Technician Checked by Date",
    ):  # fmt: skip
        assert words in text, (words, text)
    assert "Still open" not in text
    assert "Accept all the same" not in text
    assert "Correct an entry" not in text
    (tag,) = printed(sheet, "tag", paper)
    assert "Job 4711: tie this to the parts" in tag
    assert "Front drum: " in tag
    assert "Clearances and end play" not in tag


def test_rows_of_a_long_sheet_are_not_cut(sheet: Page) -> None:
    """With eighteen more clearances it takes several; each row is on one of them, with who measured it and who accepted it."""
    sheet.evaluate(
        """() => {
          const body = document.querySelector("[data-bench=sheet] tbody");
          const rows = [...body.querySelectorAll("tr")].slice(0, 3);
          for (let at = 1; at <= 18; at++) for (const row of rows) {
            const copy = row.cloneNode(true);
            copy.children[0].textContent = `begin${at} ${copy.children[0].textContent} end${at}.`;
            body.append(copy);
          }
        }"""
    )
    texts = printed(sheet, "sheet", "A4")
    assert len(texts) > 1
    for at in range(1, 19):
        begun = [(text.count(f"begin{at} "), text.count(f"end{at}.")) for text in texts]
        assert max(begun) == (3, 3), (at, begun)


def decoded(rows: list[list[int]]) -> str:
    """The text of a QR code of version 1 in byte mode, read without correcting anything.

    Args:
        rows: the modules, 1 for a dark one, with a quiet zone of four.

    Source: ISO/IEC 18004: 7.9 (format), 7.8.2 (masks), 7.7.3 (order of the modules), 7.4.5 (byte mode); from memory.
    """
    assert not any(any(row) for row in (*rows[:4], *rows[-4:]))
    assert not any(row[at] for row in rows for at in (*range(4), *range(-4, 0)))
    modules = [row[4:-4] for row in rows[4:-4]]
    assert len(modules) == 21
    place = [*(modules[8][at] for at in (0, 1, 2, 3, 4)), modules[8][5]]
    mask = int("".join(map(str, place)), 2) >> 1 & 0b111 ^ 0b101
    masks: list[Callable[[int, int], int]] = [
        lambda row, column: (row + column) % 2,
        lambda row, _column: row % 2,
        lambda _row, column: column % 3,
        lambda row, column: (row + column) % 3,
        lambda row, column: (row // 2 + column // 3) % 2,
        lambda row, column: row * column % 2 + row * column % 3,
        lambda row, column: (row * column % 2 + row * column % 3) % 2,
        lambda row, column: ((row + column) % 2 + row * column % 3) % 2,
    ]
    bits = ""
    columns = [column for column in range(20, -1, -1) if column != 6]
    for turn, right in enumerate(columns[::2]):
        left = columns[2 * turn + 1]
        for row in range(20, -1, -1) if turn % 2 == 0 else range(21):
            for column in (right, left):
                finder = (row < 9 and (column < 9 or column > 12)) or (row > 12 and column < 9)
                if not finder and row != 6:
                    bits += str(modules[row][column] ^ (masks[mask](row, column) == 0))
    assert bits[:4] == "0100"
    count = int(bits[4:12], 2)
    return bytes(int(bits[12 + 8 * at : 20 + 8 * at], 2) for at in range(count)).decode()


def test_the_square_code_reads_back_as_the_number(sheet: Page) -> None:
    """That of the sheet and that of the tag, which say the same to those who do not see them."""
    for place in ("sheet", "tag"):
        code = sheet.locator(f"[data-bench={place}] [data-bench=square-code]")
        assert decoded(code.evaluate(MODULES)) == "4711"
        assert code.get_attribute("aria-label") == "Square code: 4711"
