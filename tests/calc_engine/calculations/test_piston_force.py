"""piston-force: the pressure, the springs and the spinning fluid. Expected figures worked out with mpmath from the formulas."""

from __future__ import annotations

from typing import Any

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

EYES = "Wear eye protection and keep hands and face clear: on air the piston moves at once, and fluid is blown out."
OVER_30_PSI = (
    "More than 30 psi of air: keep an air check at 30 psi or less "
    "(common practice, no source; OSHA 29 CFR 1910.242(b) sets the same figure for cleaning)."
)
DRAGS = (
    "The spinning fluid alone overcomes the springs: at this speed a released pack drags, "
    "unless a check ball or a balance chamber lets the fluid out."
)
SPRINGS = {"rate": "9 N/mm", "free_length": "32 mm", "installed_length": "25 mm", "count": 16}
STILL = {"speed": ..., "fluid_density": ..., "fluid_inner_diameter": ...}


def test_the_example_by_mpmath(bench: Any, near: Any) -> None:
    """128/60 mm at 900 kPa, 16 springs of 9 N/mm pressed by 7 mm, 2400 rpm of 850 kg/m3 from 52 mm out."""
    result = bench.result("piston-force")
    expected = {
        "moves": True,
        "advice": "It moves, and presses the pack with 8519.6 N.",
        "area": "10040.530120873 mm2",  # 10040.53012087298
        "pressure_force": "9036.47710878568 N",  # 9036.477108785681
        "spring_force": "1008 N",
        "spinning_force": "491.104219329657 N",  # 491.10421932965741
        "net_force": "8519.58132811534 N",  # 8519.5813281153389
        "pressure_to_move": "51.4809252547116 kPa",  # 51.48092525471163
    }
    assert near(result, expected)


def test_working_puts_the_numbers_in(bench: Any) -> None:
    """Symbols, numbers, result and unit, and what a product of units is worth."""
    assert bench.working("piston-force") == [
        "area A = π/4 × (outer² − inner²) = π/4 × (128.00² − 60.00²) ≈ 10040.5 mm²",
        "force of the pressure = p × A = 900 kPa × 10040.5 mm² ≈ 9036.5 N (1 N = 1000 kPa·mm²)",
        "force of the springs = count × rate × (free − installed) = 16 × 9.0 N/mm × (32.00 − 25.00) mm = 1008 N",
        "turning w = 2π × 2400 rpm / 60 ≈ 251.327 rad/s; radii in m: 0.064, 0.03, surface 0.026",
        (
            "force of the spinning fluid = (π × density × w² / 4) × [(ro⁴ − ri⁴) − 2 r0² (ro² − ri²)] "
            "= (π × 850 × 251.327² / 4) × [(0.064⁴ − 0.03⁴) − 2 × 0.026² × (0.064² − 0.03²)] ≈ 491.1 N"
        ),
        "net force = 9036.5 + 491.1 − 1008 ≈ 8519.6 N",
        "pressure to move = (1008 − 491.1) N / 10040.5 mm² ≈ 51.5 kPa",
    ]


def test_without_springs_and_fluid_the_pressure_is_all(bench: Any) -> None:
    """Outputs that do not apply are absent, and nothing holds the piston back."""
    result = bench.result("piston-force", spring=..., **STILL)
    assert set(result) == {"moves", "advice", "area", "pressure_force", "net_force", "pressure_to_move"}
    assert (result["net_force"], result["pressure_to_move"]) == (result["pressure_force"], "0 kPa")
    assert bench.working("piston-force", spring=..., **STILL)[-1] == "net force = 9036.5 ≈ 9036.5 N"


def test_springs_by_their_force(bench: Any) -> None:
    """One figure instead of rate, lengths and count."""
    result = bench.result("piston-force", spring={"force": "1008 N"})
    assert result == bench.result("piston-force")
    assert bench.working("piston-force", spring={"force": "1008 N"})[2] == "force of the springs = 1008 N"


