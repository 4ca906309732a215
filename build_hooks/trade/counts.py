"""A number of plates in a text that is not the number in the data.

Only what can be told apart is judged: a figure or a number word right before friction, steel or wave plates, or before the drops that a
hub makes. A number agrees when it is that of the pack named beside it, else that of any pack which the page speaks of, or of all together.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from typing import Final, NamedTuple

from build_hooks.checks.packs import places_of
from build_hooks.model import PLATES, Pack, PartKind
from build_hooks.reading.problems import Fault, listed, quoted
from build_hooks.trade.sound_unit import SoundUnit, texts_of
from build_hooks.trade.trade_page import TradePage
from build_hooks.words.english import word_set

__all__ = ["count_warnings", "count_warnings_of_data"]

_WORDS: Final = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen",
    "sixteen", "seventeen", "eighteen", "nineteen", "twenty",
)  # fmt: skip
_NUMBER: Final = rf"(?<![\w.,/-])(?P<number>\d{{1,3}}|{'|'.join(_WORDS)})"
_QUALIFIERS: Final = r"(?P<words>(?:[a-z][a-z-]*[ \n]+){0,2})"
_COUNTED: Final = re.compile(r"\b(?:(?P<kind>friction|steel|wave)(?:[ \n]+plates?)?|(?P<drops>drops))\b", re.IGNORECASE)
_BEFORE: Final = re.compile(rf"{_NUMBER}[ \n]+{_QUALIFIERS}$", re.IGNORECASE)
_LISTED: Final = re.compile(rf"{_NUMBER}[ \n]+(?P<words>[a-z][a-z-]*)(?:,|[ \n]+and)[ \n]+$", re.IGNORECASE)
_ALL_PLATES: Final = re.compile(rf"\ball[ \n]+{_NUMBER}[ \n]+plates\b", re.IGNORECASE)
# What a hub goes through is friction plates.
_THROUGH: Final = re.compile(rf"\bthrough[ \n]+(?:all[ \n]+)?{_NUMBER}[ \n]+plates\b", re.IGNORECASE)
# A number that is one of several, or compares.
_SOME: Final = word_set("""
    at between each every extra first last least less more most new next no of old or other over per spare than to under up
