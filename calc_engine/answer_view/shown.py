"""The figures of an answer as a reader saw them, for a record that is looked at months later."""

from __future__ import annotations

from collections.abc import Iterator

from calc_engine.answer import Worked
from calc_engine.answer_view.markup import Element
from calc_engine.answer_view.panel import panel

__all__ = ["shown_outputs"]


def shown_outputs(worked: Worked) -> dict[str, str | list[dict[str, str]]]:
    """What the panel of an answer shows of each output.

    Args:
        worked: the request and its answer.

    Returns:
        The text of each output; for an output that is a table, its rows by the heads of the columns. The page notes the same
        (browser/jobs/shown-outputs.js).
    """
    return {
        attributes["data-output"]: _rows(children) if tag == "table" else _text(children)
        for tag, attributes, children in _all(panel(worked))
        if "data-output" in attributes
    }


type _Parts = tuple[str, dict[str, str], list[Element | str]]


def _all(here: Element) -> Iterator[_Parts]:
    """An element and all elements in it, in order."""
    tag, attributes, children = here
    assert isinstance(tag, str)  # noqa: S101 - as `element` makes it
    assert isinstance(attributes, dict)  # noqa: S101
    assert isinstance(children, list)  # noqa: S101
    yield tag, attributes, children
    for child in children:
        if not isinstance(child, str):
            yield from _all(child)


def _rows(children: list[Element | str]) -> list[dict[str, str]]:
    within = [part for child in children if not isinstance(child, str) for part in _all(child)]
    rows = (row for tag, _, row in within if tag == "tr")
    found = ({attributes["data-label"]: _text(cell) for cell, attributes in _labelled(row)} for row in rows)
    return [row for row in found if row]


def _labelled(row: list[Element | str]) -> Iterator[tuple[list[Element | str], dict[str, str]]]:
    for child in row:
        if not isinstance(child, str):
            for _, attributes, children in _all(child):
                if "data-label" in attributes:
                    yield children, attributes


def _text(children: list[Element | str]) -> str:
    """The text; elements side by side are lines of their own."""
    parts = [child if isinstance(child, str) else _text(next(_all(child))[2]) for child in children]
    return ("" if any(isinstance(child, str) for child in children) else "; ").join(parts)