def test_does_not_move_below_the_pressure_it_takes(bench: Any, near: Any) -> None:
    """At exactly that pressure nothing is left to move it."""
    request = {"pressure": "50 kPa", "spring": SPRINGS, **STILL}
    result = bench.result("piston-force", **request)
    assert result["moves"] is False
    assert result["advice"] == "It does not move: that takes more than 100.4 kPa."
    assert near(result["pressure_to_move"], "100.393105529806 kPa")  # mpmath 100.39310552980632
    balanced = bench.result("piston-force", pressure="0 kPa", spring={"force": "0 N"}, **STILL)
    assert (balanced["moves"], balanced["net_force"]) == (False, "0 N")


def test_fluid_that_overcomes_the_springs_is_a_caution(bench: Any) -> None:
    """At 4000 rpm the fluid presses with more than 1008 N: a released pack drags, and no pressure is needed."""
    reply = bench.reply("piston-force", {"pressure": "0 kPa", "speed": "4000 rpm"})
    assert reply["result"]["moves"] is True
    assert reply["result"]["pressure_to_move"] == "0 kPa"
    assert reply["working"][-1] == "the spinning fluid alone overcomes the springs: no pressure is needed"
    assert reply["cautions"] == [DRAGS]


def test_fluid_fed_from_outside_the_inner_edge_can_pull(bench: Any) -> None:
    """Fed at 120 mm with no pressure, the fluid nearer in has less than none: the formula pulls, and says it cannot be so."""
    reply = bench.reply("piston-force", {"pressure": "0 kPa", "fluid_inner_diameter": "120 mm"})
    assert reply["result"]["spinning_force"].startswith("-")
    assert " − 1008" in reply["working"][-2]
    assert reply["working"][-1].startswith("pressure to move = (1008 + ")
    assert reply["cautions"] == [
        "At the inner edge the fluid would have less than no pressure: the chamber is not full there, and the force is larger than told."
    ]
    # With enough pressure behind it the chamber is full, and the formula holds.
    assert bench.cautions("piston-force", fluid_inner_diameter="120 mm") == []


def test_negative_spinning_force_is_a_minus_in_the_sum(bench: Any) -> None:
    """So that the sum reads as it is worked."""
    lines = bench.working("piston-force", fluid_inner_diameter="120 mm", speed="1000 rpm")
    assert lines[-2].startswith("net force = 9036.5 − ")


def test_air_over_30_psi_is_a_caution_and_30_itself_is_not(bench: Any) -> None:
    """Oil never is."""
    assert bench.cautions("piston-force", pressure="30 psi", medium="air", **STILL) == [EYES]
    assert bench.cautions("piston-force", pressure="30.1 psi", medium="air", **STILL) == [EYES, OVER_30_PSI]
    assert bench.cautions("piston-force", pressure="30.1 psi", medium="oil", **STILL) == []


@pytest.mark.parametrize(
    "changes", [{"speed": ...}, {"speed": ..., "fluid_density": ...}, {"speed": ..., "fluid_inner_diameter": ...}]
)
def test_fluid_without_a_speed_is_told_not_to_be_used(bench: Any, changes: Any) -> None:
    """It may stand in the form; it counts nothing."""
    reply = bench.reply("piston-force", changes)
    assert "spinning_force" not in reply["result"]
    assert reply["cautions"] == ["No speed is given: the fluid's density and surface are not used."]


def test_a_speed_wants_density_and_surface(bench: Any) -> None:
    """Both are named at once."""
    remedy = "With a speed it is wanted; or leave the speed out."
    assert bench.problems("piston-force", fluid_density=..., fluid_inner_diameter=...) == [
        ("fluid_density", "missing", "The fluid density is missing.", remedy),
        ("fluid_inner_diameter", "missing", "The fluid inner diameter is missing.", remedy),
    ]


