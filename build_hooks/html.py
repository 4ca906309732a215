"""Writes the engine's plain-data elements as HTML text."""

from __future__ import annotations

import html

from calc_engine import Element

__all__ = ["html_of"]

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
