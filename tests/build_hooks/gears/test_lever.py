"""The levers of the demo: their arms are as the teeth, and the speeds of every gear end on one straight line."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from build_hooks.gears import figures_of, lever_places
from build_hooks.library import load

DOCS = Path(__file__).parents[3] / "docs"


def test_arms_are_as_the_teeth() -> None:
    """Sun 42, ring 84: from the carrier to the sun 84, to the ring 42. Planets in pairs put the ring between sun and carrier, or beyond."""
    library, _ = load(DOCS)
    assert library is not None
    alder, rowan = (library.units[name].gear_set for name in ("alder-4", "rowan-6"))
    assert alder is not None
    assert rowan is not None
    assert lever_places(alder.sets["front"]) == {"sun": 0, "carrier": Fraction(84, 126), "ring": 1}
    assert lever_places(rowan.sets["front"]) == {"carrier": 0, "ring": Fraction(41, 80), "sun": 1}


def test_speeds_end_on_a_straight_line() -> None:
    """Every set of every gear of every unit, exactly: (first - carrier) : (second - carrier) as their places."""
    library, _ = load(DOCS)
    assert library is not None
    seen = 0
    for unit in library.units.values():
        assert unit.gear_set is not None
        for figures in figures_of(unit.gear_set):
            for planetary in unit.gear_set.sets.values():
                speeds = {kind: figures.speeds.get(f"{planetary.id}.{kind}") for kind in (*planetary.wheels, "carrier")}
                if None in speeds.values():
                    continue
                places = lever_places(planetary)
                first, second = planetary.wheels
                arms = places[first] - places["carrier"], places[second] - places["carrier"]
                gaps = [speeds[kind] - speeds["carrier"] for kind in (first, second)]  # type: ignore[operator]
                assert gaps[0] * arms[1] == gaps[1] * arms[0]
                seen += 1
    assert seen > 40
