"""Writes the engine's plain-data elements as HTML text."""

from __future__ import annotations

import html
import re

from calc_engine import Element

__all__ = ["html_of", "markdown_text"]

# Elements that HTML writes without an end tag.
_VOID = frozenset({"br", "hr", "img", "input"})
# Their text is JSON, not markup. An end tag breaks out of it, and "<!--<script>" hides the end tag that follows.
_RAW = frozenset({"script"})
# Within the strings of JSON each may be written by its number: signs that HTML, XML or an old JavaScript would read.
_READ_IN_RAW = re.compile("[<>&\u2028\u2029]")
# XML 1.0 (2.2) knows no other control signs, and no halves of surrogate pairs; neither could be written to a page.
_UNPRINTABLE = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
# Signs that begin markup anywhere in a line of Markdown, and those that do so only at its start.
_MARKUP = re.compile(r"[\\`*_{}\[\]<>&#!~|^=$\"]|^[-+:]|^\d+[.)]")


def html_of(fragment: Element | str) -> str:
    """The HTML of an element, every text and attribute escaped, signs that markup may not hold replaced.

    Args:
        fragment: an element or a text, see `calc_engine.answer_view.markup`.

    Returns:
        One line of HTML; without line breaks it passes through Markdown untouched.
    """
    if isinstance(fragment, str):
        return html.escape(_printable(fragment), quote=False)
    tag, attributes, children = fragment
    assert isinstance(tag, str)  # noqa: S101 - the shape of an element
    assert isinstance(attributes, dict)  # noqa: S101
    written = "".join(
        f" {name}" if value == "" else f' {name}="{html.escape(_printable(value))}"' for name, value in attributes.items()
    )
    if tag in _VOID:
        return f"<{tag}{written}>"
    if tag in _RAW:
        return f"<{tag}{written}>{''.join(_json_text(str(child)) for child in children)}</{tag}>"
    return f"<{tag}{written}>{''.join(html_of(child) for child in children)}</{tag}>"


def _printable(text: str) -> str:
    return _UNPRINTABLE.sub("\N{REPLACEMENT CHARACTER}", text)


def _json_text(text: str) -> str:
    return _READ_IN_RAW.sub(lambda sign: f"\\u{ord(sign[0]):04x}", text)


def markdown_text(text: str) -> str:
    """A text as it is put into Markdown that we generate: it is shown as it is, whatever it holds, and makes no markup.

    Args:
        text: a name or a sentence of an author's data.

    Returns:
        One line. Signs that Markdown or HTML would read are written as character references (CommonMark 0.31, 2.5).
    """
    return _MARKUP.sub(_referenced, " ".join(text.split()))


def _referenced(sign: re.Match[str]) -> str:
    number, last = sign[0][:-1], sign[0][-1]
    return f"{number}&#{ord(last)};"
