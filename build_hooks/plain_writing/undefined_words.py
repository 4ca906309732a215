"""Words of the trade that nothing in the manual explains.

The idea: ASD-STE100 lets a text use its common words and the names of a list, and no others; ISO 24495-1 asks that words are
known to the reader or explained. Here only those words are looked at that a reader cannot guess: names of parts
and tools of two words or more, phrases in italics, and abbreviations.
"""

from __future__ import annotations

import difflib
import re
from bisect import bisect_right
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from build_hooks.library import Library
from build_hooks.plain_writing.part_names import ABBREVIATIONS, EVERYDAY_PARTS, PART_WORDS
from build_hooks.plain_writing.passage import Passage, Token
from build_hooks.reading.problems import Fault, quoted
from build_hooks.words.english import ADJECTIVES, DETERMINERS, PLAIN_VERBS, SMALL_WORDS, VERBS, VERBS_OR_NOUNS, singular

__all__ = ["KnownWords", "known_words", "undefined_words"]

_ABBREVIATION: Final = re.compile(r"(?<![\w-])[A-Z]{2,4}(?![\w-])(?!\s*[-/]?\d)")
# Words that say by their ending that they tell a quality.
_QUALITY: Final = ("ic", "al", "ous", "ful", "less", "ish", "able", "ible", "ive", "ed", "ing", "est", "ly", "shaped", "sided")
# So near that it is the same word, misspelt.
_NEAR: Final = 0.85
_LONGEST_NAME: Final = 2
_LONGEST_ITALICS: Final = 3


@dataclass(frozen=True)
class KnownWords:
    """What a reader finds explained or shown somewhere in the manual.

    Attributes:
        phrases: in small letters, in the singular.
    """

    phrases: frozenset[str]

    @classmethod
    def of(cls, phrases: Collection[str]) -> KnownWords:
        """From phrases as they are written."""
        return cls(frozenset(_plain(phrase) for phrase in phrases) | EVERYDAY_PARTS)

    @cached_property
    def nouns(self) -> frozenset[str]:
        """Words that name a part or a tool and give no order; and names of two words, whose first may look like one (snap ring)."""
        single = frozenset(phrase.rpartition(" ")[2] for phrase in self.phrases) | PART_WORDS
        return (single - VERBS - SMALL_WORDS) | frozenset(phrase for phrase in self.phrases if phrase.count(" ") == 1)

    @cached_property
    def first_words(self) -> frozenset[str]:
        """Single words that phrases are made of."""
        return frozenset(word for phrase in self.phrases for word in phrase.split())


def known_words(library: Library) -> KnownWords:
    """Every word that shop and units explain, show or name.

    Args:
        library: shop.yml gives its words, tools, gauges and consumables, each unit.yml its parts, drums, packs, floats, shafts and kits.
    """
    shop = library.shop
    phrases = [phrase for word in shop.words.values() for phrase in (word.id, *word.also)]
    phrases += [named.name for group in (shop.tools, shop.gauges, shop.consumables) for named in group.values()]
    for unit in library.units.values():
        phrases += [unit.name]
        phrases += [
            named.name
            for group in (unit.parts, unit.drums, unit.packs, unit.floats, unit.shafts, unit.kits)
            for named in group.values()
        ]
    return KnownWords.of(phrases)


def _plain(phrase: str) -> str:
    words = re.sub(r"[^\w\s'-]", " ", phrase.casefold()).split()
    return " ".join([*words[:-1], singular(words[-1])]) if words else ""


def undefined_words(passages: Iterable[tuple[Passage, bool]], page: str, known: KnownWords) -> Iterator[Fault]:
    """Names, phrases and abbreviations that nothing explains, each at its first use in the page.

    Args:
        passages: the steps and boxes of a page, each with whether it gives orders: the first word of a sentence is then taken
            for a verb.
        page: the whole page: an abbreviation that is also written small there is a word in capitals.
        known: what the manual explains.
    """
    told: set[str] = set()
    small = frozenset(re.findall(r"\b[a-z]{2,4}\b", page))
    for passage, orders in passages:
        names = _names(passage, known, orders=orders)
        for start, end in sorted({*names, *_italics(passage, known), *_abbreviations(passage, small, known)}):
            phrase = _plain(passage.said(start, end))
            if phrase not in told:
                told.add(phrase)
                yield _fault(passage, start, end, known)


