"""Fields that keep what was given: lengths with their unit, sentences, and figures by name with limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import pytest

from calc_engine.declare.fields import Declared, length_as_given, mapping, prose
from calc_engine.declare.request import Reader
from calc_engine.quantities.quantity import Quantity

SHELF = Declared("count", "Pieces", "How many.", least=Fraction(0), most=Fraction(9), least_text="0", most_text="9")


@dataclass(frozen=True, slots=True)
class Drawer:
    """What a drawer is said to hold."""

    width: Quantity | None = length_as_given("Width", "Across the front.", above="0 mm", most="1 m", optional=True)
    note: str | None = prose("Note", "What to know of it.", optional=True)
    pieces: Mapping[str, int] | None = mapping("Pieces", "How many of each.", of=SHELF, names=(0, 2), optional=True)


def problems(given: dict[str, Any]) -> list[tuple[str, str, str, str]]:
    """What is wrong with a drawer."""
    reader = Reader()
    assert reader.read(Drawer, given) is None
    return [(found.field, found.code, found.message, found.remedy) for found in reader.problems]


def test_what_is_sound_is_kept_as_it_was_given() -> None:
    """The unit, the line break and an empty object come through."""
    drawer = Reader().read(Drawer, {"width": "3/4 in", "note": " one\ntwo ", "pieces": {}})
    assert drawer is not None
    assert (str(drawer.width), drawer.note, drawer.pieces) == ("0.75 in", " one\ntwo ", {})
    assert Reader().read(Drawer, {"pieces": {"a": 9, "b": 0}}) == Drawer(pieces={"a": 9, "b": 0})


@pytest.mark.parametrize(
    ("given", "problem"),
    [
        ({"width": "0 in"}, ("width", "out-of-range", "Width: 0.000 in is too small.", "It must be more than 0.000 in.")),
        ({"width": "2 m"}, ("width", "out-of-range", "Width: 2 m is far too large.", "It can be 1 m at most. Wrong unit or decimal point?")),
        ({"note": " "}, ("note", "wrong-type", "Note: a text is wanted.", "What to know of it.")),
        ({"note": "x" * 2001}, ("note", "too-long", "Note: 2001 characters are too many.", "Use at most 2000.")),
        ({"pieces": 4}, ("pieces", "wrong-type", "Pieces: an object of names is wanted.", "Write {name: number}.")),
        ({"pieces": {"a": 10}}, ("pieces.a", "out-of-range", "Pieces: 10 is far too large.", "It can be 9 at most. Wrong unit or decimal point?")),
        ({"pieces": {"a": 1, "b": 1, "c": 1}}, ("pieces", "too-many", "Pieces: 3 entries given.", "Give 2 at most.")),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_by_its_field(given: dict[str, Any], problem: tuple[str, str, str, str]) -> None:
    """One bad value is one problem."""
    assert problems(given) == [problem]
