"""From the writing of a file to the new text on the screen of Chromium, while ``benchleaf serve`` watches a copy of the demo.

``python -m tests.benchmarks.bench_edit [ROUNDS]`` prints the median and the longest time of each kind of edit, and how busy the machine
was meanwhile.
"""

from __future__ import annotations

import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from playwright.sync_api import Page, sync_playwright

from tests.chromium import FLAGS, chromium_program
from tests.ports import free_port

_ROOT: Final = Path(__file__).parents[2]
_PAGE: Final = "units/alder-4/front-drum-clearance"
# Milliseconds between two edits: the engine of a form starts anew with each loading, and takes a processor for some seconds.
_PAUSE: Final = 4_000


@contextmanager
def _served(folder: Path) -> Iterator[str]:
    """A copy of the demo in a folder, watched; its address once the first build is in place and nothing follows it."""
    shutil.copytree(_ROOT / "docs", folder / "docs")
    shutil.copy(_ROOT / "mkdocs.yml", folder)
    for name in ("node_modules", ".cache"):
        (folder / name).symlink_to(_ROOT / name)
    port = free_port()
    command = [sys.executable, "-m", "build_hooks", "serve", "--port", str(port)]
    with (folder / "said").open("w") as said, subprocess.Popen(command, cwd=folder, stdout=said, stderr=said) as process:
        try:
            _until(lambda: "Built in" in (folder / "said").read_text())
            yield f"http://localhost:{port}/"
        finally:
            process.terminate()


def _until(done: Callable[[], object]) -> None:
    while not done():
        time.sleep(0.02)


def _timed(page: Page, file: Path, text: str, expected: str) -> float:
    began = time.monotonic()
    file.write_text(text, encoding="utf-8")
    while True:
        try:
            if expected in page.inner_text("body", timeout=5_000):
                return time.monotonic() - began
        except Exception:  # noqa: BLE001, S110 - it is loading anew
            pass
        time.sleep(0.01)


def main(rounds: int = 5) -> None:
    """Prints the figures."""
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        folder = Path(name)
        with _served(folder) as address:
            browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
            page = browser.new_page()
            page.goto(f"{address}{_PAGE}/")
            page.evaluate("scrollTo(0, document.body.scrollHeight / 2)")
            place = page.evaluate("scrollY")
            text_file, unit_file = folder / "docs" / f"{_PAGE}.md", folder / "docs/units/alder-4/unit.yml"
            text, unit = text_file.read_text(encoding="utf-8"), unit_file.read_text(encoding="utf-8")
            kinds: dict[str, Callable[[int], float]] = {
                "a page's text": lambda at: _timed(page, text_file, f"{text}\n\nSeen {at}.\n", f"Seen {at}."),
                "a figure in unit.yml": lambda at: _timed(page, unit_file, *_with_figure(unit, at)),
                "a faulty block": lambda at: _timed(
                    page, text_file, f"{text}\n\n```spec\nnothing-{at}: 1\n```\n", f"nothing-{at}"
                ),
            }
            for kind, edit in kinds.items():
                times = []
                for at in range(rounds):
                    times.append(edit(at))
                    page.wait_for_timeout(_PAUSE)
                    if kind == "a page's text":
                        sys.stdout.write(f"  kept its place: {page.evaluate('scrollY')} of {place}\n")
                text_file.write_text(text, encoding="utf-8")
                unit_file.write_text(unit, encoding="utf-8")
                page.wait_for_timeout(3_000)
                sys.stdout.write(f"{kind}: median {statistics.median(times):.2f} s, longest {max(times):.2f} s\n")
            browser.close()
        sys.stdout.write(f"load {os.getloadavg()[0]:.1f}\n{(folder / 'said').read_text()}")


def _with_figure(unit: str, at: int) -> tuple[str, str]:
    """unit.yml with another upper limit of the first pack, and the figure as the page shows it."""
    new = f"2.{at + 10}"
    at_pack = unit.index("    clearance:\n")
    return unit[:at_pack] + re.sub(r"max: \S+ mm", f"max: {new} mm", unit[at_pack:], count=1), new


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:]))
