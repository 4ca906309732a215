"""The search box as a reader meets it: by keyboard, by remote, by touch; from a folder and from a server."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import expect

from tests.build_hooks.search.conftest import LONG_NAME, NODE_MODULES, PATIENCE, Opened
from tests.waiting import until

pytestmark = pytest.mark.browser
expect.set_options(timeout=PATIENCE)

type Open = Callable[..., Opened]

TARGET: Final = 48
PHONE: Final = {"width": 360, "height": 740}


@pytest.fixture(params=["from a folder", "from a server"])
def root(request: pytest.FixtureRequest, site: Path, served: str) -> str:
    """The address of the site's root, both ways."""
    return f"{site.as_uri()}/" if request.param == "from a folder" else served


def said(opened: Opened) -> str:
    """What stands above the results."""
    return opened.page.locator(".bench-search-said").inner_text()


def expect_said(opened: Opened, text: str) -> None:
    """Waits until it stands above the results."""
    expect(opened.page.locator(".bench-search-said")).to_have_text(text)


def test_a_find_opens_its_section(open_page: Open, root: str) -> None:
    """`/`, a few letters, Enter: the section of another page, whether the manual is served or opened from a folder."""
    opened = open_page(f"{root}plates/index.html")
    opened.type("wipe groove")
    expect_said(opened, "1 result has all of these words.")
    opened.page.keyboard.press("Enter")
    page = "rings/index.html#fit" if root.startswith("file:") else "rings/#fit"
    opened.page.wait_for_url(f"{root}{page}")
    assert all(address.startswith((root, "data:")) for address in opened.requests)


def test_nothing_is_fetched_before_the_first_use(open_page: Open, root: str) -> None:
    """A page that is only read does not load the index; one that searches loads it once."""
    opened = open_page(f"{root}index.html")
    opened.page.wait_for_load_state("networkidle")
    index = f"{root}assets/benchleaf/search-index.js"
    assert index not in opened.requests
    opened.type("ring")
    expect(opened.page.get_by_role("option").first).to_be_visible()
    opened.page.keyboard.type("s")
    expect_said(opened, "3 results, the best first.")
    assert opened.requests.count(index) == 1


def test_a_result_says_what_it_is(open_page: Open, served: str) -> None:
    """Kind, name and place; limits with their source in the result itself; the words that were found are marked."""
    opened = open_page(served)
    opened.type("forward pack clearance")
    expect_said(opened, "1 result has all of these words.")
    assert opened.finds()[0] == "Limits Forward pack clearance Alder 4 0.90 to 1.40 mm. From shop standard FL-12, revision C"
    marked = opened.page.locator('[data-kind="spec"] mark')
    assert marked.all_inner_texts() == ["Forward", "pack", "clearance"]
    style = marked.first.evaluate("node => getComputedStyle(node).textDecorationLine + getComputedStyle(node).fontWeight")
    assert style == "underline700"


def test_a_part_number_is_marked_whole(open_page: Open, served: str) -> None:
    """However it was typed."""
    opened = open_page(served)
    opened.type("fr 157")
    expect_said(opened, "1 result.")
    assert opened.page.locator('[data-kind="part"] mark').all_inner_texts()[:1] == ["FR-157"]


def test_a_long_text_shows_the_piece_that_was_found(open_page: Open, served: str) -> None:
    """Not its beginning; cut at words, with a sign where it is cut."""
    opened = open_page(served)
    opened.type("safety glasses")
    expect_said(opened, "1 result.")
    text = opened.page.locator(".bench-find-text").inner_text()
    assert "glasses" in text
    assert text.endswith("…")
    assert len(text) < 190


def test_another_word_is_told(open_page: Open, served: str) -> None:
    """Who types circlip learns that the manual says snap ring."""
    opened = open_page(served)
    opened.type("circlip")
    expect_said(opened, "2 results, the best first. Also looked for: snap ring.")


def test_arrows_choose_and_the_field_keeps_the_focus(open_page: Open, served: str) -> None:
    """Down and up go through the results and back to the field; what is chosen is told to a screen reader."""
    opened = open_page(served)
    opened.type("ring")
    expect_said(opened, "3 results, the best first.")
    expect(opened.field).to_have_attribute("aria-expanded", "true")
    finds = opened.finds()
    seen = []
    for key in ("ArrowDown", "ArrowDown", "ArrowUp", "ArrowUp", "ArrowUp", "ArrowDown"):
        opened.page.keyboard.press(key)
        seen.append(opened.chosen())
    assert seen == [finds[0], finds[1], finds[0], None, finds[2], None]
    opened.page.keyboard.press("ArrowDown")
    chosen = opened.page.locator('[role="option"][aria-selected="true"]').get_attribute("id")
    expect(opened.field).to_have_attribute("aria-activedescendant", chosen or "")
    expect(opened.field).to_be_focused()


