"""Texts compared."""

from __future__ import annotations

from calc_engine import alike


def test_texts_are_compared_as_a_reader_takes_them_in() -> None:
    """Capitals, spaces and the full stop make no difference."""
    assert alike("  Two   DOTS. ") == alike("two dots")
    assert alike("two dots") != alike("one dot")
