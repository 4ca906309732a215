"""The plain data of what the standards say: its fields declared once, and what must fit between them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from calc_engine import Problem, Quantity, fields
from calc_engine.practice.exercise import PageLink
from calc_engine.practice.finding_drawings import DRAWINGS
from calc_engine.practice.reading import twice, unknown_word
from calc_engine.practice.standards import JUDGEMENTS, MEASURE, Branch, End, Finding, Measured, Question, Tree, reached

__all__ = ["FindingsData", "TreeData", "findings_of", "tree_of"]

_MANY: Final = ((1, 500),)
_ANY: Final = ((0, 500),)


def _id() -> Any:
    return fields.text("Id", "What it is referred to by.")


@dataclass(frozen=True, slots=True)
class PlaceData:
    """A place in the manual: what it is called, and its address below the site."""

    title: str = fields.prose("Title", "What the page is called.")
    address: str = fields.prose("Address", "Where it is, below the site.")


@dataclass(frozen=True, slots=True)
class MeasuredData:
    """What is measured where a number decides."""

    what: str = fields.prose("What", "What is measured.")
    source: str = fields.prose("Source", "Where the limits come from.")
    gauge: str = fields.prose("Gauge", "What it is called.")
    step: Quantity = fields.length_as_given("Smallest division", "Of the gauge.", above="0 mm", most="10 mm")
    error: Quantity | None = fields.length_as_given("Largest error", "Of the gauge.", least="0 mm", most="10 mm", optional=True)
    low: Quantity | None = fields.length_as_given("Smallest", "The smallest that may stay.", least="0 mm", optional=True)
    high: Quantity | None = fields.length_as_given("Largest", "The largest that may stay.", above="0 mm", optional=True)

    def problems(self, field: str) -> Iterable[Problem]:
        """Limits that are missing or crossed."""
        if self.low is None and self.high is None:
            yield Problem(f"{field}.low", "missing", "There is no limit.", "Give low, high, or both.")
        if self.low is not None and self.high is not None and self.low.base >= self.high.base:
            yield Problem(f"{field}.low", "crossed-limits", "The smallest is not below the largest.", "Check which is which.")
        if any(end is not None and end.unit is not self.step.unit for end in (self.low, self.high)):
            message = "Limits and gauge are in different units: no reading is in both."
            yield Problem(f"{field}.step", "wrong-unit", message, "Give them in one unit.")


@dataclass(frozen=True, slots=True)
class FindingData:
    """A part as it is found, and what the standard says of it."""

    id: str = _id()
    drawing: str = fields.choice("Drawing", "What is seen.", {name: name for name in DRAWINGS})
    part: str = fields.prose("Part", "What the part is.")
    found: str = fields.prose("Found", "What is known beside what is seen.")
    judgement: str = fields.choice("Judgement", "What to do.", JUDGEMENTS)
    reason: str = fields.prose("Reason", "Why.")
    says: str = fields.prose("Says", "The standard's own words.")
    page: PlaceData = fields.group(PlaceData, "Page", "Where they stand.")
    measured: MeasuredData | None = fields.group(MeasuredData, "Measured", "What is measured.", optional=True)

    def problems(self, field: str) -> Iterable[Problem]:
        """A reading where no number decides."""
        if self.measured is not None and self.judgement != MEASURE:
            message = f"Nothing is measured where the judgement is “{self.judgement}”."
            yield Problem(f"{field}.measured", "not-used", message, "Take it out, or let the judgement be “measure”.")


@dataclass(frozen=True, slots=True)
class FindingsData:
    """Findings that are practised together."""

    id: str = _id()
    name: str = fields.prose("Name", "What they are called.")
    findings: tuple[FindingData, ...] = fields.group(FindingData, "Findings", "The findings.", many=_MANY)

    def problems(self, field: str) -> Iterable[Problem]:
        """Ids that appear twice."""
        yield from twice((each.id for each in self.findings if isinstance(each, FindingData)), f"{field}.findings")


@dataclass(frozen=True, slots=True)
class BranchData:
    """An answer, and the id of what it leads to."""

    answer: str = fields.prose("Answer", "The answer.")
    to: str = fields.text("To", "The id of a question or an end.")


@dataclass(frozen=True, slots=True)
class QuestionData:
    """A question of a tree."""

    id: str = _id()
    check: str = fields.prose("Check", "What is done to answer it.")
    asks: str = fields.prose("Asks", "What is asked.")
    branches: tuple[BranchData, ...] = fields.group(BranchData, "Answers", "The answers there are.", many=((2, 50),))


@dataclass(frozen=True, slots=True)
class EndData:
    """An end of a tree."""

    id: str = _id()
    do: str = fields.prose("Do", "What to do now.")
    suspect: str | None = fields.prose("Suspect", "What is to blame.", optional=True)
    complaints: tuple[str, ...] | None = fields.prose("Complaint", "What a customer says.", many=_ANY, optional=True)


@dataclass(frozen=True, slots=True)
class TreeData:
    """A decision tree."""

    id: str = _id()
    name: str = fields.prose("Name", "What it is called.")
    start: str = fields.text("Start", "The id of the first question.")
    questions: tuple[QuestionData, ...] = fields.group(QuestionData, "Questions", "Its questions.", many=_MANY)
    ends: tuple[EndData, ...] = fields.group(EndData, "Ends", "Its ends.", many=_MANY)
    page: PlaceData = fields.group(PlaceData, "Page", "Where it stands.")

    def problems(self, field: str) -> Iterable[Problem]:
        """References to what is not there, and questions that are reached in no way or in several."""
        questions = [each for each in self.questions if isinstance(each, QuestionData)]
        ends = [each for each in self.ends if isinstance(each, EndData)]
        if len(questions) < len(self.questions) or len(ends) < len(self.ends):
            return
        ids = [*(each.id for each in questions), *(each.id for each in ends)]
        doubled = list(twice(ids, f"{field}.questions"))
        yield from doubled
        yield from unknown_word(self.start, [each.id for each in questions], f"{field}.start")
        for at, question in enumerate(questions):
            for place, branch in enumerate(question.branches):
                if isinstance(branch, BranchData):
                    yield from unknown_word(branch.to, ids, f"{field}.questions.{at}.branches.{place}.to")
        if not doubled:
            yield from _unsound_ways(self.start, questions, ids, field)


def _unsound_ways(start: str, questions: Sequence[QuestionData], ids: Sequence[str], field: str) -> Iterable[Problem]:
    leads = {question.id: [each.to for each in question.branches if isinstance(each, BranchData)] for question in questions}
    led = Counter(to for several in leads.values() for to in several)
    led[start] += 1
    for at, question in enumerate(questions):
        if led[question.id] > 1:
            message = f"“{question.id}” is reached in {led[question.id]} ways."
            yield Problem(f"{field}.questions.{at}.id", "reached-twice", message, "Let one answer lead to each question.")
    there = reached(start, leads)
    for name in ids:
        if name not in there:
            yield Problem(field, "unreached", f"No answer leads to “{name}”.", "Let one lead there, or take it out.")


def _place(given: PlaceData) -> PageLink:
    return PageLink(given.title, given.address)


def findings_of(given: FindingsData) -> tuple[Finding, ...]:
    """The findings that sound data describe."""
    return tuple(
        Finding(
            id=each.id,
            drawing=each.drawing,
            part=each.part,
            found=each.found,
            judgement=each.judgement,
            reason=each.reason,
            says=each.says,
            page=_place(each.page),
            measured=_measured(each.measured) if each.measured else None,
        )
        for each in given.findings
    )


def _measured(given: MeasuredData) -> Measured:
    return Measured(given.what, given.low, given.high, given.source, given.gauge, given.step, given.error)


def tree_of(given: TreeData) -> Tree:
    """The tree that sound data describe."""
    questions = (
        Question(each.id, each.check, each.asks, tuple(Branch(branch.answer, branch.to) for branch in each.branches))
        for each in given.questions
    )
    ends = (End(each.id, each.do, each.suspect, each.complaints or ()) for each in given.ends)
    return Tree(
        id=given.id,
        start=given.start,
        questions={each.id: each for each in questions},
        ends={each.id: each for each in ends},
        page=_place(given.page),
    )
