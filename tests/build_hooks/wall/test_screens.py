"""The wall view in a browser: nothing cut off, nothing on top of another, letters large enough, few presses, its place kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from build_hooks.library import Library
from build_hooks.model import Method, Pack
from tests.waiting import until

from .odd_manual import LONG, MARKUP, RIGHT_TO_LEFT, SHOP, UNIT, many_packs
from .wall_site import SIZES, faults_on_screens, library_of, minutes_of_arc, open_wall, smallest_letters, write_wall

pytestmark = pytest.mark.browser

DEMO = Path(__file__).parents[3] / "docs"
ODD_PACKS = ("three", "forty", "two-hundred", "waves", "one", "names")


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """The odd manual's data, which the checks let through."""
    docs = tmp_path_factory.mktemp("odd-docs")
    for unit, text in (("oak-6", UNIT), ("elm-2", many_packs(14))):
        (docs / "units" / unit).mkdir(parents=True)
        (docs / "units" / unit / "unit.yml").write_text(text, encoding="utf-8")
    (docs / "shop.yml").write_text(SHOP, encoding="utf-8")
    return library_of(docs)


@pytest.fixture(scope="module")
def odd(library: Library, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The odd manual's wall view in a folder."""
    site = tmp_path_factory.mktemp("odd-wall")
    write_wall(library, site)
    return site


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's wall view in a folder."""
    site = tmp_path_factory.mktemp("demo-wall")
    write_wall(library_of(DEMO), site)
    return site


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    """A screen that has shown nothing yet."""
    made = chromium.new_context()
    yield made
    made.close()


@pytest.fixture
def page(context: BrowserContext) -> Iterator[Page]:
    """A page that fails its test when a script fails."""
    opened = context.new_page()
    faults: list[str] = []
    opened.on("pageerror", lambda error: faults.append(str(error)))
    opened.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
    opened.on("dialog", lambda dialog: faults.append(dialog.message))
    yield opened
    assert faults == []


def test_odd_data_makes_sound_screens(page: Page, odd: Path, library: Library) -> None:
    """1, 3, 40 and 200 parts, two wave plates, names of 90 letters, right to left, with brackets: no scroll, cut or overlap.

    On the smallest screen, where rounding to whole pixels weighs most: everything is sized by the screen's height.
    """
    size = min(SIZES)
    for pack in ODD_PACKS:
        open_wall(page, odd, f"oak-6/{pack}", size)
        screens, faults = faults_on_screens(page)
        assert faults == [], pack
        assert screens > len(library.units["oak-6"].packs[pack].physical_stack)
    for other in ("", "oak-6", "elm-2", "oak-6/gear_set"):
        open_wall(page, odd, other, size)
        assert faults_on_screens(page)[1] == [], other


def test_the_demo_makes_sound_screens(page: Page, demo: Path) -> None:
    """Every screen of every pack of the demo; the benchmark of the wall goes through them at each size."""
    for folder in sorted((demo / "wall").rglob("index.html")):
        where = folder.parent.relative_to(demo / "wall").as_posix()
        open_wall(page, demo, where, SIZES[0])
        assert faults_on_screens(page)[1] == [], where


@pytest.mark.parametrize("screen", ["near", "far"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_every_letter_is_seen_under_twenty_minutes_of_arc(
    page: Page, odd: Path, library: Library, size: tuple[int, int], screen: str
) -> None:
    """As the browser draws them, on 43 inches at 3.5 m and 55 inches at 4.5 m: words, buttons, clock, numbers of the drawing."""
    for where in ("", "oak-6/forty", "oak-6/two-hundred", "oak-6/gear_set"):
        open_wall(page, odd, where, size, screen)
        letters = smallest_letters(page)
        assert {"wall-clock", "wall-invented"} <= set(letters)
        assert ("number on the drawing" in letters) is (where in {"oak-6/forty", "oak-6/two-hundred"})
        for name, capital in letters.items():
            assert minutes_of_arc(capital, size[1], library.shop.screens[screen]) >= 20, (where, name)


def test_what_does_not_fit_goes_on_on_the_next_screen_word_for_word(page: Page, odd: Path) -> None:
    """A caution longer than the screen stands there whole, in pieces, each under its signal word."""
    open_wall(page, odd, "oak-6/names", (1280, 720))
    caution = page.locator("[data-current] .wall-caution")
    pieces: list[str] = []
    while caution.count():
        assert caution.locator("strong").inner_text() == "WARNING"
        pieces.append(caution.inner_text().removeprefix("WARNING").removesuffix("…").strip())
        expect(page.locator("[data-current][data-more=next] .wall-count")).to_have_text("1 of 4")
        page.keyboard.press("ArrowRight")
    assert len(pieces) > 1
    assert " ".join(pieces) == f"{LONG}. {LONG}. {LONG}."


def test_names_are_shown_as_they_are_written(page: Page, odd: Path) -> None:
    """Brackets are letters, and text from right to left runs from the right."""
    open_wall(page, odd, "oak-6/names", (1920, 1080))
    page.keyboard.press("2")
    name = page.locator("[data-current] .wall-part")
    expect(name).to_have_text(RIGHT_TO_LEFT)
    assert name.evaluate("node => getComputedStyle(node).direction") == "rtl"
    # There is no 24: this is a 4.
    page.keyboard.press("4")
    expect(page.locator("[data-current] .wall-part")).to_have_text(MARKUP)
    assert page.locator("main script, main b").count() == 0


def presses(page: Page, site: Path, keys: tuple[str, ...]) -> str:
    """Where these keys lead from the start screen."""
    open_wall(page, site, "", (1920, 1080))
    for key in keys:
        page.keyboard.press(key)
        page.wait_for_selector("html[data-wall=ready]")
    page.wait_for_url("**/*#*")
    return "/".join(page.url.split("#")[0].split("/")[-3:-1])


def test_two_number_keys_reach_a_stack_and_back_leaves_it(page: Page, demo: Path) -> None:
    """Unit, pack; Back goes to the list, Back again to the start."""
    assert presses(page, demo, ("1", "3")) == "alder-4/intermediate"
    page.keyboard.press("Backspace")
    page.wait_for_url("**/wall/alder-4/index.html#intermediate")
    page.wait_for_selector("html[data-wall=ready]")
    page.keyboard.press("Escape")
    page.wait_for_url("**/wall/index.html#alder-4/intermediate")


def test_back_puts_the_frame_on_what_was_left_and_never_leaves_the_wall(page: Page, demo: Path) -> None:
    """From Direct the frame is on Direct, in the unit's menu and in the first one; a third Back changes nothing."""
    open_wall(page, demo, "alder-4/direct", (1920, 1080))
    for address in ("wall/alder-4/index.html#direct", "wall/index.html#alder-4/direct", "wall/index.html#alder-4/direct"):
        page.keyboard.press("Backspace")
        page.wait_for_url(f"**/{address}")
        page.wait_for_selector("html[data-wall=ready]")
        assert "Direct pack" in page.evaluate("document.activeElement.textContent")


def test_back_finds_a_unit_of_many_packs(page: Page, odd: Path) -> None:
    """Its packs have one card on the first menu: the frame is on that."""
    open_wall(page, odd, "elm-2", (1280, 720))
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Backspace")
    page.wait_for_url("**/wall/index.html#elm-2/pack-2")
    page.wait_for_selector("html[data-wall=ready]")
    assert page.evaluate("document.activeElement.textContent") == "14 packs"


@pytest.mark.parametrize(
    ("keys", "stack"),
    [
        (("Enter",), "alder-4/forward"),
        (("ArrowRight", "Enter"), "alder-4/direct"),
        (("ArrowDown", "Enter"), "alder-4/low-reverse"),
        (("ArrowDown", "ArrowDown", "Enter"), "hazel-2/high"),
        # Six packs are too many for the start screen: the unit's own list has them.
        (("ArrowDown", "ArrowDown", "ArrowDown", "Enter", "2"), "rowan-6/drive"),
        (("ArrowDown", "ArrowUp", "Enter"), "alder-4/forward"),
        # Nothing lies there: round to the other end.
        (("ArrowLeft", "Enter"), "alder-4/intermediate"),
        (("ArrowUp", "Enter", "1"), "rowan-6/low"),
        (("ArrowUp", "ArrowRight", "Enter"), "rowan-6/gear_set"),
        (("ArrowDown", "ArrowRight", "Enter"), "alder-4/gear_set"),
        (("1", "ArrowDown", "Enter"), "alder-4/intermediate"),
        (("1", "ArrowRight", "ArrowDown", "Enter"), "alder-4/low-reverse"),
    ],
)
def test_arrows_and_enter_reach_a_stack(page: Page, demo: Path, keys: tuple[str, ...], stack: str) -> None:
    """An arrow leads to the card that lies there on the screen: Low-reverse stands right below Forward."""
    assert presses(page, demo, keys) == stack


def test_a_number_of_two_figures_is_waited_for(page: Page, odd: Path) -> None:
    """With fourteen packs a 1 may begin 12: 12 opens the twelfth, 1 alone the first after a moment, 2 the second at once."""
    for keys, pack in ((("1", "2"), "pack-12"), (("1",), "pack-1"), (("2",), "pack-2")):
        open_wall(page, odd, "elm-2", (1280, 720))
        for key in keys:
            page.keyboard.press(key)
        page.wait_for_url(f"**/elm-2/{pack}/index.html#1")


def test_it_comes_back_to_its_place(context: BrowserContext, page: Page, demo: Path) -> None:
    """After the power was out: the start screen offers the step as number 0, and the stack itself opens there too."""
    open_wall(page, demo, "alder-4/forward", (1280, 720))
    page.keyboard.press("9")
    expect(page.locator("[data-current] .wall-count")).to_have_text("9 of 21")
    page.close()
    again = context.new_page()
    open_wall(again, demo, "", (1280, 720))
    expect(again.locator("a[data-number='0']")).to_have_text("0 Resume: Alder 4: Forward pack, 9 of 21")
    again.keyboard.press("0")
    again.wait_for_url("**/alder-4/forward/index.html#9")
    open_wall(again, demo, "alder-4/forward", (1280, 720))
    expect(again.locator("[data-current] .wall-count")).to_have_text("9 of 21")


def test_what_is_done_or_not_begun_is_not_resumed(page: Page, demo: Path) -> None:
    """A pack left on its last screen, or on its first, opens at its first part, and the start screen offers nothing to resume."""
    open_wall(page, demo, "hazel-2/low", (1280, 720))
    page.wait_for_url("**#1")
    open_wall(page, demo, "", (1280, 720))
    expect(page.locator("a[data-number='0']")).to_have_count(0)
    open_wall(page, demo, "hazel-2/low", (1280, 720))
    for _ in range(40):
        page.keyboard.press("ArrowRight")
    page.wait_for_url("**#end")
    open_wall(page, demo, "", (1280, 720))
    expect(page.locator("a[data-number='0']")).to_have_count(0)
    open_wall(page, demo, "hazel-2/low", (1280, 720))
    page.wait_for_url("**#1")


def test_the_applied_chart_is_found_in_the_menus_and_walked_by_remote(page: Page, demo: Path) -> None:
    """Two number keys reach it; down goes on, the number of a gear leads to that gear, Back finds its card, Resume its gear."""
    assert presses(page, demo, ("1", "7")) == "alder-4/gear_set"
    expect(page.locator("[data-current] .wall-count")).to_have_text("Applied chart")
    rows = page.locator("[data-current] .wall-chart-row").all_inner_texts()
    assert [row.split("\n") for row in (rows[0], rows[1], rows[5], rows[6])] == [
        ["Gear", "1", "2", "3", "4", "1 in L", "R"],
        ["Forward clutch", "●", "●", "●", "·", "●", "·"],
        ["Low one-way clutch", "◆", "·", "·", "·", "·", "·"],
        ["Ratio", "2.45", "1.41", "1.00", "0.57", "2.45", "−2.69"],
    ]
    assert page.locator("[data-current] .wall-note").inner_text() == "N and P: nothing on"
    page.keyboard.press("ArrowDown")
    assert [line for line in page.locator(".wall-step[data-current]").inner_text().split("\n") if line] == [
        "Gear 1",
        "Ratio 2.455",
        "●\N{NO-BREAK SPACE}Forward clutch, torque ×\N{NO-BREAK SPACE}1.00",
        "◆\N{NO-BREAK SPACE}Low one-way clutch, holds one way, torque ×\N{NO-BREAK SPACE}1.45",
        "No engine braking: Low one-way clutch lets go",
    ]
    page.keyboard.press("3")
    expect(page.locator("[data-current] .wall-count")).to_have_text("Gear 3")
    page.keyboard.press("Backspace")
    page.wait_for_url("**/wall/alder-4/index.html#gear_set")
    page.wait_for_selector("html[data-wall=ready]")
    assert page.evaluate("document.activeElement.textContent") == "7Applied chart6 gears, 5 elements"
    open_wall(page, demo, "", (1280, 720))
    expect(page.locator("a[data-number='0']")).to_have_text("0 Resume: Alder 4: Applied chart, Gear 3")


# Each press of the arrow to the right over a whole pack: step, whether more of it is still to come, and the words in sight.
_PRESSES: Final = """() => {
  const svg = document.querySelector(".wall-drawing svg");
  const [, , wide, high] = svg.getAttribute("viewBox").split(" ").map(Number);
  const box = svg.getBoundingClientRect();
  const filled = Math.min(box.width / wide, box.height / high) * high / box.height;
  const screens = [];
  for (let before = ""; ; ) {
    const step = document.querySelector(".wall-step[data-current]");
    const sight = [...step.querySelectorAll(".wall-tag, .wall-hold, .wall-lubricant, .wall-caution")];
    const words = sight.filter((node) => node.getBoundingClientRect().height > 0).map((node) => node.className.split(" ").pop());
    const turn = step.querySelector(".wall-turn");
    const lines = turn ? turn.getBoundingClientRect().height / parseFloat(getComputedStyle(turn).lineHeight) : 1;
    const state = step.dataset.step + step.querySelector(".wall-chunks").innerText;
    if (state === before) return { filled, screens };
    before = state;
    screens.push({ step: step.dataset.step ?? "end", more: step.dataset.more, words, said: step.innerText, lines });
    document.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight" }));
  }
}"""


@dataclass(frozen=True)
class Walked:
    """A pack of the demo as its screens showed it, from the first press to the last."""

    pack: Pack
    filled: float
    screens: list[dict[str, Any]]


@pytest.fixture(scope="module")
def walked(chromium: Browser, demo: Path) -> list[Walked]:
    """Every pack of the demo, gone through part by part at 1920 x 1080."""
    page = chromium.new_page()
    found = []
    for unit in library_of(DEMO).units.values():
        for pack in unit.packs.values():
            open_wall(page, demo, f"{unit.id}/{pack.id}", (1920, 1080))
            found.append(Walked(pack, **page.evaluate(_PRESSES)))
    page.close()
    return found


def test_nine_parts_of_ten_take_one_press_and_show_at_once_what_must_be_seen(walked: list[Walked]) -> None:
    """Over all packs of the demo: check, side, always new, look-alike, lubricant and count on the part's first screen."""
    parts = more = 0
    for one in walked:
        first = {screen["step"]: screen for screen in reversed(one.screens)}
        for entry in one.pack.physical_stack:
            screen = first[str(entry.number)]
            parts += 1
            more += screen["more"] == "next"
            must = {
                "wall-side": entry.side,
                "wall-groove": entry.groove,
                "wall-once": entry.once_only,
                "wall-alike": entry.part.look_alikes,
                "wall-lubricant": entry.lubricant,
                "wall-caution": entry.caution,
                "wall-hold": entry.hold and screen["more"] != "next",
            }
            assert {name for name, given in must.items() if given} <= set(screen["words"]), (one.pack.id, entry.number)
            # The count never breaks.
            assert screen["lines"] < 1.5, (one.pack.id, entry.number)
    assert parts > 100
    assert more <= parts // 10


def test_no_screen_says_measure_once_the_pack_is_closed(walked: list[Walked]) -> None:
    """Over all packs of the demo: the place to measure comes before what covers the pack, and nothing behind it says to measure."""
    for one in walked:
        measure, clearance = one.pack.measure, one.pack.clearance
        assert measure is not None
        assert clearance is not None
        steps = list(dict.fromkeys(screen["step"] for screen in one.screens))
        assert steps.index("measure") == measure.after, one.pack.id
        # The check stands on the first screen of the place to measure; only the form may be behind it.
        assert "wall-hold" in next(screen["words"] for screen in one.screens if screen["step"] == "measure"), one.pack.id
        behind = [screen["said"] for screen in one.screens if steps.index(screen["step"]) > measure.after]
        assert not any("easure" in text for text in behind), one.pack.id
        if clearance.method is Method.PARTS:
            assert {entry.part.kind for entry in one.pack.physical_stack[: measure.after]}.isdisjoint({"steel", "friction"})
            continue
        kinds = [entry.part.kind for entry in one.pack.physical_stack]
        last = max(at for at, kind in enumerate(kinds) if kind == "friction")
        closing = [at for at, kind in enumerate(kinds) if at > last and kind in {"hub", "piston", "return-spring", "lip-seal"}]
        assert all(at >= measure.after for at in closing), one.pack.id
        assert measure.after > last, one.pack.id


def test_the_drawing_fills_the_height_of_its_place(walked: list[Walked]) -> None:
    """A short stack is drawn with thicker plates: no black band above and below it."""
    assert {one.pack.id: one.filled for one in walked if one.filled < 0.85} == {}


def test_timers_are_below_the_screen_and_enter_stops_the_sound(page: Page, demo: Path) -> None:
    """The part stays where it is, whole, and nothing runs out of the screen."""
    page.clock.install()
    page.goto((demo / "wall" / "alder-4" / "forward" / "index.html").as_uri())
    expect(page.locator("html")).to_have_attribute("data-wall", "ready")
    expect(page.locator(".bench-timers")).to_be_hidden()
    page.evaluate(
        """() => {
          const address = new URL(".", document.querySelector("script[src*=wall]").src).pathname;
          const timer = { key: "x#soak", title: "Soak the plates", page: "x", ends: Date.now() + 60_000, left: null, found: null, heard: false };
          localStorage.setItem(`benchleaf:${address}:timers`, JSON.stringify([timer]));
        }"""
    )
    page.reload()
    expect(page.locator(".bench-timers")).to_contain_text("Soak the plates")
    page.clock.run_for(61_000)
    expect(page.locator(".bench-timers li")).to_have_attribute("data-state", "over")
    part = page.locator(".wall-step:visible .wall-part").inner_text()
    page.keyboard.press("Enter")
    expect(page.locator(".bench-timers").get_by_role("button", name="Stop the sound")).to_be_hidden()
    assert page.locator(".wall-step:visible .wall-part").inner_text() == part
    assert page.evaluate("document.documentElement.scrollHeight <= innerHeight")


def test_arrow_down_tells_the_rest_of_a_part(page: Page, demo: Path) -> None:
    """What is only good to know has its screens behind the arrow down; the arrow to the right passes them by."""
    open_wall(page, demo, "alder-4/forward", (1920, 1080))
    expect(page.locator("[data-current][data-more=below] .wall-count")).to_have_text("1 of 21")
    page.keyboard.press("ArrowDown")
    expect(page.locator("[data-current] .wall-wrong")).to_have_text(
        "Wrong: lip up. Pressure folds the lip off the wall, and the pack slips once the fluid is hot."
    )
    page.keyboard.press("ArrowUp")
    expect(page.locator("[data-current] .wall-side")).to_have_text("▼ Lip down")
    page.keyboard.press("ArrowRight")
    expect(page.locator("[data-current] .wall-count")).to_have_text("2 of 21")


@pytest.mark.parametrize("size", [(1280, 900), (1280, 1024), (1920, 1200)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_the_foot_is_whole_on_a_squarer_screen(page: Page, demo: Path, size: tuple[int, int]) -> None:
    """No screen of the shop has this shape; the clock is on it all the same."""
    for where in ("", "alder-4", "alder-4/direct"):
        open_wall(page, demo, where, size)
        for box in page.evaluate(
            "[...document.querySelectorAll('.wall-foot > *')].map((node) => node.getBoundingClientRect().toJSON())"
        ):
            assert box["right"] <= size[0], where
            assert box["bottom"] <= size[1], where


def test_number_keys_do_not_pull_back_who_has_gone_on(page: Page, demo: Path) -> None:
    """A number takes effect at once; what is pressed after it stands."""
    open_wall(page, demo, "alder-4/forward", (1920, 1080))
    page.keyboard.press("4")
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(1500)
    expect(page.locator("[data-current] .wall-count")).to_have_text("5 of 21")


def test_touch_turns_the_screens(page: Page, demo: Path) -> None:
    """A tap on the right goes on, one on the left goes back; the buttons do the same."""
    open_wall(page, demo, "alder-4/direct", (1280, 720))
    count = page.locator("[data-current] .wall-count")
    seen = [count.inner_text()]
    while seen[-1] == "1 of 16":
        page.mouse.click(1000, 300)
        seen.append(count.inner_text())
    assert seen[-1] == "2 of 16"
    page.mouse.click(200, 300)
    expect(count).to_have_text("1 of 16")
    page.locator("[data-bench=wall-next]").click()
    expect(count).to_have_text("2 of 16")
    box = page.locator("[data-bench=wall-next]").bounding_box()
    assert box is not None
    assert box["height"] >= 48


KEEPS = "Object.defineProperty(Navigator.prototype, 'wakeLock', {{ get: () => {lock} }})"


def test_it_asks_to_stay_awake_again_whenever_it_is_seen_again(page: Page, demo: Path) -> None:
    """A lock goes when the page is hidden; menus say nothing while one is held."""
    page.add_init_script("window.asked = []")
    page.add_init_script(KEEPS.format(lock="({ request: async (what) => window.asked.push(what) })"))
    open_wall(page, demo, "", (1280, 720))
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert page.evaluate("window.asked") == ["screen", "screen"]
    expect(page.locator("[data-bench=wall-awake]")).to_have_text("")
    assert page.locator("video").count() == 0


@pytest.mark.parametrize("lock", ["undefined", "({ request: async () => { throw new Error('no'); } })"])
def test_without_a_lock_a_picture_moves_and_the_menu_says_what_to_set(page: Page, demo: Path, lock: str) -> None:
    """On plain http there is none, and a screen on a battery may refuse it."""
    page.add_init_script(KEEPS.format(lock=lock))
    open_wall(page, demo, "", (1280, 720))
    expect(page.locator("[data-bench=wall-awake]")).to_have_text("set TV to stay on")
    until(page, "document.querySelector('video') && !document.querySelector('video').paused")
    assert faults_on_screens(page)[1] == []
    open_wall(page, demo, "alder-4/direct", (1280, 720))
    until(page, "document.querySelector('video') && !document.querySelector('video').paused")
    assert page.evaluate("document.scrollingElement.scrollHeight <= innerHeight")
