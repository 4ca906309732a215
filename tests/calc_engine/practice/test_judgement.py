"""Use again, measure or replace: the key is the finding's, the reading is judged by a comparison worked out here a second time."""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from typing import Any

import pytest

from calc_engine import Refused
from calc_engine.practice import DRAWINGS, KINDS, Exercise, Further, finding_drawing, read_unit
from tests.calc_engine.practice.conftest import SMALL, Page

JUDGE = KINDS["judge"]


def _made(data: dict[str, Any], seed: int, pack: str = "plates") -> Exercise[Any]:
    unit = read_unit(data)
    exercise = JUDGE.make(unit, unit.packs[pack], seed)
    assert exercise is not None
    return exercise


def _finding(data: dict[str, Any], exercise: Exercise[Any]) -> dict[str, Any]:
    (found,) = [each for each in data["findings"][0]["findings"] if each["drawing"] == exercise.given["drawing"]]
    return dict(found)


def _with_measure(data: dict[str, Any]) -> dict[str, Any]:
    data["findings"][0]["findings"] = [each for each in data["findings"][0]["findings"] if each["judgement"] == "measure"]
    return data


def test_the_key_is_what_the_finding_says(standards: dict[str, Any]) -> None:
    """One of three is right; its reason, the standard's words and their place stand below every answer."""
    for seed in range(101, 140):
        exercise = _made(standards, seed)
        finding = _finding(standards, exercise)
        (ask,) = exercise.asks
        assert [option.label for option in ask.options] == ["Use it again", "Measure it", "Replace it"]
        marks = {option.id: JUDGE.mark(exercise, {"judgement": option.id}) for option in ask.options}
        assert [name for name, mark in marks.items() if mark.right] == [finding["judgement"]]
        for name, mark in marks.items():
            assert mark.why[-2:] == (f"{finding['reason']}.", f"The standard: “{finding['says']}”")
            assert len(mark.why) == 2 + (name != finding["judgement"])
            assert mark.as_json()["read"] == [finding["page"]]


def test_nothing_that_is_shown_gives_the_answer_away(standards: dict[str, Any]) -> None:
    """What a page gets of an exercise holds neither the reason nor the standard's words."""
    for seed in range(101, 104):
        exercise = _made(standards, seed)
        finding = _finding(standards, exercise)
        text = json.dumps(exercise.as_json())
        assert finding["reason"] not in text
        assert finding["says"] not in text


def test_in_a_set_each_finding_comes_before_one_comes_again(standards: dict[str, Any]) -> None:
    """A set of three asks about all three; another set in another order."""
    orders = {tuple(_made(standards, 100 * number + at).given["drawing"] for at in (1, 2, 3)) for number in range(1, 30)}
    assert all(len(set(order)) == 3 for order in orders)
    assert len(orders) == 6


def test_who_measures_gets_a_reading_and_is_asked_again(standards: dict[str, Any]) -> None:
    """The engine's verdict is the comparison with U = 2 sqrt(r^2/12 + a^2/3), JCGM 100:2008, 4.3.7; all three answers come up."""
    data, rights = _with_measure(standards), Counter[str]()
    unsure = 2 * math.sqrt(0.01**2 / 12 + 0.004**2 / 3)
    for seed in range(101, 180):
        exercise = _made(data, seed)
        further = JUDGE.further(exercise, {"judgement": "measure"})
        assert isinstance(further, Further)
        (shown,) = re.findall(r'"dd", \{\}, \["([0-9.]+) mm"\]', json.dumps(further.shown))
        reading = float(shown)
        near = min(abs(reading - 1.90), abs(reading - 2.20)) < unsure
        expected = "measure-again" if near else "use-again" if 1.90 <= reading <= 2.20 else "replace"
        (ask,) = further.asks
        marks = {option.id: JUDGE.mark(exercise, {"judgement": "measure", "reading": option.id}) for option in ask.options}
        assert [name for name, mark in marks.items() if mark.right] == [expected], reading
        assert all(mark.working for mark in marks.values())
        rights[expected] += 1
    assert min(rights.values()) > 5
    assert len(rights) == 3


def test_who_does_not_measure_gets_no_reading(standards: dict[str, Any]) -> None:
    """Nor does anybody where no number decides; what is wrong is told for the two that are confused."""
    data = standards["findings"][0]["findings"]
    told = {}
    for seed in range(101, 104):
        exercise = _made(standards, seed)
        finding = _finding(standards, exercise)
        for given in ("use-again", "measure", "replace"):
            further = JUDGE.further(exercise, {"judgement": given})
            assert (further is not None) == (given == "measure" == finding["judgement"])
            mark = JUDGE.mark(exercise, {"judgement": given})
            if not mark.right:
                told[given, finding["judgement"]] = mark.why[0]
    assert len(data) == 3
    assert told == {
        ("use-again", "measure"): "Its looks do not decide: a figure does.",
        ("use-again", "replace"): "What is seen here does not go back in.",
        ("measure", "use-again"): "No figure is needed: what is seen is as it should be.",
        ("measure", "replace"): "No figure saves it: what is seen decides.",
        ("replace", "use-again"): "Nothing that is seen here says scrap.",
        ("replace", "measure"): "It is not scrap yet: a figure decides.",
    }


