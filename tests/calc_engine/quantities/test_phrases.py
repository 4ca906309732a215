"""Lists and articles as people write them."""

from __future__ import annotations

from calc_engine.quantities.phrases import capitalised, listed, sentence, uncapitalised, with_article


def test_names_in_a_row() -> None:
    """One alone, two, and several, with either word before the last."""
    assert [listed(names) for names in (["2"], ["2", "5"], ["2", "5", "7"])] == ["2", "2 and 5", "2, 5 and 7"]
    assert listed(["2", "5", "7"], "or") == "2, 5 or 7"


def test_an_article_goes_by_the_first_letter() -> None:
    """An angle, a length."""
    assert [with_article(noun) for noun in ("angle", "length")] == ["an angle", "a length"]


def test_a_note_becomes_a_sentence() -> None:
    """With a capital and one mark at its end."""
    assert [sentence(text) for text in ("it drags", " It drags. ", "home?")] == ["It drags.", "It drags.", "Home?"]
    assert [capitalised(text) for text in ("lip seal", "")] == ["Lip seal", ""]
    assert [uncapitalised(text) for text in ("Lip seal", "")] == ["lip seal", ""]
