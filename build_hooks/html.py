"""Writes the engine's plain-data elements as HTML text."""

from __future__ import annotations

import html
from xml.etree import ElementTree as ET

from calc_engine import Element, element

__all__ = ["element_of_svg", "html_of"]

# Elements that HTML writes without an end tag.
_VOID = frozenset({"br", "hr", "img", "input"})
# Their text is data, not markup: only an end tag could break out of it.
_RAW = frozenset({"script"})


def html_of(fragment: Element | str) -> str:
    """The HTML of an element, every text and attribute escaped.

    Args:
        fragment: an element or a text, see `calc_engine.markup`.

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
        return f"<{tag}{written}>{''.join(str(child) for child in children).replace('</', '<\\/')}</{tag}>"
    return f"<{tag}{written}>{''.join(html_of(child) for child in children)}</{tag}>"


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
