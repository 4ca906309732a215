"""Small turns of phrase."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["alike", "capitalised", "listed", "sentence", "uncapitalised", "with_article"]


def alike(words: str) -> str:
    """The words as a reader takes them in: without regard to capitals, spaces and the mark at their end.

    Example:
        >>> alike("One  paint dot.") == alike("one paint dot")
        True
    """
    return " ".join(words.casefold().split()).rstrip(" .;,")


def capitalised(words: str) -> str:
    """The words with a capital letter at their beginning."""
    return words[:1].upper() + words[1:]


def uncapitalised(words: str) -> str:
    """The words with a small letter at their beginning, as they stand within a sentence."""
    return words[:1].lower() + words[1:]


def sentence(words: str) -> str:
    """A note as a sentence: a capital letter at its beginning, a full stop at its end."""
    whole = capitalised(words.strip())
    return whole if whole.endswith((".", "!", "?")) else f"{whole}."


def listed(names: Sequence[str], last: str = "and") -> str:
    """Names as a reader lists them.

    Args:
        names: at least one.
        last: the word before the last of them.

    Returns:
        The list in words.

    Example:
        >>> listed(["2"]), listed(["2", "5"]), listed(["2", "5", "7"], "or")
        ('2', '2 and 5', '2, 5 or 7')
    """
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {last} {names[-1]}"


def with_article(noun: str) -> str:
    """A noun after ``a`` or ``an``, by its first letter."""
    return f"{'an' if noun[:1] in set('aeiou') else 'a'} {noun}"
