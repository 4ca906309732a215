"""which-element: which clutch, brake or one-way explains what each gear does on the road."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from calc_engine.bench.choosing import twice
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Option, choice, flag, group, prose, text
from calc_engine.declare.partly import entries_read
from calc_engine.gears.elements import MOST_ELEMENTS, AppliedIn, unknown_elements
from calc_engine.gears.suspects import Outcome, Suspect, one_ways_apart, outside, splits_best, suspects, told
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.phrases import listed

__all__ = ["WHICH_ELEMENT", "WhichElement", "WhichElementResult", "which_element"]

_MOST_GEARS: Final = 40
_MOST_SUSPECTS: Final = 1000
_NOT_TRIED: Final = "not-tried"
_OUTCOMES: Final[Mapping[str, Outcome]] = {
    "works": "works", "slips": "fails", "flares": "fails", "no-drive": "fails", "binds": "binds",
}  # fmt: skip
_FAULTS: Final = {"does-not-hold": "does not hold", "does-not-let-go": "does not let go"}


@dataclass(frozen=True, slots=True)
class KindOfElement:
    """A clutch, a brake or a one-way element."""

    name: str = text("Name", "By which the gears call it.", role="identity")
    kind: str = choice(
        "Kind", "A one-way element holds one way only.", {"clutch": "clutch", "brake": "brake", "one-way": "one-way"}
    )


@dataclass(frozen=True, slots=True)
class SeenInGear:
    """What a gear does."""

    gear: str = text("Gear", "As it is called above.", role="identity")
    what: str = choice(
        "What it does",
        "Slips: the engine runs up under load. Flares: it runs up while shifting into this gear; counts as slips.",
        # A row that was added and not touched says nothing.
        (
            Option(_NOT_TRIED, "not tried"),
            Option("works", "works"),
            Option("slips", "slips"),
            Option("flares", "flares into it"),
            Option("no-drive", "no drive"),
            Option("binds", "binds"),
        ),
    )


@dataclass(frozen=True, slots=True)
class WhichElement:
    """The inputs of which-element."""

    elements: tuple[KindOfElement, ...] = group(
        KindOfElement, "Clutches and brakes", "Every element of the chart.", many=((1, MOST_ELEMENTS),), item_label="Element {n}"
    )
    gears: tuple[AppliedIn, ...] = group(
        AppliedIn, "Gears", "What is on in each gear.", many=((1, _MOST_GEARS),), item_label="Gear {n}"
    )
    seen: tuple[SeenInGear, ...] = group(
        SeenInGear,
        "Road test",
        "What each gear does. One that is left out was not tried.",
        many=((0, _MOST_GEARS),),
        item_label="Seen {n}",
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields, so far as those that are right themselves let it be seen."""
        elements, gears, seen = (
            entries_read(self.elements, KindOfElement),
            entries_read(self.gears, AppliedIn),
            entries_read(self.seen, SeenInGear),
        )
        yield from twice([each.name for each in elements], "elements")
        yield from twice([each.name for each in gears], "gears")
        if len(elements) == len(self.elements):
            yield from unknown_elements(gears, [each.name for each in elements], "gears")
        if len(gears) == len(self.gears):
            yield from _wrong_gears(seen, [each.name for each in gears])


def _wrong_gears(seen: Sequence[SeenInGear], known: Sequence[str]) -> Iterator[Problem]:
    for index, each in enumerate(seen):
        place = f"seen.{index}.gear"
        if each.gear not in known:
            yield Problem(place, "unknown-gear", f"There is no gear “{each.gear}”.", f"Name one of: {', '.join(known)}.")
        elif each.gear in [other.gear for other in seen[:index]]:
            yield Problem(place, "duplicate-id", f"“{each.gear}” appears twice.", "Say once what each gear does.")


@dataclass(frozen=True, slots=True)
class SuspectFound:
    """An element, or two together, that may be to blame."""

    elements: tuple[str, ...] = text("Elements", "One, or two together.", many=((1, 2),), role="leads to")
    fault: str = choice("Fault", "What would be wrong with it.", _FAULTS)
    explains: tuple[str, ...] = text("Explains", "The gears that do what they would do then.", many=((0, _MOST_GEARS),))
    against: tuple[str, ...] = text("Against it", "The gears that do otherwise.", many=((0, _MOST_GEARS),))
    reason: str = prose("Why", "The tried gears that it is on in and off in, and what they do.")


@dataclass(frozen=True, slots=True)
class WhichElementResult:
    """The outputs of which-element."""

    advice: str = text("Advice", "What it comes to, and where to look first.", role="advice")
    outside: bool = flag(
        "Look outside first", "Every gear tried that drives fails: fluid, pump, pressure and converter come before any element."
    )
    try_next: str | None = text("Try next", "The untried gear that tells most of the suspects apart.", optional=True)
    suspects: tuple[SuspectFound, ...] = group(
        SuspectFound,
        "Suspects",
        "Those with nothing against them first, single ones before pairs, then by how much they explain.",
        many=((0, _MOST_SUSPECTS),),
    )
    tell_apart: tuple[str, ...] | None = prose(
        "One-way or not",
        "How engine braking tells a one-way element from the clutch or brake that does its work in another gear.",
        many=((1, _MOST_SUSPECTS),),
        optional=True,
    )


