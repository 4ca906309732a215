"""The picture of a forecast: bars to one scale with the limits, or with what each size takes in."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from calc_engine import CATALOGUE, panel, work_out
from calc_engine.answer_view.histogram import Column, Strip, histogram
from calc_engine.quantities.quantity import Quantity
from calc_engine.quantities.units import BY_NAME

MM = BY_NAME["mm"]


def mm(value: Fraction | int | str) -> Quantity:
    """A length."""
    return Quantity(Fraction(value), MM)


def parts(root: Any, kind: str) -> list[dict[str, str]]:
    """The attributes of the children of a class."""
    return [child[1] for child in root[2] if child[1]["class"] == f"bench-histogram-{kind}"]


THREE = [Column(mm(1), mm(2), Fraction(1, 4)), Column(mm(2), mm(3), Fraction(1, 2)), Column(mm(3), mm(4), Fraction(1, 4))]


def test_bars_stand_side_by_side_as_tall_as_their_probability() -> None:
    """1 to 4 mm over 704 drawing units; the tallest bar takes the whole height, half the probability half of it."""
    bars = parts(histogram(THREE, None, [], "three bars"), "bar")
    assert [(int(bar["x"]), int(bar["width"])) for bar in bars] == [(8, 235), (243, 234), (477, 235)]
    assert [int(bar["height"]) for bar in bars] == [65, 130, 65]
    assert {int(bar["y"]) + int(bar["height"]) for bar in bars} == {164}


def test_limits_are_drawn_even_outside_the_bars() -> None:
    """The scale grows to hold them, and each is written above its line."""
    root = histogram(THREE, (mm(0), mm(4)), [], "with limits")
    assert [line["d"] for line in parts(root, "limit")] == ["M8 28V164", "M712 28V164"]
    values = [child for child in root[2] if child[1]["class"] == "bench-histogram-value"]  # type: ignore[union-attr, index, call-overload]
    assert [child[2] for child in values] == [["0.00 mm"], ["4.00 mm"]]  # type: ignore[index]


def test_a_strip_for_each_size_lies_below() -> None:
    """Each on a line of its own, with its name; the picture grows by that."""
    root: Any = histogram(THREE, None, [Strip("thin", mm(1), mm(2)), Strip("thick", mm(2), mm(4))], "with sizes")
    assert root[1]["viewBox"] == "0 0 720 306"
    assert [line["d"] for line in parts(root, "strip")] == [
        "M8 206v12M8 212H243M243 206v12",
        "M243 252v12M243 258H712M712 252v12",
    ]
    assert [child[2] for child in root[2] if child[1]["class"] == "bench-histogram-name"] == [["thin"], ["thick"]]


def test_a_gap_without_spread_is_one_thin_bar() -> None:
    """Nothing is divided by a width of nothing."""
    (bar,) = parts(histogram([Column(mm(2), mm(2), Fraction(1))], None, [], "one value"), "bar")
    assert (bar["x"], bar["width"], bar["height"]) == ("8", "2", "130")


@given(
    edges=st.lists(st.fractions(min_value=-50, max_value=50, max_denominator=1000), min_size=2, max_size=30, unique=True).map(
        sorted
    ),
    ends=st.tuples(
        st.fractions(min_value=-60, max_value=60, max_denominator=1000),
        st.fractions(min_value=0, max_value=9, max_denominator=1000),
    ),
    data=st.data(),
)
def test_everything_stays_inside_the_picture(edges: list[Fraction], ends: tuple[Fraction, Fraction], data: st.DataObject) -> None:
    """Wherever bars and limits lie; bars without height are left out."""
    weights = data.draw(st.lists(st.integers(1, 1000), min_size=len(edges) - 1, max_size=len(edges) - 1))
    columns = [Column(mm(a), mm(b), Fraction(w, sum(weights))) for a, b, w in zip(edges, edges[1:], weights, strict=False)]
    low, high = ends[0], ends[0] + ends[1]
    for bar in parts(histogram(columns, (mm(low), mm(high)), [Strip("it", mm(low), mm(high))], "any"), "bar"):
        x, y, width, height = (int(bar[name]) for name in ("x", "y", "width", "height"))
        assert 8 <= x < x + width <= 714
        assert 34 <= y < y + height == 164


def forecast(**changes: Any) -> tuple[Any, dict[str, Any]]:
    """The picture in the panel of the catalogue's example, and the title above it."""
    request = {**CATALOGUE["stack-forecast"].example, **changes}
    request = {name: value for name, value in request.items() if value is not None}
    root: Any = panel(work_out("stack-forecast", request))
    (shown,) = [child for child in root[2] if child[1].get("class") == "bench-forecast"]
    return shown[2][1], shown[2][0]


def test_a_forecast_with_sizes_shows_which_gaps_each_takes_in() -> None:
    """A size of thickness t is in when the gap is between the limits plus t."""
    picture, title = forecast()
    assert title[2] == ["How often each gap comes up, and from where to where each size is in"]
    assert picture[1]["aria-label"] == (
        "Picture of the gap. Bars from 2.394 mm to 3.046 mm, tallest at 2.679 mm to 2.72 mm. Below, from where to where each size is in."
    )
    assert len(parts(picture, "strip")) == 4
    assert parts(picture, "limit") == []


def test_a_forecast_without_sizes_shows_the_limits() -> None:
    """There the gap is the clearance itself."""
    picture, title = forecast(choices=None, rebuilds=None, service=None)
    assert title[2] == ["How often each gap comes up, with the limits"]
    assert (
        picture[1]["aria-label"]
        == "Picture of the gap. Bars from 2.394 mm to 3.046 mm, tallest at 2.679 mm to 2.72 mm. Limits 0.90 mm to 1.40 mm."
    )
    assert len(parts(picture, "limit")) == 2


def test_more_sizes_than_can_be_told_apart_are_said() -> None:
    """Twelve strips at most."""
    sizes = [{"id": f"size {n}", "thickness": f"{1 + n / 20} mm"} for n in range(15)]
    picture, title = forecast(choices=sizes)
    assert title[2] == ["How often each gap comes up, and from where to where each size is in, for the first 12 of 15 sizes"]
    assert len(parts(picture, "strip")) == 12
