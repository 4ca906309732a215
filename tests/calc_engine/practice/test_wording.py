"""Texts compared, and notes as sentences."""

from __future__ import annotations

from calc_engine.practice.wording import alike, capital, sentence


def test_a_note_becomes_a_sentence() -> None:
    """With a capital and one mark at its end."""
    assert [sentence(text) for text in ("it drags", " It drags. ", "home?")] == ["It drags.", "It drags.", "Home?"]
    assert [capital(text) for text in ("lip seal", "")] == ["Lip seal", ""]


def test_texts_are_compared_as_a_reader_takes_them_in() -> None:
    """Capitals, spaces and the full stop make no difference."""
    assert alike("  Two   DOTS. ") == alike("two dots")
    assert alike("two dots") != alike("one dot")
