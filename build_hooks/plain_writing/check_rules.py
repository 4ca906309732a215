"""A check that gives no number: whoever makes it then decides by mood.

The idea: IEC/IEEE 82079-1, instructions for use, asks that a step can be seen to have succeeded; ASD-STE100 asks for
figures and units in place of words of degree. A check that is plainly yes or no (the hub turns, the lip is whole) needs
no number; one that names a size, a pressure or a degree does.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from build_hooks.plain_writing.orders import Sentence, first_order, sentences
from build_hooks.plain_writing.passage import Passage
from build_hooks.reading.problems import Fault, quoted
from build_hooks.words.english import UNITS

__all__ = ["check_fault", "is_check", "measured_to", "measures", "number_given"]

# What is measured, and words that only compare. Common trade words, from memory.
_AMOUNTS: Final = (
    "clearance|end play|end float|play|gap|depth|height|thickness|travel|spread|runout|run-out|pressure|torque|temperature|"
    "diameter|width|length|distance|angle|preload|drag|force|speed|voltage|reading|size|tolerance|backlash|stroke"
)
_DEGREES: Final = (
    "(?:small|large|slight|close|acceptable|normal|correct|ok|okay|good)(?=\\s*(?:[,;.?!]|$|and\\b|or\\b))|(?:within|in) tolerance|"
    "(?:to|in|within) spec|in range"
)
# Where a ring's gap lies is no amount, and a pressure plate is no pressure.
_NO_AMOUNT: Final = r"\s+(?:on|away|opposite|plate|ring|gauge|micrometer|wrench|feed|test|check|side|end|mark)s?\b"
_AMOUNT: Final = re.compile(rf"(?<![\w-])(?:(?:{_AMOUNTS})(?:s|es)?(?!{_NO_AMOUNT})|{_DEGREES})(?![\w-])", re.IGNORECASE)

_FIGURE: Final = re.compile(r"\d")
_NUMBER_WORD: Final = re.compile(
    r"\b(?:zero|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|half|quarter|twice|(?:no|without(?:\s+any)?)"
    rf"\s+(?:\w+\s+)?(?:{_AMOUNTS})s?)\b",
    re.IGNORECASE,
)
# Where the number stands, when it is not here.
_WHERE: Final = re.compile(
    r"\b(?:limits?|list|sheet|manual|specs?\s+(?:page|table|block)|drawing|page|table|tag|mark|maker|nowhere|same|equal|agrees?"
    r"|each other|unchanged|as\s+before|as\s+noted|noted|named)\b",
    re.IGNORECASE,
)
_OUT_OF_NUMBERS: Final = re.compile(r"\b(?:in|to|within|in\s+the)\s+(?:spec|tolerance|range)\b", re.IGNORECASE)

_MEASURING: Final = frozenset({"measure", "gauge", "weigh"})
_CHECKING: Final = frozenset({"check", "verify", "confirm", "ensure", "inspect", "test"})


def is_check(sentence: Sentence) -> bool:
    """Whether a sentence of a step tells to find out something ("check that", "make sure", "see that")."""
    verb = first_order(sentence, ())
    if verb is None:
        return False
    at = sentence.tokens.index(verb)
    after = sentence.word(at + 1)
    return verb.word in _CHECKING or (verb.word, after) in {("make", "sure"), ("make", "certain"), ("see", "that"), ("see", "to")}


def measures(passage: Passage) -> int | None:
    """Where a step tells to measure something; None when it does not."""
    for sentence in sentences(passage):
        verb = first_order(sentence, ())
        if verb is not None and verb.word in _MEASURING:
            return verb.start
    return None


def number_given(passages: Sequence[Passage]) -> bool:
    """Whether texts give a figure, or say where it stands."""
    return any(_FIGURE.search(text.plain) or _NUMBER_WORD.search(text.plain) or _WHERE.search(text.plain) for text in passages)


def measured_to(passage: Passage) -> bool:
    """Whether a step that measures says itself what is right: a figure with a unit, or where it stands."""
    tokens = passage.tokens()
    units = any(one.is_number and two.word in UNITS for one, two in pairwise(tokens))
    return units or bool(_WHERE.search(passage.plain))


def check_fault(passage: Passage, start: int, end: int, helped_by: Sequence[Passage]) -> Fault | None:
    """A check between two characters of a passage that is about an amount and gives none.

    Args:
        passage: the text of a hold point or of a step.
        start: where the check begins.
        end: where it ends.
        helped_by: what belongs to the check and may give the number: a step's own hold points.
    """
    said = passage.plain[start:end]
    amount = _AMOUNT.search(said)
    if amount is None or number_given(helped_by) or _FIGURE.search(said) or _NUMBER_WORD.search(said):
        return None
    if _WHERE.search(said) and not _OUT_OF_NUMBERS.search(said):
        return None
    message = f"This check is about {quoted(amount[0].casefold())} and gives no number."
    remedy = "Say how much, with the unit, or where to find the figure, for example: within the limits above."
    return Fault(passage.mark(start + amount.start()), "check-without-number", message, remedy)
