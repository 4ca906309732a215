"""Exercises in the page: asked, answered by keyboard alone, marked, told why, and recorded."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from build_hooks.learning.standards_data import standards_data
from build_hooks.learning.unit_data import unit_data
from build_hooks.library import load
from calc_engine.practice import KINDS, answer_for_practice
from tests.build_hooks.learning.conftest import Learner

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[3]
HIGH = "unit=hazel-2&pack=high"


def rights(kind: str, unit: str, pack: str, seed: int) -> dict[str, str]:
    """What CPython's practice says is right, in words, by the id of what is asked."""
    library, _ = load(ROOT / "docs")
    assert library is not None
    data = (
        standards_data(library.standards, library.shop) if unit == "standards" else unit_data(library.units[unit], library.shop)
    )
    asked = {"unit": data, "pack": pack, "kind": kind, "seed": seed}
    made = json.loads(answer_for_practice("make", json.dumps(asked)))["exercise"]
    given = {ask["id"]: any_answer(ask) for ask in made["answer_form"]}
    marked: dict[str, str] = json.loads(answer_for_practice("mark", json.dumps({**asked, "answer": given})))["mark"]["answer"]
    return marked


def any_answer(ask: Any) -> Any:
    """An answer that is complete, right or not."""
    if ask["form"] == "quantity":
        return f"1 {ask['unit']}"
    ids = [option["id"] for option in ask["options"]]
    return ids if ask["form"] == "order" else ids[0]


def press_to(page: Page, key: str, wanted: str, most: int = 80) -> None:
    """Presses a key until the element of a selector has the focus."""
    for _ in range(most):
        if page.evaluate("wanted => document.activeElement?.matches(wanted) ?? false", wanted):
            return
        page.keyboard.press(key)
    raise AssertionError(f"{key} does not lead to {wanted}")


def order_by_letters(page: Page, labels: list[str]) -> int:
    """Picks the cards in order by their letters; how many presses it took."""
    for label in labels:
        card = page.locator(".bench-pool button", has=page.get_by_text(label, exact=True)).first
        page.keyboard.press(str(card.get_attribute("aria-keyshortcuts")).lower())
    return len(labels)


def order_by_keys(page: Page, labels: list[str]) -> None:
    """Picks the cards in order with the arrow keys and Enter."""
    for label in labels:
        now = page.locator(".bench-pool .bench-order-label").all_inner_texts()
        at = now.index(label)
        press_to(page, "ArrowDown" if focused(page) < at else "ArrowUp", f".bench-pool > li:nth-child({at + 1}) button")
        page.keyboard.press("Enter")


def focused(page: Page) -> int:
    """The place of the card that has the focus, of those still to place."""
    place: int = page.evaluate("[...document.querySelectorAll('.bench-pool > li')].indexOf(document.activeElement.closest('li'))")
    return place


def mark_by_keys(page: Page) -> None:
    """Goes down to the button that marks, and presses it."""
    press_to(page, "ArrowDown", "[data-bench=mark-it]")
    page.keyboard.press("Enter")
    expect(page.locator("bench-exercise[data-state=marked]")).to_be_visible()


def test_a_stack_is_put_in_order_by_arrow_keys_and_enter_alone(learner: Learner, page: Page) -> None:
    """First wrong: it says where and why. Then right. Nothing but the arrows, Enter and one Tab into the exercise is pressed."""
    learner.open("index.html")
    learner.be("Wren Ashby")
    learner.exercise(f"{HIGH}&kind=order&count=1&set=4821")
    page.locator("bench-exercise .bench-pool button").first.focus()
    right = rights("order", "hazel-2", "high", 482101)
    for _ in range(13):
        page.keyboard.press("Enter")
    for name in (name for name in right if name != "order"):
        press_to(page, "ArrowDown", f"[data-ask={name}] input")
        page.keyboard.press("Enter")
        expect(page.locator(f"[data-ask={name}] input:checked")).to_be_focused()
    mark_by_keys(page)
    expect(page.locator("[data-bench=mark] .bench-verdict-word")).to_have_text("Not yet")
    expect(page.locator(".bench-exercise-why")).to_contain_text("goes in before it.")
    expect(page.locator("[data-bench=mark] .bench-working li")).to_have_count(13)
    press_to(page, "ArrowDown", "[data-bench=again]")
    page.keyboard.press("Enter")
    press_to(page, "ArrowDown", ".bench-order > li:first-child button")
    page.keyboard.press("Enter")
    expect(page.locator(".bench-pool > li")).to_have_count(13)
    order_by_keys(page, right["order"].split("; "))
    for name, way in right.items():
        if name == "order":
            continue
        press_to(page, "ArrowDown", f"[data-ask={name}] input")
        at = page.locator(f"[data-ask={name}] label span").all_inner_texts().index(way)
        press_to(page, "ArrowRight", f"[data-ask={name}] label:nth-child({at + 1}) input", 5)
        page.keyboard.press("Enter")
    mark_by_keys(page)
    expect(page.locator("[data-bench=mark] .bench-verdict-word")).to_have_text("Right")
    expect(page.locator("bench-exercise [data-bench=state]")).to_have_text("Right. Recorded for Wren Ashby.")


