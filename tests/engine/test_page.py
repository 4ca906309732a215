"""What the page's worker calls: the reply of the command line, and how it looks."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine import CATALOGUE, answer, answer_for_page, answer_text, encode, panel, work_out
from calc_engine.page import rehearse


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
def test_a_rehearsal_leaves_the_answers_as_they_are(name: str) -> None:
    """It gives nothing back and changes nothing."""
    text = json.dumps(dict(CATALOGUE[name].example))
    before = answer_for_page(name, text)
    rehearse(name)
    assert answer_for_page(name, text) == before


def test_what_is_not_known_cannot_be_rehearsed() -> None:
    """The fault of whoever wrote the page's script, not of a reader."""
    with pytest.raises(KeyError):
        rehearse("no such calculation")
