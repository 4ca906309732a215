"""A signal word that is read too late.

The idea: ASD-STE100, safety instructions, and ANSI Z535.6 and IEC/IEEE 82079-1, instructions for use: what warns of a step stands
before it, because steps are read one at a time while the hands are busy.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from build_hooks.plain_writing.passage import Passage
from build_hooks.plain_writing.scanner import Block, Kind
from build_hooks.reading.problems import Fault
from build_hooks.words.english import ADJECTIVES, SMALL_WORDS, VERBS, singular, word_set

__all__ = ["SIGNALS", "late_cautions"]

SIGNALS: Final = frozenset({"danger", "warning", "caution", "notice"})
_TELLING: Final = 2
_SHORTEST: Final = 3
# They stand in every warning, whatever it is about.
_EVERYWHERE: Final = word_set(
    "hand face glass eye wear clear safety line part unit place side end once time thing way work people"
)


def late_cautions(blocks: Sequence[Block], calculations: frozenset[str]) -> Iterator[Fault]:
    """Signal words that stand behind what they warn of.

    Args:
        blocks: a page.
        calculations: the numbers of its blocks that ask the reader to do something: forms and timers.
    """
    for number, block in enumerate(blocks):
        if block.kind is not Kind.BOX or block.name not in SIGNALS:
            continue
        step = _step_of(blocks, block)
        if step is not None:
            yield _fault(
                block, step, "It is read when the step is done.", "Put it before the list, or end the list before this step."
            )
            continue
        before, after = _around(blocks, number)
        steps_before = [found for found in before if found.kind is Kind.STEP]
        ahead = [found for found in after if found.kind is Kind.STEP or (found.kind is Kind.BLOCK and found.name in calculations)]
        if not steps_before:
            continue
        if not ahead:
            yield _fault(block, steps_before[0], "Nothing to do follows it.", "Put it before the list.")
        else:
            warned = _warned_of(block, steps_before, [found for found in ahead if found.kind is Kind.STEP])
            if warned is not None:
                yield _fault(block, warned, "The steps behind it are about something else.", "Put it before that step's list.")


def _fault(block: Block, step: Block, reason: str, remedy: str) -> Fault:
    message = f"{block.name.upper()} comes after the step it warns of (line {step.mark.line}). {reason}"
    return Fault(block.mark, "late-caution", message, remedy)


def _step_of(blocks: Sequence[Block], block: Block) -> Block | None:
    """The step that a box is set in under."""
    inside = block.inside
    while inside is not None:
        if blocks[inside].kind is Kind.STEP:
            return blocks[inside]
        inside = blocks[inside].inside
    return None


def _around(blocks: Sequence[Block], number: int) -> tuple[Sequence[Block], Sequence[Block]]:
    """What stands before a block under the same heading, and behind it up to the next heading that is not below that one."""
    first = max((at for at in range(number) if blocks[at].kind is Kind.HEADING), default=None)
    level = 0 if first is None else int(blocks[first].name)
    ends = (at for at in range(number + 1, len(blocks)) if blocks[at].kind is Kind.HEADING and int(blocks[at].name) <= level)
    return blocks[(0 if first is None else first + 1) : number], blocks[number + 1 : next(ends, len(blocks))]


def _warned_of(block: Block, before: Sequence[Block], after: Sequence[Block]) -> Block | None:
    """The step before a box that it speaks of, when none behind it shares a word with it."""
    told = _content(block.passage)
    if any(told & _content(step.passage) for step in after):
        return None
    best = max(before, key=lambda step: len(told & _content(step.passage)))
    return best if len(told & _content(best.passage)) >= _TELLING else None


def _content(passage: Passage) -> frozenset[str]:
    """The things that a text is about: its words without endings, without those that any text has."""
    words = {_stem(word) for word in re.findall(r"[a-z]+(?:-[a-z]+)*", passage.plain.casefold())}
    return frozenset(word for word in words - SMALL_WORDS - _EVERYWHERE - (ADJECTIVES - VERBS) if len(word) >= _SHORTEST)


def _stem(word: str) -> str:
    word = singular(word)
    for ending in ("ing", "ed"):
        if word.endswith(ending) and len(word) > len(ending) + 3:
            return word.removesuffix(ending)
    return word
