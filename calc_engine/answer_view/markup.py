"""A page fragment as plain data, so that build and browser make the very same nodes from it.

An element is ``[tag, {attribute: text}, [children]]``; a child is an element or a text. The build writes it as
HTML, the browser makes nodes of it; neither ever parses a string of markup.
"""

from __future__ import annotations

__all__ = ["Element", "element"]

type Element = list[str | dict[str, str] | list[Element | str]]


def element(tag: str, attributes: dict[str, str] | None = None, *children: Element | str | None) -> Element:
    """One element.

    Args:
        tag: its name.
        attributes: attribute names and texts.
        children: elements and texts; None is left out.

    Returns:
        The element as plain data.
    """
    return [tag, attributes or {}, [child for child in children if child is not None]]