def _fault(passage: Passage, start: int, end: int, known: KnownWords) -> Fault:
    said = passage.said(start, end)
    near = difflib.get_close_matches(_plain(said), sorted(known.phrases), 1, _NEAR)
    remedy = f"Did you mean {quoted(near[0])}?" if near else "Add it to the words of shop.yml, or use a word that is there."
    message = f"{quoted(said)} is explained nowhere: no word of shop.yml, no part, tool or gauge."
    return Fault(passage.mark(start), "undefined-word", message, remedy)


def _names(passage: Passage, known: KnownWords, *, orders: bool) -> Iterator[tuple[int, int]]:
    tokens = passage.tokens()
    # The first word of a sentence that orders is a verb that we do not know, more often than it is part of a name.
    starts = [start for start, _ in passage.sentences()] if orders else []
    for at, token in enumerate(tokens):
        if singular(token.word) not in PART_WORDS or _goes_on(passage, tokens, at):
            continue
        first = _first_of_name(passage, tokens, at)
        if _begins(passage, starts, tokens[first].start):
            first += 1
        if first < at and not _explained(tokens[first : at + 1], known):
            yield tokens[first].start, token.end


def _begins(passage: Passage, starts: Sequence[int], at: int) -> bool:
    """Whether the word at a place is the first of one of these sentences."""
    before = bisect_right(starts, at)
    return before > 0 and not passage.plain[starts[before - 1] : at].strip()


def _goes_on(passage: Passage, tokens: Sequence[Token], at: int) -> bool:
    """Whether a name goes on behind this word: seal sleeve."""
    after = at + 1
    return after < len(tokens) and _touch(passage, tokens[at], tokens[after]) and singular(tokens[after].word) in PART_WORDS


def _touch(passage: Passage, one: Token, two: Token) -> bool:
    return not passage.plain[one.end : two.start].strip()


def _first_of_name(passage: Passage, tokens: Sequence[Token], head: int) -> int:
    """Where the name begins that ends at a head: behind the last word that cannot belong to it."""
    first = head
    while first > 0 and head - first < _LONGEST_NAME and _touch(passage, tokens[first - 1], tokens[first]):
        word = tokens[first - 1].word
        pointed = first > 1 and tokens[first - 2].word in DETERMINERS
        if tokens[first - 1].is_number or word in SMALL_WORDS or word in PLAIN_VERBS or "'" in word:
            break
        if word in VERBS_OR_NOUNS and not pointed:
            break
        first -= 1
    return first


def _explained(name: Sequence[Token], known: KnownWords) -> bool:
    """Whether a name is known, or is put together from words that are."""
    words = [token.word for token in name]
    for start in range(len(words) - 1):
        if _plain(" ".join(words[start:])) in known.phrases:
            return True
    return all(_clear(word, known) for word in words[:-1])


def _clear(word: str, known: KnownWords) -> bool:
    return (
        word in ADJECTIVES
        or word in known.first_words
        or singular(word) in known.first_words
        or singular(word) in PART_WORDS
        or word.endswith(_QUALITY)
        or ("-" in word and all(_clear(part, known) for part in word.split("-") if part not in SMALL_WORDS))
    )


def _italics(passage: Passage, known: KnownWords) -> Iterator[tuple[int, int]]:
    """Phrases in italics: whoever sets a word so means it as a term. One word alone is stress as often as not."""
    for start, end in passage.italics:
        words = [token.word for token in passage.tokens(start, end)]
        phrase = passage.said(start, end)
        if not 1 < len(words) <= _LONGEST_ITALICS or _plain(phrase) in known.phrases:
            continue
        if any(word in SMALL_WORDS or word in PLAIN_VERBS for word in words) or all(_clear(word, known) for word in words):
            continue
        yield start, end


def _abbreviations(passage: Passage, written_small: Collection[str], known: KnownWords) -> Iterator[tuple[int, int]]:
    for match in _ABBREVIATION.finditer(passage.plain):
        word = match[0]
        small = word.casefold()
        if word in ABBREVIATIONS or small in known.first_words or small in SMALL_WORDS | VERBS | ADJECTIVES:
            continue
        if small in written_small or set(word) == {"X"}:
            continue
        yield match.start(), match.end()