def which_element(request: WhichElement, _units: AnswerUnits) -> Answer[WhichElementResult]:
    """Which element explains what was seen on the road.

    An element that does not hold: every tried gear that it is on in slips or has no drive, and every other works. One that does not let
    go: every tried gear that it is off in binds, and every one that it is on in works.

    Args:
        request: the elements, what is on in each gear, and what each gear does.

    Returns:
        The suspects in order, whether to look outside first, and the gear to try next.

    Source: sets of gears held against each other; common practice, no source.

    Example:
        >>> from calc_engine import answer
        >>> elements = [{"name": name, "kind": "clutch"} for name in ("A", "B")]
        >>> gears = [{"name": "1", "on": ["A"]}, {"name": "2", "on": ["A", "B"]}]
        >>> seen = [{"gear": "1", "what": "works"}, {"gear": "2", "what": "slips"}]
        >>> answer("which-element", {"elements": elements, "gears": gears, "seen": seen})["result"]["suspects"][0]["reason"]
        'on in 2, which fails; off in 1, which works'
    """
    chart = {gear.name: gear.on for gear in request.gears}
    seen = {each.gear: _OUTCOMES[each.what] for each in request.seen if each.what != _NOT_TRIED}
    named = suspects([each.name for each in request.elements], chart, seen)
    is_outside = outside(chart, seen)
    one_way = [each.name for each in request.elements if each.kind == "one-way"]
    next_gear = splits_best(named, chart, seen)
    result = WhichElementResult(
        advice=_advice(named, seen, next_gear, is_outside=is_outside),
        outside=is_outside,
        try_next=next_gear,
        suspects=tuple(
            SuspectFound(
                elements=each.elements,
                fault=each.fault,
                explains=each.explains,
                against=each.against,
                reason=told(each, chart, seen),
            )
            for each in named
        ),
        tell_apart=tuple(one_ways_apart(named, one_way, chart)) or None,
    )
    return Answer(result, tuple(_working(request, named, chart, seen)))


def _advice(named: Sequence[Suspect], seen: Mapping[str, Outcome], next_gear: str | None, *, is_outside: bool) -> str:
    said = []
    clear = [each for each in named if not each.against]
    if not seen:
        said.append("No gear was tried.")
    elif all(outcome == "works" for outcome in seen.values()):
        said.append("Every gear tried works.")
    if is_outside:
        said.append("Every gear tried that drives fails: look at fluid, pump, pressure and converter before any element.")
    if clear:
        said.append(f"It fits that {_either(clear)}.")
    elif named:
        gears = named[0].against
        said.append(f"No element fits all that was seen. Nearest: {_either(named[:1])}, but {_speaks(gears)} against it.")
    if next_gear is not None:
        said.append(f"Try {next_gear} next: it tells most of them apart.")
    return " ".join(said)


def _either(named: Sequence[Suspect]) -> str:
    first = [each for each in named if len(each.elements) == len(named[0].elements)]
    return listed([f"{listed(each.elements)} {_plural(each)}" for each in first], "or that")


def _speaks(gears: Sequence[str]) -> str:
    return f"{listed(gears)} {'speaks' if len(gears) == 1 else 'speak'}"


def _plural(suspect: Suspect) -> str:
    words = _FAULTS[suspect.fault]
    return words if len(suspect.elements) == 1 else words.replace("does", "do")


def _working(
    request: WhichElement, named: Sequence[Suspect], chart: Mapping[str, Sequence[str]], seen: Mapping[str, Outcome]
) -> Iterator[str]:
    yield "seen: " + (", ".join(f"{each.gear} {each.what}" for each in request.seen if each.gear in seen) or "nothing")
    for each in named:
        yield f"{listed(each.elements)}, {_FAULTS[each.fault]}: {told(each, chart, seen)}"
    blamed = {element for each in named for element in each.elements}
    for element in request.elements:
        if seen and element.name not in blamed:
            yield f"{element.name}: nothing that was seen points to it"


_EXAMPLE: Final = {
    "elements": [
        {"name": "low one-way", "kind": "one-way"},
        {"name": "low brake", "kind": "brake"},
        {"name": "high clutch", "kind": "clutch"},
        {"name": "sun clutch", "kind": "clutch"},
        {"name": "carrier clutch", "kind": "clutch"},
        {"name": "sun brake", "kind": "brake"},
        {"name": "reverse brake", "kind": "brake"},
    ],
    "gears": [
        {"name": "1", "on": ["low one-way", "sun clutch", "carrier clutch"]},
        {"name": "1 held", "on": ["low one-way", "low brake", "sun clutch", "carrier clutch"]},
        {"name": "2", "on": ["low one-way", "carrier clutch", "sun brake"]},
        {"name": "3", "on": ["high clutch", "sun clutch", "carrier clutch"]},
        {"name": "4", "on": ["high clutch", "carrier clutch", "sun brake"]},
        {"name": "R", "on": ["low brake", "sun clutch", "reverse brake"]},
    ],
    "seen": [
        {"gear": "1", "what": "not-tried"},
        {"gear": "2", "what": "slips"},
        {"gear": "3", "what": "works"},
        {"gear": "R", "what": "works"},
    ],
}

WHICH_ELEMENT: Final = Calculation(
    name="which-element",
    title="Which element to suspect",
    about="From the chart of gears and a road test: which clutch, brake or one-way element may be to blame, and which gear to try next.",
    asked_as=(
        "which clutch failed",
        "which clutch is burnt by gear",
        "suspect by gears",
        "two gears slip same clutch",
        "work out the bad clutch",
        "diagnosis from the chart",
        "clutch finder",
        "no second no fourth",
        "lost third and reverse which clutch",
        "qué embrague falla",
    ),
    request=WhichElement,
    result=WhichElementResult,
    compute=which_element,
    formulas=(
        r"\text{does not hold: } \{\text{gears that slip}\} = \{\text{gears that it is on in}\}",
        r"\text{does not let go: } \{\text{gears that bind}\} = \{\text{gears that it is off in}\}",
    ),
    sources=(Source("Sets of gears held against each other", "", "common practice, no source"),),
    example=_EXAMPLE,
    subject="unit",
)
