"""Finds the order in a sentence: where its verb stands, and whether a second one is joined to it."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise, takewhile
from typing import Final

from build_hooks.plain_writing.passage import Passage, Token
from build_hooks.words.english import (
    ADJECTIVES,
    DETERMINERS,
    FINITE,
    NOUN_ENDINGS,
    PLAIN_VERBS,
    POINTERS,
    PREPOSITIONS,
    PRONOUNS,
    SUBORDINATORS,
    VERBS,
    VERBS_OR_NOUNS,
    is_participle,
    singular,
)

__all__ = ["Opening", "Sentence", "first_order", "joined_verb", "opening", "orders_again", "sentences"]

_LABEL: Final = re.compile(r"\s*(?P<word>[A-Z][a-z]+)\s*:(?=\s+\w)")
_BRACKETS: Final = re.compile(r"\([^()]{0,500}\)")
_ADVERBS: Final = frozenset(
    {"now", "then", "first", "next", "again", "finally", "once", "just", "always", "please", "also", "only"}
)
# A verb with one of these behind it is a verb: press down, let off.
_CONDITIONS: Final = SUBORDINATORS | PREPOSITIONS | {"to"}
_PARTICLES: Final = frozenset({"down", "up", "back", "off", "away", "apart", "out", "home"})
_UNTIL: Final = frozenset({"until", "when", "what", "where"})
_WATCHING: Final = {"look": {"at", "for", "along", "down", "into", "round"}, "wait": {"for"}, "listen": {"for", "to"}}
# What goes on while something else is done, or sends the reader on, is no action of its own.
_NO_ACTION: Final = frozenset({"keep", "see", "refer", "remember", "follow"})
_GRIPS: Final = frozenset({"press", "push", "pull", "lift", "squeeze", "pinch", "touch", "turn", "twist", "steady", "lock"})
_TURNS: Final = frozenset({"hold", "turn", "twist", "rotate", "tilt", "slide", "rock", "wiggle"})
# Said as one: the second word tells how or what for.
_SAID_AS_ONE: Final = frozenset({("wait", "see"), ("wait", "watch"), ("stop", "look"), ("stop", "think"), ("tag", "bag")})
# After "to" these are places and states, not purposes.
_REACHED: Final = frozenset({"zero", "rest", "stop", "end", "work", "level", "point", "position", "size"})
_STATES: Final = frozenset({"home", "flush", "level", "square", "tight", "loose", "free", "clean", "whole"})
_SIDE_BY_SIDE: Final = 2
_ANOTHER: Final = frozenset({"the", "each", "every", "both", "its", "your"})
_GOES_ON: Final = frozenset({"hold", "keep"})
_OPENS_AS_ONE: Final = frozenset({"try", "come", "go"})


class Opening(Enum):
    """How a sentence begins."""

    ORDER = 1
    NO_ORDER = 2
    UNKNOWN = 3


@dataclass(frozen=True, slots=True)
class Sentence:
    """The words of a sentence that stand outside brackets, and outside links that are only named.

    Attributes:
        tokens: words and numbers.
        gaps: what stands before each of them, back to the one before.
    """

    tokens: tuple[Token, ...]
    gaps: tuple[str, ...]

    def word(self, at: int) -> str:
        """The word at a place in small letters, nothing behind the end."""
        return self.tokens[at].word if 0 <= at < len(self.tokens) else ""

    def is_number(self, at: int) -> bool:
        """Whether the word at a place is written in figures."""
        return at < len(self.tokens) and self.tokens[at].is_number

    def commas(self) -> list[int]:
        """The words that stand behind a comma, a semicolon or a dash."""
        return [at for at, gap in enumerate(self.gaps) if at and re.search(r"[,;–—]", gap)]


def sentences(passage: Passage) -> tuple[Sentence, ...]:
    """The sentences of a passage; a label before the first (``Task:``) and what stands in brackets is left out."""
    found: list[Sentence] = []
    for start, end in passage.sentences():
        label = None if found else _LABEL.match(passage.plain, start)
        if label is not None and label["word"].casefold() not in VERBS:
            start = label.end()  # noqa: PLW2901 - the sentence begins behind its label
        aside = _brackets(passage, start, end) + _named(passage, start, end)
        tokens = [token for token in passage.tokens(start, end) if not any(first <= token.start < last for first, last in aside)]
        befores = [start, *(token.end for token in tokens)]
        gaps = [passage.plain[before : token.start] for before, token in zip(befores, tokens, strict=False)]
        if tokens:
            found.append(Sentence(tuple(tokens), tuple(gaps)))
    return tuple(found)


def _brackets(passage: Passage, start: int, end: int) -> list[tuple[int, int]]:
    """Where brackets stand in a sentence."""
    return [match.span() for match in _BRACKETS.finditer(passage.plain, start, end)]


def _named(passage: Passage, start: int, end: int) -> list[tuple[int, int]]:
    """Links that do not begin the sentence: the title of a page gives no order."""
    inside = [(first, last) for first, last in passage.links if start <= first < end]
    return [(first, last) for first, last in inside if passage.plain[start:first].strip()]


def opening(sentence: Sentence, nouns: Collection[str]) -> Opening:
    """Whether a sentence begins with an order, by itself or behind a condition.

    Args:
        sentence: the words.
        nouns: names of parts and tools.
    """
    found = _opening_at(sentence, 0, nouns)
    conditional = sentence.word(_behind_adverbs(sentence, 0)) in _CONDITIONS
    return _behind_condition(sentence, nouns) if found is Opening.UNKNOWN and conditional else found


def _opening_at(sentence: Sentence, start: int, nouns: Collection[str]) -> Opening:
    at = _behind_adverbs(sentence, start)
    if sentence.word(at) in {"do", "don't", "never"}:
        return Opening.ORDER
    if _plain_order(sentence, at) and not _names_a_thing(sentence, at, nouns):
        return Opening.ORDER
    if sentence.word(at) in _CONDITIONS:
        return Opening.UNKNOWN
    return Opening.NO_ORDER if _names_something(sentence, at, nouns) else Opening.UNKNOWN


def _behind_adverbs(sentence: Sentence, at: int) -> int:
    while at < len(sentence.tokens) - 1 and (sentence.word(at) in _ADVERBS or sentence.word(at).endswith("ly")):
        if sentence.word(at) in VERBS:
            break
        at += 1
    return at


def _plain_order(sentence: Sentence, at: int) -> bool:
    return sentence.word(at) in VERBS and sentence.word(at + 1) not in FINITE


def _behind_condition(sentence: Sentence, nouns: Collection[str]) -> Opening:
    """A sentence that begins with If or With: its order stands behind a comma."""
    commas = sentence.commas()
    if not commas:
        # "With the press down" is no order, "If it is stiff press down" is one.
        driven = sentence.word(0) in SUBORDINATORS
        found = any(_strict_verb(sentence, at, particles=driven) is not None for at in range(1, len(sentence.tokens)))
        return Opening.UNKNOWN if found else Opening.NO_ORDER
    # A further condition is passed over: the commas behind it are in the list as well.
    parts = [_opening_at(sentence, at, nouns) for at in commas]
    if Opening.ORDER in parts:
        return Opening.ORDER
    return Opening.NO_ORDER if parts[-1] is Opening.NO_ORDER else Opening.UNKNOWN


def _names_something(sentence: Sentence, at: int, nouns: Collection[str]) -> bool:
    """Whether a sentence begins with what it is about, and not with what to do."""
    word, after = sentence.word(at), sentence.word(at + 1)
    if sentence.tokens[at].is_number or word in DETERMINERS | PRONOUNS | {"not"}:
        return True
    if after in FINITE or _names_a_thing(sentence, at, nouns):
        return True
    if word in VERBS:
        return False
    if word.endswith("ing") and len(word) > 4:  # noqa: PLR2004 - shorter ones are things: ring
        return True
    if after in POINTERS:
        return False
    known = word in ADJECTIVES or singular(word) in nouns
    return known or (len(word) > 5 and word.endswith(NOUN_ENDINGS)) or (word.endswith("ed") and is_participle(word))  # noqa: PLR2004 - shorter ones are verbs: bring


def _names_a_thing(sentence: Sentence, at: int, nouns: Collection[str]) -> bool:
    """Whether a name of two words stands here that only begins like an order: "Snap ring home", but not "Release spring load"."""
    behind = sentence.word(at + 2)
    ends = not behind or behind in PREPOSITIONS | FINITE | _STATES or is_participle(behind)
    return ends and f"{sentence.word(at)} {singular(sentence.word(at + 1))}" in nouns


def _strict_verb(sentence: Sentence, at: int, *, particles: bool = True) -> int | None:
    """The verb of an order that begins here, where a noun might as well stand; adverbs before it are passed over.

    Args:
        sentence: the words.
        at: where it would begin.
        particles: whether "down" behind a word makes it a verb; behind a comma it does not (lip down, chamfer up).
    """
    at = _behind_adverbs(sentence, at)
    if at >= len(sentence.tokens):
        return None
    word, after = sentence.word(at), sentence.word(at + 1)
    if word in PLAIN_VERBS:
        return at
    if word not in VERBS_OR_NOUNS:
        return None
    if after in POINTERS or after.endswith("ly") or after in _WATCHING.get(word, ()) or after in _UNTIL:
        return at
    return at if particles and (after in _PARTICLES or sentence.is_number(at + 1)) else None


def joined_verb(sentence: Sentence, nouns: Collection[str]) -> tuple[Token, Token] | None:
    """The verbs of two orders in one sentence.

    Args:
        sentence: the words.
        nouns: names of parts and tools.

    Returns:
        The first verb and the second; None where there is one order, or two that are one movement (press and hold).
    """
    first = _first_verb(sentence, nouns)
    if first is None:
        return None
    commas = set(sentence.commas())
    clause, purpose = None, False
    for at in range(first + 1, len(sentence.tokens)):
        word = sentence.word(at)
        verb, firmly = _joined_at(sentence, at, sentence.word(first), comma=at in commas)
        spared = purpose or (clause is not None and _many_do(sentence, clause + 1, at))
        if verb is not None and (firmly or not (spared or _one_movement(sentence, first, verb))):
            return sentence.tokens[first], sentence.tokens[verb]
        if at in commas and verb is None:
            clause, purpose = None, False
        if word in SUBORDINATORS:
            clause = at
        if word == "to" and sentence.word(_behind_adverbs(sentence, at + 1)) in VERBS - _REACHED:
            purpose = True
    return None


def first_order(sentence: Sentence, nouns: Collection[str]) -> Token | None:
    """The verb of a sentence that tells what to do; None for one that forbids or only says how things are."""
    at = _first_verb(sentence, nouns)
    return None if at is None else sentence.tokens[at]


def _forbids(sentence: Sentence, at: int) -> bool:
    return sentence.word(at) in {"don't", "never"} or (
        sentence.word(at) == "do" and sentence.word(at + 1) in {"not", "no", "nothing"}
    )


def _first_verb(sentence: Sentence, nouns: Collection[str]) -> int | None:
    if opening(sentence, nouns) is not Opening.ORDER:
        return None
    for start in (0, *sentence.commas()):
        at = _behind_adverbs(sentence, start)
        if _forbids(sentence, at):
            return None
        if _plain_order(sentence, at):
            return at
    return None


def _joined_at(sentence: Sentence, at: int, first: str, *, comma: bool) -> tuple[int | None, bool]:
    """The verb that a joining word or a comma at this place leads to, and whether the words say "afterwards".

    A word that gave the first order gives the second: read this page and read that page.
    """
    word = sentence.word(at)
    firmly = word == "then" or (word == "and" and sentence.word(at + 1) == "then")
    if word in {"and", "then"}:
        loose = _loose_verb(sentence, at + 1)
        verb = loose if firmly or (loose is not None and sentence.word(loose) == first) else _strict_verb(sentence, at + 1)
    else:
        again = comma and word == first and word in VERBS
        verb = at if again else _strict_verb(sentence, at, particles=False) if comma else None
    if verb is None or sentence.word(verb) in _NO_ACTION or _forbids(sentence, verb):
        return None, firmly
    return verb, firmly


def _loose_verb(sentence: Sentence, at: int) -> int | None:
    at = _behind_adverbs(sentence, at)
    return at if _plain_order(sentence, at) else None


def _many_do(sentence: Sentence, start: int, end: int) -> bool:
    """Whether a clause tells what several do ("until the plates meet and turn"): its verbs look like orders and are none."""
    words = [sentence.word(at) for at in range(start, end)]
    if any(word in {"you", "they", "we", "both"} for word in words):
        return True
    return any(singular(word) != word and after in VERBS for word, after in pairwise(words))


def _one_movement(sentence: Sentence, first: int, second: int) -> bool:
    one, two = sentence.word(first), sentence.word(second)
    side_by_side = second - first == _SIDE_BY_SIDE
    if one in _GOES_ON or (one, two) in _SAID_AS_ONE or (side_by_side and one in _OPENS_AS_ONE):
        return True
    if side_by_side:
        return one in _GRIPS and two in _GRIPS | _TURNS
    # Another thing is another movement: push the shaft down and turn the hub.
    return one in _GRIPS and two in _TURNS and sentence.word(second + 1) not in _ANOTHER


def orders_again(sentence: Sentence) -> Token | None:
    """The verb of a sentence that stands behind another one and is an order too."""
    at = _behind_adverbs(sentence, 0)
    word = sentence.word(at)
    if word in _NO_ACTION or _forbids(sentence, at):
        return None
    strict = _strict_verb(sentence, at)
    if strict is not None:
        return sentence.tokens[strict]
    # A capital begins it, and no helper says that something is told: "Change gloves."
    behind = list(takewhile(lambda later: later not in SUBORDINATORS, (token.word for token in sentence.tokens[at + 1 :])))
    told = any(later in FINITE for later in behind)
    return sentence.tokens[at] if word in VERBS_OR_NOUNS and not told else None
