"""Do findings and decision trees make sense: is everything there that they name, and does each question lead somewhere?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping

from build_hooks.markdown.passages import passage_of
from build_hooks.model import Gauge
from build_hooks.model.fields import length_or_none
from build_hooks.model.standards import Judgement
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, did_you_mean, known_names, quoted
from calc_engine import Dimension
from calc_engine.practice import reached

__all__ = ["finding_faults", "tree_faults"]

_FEWEST_ANSWERS = 2


def finding_faults(root: Node, pages: Mapping[str, str | None], gauges: Mapping[str, Gauge] | None) -> Iterator[Fault]:
    """Faults in the sense of a set of findings.

    Args:
        root: its tree.
        pages: the pages that may be named, by their paths below the docs folder, with the text of those that were read.
        gauges: the shop's by their ids; None where the shop could not be read.
    """
    findings = root.get("findings")
    if findings is not None and findings.value == {}:
        yield Fault(findings.mark, "empty", "There are no findings here.", "Write one, with drawing, part, judgement and page.")
    for finding in () if findings is None else findings.children.values():
        yield from _named_page(finding, pages)
        yield from _passage(finding, pages)
        reading = finding.get("reading")
        if reading is not None and reading.is_mapping:
            yield from _reading(finding, reading, gauges)


def _named_page(thing: Node, pages: Mapping[str, str | None]) -> Iterator[Fault]:
    page = thing.get("page")
    if page is not None and page.text is not None and page.text not in pages:
        remedy = did_you_mean(page.text, pages) or "Write its path below the docs folder, for example standards/seals.md."
        yield Fault(page.mark, "unknown-page", f"There is no page {quoted(page.text)}.", remedy)


def _passage(finding: Node, pages: Mapping[str, str | None]) -> Iterator[Fault]:
    says, page = finding.get("says"), finding.text_of("page")
    text = pages.get(page or "")
    if says is not None and says.text and text is not None and passage_of(text, says.text) is None:
        message = f"The page {quoted(page or '')} does not say this."
        yield Fault(says.mark, "no-passage", message, "Copy its words in their order, out of one section.")


def _reading(finding: Node, reading: Node, gauges: Mapping[str, Gauge] | None) -> Iterator[Fault]:
    judgement = finding.text_of("judgement")
    if judgement in set(Judgement) - {Judgement.MEASURE}:
        message = f"Nothing is measured where the judgement is {quoted(judgement or '')}."
        yield Fault(finding.keys["reading"], "unused-key", message, "Take it out, or write judgement: measure.")
    low, high = reading.get("min"), reading.get("max")
    if low is None and high is None:
        yield Fault(reading.mark, "no-limits", "This reading has no limit.", "Add min, max, or both.")
    least, most = (None if end is None else length_or_none(end.plain()) for end in (low, high))
    if low is not None and least is not None and most is not None and least.base >= most.base:
        yield Fault(low.mark, "crossed-limits", "The smallest is not below the largest.", "Check which is which.")
    named = reading.get("gauge")
    if named is None or named.text is None or gauges is None:
        return
    gauge = gauges.get(named.text)
    if gauge is None:
        remedy = known_names(named.text, gauges, "gauge")
        yield Fault(named.mark, "unknown-reference", f"There is no gauge {quoted(named.text)}.", remedy)
    elif gauge.resolution is None or gauge.resolution.unit.dimension is not Dimension.LENGTH:
        message = f"{quoted(named.text)} has no steps of a length to read."
        yield Fault(named.mark, "unfit-gauge", message, "Name a gauge with a resolution in mm or in.")
    elif any(end is not None and end.unit is not gauge.resolution.unit for end in (least, most)):
        message = f"{quoted(named.text)} reads to {gauge.resolution}, and a limit is in another unit."
        yield Fault(named.mark, "unfit-gauge", message, "Name a gauge that reads in the unit of the limits.")


def tree_faults(name: str, root: Node, pages: Mapping[str, str | None], shown_on: Collection[str]) -> Iterator[Fault]:
    """Faults in the sense of a decision tree.

    Args:
        name: its id.
        root: its tree.
        pages: the pages that may be named, by their paths below the docs folder.
        shown_on: the pages that show it.
    """
    yield from _named_page(root, pages)
    page = root.get("page")
    if page is not None and page.text in pages and page.text not in shown_on:
        remedy = f"Write a tree block there: tree: {name}."
        yield Fault(page.mark, "not-shown", f"The page {quoted(page.text or '')} does not show this tree.", remedy)
    questions, ends = ({} if node is None else node.children for node in (root.get("questions"), root.get("ends")))
    for end in ends.values():
        yield from _named_page(end, pages)
    for twice in questions.keys() & ends.keys():
        mark = root.children["ends"].keys[twice]
        yield Fault(mark, "duplicate-id", f"A question is called {quoted(twice)} too.", "Give each its own id.")
    yield from _references(root, questions, ends)
    if not questions.keys() & ends.keys():
        yield from _ways(root, questions, ends)


def _references(root: Node, questions: Mapping[str, Node], ends: Mapping[str, Node]) -> Iterator[Fault]:
    start = root.get("start")
    if start is not None and start.text is not None and start.text not in questions:
        remedy = known_names(start.text, questions, "question")
        yield Fault(start.mark, "unknown-reference", f"There is no question {quoted(start.text)}.", remedy)
    for question in questions.values():
        answers = question.get("answers")
        if answers is not None and isinstance(answers.value, tuple) and len(answers.items) < _FEWEST_ANSWERS:
            remedy = "Write at least two, or take the question out."
            yield Fault(answers.mark, "too-few-choices", "This question leaves nothing to choose.", remedy)
        for answer in () if answers is None else answers.items:
            to = answer.get("leads_to")
            if to is not None and to.text is not None and to.text not in questions and to.text not in ends:
                remedy = known_names(to.text, {**questions, **ends}, "question")
                yield Fault(to.mark, "unknown-reference", f"There is no question and no end {quoted(to.text)}.", remedy)


def _leads(question: Node) -> list[tuple[str, Node]]:
    """What the answers to a question lead to, with where that is written."""
    answers = question.get("answers")
    found = [answer.get("leads_to") for answer in (() if answers is None else answers.items)]
    return [(to.text, to) for to in found if to is not None and to.text is not None]


def _ways(root: Node, questions: Mapping[str, Node], ends: Mapping[str, Node]) -> Iterator[Fault]:
    """Questions that are reached in several ways, so that nobody could tell by which; and what is reached in none."""
    start = root.text_of("start")
    led = Counter([start]) if start is not None else Counter()
    for question in questions.values():
        for name, to in _leads(question):
            led[name] += 1
            if name in questions and led[name] > 1:
                message = f"The question {quoted(name)} is reached in another way already."
                yield Fault(to.mark, "reached-twice", message, "Let one answer lead to each question; an end may have several.")
    leads = {name: [to for to, _ in _leads(question)] for name, question in questions.items()}
    if start not in questions or set().union(*leads.values()) - questions.keys() - ends.keys():
        return
    there = reached(str(start), leads)
    for key, things in (("questions", questions), ("ends", ends)):
        for name in things:
            if name not in there:
                message = f"Nothing leads to {quoted(name)}."
                yield Fault(root.children[key].keys[name], "unreached", message, "Let an answer lead to it, or take it out.")
