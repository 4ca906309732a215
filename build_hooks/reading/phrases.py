"""What people say when they look for something, wherever an author writes it: the search reads it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from build_hooks.reading.problems import Fault, Mark, quoted

__all__ = ["KEY", "phrase_faults", "plain_phrase"]

KEY: Final = "asked_as"
_MOST_WORDS: Final = 12


def plain_phrase(phrase: str) -> str:
    """A phrase without case, so that it is known again."""
    return " ".join(phrase.casefold().split())


def phrase_faults(phrases: Iterable[tuple[str, Mark]]) -> Iterator[Fault]:
    """Phrases that stand twice, and those too long to be typed.

    Args:
        phrases: each with its place.
    """
    seen: set[str] = set()
    for phrase, mark in phrases:
        plain = plain_phrase(phrase)
        if plain in seen:
            yield Fault(mark, "listed-twice", f"{quoted(phrase)} is listed twice in {KEY}.", "Take one of them out.")
        elif len(plain.split()) > _MOST_WORDS:
            message = f"{quoted(phrase)} has more than {_MOST_WORDS} words, and nobody types that many."
            yield Fault(mark, "too-long", message, "Keep the words that tell it from other things.")
        seen.add(plain)
