"""pack-clearance as scripts call it: four methods, wave plate, uncertainty, verdict, working and cautions."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from calc_engine import CATALOGUE, answer, panel, work_out

NAME = "pack-clearance"
LIMITS = {"min": "0.90 mm", "max": "1.40 mm"}
DIAL = {"method": "dial", "lifts": ["1.31 mm", "1.36 mm", "1.33 mm", "1.40 mm"], "limits": LIMITS}
FEELER = {"method": "feeler", "leaves": [["0.50 mm", "0.55 mm"], ["1.10 mm"]], "limits": LIMITS}
DEPTH = {"method": "depth", "to_plate": ["12.35 mm", "12.41 mm"], "to_ring": ["11.20 mm", "11.24 mm"], "limits": LIMITS}
PARTS = {
    "method": "parts", "cavity": "21.40 mm", "limits": LIMITS,
    "parts": [
        {"name": "friction plate", "thickness": "1.70 mm", "count": 5, "max_error": "0.01 mm"},
        {"name": "steel plate", "thickness": "1.80 mm", "count": 5, "max_error": "0.01 mm"},
        {"name": "ring", "thickness": "2.70 mm", "count": 1, "max_error": "0.02 mm"},
    ],
}  # fmt: skip
WAVE = {"free": "2.40 mm", "flat": "1.90 mm", "measured": "free", "specified": "flat"}


def reply(request: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """The engine's reply to a request with changes."""
    return answer(NAME, request | changes)