@pytest.mark.parametrize("key", ["Escape", "GoBack", "BrowserBack"])
def test_back_goes_back_step_by_step(open_page: Open, served: str, key: str) -> None:
    """From the result to the field, from the words to an empty field, then out; on a remote with its own key for it."""
    opened = open_page(served)
    opened.type("ring")
    expect_said(opened, "3 results, the best first.")
    opened.page.keyboard.press("ArrowDown")
    back = (
        f"document.activeElement.dispatchEvent(new KeyboardEvent('keydown', {{ key: '{key}', bubbles: true, cancelable: true }}))"
    )
    steps = []
    for _ in range(3):
        opened.page.evaluate(back)
        open_ = opened.page.locator(".bench-search-panel").is_visible()
        steps.append((opened.chosen(), opened.field.input_value(), open_))
    assert steps == [(None, "ring", True), (None, "", True), (None, "", False)]


def test_keys_open_it_unless_something_is_being_written(open_page: Open, served: str) -> None:
    """`/`, s and S; but a letter typed into a reading stays a letter."""
    for key in ("/", "s", "S"):
        opened = open_page(served)
        opened.page.keyboard.press(key)
        expect(opened.field).to_be_focused()
        assert opened.field.input_value() == ""
    # Pressed again, where the field is empty and has the focus already.
    opened.page.keyboard.press("/")
    assert opened.field.input_value() == ""
    opened = open_page(served)
    opened.page.locator("#reading").focus()
    opened.page.keyboard.type("s/S")
    assert opened.page.locator("#reading").input_value() == "s/S"
    opened.page.keyboard.press("Control+s")
    expect(opened.page.locator("#reading")).to_be_focused()


def test_nothing_found_says_what_to_try(open_page: Open, served: str) -> None:
    """In words, with what was typed; read aloud once typing rests."""
    opened = open_page(served)
    opened.type("zzzqq")
    sentence = (
        "Nothing found for “zzzqq”. Try one word instead of several, the part’s number or a piece of it, or what the part does."
    )
    expect_said(opened, sentence)
    expect(opened.page.get_by_role("status")).to_have_text(sentence)
    assert opened.finds() == []


def test_finds_with_only_some_of_the_words_are_told_apart(open_page: Open, served: str) -> None:
    """Behind a line that says so."""
    opened = open_page(served)
    opened.type("fluid zebra")
    expect_said(opened, "Nothing has all of these words. 1 result has some of them.")
    opened = open_page(served)
    opened.type("groove land")
    expect_said(opened, "1 result has all of these words.")
    expect(opened.page.locator(".bench-find-some")).to_have_text("These have only some of the words:")


def test_many_finds_are_counted_and_the_best_shown(open_page: Open, served: str) -> None:
    """A list that nobody reads to its end is not made."""
    opened = open_page(served)
    opened.type("many")
    expect_said(opened, "30 results, the best 20 are shown.")
    assert len(opened.finds()) == 20


def test_a_missing_index_is_told(open_page: Open, served: str) -> None:
    """In words that say what to do; the next letter tries again."""
    opened = open_page(f"{served}failing.html")
    opened.type("ri")
    expect_said(
        opened,
        "The search index could not be read. Reload the page; if it fails again, ask whoever maintains this manual to build it again.",
    )
    asked = [address for address in opened.requests if address.endswith("search-index.js")]
    opened.page.keyboard.type("n")
    until(opened.page, "count => performance.getEntriesByType('resource').length > count", len(asked))
    assert [complaint for complaint in opened.complaints if "404" not in complaint] == []
    opened.complaints.clear()


def test_an_address_can_carry_the_words(open_page: Open, root: str) -> None:
    """So that another page, such as one on the wall, can lead to a search."""
    opened = open_page(f"{root}index.html?search=snap+ring")
    expect_said(opened, "2 results, the best first.")
    assert opened.field.input_value() == "snap ring"
    expect(opened.field).to_be_focused()


