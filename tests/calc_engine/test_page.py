"""What the page's worker calls: the reply of the command line, and how it looks."""

from __future__ import annotations

import json
import sys
from itertools import islice

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc_engine import CATALOGUE, answer, answer_for_page, answer_text, decode_request, encode, page, panel, work_out
from tests.site.requests_for_parity import extreme_requests

answer_module = sys.modules["calc_engine.answer"]


@pytest.mark.parametrize("name", list(CATALOGUE))
def test_the_page_gets_the_reply_of_the_command_line_and_its_panel(name: str) -> None:
    """To the byte."""
    example = dict(CATALOGUE[name].example)
    reply = answer(name, example)
    assert answer_for_page(name, json.dumps(example)) == encode({"reply": reply, "panel": panel(work_out(name, example))})


@pytest.mark.parametrize(
    ("name", "text"),
    [("pack-clearance", "{}"), ("pack-clearance", "{"), ("pack-clearance", "[1]"), ("nothing", "{}"), ("nothing", "")],
)
def test_a_refused_request_has_problems_and_no_panel(name: str, text: str) -> None:
    """The same problems as everywhere."""
    reply = answer_text(name, text)
    assert not reply["ok"]
    assert json.loads(answer_for_page(name, text)) == {"reply": reply, "panel": None}


@given(st.text())
def test_any_text_is_answered(text: str) -> None:
    """Noise included."""
    assert json.loads(answer_for_page("pack-clearance", text))["reply"] == answer_text("pack-clearance", text)


@pytest.mark.parametrize("name", list(CATALOGUE))
@given(st.integers(0, 2**32))
@settings(max_examples=15)
def test_extreme_requests_are_answered_alike_at_every_door(name: str, seed: int) -> None:
    """Huge powers, long numbers, deep nesting, halves of letters: a whole reply, never a fault of the engine."""
    for _, text in islice(((asked, text) for asked, text in extreme_requests(seed) if asked == name), 4):
        both = answer_for_page(name, text)
        both.encode()
        told = json.loads(both)
        assert told["reply"] == json.loads(encode(answer_text(name, text)))
        assert (told["panel"] is not None) is told["reply"]["ok"]
        assert "engine-fault" not in [problem["code"] for problem in told["reply"].get("problems", [])]


def test_a_fault_of_the_panel_is_told_like_every_fault_of_the_engine(monkeypatch: pytest.MonkeyPatch) -> None:
    """No traceback leaves the door."""

    def broken(_worked: object) -> None:
        raise ArithmeticError

    monkeypatch.setattr(page, "panel", broken)
    told = json.loads(answer_for_page("convert", '{"value": "1 in", "to": "mm"}'))
    assert told["panel"] is None
    assert [problem["code"] for problem in told["reply"]["problems"]] == ["engine-fault"]


def test_a_request_is_decoded_and_computed_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Reply and panel come from the same answer."""
    decoded = []

    def counted(text: str | bytes) -> object:
        decoded.append(text)
        return decode_request(text)

    monkeypatch.setattr(answer_module, "decode_request", counted)
    answer_for_page("convert", '{"value": "1 in", "to": "mm"}')
    assert len(decoded) == 1
