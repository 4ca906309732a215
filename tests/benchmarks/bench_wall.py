"""The wall view of the demo as a browser draws it: letters in minutes of arc, presses to each stack, faults on its screens.

    python tests/benchmarks/bench_wall.py

The peer is the size that the open guidance asks for: 16 minutes of arc at the
least and 20 preferred (NUREG-0700 rev. 3, 11.4.1.5-1).
"""

from __future__ import annotations

import sys
import tempfile
from collections import deque
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from playwright.sync_api import Browser, Page, sync_playwright

ROOT: Final = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from build_hooks.library import Library
from build_hooks.model import Screen
from tests.build_hooks.wall.wall_site import (
    SIZES,
    faults_on_screens,
    library_of,
    minutes_of_arc,
    open_wall,
    smallest_letters,
    write_wall,
)
from tests.chromium import FLAGS, chromium_program

DEMO: Final = ROOT / "docs"
PREFERRED: Final = 20
_ARROWS: Final = ("ArrowRight", "ArrowLeft", "ArrowDown", "ArrowUp")


def told(text: str) -> None:
    """Prints a line at once."""
    print(text, flush=True)


def print_letters(page: Page, site: Path, library: Library) -> None:
    """The smallest letters of each screen at each size."""
    told("Smallest capital in sight, menu and stack, as the browser draws it\n")
    told(f"{'screen':<22}{'picture':>12}{'capital':>12}{'arc':>9}{'of 20':>8}   smallest text; number on the drawing")
    for name, screen in library.shop.screens.items():
        for size in SIZES:
            letters = _letters(page, site, name, size)
            words = {kind: height for kind, height in letters.items() if kind != "number on the drawing"}
            least = min(words, key=words.__getitem__)
            arc = minutes_of_arc(words[least], size[1], screen)
            number = minutes_of_arc(letters["number on the drawing"], size[1], screen)
            picture = f"{size[0]}x{size[1]}"
            capital = f"{words[least]:.1f} px"
            told(
                f"{_described(screen):<22}{picture:>12}{capital:>12}{arc:>8.2f}'{arc / PREFERRED:>8.3f}   {least}; {number:.2f}'"
            )


def _described(screen: Screen) -> str:
    return f"{screen.diagonal} at {screen.distance}"


def _letters(page: Page, site: Path, name: str, size: tuple[int, int]) -> Mapping[str, float]:
    found: dict[str, float] = {}
    for where in ("", "alder-4", "alder-4/forward", "alder-4/low-reverse"):
        open_wall(page, site, where, size, name)
        for kind, height in smallest_letters(page).items():
            found[kind] = min(found.get(kind, height), height)
    return found


def print_presses(page: Page, site: Path, library: Library) -> None:
    """Presses from the start screen: by number keys, and the fewest by arrows and Enter."""
    told("\nPresses from the start screen to each stack\n")
    told(f"{'stack':<28}{'numbers':>9}{'arrows':>9}")
    arrows = _fewest(page, site)
    for unit_number, unit in enumerate(library.units.values(), 1):
        for pack_number, pack in enumerate(unit.packs.values(), 1):
            numbers = len(f"{unit_number}{pack_number}")
            told(f"{unit.name + ', ' + pack.name:<28}{numbers:>9}{arrows[f'{unit.id}/{pack.id}']:>9}")


def _fewest(page: Page, site: Path) -> dict[str, int]:
    """The fewest arrows from the start to the link of each stack, tried out in the browser, and Enter."""
    found: dict[str, int] = {}
    ways: deque[tuple[str, ...]] = deque([()])
    open_wall(page, site, "", SIZES[1])
    wanted = page.locator("ol.wall-menu .wall-pack").count()
    while ways and len(found) < wanted:
        way = ways.popleft()
        page.reload()
        page.wait_for_selector("html[data-wall=ready]")
        for key in way:
            page.keyboard.press(key)
        stack = str(page.evaluate("() => document.activeElement.getAttribute('href')")).removesuffix("/index.html")
        if stack not in found:
            found[stack] = len(way) + 1
            ways.extend((*way, key) for key in _ARROWS)
    return found


def print_faults(page: Page, site: Path) -> None:
    """Goes through every screen of every pack at each size."""
    told("\nScroll, cut-off text, overlap\n")
    for size in SIZES:
        screens = 0
        faults: list[str] = []
        for folder in sorted((site / "wall").rglob("index.html")):
            where = folder.parent.relative_to(site / "wall").as_posix()
            open_wall(page, site, where, size)
            seen, wrong = faults_on_screens(page)
            screens += seen
            faults += [f"{where}: {what}" for _, here in wrong for what in here]
        told(f"{size[0]}x{size[1]}: {screens} screens, {len(faults)} faults{''.join(f'\n  {fault}' for fault in faults)}")


def main() -> None:
    """Writes the demo's wall view into a folder, and opens it as a screen would."""
    library = library_of(DEMO)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        site = Path(folder)
        write_wall(library, site)
        browser: Browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
        print_letters(browser.new_page(), site, library)
        # Another profile, so that no place is remembered.
        print_presses(browser.new_page(), site, library)
        print_faults(browser.new_page(), site)
        browser.close()


if __name__ == "__main__":
    main()
