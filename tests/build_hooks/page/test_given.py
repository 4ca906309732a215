"""What a page gives to a form: shown, not asked for, and answered with the rest; what is given wrong is told at its place."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

from tests.build_hooks.page.test_shop_units import form, told

TWO_RANGES: Final = """\
calculation: pressure-check
units: metric
given:
  ranges:
    - {name: Drive, limits: {min: 950 kPa, max: 1050 kPa}}
    - {name: Reverse, limits: {min: 1425 kPa, max: 1575 kPa}}
example:
  ranges:
    - {readings: [1000 kPa, 1010 kPa]}
    - {readings: [1300 kPa]}"""


def test_what_is_given_in_a_list_is_shown_and_the_rest_is_asked(tmp_path: Path) -> None:
    """Each range has its name on top, as many readings as the example, and limits that cannot be changed. The gauge is still asked."""
    made = form(tmp_path, TWO_RANGES)
    open_entries = {entry["name"]: entry.get("value", "") for entry in made.select("input[data-kind]:not([readonly])")}
    assert [name for name in open_entries if name.startswith("ranges")] == [
        "ranges.0.readings.0", "ranges.0.readings.1", "ranges.1.readings.0",
    ]  # fmt: skip
    assert "gauge.max_error" in open_entries
    shown = {entry["name"]: entry["value"] for entry in made.select("input[readonly]")}
    assert shown == {
        "ranges.0.limits.min": "950 kPa", "ranges.0.limits.max": "1050 kPa",
        "ranges.1.limits.min": "1425 kPa", "ranges.1.limits.max": "1575 kPa",
    }  # fmt: skip
    legends = [legend.text for legend in made.select("legend")]
    assert legends.count("From this page") == 2
    assert "From the unit data" not in legends
    assert [legend for legend in legends if legend in {"Drive", "Reverse"}] == ["Drive", "Reverse"]
    assert made.select_one("[data-bench=result]")["data-verdict"] == "low"


def test_a_plain_figure_is_given(tmp_path: Path) -> None:
    """35 N.m with 50 mm on a wrench of 400 mm: 35 x 400 / 450 = 31.1 N.m; only the wrench is asked for."""
    block = (
        "calculation: wrench-adapter\nunits: metric\ngiven: {torque: 35 N.m, extension: 50 mm}\nexample: {wrench_length: 400 mm}"
    )
    made = form(tmp_path, block)
    assert {entry["name"] for entry in made.select("input[readonly]")} == {"torque", "extension"}
    assert {entry["name"] for entry in made.select("input[data-kind]:not([readonly])")} == {"wrench_length", "angle"}
    assert "31.1" in made.select_one("[data-bench=result]").text


@pytest.mark.parametrize(
    ("block", "problem"),
    [
        (
            "calculation: wrench-adapter\ngiven: {torque: 35 N.m}\nexample: {torque: 30 N.m, wrench_length: 400 mm, extension: 50 mm}",
            ":4:19: This is given already. Take it out of the example.",
        ),
        (
            "calculation: wrench-adapter\ngiven: {torque: 35 mm, extension: 50 mm}\nexample: {wrench_length: 400 mm}",
            ":3:17: The example has no answer: “mm” measures length, but a torque is wanted. Write it in N.m, lbf.ft or lbf.in.",
        ),
        (
            "calculation: wrench-adapter\ngiven: 35 N.m",
            ":3:8: What is given must name fields of the calculation. Write for example given: {torque: 35 N.m}.",
        ),
        (
            TWO_RANGES.rpartition("\n")[0],
            ":10:5: 2 entries are given, and the example has 1. Give the example as many, in the same order.",
        ),
        (
            "calculation: end-play\nshaft: input\ngiven: {lifts: [0.30 mm]}",
            ":4:8: given has no effect beside shaft: the unit data fill the form. Take it out, or take shaft out.",
        ),
    ],
    ids=["twice", "a wrong unit", "no mapping", "fewer entries", "beside unit data"],
)
def test_what_is_given_wrong_is_told_at_its_place(tmp_path: Path, block: str, problem: str) -> None:
    """Line and column of the value to be mended, and the whole message."""
    assert problem in told(tmp_path, block)[0]
