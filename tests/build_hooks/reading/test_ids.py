"""What an id looks like."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.reading.ids import WORDS_OF_YAML, id_from, is_id


@pytest.mark.parametrize("text", ["a", "7", "front-drum", "alder-4", "4-5-6"])
def test_small_letters_figures_and_hyphens_between_them(text: str) -> None:
    """Each of these is an id, and the id made from it."""
    assert is_id(text)
    assert id_from(text) == text


@pytest.mark.parametrize("text", ["", "-", "a-", "-a", "a--b", "A", "a b", "a_b", "é", "٣", "a\n", "true", "false", "null"])
def test_everything_else_is_none(text: str) -> None:
    """Capitals, spaces, other scripts, hyphens at an end or side by side, and a line break behind it."""
    assert not is_id(text)


@given(st.text())
def test_what_is_made_from_a_text_is_an_id_or_nothing(text: str) -> None:
    """Whatever the text is made of."""
    made = id_from(text)
    assert made == "" or is_id(made) or made in WORDS_OF_YAML
