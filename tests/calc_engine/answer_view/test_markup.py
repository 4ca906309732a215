"""Page fragments as plain data."""

from __future__ import annotations

import json

from calc_engine import element


def test_an_element_is_tag_attributes_and_children() -> None:
    """Nested, with texts and elements in order."""
    assert element("p", {"class": "a"}, "text", element("b", {}, "bold")) == ["p", {"class": "a"}, ["text", ["b", {}, ["bold"]]]]


def test_absent_children_are_left_out_and_empty_texts_are_kept() -> None:
    """None is no child; an empty text is one."""
    assert element("p", None, None, "", None) == ["p", {}, [""]]
    assert element("br") == ["br", {}, []]


def test_an_element_survives_json() -> None:
    """It crosses to the page as text."""
    made = element("p", {"data-x": "1"}, "µ", element("i"))
    assert json.loads(json.dumps(made)) == made
