"""Small turns of phrase."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["listed", "with_article"]


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
