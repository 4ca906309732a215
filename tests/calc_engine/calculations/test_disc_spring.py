"""disc-spring: against mpmath, limits of its formula, and the energy that it must agree with."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import mpmath
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.calculations.disc_spring import diameter_constant

BEYOND = "Beyond three quarters of the cone height the real force is higher than this (DIN 2092 / EN 16984, from memory)."
SNAPS = "Here the force falls as the disc is pressed: it can snap through. Press it under full control, hands clear."
SOFT = {
    "outer": "50 mm",
    "inner": "25.4 mm",
    "thickness": "1.25 mm",
    "cone_height": "1.6 mm",
    "deflection": "1.2 mm",
    "modulus": "206000 MPa",
}


def almen_laszlo(outer: Any, inner: Any, thickness: Any, height: Any, modulus: Any, poisson: Any) -> Callable[[Any], Any]:
    """The force at a deflection by mpmath, straight from the standard's formula."""
    ratio = mpmath.mpf(outer) / inner
    k1 = ((ratio - 1) / ratio) ** 2 / (mpmath.pi * ((ratio + 1) / (ratio - 1) - 2 / mpmath.log(ratio)))
    t, h = mpmath.mpf(thickness), mpmath.mpf(height)

    def force(s: Any) -> Any:
        scale = 4 * modulus / (1 - mpmath.mpf(poisson) ** 2) * t**4 / (k1 * mpmath.mpf(outer) ** 2)
        return scale * (s / t) * ((h / t - s / t) * (h / t - s / (2 * t)) + 1)

    return force


def test_the_example_by_mpmath(bench: Any, near: Any) -> None:
    """80 x 41 x 2.25, cone 2.95, pressed by 1.50."""
    expected = {
        "force": "5760.68778921074 N",  # 5760.687789210737
        "flat_force": "6949.99670419017 N",  # 6949.996704190173
        "rate": "1798.65158479649 N/mm",  # 1798.651584796486
        "constant": 0.684054677748495,  # 0.68405467774849518
    }
    assert near(bench.result("disc-spring"), expected)
    assert bench.cautions("disc-spring") == []


def test_rate_is_the_slope_of_the_force(bench: Any, near: Any) -> None:
    """A soft disc at three quarters of its cone: mpmath's numerical derivative gives 343.936."""
    result = bench.result("disc-spring", **SOFT)
    assert near(result["rate"], "343.936303229561 N/mm")


def test_force_falls_where_the_cone_is_high(bench: Any) -> None:
    """Cone twice the thickness, pressed by three quarters and more: both cautions."""
    reply = bench.reply("disc-spring", SOFT | {"cone_height": "2.5 mm", "deflection": "2.4 mm"})
    assert reply["result"]["rate"].startswith("-")
    assert reply["cautions"] == [BEYOND, SNAPS]
    # Exactly three quarters is still trusted.
    assert bench.cautions("disc-spring", **SOFT) == []


def test_flat_and_free_are_the_ends(bench: Any) -> None:
    """Not pressed there is no force; pressed flat it is the flat force."""
    assert bench.result("disc-spring", deflection="0 mm")["force"] == "0 N"
    flat = bench.result("disc-spring", deflection="2.95 mm")
    assert flat["force"] == flat["flat_force"]


def test_working_puts_the_numbers_in(bench: Any) -> None:
    """Every symbol is followed by its figure."""
    assert bench.working("disc-spring") == [
        "d = outer / inner = 80.00 / 41.00 ≈ 1.9512",
        (
            "K1 = ((d − 1)/d)² / (π × ((d + 1)/(d − 1) − 2/ln d)) "
            "= ((1.9512 − 1)/1.9512)² / (π × ((1.9512 + 1)/(1.9512 − 1) − 2/ln 1.9512)) ≈ 0.6841"
        ),
        "h/t = 2.95 / 2.25 ≈ 1.3111; s/t = 1.50 / 2.25 ≈ 0.6667",
        (
            "force = 4E/(1 − ν²) × t⁴/(K1 × D²) × s/t × [(h/t − s/t) × (h/t − s/2t) + 1] = 4 × 206 GPa / (1 − 0.3²) × 2.25⁴ / "
            "(0.6841 × 80.00²) × 0.6667 × [(1.3111 − 0.6667) × (1.3111 − 0.6667/2) + 1] ≈ 5760.7 N (1 GPa·mm² = 1000 N)"
        ),
        "force when flat = 4 × 206 GPa / (1 − 0.3²) × 2.25⁴ / (0.6841 × 80.00²) × 1.3111 ≈ 6950 N",
        (
            "rate = 4E/(1 − ν²) × t³/(K1 × D²) × [(h/t)² − 3 × (h/t) × (s/t) + 1.5 × (s/t)² + 1] = 4 × 206 GPa / (1 − 0.3²) × 2.25³ / "
            "(0.6841 × 80.00²) × [1.3111² − 3 × 1.3111 × 0.6667 + 1.5 × 0.6667² + 1] ≈ 1798.65 N/mm"
        ),
    ]


