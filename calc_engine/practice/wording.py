"""How the exercises put things into words, and compare texts."""

from __future__ import annotations

from typing import Final

__all__ = ["COMMON_PRACTICE", "alike"]

COMMON_PRACTICE: Final = "(common practice, no source)"


def alike(text: str) -> str:
    """A text as a reader takes it in: without regard to capitals, spaces and the mark at its end."""
    return " ".join(text.casefold().split()).rstrip(" .;,")
