"""What makes a single step hard to follow: its length, a second action, the voice, its first word, vague words.

Each rule names the idea that it rests on. The ideas are those of ASD-STE100, the open standard of simplified technical
English (named here by its rules' subjects, in our own words), and of ISO 24495-1, plain language.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from itertools import pairwise
from typing import Final

from build_hooks.plain_writing.orders import Opening, Sentence, first_order, joined_verb, opening, orders_again, sentences
from build_hooks.plain_writing.passage import Passage, Token, clean
from build_hooks.reading.problems import Fault, quoted
from build_hooks.words.english import BE_FORMS, DETERMINERS, FINITE, PRONOUNS, SUBORDINATORS, UNITS, is_participle

__all__ = ["MOST_WORDS", "step_faults", "vague_faults", "words_in"]

# ASD-STE100, procedures: at most twenty words in a sentence of an instruction. We count the whole step.
MOST_WORDS: Final = 20

_BRACKETS: Final = re.compile(r"\([^()]*\)")
_NUMBER: Final = re.compile(r"[\d.,/×x±-]*\d[\d.,/]*")
_VAGUE: Final = re.compile(
    r"\b(?:"
    r"(?:in)?adequate(?:ly)?|appropriate(?:ly)?|satisfactor(?:y|ily)|sufficient(?:ly)?|suitabl[ey]|reasonabl[ey]"
    r"|proper(?:ly)?|correctly|carefully|with\s+care|nicely|thoroughly"
    r"|(?:as|if|where|when|wherever|whenever)\s+(?:needed|required|necessary|appropriate|applicable)"
    r"|as\s+usual|in\s+the\s+usual\s+way|etc|and\s+so\s+on|from\s+time\s+to\s+time|a\s+while|some\s+time"
    r"|(?:tight|loose|hard|firm|far|long|close|clean|good|well|hot|warm|cold|high|low|thick|thin|big|small|smooth|slow|fast)(?:ly)?"
    r"\s+enough(?!\s+(?:to|that|for)\b)"
    r")\b",
    re.IGNORECASE,
)


def step_faults(passage: Passage, nouns: Collection[str]) -> Iterator[Fault]:
    """Everything that can be said of one step by itself.

    Args:
        passage: its text.
        nouns: names of parts and tools, none of which begins an order.
    """
    said = sentences(passage)
    if not said:
        return
    yield from _length(passage)
    yield from _second_action(passage, said, nouns)
    yield from _passive(passage, said) or _no_order(passage, said, nouns)
    yield from vague_faults(passage)


def words_in(passage: Passage) -> int:
    """How many words a reader has to take in: a figure and its unit are one, and what stands in brackets is set apart."""
    words = [word for word in _BRACKETS.sub(" ", passage.plain).split() if any(map(str.isalnum, word))]
    units = sum(1 for before, word in pairwise(words) if _NUMBER.fullmatch(before) and word.casefold().strip(".,;:?!") in UNITS)
    return len(words) - units


def _length(passage: Passage) -> Iterator[Fault]:
    """ASD-STE100, procedures: short sentences. Whoever looks up from the work has to find the place again."""
    count = words_in(passage)
    if count > MOST_WORDS:
        message = f"This step has {count} words; more than {MOST_WORDS} are hard to follow at the bench."
        yield Fault(passage.mark(0), "long-step", message, "Make two steps of it, or move what explains into a why.")


def _second_action(passage: Passage, said: tuple[Sentence, ...], nouns: Collection[str]) -> Iterator[Fault]:
    """ASD-STE100, procedures: one instruction in a sentence, unless both are done at the same time. We allow one in a step."""
    joined = next(filter(None, (joined_verb(sentence, nouns) for sentence in said)), None) or _in_two_sentences(said, nouns)
    if joined is None:
        return
    first, second = joined
    message = f"Two actions in one step: {quoted(first.word)} and {quoted(second.word)}."
    yield Fault(passage.mark(second.start), "two-actions", message, f"Begin a step of its own with {quoted(second.word)}.")


def _in_two_sentences(said: tuple[Sentence, ...], nouns: Collection[str]) -> tuple[Token, Token] | None:
    first = first_order(said[0], nouns)
    if first is None:
        return None
    second = next(filter(None, map(orders_again, said[1:])), None)
    return None if second is None else (first, second)


def _passive(passage: Passage, said: tuple[Sentence, ...]) -> list[Fault]:
    """ASD-STE100, verbs: the active voice. "Is fitted" may mean that it has been, or that you are to fit it."""
    for sentence in said:
        found = _passive_in(sentence)
        if found is not None:
            first, last = (sentence.tokens[at] for at in found)
            phrase = passage.said(first.start, last.end)
            message = f"{quoted(phrase)} does not say who does it, or whether it is done already."
            return [Fault(passage.mark(first.start), "passive-step", message, "Give the order: begin the step with the verb.")]
    return []


def _passive_in(sentence: Sentence) -> tuple[int, int] | None:
    """Where a passive stands in the main clause; in "until it is seated" it tells a state, and is right."""
    commas = set(sentence.commas())
    aside = False
    for at in range(len(sentence.tokens)):
        word = sentence.word(at)
        if at in commas:
            # Behind a comma the main clause begins where a subject does.
            aside = aside and not (word in DETERMINERS | PRONOUNS or sentence.tokens[at].is_number)
        if word in SUBORDINATORS:
            aside = True
        if aside or word not in BE_FORMS:
            continue
        last = at + 1
        while sentence.word(last).endswith("ly") or sentence.word(last) in BE_FORMS | {"not", "then", "first", "now", "always"}:
            last += 1
        if is_participle(sentence.word(last)):
            return _first_helper(sentence, at), last
    return None


def _first_helper(sentence: Sentence, at: int) -> int:
    """Where "should now be" begins, for a place inside of it."""
    for before in range(at - 1, max(at - 4, -1), -1):
        if sentence.word(before) in FINITE:
            return before
    return at


def _no_order(passage: Passage, said: tuple[Sentence, ...], nouns: Collection[str]) -> list[Fault]:
    """ASD-STE100, procedures: instructions in the command form. The first word then says what the hands are to do."""
    if opening(said[0], nouns) is not Opening.NO_ORDER:
        return []
    first = said[0].tokens[0]
    message = f"This step begins with {quoted(first.text)}, not with what to do."
    return [Fault(passage.mark(first.start), "no-verb", message, "Begin it with a verb, for example Fit, Press or Measure.")]


def vague_faults(passage: Passage) -> Iterator[Fault]:
    """ISO 24495-1, readers can use what they find: a word that each reader measures differently is no instruction."""
    for match in _VAGUE.finditer(passage.plain):
        message = f"{quoted(clean(match[0]))} leaves it to the reader."
        yield Fault(
            passage.mark(match.start()), "vague-word", message, "Say what is to be seen, felt or measured, or take it out."
        )
