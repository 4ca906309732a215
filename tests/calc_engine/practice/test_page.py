"""The page's door: every verb, every problem by name, and never an exception."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine import CATALOGUE
from calc_engine.practice import EDITION, KINDS, VERBS, answer_for_practice
from tests.calc_engine.practice.conftest import SMALL, STANDARDS, Page
from tests.calc_engine.practice.test_fair import GEAR_KINDS, STANDARDS_KINDS


def _answer(form: list[dict[str, Any]]) -> dict[str, Any]:
    """Some answer that can be read: first options, the cards as they lie, one millimetre."""
    given: dict[str, Any] = {}
    for ask in form:
        options = [option["id"] for option in ask.get("options", [])]
        given[ask["id"]] = options if ask["form"] == "order" else options[0] if options else f"1 {ask['unit']}"
    return given


def test_list_says_what_can_be_made(page: Page, small: dict[str, Any]) -> None:
    """Each kind with its title, and for each pack the reason why not, or null."""
    small["packs"].append({"id": "bare", "name": "Bare", "parts": [{"part": "piston"}]})
    small["gauges"], small["tools"] = [], []
    del small["packs"][0]["clearance"]["gauge"]
    reply = page.reply("list", {"unit": small})
    assert (reply["ok"], reply["verb"], reply["edition"]) == (True, "list", EDITION)
    assert [kind["kind"] for kind in reply["kinds"]] == [
        "order",
        "fault",
        "gauge",
        "clearance",
        "which",
        "believable",
        *GEAR_KINDS,
        *STANDARDS_KINDS,
    ]
    first, bare = reply["packs"]
    assert [kind["why_not"] for kind in first["kinds"]][:4] == [
        None, None, "The shop has no gauge that measures it in the unit of its limits.", None,
    ]  # fmt: skip
    assert {kind["kind"]: kind["why_not"] is None for kind in bare["kinds"]} == {
        "order": False, "fault": False, "gauge": False, "clearance": False, "which": False, "believable": False,
        "applied": False, "ratio": False, "suspect": False, "judge": False, "next": False,
    }  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_make_and_mark(page: Page, small: dict[str, Any], kind: str) -> None:
    """What make gives can be answered and marked; what it is marked by stays here; the same request gives the same bytes."""
    about = {"judge": "plates", "next": "noise"}.get(kind, "gear_set" if kind in GEAR_KINDS else "first")
    small |= {"findings": STANDARDS["findings"], "trees": STANDARDS["trees"]}
    small["gear_set"] = {"train": dict(CATALOGUE["gear-train"].example)}
    request = {"unit": small, "pack": about, "kind": kind, "seed": 7}
    if kind == "which":
        small["tools"] += [{"id": "a", "name": "A", "note": "One."}, {"id": "b", "name": "B", "note": "Two."}]
    made = page.reply("make", request)
    exercise = made["exercise"]
    assert set(exercise) == {"edition", "kind", "seed", "unit", "pack", "title", "question", "given", "shown", "answer_form"}
    assert (exercise["kind"], exercise["seed"], exercise["unit"], exercise["pack"]) == (kind, 7, "elm", about)
    marked = page.reply("mark", {**request, "answer": _answer(exercise["answer_form"])})
    assert marked["ok"]
    assert set(marked["mark"]) == {"right", "quality", "asks", "why", "working", "read", "answer"}
    assert [ask["id"] for ask in marked["mark"]["asks"]] == [ask["id"] for ask in exercise["answer_form"]]
    assert answer_for_practice("make", json.dumps(request)) == answer_for_practice("make", json.dumps(request))


def test_make_says_why_not(page: Page, small: dict[str, Any]) -> None:
    """Where there is no fair exercise the reply is null with the reason, and marking it is a problem."""
    del small["packs"][0]["clearance"]
    request = {"unit": small, "pack": "first", "kind": "clearance", "seed": 1}
    assert page.reply("make", request) == {
        "ok": True, "verb": "make", "edition": EDITION, "exercise": None, "why_not": "The pack has no clearance limits.",
    }  # fmt: skip
    assert page.problems("mark", {**request, "answer": {}}) == [
        ("kind", "no-exercise", "There is no such exercise. The pack has no clearance limits.", "Ask for another kind or pack."),
    ]


def _good(**changes: Any) -> dict[str, Any]:
    request = {"unit": SMALL, "pack": "first", "kind": "gauge", "seed": 1} | changes
    return {name: value for name, value in request.items() if value is not ...}


WORD = "unknown-word"
BAD = [
    ("make", "{", [("", "not-json", "The request is not JSON at line 1, column 2.", "Send one JSON object of the inputs.")]),
    ("make", [], [("", "wrong-type", "An object is wanted here.", "Write one with unit, pack, kind, seed.")]),
    ("make", {}, [
        ("unit", "missing", "This field is missing.", "Add it."), ("pack", "missing", "This field is missing.", "Add it."),
        ("kind", "missing", "This field is missing.", "Add it."), ("seed", "missing", "This field is missing.", "Add it."),
    ]),
    ("make", _good(kind="gauges", pack="frst", seed=-1), [
        ("kind", WORD, "“gauges” is not known here.", "Did you mean “gauge”?"),
        ("seed", "out-of-range", "A whole number is wanted here.", "Write 0 to 9007199254740991."),
        ("pack", WORD, "“frst” is not known here.", "Did you mean “first”?"),
    ]),
    ("make", _good(seed=2**53), [("seed", "out-of-range", "A whole number is wanted here.", "Write 0 to 9007199254740991.")]),
    ("make", _good(seed=True), [("seed", "out-of-range", "A whole number is wanted here.", "Write 0 to 9007199254740991.")]),
    ("make", _good(unit=5), [("unit", "wrong-type", "A number was given where an object with named fields is expected.", "Write {…}.")]),
    ("make", _good(unit={**SMALL, "name": 5}), [("unit.name", "wrong-type", "Name: a text is wanted.", "What the unit is called.")]),
    ("make", _good(answer={}), [("answer", "unknown-field", "This field is not known.", "Known: unit, pack, kind, seed.")]),
    ("mark", _good(), [("answer", "missing", "This field is missing.", "Add it.")]),
    ("mark", _good(answer={"reading": "2,345 mm"}), [("answer.reading", "ambiguous-comma", "“2,345” can be read in two ways.", "Write 2.345 or 2345.")]),
    ("list", {}, [("unit", "missing", "This field is missing.", "Add it.")]),
    ("list", None, [("", "wrong-type", "An object is wanted here.", "Write one with unit.")]),
    ("practise", {}, [("", "unknown-verb", "This verb is not known.", "Known: make, mark, schedule, list.")]),
    ("schedule", {}, [("today", "missing", "This field is missing.", "Add it."), ("cards", "missing", "This field is missing.", "Add it.")]),
    ("schedule", {"today": "2026-02-30", "cards": []}, [("today", "bad-date", "A day is wanted here.", "Write year-month-day, for example 2026-09-01.")]),
    ("schedule", {"today": "20260901", "cards": []}, [("today", "bad-date", "A day is wanted here.", "Write year-month-day, for example 2026-09-01.")]),
    ("schedule", {"today": "9999-12-31", "cards": []}, [("today", "bad-date", "A day is wanted here.", "Write year-month-day, for example 2026-09-01.")]),
    ("schedule", {"today": "2026-09-01", "cards": [5]}, [
        ("cards.0", "wrong-type", "An object is wanted here.", "Write one with id, repetitions, easiness, interval, due, again, reviewed."),
    ]),
    ("schedule", {"today": "2026-09-01", "cards": [{"id": "a", "repetitions": -1, "easiness": "1.2", "interval": 1, "due": "soon", "again": 1, "reviewed": 5}]}, [
        ("cards.0.easiness", "out-of-range", "An easiness is wanted here.", 'Write a decimal of 1.3 or more as text, for example "2.5".'),
        ("cards.0.due", "bad-date", "A day is wanted here.", "Write year-month-day, for example 2026-09-01."),
        ("cards.0.reviewed", "bad-date", "A day is wanted here.", "Write year-month-day, for example 2026-09-01."),
        ("cards.0.repetitions", "out-of-range", "A whole number is wanted here.", "Write 0 to 1000000."),
        ("cards.0.again", "wrong-type", "True or false is wanted here.", "Write true or false."),
    ]),
    ("schedule", {"today": "2026-09-01", "cards": [], "answered": [5, {"id": "a"}, {"id": "a", "quality": 6}]}, [
        ("answered.0", "wrong-type", "An object is wanted here.", "Write one with id, quality."),
        ("answered.1.quality", "missing", "This field is missing.", "Add it."),
        ("answered.2.quality", "out-of-range", "A whole number is wanted here.", "Write 0 to 5."),
    ]),
]  # fmt: skip


@pytest.mark.parametrize(("verb", "request_", "problems"), BAD)
def test_every_problem_is_named(page: Page, verb: str, request_: object, problems: list[tuple[str, ...]]) -> None:
    """Whatever is wrong with a request comes back by its field, all at once."""
    assert page.problems(verb, request_) == problems


CARD = {
    "id": "a",
    "repetitions": 2,
    "easiness": "2.6",
    "interval": 6,
    "due": "2026-09-01",
    "again": False,
    "reviewed": "2026-08-26",
}


def test_schedule(page: Page) -> None:
    """Cards come back after their answers, a new one begins, and what is due is listed."""
    other = {**CARD, "id": "b", "due": "2026-10-01"}
    answered = [{"id": "a", "quality": 5}, {"id": "new", "quality": 1}]
    reply = page.reply("schedule", {"today": "2026-09-01", "cards": [CARD, other], "answered": answered})
    assert reply == {
        "ok": True,
        "verb": "schedule",
        "edition": EDITION,
        "cards": [
            {"id": "a", "repetitions": 3, "easiness": "2.70", "interval": 17, "due": "2026-09-18", "again": False, "reviewed": "2026-09-01"},
            other,
            {"id": "new", "repetitions": 0, "easiness": "2.5", "interval": 1, "due": "2026-09-02", "again": True, "reviewed": "2026-09-01"},
        ],
        "due": ["new"],
    }  # fmt: skip
    again = page.reply("schedule", {"today": "2026-10-01", "cards": reply["cards"]})
    assert again["cards"] == reply["cards"]
    assert again["due"] == ["new", "a", "b"]


def test_a_card_stands_once(page: Page) -> None:
    """Two cards of one name are a problem at the second."""
    assert page.problems("schedule", {"today": "2026-09-01", "cards": [CARD, {**CARD, "reviewed": None}]}) == [
        ("cards.1.id", "duplicate-id", "“a” appears twice.", "Give each its own id."),
    ]


def test_a_fault_of_ours_is_said_and_not_thrown(page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
    """When practice itself fails, the page is told so without a traceback."""
    monkeypatch.setitem(VERBS, "list", lambda _: 1 // 0)  # type: ignore[arg-type]
    assert page.problems("list", {}) == [
        (
            "",
            "practice-fault",
            "The practice failed on this request; it is not the answer's fault.",
            "Keep the request and report it.",
        ),
    ]


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)


@given(st.sampled_from([*VERBS, "other", ""]), st.text(max_size=60) | JSON.map(json.dumps))
def test_it_never_raises(verb: str, text: str) -> None:
    """Any text at all gets a reply in JSON that is not ok, and never by way of a fault of ours."""
    reply = json.loads(answer_for_practice(verb, text))
    assert reply["ok"] is False
    assert all(problem["code"] != "practice-fault" for problem in reply["problems"])


@given(st.data())
def test_a_broken_unit_is_told_or_works(data: st.DataObject) -> None:
    """With one value of a sound unit exchanged for anything, the reply is an exercise or named problems, never a fault of ours."""
    unit = json.loads(json.dumps(SMALL))
    target: Any = unit
    while True:
        key = data.draw(st.sampled_from(sorted(target) if isinstance(target, dict) else range(len(target))))
        if not isinstance(target[key], (dict, list)) or not target[key] or data.draw(st.integers(0, 4)) == 0:
            break
        target = target[key]
    target[key] = data.draw(JSON)
    for kind in KINDS:
        request = {"unit": unit, "pack": "first", "kind": kind, "seed": data.draw(st.integers(0, 2**53 - 1))}
        reply = json.loads(answer_for_practice("make", json.dumps(request)))
        assert reply["ok"] or all(problem["code"] != "practice-fault" for problem in reply["problems"]), reply
        assert reply["ok"] or all(problem["message"] and problem["remedy"] for problem in reply["problems"])


@pytest.mark.parametrize("verb", VERBS)
@pytest.mark.parametrize(
    "extreme", ["1e400", "1e500000000", "-1e99999999999999999999", "9" * 5000, "[" * 900 + "]" * 900, '"\\ud800"']
)
def test_what_machines_may_read_differently_is_a_problem_like_any_other(verb: str, extreme: str, small: dict[str, Any]) -> None:
    """In every place of a request: huge powers, long numbers, deep nesting, halves of letters."""
    card = {"id": "a", "repetitions": 1, "interval": 1, "easiness": "2.5", "due": "2026-11-28"}
    whole = {
        "unit": small,
        "pack": "first",
        "kind": "gauge",
        "seed": 1,
        "answer": {},
        "today": "2026-11-28",
        "cards": [card],
        "answered": [],
    }
    for name in whole:
        text = json.dumps(whole | {name: "HERE"}).replace('"HERE"', extreme)
        told = json.loads(answer_for_practice(verb, text).encode())
        assert not told["ok"]
        assert "practice-fault" not in [problem["code"] for problem in told["problems"]]
