"""What a mistake does: when the author's note speaks of it, and what is said when it does not."""

from __future__ import annotations

import pytest

from calc_engine.practice.effects import FAULTS, general_effect, noted_effect
from calc_engine.practice.part_kinds import PART_KINDS
from calc_engine.practice.unit import Entry, Part

WAVE = Part("w", "Wave", "wave")


@pytest.mark.parametrize(
    ("side", "note", "fault", "other", "effect"),
    [
        (None, "left out: it bangs", "left-out", None, "it bangs"),
        (None, "left out: it bangs", "flipped", None, None),
        ("lip out", "left out: it bangs", "flipped", None, None),
        ("lip down", "lip up: it slips", "flipped", None, "it slips"),
        ("lip down", "lip down: it slips", "flipped", None, None),
        ("flat down", "flat side up: it glazes", "flipped", None, "it glazes"),
        ("rounded edge up", "sharp edge up: it cuts", "flipped", None, None),
        ("rounded edge up", "rounded edge down: it cuts", "flipped", None, "it cuts"),
        ("chamfer up", "bevel down: it walks out", "flipped", None, "it walks out"),
        ("flat up", "upside down: it catches", "flipped", None, "it catches"),
        ("flat up", "a coil out of its pocket: it drags", "flipped", None, None),
        (None, "lip up: it slips", "flipped", None, None),
        (None, "in the upper groove: it slips", "groove", "upper", "it slips"),
        (None, "in the upper groove: it slips", "groove", "lower", None),
        (None, "in the upper groove: it slips", "groove", None, None),
        (None, "swapped with a direct steel: too loose", "look-alike", "Direct steel plate", "too loose"),
        (None, "swapped with a direct steel: too loose", "look-alike", "Low steel plate", None),
        (None, "two together: no work", "swapped", "Steel", None),
        (None, "mind the edge", "left-out", None, None),
        (None, "left out:", "left-out", None, None),
        (None, None, "left-out", None, None),
    ],
)
def test_a_note_is_taken_for_the_mistake_that_it_names(
    side: str | None, note: str | None, fault: str, other: str | None, effect: str | None
) -> None:
    """Before the colon stands the mistake, behind it what comes of it; a note on another mistake is not taken."""
    assert noted_effect(Entry(WAVE, side=side, wrong=note), fault, other) == effect


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("kind", PART_KINDS)
def test_the_trade_has_a_word_on_every_mistake(fault: str, kind: str) -> None:
    """Every mistake to every kind of part has one sentence, marked as common practice without a source."""
    said = general_effect(fault, kind)
    assert said.endswith(" (common practice, no source).")
    assert said[0].isupper()
    assert said.count("common practice") == 1


def test_what_is_left_out_decides_what_is_said() -> None:
    """A wave plate left out bangs, a ring holds nothing, a plate leaves its thickness."""
    assert general_effect("left-out", "wave").startswith("Nothing softens the take-up")
    assert general_effect("left-out", "snap-ring").startswith("What the ring held")
    assert general_effect("left-out", "backing").startswith("The clearance is too large by its thickness")
    assert general_effect("flipped", "snap-ring").startswith("A ring with a bevel wedges one way only")
    assert general_effect("flipped", "backing").startswith("The face that was made for its neighbour")
