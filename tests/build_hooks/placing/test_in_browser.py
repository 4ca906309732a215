"""An author places call-outs by clicks and by keys, puts the block into a page, and finds them there where they were placed.

Sources: axe-core (the rules); 48 pixels: common practice for gloves, no source (WCAG 2.2, 2.5.8 asks for 24).
"""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from build_hooks.site.build import build_site
from build_hooks.site.serve import make_server
from tests.site.conftest import faults_noted
from tests.small_manual import small_manual

pytestmark = pytest.mark.browser

ROOT: Final = Path(__file__).parents[3]
PHOTO: Final = "units/oak-1/photos/drum.png"
MANUAL: Final = "site_name: Quay Lane\ntheme: {name: material, font: false}\nplugins: [benchleaf]\n"
PATIENCE: Final = 60_000
# A point is kept with one decimal; a mouse stands on whole pixels, of which 1 is 0.2 % of this picture.
NEAR: Final = 0.3
SMALL: Final = """() => [...document.querySelectorAll("button, select, textarea, input")]
  .map((one) => [one, one.getBoundingClientRect()]).filter(([, { width, height }]) => width < 47.5 || height < 47.5)
  .map(([one]) => one.outerHTML)"""
BROKEN: Final = "() => axe.run().then(({ violations }) => violations.map(({ id, nodes }) => [id, nodes[0].html]))"