def test_crossed_diameters(bench: Any) -> None:
    """The inner one on the outer one, and the fluid's surface outside."""
    assert bench.problems("piston-force", inner="128 mm", fluid_inner_diameter="128 mm") == [
        ("inner", "crossed-limits", "The inner diameter is not below the outer one.", "Check which diameter is which."),
        (
            "fluid_inner_diameter",
            "crossed-limits",
            "The fluid's surface does not stand inside the piston's outer diameter.",
            "No fluid would lie behind the piston: check the diameter.",
        ),
    ]


@pytest.mark.parametrize(
    ("spring", "expected"),
    [
        (
            {},
            [
                (
                    "spring",
                    "missing",
                    "Nothing is said of the springs.",
                    "Write their force, or rate, free length, installed length and count of the springs.",
                )
            ],
        ),
        (
            {"rate": "9 N/mm", "count": 3},
            [
                (
                    "spring.free_length",
                    "missing",
                    "The springs' free length is missing.",
                    "Give rate, free length, installed length and count, or the force alone.",
                ),
                (
                    "spring.installed_length",
                    "missing",
                    "The springs' installed length is missing.",
                    "Give rate, free length, installed length and count, or the force alone.",
                ),
            ],
        ),
        (
            {"force": "900 N", "rate": "9 N/mm", "count": 3},
            [
                ("spring.rate", "both-given", "The springs' force is given already.", "Leave this out, or leave the force out."),
                ("spring.count", "both-given", "The springs' force is given already.", "Leave this out, or leave the force out."),
            ],
        ),
        (
            SPRINGS | {"free_length": "24 mm"},
            [
                (
                    "spring.installed_length",
                    "crossed-limits",
                    "The springs are longer installed than free.",
                    "Check which length is which.",
                )
            ],
        ),
    ],
)
def test_springs_are_said_in_one_way_and_whole(bench: Any, spring: Any, expected: Any) -> None:
    """A problem for each missing field of a form that was begun, and for each of a second form."""
    assert bench.problems("piston-force", spring=spring) == expected


def test_inch_request_gives_inch_answers(bench: Any, near: Any) -> None:
    """5 in and 2 in at 100 psi: pi/4 x 21 in2 = 16.4934 in2, 1649.34 lbf; by mpmath."""
    request = {"outer": "5 in", "inner": "2 in", "pressure": "100 psi", "spring": {"force": "200 lbf"}, **STILL}
    result = bench.result("piston-force", **request)
    assert near(result["area"], "16.4933614313464 in2")
    assert near(result["pressure_force"], "1649.33614313464 lbf")
    assert near(result["pressure_to_move"], "12.1260909022396 psi")  # mpmath 12.12609090223958
    lines = bench.working("piston-force", **request)
    assert lines[1] == "force of the pressure = p × A = 100 psi × 16.493 in² ≈ 1649.3 lbf"
    turning = bench.working(
        "piston-force", **request | {"speed": "3000 rpm", "fluid_density": "850 kg/m3", "fluid_inner_diameter": "1 in"}
    )
    assert turning[4].endswith("(0.0635² − 0.0254²)] ≈ 971.87 N ≈ 218.5 lbf")  # mpmath 971.8662 N
    metric = bench.result("piston-force", **request, units="metric")
    assert metric["pressure_to_move"].endswith(" kPa")
    assert metric["spring_force"] == "889.6443230521 N"  # 200 x 0.45359237 x 9.80665, exact
    assert bench.result("piston-force", units="inch")["area"].endswith(" in2")


