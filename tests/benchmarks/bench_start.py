"""The start of the engine, first paint and answers: ours beside a stock start of the same runtime, in the same run.

Writes docs/performance.md, with the machine. The peer is what the runtime's own guide shows: a classic worker that calls
``loadPyodide``, unpacks the engine's wheel and imports it. Both are served by the same server with the same headers, both
take turns, every round has a new profile.

    python tests/benchmarks/bench_start.py [ROUNDS] [PAGE]
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from playwright.sync_api import Playwright, sync_playwright

ROOT: Final = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from calc_engine import CATALOGUE
from tests.benchmarks.measured_site import CALCULATION_PAGE, BothSidesHandler, MeasuredSite, weight, write_measured_site
from tests.benchmarks.performance_page import ENOUGH, Measured, machine, performance_page
from tests.benchmarks.serving import served
from tests.benchmarks.slowed import slowed
from tests.benchmarks.start_rounds import ANSWERS_A_ROUND, answer_times, browser_version, first_paint, speed, visits

PAINTS_A_ROUND: Final = 9
SLOWED_ANSWERS: Final = 20
# A reader has to type at least one reading: nobody is quicker.
READING_MS: Final = 2000
SIDES: Final = ("ours", "stock")


class Run:
    """Figures as they come in."""

    def __init__(self, playwright: Playwright, site: MeasuredSite, address: str) -> None:
        self.playwright, self.site, self.address = playwright, site, address
        self.ready: dict[str, dict[str, list[float]]] = {side: {"first": [], "second": []} for side in SIDES}
        self.pages: dict[str, dict[str, list[float]]] = {name: {"first": [], "second": []} for name in site.pages}
        self.from_folder: list[float] = []
        self.slowed: dict[str, list[float]] = {side: [] for side in SIDES}
        self.paint: tuple[list[float], list[float]] = ([], [])
        self.at_once: dict[str, list[float]] = {name: [] for name in CATALOGUE}
        self.answers: dict[str, list[float]] = {name: [] for name in CATALOGUE}
        self.slowed_answers: dict[str, list[float]] = {name: [] for name in CATALOGUE}
        self.weights: dict[str, tuple[int, int]] = {}
        self.speeds: tuple[list[float], list[float]] = ([], [])

    def round(self) -> None:
        """Everything once, the sides in turn."""
        for side in SIDES:
            found = visits(self.playwright, f"{self.address}/{side}.html")
            for visit, taken in zip(("first", "second"), found.ready, strict=True):
                self.ready[side][visit].append(taken)
            self.weights[side] = weight(self.site.served, self.address, found.asked)
        for name, page in self.site.pages.items():
            for visit, taken in zip(("first", "second"), visits(self.playwright, f"{self.address}/{page}").ready, strict=True):
                self.pages[name][visit].append(taken)
        self.from_folder += visits(self.playwright, (self.site.folder / "ours.html").as_uri(), 1).ready
        pages = [f"{self.address}/{manual}/{CALCULATION_PAGE}" for manual in ("demo", "plain")]
        for kept, paints in zip(self.paint, first_paint(self.playwright, pages, PAINTS_A_ROUND), strict=True):
            kept.extend(paints)
        self._take_answers(self.at_once, 1, 0)
        self._take_answers(self.answers, ANSWERS_A_ROUND, READING_MS)
        self.speeds[0].extend(speed(self.playwright, 3))
        with slowed():
            for side in SIDES:
                self.slowed[side] += visits(self.playwright, f"{self.address}/{side}.html", 1).ready
            self._take_answers(self.slowed_answers, SLOWED_ANSWERS, READING_MS)
            self.speeds[1].extend(speed(self.playwright, 3))

    def _take_answers(self, kept: dict[str, list[float]], times: int, pause: int) -> None:
        for name, taken in answer_times(self.playwright, f"{self.address}/all.html", times, pause).items():
            kept[name] += taken

    def measured(self, rounds: int, machine_lines: list[str]) -> Measured:
        """All figures."""
        plain, slow = (statistics.median(taken) for taken in self.speeds)
        return Measured(
            rounds, machine_lines, self.ready, self.pages, self.from_folder, self.slowed, slow / plain, self.paint, self.at_once, self.answers,
            self.slowed_answers, self.weights,
        )  # fmt: skip


def main() -> None:
    """Runs the rounds and writes the page."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else ENOUGH
    page = Path(sys.argv[2]) if len(sys.argv) > 2 else ROOT / "docs" / "performance.md"
    with TemporaryDirectory() as name, sync_playwright() as playwright:
        machine_lines = machine(browser_version(playwright))
        site = write_measured_site(Path(name))
        with served(site.served, BothSidesHandler) as address:
            run = Run(playwright, site, address)
            for number in range(rounds):
                began = time.monotonic()
                run.round()
                print(f"round {number + 1} of {rounds}: {time.monotonic() - began:.0f} s", flush=True)
    text = performance_page(run.measured(rounds, machine_lines), page.read_text(encoding="utf-8") if page.is_file() else "")
    page.write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