@pytest.fixture
def manual(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small manual with a photograph; the current folder."""
    monkeypatch.chdir(tmp_path)
    small_manual(tmp_path / "docs")
    (tmp_path / "mkdocs.yml").write_text(MANUAL, encoding="utf-8")
    (tmp_path / "docs/units/oak-1/photos").mkdir()
    Image.new("RGB", (600, 400), "grey").save(tmp_path / "docs" / PHOTO)
    for name in ("node_modules", ".cache"):
        (tmp_path / name).symlink_to(ROOT / name)
    return tmp_path


@pytest.fixture
def address(manual: Path) -> Iterator[str]:
    """Where the command serves the page of the photograph, until Ctrl+C."""
    command = [sys.executable, "-m", "build_hooks", "photo", f"docs/{PHOTO}", "--port", "0"]
    with subprocess.Popen(command, cwd=manual, stdout=subprocess.PIPE, text=True) as running:
        assert running.stdout is not None
        found = re.search(r"http://\S+/", running.stdout.readline())
        assert found is not None
        yield found[0]
        running.send_signal(signal.SIGINT)
        assert running.wait(20) == 0


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    """An author at a desk."""
    made = chromium.new_context(
        viewport={"width": 1280, "height": 900}, permissions=["clipboard-read", "clipboard-write"], service_workers="block"
    )
    made.set_default_timeout(PATIENCE)
    expect.set_options(timeout=PATIENCE)
    yield made
    made.close()


@pytest.fixture
def page(context: BrowserContext, address: str) -> Iterator[Page]:
    """The page of the photograph. No script may fail, and no other host may be asked."""
    opened = context.new_page()
    faults = faults_noted(opened, (address, "data:"))
    opened.goto(address)
    yield opened
    assert faults == []


def click(page: Page, across: float, down: float) -> None:
    """Clicks on the picture, in percent of it."""
    frame = page.locator("#frame")
    box = frame.bounding_box()
    assert box is not None
    frame.click(position={"x": box["width"] * across / 100, "y": box["height"] * down / 100})


def block_with(page: Page, *pieces: str) -> str:
    """The block, as soon as it holds some pieces."""
    block = page.get_by_label("The block", exact=True)
    expect(block).to_have_value(re.compile(".*".join(map(re.escape, pieces)), re.DOTALL))
    return block.input_value()


def points_of(block: str) -> list[tuple[float, float]]:
    """The points of a block, with one decimal at most."""
    found = re.findall(r"at: \[(\d+(?:\.\d)?), (\d+(?:\.\d)?)\]", block)
    assert len(found) == block.count("at:")
    return [(float(across), float(down)) for across, down in found]


def shown_at(photo: Locator) -> list[tuple[float, float]]:
    """Where the points of a built page stand on its picture, in percent."""
    picture = photo.locator(".bench-photo-frame img").bounding_box()
    assert picture is not None
    boxes = [dot.bounding_box() for dot in photo.locator(".bench-photo-dot").all()]
    return [
        (
            100 * (box["x"] + box["width"] / 2 - picture["x"]) / picture["width"],
            100 * (box["y"] + box["height"] / 2 - picture["y"]) / picture["height"],
        )
        for box in boxes
        if box is not None
    ]


def test_call_outs_stand_in_the_manual_where_they_were_placed(page: Page, context: BrowserContext, manual: Path) -> None:
    """Two by clicks and one by keys, copied, pasted into a page, built."""
    page.get_by_label("What the picture shows").fill("The drum from its open end.")
    click(page, 80, 50)
    page.keyboard.type("The gap of the ring")
    click(page, 24, 26)
    page.keyboard.type('A window: never "here"')
    page.keyboard.press("Enter")
    # From the middle, where the cross begins.
    for key in (*["ArrowLeft"] * 20, *["ArrowDown"] * 40, *["Shift+ArrowDown"] * 4):
        page.keyboard.press(key)
    expect(page.locator("#place")).to_have_text("30 % from the left edge, 90.4 % from the upper edge")
    page.keyboard.press("Enter")
    page.keyboard.type("The oil hole")
    block_with(page, "The oil hole")
    expect(page.locator("#problems li")).to_have_count(0)
    page.get_by_role("button", name="Copy").click()
    expect(page.locator("#copied")).to_have_text("Copied. Paste it into the page.")
    block = page.evaluate("() => navigator.clipboard.readText()")
    points = points_of(block)
    assert points == [pytest.approx((80, 50), abs=NEAR), pytest.approx((24, 26), abs=NEAR), (30, 90.4)]

    (manual / "docs/units/oak-1/drum.md").write_text(f"# The drum\n\n{block}", encoding="utf-8")
    assert build_site(Path("mkdocs.yml"), Path("site")) == 0
    server = make_server(manual / "site", 0, quiet=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        built = context.new_page()
        built.goto(f"http://localhost:{server.port}/units/oak-1/drum/")
        photo = built.locator("bench-photo")
        expect(photo.locator("img")).to_have_attribute("alt", "The drum from its open end.")
        assert photo.locator("li").all_inner_texts() == ["The gap of the ring", 'A window: never "here"', "The oil hole"]
        # Drawn with a decimal of a pixel.
        assert shown_at(photo) == [pytest.approx(point, abs=0.1) for point in points]
    finally:
        server.shutdown()
        thread.join()


PASTED: Final = """\
1. Look:

    ```photo
    file: photos/drum.png
    shows: "The drum."
    callouts:
      - {at: [10.25, 20], text: "One"}
      - {at: [50, 50], text: "Two"}
      - {at: [90, 80], text: "Three"}
    pack: main
    part: ring-a
    ```
"""


def take_over(page: Page, text: str) -> None:
    """Pastes a block."""
    page.get_by_label("Paste the block").fill(text)
    page.get_by_role("button", name="Take it over").click()


def test_a_block_that_is_there_is_corrected(page: Page) -> None:
    """Moved by dragging, by a click and by keys, numbered anew, removed; what was not touched stays to the last decimal."""
    take_over(page, PASTED)
    body = 'shows: "The drum."\ncallouts:\n  - {at: [10.25, 20], text: "One"}\n  - {at: [50, 50], text: "Two"}\n'
    kept = "pack: main\npart: ring-a\n```\n"
    assert block_with(page, "Three").endswith(f'{body}  - {{at: [90, 80], text: "Three"}}\n{kept}')

    page.get_by_role("button", name="Move: call-out 2", exact=True).click()
    expect(page.locator("#place")).to_contain_text("Click or tap where number 2 belongs")
    click(page, 70, 30)
    mark = page.get_by_role("button", name="Call-out 3 on the picture")
    box = mark.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 24, box["y"] + 24)
    page.mouse.down()
    page.mouse.move(box["x"] - 36, box["y"] + 24, steps=4)
    page.mouse.up()
    mark.press("ArrowUp")
    points = points_of(block_with(page, "One").replace("10.25", "10.2"))
    frame = page.locator("#frame").bounding_box()
    assert frame is not None
    dragged = (90 - 6000 / frame["width"], 79)
    assert points == [(10.2, 20), pytest.approx((70, 30), abs=NEAR), pytest.approx(dragged, abs=NEAR)]

    page.get_by_role("button", name="Up: call-out 3").click()
    expect(page.get_by_label("Words of call-out 2")).to_be_focused()
    page.get_by_role("button", name="Remove: call-out 1").click()
    expect(page.get_by_label("Words of call-out 1")).to_be_focused()
    left = re.compile(r'callouts:\n  - \{[^}]*"Three"\}\n  - \{[^}]*"Two"\}\npack')
    expect(page.get_by_label("The block", exact=True)).to_have_value(left)
    # A page that is loaded anew by mistake loses nothing.
    page.reload()
    expect(page.get_by_label("The block", exact=True)).to_have_value(left)
    page.get_by_role("button", name="Begin again").click()
    page.get_by_role("button", name="Press again: everything here goes").click()
    expect(page.get_by_label("The block", exact=True)).to_have_value('```photo\nfile: photos/drum.png\nshows: ""\n```\n')


def test_a_block_with_a_fault_leaves_what_is_there(page: Page) -> None:
    """The fault is told with its place in what was pasted."""
    click(page, 50, 50)
    page.keyboard.type("Here")
    take_over(page, PASTED.replace("callouts", "calouts"))
    expect(page.locator("#refused")).to_have_text("Line 6, column 5: Unknown key “calouts”. Did you mean “callouts”?")
    block_with(page, 'text: "Here"')
    take_over(page, PASTED.replace("drum.png", "ring.png"))
    expect(page.locator("#refused li")).to_have_count(0)
    expect(page.locator("#taken")).to_have_text(
        "The block names another picture, photos/ring.png. Its call-outs now stand on this one."
    )


def test_the_keyboard_alone_is_enough(page: Page) -> None:
    """From the head of the page to the copied block, with Tab, arrows and Enter; Enter on a mark leads to its words."""
    page.keyboard.press("Tab")
    expect(page.locator("#frame")).to_be_focused()
    expect(page.locator("#cross")).to_be_visible()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    page.keyboard.type("Here")
    page.keyboard.press("Escape")
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Call-out 1 on the picture")).to_be_focused()
    page.keyboard.press("Shift+ArrowLeft")
    page.keyboard.press("Enter")
    expect(page.get_by_label("Words of call-out 1")).to_be_focused()
    page.keyboard.press("Shift+Tab")
    page.keyboard.type("The drum.")
    for _ in range(6):
        page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Copy")).to_be_focused()
    block_with(page, '"The drum."')
    page.keyboard.press("Enter")
    expect(page.locator("#copied")).to_have_text("Copied. Paste it into the page.")
    assert page.evaluate("() => navigator.clipboard.readText()") == (
        '```photo\nfile: photos/drum.png\nshows: "The drum."\ncallouts:\n  - {at: [50.9, 50], text: "Here"}\n```\n'
    )


def test_where_nothing_may_be_copied_the_block_is_selected(page: Page, context: BrowserContext) -> None:
    """And the page says how to go on."""
    context.clear_permissions()
    page.evaluate("() => Object.defineProperty(navigator, 'clipboard', { value: undefined })")
    click(page, 50, 50)
    block = block_with(page, "at: [")
    page.get_by_role("button", name="Copy").click()
    expect(page.locator("#copied")).to_have_text("It is selected. Copy it with Ctrl+C.")
    assert page.evaluate("() => { const { value, selectionStart, selectionEnd } = document.querySelector('#block'); return value.slice(selectionStart, selectionEnd); }") == block  # fmt: skip


@pytest.mark.parametrize(("width", "height"), [(360, 740), (820, 1180), (1280, 900)])
def test_it_fits_and_can_be_reached(page: Page, width: int, height: int) -> None:
    """On phone, tablet and desk: nothing sticks out, everything pressed has 48 pixels, and axe-core finds nothing."""
    page.set_viewport_size({"width": width, "height": height})
    for across, down in ((0.5, 0.5), (99.5, 99.5), (50, 50)):
        click(page, across, down)
    block_with(page, "at:", "at:", "at:")
    page.evaluate((ROOT / "node_modules/axe-core/axe.min.js").read_text(encoding="utf-8"))
    assert page.evaluate("() => document.documentElement.scrollWidth - innerWidth") <= 0
    assert page.evaluate(SMALL) == []
    assert page.evaluate(BROKEN) == []


def test_a_command_that_has_ended_is_missed(context: BrowserContext, address: str) -> None:
    """What stands in the page is kept."""
    page = context.new_page()
    page.goto(address)
    block_with(page, "photos/drum.png")
    page.route("**/block", lambda route: route.abort())
    click(page, 50, 50)
    expect(page.locator("#problems")).to_have_text("benchleaf photo does not answer. Start it again; what stands here is kept.")
    expect(page.get_by_label("Words of call-out 1")).to_be_visible()