def test_limits_of_sense(bench: Any) -> None:
    """Nothing beyond a metre, 10 MPa and 20000 rpm."""
    found = bench.problems(
        "piston-force", outer="40 m", inner="-1 mm", pressure="20 MPa", speed="30000 rpm", fluid_density="0 kg/m3",
        fluid_inner_diameter="2 m", medium="water",
    )  # fmt: skip
    assert [(field, code) for field, code, _, _ in found] == [
        ("outer", "out-of-range"),
        ("inner", "out-of-range"),
        ("pressure", "out-of-range"),
        ("speed", "out-of-range"),
        ("fluid_density", "out-of-range"),
        ("fluid_inner_diameter", "out-of-range"),
        ("medium", "unknown-word"),
    ]


@given(
    st.integers(20, 500),
    st.integers(0, 480),
    st.integers(0, 300),
    st.integers(1, 8000),
    st.integers(700, 1000),
    st.integers(0, 2000),
)
def test_forces_agree_with_mpmath(
    bench: Any, figure: Any, outer: Any, inner: Any, surface: Any, speed: Any, density: Any, pressure: Any
) -> None:
    """The integral of the forced vortex over the ring, done numerically, to 12 digits."""
    if inner >= outer or surface >= outer:
        return
    result = bench.result(
        "piston-force", outer=f"{outer} mm", inner=f"{inner} mm", pressure=f"{pressure} kPa", speed=f"{speed} rpm", spring=...,
        fluid_density=f"{density} kg/m3", fluid_inner_diameter=f"{surface} mm",
    )  # fmt: skip
    with mpmath.workdps(40):
        omega = 2 * mpmath.pi * speed / 60
        ro, ri, r0 = (mpmath.mpf(diameter) / 2000 for diameter in (outer, inner, surface))
        integral = mpmath.quad(lambda r: density * omega**2 * (r**2 - r0**2) / 2 * 2 * mpmath.pi * r, [ri, ro])
        size = density * omega**2 * ro**4
        assert abs(mpmath.mpf(str(figure(result["spinning_force"], "N"))) - integral) < size * 1e-12
        pressed = mpmath.pi * (ro**2 - ri**2) * pressure * 1000
        assert abs(mpmath.mpf(str(figure(result["pressure_force"], "N"))) - pressed) <= pressed * mpmath.mpf("1e-12")


@given(st.integers(1, 900), st.integers(1, 900))
def test_more_pressure_never_presses_less(bench: Any, figure: Any, first: Any, second: Any) -> None:
    """The net force grows with the pressure, and the pressure to move does not depend on it."""
    low, high = (bench.result("piston-force", pressure=f"{value} kPa") for value in sorted((first, second)))
    assert figure(low["net_force"], "N") <= figure(high["net_force"], "N")
    assert low["pressure_to_move"] == high["pressure_to_move"]


VACUUM = "At the inner edge the fluid would have less than no pressure: the chamber is not full there, and the force is larger than told."


@pytest.mark.parametrize(("pressure", "warned"), [("42.94 kPa", True), ("42.96 kPa", False)])
def test_the_inner_edge_runs_dry_where_the_spin_takes_more_than_the_pressure_gives(
    bench: Any, pressure: str, warned: bool
) -> None:
    """850 kg/m3 at 2400 rpm, surface at 50 mm and seal at 30 mm from the axis: 850 x 251.327^2 x (0.05^2 - 0.03^2) / 2 = 42 952 Pa."""
    told = bench.cautions("piston-force", pressure=pressure, fluid_inner_diameter="100 mm")
    assert (VACUUM in told) is warned


@pytest.mark.parametrize(("pressure", "moves"), [("32.0 kPa", True), ("31.8 kPa", False)])
def test_it_moves_as_soon_as_the_pressure_wins(bench: Any, pressure: str, moves: bool) -> None:
    """A spring of 10 N on a piston of 20 mm: 10 N / 314.159 mm2 = 31.831 kPa; half a newton more is enough."""
    spring = {"rate": "1 N/mm", "free_length": "30 mm", "installed_length": "20 mm", "count": 1}
    assert bench.result("piston-force", outer="20 mm", inner="0 mm", pressure=pressure, spring=spring, **STILL)["moves"] is moves
