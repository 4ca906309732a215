"""Which element explains what was seen: sets of gears held against each other. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, Literal

from calc_engine.quantities.phrases import listed

__all__ = ["Fault", "Outcome", "Suspect", "one_ways_apart", "outside", "splits_best", "suspects", "told"]

type Fault = Literal["does-not-hold", "does-not-let-go"]
type Outcome = Literal["works", "fails", "binds"]
type Chart = Mapping[str, Sequence[str]]
type Seen = Mapping[str, Outcome]

_FAULTS: Final[tuple[Fault, ...]] = ("does-not-hold", "does-not-let-go")
# What is said of the gears that it counts as on in, and of the others; of one element and of two.
_WORDS: Final[Mapping[tuple[Fault, int], tuple[str, str]]] = {
    ("does-not-hold", 1): ("on in", "off in"),
    ("does-not-hold", 2): ("one of them on in", "both off in"),
    ("does-not-let-go", 1): ("on in", "off in"),
    ("does-not-let-go", 2): ("both on in", "one of them off in"),
}
_VERB: Final[Mapping[Outcome, str]] = {"works": "work", "fails": "fail", "binds": "bind"}


@dataclass(frozen=True, slots=True)
class Suspect:
    """One element, or two, that may be to blame.

    Attributes:
        elements: their names.
        fault: what is wrong with them.
        explains: the tried gears that fail or bind as they would.
        against: the tried gears that do otherwise than they would.
    """

    elements: tuple[str, ...]
    fault: Fault
    explains: tuple[str, ...]
    against: tuple[str, ...]

    def is_on(self, on: Sequence[str]) -> bool:
        """Whether a gear counts as one that they are on in: one of them may fail to hold, one that is off may fail to let go."""
        needed = any if self.fault == "does-not-hold" else all
        return needed(element in on for element in self.elements)

    def foretells(self, on: Sequence[str]) -> Outcome:
        """What a gear does if they are to blame."""
        if self.fault == "does-not-hold":
            return "fails" if self.is_on(on) else "works"
        return "works" if self.is_on(on) else "binds"


def suspects(elements: Sequence[str], chart: Chart, seen: Seen) -> list[Suspect]:
    """Who may be to blame: those with nothing against them first, single ones before pairs, then by how much they explain.

    Two together are only named when each explains what the other does not, and nothing is against them.

    Args:
        elements: names of all elements.
        chart: for each gear what is on.
        seen: what each tried gear does.
    """
    single = {(name, fault): _suspect((name,), fault, chart, seen) for fault in _FAULTS for name in elements}
    pairs = (
        _suspect(pair, fault, chart, seen)
        for fault in _FAULTS
        for pair in combinations(elements, 2)
        if _both_needed(*(set(single[name, fault].explains) for name in pair))
    )
    found = [each for each in single.values() if each.explains] + [pair for pair in pairs if not pair.against]
    return sorted(found, key=lambda each: (bool(each.against), len(each.elements), -len(each.explains)))


def _both_needed(one: set[str], other: set[str]) -> bool:
    return bool(one - other) and bool(other - one)


def _suspect(elements: tuple[str, ...], fault: Fault, chart: Chart, seen: Seen) -> Suspect:
    made = Suspect(elements, fault, (), ())
    as_foretold = {gear: made.foretells(chart[gear]) == outcome for gear, outcome in seen.items()}
    explains = tuple(gear for gear, right in as_foretold.items() if right and seen[gear] != "works")
    return Suspect(elements, fault, explains, tuple(gear for gear, right in as_foretold.items() if not right))


def outside(chart: Chart, seen: Seen) -> bool:
    """Whether no gear that drives works, and one at least slips or has no drive: what all gears share comes first.

    Args:
        chart: for each gear what is on; one with nothing on does not drive.
        seen: what each tried gear does.
    """
    driving = [outcome for gear, outcome in seen.items() if chart[gear]]
    return "fails" in driving and "works" not in driving


def splits_best(named: Sequence[Suspect], chart: Chart, seen: Seen) -> str | None:
    """The untried gear that tells most of the suspects apart; None where none does.

    Args:
        named: the suspects. Those with nothing against them count; of them the single ones, if there are two.
        chart: for each gear what is on.
        seen: what each tried gear does.
    """
    clear = [each for each in named if not each.against] or list(named)
    single = [each for each in clear if len(each.elements) == 1]
    counted = single if len(single) > 1 else clear

    def largest_group(gear: str) -> int:
        outcomes = [each.foretells(chart[gear]) for each in counted]
        return max(outcomes.count(outcome) for outcome in set(outcomes))

    telling = [gear for gear in chart if gear not in seen and counted and largest_group(gear) < len(counted)]
    return min(telling, key=largest_group) if telling else None


def told(suspect: Suspect, chart: Chart, seen: Seen) -> str:
    """Why it is a suspect, in words: the gears that it is on in and off in, and what they do.

    Args:
        suspect: an element or two.
        chart: for each gear what is on.
        seen: what each tried gear does.
    """
    return "; ".join((*_parts(suspect, chart, seen, against=False), *_parts(suspect, chart, seen, against=True)))


def _parts(suspect: Suspect, chart: Chart, seen: Seen, *, against: bool) -> Iterator[str]:
    for on, words in zip((True, False), _WORDS[suspect.fault, len(suspect.elements)], strict=True):
        for outcome, verb in _VERB.items():
            fitting = (gear for gear, found in seen.items() if found == outcome and (gear in suspect.against) is against)
            gears = [gear for gear in fitting if suspect.is_on(chart[gear]) is on]
            if gears:
                yield f"{'but ' if against else ''}{words} {_which(gears, verb)}"


def _which(gears: Sequence[str], verb: str) -> str:
    if len(gears) == 1:
        return f"{gears[0]}, which {verb}s"
    return f"{listed(gears)}, {'both' if len(gears) == 2 else 'all'} {verb}"  # noqa: PLR2004 - both are two


def one_ways_apart(named: Iterable[Suspect], one_way: Sequence[str], chart: Chart) -> Iterator[str]:
    """How a one-way element is told from the clutch or brake that does its work in another gear.

    Two gears that differ only by an element beside a one-way element show that it does the same work, both ways.

    Args:
        named: the suspects; only what is among them is told apart.
        one_way: the names of the elements that hold one way only.
        chart: for each gear what is on.
    """
    suspected = {element for each in named if each.fault == "does-not-hold" for element in each.elements}
    for alone, beside, other in _twins(chart):
        for first in (name for name in chart[alone] if name in one_way and other not in one_way):
            if suspected & {first, other}:
                yield (
                    f"{first} or {other}: in {beside} {other} does the work of {first} as well, and brakes the engine. "
                    f"If {alone} slips and {beside} pulls, {first} does not hold. "
                    f"If {beside} pulls but does not brake the engine when you lift off, {other} does not hold."
                )


def _twins(chart: Chart) -> Iterator[tuple[str, str, str]]:
    """Two gears of which the second has one element more on than the first, and that element."""
    for alone, on in chart.items():
        for beside, more in chart.items():
            extra = set(more) - set(on)
            if len(extra) == 1 and set(on) <= set(more):
                yield alone, beside, extra.pop()
