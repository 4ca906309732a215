"""The signal words: danger, warning, caution, notice, and our hold and why, as the standards and our look have them.

A Markdown extension, so that any house that runs Python-Markdown can use it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from xml.etree.ElementTree import Element, SubElement

from markdown import Markdown
from markdown.extensions import Extension
from markdown.treeprocessors import Treeprocessor

__all__ = ["KINDS", "SIGNAL_WORDS", "SignalWords", "makeExtension"]

# Definitions: ANSI Z535.4 and ISO 3864-2, in our words: will kill or maim; could; minor or moderate injury; damage only.
SIGNAL_WORDS = {"danger": "DANGER", "warning": "WARNING", "caution": "CAUTION", "notice": "NOTICE"}
KINDS = {**SIGNAL_WORDS, "hold": "HOLD", "why": "Why"}
_INJURY = frozenset({"danger", "warning", "caution"})


class _Titles(Treeprocessor):
    """Gives each of our admonitions its word, its sign and, for a hold point, a box to tick."""

    def run(self, root: Element) -> None:
        for number, (box, kind) in enumerate(_ours(root), 1):
            box.set("class", f"bench-signal bench-{kind}")
            box.set("role", "note")
            title = _title_of(box)
            given = "".join(title.itertext()).strip()
            title.clear()
            title.set("class", "bench-signal-word")
            if kind in _INJURY:
                # The safety alert symbol belongs to the words that mean injury, never to NOTICE.
                SubElement(title, "span", {"class": "bench-alert", "aria-hidden": "true"})
            word = SubElement(title, "strong")
            word.text = KINDS[kind]
            if given.casefold() != kind and given:
                word.tail = f" {given}"
            if kind == "hold":
                _make_tickable(box, title, number)


def _ours(root: Element) -> Iterator[tuple[Element, str]]:
    for box in root.iter("div"):
        words = box.get("class", "").split()
        if "admonition" in words:
            kind = next((word for word in words if word in KINDS), None)
            if kind is not None:
                yield box, kind


def _title_of(box: Element) -> Element:
    first = box[0] if len(box) else None
    if first is not None and "admonition-title" in first.get("class", ""):
        return first
    title = Element("p")
    box.insert(0, title)
    return title


def _make_tickable(box: Element, title: Element, number: int) -> None:
    """The whole hold point becomes the label of its box, so that a gloved finger finds it."""
    words = [child for child in box if child is not title]
    label = Element("label", {"class": "bench-hold-check"})
    SubElement(label, "input", {"type": "checkbox", "data-bench": "hold", "name": f"hold-{number}"})
    said = SubElement(label, "span")
    for child in words:
        box.remove(child)
        # A label holds phrases, not paragraphs.
        if child.tag == "p":
            child.tag = "span"
        said.append(child)
    box.append(label)


class SignalWords(Extension):
    """Registers the titles after the admonitions are made."""

    def extendMarkdown(self, md: Markdown) -> None:  # noqa: N802 - Markdown's own name
        """Adds our step behind the one that nests blocks."""
        md.treeprocessors.register(_Titles(md), "bench-signal-words", 15)


def makeExtension(**settings: Any) -> SignalWords:  # noqa: N802 - Markdown's own name
    """The extension, for a house that loads it by name."""
    return SignalWords(**settings)
