"""What the shop's standards say, as exercises see it: parts as they are found with what to do, and decision trees."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Final

from calc_engine import Quantity, sentence
from calc_engine.practice.exercise import PageLink

__all__ = [
    "JUDGEMENTS",
    "MEASURE",
    "REPLACE",
    "USE_AGAIN",
    "Branch",
    "End",
    "Finding",
    "Measured",
    "Question",
    "Step",
    "Tree",
    "reached",
]

USE_AGAIN: Final = "use-again"
MEASURE: Final = "measure"
REPLACE: Final = "replace"
JUDGEMENTS: Final[Mapping[str, str]] = {USE_AGAIN: "Use it again", MEASURE: "Measure it", REPLACE: "Replace it"}
"""What can be done with a part that is looked at, with the words for it."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What is measured where a number decides.

    Attributes:
        what: what is measured, and how.
        low: the smallest that may stay; None for no lower limit.
        high: the largest that may stay; None for no upper limit.
        source: where the limits come from.
        gauge: what the gauge is called.
        step: the smallest step that it shows.
        error: the largest error that it may have; None where it is not known.
    """

    what: str
    low: Quantity | None
    high: Quantity | None
    source: str
    gauge: str
    step: Quantity
    error: Quantity | None


@dataclass(frozen=True, slots=True)
class Finding:
    """A part as it is found, and what the standard says of it.

    Attributes:
        id: its key in the data.
        drawing: the name of its drawing, see `finding_drawings.DRAWINGS`.
        part: what the part is.
        found: what is known beside what is seen.
        judgement: one of `JUDGEMENTS`.
        reason: why.
        says: the standard's own words.
        page: where they stand.
        measured: what is measured where a number decides; None where that is left open.
    """

    id: str
    drawing: str
    part: str
    found: str
    judgement: str
    reason: str
    says: str
    page: PageLink
    measured: Measured | None = None


@dataclass(frozen=True, slots=True)
class Branch:
    """An answer to a question of a tree, and the id of what it leads to."""

    answer: str
    to: str


@dataclass(frozen=True, slots=True)
class Question:
    """A question of a tree: what is done to answer it, what is asked, and the answers there are."""

    id: str
    check: str
    asks: str
    branches: tuple[Branch, ...]


@dataclass(frozen=True, slots=True)
class End:
    """Where a tree ends.

    Attributes:
        id: its key in the data.
        do: what to do now.
        suspect: what is to blame; None where the end does not say.
        complaints: what customers say of it.
    """

    id: str
    do: str
    suspect: str | None = None
    complaints: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """The suspect and what to do."""
        return sentence(self.do) if self.suspect is None else f"Suspect: {self.suspect}. {sentence(self.do)}"


@dataclass(frozen=True, slots=True)
class Step:
    """A question on a way through a tree, and the answer that was taken."""

    question: Question
    branch: Branch


@dataclass(frozen=True, slots=True)
class Tree:
    """A decision tree: each question is reached in one way only, an end in one or several."""

    id: str
    start: str
    questions: Mapping[str, Question]
    ends: Mapping[str, End]
    page: PageLink

    def ways(self) -> tuple[tuple[tuple[Step, ...], End], ...]:
        """Every way from the start to an end, in the order of the data."""
        found: list[tuple[tuple[Step, ...], End]] = []

        def follow(name: str, way: tuple[Step, ...]) -> None:
            if name in self.ends:
                found.append((way, self.ends[name]))
                return
            question = self.questions[name]
            for branch in question.branches:
                follow(branch.to, (*way, Step(question, branch)))

        follow(self.start, ())
        return tuple(found)

    def ways_to(self, name: str) -> tuple[tuple[Step, ...], ...]:
        """The ways from the start to a question or an end."""
        if name == self.start:
            return ((),)
        found = [way[: at + 1] for way, _ in self.ways() for at, step in enumerate(way) if step.branch.to == name]
        return tuple(dict.fromkeys(found))

    def label_of(self, name: str) -> str:
        """What a question or an end is called where one is to be chosen."""
        return self.ends[name].label if name in self.ends else f"Check: {self.questions[name].check}"


def reached(start: str, leads: Mapping[str, Collection[str]]) -> set[str]:
    """All that the start leads to, itself included.

    Args:
        start: the id of a question.
        leads: by the id of each question, those of what its answers lead to; they may lead round.
    """
    found: set[str] = set()
    waiting = [start]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += leads.get(name, ())
    return found
