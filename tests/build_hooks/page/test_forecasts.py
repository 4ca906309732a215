"""What of made-up units a forecast can be made from, and what not."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_hooks.library import load
from build_hooks.page.forecasts import forecasts_of
from calc_engine import answer

UNIT = """
name: Ash 9
invented: true
parts:
  steel: {name: Steel, kind: steel, thickness: 2.00 mm ± 0.03}
  wave: {name: Wave, kind: wave, thickness: 1.50 mm ± 0.02, free_height: 2 mm, waves: 3}
  friction: {name: Friction, kind: friction, thickness: 1.80 mm ± 0.05}
  ring-a: {name: Ring A, kind: snap-ring, thickness: 1.50 mm ± 0.02, mark: one dot}
  ring-b: {name: Ring B, kind: snap-ring, thickness: 1.70 mm ± 0.02, mark: two dots}
packs:
  low:
    name: Low pack
    stack: [wave, {repeat: 3, of: [steel, friction]}, steel, ring-a, {measure: "With leaves."}]
    clearance: {min: 0.90 mm, max: 1.30 mm, wave: flat, at: 4 positions, method: feeler, source: shop standard FL-1, revision: A}
    cavity: 17.50 mm ± 0.10
  high:
    name: High pack
    stack: [steel, friction, {measure: "With leaves."}]
    clearance: {min: 0.90 mm, max: 1.30 mm, at: 4 positions, method: feeler, source: shop standard FL-1, revision: A}
    cavity: 5.00 mm ± 0.10
selective:
  low-ring: {name: Low ring, choices: [ring-a, ring-b], tightens: [low], stock: {ring-a: 4}}
"""
SHOP = "name: Ash Lane\n"


def forecasts(folder: Path, unit: str) -> dict[str, object]:
    """Those of a manual with one unit."""
    (folder / "units" / "ash-9").mkdir(parents=True)
    (folder / "shop.yml").write_text(SHOP, encoding="utf-8")
    (folder / "units" / "ash-9" / "unit.yml").write_text(unit, encoding="utf-8")
    library, problems = load(folder)
    assert library is not None, problems
    return dict(forecasts_of(library.units["ash-9"]))


def test_plates_are_counted_and_the_ring_over_them_is_the_one_that_is_chosen(tmp_path: Path) -> None:
    """Each part once, as often as it goes in; sizes go by their marks. The engine takes it as it is."""
    found = forecasts(tmp_path, UNIT)
    facts = {
        "cavity": {"name": "Low pack", "nominal": "17.5 mm", "plus": "0.1 mm", "minus": "0.1 mm"},
        "parts": [
            {"name": "Wave", "nominal": "1.5 mm", "plus": "0.02 mm", "minus": "0.02 mm", "count": 1},
            {"name": "Steel", "nominal": "2 mm", "plus": "0.03 mm", "minus": "0.03 mm", "count": 4},
            {"name": "Friction", "nominal": "1.8 mm", "plus": "0.05 mm", "minus": "0.05 mm", "count": 3},
        ],
        "choices": [
            {"id": "one dot", "thickness": "1.5 mm", "stock": 4},
            {"id": "two dots", "thickness": "1.7 mm"},
        ],
    }
    assert found == {"ash-9/low": facts}
    rebuilds = [{"clearance": "1.10 mm", "fitted": "one dot"}]
    result = answer("past-and-forecast", {"rebuilds": rebuilds, **facts, "limits": {"min": "0.9 mm", "max": "1.3 mm"}})["result"]
    assert (result["gap_mean"], result["forecast_mean"]) == ("2.6 mm", "2.6 mm")


@pytest.mark.parametrize(
    ("written", "instead"),
    [
        ("    cavity: 17.50 mm ± 0.10\n", ""),  # nothing is drawn
        ("wave: flat", "wave: free"),  # the clearance counts from a wave plate that stands
        ("tightens: [low]", "tightens: [low, high]"),  # one size sets two packs
    ],
)
def test_a_pack_without_a_sound_forecast_has_none(tmp_path: Path, written: str, instead: str) -> None:
    """It is shown by itself then."""
    assert written in UNIT
    assert forecasts(tmp_path, UNIT.replace(written, instead)) == {}
