"""torque-capacity: both classical assumptions, against mpmath and each other."""

from __future__ import annotations

from typing import Any

import mpmath
from hypothesis import given
from hypothesis import strategies as st

CAREFUL = "Friction differs with fluid, heat and wear: this is a comparison, not a promise. The maker's manual decides."
SLIPS = "A pack that slips burns within seconds. Do not hand the unit over like this."


def test_the_example_by_mpmath(bench: Any, near: Any) -> None:
    """5 plates, 134/104 mm lining, 0.12, 8520 N: 10 x 0.12 x 8520 x 59.5 mm = 608.328 N.m."""
    expected = {
        "advice": "It holds 1.35 times what is demanded, by the careful figure.",
        "uniform_wear": "608.328 N.m",
        "uniform_pressure": "611.549848739496 N.m",  # 611.54984873949580
        "factor": 1.35184,
        "lining_pressure": "1519.32786010414 kPa",  # 1519.3278601041437
        "peak_pressure": "1738.4616860807 kPa",  # 1738.4616860807029
    }
    assert near(bench.result("torque-capacity"), expected)
    assert bench.cautions("torque-capacity") == [CAREFUL]


def test_working_puts_the_numbers_in(bench: Any) -> None:
    """Both formulas, the pressures and the factor."""
    assert bench.working("torque-capacity") == [
        "faces N = 2 × 5 = 10",
        "radii: ro = 134.00 / 2 = 67.00, ri = 104.00 / 2 = 52.00 mm",
        (
            "uniform wear: T = N × μ × F × (ro + ri)/2 = 10 × 0.12 × 8520 N × (67.00 + 52.00)/2 mm "
            "≈ 608.33 N·m (1 N·m = 1000 N·mm)"
        ),
        (
            "uniform pressure: T = N × μ × F × (2/3) × (ro³ − ri³)/(ro² − ri²) "
            "= 10 × 0.12 × 8520 N × (2/3) × (67.00³ − 52.00³)/(67.00² − 52.00²) mm ≈ 611.55 N·m"
        ),
        "area A = π/4 × (outer² − inner²) = π/4 × (134.00² − 104.00²) ≈ 5607.7 mm²",
        "lining pressure = F / A = 8520 N / 5607.7 mm² ≈ 1519.3 kPa (1 N = 1000 kPa·mm²)",
        "at the inner edge, uniform wear: p = F / (2π × ri × (ro − ri)) = 8520 N / (2π × 52.00 × (67.00 − 52.00)) ≈ 1738.5 kPa",
        "factor = 608.33 N·m / 450.0 N·m ≈ 1.352",
    ]


def test_faces_instead_of_plates(bench: Any) -> None:
    """Ten faces are five plates; an odd number of faces is a band or a single-sided plate."""
    assert bench.result("torque-capacity", friction_plates=..., faces=10) == bench.result("torque-capacity")
    assert bench.result("torque-capacity", friction_plates=..., faces=1)["uniform_wear"] == "60.8328 N.m"
    assert bench.working("torque-capacity", friction_plates=..., faces=1)[0].startswith("radii")


def test_without_a_demand_nothing_is_compared(bench: Any) -> None:
    """Advice and factor are absent."""
    result = bench.result("torque-capacity", demand=...)
    assert {"advice", "factor"}.isdisjoint(result)
    assert bench.cautions("torque-capacity", demand=...) == [CAREFUL]


def test_a_demand_that_is_just_met_is_not_held(bench: Any) -> None:
    """A factor of exactly 1 slips at the demand."""
    for demand, said in (("608.328 N.m", "1"), ("1216.656 N.m", "0.5")):
        reply = bench.reply("torque-capacity", {"demand": demand})
        assert reply["result"]["advice"] == (
            f"It slips: it holds only {said} times what is demanded. More force, more faces or a better lining is wanted."
        )
        assert reply["cautions"] == [CAREFUL, SLIPS]


def test_a_full_disc_has_no_inner_edge(bench: Any) -> None:
    """The pressure there would be endless with uniform wear: it is left out. The mean radius is a third of the diameter."""
    result = bench.result("torque-capacity", inner="0 mm", outer="120 mm", force="1000 N")
    assert "peak_pressure" not in result
    assert (result["uniform_wear"], result["uniform_pressure"]) == ("36 N.m", "48 N.m")


