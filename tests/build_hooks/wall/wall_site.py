"""Writes a wall view into a folder, and asks a browser what stands on its screens."""

from __future__ import annotations

import math
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import Page

from build_hooks.bundle.assets import bundled
from build_hooks.library import Library, load
from build_hooks.model import Screen
from build_hooks.page.qr_code import code_image
from build_hooks.wall import FormPlace, Place, drawer, letter_size, wall_pages

__all__ = ["SIZES", "faults_on_screens", "library_of", "minutes_of_arc", "open_wall", "smallest_letters", "write_wall"]

ROOT: Final = Path(__file__).parents[3]
SIZES: Final = ((1280, 720), (1920, 1080), (3840, 2160))
_STYLES: Final = tuple(
    ROOT / "build_hooks" / name for name in ("styles/fonts.css", "browser/wall/wall.css", "styles/drawing.css")
)
_FONTS: Final = ROOT / "node_modules" / "@fontsource-variable"

# What may not be on a screen: a scroll, a word outside it or cut off, one thing on another.
_FAULTS: Final = """
  const shown = (node) => node.getBoundingClientRect().height > 0;
  const told = (node) => `${node.className}: ${node.textContent.slice(0, 30)}`;
  const faults = () => {
    const found = [];
    const page = document.scrollingElement;
    if (page.scrollHeight > innerHeight || page.scrollWidth > innerWidth) found.push("the page scrolls");
    const menu = ".wall-title, .wall-menu li, .wall-name, .wall-about, .wall-foot, .wall-foot > *, .wall-packs > *";
    const stack = ".wall-path, .wall-count, .wall-part, .wall-turn, .wall-chunk, .wall-tag, .wall-code, .wall-drawing";
    const blocks = [...document.querySelectorAll(`${menu}, ${stack}`)].filter(shown);
    const boxes = blocks.map((block) => block.getBoundingClientRect());
    blocks.forEach((block, at) => {
      const box = boxes[at];
      if (box.left < -1 || box.top < -1 || box.right > innerWidth + 1 || box.bottom > innerHeight + 1) found.push(`outside, ${told(block)}`);
      // Half a line: less than that is the room below a line's letters. A path and what is said about a unit may end in dots.
      const cut = parseFloat(getComputedStyle(block).fontSize) / 2;
      const mayEnd = block.matches(".wall-path, .wall-about, .wall-pack") && block.clientHeight > 4.5 * cut;
      const over = block.scrollHeight > block.clientHeight + cut || block.scrollWidth > block.clientWidth + cut;
      if (over && !mayEnd) found.push(`cut, ${told(block)}`);
      for (let other = 0; other < at; other += 1) {
        if (blocks[other].contains(block)) continue;
        const there = boxes[other];
        const wide = Math.min(box.right, there.right) - Math.max(box.left, there.left);
        const high = Math.min(box.bottom, there.bottom) - Math.max(box.top, there.top);
        if (wide > 1 && high > 1) found.push(`${told(block)} on ${told(blocks[other])}`);
      }
    });
    for (const frame of document.querySelectorAll(".wall-chunks, ol.wall-menu")) {
      if (shown(frame) && frame.scrollHeight > frame.clientHeight + 1) found.push(`cut, ${told(frame)}`);
    }
    const lit = document.querySelectorAll(".wall-drawing [data-current].drawing-part");
    const frame = document.querySelector(".wall-drawing svg")?.getBoundingClientRect();
    for (const part of lit) {
      const box = part.getBoundingClientRect();
      if (box.top < frame.top - 1 || box.bottom > frame.bottom + 1) found.push("the current part is outside the drawing");
    }
    if (document.querySelector("li[data-part][data-current]") && lit.length !== 1) found.push(`${lit.length} parts are lit`);
    return found;
  };
"""
_WALK: Final = f"""() => {{
  {_FAULTS}
  const press = (key) => document.dispatchEvent(new KeyboardEvent("keydown", {{ key }}));
  const state = () => location.hash + (document.querySelector("[data-current] .wall-chunks")?.innerText ?? document.activeElement.innerText);
  const screens = [];
  const begun = new Set();
  while (!begun.has(state())) {{
    begun.add(state());
    screens.push([state(), faults()]);
    press("ArrowDown");
  }}
  return screens;
}}"""
# The height of a capital as the browser draws it, in pixels of the page, by what the letters belong to.
_LETTERS: Final = """() => {
  const pen = document.createElement("canvas").getContext("2d");
  const found = {};
  const note = (name, height) => { found[name] = Math.min(found[name] ?? Infinity, height); };
  for (const node of document.querySelectorAll("body *")) {
    const own = [...node.childNodes].some((child) => child.nodeType === 3 && child.textContent.trim());
    if (!own || node.getBoundingClientRect().height === 0 || node.closest("script, style, title, desc")) continue;
    const style = getComputedStyle(node);
    pen.font = `${style.fontWeight} 1000px ${style.fontFamily}`;
    const capital = pen.measureText("H").actualBoundingBoxAscent / 1000;
    const scale = node.getCTM ? node.getScreenCTM().d : 1;
    const name = node.getCTM ? "number on the drawing" : node.className.split(" ").pop() || node.tagName.toLowerCase();
    note(name, capital * parseFloat(style.fontSize) * scale);
  }
  return found;
}"""


