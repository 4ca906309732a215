"""Words of the trade that the exercises share, and small turns of phrase."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from calc_engine import Quantity, Unit, exact_text, show

__all__ = ["COMMON", "KINDS", "PLATES", "alike", "at_step", "capital", "listed", "places_of", "said", "sentence", "shown"]

COMMON: Final = "(common practice, no source)"

KINDS: Final = {
    "friction": "friction plate",
    "steel": "steel plate",
    "wave": "wave plate",
    "backing": "backing plate",
    "reaction": "reaction plate",
    "pressure": "pressure plate",
    "snap-ring": "snap ring",
    "piston": "piston",
    "seal": "seal",
    "lip-seal": "lip seal",
    "return-spring": "return spring",
    "retainer": "spring retainer",
    "thrust-washer": "thrust washer",
    "bearing": "bearing",
    "shim": "shim",
    "hub": "hub",
}
"""What a part of each kind is called."""

PLATES: Final = frozenset({"friction", "steel", "wave", "backing", "reaction", "pressure"})


def alike(text: str) -> str:
    """A text as a reader takes it in: without regard to capitals, spaces and the mark at its end."""
    return " ".join(text.casefold().split()).rstrip(" .;,")


def capital(text: str) -> str:
    """A text with a capital at its start."""
    return text[:1].upper() + text[1:]


def listed(names: Sequence[str], last: str = "and") -> str:
    """Names as a reader lists them, at least one: ``2``, ``2 and 5``, ``2, 5 and 7``."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {last} {names[-1]}"


def sentence(text: str) -> str:
    """A note as a sentence: a capital at its start, a full stop at its end."""
    whole = capital(text.strip())
    return whole if whole.endswith((".", "!", "?")) else f"{whole}."


def said(text: str) -> str:
    """A text in quotation marks, as it stands in the data."""
    return f"“{text.strip()}”"


def places_of(step: Fraction) -> int:
    """How many decimals a figure in whole steps has.

    Args:
        step: a finite decimal, above zero.
    """
    return len(exact_text(step).partition(".")[2])


def at_step(value: Fraction, step: Fraction) -> str:
    """A figure with the decimals that its step has: 1.30 where the step is 0.01. A finer value keeps all its digits."""
    text = exact_text(value)
    whole, _, decimals = text.partition(".")
    places = places_of(step)
    return f"{whole}.{decimals.ljust(places, '0')}" if places else text


def shown(value: Fraction, unit: Unit) -> str:
    """A quantity for a reader, rounded by the rule of its unit."""
    return show(Quantity(value, unit))