def test_tells_every_problem_between_the_fields(bench: Any) -> None:
    """Faces and plates, neither, crossed diameters."""
    crossed = ("inner", "crossed-limits", "The inner diameter is not below the outer one.", "Check which diameter is which.")
    assert bench.problems("torque-capacity", faces=10, inner="134 mm") == [
        ("faces", "both-given", "Friction plates and faces are both given.", "Give friction plates or faces, not both."),
        crossed,
    ]
    assert bench.problems("torque-capacity", friction_plates=..., inner="135 mm") == [
        ("friction_plates", "missing", "Neither friction plates nor faces is given.", "Give friction plates or faces."),
        crossed,
    ]


def test_limits_of_sense(bench: Any) -> None:
    """No plates, no friction, no force are no pack."""
    found = bench.problems(
        "torque-capacity", friction_plates=0, outer="0 mm", friction_coefficient="0", force="0 N", demand="0 N.m"
    )
    assert [(field, code) for field, code, _, _ in found] == [
        ("friction_plates", "out-of-range"),
        ("outer", "out-of-range"),
        ("friction_coefficient", "out-of-range"),
        ("force", "out-of-range"),
        ("demand", "out-of-range"),
    ]
    assert bench.problems("torque-capacity", friction_coefficient="0.12 mm", friction_plates="2.5") == [
        ("friction_plates", "not-whole", "Friction plates: 2.5 is not a whole number.", "Count whole pieces."),
        (
            "friction_coefficient",
            "not-a-number",
            "“0.12 mm” is not a plain number.",
            "Leave “mm” out: this figure has no unit.",
        ),
    ]


def test_inch_request_gives_inch_answers(bench: Any, near: Any) -> None:
    """8 faces, 6/4 in, 0.1, 500 lbf: 8 x 0.1 x 500 x 2.5 in = 1000 lbf.in = 83.33 lbf.ft; 31.83 psi by mpmath."""
    request = {"friction_plates": 4, "outer": "6 in", "inner": "4 in", "friction_coefficient": "0.1", "force": "500 lbf"}
    result = bench.result("torque-capacity", **request, demand=...)
    assert near(result["uniform_wear"], "83.3333333333333 lbf.ft")
    assert near(result["lining_pressure"], "31.8309886183791 psi")
    assert near(result["peak_pressure"], "39.7887357729738 psi")
    lines = bench.working("torque-capacity", **request, demand=...)
    assert lines[2].endswith(" × (3.000 + 2.000)/2 in ≈ 83.33 lbf·ft (1 lbf·ft = 12 lbf·in)")
    metric = bench.result("torque-capacity", **request, demand=..., units="metric")
    assert metric["uniform_wear"] == "112.9848290276167 N.m"  # 1000 x 0.0254 x 4.4482216152605, exact
    assert bench.result("torque-capacity", units="inch")["lining_pressure"].endswith(" psi")


@given(st.integers(1, 20), st.integers(20, 400), st.integers(0, 399), st.integers(1, 100), st.integers(1, 20000))
def test_agrees_with_the_integrals(
    bench: Any, figure: Any, plates: Any, outer: Any, inner: Any, hundredths: Any, force: Any
) -> None:
    """Torque is the sum of friction times radius over the rings; mpmath integrates both pressures."""
    if inner >= outer:
        return
    result = bench.result(
        "torque-capacity", friction_plates=plates, outer=f"{outer} mm", inner=f"{inner} mm", force=f"{force} N", demand=...,
        friction_coefficient=str(hundredths / 100),
    )  # fmt: skip
    with mpmath.workdps(30):
        ro, ri, mu = mpmath.mpf(outer) / 2000, mpmath.mpf(inner) / 2000, mpmath.mpf(hundredths) / 100
        even = force / (mpmath.pi * (ro**2 - ri**2))
        pressure = 2 * plates * mpmath.quad(lambda r: mu * even * 2 * mpmath.pi * r**2, [ri, ro])
        wear = 2 * plates * mpmath.quad(lambda r: mu * force / (2 * mpmath.pi * (ro - ri)) * 2 * mpmath.pi * r, [ri, ro])
        assert abs(mpmath.mpf(str(figure(result["uniform_pressure"], "N.m"))) - pressure) <= pressure * mpmath.mpf("1e-12")
        assert abs(mpmath.mpf(str(figure(result["uniform_wear"], "N.m"))) - wear) <= wear * mpmath.mpf("1e-12")
        assert wear <= pressure
        assert abs(mpmath.mpf(str(figure(result["lining_pressure"], "kPa"))) * 1000 - even) <= even * mpmath.mpf("1e-12")
