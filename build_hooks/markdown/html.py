"""Writes the engine's plain-data elements as HTML text."""

from __future__ import annotations

import html
import re
from xml.etree import ElementTree as ET

from calc_engine import Element, element

__all__ = ["element_of_svg", "html_of", "markdown_text"]

# Elements that HTML writes without an end tag.
_VOID = frozenset({"br", "hr", "img", "input"})
# Their text is JSON, not markup. An end tag breaks out of it, and "<!--<script>" hides the end tag that follows.
_RAW = frozenset({"script"})
# Within the strings of JSON each may be written by its number: signs that HTML, XML or an old JavaScript would read.
_READ_IN_RAW = re.compile("[<>&\u2028\u2029]")
# Signs that begin markup anywhere in a line of Markdown, and those that do so only at its start.
_MARKUP = re.compile(r"[\\`*_{}\[\]<>&#!~|^=$\"]|^[-+:]|^\d+[.)]")


def html_of(fragment: Element | str) -> str:
    """The HTML of an element, every text and attribute escaped.

    Args:
        fragment: an element or a text, see `calc_engine.answer_view.markup`.

    Returns:
        One line of HTML; without line breaks it passes through Markdown untouched.
    """
    if isinstance(fragment, str):
        return html.escape(fragment, quote=False)
    tag, attributes, children = fragment
    assert isinstance(tag, str)  # noqa: S101 - the shape of an element
    assert isinstance(attributes, dict)  # noqa: S101
    written = "".join(f" {name}" if value == "" else f' {name}="{html.escape(value)}"' for name, value in attributes.items())
    if tag in _VOID:
        return f"<{tag}{written}>"
    if tag in _RAW:
        return f"<{tag}{written}>{''.join(_json_text(str(child)) for child in children)}</{tag}>"
    return f"<{tag}{written}>{''.join(html_of(child) for child in children)}</{tag}>"


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


def element_of_svg(svg: str) -> Element:
    """A drawing of ours as plain data, so that it goes the same way as everything else on a page.

    Args:
        svg: the text of an ``svg`` element made by `build_hooks.drawing`.

    Returns:
        The element; in a page of HTML it needs no namespaces.
    """
    return _element_of(ET.fromstring(svg))  # noqa: S314 - made by ourselves a moment ago


def _element_of(node: ET.Element) -> Element:
    children: list[Element | str] = [node.text] if node.text else []
    for child in node:
        children.append(_element_of(child))
        if child.tail:
            children.append(child.tail)
    return element(_local(node.tag), {_local(name): value for name, value in node.attrib.items()}, *children)


def _local(name: str) -> str:
    return name.rpartition("}")[2]