def library_of(docs: Path) -> Library:
    """The data of a folder that is known to be sound."""
    library, problems = load(docs)
    assert library is not None
    assert problems == ()
    return library


def write_wall(library: Library, site: Path) -> None:
    """Every page of the wall view with its styles, fonts and script: what opens by double-click."""
    forms = {
        (unit.id, pack.id): FormPlace(f"{unit.name}: set the clearance", "units/")
        for unit in library.units.values()
        for pack in unit.packs.values()
    }
    place = Place(
        "25 Nov", drawer(library.shop.screens.values()), lambda path: code_image(f"http://bench.local:8000/{path}"), forms
    )
    for path, page in wall_pages(library, place).items():
        (site / path).parent.mkdir(parents=True, exist_ok=True)
        (site / path).write_text(page, encoding="utf-8")
    assets = site / "assets" / "benchleaf"
    (assets / "fonts").mkdir(parents=True)
    sheets = [path.read_text(encoding="utf-8") for path in _STYLES]
    (assets / "wall.css").write_text("\n".join(sheets), encoding="utf-8")
    (assets / "wall.js").write_bytes(bundled(ROOT / "node_modules", "wall/main.js", {}))
    for name in ("next", "mono"):
        font = f"atkinson-hyperlegible-{name}"
        shutil.copyfile(_FONTS / font / "files" / f"{font}-latin-wght-normal.woff2", assets / "fonts" / f"{font}.woff2")


def open_wall(page: Page, site: Path, path: str, size: tuple[int, int], screen: str = "") -> None:
    """Opens a page of the wall view in a picture of this size."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto("about:blank")
    page.goto(f"{(site / 'wall' / path / 'index.html').as_uri()}{f'?screen={screen}' if screen else ''}")
    page.wait_for_selector("html[data-wall=ready]")


def faults_on_screens(page: Page) -> tuple[int, list[tuple[str, list[str]]]]:
    """Goes through every screen of the open page by its own keys.

    Returns:
        How many screens there are, and what is wrong on which.
    """
    screens = page.evaluate(_WALK)
    return len(screens), [(where, faults) for where, faults in screens if faults]


def smallest_letters(page: Page) -> Mapping[str, float]:
    """The smallest capital of each kind of text that is in sight, in pixels of the page."""
    found: dict[str, Any] = page.evaluate(_LETTERS)
    return found


def minutes_of_arc(capital: float, lines: int, screen: Screen) -> float:
    """The angle under which a capital is seen.

    Args:
        capital: its height in pixels of the page.
        lines: how many of them the picture is high.
        screen: its size and distance.

    Returns:
        2 atan(h / 2d) in minutes of arc: the definition, not the engine's function.
    """
    height = capital / lines * float(letter_size(screen).screen_mm)
    return math.degrees(2 * math.atan(height / 2 / float(screen.distance.base))) * 60
