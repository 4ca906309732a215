"""The one order that follows from the state of a drum."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from calc_engine.bench.choosing import (
    MOST_LISTED,
    PartsSolution,
    Prefer,
    changed_parts,
    choice_advice,
    choice_cautions,
    choice_working,
    fit_words,
    search_cautions,
)
from calc_engine.bench.drum import Compared, PackNow
from calc_engine.bench.pack_readings import uneven_words
from calc_engine.bench.trials import DrumPack, DrumPlace, Trial, now_fitted
from calc_engine.declare.fields import Option
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.phrases import listed
from calc_engine.selection import choice as selection

__all__ = ["ORDERS", "Order", "next_order"]

ORDERS: Final = (
    Option("reseat", "seat it again"),
    Option("check-part", "check the part"),
    Option("measure", "measure"),
    Option("fit", "change parts"),
    Option("cannot", "not with this kit"),
    Option("stay", "leave it as it is"),
)
"""What may be to do next, with its words."""


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be done next.

    Attributes:
        name: one of `ORDERS`.
        advice: the order in words, and why.
        fields: the outputs that belong to it, by name.
        working: of a choice of parts.
        cautions: likewise.
    """

    name: str
    advice: str
    fields: dict[str, Any] = field(default_factory=dict)
    working: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


def next_order(
    packs: Sequence[DrumPack],
    places: Sequence[DrumPlace],
    last: Trial,
    now: Sequence[PackNow],
    compared: Sequence[Compared],
    prefer: Prefer,
    units: AnswerUnits,
) -> Order:
    """The first order that holds. Parts are chosen only when every pack was read, evenly and without disagreement.

    Args:
        packs: of the drum, lengths in mm.
        places: of the drum.
        last: what is fitted now.
        now: what is known of each pack that was read.
        compared: readings held against each other.
        prefer: what makes a choice better, as in `selection.choose`.
        units: for the figures.
    """
    uneven = [found for found in now if found.newest.read.even is False]
    if uneven:
        return _reseat(uneven, units)
    doubted = [pair for pair in compared if not pair.found.agrees]
    if doubted:
        return _check(doubted, units)
    read = {found.pack.name for found in now}
    unread = [pack.name for pack in packs if pack.name not in read]
    if unread:
        return _read_first(unread)
    bench = _Bench(now, now_fitted(places, last), prefer, units)
    if any(found.verdict != "in" for found in now):
        return bench.bring_in()
    stale = [found for found in now if found.stale]
    if stale:
        return _measure(stale, units)
    unsure = [found for found in now if not found.certain]
    return (bench.more_room(unsure) if unsure else None) or _stay(unsure)


def _reseat(uneven: Sequence[PackNow], units: AnswerUnits) -> Order:
    names = [found.pack.name for found in uneven]
    why = (
        f"{found.pack.name}: {uneven_words(found.newest.read.spread, found.pack.spread_limit, units)}."
        for found in uneven
        if found.pack.spread_limit is not None
    )
    said = f"Seat {listed(names)} again and read {'it' if len(names) == 1 else 'them'} once more. {' '.join(why)}"
    return Order("reseat", said, {"reseat": tuple(names)})


def _check(doubted: Sequence[Compared], units: AnswerUnits) -> Order:
    names = [pair.pack.name for pair in doubted]
    several = len(doubted) > 1
    why = (f"{f'{pair.pack.name}: e' if several else 'E'}{_unexpected(pair, units)}" for pair in doubted)
    said = f"Check {listed(names)}. {' '.join(why)} Then read {'them' if several else 'it'} again."
    return Order("check-part", said, {"check": tuple(names)})


def _unexpected(pair: Compared, units: AnswerUnits) -> str:
    """The rest of a sentence that begins with an e."""
    expected, measured = units.show_apart(pair.found.expected, pair.found.measured)
    said = f"xpected {expected}, read {measured}"
    if not pair.since.steps:
        return f"{said} with the same parts: something is not home, or one of the two readings is wrong."
    parts = listed([f"the {step.place} ({step.after[0].id})" for step in pair.since.steps], "or")
    marked = any(step.after[0].measured is None for step in pair.since.steps)
    return f"{said}: {parts} is not home, or is not {'the size its mark says' if marked else 'as thick as it was measured'}."


