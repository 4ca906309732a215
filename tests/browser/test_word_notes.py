"""What a trade word means, shown beside it: by pointer, by key, by touch, and without a script."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from build_hooks.bundle.assets import bundled
from build_hooks.library import Library
from build_hooks.model import Shop, Word
from build_hooks.page.glossary import glossary_page, mark_words, word_forms

pytestmark = pytest.mark.browser

ROOT: Final = Path(__file__).parents[2]
STYLES: Final = tuple(ROOT / "build_hooks" / name for name in ("styles/paper.css", "browser/glossary/glossary.css"))
SHOP: Final = Shop(
    name="Quay Lane",
    words={
        "snap ring": Word(meaning="A springy ring that sits in a groove.", also=("circlip",)),
        "groove": Word(meaning="The slot that a <ring> or a seal sits in."),
        "land": Word(meaning="The raised part between two grooves. " * 6),
    },
)
TEXT: Final = """<h2>Fit</h2><p>Press the snap ring into its groove, gap on a land.</p><p><a href="#end">next</a></p>
<p style="height: 180vh">Room.</p><h2>End</h2><p id="end" style="text-align: right">The groove and the land.</p>"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page with marked words, and the glossary."""
    made = tmp_path_factory.mktemp("words")
    styles = "".join(path.read_text(encoding="utf-8") for path in STYLES)
    text = mark_words(TEXT, word_forms(SHOP.words.values()), "words/index.html")
    (made / "words").mkdir()
    for path, body in (("index.html", text), ("words/index.html", glossary_page(Library(made, SHOP, {})))):
        (made / path).write_text(
            f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Words</title><link rel="icon" href="data:,">'
            f'<meta name="viewport" content="width=device-width"><style>{styles}</style></head><body data-md-color-scheme="default">'
            f'<main class="md-typeset"><h1>Words</h1>{body}</main><script src="/words.js"></script></body></html>',
            encoding="utf-8",
        )
    (made / "words.js").write_bytes(bundled(ROOT / "node_modules", "glossary/main.js", {}))
    return made


@pytest.fixture
def address(folder: Path, serve: Callable[[Path], str]) -> str:
    """The page, served under a strict policy."""
    return f"{serve(folder)}/index.html"


@pytest.fixture
def opened(page: Page, address: str, seen: Any) -> Page:
    """The page, open; it may fail nowhere and ask no other host."""
    assert seen.errors == []
    page.goto(address)
    return page


@pytest.fixture
def phone(browser: Browser, address: str) -> Iterator[Page]:
    """The page on a screen that is touched."""
    context = browser.new_context(has_touch=True, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(address)
    yield page
    context.close()


def word(page: Page, name: str) -> Locator:
    """The first mark of a word."""
    return page.locator(f'a.bench-word[data-word="{name}"]').first


def note(page: Page) -> Locator:
    """What is shown beside a word."""
    return page.get_by_role("tooltip")


def test_the_pointer_shows_the_meaning_and_may_rest_on_it(opened: Page) -> None:
    """WCAG 2.2, 1.4.13: it stays while the pointer is on the word or on the note, and goes when it leaves."""
    word(opened, "snap ring").hover()
    expect(note(opened)).to_have_text("snap ring A springy ring that sits in a groove.")
    note(opened).hover()
    opened.wait_for_timeout(600)
    expect(note(opened)).to_be_visible()
    opened.mouse.move(0, 0)
    expect(note(opened)).to_be_hidden()


def test_the_focus_shows_it_and_escape_puts_it_away(opened: Page) -> None:
    """By keyboard alone: Tab from word to word, the note tied to the word for who hears the page, Escape leaves the focus there."""
    opened.keyboard.press("Tab")
    expect(word(opened, "snap ring")).to_be_focused()
    expect(word(opened, "snap ring")).to_have_accessible_description("snap ring A springy ring that sits in a groove.")
    opened.keyboard.press("Tab")
    expect(note(opened)).to_have_text("groove The slot that a <ring> or a seal sits in.")
    expect(word(opened, "snap ring")).not_to_have_attribute("aria-describedby", "bench-word-note")
    opened.keyboard.press("Escape")
    expect(note(opened)).to_be_hidden()
    expect(word(opened, "groove")).to_be_focused()
    opened.keyboard.press("Tab")
    expect(note(opened)).to_contain_text("land")
    opened.keyboard.press("Tab")
    expect(note(opened)).to_be_hidden()


def test_enter_follows_the_word_to_the_glossary(opened: Page) -> None:
    """The word is a link to its own entry."""
    opened.keyboard.press("Tab")
    opened.keyboard.press("Enter")
    opened.wait_for_url("**/words/index.html#word-snap-ring")
    expect(opened.locator("#word-snap-ring")).to_have_text("snap ring")


def test_a_touch_shows_it_and_a_second_touch_follows(phone: Page) -> None:
    """A gloved finger gets the meaning first; a press beside it puts the note away."""
    word(phone, "groove").tap()
    expect(note(phone)).to_contain_text("The slot that")
    word(phone, "land").tap()
    expect(note(phone)).to_contain_text("The raised part")
    phone.touchscreen.tap(340, 700)
    expect(note(phone)).to_be_hidden()
    word(phone, "groove").tap()
    expect(note(phone)).to_be_visible()
    word(phone, "groove").tap()
    phone.wait_for_url("**/words/index.html#word-groove")


@pytest.mark.parametrize("name", ["snap ring", "groove", "land"])
def test_the_note_stays_in_the_window_and_off_the_word(phone: Page, name: str) -> None:
    """On a phone too, at the edge and at the foot of the page."""
    for mark in phone.locator(f'a.bench-word[data-word="{name}"]').all():
        mark.scroll_into_view_if_needed()
        mark.focus()
        expect(note(phone)).to_be_visible()
        box, line = note(phone).bounding_box(), mark.bounding_box()
        assert box is not None
        assert line is not None
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 360
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= 740
        assert box["y"] >= line["y"] + line["height"] or box["y"] + box["height"] <= line["y"]


def test_without_a_script_it_is_a_link(browser: Browser, address: str) -> None:
    """Nothing is lost but the note."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address)
    word(page, "groove").click()
    page.wait_for_url("**/words/index.html#word-groove")
    context.close()


def test_what_was_written_is_text(opened: Page) -> None:
    """A meaning with signs of markup is shown as it was written."""
    word(opened, "groove").focus()
    expect(note(opened)).to_contain_text("<ring>")
    expect(note(opened).locator("ring")).to_have_count(0)


def test_whoever_cannot_see_the_page_loses_nothing(opened: Page) -> None:
    """axe-core finds nothing wrong, with a note shown and on the glossary."""
    opened.evaluate((ROOT / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8"))
    word(opened, "snap ring").focus()
    expect(note(opened)).to_be_visible()
    found = opened.evaluate("axe.run().then((result) => result.violations.map((found) => found.id))")
    assert found == []
    opened.goto(opened.url.replace("index.html", "words/index.html"))
    opened.evaluate((ROOT / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8"))
    found = opened.evaluate("axe.run().then((result) => result.violations.map((found) => found.id))")
    assert found == []
