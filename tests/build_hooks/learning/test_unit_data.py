"""Unit data for exercises: what they ask about is in it, and nothing else."""

from __future__ import annotations

from pathlib import Path

from build_hooks.learning.unit_data import unit_data
from build_hooks.library import load


def test_exercises_know_the_grooves_of_the_wall_only() -> None:
    """A ring can end up in another groove of the wall; a seal of the boss cannot, so that its groove is not asked for."""
    library, problems = load(Path(__file__).parents[3] / "docs")
    assert problems == ()
    assert library is not None
    packs = {pack["id"]: pack for pack in unit_data(library.units["alder-4"], library.shop)["packs"]}
    assert packs["forward"]["grooves"] == ["lower", "middle", "upper"]
    grooves = {entry["part"]: entry["groove"] for entry in packs["forward"]["parts"] if "groove" in entry}
    assert grooves == {"support-ring": "lower", "forward-ring-b": "middle"}
