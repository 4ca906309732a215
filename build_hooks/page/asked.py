"""What people ask a page for, in its front matter: read with its places, and checked within a page and between pages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from build_hooks.reading.nodes import Node
from build_hooks.reading.phrases import KEY, phrase_faults, plain_phrase
from build_hooks.reading.problems import Fault, Mark, Problem, quoted

__all__ = ["KEY", "asked_faults", "asked_marks", "asked_on_two_pages"]


def asked_marks(facts: Node | None) -> dict[str, Mark]:
    """Each phrase that a page is asked for by, without case, and where it first stands.

    Args:
        facts: the front matter; None where it cannot be read.
    """
    found: dict[str, Mark] = {}
    for item in _items(facts):
        found.setdefault(plain_phrase(item.text or ""), item.mark)
    return found


def asked_faults(facts: Node) -> Iterator[Fault]:
    """Phrases that stand twice, and those too long to be typed.

    Args:
        facts: the front matter.
    """
    yield from phrase_faults((item.text or "", item.mark) for item in _items(facts))


def asked_on_two_pages(pages: Iterable[tuple[str, Mapping[str, Mark]]]) -> Iterator[Problem]:
    """A phrase may lead to one page only; where two are right, the one to be read first has it.

    Args:
        pages: each page as problems name it, with what it is asked for by.
    """
    first: dict[str, str] = {}
    for path, asked in pages:
        for phrase, mark in asked.items():
            if phrase in first:
                message = f"{quoted(phrase)} stands in {KEY} of {first[phrase]} too."
                yield Problem.of(path, Fault(mark, "asked-twice", message, "Leave it on the page that is to be read first."))
            else:
                first[phrase] = path


def _items(facts: Node | None) -> tuple[Node, ...]:
    listed = None if facts is None else facts.get(KEY)
    return tuple(item for item in listed.items if item.text) if listed is not None else ()