""")
_PART_OF_IT: Final = re.compile(
    r"[ \n]+(?:together|in a row|side by side|at a time|too|more|less|short|missing|apart|at once)\b", re.IGNORECASE
)
# A sentence of what could be wrong tells no number of the data.
_NOT_SO: Final = re.compile(
    r"\b(?:if|when|instead|missing|left out|too many|too few|wrong|never|not|swap|swapped)\b", re.IGNORECASE
)
_TEXTS: Final = ("place", "hold", "lubricant", "note", "measure")
# How much text before a word can belong to it.
_FAR: Final = 120


class _Said(NamedTuple):
    """A number in a text, what it counts, the words between the two, and whether another number stands between them."""

    start: int
    number: int
    kind: str
    words: tuple[str, ...]
    is_listed: bool = False


def count_warnings(page: TradePage) -> Iterator[Fault]:
    """Numbers of plates in the steps and hold points of a page that are in no pack which it speaks of."""
    if page.unit is None:
        return
    for passage in page.done():
        for said in _said(passage.plain):
            message = _wrong(said, page.packs, tuple(page.unit.packs.values()))
            if message:
                yield Fault(passage.mark(said.start), "count-off-data", message, "Correct the count, or the stack in unit.yml.")


def count_warnings_of_data(unit: SoundUnit) -> Iterator[Fault]:
    """Numbers of plates in the texts of a stack that are not those of its pack."""
    for pack_id, pack in unit.data.packs.items():
        packs = (unit.unit.packs[pack_id],)
        stack = pack.get("stack")
        entries = [place.entry for place in places_of(pack)] + list(() if stack is None else stack.items)
        for node, text in {node.mark: (node, text) for entry in entries for node, text in texts_of(entry, _TEXTS)}.values():
            for said in _said(text):
                message = _wrong(said, packs, tuple(unit.unit.packs.values()))
                if message:
                    yield Fault(node.mark, "count-off-data", message, "Correct the count, or the stack.")


def _said(text: str) -> Iterator[_Said]:
    for start, end in _sentences(text):
        sentence = text[start:end]
        if _NOT_SO.search(sentence):
            continue
        for found in _COUNTED.finditer(sentence):
            if not _PART_OF_IT.match(sentence, found.end()):
                kind = (found["kind"] or found["drops"]).casefold()
                yield from _before(sentence, found.start(), kind, start)
        for pattern, kind in ((_ALL_PLATES, "plates"), (_THROUGH, "friction")):
            for found in pattern.finditer(sentence):
                yield _Said(start + found.start("number"), _number(found["number"]), kind, ())


def _sentences(text: str) -> Iterator[tuple[int, int]]:
    start = 0
    for stop in re.finditer(r"[.?!:;](?=\s)", text):
        yield start, stop.end()
        start = stop.end()
    yield start, len(text)


def _before(text: str, end: int, kind: str, offset: int) -> Iterator[_Said]:
    """The number before a word, and those listed before it: “5 forward and 4 direct friction plates”."""
    pattern, is_listed = _BEFORE, False
    while True:
        found = pattern.search(text, max(0, end - _FAR), end)
        if found is None:
            return
        words = tuple(found["words"].casefold().split())
        ahead = text[max(0, found.start() - _FAR) : found.start()].split()
        if not _SOME & {*words, *(word.casefold() for word in ahead[-1:])}:
            yield _Said(offset + found.start("number"), _number(found["number"]), kind, words, is_listed)
        pattern, end, is_listed = _LISTED, found.start(), True


def _number(written: str) -> int:
    return int(written) if written.isdigit() else _WORDS.index(written.casefold()) + 1


def _wrong(said: _Said, packs: Sequence[Pack], known: Sequence[Pack]) -> str:
    """What is wrong with a number; nothing if it agrees, or nobody can tell."""
    named = [pack for pack in known if _short(pack) & set(said.words)]
    # “32 teeth, 1 wave plate”: a number that is listed before another counts plates only with the name of a pack.
    meant = named or (() if said.is_listed else packs)
    counts = {pack.id: _counts(pack, said.kind) for pack in meant}
    right = {number for numbers in counts.values() for number in numbers}
    if said.number == 1 or not any(right) or said.number in right or said.number == _together(counts.values()):
        return ""
    what = "drops of a hub" if said.kind == "drops" else "plates in all" if said.kind == "plates" else f"{said.kind} plates"
    first, *others = (f"{quoted(pack_id)} {{}}{min(numbers)}" for pack_id, numbers in counts.items())
    have = listed([first.format("has "), *(other.format("") for other in others)], "and")
    return f"This says {said.number} {what}; in the data {have}."


def _short(pack: Pack) -> set[str]:
    """What a pack is called for short: “forward”."""
    return {pack.id, pack.name.split()[0].casefold()}


def _together(counts: Collection[frozenset[int]]) -> int:
    return sum(min(numbers) for numbers in counts)


def _counts(pack: Pack, kind: str) -> frozenset[int]:
    """The numbers that are right for a pack: of all its plates, both with and without those that are no friction or steel plate."""
    kinds = [entry.part.kind for entry in pack.physical_stack]
    if kind == "drops":
        return frozenset({kinds.count(PartKind.FRICTION)})
    if kind != "plates":
        return frozenset({kinds.count(PartKind(kind))})
    lined = sum(kind in {PartKind.FRICTION, PartKind.STEEL} for kind in kinds)
    thin = lined + kinds.count(PartKind.WAVE)
    return frozenset({lined, thin, sum(kind in PLATES for kind in kinds)})
