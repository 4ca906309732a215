"""Exercises in the page: asked, answered by keyboard alone, marked, told why, and recorded."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

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
    asked = {"unit": unit_data(library.units[unit], library.shop), "pack": pack, "kind": kind, "seed": seed}
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


def order_by_keys(page: Page, labels: list[str]) -> None:
    """Puts the cards in order with Enter and the arrow keys: each is picked up, moved and put down."""
    for place, label in enumerate(labels):
        now = page.locator(".bench-order-label").all_inner_texts()
        at = place + now[place:].index(label)
        press_to(
            page, "ArrowDown" if focused(page) < at else "ArrowUp", f".bench-order > li:nth-child({at + 1}) .bench-order-label"
        )
        if at == place:
            continue
        page.keyboard.press("Enter")
        for _ in range(at - place):
            page.keyboard.press("ArrowUp")
        page.keyboard.press("Enter")


def focused(page: Page) -> int:
    """The place of the card that has the focus."""
    place: int = page.evaluate(
        "[...document.querySelectorAll('.bench-order > li')].indexOf(document.activeElement.closest('li'))"
    )
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
    page.locator("bench-exercise .bench-order-label").first.focus()
    right = rights("order", "hazel-2", "high", 482101)
    for name in (name for name in right if name != "order"):
        press_to(page, "ArrowDown", f"[data-ask={name}] input")
        page.keyboard.press("Enter")
        expect(page.locator(f"[data-ask={name}] input:checked")).to_be_focused()
    mark_by_keys(page)
    expect(page.locator("[data-bench=mark] .bench-verdict-word")).to_have_text("Not yet")
    expect(page.locator(".bench-exercise-why")).to_contain_text("Number 1 is High piston")
    expect(page.locator("[data-bench=mark] .bench-working li")).to_have_count(11)
    press_to(page, "ArrowDown", "[data-bench=again]")
    page.keyboard.press("Enter")
    assert focused(page) == 0
    order_by_keys(page, right["order"].split("; "))
    for name, way in right.items():
        if name == "order":
            continue
        press_to(page, "ArrowDown", f"[data-ask={name}] input")
        at = page.locator(f"[data-ask={name}] label").all_inner_texts().index(way)
        press_to(page, "ArrowRight", f"[data-ask={name}] label:nth-child({at + 1}) input", 5)
        page.keyboard.press("Enter")
    mark_by_keys(page)
    expect(page.locator("[data-bench=mark] .bench-verdict-word")).to_have_text("Right")
    expect(page.locator("bench-exercise [data-bench=state]")).to_have_text("Right. Recorded for Wren Ashby.")


def test_cards_are_moved_by_their_buttons_and_by_dragging(learner: Learner, page: Page) -> None:
    """Up and down by a press of 48 pixels; a card that is dragged by its number lies where it was let go. Each move is told."""
    learner.exercise(f"{HIGH}&kind=order&set=7")
    cards = page.locator(".bench-order-label")
    first, second, third, *_ = cards.all_inner_texts()
    down = page.locator(".bench-order > li").first.get_by_role("button", name=f"Down: {first}", exact=True)
    box = down.bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 47
    down.click()
    assert cards.all_inner_texts()[:2] == [second, first]
    expect(page.locator("bench-exercise [data-bench=state]")).to_have_text(f"{first}: now number 2 of 11.")
    grip, target = page.locator(".bench-order-grip").nth(2), page.locator(".bench-order-grip").nth(0)
    grip.scroll_into_view_if_needed()
    start, end = grip.bounding_box(), target.bounding_box()
    assert start is not None and end is not None
    page.mouse.move(start["x"] + 20, start["y"] + 20)
    page.mouse.down()
    page.mouse.move(end["x"] + 20, end["y"] + 30, steps=8)
    page.mouse.up()
    assert cards.all_inner_texts()[0] == third
    assert page.locator(".bench-order-grip").all_inner_texts() == [str(number) for number in range(1, 12)]


def test_the_same_set_number_gives_the_same_exercise(learner: Learner, page: Page) -> None:
    """A trainer reads a short number aloud; whoever types it gets the same question, on any machine."""
    learner.exercise(f"{HIGH}&kind=order&set=4821")
    asked = page.locator(".bench-order-label").all_inner_texts()
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


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "order"])
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
