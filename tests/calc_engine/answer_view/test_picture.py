"""Texts in a picture stay inside it, also in the large letters of a phone."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine.answer_view.picture import WIDTH, label

# Six tenths of 34 units; the styles write no larger.
LETTER = 20.4


@pytest.mark.parametrize(
    ("x", "anchor", "at"),
    [
        (360, "middle", 360), (102, "middle", 102), (101, "start", 101), (8, "start", 8), (618, "middle", 618), (619, "end", 619),
        (712, "end", 712),
    ],
)  # fmt: skip
def test_a_text_is_centred_where_it_fits(x: int, anchor: str, at: int) -> None:
    """Ten letters are 204 units wide at most."""
    made: Any = label(x, 20, "1.35 mm ±5", "kind")
    assert made == ["text", {"x": str(at), "y": "20", "text-anchor": anchor, "class": "kind"}, ["1.35 mm ±5"]]


@given(x=st.integers(8, WIDTH - 8), length=st.integers(1, 34))
def test_a_text_stays_inside(x: int, length: int) -> None:
    """Wherever its place is, on screens of every size."""
    made: Any = label(x, 20, "m" * length, "kind")
    place, anchor, width = int(made[1]["x"]), made[1]["text-anchor"], length * LETTER
    left = place - {"start": 0, "middle": width / 2, "end": width}[anchor]
    assert left >= -1
    assert left + width <= WIDTH + 9
