"""What a reader sees of a measured value: as finely as the gauge reads, beside limits that it can be compared with."""

from __future__ import annotations

from typing import Any

from calc_engine import Worked, panel, work_out
from tests.calc_engine.answer_view.test_panel import elements, words

LIMITS = {"min": "0.80 mm", "max": "1.20 mm"}
DIAL = {"resolution": "0.01 mm", "max_error": "0.02 mm"}


def worked(*lifts: str, **more: Any) -> Worked:
    """A pack read by dial."""
    return work_out("pack-clearance", {"method": "dial", "lifts": list(lifts), "limits": LIMITS, "gauge": DIAL, **more})


def shown(made: Worked, output: str) -> str:
    """What the panel shows of an output."""
    return next(words(node) for node in elements(panel(made)) if node[1].get("data-output") == output)


def on_ruler(made: Worked) -> list[str]:
    """The figures on the ruler: the value and its limits."""
    return [words(node) for node in elements(panel(made)) if node[0] == "text"]


def test_one_reading_at_an_angle_has_the_decimals_of_its_dial() -> None:
    """The cosine adds figures that nobody has read; the reply keeps them."""
    made = worked("1.02 mm", gauge={**DIAL, "angle": "15 deg"})
    assert made.reply["result"]["clearance"].startswith("0.9852")
    assert shown(made, "clearance") == "0.99 mm"
    assert shown(made, "adjust") == "-0.01 mm"
    assert "clearance ≈ 0.99 mm" in made.answer.working


def test_several_readings_have_one_decimal_more() -> None:
    """Of the mean; what is worked out from it has no more."""
    made = worked("1.01 mm", "1.04 mm", "1.04 mm", friction_plates=3)
    assert shown(made, "clearance") == "1.03 mm"
    assert shown(made, "per_friction") == "0.343 mm"
    assert shown(made, "uncertainty") == "0.034 mm"


def test_a_coarse_gauge_gives_coarse_figures() -> None:
    """A division of a tenth and one reading: one decimal."""
    made = worked("1.0 mm", gauge={"resolution": "0.1 mm", "angle": "20 deg"})
    assert shown(made, "clearance") == "0.9 mm"


def test_a_value_just_above_its_limit_is_not_shown_on_it() -> None:
    """The verdict is exact: figure, ruler and working have the decimals that show why."""
    made = worked("1.2004 mm")
    assert made.reply["result"]["verdict"] == "high"
    assert shown(made, "clearance") == "1.2004 mm"
    assert on_ruler(made)[0].startswith("1.2004 mm ± ")
    assert on_ruler(made)[1:] == ["0.80 mm", "1.20 mm"]
    assert "limits 0.80 to 1.20 mm: 1.2004 is above them" in made.answer.working


def test_a_size_that_would_leave_it_just_outside_is_not_shown_on_the_limit() -> None:
    """What each size gives is judged too."""
    sizes = [{"id": "a", "thickness": "1.50 mm"}, {"id": "b", "thickness": "1.70 mm"}]
    made = worked("1.4003 mm", fitted="a", choices=sizes)
    rows = [words(node) for node in elements(panel(made)) if node[0] == "tr"]
    assert "b1.70 mm1.2003 mmtoo loose" in [row.replace("▶ Fit: ", "") for row in rows]


def test_positions_that_differ_by_just_too_much_are_not_shown_to_differ_by_what_is_allowed() -> None:
    """Advice and figures."""
    made = worked("1.00 mm", "1.1504 mm", spread_limit="0.15 mm")
    assert "positions differ by 0.1504 mm, more than 0.15 mm" in made.reply["result"]["advice"]
    assert shown(made, "spread") == "0.1504 mm"


def test_a_drum_shows_each_pack_as_finely_as_its_own_gauge() -> None:
    """One reading by each: of a dial at an angle, and of one that shows tenths."""
    sizes = [{"id": "thin", "thickness": "2.00 mm"}, {"id": "thick", "thickness": "2.50 mm"}]
    packs = [
        {"name": "fine", "limits": LIMITS, "gauge": {**DIAL, "angle": "15 deg"}},
        {"name": "coarse", "limits": LIMITS, "gauge": {"resolution": "0.1 mm", "max_error": "0.1 mm", "angle": "15 deg"}},
    ]
    readings = {pack["name"]: {"method": "dial", "lifts": ["1.02 mm"]} for pack in packs}
    made = work_out(
        "set-clearances",
        {
            "packs": packs,
            "positions": [{"name": "ring", "choices": sizes, "effect": {"fine": -1, "coarse": -1}}],
            "trials": [{"fitted": {"ring": {"id": "thin"}}, "readings": readings}],
        },
    )
    rows = [words(node) for node in elements(panel(made)) if node[0] == "tr"]
    assert next(row for row in rows if row.startswith("fine")).startswith("fine0.99 mm")
    assert next(row for row in rows if row.startswith("coarse")).startswith("coarse1.0")


def test_limits_that_are_shown_converted_say_what_they_were() -> None:
    """The spec's own figures stay readable; where nothing is converted nothing is said."""
    inch = worked("0.040 in", units="inch")
    said = [words(node) for node in elements(panel(inch)) if node[1].get("class") == "bench-limits-source"]
    assert said == ["The limits are given as 0.80 mm to 1.20 mm; here they are converted."]
    assert on_ruler(inch)[1:] == ["0.0315 in", "0.0472 in"]
    assert "bench-limits-source" not in str(panel(worked("1.00 mm", units="metric")))
    assert "bench-limits-source" not in str(panel(worked("0.040 in")))