def test_without_a_header_it_stands_at_the_top(open_page: Open, served: str) -> None:
    """A page of another theme can be searched from as well."""
    opened = open_page(f"{served}bare.html")
    assert opened.page.evaluate("document.body.firstElementChild.className") == "bench-search"
    opened.type("soak")
    expect_said(opened, "1 result.")


def test_it_closes_when_the_reader_goes_elsewhere(open_page: Open, served: str) -> None:
    """By mouse or by Tab; and when a find stands in the page that is open."""
    panel = ".bench-search-panel"
    opened = open_page(f"{served}rings/")
    opened.type("wipe groove")
    expect_said(opened, "1 result has all of these words.")
    opened.page.mouse.click(20, 700)
    expect(opened.page.locator(panel)).to_be_hidden()
    opened.field.click()
    expect(opened.page.locator(panel)).to_be_visible()
    for _ in range(2):
        opened.page.keyboard.press("Tab")
    expect(opened.page.locator(panel)).to_be_hidden()
    opened.field.click()
    opened.page.get_by_role("option").first.click()
    expect(opened.page.locator(panel)).to_be_hidden()
    assert opened.page.url.endswith("/rings/#fit")


def test_on_a_phone_it_takes_the_whole_screen(open_page: Open, served: str) -> None:
    """A button in the header opens it, Close brings the page and the focus back."""
    opened = open_page(served, **PHONE)
    expect(opened.field).to_be_hidden()
    button = opened.page.get_by_role("button", name="Search")
    button.click()
    expect(opened.field).to_be_focused()
    opened.page.keyboard.type("ring")
    expect_said(opened, "3 results, the best first.")
    box = opened.page.locator(".bench-search").bounding_box()
    assert box == {"x": 0, "y": 0, **PHONE}
    opened.page.get_by_role("button", name="Close").click()
    expect(opened.field).to_be_hidden()
    expect(button).to_be_focused()


@pytest.mark.parametrize(
    "size", [PHONE, {"width": 320, "height": 640}, {"width": 1280, "height": 720}, {"width": 3840, "height": 2160}]
)
def test_odd_names_stay_in_their_place(open_page: Open, served: str, size: dict[str, int]) -> None:
    """Ninety letters in one word, right-to-left text and markup: nothing runs out of the list, nothing becomes an element."""
    assert len(LONG_NAME) == 90
    opened = open_page(served, **size)
    opened.type("odd")
    expect_said(opened, "3 results, the best first.")
    finds = opened.finds()
    assert any("odd <img src=x onerror=alert(1)><b>bold</b> </span><i> odd <script>alert(1)</script>" in find for find in finds)
    assert any("odd טבעת קפיץ (אחורית) تروس" in find for find in finds)
    list_ = opened.page.locator(".bench-search-list")
    assert list_.locator("b, i, u, img, script").count() == 0
    wide = "root => [...root.querySelectorAll('*')].filter(node => node.scrollWidth > node.clientWidth + 1 && node.clientWidth).length"
    assert list_.evaluate(wide) == 0
    assert opened.page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    hrefs = [link.get_attribute("href") for link in opened.page.get_by_role("option").all()]
    assert f"{served}odd/#a%20b" in hrefs


def test_everything_can_be_hit_with_a_glove(open_page: Open, served: str) -> None:
    """Field, buttons and results are 48 px high and more, on a phone and on a screen."""
    for size in (PHONE, {"width": 1280, "height": 800}):
        opened = open_page(served, **size)
        opened.type("ring")
        expect_said(opened, "3 results, the best first.")
        small = f"nodes => nodes.filter(node => node.offsetParent && node.offsetHeight < {TARGET}).map(node => node.className)"
        assert opened.page.locator(".bench-search :is(input, button, a)").evaluate_all(small) == []


def test_accessibility_rules_hold(open_page: Open, site: Path) -> None:
    """The open box, with and without a chosen result, by the rules of axe-core."""
    opened = open_page(f"{site.as_uri()}/index.html")
    opened.type("ring zebra")
    expect(opened.page.get_by_role("option").first).to_be_visible()
    opened.page.keyboard.press("ArrowDown")
    opened.page.add_script_tag(path=str(NODE_MODULES / "axe-core" / "axe.min.js"))
    found = opened.page.evaluate(
        "async () => (await axe.run('.bench-search', {preload: false})).violations.map(one => one.id + ': ' + one.help)"
    )
    assert found == []