def result(request: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """Its result, which must be ok."""
    found = reply(request, **changes)
    assert found["ok"], found
    made: dict[str, Any] = found["result"]
    return made


def problems(request: dict[str, Any], **changes: Any) -> list[tuple[str, str]]:
    """Field and code of its problems."""
    found = reply(request, **changes)
    assert not found["ok"]
    return [(item["field"], item["code"]) for item in found["problems"]]


def number(text: str) -> Decimal:
    """The figure of a length in mm."""
    figure, unit = text.split(" ")
    assert unit == "mm"
    return Decimal(figure)


def test_a_dial_by_hand() -> None:
    """Mean 5.40 / 4; s^2 / n = 0.0046 / 12; a^2/3 with a = 0.02; 5.4 degrees of freedom."""
    found = result(DIAL, gauge={"resolution": "0.01 mm", "max_error": "0.02 mm"}, friction_plates=5, spread_limit="0.09 mm")
    exact = {
        key: found[key]
        for key in ("clearance", "smallest", "largest", "spread", "per_friction", "adjust", "adjust_min", "adjust_max")
    }
    assert exact == {
        "clearance": "1.35 mm", "smallest": "1.31 mm", "largest": "1.4 mm", "spread": "0.09 mm", "per_friction": "0.27 mm",
        "adjust": "0.2 mm", "adjust_min": "-0.05 mm", "adjust_max": "0.45 mm",
    }  # fmt: skip
    assert found["sd"] == "0.0391578004149024 mm"
    assert found["coverage_factor"] == pytest.approx(2.5818006266811886, abs=1e-15)
    assert found["uncertainty"] == "0.0586851100867833 mm"
    assert (found["verdict"], found["certain"], found["even"]) == ("in", False, True)
    assert found["positions"] == ["1.31 mm", "1.36 mm", "1.33 mm", "1.4 mm"]
    assert {"fit", "by_choice"} & set(found) == set()


def test_feeler_leaves_by_hand() -> None:
    """1.05 and 1.10; s^2 = 0.00125, so s^2/n = 0.000625 and the deviation its root times sqrt 2."""
    found = result(FEELER, gauge={"resolution": "0.05 mm"})
    assert (found["clearance"], found["spread"], found["sd"]) == ("1.075 mm", "0.05 mm", "0.0353553390593274 mm")
    # s^2/n = 0.000625 is above q/n = 0.05^2/12/2, so one degree of freedom: k = 13.97 and u = 0.025.
    assert found["coverage_factor"] == pytest.approx(13.967811487502578, abs=1e-14)
    assert found["uncertainty"] == "0.349195287187564 mm"
    # With coarse leaves q/n = 0.2^2/12/2 is above s^2/n: u^2 = q/n + 0.03^2/3, k of endless freedom.
    coarse = result(FEELER, gauge={"resolution": "0.2 mm", "max_error": "0.03 mm"})
    assert coarse["coverage_factor"] == 2.000002443899604
    assert float(number(coarse["uncertainty"])) == pytest.approx(2.000002443899604 * (0.2**2 / 24 + 0.0003) ** 0.5, rel=1e-14)


def test_depths_by_hand() -> None:
    """1.15 and 1.17, each a difference of two readings."""
    found = result(DEPTH, gauge={"resolution": "0.12 mm", "max_error": "0.03 mm"})
    assert (found["clearance"], found["positions"]) == ("1.16 mm", ["1.15 mm", "1.17 mm"])
    # q/n = 0.12^2/6/2 = 0.0012 is above s^2/n = 0.0001: u^2 = 0.0012 + 0.0003, k of endless freedom.
    assert found["coverage_factor"] == 2.000002443899604
    assert number(found["uncertainty"]) == pytest.approx(
        Decimal("2.000002443899604") * Decimal("0.0015").sqrt(), rel=Decimal("1e-14")
    )


def test_parts_by_hand() -> None:
    """21.40 - 5 x 1.70 - 5 x 1.80 - 2.70 = 1.20; (25 x 0.01^2 + 25 x 0.01^2 + 0.02^2) / 3 = 0.0018 = u^2."""
    found = result(PARTS)
    assert (found["clearance"], found["spread"], "sd" in found) == ("1.2 mm", "0 mm", False)
    assert number(found["uncertainty"]) == pytest.approx(
        Decimal("2.000002443899604") * Decimal("0.0018").sqrt(), rel=Decimal("1e-14")
    )
    assert (found["verdict"], found["certain"]) == ("in", True)


@pytest.mark.parametrize(
    ("measured", "specified", "clearance"),
    [("free", "flat", "1.85 mm"), ("flat", "free", "0.85 mm"), ("free", "free", "1.35 mm"), ("flat", "flat", "1.35 mm")],
)
def test_the_wave_plate_counts_as_the_limits_mean_it(measured: str, specified: str, clearance: str) -> None:
    """Free when measured and flat in the spec: its travel is added; the other way round it is taken away."""
    found = result(DIAL, wave=WAVE | {"measured": measured, "specified": specified})
    assert found["clearance"] == clearance
    assert (found["spread"], found["sd"]) == ("0.09 mm", "0.0391578004149024 mm")
    assert Decimal(found["smallest"].split()[0]) + Decimal("0.04") == number(found["clearance"])


def test_a_stem_at_an_angle_reads_too_much() -> None:
    """Half of it at 60 degrees, exactly; the gauge's own errors stay."""
    found = result(DIAL, gauge={"angle": "60 deg", "max_error": "0.03 mm"}, limits={"min": "0.1 mm", "max": "0.9 mm"})
    assert (found["clearance"], found["smallest"], found["spread"]) == ("0.675 mm", "0.655 mm", "0.045 mm")


@pytest.mark.parametrize(
    ("lift", "verdict"),
    [
        ("0.90 mm", "in"),
        ("1.40 mm", "in"),
        ("0.8999999999999999999999 mm", "low"),
        ("1.4000000000000000000001 mm", "high"),
    ],
)
def test_a_value_on_a_limit_is_in(lift: str, verdict: str) -> None:
    """To the last of twenty-two decimals."""
    found = result(DIAL, lifts=[lift])
    assert found["verdict"] == verdict


def test_an_inch_is_25_4_mm_exactly() -> None:
    """A clearance of exactly 0.05 in lies on a limit of 1.27 mm."""
    assert result(DIAL, lifts=["0.05 in"], limits={"min": "0.9 mm", "max": "1.27 mm"})["verdict"] == "in"
    assert result(DIAL, lifts=["1.27 mm"], limits={"min": "0.05 in", "max": "0.06 in"})["clearance"] == "0.05 in"


@pytest.mark.parametrize(
    ("changes", "clearance"),
    [
        ({"lifts": ["0.05 in"]}, "1.27 mm"),
        ({"lifts": ["0.05 in"], "units": "inch"}, "0.05 in"),
        ({"lifts": ["0.05 in"], "units": "metric"}, "1.27 mm"),
        ({"lifts": ["1.27 mm"], "limits": {"min": "0.03 in", "max": "0.06 in"}}, "0.05 in"),
        ({"lifts": ["1.27 mm"], "limits": {"min": "30 thou", "max": "0.06 in"}}, "50 thou"),
        ({"lifts": ["1.27 mm"], "limits": {"min": "900 um", "max": "1.4 mm"}}, "1270 um"),
        ({"lifts": ["1 mm"], "limits": {"min": "0.03 in", "max": "0.06 in"}}, "0.0393700787401575 in"),
    ],
)
def test_the_answer_is_in_the_units_of_the_limits_or_as_asked(changes: dict[str, Any], clearance: str) -> None:
    """The first of the limits decides, unless the request names a system."""
    assert result(DIAL, **changes)["clearance"] == clearance


def test_sums_are_exact_and_means_have_15_digits() -> None:
    """31 decimals in, 31 and more out; a third is written to 15 digits."""
    long = "1.0000000000000000000000000000001 mm"
    found = result(DIAL, lifts=[long, "1 mm"])
    assert found["clearance"] == "1.00000000000000000000000000000005 mm"
    assert found["spread"] == "0.0000000000000000000000000000001 mm"
    assert result(DIAL, lifts=["1 mm", "1 mm", "1.1 mm"])["clearance"] == "1.03333333333333 mm"


def test_an_uneven_pack_is_told_with_its_figures() -> None:
    """On the limit of the spread it is even."""
    found = reply(DIAL, spread_limit="0.0899 mm", gauge={"resolution": "0.01 mm"})
    assert found["result"]["even"] is False
    assert found["result"]["advice"] == (
        "Uneven: positions differ by 0.09 mm, more than 0.0899 mm: something sits crooked or is trapped. "
        "Seat the pack again and read it again before you choose a part."
    )
    assert "even" not in result(DIAL)


def test_no_part_is_shown_for_an_uneven_pack() -> None:
    """The words on top are those of the readings, not of a verdict on them."""
    shown = str(
        panel(work_out("pack-clearance", {**CATALOGUE["pack-clearance"].example, "lifts": ["1.44 mm", "1.49 mm", "2.46 mm"]}))
    )
    assert "'Uneven'" in shown
    assert "'data-verdict': 'uneven'" in shown
    assert "three dots" not in shown


def test_a_ring_is_chosen_among_those_at_hand() -> None:
    """The example chooses two dots; with none on the shelf, the fitted one stays."""
    kit = [{"id": "one dot", "thickness": "1.57 mm"}, {"id": "two dots", "thickness": "1.78 mm"}]
    assert result(DIAL, fitted="one dot", choices=kit)["fit"] == "two dots"
    assert result(DIAL, fitted="one dot", choices=[kit[0], kit[1] | {"stock": 0}])["fit"] == "one dot"
    none = reply(DIAL, lifts=["3 mm"], fitted="one dot", choices=kit)
    assert "fit" not in none["result"]
    assert none["cautions"][-1] == (
        "No ring in the list brings the pack within its limits: check the number of plates and their thickness."
    )


def test_the_working_of_a_dial_with_wave_plate_and_rings() -> None:
    """Line by line, as on a bench sheet."""
    kit = [{"id": "one dot", "thickness": "1.57 mm"}, {"id": "two dots", "thickness": "1.78 mm"}]
    found = reply(
        DIAL, lifts=["0.81 mm", "0.89 mm"], wave=WAVE, friction_plates=5, fitted="one dot", choices=kit,
        gauge={"resolution": "0.01 mm", "max_error": "0.02 mm"},
    )  # fmt: skip
    assert found["working"] == [
        "mean = (0.81 + 0.89) / 2 = 0.85 mm",
        "wave plate free when measured, flat in the limits: 0.85 + (2.40 − 1.90) = 1.35 mm",
        "clearance = 1.35 mm",
        "for each friction plate: 1.35 / 5 = 0.27 mm",
        "spread = 1.39 − 1.31 = 0.08 mm",
        "standard deviation of the 2 positions ≈ 0.057 mm",
        "from standard deviation / √2: u₁ = 0.04 mm; from the largest error / √3: u₂ ≈ 0.012 mm",
        "u = √(u₁² + u₂²) ≈ 0.042 mm; k ≈ 9.784 (degrees of freedom: 1.2; 95.45 %)",
        "uncertainty U = k × u ≈ 0.41 mm",
        "limits 0.90 to 1.40 mm: 1.35 is within them",
        "could be 0.943 to 1.757 mm: a limit lies in between: not sure",
        "centre of the limits = 1.15 mm; thickness to add = 1.35 − 1.15 = 0.20 mm",
        "with two dots: 1.35 − (1.78 − 1.57) = 1.14 mm",
    ]
    assert found["cautions"] == []


def test_the_working_of_the_other_methods_begins_with_their_own_lines() -> None:
    """Leaves, depths, parts, and a wave plate taken away."""
    assert reply(FEELER)["working"][:3] == [
        "position 1: 0.50 + 0.55 = 1.05 mm",
        "mean = (1.05 + 1.10) / 2 = 1.075 mm",
        "clearance = 1.075 mm",
    ]
    assert reply(DEPTH)["working"][:2] == ["position 1: 12.35 − 11.20 = 1.15 mm", "position 2: 12.41 − 11.24 = 1.17 mm"]
    assert reply(PARTS)["working"][:5] == [
        "friction plate: 5 × 1.70 = 8.50 mm", "steel plate: 5 × 1.80 = 9.00 mm", "stack = 8.50 + 9.00 + 2.70 = 20.20 mm",
        "cavity − stack = 21.40 − 20.20 = 1.20 mm", "clearance = 1.20 mm",
    ]  # fmt: skip
    flat = reply(DIAL, lifts=["1.5 mm"], wave=WAVE | {"measured": "flat", "specified": "free"})
    assert flat["working"][:2] == [
        "wave plate flat when measured, free in the limits: 1.50 − (2.40 − 1.90) = 1.00 mm", "clearance = 1.00 mm",
    ]  # fmt: skip


NO_GAUGE = "No gauge data: the uncertainty counts only how the positions differ."
ONE = "One position cannot show a crooked pack: measure at three or more (common practice, no source)."
NO_ANGLE = "The stem's angle is only used with a dial."
NO_ERROR = "No part has a largest error, so the verdict may not be sure. Fill in the largest error of each part."
GAUGE_IDLE = "The gauge is not used with measured parts: give each part its own largest error."


@pytest.mark.parametrize(
    ("request_", "changes", "cautions"),
    [
        (DIAL, {}, [NO_GAUGE]),
        (DIAL, {"gauge": {}}, [NO_GAUGE]),
        (DIAL, {"gauge": {"angle": "5 deg"}}, [NO_GAUGE]),
        (DIAL, {"gauge": {"resolution": "0.01 mm"}}, []),
        (DIAL, {"gauge": {"max_error": "0.01 mm"}}, []),
        (DIAL, {"gauge": {"max_error": "0.01 mm"}, "lifts": ["1 mm"]}, [ONE]),
        (FEELER, {"gauge": {"resolution": "0.05 mm", "angle": "5 deg"}}, [NO_ANGLE]),
        (FEELER, {"gauge": {"resolution": "0.05 mm", "angle": "0 deg"}}, []),
        (PARTS, {}, []),
        (PARTS, {"gauge": {"resolution": "0.01 mm"}}, [GAUGE_IDLE]),
        (PARTS, {"parts": [{"name": "all", "thickness": "20.2 mm", "count": 1}]}, [NO_ERROR]),
        (PARTS, {"parts": [{"name": "all", "thickness": "10 mm", "count": 1},
                           {"name": "rest", "thickness": "10.2 mm", "count": 1, "max_error": "0 mm"}]}, []),
    ],
)  # fmt: skip
def test_what_the_reader_must_mind(request_: dict[str, Any], changes: dict[str, Any], cautions: list[str]) -> None:
    """A gauge of which nothing is known, one position alone, fields that are not used."""
    assert reply(request_, **changes)["cautions"] == cautions


@pytest.mark.parametrize(
    ("request_", "changes", "field"),
    [
        (PARTS, {"cavity": "20.19 mm"}, "cavity"),
        (DIAL, {"lifts": ["0.49 mm"], "wave": WAVE | {"measured": "flat", "specified": "free"}}, "wave"),
        (FEELER, {"leaves": [["0.49 mm"]], "wave": WAVE | {"measured": "flat", "specified": "free"}}, "wave"),
        (PARTS, {"cavity": "20.30 mm", "wave": WAVE | {"measured": "flat", "specified": "free"}}, "wave"),
        (PARTS, {"cavity": "19.69 mm", "wave": WAVE}, "cavity"),
        (PARTS, {"cavity": "20.19 mm", "wave": WAVE | {"specified": "free"}}, "cavity"),
        (DEPTH, {"to_plate": ["11.20 mm", "11.23 mm"]}, "to_plate.1"),
        (DEPTH, {"to_plate": ["10.50 mm", "10.90 mm"], "wave": WAVE}, "to_plate.0"),
    ],
)
def test_less_than_no_clearance_is_a_problem_to_be_named(request_: dict[str, Any], changes: dict[str, Any], field: str) -> None:
    """It is no verdict: the pack is bound, or two readings are swapped."""
    assert problems(request_, **changes) == [(field, "negative-clearance")]


def test_the_words_of_a_negative_clearance() -> None:
    """What is wrong and what to do."""
    assert reply(PARTS, cavity="20 mm")["problems"] == [
        {
            "field": "cavity", "code": "negative-clearance", "message": "These figures give a negative clearance.",
            "remedy": "The pack is bound up, or two readings are swapped: measure again.",
        }
    ]  # fmt: skip


def test_a_fitted_ring_and_its_sizes_belong_together() -> None:
    """Either without the other is told."""
    assert reply(DIAL, choices=[{"id": "a", "thickness": "1 mm"}])["problems"] == [
        {
            "field": "fitted", "code": "missing", "message": "The ring fitted now is missing.",
            "remedy": "Enter the size that was in the drum when you measured.",
        }
    ]  # fmt: skip
    assert reply(DIAL, fitted="a")["problems"] == [
        {
            "field": "choices", "code": "missing", "message": "The rings to choose from are missing.",
            "remedy": "List the sizes, or leave the fitted one out.",
        }
    ]  # fmt: skip


def test_a_wave_plate_that_is_lower_free_than_flat_is_told() -> None:
    """Equal heights are a flat plate, and right."""
    assert reply(DIAL, wave=WAVE | {"free": "1.89 mm"})["problems"] == [
        {
            "field": "wave.free", "code": "crossed-limits", "message": "The wave plate's free height is less than its flat thickness.",
            "remedy": "Check which height is which.",
        }
    ]  # fmt: skip
    assert result(DIAL, wave=WAVE | {"free": "1.90 mm"})["clearance"] == "1.35 mm"


def test_no_clearance_at_all_is_tight_and_not_a_problem() -> None:
    """Zero is a clearance."""
    assert result(PARTS, cavity="20.2 mm")["verdict"] == "low"
    assert result(DIAL, lifts=["0.5 mm"], wave=WAVE | {"measured": "flat", "specified": "free"})["clearance"] == "0 mm"


def test_with_a_free_wave_plate_a_pack_may_stand_proud_of_its_ring_s_face() -> None:
    """11.20 - 11.30 = -0.10, and 0.40 once the wave plate is flat."""
    assert result(DEPTH, to_plate=["11.20 mm"], to_ring=["11.30 mm"], wave=WAVE)["clearance"] == "0.4 mm"
    flat = WAVE | {"measured": "flat", "specified": "free"}
    assert problems(DEPTH, to_plate=["11.20 mm"], to_ring=["11.30 mm"], wave=flat) == [("to_plate.0", "negative-clearance")]


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"method": "guess"}, [("method", "unknown-word")]),
        ({"method": ...}, [("method", "missing")]),
        ({"limits": ...}, [("limits", "missing")]),
        ({"lifts": ...}, [("lifts", "missing")]),
        ({"lifts": [{"lift": "1 mm"}]}, [("lifts.0", "wrong-type")]),
        ({"lifts": ["1 mm"] * 25}, [("lifts", "too-many")]),
        ({"lifts": ["-0.01 mm"]}, [("lifts.0", "out-of-range")]),
        ({"lifts": ["1.31 mm", "1.36 mm", "1.33"]}, [("lifts.2", "no-unit")]),
        ({"limits": {"min": "40 m", "max": "41 m"}}, [("limits.min", "out-of-range"), ("limits.max", "out-of-range")]),
        ({"limits": {"min": "1.4 mm", "max": "0.9 mm"}}, [("limits", "crossed-limits")]),
        ({"wave": {"free": "1 mm", "flat": "2 mm", "measured": "free", "specified": "flat"}}, [("wave.free", "crossed-limits")]),
        ({"wave": {}}, [("wave.free", "missing"), ("wave.flat", "missing"), ("wave.measured", "missing"),
        ("wave.specified", "missing")]),
        ({"gauge": {"resolution": "0 mm", "max_error": "-1 mm", "angle": "61 deg"}},
         [("gauge.resolution", "out-of-range"), ("gauge.max_error", "out-of-range"), ("gauge.angle", "out-of-range")]),
        ({"gauge": {"angle": 10}}, [("gauge.angle", "no-unit")]),
        ({"friction_plates": 0}, [("friction_plates", "out-of-range")]),
        ({"friction_plates": 1.5}, [("friction_plates", "not-whole")]),
        ({"spread_limit": "0 mm"}, [("spread_limit", "out-of-range")]),
        ({"fitted": "a"}, [("choices", "missing")]),
        ({"choices": [{"id": "a", "thickness": "1 mm"}]}, [("fitted", "missing")]),
        ({"fitted": "b", "choices": [{"id": "a", "thickness": "1 mm"}, {"id": "a", "thickness": "2 mm"}]},
         [("choices.1.id", "duplicate-id"), ("fitted", "unknown-choice")]),
        ({"to_plate": ["1 mm"]}, [("to_plate", "not-used")]),
        ({"lift": ["1 mm"]}, [("lift", "unknown-field")]),
        ({"units": "imperial"}, [("units", "unknown-word")]),
        ({"method": "depth", "lifts": ..., "to_plate": ["2 mm", "x"], "to_ring": ["1 mm"], "limits": {"min": "2 mm", "max": "1 mm"}},
         [("to_plate.1", "not-a-number"), ("limits", "crossed-limits"), ("to_ring", "length-mismatch")]),
        ({"method": "parts", "lifts": ..., "cavity": "0 mm", "parts": [{"name": "x", "thickness": "0 mm", "count": 0}]},
         [("cavity", "out-of-range"), ("parts.0.thickness", "out-of-range"), ("parts.0.count", "out-of-range")]),
    ],
)  # fmt: skip
def test_every_problem_of_a_request_is_told(changes: dict[str, Any], expected: list[tuple[str, str]]) -> None:
    """All of them, each at its field."""
    request = {name: value for name, value in (DIAL | changes).items() if value is not ...}
    assert problems(request) == expected


