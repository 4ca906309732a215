"""The picture of a verdict: limits, value and uncertainty on one scale."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.answer_view.ruler import RulerLabels, ruler
from calc_engine.quantities.quantity import Quantity, parse_quantity, show
from calc_engine.quantities.units import BY_NAME, Dimension

SIZES = st.fractions(min_value=-100, max_value=100, max_denominator=1000)


def mm(text: str) -> Quantity:
    """A length."""
    return parse_quantity(text, Dimension.LENGTH, "x")


def drawn(value: str, unsure: str, low: str = "0.90 mm", high: str = "1.40 mm") -> dict[str, Any]:
    """The parts of a ruler by their class, texts with their attributes."""
    written = RulerLabels(f"{show(mm(value))} ± {show(mm(unsure))}", *(show(mm(end).to(mm(value).unit)) for end in (low, high)))
    made: Any = ruler(mm(value), mm(unsure), mm(low), mm(high), written, "what it shows")
    tag, attributes, children = made
    assert tag == "svg"
    parts: dict[str, Any] = {"svg": attributes, "bench-ruler-limit": []}
    for child in children:
        kind = child[1]["class"]
        if kind == "bench-ruler-limit":
            parts[kind].append(child)
        else:
            assert kind not in parts
            parts[kind] = child
    return parts


def test_the_picture_says_what_it_shows() -> None:
    """One picture with a description, in drawing units."""
    assert drawn("1.35 mm", "0.06 mm")["svg"] == {
        "viewBox": "0 0 720 132", "role": "img", "aria-label": "what it shows", "class": "bench-ruler",
    }  # fmt: skip


def test_limits_band_and_centre_stand_where_they_belong() -> None:
    """The band reaches from limit to limit, its centre half way, both limits written under their ends."""
    parts = drawn("1.35 mm", "0.06 mm")
    assert parts["bench-ruler-inside"] == [
        "rect", {"x": "163", "y": "52", "width": "394", "height": "32", "class": "bench-ruler-inside"}, [],
    ]  # fmt: skip
    assert parts["bench-ruler-centre"] == ["path", {"d": "M360 52V84", "class": "bench-ruler-centre"}, []]
    assert parts["bench-ruler-limit"] == [
        ["text", {"x": "163", "y": "116", "text-anchor": "middle", "class": "bench-ruler-limit"}, ["0.90 mm"]],
        ["text", {"x": "557", "y": "116", "text-anchor": "middle", "class": "bench-ruler-limit"}, ["1.40 mm"]],
    ]


def test_value_and_uncertainty_stand_on_the_same_scale() -> None:
    """1.35 is nine tenths of the way from limit to limit; 0.06 on each side is 0.12 / 0.50 of the band."""
    parts = drawn("1.35 mm", "0.06 mm")
    assert parts["bench-ruler-pointer"][1]["d"] == "M518 52l-11 -18h22z"
    bar = parts["bench-ruler-unsure"][1]
    assert (bar["x"], bar["y"], bar["width"], bar["height"]) == ("470", "64", "95", "8")
    assert parts["bench-ruler-value"] == [
        "text", {"x": "518", "y": "22", "text-anchor": "middle", "class": "bench-ruler-value"}, ["1.35 mm ± 0.06 mm"],
    ]  # fmt: skip


def test_no_uncertainty_is_still_drawn() -> None:
    """A bar of two units, so that it is seen."""
    assert drawn("1.15 mm", "0 mm")["bench-ruler-unsure"][1]["width"] == "2"


@pytest.mark.parametrize(
    ("value", "pointer", "anchor", "x"),
    [("9 mm", "M712 68l-22 -14v28z", "end", "712"), ("-5 mm", "M8 68l22 -14v28z", "start", "8")],
)
def test_a_value_far_outside_is_an_arrow_at_the_edge(value: str, pointer: str, anchor: str, x: str) -> None:
    """It points on, and its figure still stands there."""
    parts = drawn(value, "0.1 mm")
    assert parts["bench-ruler-pointer"][1]["d"] == pointer
    assert (parts["bench-ruler-value"][1]["text-anchor"], parts["bench-ruler-value"][1]["x"]) == (anchor, x)
    assert parts["bench-ruler-unsure"][1]["width"] == "2"


def test_hatching_fills_what_lies_outside_and_nothing_else() -> None:
    """45 degree strokes from both edges to the limits, cut off at them."""
    strokes = re.findall(r"M(\d+) 84l(\d+) -(\d+)", drawn("1 mm", "0 mm")["bench-ruler-outside"][1]["d"])
    spans = [(int(start), int(start) + int(run)) for start, run, rise in strokes if run == rise]
    assert len(spans) == len(strokes) == 26
    assert all((start >= 8 and end <= 163) or (start >= 557 and end <= 712) for start, end in spans)
    assert [start for start, _ in spans[:2]] == [8, 20]
    assert spans[0] == (8, 40)
    assert spans[12] == (152, 163)


def test_limits_in_another_unit_are_shown_in_the_value_s() -> None:
    """One scale, one unit."""
    parts = drawn("0.05 in", "0.001 in")
    assert [label[2] for label in parts["bench-ruler-limit"]] == [["0.0354 in"], ["0.0551 in"]]
    assert parts["bench-ruler-value"][2] == ["0.050 in ± 0.001 in"]


@given(
    SIZES,
    st.fractions(min_value=0, max_value=50, max_denominator=1000),
    SIZES,
    st.fractions(min_value=Fraction(1, 1000), max_value=50),
)
def test_everything_stays_inside_the_picture(value: Fraction, unsure: Fraction, low: Fraction, width: Fraction) -> None:
    """Whatever the figures, and the value is on the side of each limit that it is on."""
    unit = BY_NAME["mm"]
    figures = [Quantity(figure, unit) for figure in (value, unsure, low, low + width)]
    written = RulerLabels(f"{show(figures[0])} ± {show(figures[1])}", show(figures[2]), show(figures[3]))
    made: Any = ruler(*figures, written, "x")
    _, _, children = made
    parts = {child[1]["class"]: child for child in children}
    rect, bar = parts["bench-ruler-inside"][1], parts["bench-ruler-unsure"][1]
    left, right = int(rect["x"]), int(rect["x"]) + int(rect["width"])
    point = int(parts["bench-ruler-value"][1]["x"])
    assert 8 <= left < right <= 712
    assert 8 <= point <= 712
    assert 8 <= int(bar["x"]) <= point <= int(bar["x"]) + int(bar["width"]) <= 714
    assert (point >= left) or value <= low
    assert (point <= right) or value >= low + width
