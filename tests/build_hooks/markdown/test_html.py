"""What is written as HTML is escaped, whatever it holds."""

import json

from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st
from markdown import Markdown

from build_hooks.markdown.extensions import EXTENSIONS
from build_hooks.markdown.html import html_of, markdown_text
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
    assert written == '<script type="application/json">{"a": "\\u003c/script\\u003e\\u003cb\\u003e"}</script>'


def test_empty_attributes_and_void_elements() -> None:
    """A switch is written without a value; an input has no end tag."""
    assert html_of(element("input", {"type": "checkbox", "checked": ""})) == '<input type="checkbox" checked>'


def test_signs_that_markup_may_not_hold_are_replaced() -> None:
    """Control signs and halves of surrogate pairs, in a text as in an attribute; the page can be written and read as XML."""
    assert html_of(element("p", {"title": "\x00a\ud800"}, "\x1bb\uffff\tc")) == '<p title="\ufffda\ufffd">\ufffdb\ufffd\tc</p>'


@given(NASTY)
def test_data_in_a_script_comes_back_as_it_was(text: str) -> None:
    """Nothing in it opens, closes or comments anything; read as JSON it is the same."""
    for nasty in (text, f"<!--<script>{text}]]>\u2028\u2029&amp;"):
        written = html_of(element("script", {"type": "application/json"}, json.dumps(nasty, ensure_ascii=False)))
        inside = written.removeprefix('<script type="application/json">').removesuffix("</script>")
        assert json.loads(inside) == nasty
        assert not set(inside) & set("<>&\u2028\u2029")


@given(st.text(alphabet=st.sampled_from("\\`*_{}[]()<>&#+-.!~|:=^$\"' 1a\n\t"), max_size=20) | NASTY)
def test_data_in_generated_markdown_is_text(text: str) -> None:
    """Heading and paragraph hold the text and no element, whichever signs it is made of."""
    shown = " ".join(text.split())
    made = Markdown(extensions=[*EXTENSIONS, "toc"]).convert(
        f"# x{markdown_text(text)}\n\nx {markdown_text(text)}\n\n{markdown_text(text)}"
    )
    soup = BeautifulSoup(made, "html.parser")
    assert soup.h1 is not None
    assert soup.h1.text == f"x{shown}"
    assert {tag.name: tag.attrs.keys() - {"id"} for tag in soup.find_all(name=True)} == {"h1": set(), "p": set()}
    assert [" ".join(tag.text.split()) for tag in soup.find_all("p")] == [f"x {shown}".rstrip(), *([shown] if shown else [])]