def test_the_page_asks_on_before_it_marks(page: Page, standards: dict[str, Any]) -> None:
    """One reply to “measure” with what is asked then; the next holds the mark of both."""
    asked = {"unit": _with_measure(standards), "pack": "plates", "kind": "judge", "seed": 7}
    reply = page.reply("mark", {**asked, "answer": {"judgement": "measure"}})
    assert reply["mark"] is None
    assert [ask["id"] for ask in reply["further"]["answer_form"]] == ["reading"]
    marked = page.reply("mark", {**asked, "answer": {"judgement": "measure", "reading": "replace"}})["mark"]
    assert [ask["id"] for ask in marked["asks"]] == ["judgement", "reading"]
    assert page.reply("mark", {**asked, "answer": {"judgement": "replace"}})["mark"]["right"] is False
    assert [problem[:2] for problem in page.problems("mark", {**asked, "answer": {}})] == [("answer.judgement", "missing")]


def test_a_pack_gives_no_judgement_and_findings_no_stack(standards: dict[str, Any]) -> None:
    """Each kind says what it is asked of."""
    unit = read_unit(standards)
    assert KINDS["order"].why_not(unit, unit.packs["plates"]) == "This is asked of a pack, not of a set of findings."
    assert KINDS["order"].why_not(unit, unit.packs["noise"]) == "This is asked of a pack, not of a decision tree."
    assert KINDS["order"].make(unit, unit.packs["plates"], 1) is None
    assert JUDGE.why_not(unit, unit.packs["noise"]) == "This is asked of a set of findings of the standards."
    assert JUDGE.make(unit, unit.packs["noise"], 1) is None
    small = read_unit(SMALL)
    assert JUDGE.why_not(small, small.packs["first"]) == "This is asked of a set of findings of the standards."


@pytest.mark.parametrize(
    ("change", "problem"),
    [
        ({"drawing": "steel-spotz"}, ("findings.0.findings.1.drawing", "unknown-word")),
        ({"judgement": "replace"}, ("findings.0.findings.1.measured", "not-used")),
        ({"id": "even"}, ("findings.0.findings.2.id", "duplicate-id")),
        ({"measured": {"low": ...}}, ("findings.0.findings.1.measured.low", "missing")),
        ({"measured": {"low": "2.30 mm"}}, ("findings.0.findings.1.measured.low", "crossed-limits")),
        ({"measured": {"step": "0.001 in"}}, ("findings.0.findings.1.measured.step", "wrong-unit")),
    ],
)
def test_data_that_make_no_sense_are_told(standards: dict[str, Any], change: dict[str, Any], problem: tuple[str, str]) -> None:
    """At their field."""
    finding = standards["findings"][0]["findings"][1]
    for key, value in change.items():
        if isinstance(value, dict):
            finding[key] |= value
        else:
            finding[key] = value
    if ... in finding["measured"].values():
        finding["measured"] = {key: value for key, value in finding["measured"].items() if key not in {"low", "high"}}
    with pytest.raises(Refused) as refused:
        read_unit(standards)
    assert [(each.field, each.code) for each in refused.value.problems] == [problem]


@pytest.mark.parametrize("name", DRAWINGS)
def test_each_drawing_is_ink_that_stays_on_its_paper(name: str) -> None:
    """Numbers only, within the paper of 320 by 214; it says what it shows and names no judgement."""
    drawing = finding_drawing(name)
    text = json.dumps(drawing)
    shows = DRAWINGS[name].shows
    assert drawing[1]["aria-label"] == shows  # type: ignore[call-overload, index]
    assert not re.search(
        r"\b(worn|wear|burn|glaz|scrap|replace|measure|good|bad|fault|damage|crack)", shows.replace("cracks from edge", "")
    )
    assert len(text) < 25_000
    for path in re.findall(r'"d": "([^"]*)"', text):
        assert re.fullmatch(r"[MLHVQCAmlhvqcaz0-9. -]*", path)
        for x, y in re.findall(r"[ML](-?[0-9.]+) (-?[0-9.]+)", path):
            assert -6 <= float(x) <= 326, (name, x)
            assert -6 <= float(y) <= 220, (name, y)