TWELVE = "unit=alder-4&pack=direct&kind=order&set=12"
MOST_PRESSES = 30


def test_twelve_cards_take_at_most_thirty_keys(learner: Learner, page: Page) -> None:
    """One right round by keyboard, from the first card to the mark: letters for the cards, numbers for the sides, Enter."""
    learner.exercise(TWELVE)
    right = rights("order", "alder-4", "direct", 1201)
    page.locator("bench-exercise .bench-pool button").first.focus()
    presses = order_by_letters(page, right["order"].split("; "))
    assert presses == 12
    for name, way in right.items():
        if name == "order":
            continue
        expect(page.locator(f"[data-ask={name}] input").first).to_be_focused()
        page.keyboard.press(str(page.locator(f"[data-ask={name}] label span").all_inner_texts().index(way) + 1))
        presses += 1
    expect(page.locator("[data-bench=mark-it]")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("[data-bench=mark] .bench-verdict-word")).to_have_text("Right")
    assert presses + 1 <= MOST_PRESSES


def test_twelve_cards_take_at_most_thirty_presses_of_a_finger(chromium: Any, address: str) -> None:
    """One right round on a tablet that is only touched; whatever is touched is 48 pixels high."""
    tablet = chromium.new_context(viewport={"width": 820, "height": 1180}, has_touch=True, service_workers="block")
    page = tablet.new_page()
    Learner(page, address).exercise(TWELVE)
    right = rights("order", "alder-4", "direct", 1201)
    touched = []
    for label in right["order"].split("; "):
        touched.append(page.locator(".bench-pool button", has=page.get_by_text(label, exact=True)).first)
        _tap(touched[-1])
    for name, way in right.items():
        if name != "order":
            touched.append(page.locator(f"[data-ask={name}] label", has=page.get_by_text(way, exact=True)))
            _tap(touched[-1])
    _tap(page.locator("[data-bench=mark-it]"))
    expect(page.locator("[data-bench=mark] .bench-verdict-word")).to_have_text("Right")
    assert len(touched) + 1 <= MOST_PRESSES
    tablet.close()


def _tap(control: Locator) -> None:
    box = control.bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 47
    control.tap()


def test_a_card_is_taken_back(learner: Learner, page: Page) -> None:
    """The last one by its button or Backspace; any with those after it by a press on it. Each is told, and keeps its letter."""
    learner.exercise(f"{HIGH}&kind=order&set=7")
    pool, order, state = (
        page.locator(name) for name in (".bench-pool button", ".bench-order button", "bench-exercise [data-bench=state]")
    )
    labels = pool.locator(".bench-order-label").all_inner_texts()
    expect(page.locator("[data-bench=undo]")).to_be_disabled()
    for _ in range(3):
        pool.first.click()
    expect(state).to_have_text(f"{labels[2]}: number 3 of 13.")
    assert order.all_inner_texts() == [f"{number}\n{label}" for number, label in enumerate(labels[:3], 1)]
    page.keyboard.press("Backspace")
    expect(state).to_have_text("Taken back. 2 of 13 are placed.")
    expect(pool.first).to_be_focused()
    assert pool.locator(".bench-order-label").all_inner_texts() == labels[2:]
    page.locator("[data-bench=undo]").click()
    expect(order).to_have_count(1)
    for letter in "DEF":
        page.keyboard.press(letter.lower())
    expect(order).to_have_count(4)
    order.nth(1).click()
    expect(state).to_have_text("Taken back. 1 of 13 are placed.")
    assert pool.locator(".bench-order-label").all_inner_texts() == labels[1:]
    page.locator("[data-bench=mark-it]").click()
    expect(page.locator("[data-ask=order] [data-bench=problem]")).to_have_text(
        "12 of 13 are missing from the order, or one appears twice. Name each of them once."
    )


