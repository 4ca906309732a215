"""What a change of parts does to a clearance, and whether two readings agree."""

from __future__ import annotations

from fractions import Fraction

import pytest

from calc_engine.bench.trials import Change, DrumPlace, FittedPart, KitSize, Trial, agreement, change, now_fitted

SIZES = (
    KitSize(id="thin", thickness=Fraction("1.50"), tolerance=Fraction("0.01")),
    KitSize(id="thick", thickness=Fraction("1.70"), tolerance=Fraction("0.02"), stock=0),
)
RING = DrumPlace(name="ring", choices=SIZES, effect={"low": -1})
WASHER = DrumPlace(name="washer", choices=SIZES, effect={"low": 1, "high": -1})


def trial(ring: FittedPart, washer: FittedPart) -> Trial:
    """What is fitted in both places."""
    return Trial(fitted={"ring": ring, "washer": washer})


THIN, THICK = FittedPart(id="thin"), FittedPart(id="thick")
WORN = FittedPart(id="thin", measured=Fraction("1.48"))


def test_each_pack_feels_the_places_it_touches() -> None:
    """Both become 0.20 thicker: low is tightened and loosened, high is tightened."""
    before, after = trial(THIN, THIN), trial(THICK, THICK)
    low, high = (change(pack, (RING, WASHER), before, after) for pack in ("low", "high"))
    assert (low.total, low.tolerance, low.words) == (Fraction(0), Fraction("0.06"), "ring: thin to thick; washer: thin to thick")
    assert (high.total, high.tolerance, high.words) == (Fraction("-0.20"), Fraction("0.03"), "washer: thin to thick")
    assert change("low", (RING, WASHER), before, before) == Change(())


def test_the_measured_thickness_counts_and_has_no_tolerance() -> None:
    """1.48 instead of 1.50."""
    found = change("low", (RING, WASHER), trial(WORN, THIN), trial(THICK, THIN))
    assert (found.total, found.tolerance) == (Fraction("-0.22"), Fraction("0.02"))
    again = change("low", (RING, WASHER), trial(THIN, THIN), trial(WORN, THIN))
    assert (again.total, again.tolerance, again.words) == (
        Fraction("0.02"),
        Fraction("0.01"),
        "ring: thin with another thickness",
    )


def test_the_search_is_given_what_is_fitted_as_it_was_measured() -> None:
    """Any other size as the kit has it."""
    ring, washer = now_fitted((RING, WASHER), trial(WORN, THICK))
    assert (ring.fitted, [part.thickness for part in ring.choices]) == ("thin", [Fraction("1.48"), Fraction("1.70")])
    assert (washer.fitted, [part.thickness for part in washer.choices]) == ("thick", [Fraction("1.50"), Fraction("1.70")])
    assert [part.stock for part in ring.choices] == [None, 0]


@pytest.mark.parametrize(
    ("later", "agrees"), [("1.05", True), ("1.0500000000000000001", False), ("0.95", True), ("0.9499999999999999999", False)]
)
def test_the_bound_is_exact(later: str, agrees: bool) -> None:
    """Three, four, five: U of 0.03 and 0.04 leave 0.05."""
    found = agreement(Fraction(1), Change(()), Fraction(later), (Fraction("0.03"), Fraction("0.04")))
    assert (found.allowed, found.agrees) == (Fraction("0.05"), agrees)


def test_without_an_uncertainty_only_the_tolerances_are_left() -> None:
    """A ring of 1.50 +- 0.01 becomes one of 1.70 +- 0.02."""
    since = change("low", (RING,), trial(THIN, THIN), trial(THICK, THIN))
    assert agreement(Fraction(1), since, Fraction("0.83"), (None, None)).agrees
    assert not agreement(Fraction(1), since, Fraction("0.8301"), (None, None)).agrees
    assert agreement(Fraction(1), since, Fraction("0.8301"), (None, Fraction("0.0001"))).agrees
