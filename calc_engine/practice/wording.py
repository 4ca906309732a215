"""How the exercises put things into words: texts compared, capitals, whole sentences."""

from __future__ import annotations

from typing import Final

__all__ = ["COMMON_PRACTICE", "alike", "capital", "sentence"]

COMMON_PRACTICE: Final = "(common practice, no source)"


def alike(text: str) -> str:
    """A text as a reader takes it in: without regard to capitals, spaces and the mark at its end."""
    return " ".join(text.casefold().split()).rstrip(" .;,")


def capital(text: str) -> str:
    """A text with a capital at its start."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """A note as a sentence: a capital at its start, a full stop at its end."""
    whole = capital(text.strip())
    return whole if whole.endswith((".", "!", "?")) else f"{whole}."