def test_the_same_set_number_gives_the_same_exercise(learner: Learner, page: Page) -> None:
    """A trainer reads a short number aloud; whoever types it gets the same question, on any machine."""
    learner.exercise(f"{HIGH}&kind=order&set=4821")
    asked = page.locator(".bench-pool .bench-order-label").all_inner_texts()
    expect(page.locator("[data-bench=set]")).to_have_text("Set 4821 · 1 of 5")
    learner.exercise(f"{HIGH}&kind=order&set=1")
    page.locator("[name=set]").fill("0")
    page.locator(".bench-set-form button").click()
    expect(page.locator(".bench-set-fault")).to_have_text("A set number is a whole number from 1 to 9999.")
    page.locator("[name=set]").fill("4821")
    page.locator(".bench-set-form button").click()
    expect(page.locator("[data-bench=set]")).to_have_text("Set 4821 · 1 of 5")
    learner.asked()
    assert page.locator(".bench-order-label").all_inner_texts() == asked


@pytest.mark.parametrize(
    "kind", [kind for kind in KINDS if kind not in {"order", "applied", "ratio", "suspect", "judge", "next"}]
)
def test_every_kind_is_answered_right_and_marked_as_cpython_marks(kind: str, learner: Learner, page: Page) -> None:
    """What CPython says is right is right in the page, from the same set number."""
    unit, pack = ("alder-4", "forward") if kind != "gauge" else ("hazel-2", "high")
    learner.exercise(f"unit={unit}&pack={pack}&kind={kind}&set=12")
    page.locator("[data-bench=mark-it]").click()
    expect(page.locator("bench-exercise [data-bench=problem]").first).to_have_text("This field is missing. Add it.")
    for name, right in rights(kind, unit, pack, 1201).items():
        ask = page.locator(f"[data-ask={name}]")
        if ask.locator("input[type=text]").count():
            ask.locator("input").fill(right)
        else:
            ask.get_by_role("radio", name=right, exact=True).check()
    page.locator("[data-bench=mark-it]").click()
    expect(page.locator("[data-bench=mark] .bench-verdict-word")).to_have_text("Right")
    expect(page.locator("bench-exercise [data-bench=state]")).to_have_text(
        "Nobody is chosen: answers are marked but not recorded."
    )


PLATES = "unit=standards&pack=plates&kind=judge&count=9&set=7"


def _judge_until(page: Page, drawing: str) -> None:
    """Goes on in the set until a drawing is asked about, answering each as it comes."""
    for _ in range(9):
        if page.locator(f".practice-finding[data-drawing={drawing}]").count():
            return
        page.locator("input[value=replace]").check()
        page.locator("[data-bench=mark-it]").click()
        expect(page.locator("bench-exercise[data-state=marked]")).to_be_visible()
        page.locator("[data-bench=next]").click()
        expect(page.locator("bench-exercise[data-state=asked]")).to_be_visible()
    raise AssertionError(f"{drawing} does not come up")


def test_a_part_is_judged_and_a_reading_decides_by_keys_alone(
    learner: Learner, page: Page, kept: Callable[[], list[Any]]
) -> None:
    """“Measure” leads to a reading; the first answer stays; both are marked and recorded once; the page that says so opens."""
    learner.open("index.html")
    learner.be("Wren Ashby")
    learner.exercise(PLATES)
    _judge_until(page, "lining-thin")
    before = len([record for record in kept() if record["kind"] == "attempt"])
    page.locator("[data-ask=judgement] input").first.focus()
    page.keyboard.press("2")
    expect(page.locator("[data-bench=mark-it]")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("[data-bench=further]")).to_contain_text("Smallest of 3 readings over both linings")
    expect(page.locator("[data-ask=reading] input").first).to_be_focused()
    expect(page.locator("[data-ask=judgement] input[value=replace]")).to_be_disabled()
    assert len([record for record in kept() if record["kind"] == "attempt"]) == before
    page.keyboard.press("1")
    page.keyboard.press("Enter")
    expect(page.locator("bench-exercise[data-state=marked]")).to_be_visible()
    expect(page.locator("[data-bench=mark] .bench-exercise-asks li")).to_have_count(2)
    expect(page.locator("[data-bench=mark] .bench-working li").first).to_contain_text("at least 1.90 mm")
    assert len([record for record in kept() if record["kind"] == "attempt"]) == before + 1
    link = page.locator("[data-bench=read]")
    expect(link).to_have_text("Friction plates and the soak: Measure")
    link.click()
    expect(page.locator(":target")).to_contain_text("Measure")


def test_try_again_takes_the_reading_back(learner: Learner, page: Page) -> None:
    """Else it would say that measuring was right."""
    learner.exercise(PLATES)
    _judge_until(page, "steel-coned")
    page.locator("input[value=measure]").check()
    page.locator("[data-bench=mark-it]").click()
    expect(page.locator("[data-bench=further]")).to_be_visible()
    page.locator("input[value=use-again]:enabled").check()
    page.locator("[data-bench=mark-it]").click()
    expect(page.locator("bench-exercise[data-state=marked]")).to_be_visible()
    if page.locator("[data-bench=again]").count():
        page.locator("[data-bench=again]").click()
        expect(page.locator("bench-exercise[data-state=asked]")).to_be_visible()
        expect(page.locator("[data-bench=further]")).to_have_count(0)
        expect(page.locator("input[value=replace]")).to_be_enabled()