def _read_first(unread: Sequence[str]) -> Order:
    said = f"Measure {listed(unread)}: {'it has' if len(unread) == 1 else 'they have'} not been read yet."
    return Order("measure", said, {"measure": tuple(unread)})


def _measure(stale: Sequence[PackNow], units: AnswerUnits) -> Order:
    names = [found.pack.name for found in stale]
    why = (
        f"{found.pack.name}: {units.show(found.clearance)} is only expected, changed since trial {found.newest.trial} ({found.since.words})."
        for found in stale
    )
    said = f"Measure {listed(names)}. {' '.join(why)}"
    return Order("measure", said, {"measure": tuple(names)})


def _stay(unsure: Sequence[PackNow]) -> Order:
    if not unsure:
        said = "Every pack is within its limits, and sure of it. Keep the parts that are fitted."
        return Order("stay", said)
    said = f"Every pack is within its limits, but {_doubt(unsure)}. No other choice leaves more room: keep the parts that are fitted."
    return Order("stay", said)


def _doubt(unsure: Sequence[PackNow]) -> str:
    close = [found.pack.name for found in unsure if found.newest.expanded is not None]
    unknown = [found.pack.name for found in unsure if found.newest.expanded is None]
    said = [f"{listed(close)} {'is' if len(close) == 1 else 'are'} too close to a limit to be sure"] if close else []
    said += [f"nothing here says how sure {listed(unknown)} {'is' if len(unknown) == 1 else 'are'}"] if unknown else []
    return listed(said)


class _Bench:
    """The packs and places of a drum, as the search takes them, and what it finds."""

    def __init__(
        self, now: Sequence[PackNow], places: tuple[selection.Position, ...], prefer: Prefer, units: AnswerUnits
    ) -> None:
        self.packs = tuple(
            selection.MeasuredPack(
                found.pack.name, found.clearance, found.pack.limits.min, found.pack.limits.max, found.pack.target
            )
            for found in now
        )
        self.uncertainties = [found.newest.expanded for found in now]
        self.places, self.prefer, self.units = places, prefer, units

    def bring_in(self) -> Order:
        """The best choice within every limit, or the nearest that the kit comes to it."""
        outcome = selection.choose(self.packs, self.places, self.prefer, MOST_LISTED)
        advice = choice_advice(self.packs, self.places, outcome, self.units)
        if outcome.feasible:
            return self._fit(outcome.solutions[0], advice, search_cautions(outcome))
        needs = zip(self.packs, outcome.needs, strict=True)
        return Order(
            "cannot",
            advice,
            {
                "nearest": tuple(PartsSolution.of(self.packs, self.places, found) for found in outcome.nearest),
                "needs": {pack.name: need for pack, need in needs} if outcome.infeasible else None,
            },
            *self._told(outcome.nearest[0] if outcome.nearest else None, search_cautions(outcome)),
        )

    def more_room(self, unsure: Sequence[PackNow]) -> Order | None:
        """A choice that leaves more room than the fitted parts; None when there is none."""
        better = selection.better_than_fitted(self.packs, self.places, self.prefer)
        if better is None:
            return None
        why = f"Every pack is within its limits, but {_doubt(unsure)}."
        return self._fit(better, f"{why} {fit_words(self.places, better)}", ())

    def _fit(self, found: selection.Solution, advice: str, cautions: Iterable[str]) -> Order:
        told = PartsSolution.of(self.packs, self.places, found)
        return Order(
            "fit",
            advice,
            {
                "fit": changed_parts(self.places, found),
                "clearances": told.clearances,
                "margin": told.margin,
                "changes": told.changes,
            },
            *self._told(found, cautions),
        )

    def _told(self, found: selection.Solution | None, cautions: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The working of a choice, and what to mind about it."""
        if found is None:
            return (), tuple(cautions)
        mind = choice_cautions(self.packs, self.places, self.uncertainties, found.clearances, self.units)
        return tuple(choice_working(self.packs, self.places, found, self.units)), (*cautions, *mind)