def test_tells_every_problem_between_the_fields(bench: Any) -> None:
    """A hole as wide as the disc, a deflection past flat; a ring too narrow to be a disc spring."""
    past_flat = (
        "deflection",
        "out-of-range",
        "The deflection is more than the cone height.",
        "Pressed flat it is deflected by its cone height, no further.",
    )
    assert bench.problems("disc-spring", inner="80 mm", deflection="3 mm") == [
        ("inner", "crossed-limits", "The inner diameter is not below the outer one.", "Check which diameter is which."),
        past_flat,
    ]
    assert bench.problems("disc-spring", inner="76.001 mm", deflection="3 mm") == [
        (
            "inner",
            "out-of-range",
            "The ring is too narrow for a disc spring.",
            "The hole can be 0.95 of the outer diameter at most.",
        ),
        past_flat,
    ]
    assert bench.result("disc-spring", inner="76 mm")["constant"] > 0


def test_limits_of_sense(bench: Any) -> None:
    """A modulus in MPa typed as Pa, and a ratio above one half, are told."""
    found = bench.problems("disc-spring", modulus="206000 Pa", poisson="0.51", thickness="0 mm", deflection="-1 mm")
    assert [(field, code) for field, code, _, _ in found] == [
        ("thickness", "out-of-range"),
        ("deflection", "out-of-range"),
        ("modulus", "out-of-range"),
        ("poisson", "out-of-range"),
    ]
    assert found[-1][2:] == (
        "Poisson's ratio: 0.51 is far too large.",
        "It can be 0.5 at most. Wrong unit or decimal point?",
    )


def test_inch_request_gives_inch_answers(bench: Any, figure: Any, near: Any) -> None:
    """The same disc in inches and psi: the same force in pounds."""
    inch = bench.result(
        "disc-spring", outer="2 in", inner="1 in", thickness="0.05 in", cone_height="0.06 in", deflection="0.04 in", modulus="30000000 psi"
    )  # fmt: skip
    with mpmath.workdps(30):
        expected = almen_laszlo(2, 1, "0.05", "0.06", 30_000_000, "0.3")(mpmath.mpf("0.04"))
    assert abs(float(figure(inch["force"], "lbf")) / float(expected) - 1) < 1e-13
    assert inch["rate"].endswith(" lbf/in")
    assert near(bench.result("disc-spring", units="inch")["force"], f"{5760.687789210737 / 4.4482216152605} lbf")


@given(st.integers(110, 400), st.integers(20, 400), st.integers(10, 400), st.integers(0, 100), st.integers(0, 49))
def test_agrees_with_mpmath(bench: Any, figure: Any, ratio: Any, thickness: Any, height: Any, percent: Any, poisson: Any) -> None:
    """Any disc of diameter ratio 1.1 to 4, to 12 digits."""
    inner = 100
    request = {
        "outer": f"{ratio} mm", "inner": f"{inner} mm", "thickness": f"{thickness / 100} mm", "cone_height": f"{height / 100} mm",
        "deflection": f"{height * percent / 10000} mm", "poisson": str(poisson / 100), "modulus": "206 GPa",
    }  # fmt: skip
    result = bench.result("disc-spring", **request)
    with mpmath.workdps(40):
        hundredth = mpmath.mpf(1) / 100
        force = almen_laszlo(ratio, inner, thickness * hundredth, height * hundredth, 206_000, poisson * hundredth)
        pressed, flat = force(height * percent * hundredth**2), force(height * hundredth)
        assert abs(mpmath.mpf(str(figure(result["force"], "N"))) - pressed) <= abs(pressed) * mpmath.mpf("1e-12")
        assert abs(mpmath.mpf(str(figure(result["flat_force"], "N"))) - flat) <= flat * mpmath.mpf("1e-12")


@given(st.fractions(min_value=Fraction(21, 20), max_value=100, max_denominator=10**6))
def test_the_constant_grows_with_the_ratio_and_stays_below_one(ratio: Any) -> None:
    """K1 is 0 at d = 1 and has a maximum; the classical constant is within 4 % of it for d of 1.05 to 4."""
    with mpmath.workdps(40):
        d = mpmath.mpf(ratio.numerator) / ratio.denominator
        expected = ((d - 1) / d) ** 2 / (mpmath.pi * ((d + 1) / (d - 1) - 2 / mpmath.log(d)))
        found = diameter_constant(ratio)
        assert abs(mpmath.mpf(found.numerator) / found.denominator / expected - 1) < mpmath.mpf("1e-25")
