"""What is written as HTML is escaped, whatever it holds."""

from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.html import html_of
from calc_engine import element

NASTY = st.text(alphabet=st.characters(exclude_categories=["Cs", "Cc"]), max_size=40)


@given(NASTY, NASTY)
def test_any_text_comes_back_as_it_was(text: str, attribute: str) -> None:
    """Angle brackets, quotes and ampersands are text, in a child as in an attribute."""
    written = html_of(element("p", {"title": attribute}, text))
    found = BeautifulSoup(written, "html.parser").p
    assert found is not None
    assert found["title"] == attribute
    assert found.text == text


def test_a_script_of_data_cannot_be_broken_out_of() -> None:
    """An end tag inside the data does not end the script."""
    written = html_of(element("script", {"type": "application/json"}, '{"a": "</script><b>"}'))
    assert written == '<script type="application/json">{"a": "<\\/script><b>"}</script>'


def test_empty_attributes_and_void_elements() -> None:
    """A switch is written without a value; an input has no end tag."""
    assert html_of(element("input", {"type": "checkbox", "checked": ""})) == '<input type="checkbox" checked>'
