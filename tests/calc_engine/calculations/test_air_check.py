"""air-check: what to expect of regulated air on the bench."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

EYES = "Wear eye protection and keep hands and face clear: on air the piston moves at once, and fluid is blown out."
DRAG = "The drag of the seals is not counted: a dry or new lip seal needs more than this."
OVER_30_PSI = (
    "More than 30 psi of air: keep an air check at 30 psi or less "
    "(common practice, no source; OSHA 29 CFR 1910.242(b) sets the same figure for cleaning)."
)


def test_the_example_by_mpmath(bench: Any, near: Any) -> None:
    """1008 N of springs on 10040.53 mm2 take 14.56 psi; 25 psi is 1.717 times that."""
    expected = {
        "moves": True,
        "advice": "Expect it to move: the air gives 1.72 times the pressure that the springs need.",
        "margin": 1.7169399374545,
        "pressure_to_move": "14.5607889097533 psi",  # mpmath 14.56078890975327
        "area": "10040.530120873 mm2",
        "pressure_force": "1730.67545695414 N",
        "spring_force": "1008 N",
        "net_force": "722.67545695414 N",
    }
    assert near(bench.result("air-check"), expected)
    assert bench.cautions("air-check") == [EYES, DRAG]
    assert bench.working("air-check")[-3:] == [
        "net force = 1730.7 − 1008 ≈ 722.7 N",
        "pressure to move = 1008 N / 10040.5 mm² ≈ 14.6 psi",
        "margin = 25 psi / 14.6 psi ≈ 1.72",
    ]


def test_too_little_air_is_no_leak(bench: Any) -> None:
    """At 10 psi the springs win, and the answer says that it proves nothing."""
    result = bench.result("air-check", pressure="10 psi")
    assert result["moves"] is False
    assert result["advice"] == "Do not expect it to move at 10 psi: the springs need more than 14.6 psi. That is no leak."


def test_springs_that_no_permitted_air_can_move(bench: Any, near: Any) -> None:
    """Never told to turn the regulator up beyond 30 psi."""
    request = {"pressure": "25 psi", "spring": {"force": "3000 N"}}
    result = bench.result("air-check", **request)
    assert result["moves"] is False
    assert near(result["pressure_to_move"], "43.3356812790276 psi")
    assert result["advice"] == (
        "Air of 30 psi or less cannot move it: the springs need more than 43.3 psi. Listen for leaks, and do not call it stuck."
    )


def test_more_than_30_psi_is_a_caution(bench: Any) -> None:
    """30 itself is not."""
    assert bench.cautions("air-check", pressure="30 psi") == [EYES, DRAG]
    assert bench.cautions("air-check", pressure="31 psi") == [EYES, DRAG, OVER_30_PSI]


def test_springs_that_do_not_push_have_no_margin(bench: Any) -> None:
    """A division by nothing is left out."""
    reply = bench.reply("air-check", {"spring": {"force": "0 N"}})
    assert "margin" not in reply["result"]
    assert reply["result"]["advice"] == "Expect it to move: the springs do not push at this length."
    assert reply["working"][-1] == "pressure to move = 0 N / 10040.5 mm² = 0 psi"


def test_springs_are_wanted(bench: Any) -> None:
    """Without them there is nothing to expect."""
    crossed = ("inner", "crossed-limits", "The inner diameter is not below the outer one.", "Check which diameter is which.")
    assert bench.problems("air-check", spring=..., inner="130 mm") == [
        ("spring", "missing", "Return spring: nothing is filled in.", "What pushes the piston back."),
        crossed,
    ]
    assert bench.problems("air-check", inner="130 mm", pressure="0 psi") == [
        ("pressure", "out-of-range", "Air pressure: 0 psi is too small.", "It must be more than 0 psi."),
        crossed,
    ]


def test_units_of_the_answer(bench: Any, near: Any) -> None:
    """Inch diameters give inch answers; asked for metric, kPa."""
    request = {"outer": "5 in", "inner": "2 in", "spring": {"force": "200 lbf"}}
    assert near(bench.result("air-check", **request)["pressure_to_move"], "12.1260909022396 psi")  # mpmath 12.12609090223958
    metric = bench.result("air-check", **request, units="metric")
    assert near(metric["pressure_to_move"], "83.6064536858393 kPa")  # mpmath 83.60645368583932
    assert bench.result("air-check", units="inch")["spring_force"].endswith(" lbf")


@given(st.integers(1, 60), st.integers(1, 5000))
def test_moves_exactly_when_the_margin_is_above_one(bench: Any, psi: Any, newtons: Any) -> None:
    """Both say the same, and the net force too."""
    result = bench.result("air-check", pressure=f"{psi} psi", spring={"force": f"{newtons} N"})
    assert result["moves"] is (Fraction(result["margin"]) > 1) is (not result["net_force"].startswith("-"))
