"""Reading a gauge: the drawing shows the value, the value alone is right, and a usual misreading is named."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from calc_engine import Element
from calc_engine.practice import Exercise, Mark, read_unit
from calc_engine.practice.gauge_drawing import described, dial_drawing, micrometer_drawing
from calc_engine.practice.gauge_types import DIALS, MICROMETERS, DepthMicrometer, Dial, Reading, figure
from calc_engine.practice.gauges import GaugeKey, make, mark, why_not
from calc_engine.practice.unit import ExerciseUnit
from tests.calc_engine.practice.conftest import SMALL

METRIC, FINE, INCH, HALF = DIALS
DEPTH, DEPTH_INCH = MICROMETERS


def _exercise(gauge: Dial | DepthMicrometer, turns: int, tenths: int) -> Exercise[GaugeKey]:
    """An exercise with a reading of our own choosing."""
    unit = read_unit(SMALL)
    drawn = make(unit, unit.packs["first"], 1)
    assert drawn is not None
    key = GaugeKey(gauge, Reading(turns, tenths), by_eye=bool(tenths % 10))
    return Exercise(
        **{
            name: getattr(drawn, name) for name in ("kind", "seed", "unit", "pack", "title", "question", "given", "shown", "asks")
        },
        key=key,
    )


def _mark(gauge: Dial | DepthMicrometer, turns: int, tenths: int, given: str) -> Mark:
    return mark(_exercise(gauge, turns, tenths), {"reading": given})


@pytest.mark.parametrize(
    ("gauge", "turns", "tenths", "value"),
    [
        (METRIC, 2, 350, "2.35 mm"), (METRIC, 0, 0, "0.00 mm"), (METRIC, 9, 990, "9.99 mm"),
        (FINE, 3, 70, "0.307 mm"), (INCH, 1, 420, "0.142 in"), (HALF, 4, 330, "0.2165 in"),
        (DEPTH, 27, 280, "13.78 mm"), (DEPTH_INCH, 13, 120, "0.337 in"), (METRIC, 2, 353, "2.353 mm"),
    ],
)  # fmt: skip
def test_values(gauge: Dial | DepthMicrometer, turns: int, tenths: int, value: str) -> None:
    """Turns and lines add up, worked out by hand for each gauge."""
    assert figure(Reading(turns, tenths).value(gauge), gauge) == value
    marked = _mark(gauge, turns, tenths, value)
    assert marked.right
    assert marked.why == ()
    assert marked.asks[0].answer == value


def test_working() -> None:
    """The working names hands, or sleeve and thimble, and adds them."""
    assert _mark(METRIC, 2, 350, "1 mm").working == (
        "small hand: 2 × 1.00 mm = 2.00 mm", "long hand: 35 × 0.01 mm = 0.35 mm", "together: 2.35 mm",
    )  # fmt: skip
    assert _mark(DEPTH, 27, 280, "1 mm").working == (
        "sleeve lines covered: 27 × 0.50 mm = 13.50 mm", "thimble: 28 × 0.01 mm = 0.28 mm", "together: 13.78 mm",
    )  # fmt: skip


WRONG = [
    (METRIC, 2, 350, "1.35 mm", "One turn too few: each turn is 1.00 mm. The small hand has passed 2 and has not reached 3. It is the commonest misreading of a dial."),
    (METRIC, 2, 950, "3.95 mm", "One turn too many: each turn is 1.00 mm. The small hand has passed 2 and has not reached 3; close to a number, the long hand decides."),
    (METRIC, 2, 350, "0.35 mm", "The small hand was left out: it counts whole turns of 1.00 mm."),
    (METRIC, 2, 350, "2.65 mm", "The long hand was read backwards: it runs clockwise from 0."),
    (METRIC, 2, 350, "23.5 mm", "The decimal point is one place too far right."),
    (METRIC, 2, 350, "0.235 mm", "The decimal point is one place too far left."),
    (METRIC, 2, 350, "2.36 mm", "The turns are right; count the lines once more, looking at the hand or the index line square on."),
    (METRIC, 2, 350, "7 mm", "That is none of the usual misreadings: read the turns first, then the lines, then add."),
    (METRIC, 2, 350, "2.35 in", "The figures are right, the unit is not: this gauge shows mm."),
    (METRIC, 2, 350, "0.1 in", "Read the gauge in its own unit, mm: a converted figure is not what it shows."),
    (HALF, 4, 330, "0.233 in", "Each small line is 0.0005 in, not twice that: there are two lines to each thousandth."),
    (DEPTH, 27, 280, "13.28 mm", "The half millimetre was missed: the line of 13.50 mm, below the index line, is covered too."),
    (DEPTH, 26, 280, "13.78 mm", "A half millimetre too many: that line is still in sight, so only 13.00 mm is covered."),
    (DEPTH, 27, 280, "14.28 mm", "The sleeve line in sight was read. On a depth micrometer the line that counts is the last one covered, 13.50 mm."),
    (DEPTH, 26, 280, "12.78 mm", "One sleeve line too few: each is 0.50 mm, and 13.00 mm is covered already."),
    (DEPTH, 27, 280, "13.72 mm", "The thimble was read the way of an outside micrometer: here its figures grow as the depth grows."),
    (DEPTH, 27, 280, "13.5 mm", "The thimble was left out: its lines are added to the sleeve's."),
    (DEPTH, 27, 280, "14.78 mm", "The long sleeve lines were counted one too far: 13.50 mm is covered."),
    (DEPTH_INCH, 13, 120, "0.237 in", "The long sleeve lines were counted one short: 0.325 in is covered."),
    (DEPTH_INCH, 13, 120, "0.312 in", "One sleeve line too few: each is 0.025 in, and 0.325 in is covered already."),
]  # fmt: skip


@pytest.mark.parametrize(("gauge", "turns", "tenths", "given", "why"), WRONG, ids=[f"{one[0].id}-{one[3]}" for one in WRONG])
def test_misreadings_are_named(gauge: Dial | DepthMicrometer, turns: int, tenths: int, given: str, why: str) -> None:
    """A wrong value that people read says what they did."""
    marked = _mark(gauge, turns, tenths, given)
    assert not marked.right
    assert marked.why == (why,)


def test_exact_is_exact_and_by_eye_is_half_a_line() -> None:
    """On a line the value alone is right; between two lines half a line either way, and a hair more is wrong."""
    assert not _mark(METRIC, 2, 350, "2.3501 mm").right
    assert _mark(METRIC, 2, 350, "2350 um").right
    for given, right in (("2.348 mm", True), ("2.358 mm", True), ("2.3479 mm", False), ("2.3581 mm", False), ("2.35 mm", True)):
        assert _mark(METRIC, 2, 353, given).right == right


DESCRIBED = [
    (METRIC, 2, 353, "A metric dial, one line is 0.01 mm. The long hand stands between line 5 and line 6 past 30, about 3 tenths of the way. The small hand stands between 2 and 3."),
    (HALF, 6, 980, "An inch dial, one line is 0.0005 in. The long hand stands on line 8 past 45. The small hand stands just short of 7."),
    (METRIC, 9, 950, "A metric dial, one line is 0.01 mm. The long hand stands on line 5 past 90. The small hand stands just short of 0."),
    (METRIC, 3, 0, "A metric dial, one line is 0.01 mm. The long hand stands on 0. The small hand stands on 3."),
    (METRIC, 3, 50, "A metric dial, one line is 0.01 mm. The long hand stands on line 5 past 0. The small hand stands just past 3."),
    (DEPTH, 27, 280, "A metric depth micrometer, one line is 0.01 mm. The first sleeve line in sight at the thimble's edge is 2 lines before the one numbered 15. Lines of whole millimetres are above the index line, lines of half millimetres below. The index line meets the thimble on line 3 past 25."),
    (DEPTH_INCH, 14, 100, "An inch depth micrometer, one line is 0.001 in. The first sleeve line in sight at the thimble's edge is 1 line before the one numbered 4. The index line meets the thimble on 10."),
    (DEPTH_INCH, 15, 105, "An inch depth micrometer, one line is 0.001 in. The first sleeve line in sight at the thimble's edge is the line numbered 4. The index line meets the thimble between line 0 and line 1 past 10, about 5 tenths of the way."),
]  # fmt: skip


@pytest.mark.parametrize(("gauge", "turns", "tenths", "words"), DESCRIBED)
def test_drawings_are_described(gauge: Dial | DepthMicrometer, turns: int, tenths: int, words: str) -> None:
    """A reader who cannot see the drawing is told where hands and lines stand, and not what it reads."""
    assert described(gauge, Reading(turns, tenths)) == words


def _classes(drawn: Element) -> list[str]:
    attributes, children = drawn[1], drawn[2]
    assert isinstance(attributes, dict)
    return [attributes.get("class", ""), *(name for child in children if isinstance(child, list) for name in _classes(child))]


def test_drawings_are_open_and_have_no_maker() -> None:
    """A dial has two hands and ten numerals round it; a micrometer sleeve, thimble and index line; no other words stand in them."""
    dial, depth = dial_drawing(METRIC, Reading(2, 350)), micrometer_drawing(DEPTH, Reading(27, 280))
    assert _classes(dial).count("practice-numeral") == 10
    assert {"practice-long-hand", "practice-small-hand"} <= set(_classes(dial))
    assert {"practice-sleeve", "practice-thimble", "practice-index"} <= set(_classes(depth))
    assert dial[1]["viewBox"] == "0 0 320 320"  # type: ignore[index,call-overload]
    assert depth[1]["viewBox"] == "0 0 320 200"  # type: ignore[index,call-overload]


LIMITS = {"mm": ("0.90 mm", "1.40 mm"), "in": ("0.030 in", "0.055 in"), "um": ("900 um", "1400 um")}


def _owning(small: dict[str, Any], method: str, unit: str, *gauges: tuple[str, str]) -> ExerciseUnit:
    """The small unit with a pack that is measured so, in a shop with these gauges: kind and step."""
    low, high = LIMITS[unit]
    small["packs"][0]["clearance"] = {"min": low, "max": high, "method": method}
    small["gauges"] = [
        {"id": f"g{place}", "name": f"Gauge {place}", "kind": kind, "resolution": step}
        for place, (kind, step) in enumerate(gauges)
    ]
    return read_unit(small)


METRIC_SHOP = (("dial", "0.01 mm"), ("depth", "0.01 mm"))
BOTH = (*METRIC_SHOP, ("dial", "0.001 in"), ("depth", "0.001 in"))


@pytest.mark.parametrize(
    ("method", "unit", "gauges", "drawn"),
    [
        ("dial", "mm", METRIC_SHOP, METRIC),
        ("depth", "mm", METRIC_SHOP, DEPTH),
        ("parts", "mm", METRIC_SHOP, DEPTH),
        ("dial", "in", BOTH, INCH),
        ("depth", "in", BOTH, DEPTH_INCH),
        ("dial", "mm", (("dial", "0.001 mm"),), FINE),
        ("dial", "in", (("dial", "0.0005 in"),), HALF),
    ],
)
def test_the_gauge_of_the_shop_that_measures_the_pack_is_drawn(
    small: dict[str, Any], method: str, unit: str, gauges: tuple[tuple[str, str], ...], drawn: Dial | DepthMicrometer
) -> None:
    """No other one is, whatever the seed; a dial shows what such a pack may have: something, and at most a third above its limit."""
    read = _owning(small, method, unit, *gauges)
    assert why_not(read, read.packs["first"]) is None
    high = Fraction(LIMITS[unit][1].split()[0])
    for seed in range(100):
        exercise = make(read, read.packs["first"], seed)
        assert exercise is not None
        assert exercise.key.gauge is drawn
        if isinstance(drawn, Dial):
            assert 0 < exercise.key.value <= Fraction(4, 3) * high + drawn.step


@pytest.mark.parametrize(
    ("method", "unit", "gauges", "reason"),
    [
        ("feeler", "mm", BOTH, "It is measured by feeler, and a leaf has no scale to read."),
        ("dial", "mm", (("dial", "0.001 in"),), "The shop has no gauge that measures it in the unit of its limits."),
        ("dial", "mm", (), "The shop has no gauge that measures it in the unit of its limits."),
        ("dial", "mm", (("dial", "0.05 mm"),), "The Gauge 0 is no dial and no depth micrometer of a kind that is drawn here."),
        (
            "parts",
            "mm",
            (("micrometer", "0.01 mm"),),
            "The Gauge 0 is no dial and no depth micrometer of a kind that is drawn here.",
        ),
    ],
)
def test_a_gauge_that_the_shop_does_not_have_is_not_drawn(
    small: dict[str, Any], method: str, unit: str, gauges: tuple[tuple[str, str], ...], reason: str
) -> None:
    """Where the pack is measured otherwise, or the shop lacks the gauge, no exercise is made, and it is said why."""
    read = _owning(small, method, unit, *gauges)
    assert why_not(read, read.packs["first"]) == reason
    assert make(read, read.packs["first"], 1) is None
    del small["packs"][0]["clearance"]
    assert why_not(read_unit(small), read_unit(small).packs["first"]) == "The pack has no clearance limits."


def test_questions_tell_what_a_line_is(small: dict[str, Any]) -> None:
    """The question names the gauge, the value of a line and of a turn, and says when the eye is to judge."""
    unit = _owning(small, "dial", "in", ("dial", "0.0005 in"))
    drawn = [exercise for seed in range(50) if (exercise := make(unit, unit.packs["first"], seed))]
    exact = next(exercise for exercise in drawn if not exercise.given["by_eye"])
    assert exact.question == (
        "The First pack is measured with this: Gauge 0. The dial was set to zero, then the stem moved in. One line is 0.0005 in; the "
        "figures round the face are thousandths of an inch; the small hand counts turns of 0.0500 in. What does it read? Write the value "
        "with its unit."
    )
    assert exact.key.tolerance == Fraction(0)
    by_eye = next(exercise for exercise in drawn if exercise.given["by_eye"])
    assert "Judge what lies between two lines by eye: half a line either way is right. Write the value" in by_eye.question
    assert by_eye.key.tolerance == by_eye.key.gauge.step / 2
    unit = _owning(small, "depth", "mm", *METRIC_SHOP)
    depth = next(
        exercise for seed in range(50) if (exercise := make(unit, unit.packs["first"], seed)) and not exercise.given["by_eye"]
    )
    assert depth.question == (
        "The First pack is measured with this: Gauge 1. One line of the thimble is 0.01 mm, one line of the sleeve 0.50 mm. The thimble "
        "covers the sleeve from the right as the depth grows. How deep is it? Write the value with its unit."
    )
