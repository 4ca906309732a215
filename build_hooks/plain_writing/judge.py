"""Puts the rules to a page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from build_hooks.library import Library
from build_hooks.page.source import PageSource
from build_hooks.plain_writing.check_rules import check_fault, is_check, measured_to, measures, number_given
from build_hooks.plain_writing.numbering import misnumbered_steps
from build_hooks.plain_writing.orders import sentences
from build_hooks.plain_writing.passage import Passage
from build_hooks.plain_writing.placement import SIGNALS, late_cautions
from build_hooks.plain_writing.scanner import Block, Kind, scan
from build_hooks.plain_writing.step_rules import step_faults, vague_faults
from build_hooks.plain_writing.undefined_words import KnownWords, known_words, undefined_words
from build_hooks.process.time_limit import LONGEST, LimitError, at_most, too_slow
from build_hooks.reading.problems import Fault, Problem

__all__ = ["manual_warnings", "writing_warnings"]

# Blocks that ask the reader to do something, and blocks that give a number.
_TO_BE_DONE: Final = frozenset({"calc", "timer", "exercise"})
_GIVES_NUMBERS: Final = frozenset({"calc", "spec"})


def manual_warnings(sources: Iterable[PageSource], library: Library) -> tuple[Problem, ...]:
    """What is hard to follow in the pages of a manual.

    Args:
        sources: the pages that authors wrote.
        library: what shop.yml and the units explain.

    Returns:
        Warnings by file and place. None of them stops a build. Of a page that takes longer than it may, that alone.
    """
    known = known_words(library)
    found = [warning for source in sources for warning in _in_time(source, known)]
    return tuple(sorted(found, key=lambda warning: warning.place))


def _in_time(source: PageSource, known: KnownWords) -> tuple[Problem, ...]:
    try:
        with at_most(LONGEST):
            return writing_warnings(source.text, source.path, known, [fence.name for fence in source.fences])
    except LimitError:
        return (too_slow(source.path),)


def writing_warnings(text: str, path: str, words: KnownWords, blocks: Sequence[str] = ()) -> tuple[Problem, ...]:
    """What is hard to follow in one page.

    Args:
        text: its Markdown as `read_page` leaves it: no front matter, a marker for each block of ours, as many lines as the file.
        path: as it is named in warnings.
        words: what the manual explains.
        blocks: the names of the blocks, in the order of their markers.

    Returns:
        Warnings by place. Only numbered steps, hold points and signal words are judged.
    """
    page = scan(text)
    faults = [
        *_of_steps(page, words),
        *misnumbered_steps(page),
        *_of_checks(page, blocks),
        *late_cautions(page, _numbers_of(blocks, _TO_BE_DONE)),
        *undefined_words([(block.passage, not _is_hold(block)) for block in page if _is_judged(block)], text, words),
    ]
    found = (Problem.of(path, fault) for fault in faults)
    return tuple(sorted(found, key=lambda warning: warning.place))


def _is_judged(block: Block) -> bool:
    return block.kind is Kind.STEP or (block.kind is Kind.BOX and (block.name in SIGNALS or block.name == "hold"))


def _numbers_of(blocks: Sequence[str], names: frozenset[str]) -> frozenset[str]:
    return frozenset(str(number) for number, name in enumerate(blocks) if name in names)


def _is_hold(block: Block) -> bool:
    return block.kind is Kind.BOX and block.name == "hold"


def _of_steps(page: Sequence[Block], words: KnownWords) -> Iterator[Fault]:
    for block in page:
        if block.kind is Kind.STEP:
            yield from step_faults(block.passage, words.nouns)
        elif _is_hold(block):
            yield from vague_faults(block.passage)


def _of_checks(page: Sequence[Block], blocks: Sequence[str]) -> Iterator[Fault]:
    giving = _numbers_of(blocks, _GIVES_NUMBERS)
    holds: dict[int | None, list[Passage]] = {}
    for block in page:
        if _is_hold(block):
            holds.setdefault(block.inside, []).append(block.passage)
    for number, block in enumerate(page):
        if _is_hold(block):
            fault = check_fault(block.passage, 0, len(block.passage.plain), ())
            if fault is not None:
                yield fault
        elif block.kind is Kind.STEP:
            yield from _of_step(page, number, holds.get(number, ()), giving)


def _of_step(page: Sequence[Block], number: int, holds: Sequence[Passage], giving: frozenset[str]) -> Iterator[Fault]:
    step = page[number]
    for sentence in sentences(step.passage):
        if is_check(sentence):
            fault = check_fault(step.passage, sentence.tokens[0].start, sentence.tokens[-1].end, holds)
            if fault is not None:
                yield fault
    start = measures(step.passage)
    if start is not None and not _right_is_told(page, number, giving):
        message = "This step measures, and nothing near it says what is right."
        remedy = "Give it a hold point with the number, or put the limits or a form under the list."
        yield Fault(step.passage.mark(start), "check-without-number", message, remedy)


def _right_is_told(page: Sequence[Block], number: int, giving: frozenset[str]) -> bool:
    """Whether a step that measures, or what follows it in its section, gives the number, takes it down, or says where it stands."""
    if measured_to(page[number].passage):
        return True
    for block in _rest_of_section(page, number):
        if block.kind is Kind.BLOCK and block.name in giving:
            return True
        if _is_judged(block) and (number_given([block.passage]) or _takes_down(block.passage)):
            return True
    return any(block.kind is Kind.BLOCK and block.name in giving for block in _section_before(page, number))


def _takes_down(passage: Passage) -> bool:
    words = {token.word for token in passage.tokens()}
    return bool(words & {"write", "note", "type", "record", "enter", "compare"})


def _rest_of_section(page: Sequence[Block], number: int) -> Iterator[Block]:
    for block in page[number + 1 :]:
        if block.kind is Kind.HEADING:
            return
        yield block


def _section_before(page: Sequence[Block], number: int) -> Iterator[Block]:
    for block in reversed(page[:number]):
        if block.kind is Kind.HEADING:
            return
        yield block