@pytest.mark.parametrize("lifts", [["1.31 mm"], ["1.31 mm"] * 24])
def test_one_to_twenty_four_positions_are_read(lifts: list[str]) -> None:
    """A mean of equal readings is the reading."""
    assert result(DIAL, lifts=lifts)["clearance"] == "1.31 mm"


def test_a_zero_spread_has_a_zero_deviation() -> None:
    """It is there, and zero."""
    found = result(DIAL, lifts=["1 mm", "1 mm"])
    assert (found["sd"], found["spread"], found["certain"]) == ("0 mm", "0 mm", False)
    assert {"uncertainty", "coverage_factor"}.isdisjoint(found)


def test_parts_without_a_largest_error_leave_nothing_to_judge_by() -> None:
    """The advice says what to fill in."""
    found = result(PARTS, parts=[{"name": "all", "thickness": "20.2 mm", "count": 1}])
    assert found["certain"] is False
    assert {"uncertainty", "coverage_factor"}.isdisjoint(found)
    assert "fill in the largest error of each part's thickness." in found["advice"]


def test_a_minus_sign_in_the_limits_is_no_order_for_a_bound_pack() -> None:
    """Typed by mistake it would name a ring that leaves less than no clearance."""
    sizes = [{"id": "a", "thickness": "1.00 mm"}, {"id": "b", "thickness": "1.50 mm"}]
    found = reply(
        {"method": "dial", "lifts": ["0.10 mm"], "limits": {"min": "-0.90 mm", "max": "0.05 mm"}, "fitted": "a", "choices": sizes}
    )
    assert [problem["message"] + " " + problem["remedy"] for problem in found["problems"]] == [
        "Smallest allowed: -0.90 mm is too small. It must be at least 0 mm. Was the minus sign typed by mistake?"
    ]