def test_a_wrong_next_check_is_told_by_its_branch_and_leads_to_the_tree(learner: Learner, page: Page) -> None:
    """The complaint and what was found stand there; the link opens the tree on its page, whose links go from step to step."""
    learner.exercise("unit=standards&pack=incoming&kind=next&count=2&set=7")
    expect(page.locator(".bench-exercise-question")).to_contain_text("The customer says: “")
    expect(page.locator(".practice-found dt")).not_to_have_count(0)
    right = rights("next", "standards", "incoming", 701)["next"]
    labels = page.locator("[data-ask=next] label > span:last-child").all_inner_texts()
    page.locator("[data-ask=next] input").nth(next(at for at, label in enumerate(labels) if label != right)).check()
    page.locator("[data-bench=mark-it]").click()
    expect(page.locator("[data-bench=mark] .bench-verdict-word")).to_have_text("Not yet")
    expect(page.locator(".bench-exercise-why li")).to_have_count(2)
    page.locator("[data-bench=read]").click()
    expect(page.locator(".bench-tree:target")).to_be_visible()
    page.locator(".bench-tree-then a", has_text="Go to 3: Read the fault codes").click()
    expect(page.locator("#tree-incoming-codes:target")).to_be_in_viewport()


def test_what_was_missed_is_due_again(learner: Learner, page: Page, kept: Callable[[], list[Any]]) -> None:
    """A wrong answer and the day on which it comes again are kept together; it is due the same day until it is right."""
    learner.open("index.html")
    learner.be("Wren Ashby")
    learner.exercise("unit=alder-4&pack=forward&kind=which&set=3")
    right = rights("which", "alder-4", "forward", 301)
    (name,) = right
    labels = page.locator(f"[data-ask={name}] label").all_inner_texts()
    page.locator(f"[data-ask={name}] input").nth(next(at for at, label in enumerate(labels) if label != right[name])).check()
    page.locator("[data-bench=mark-it]").click()
    expect(page.locator("bench-exercise [data-bench=state]")).to_contain_text("It comes again on ")
    assert sorted(record["kind"] for record in kept()) == ["attempt", "person", "review"]
    expect(page.locator("[data-bench=due] li")).to_contain_text("What goes here: Alder 4, Forward pack")
    page.locator("[data-bench=review]").click()
    learner.asked()
    expect(page.locator("[data-bench=set]")).to_have_text("Due today")
    page.locator(f"[data-ask={name}]").get_by_role("radio", name=right[name], exact=True).check()
    page.locator("[data-bench=mark-it]").click()
    expect(page.locator("[data-bench=due]")).to_contain_text("Nothing is due today.")
    (review,) = (record for record in kept() if record["kind"] == "review")
    assert review["value"]["card"]["interval"] == 1
    assert review["value"]["seed"] == 301


def test_a_mark_that_is_not_kept_is_not_said_to_be(learner: Learner, page: Page, kept: Callable[[], list[Any]]) -> None:
    """With a full store the answer is marked all the same; what stands there is that it is not kept yet, and the file is offered."""
    learner.open("index.html")
    learner.be("Wren Ashby")
    learner.exercise("unit=alder-4&pack=forward&kind=which&set=3")
    page.evaluate("() => { IDBObjectStore.prototype.put = () => { throw new DOMException('no room', 'QuotaExceededError'); }; }")
    (name, right), *_ = rights("which", "alder-4", "forward", 301).items()
    page.locator(f"[data-ask={name}]").get_by_role("radio", name=right, exact=True).check()
    page.locator("[data-bench=mark-it]").click()
    expect(page.locator("bench-exercise [data-bench=state]")).to_have_text(
        "Right. Not saved yet for Wren Ashby: save the record as a file before you leave."
    )
    expect(page.locator("[data-bench=kept-trouble] [data-bench=save-record]")).to_be_visible()
    assert [record["kind"] for record in kept()] == ["person"]


def test_without_scripts_a_sentence_stands_there(chromium: Any, address: str) -> None:
    """Nobody is left in front of an empty place."""
    quiet = chromium.new_context(java_script_enabled=False)
    opened = quiet.new_page()
    opened.goto(f"{address}/learning/practice/")
    expect(opened.locator("bench-practice")).to_have_text(
        "Practice needs the page's script: exercises are made and marked in the page."
    )
    quiet.close()
