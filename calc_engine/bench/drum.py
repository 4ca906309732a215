"""A drum as its trials leave it: what is known of each pack now, and whether the readings agree."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from calc_engine.bench.judging import judged_lines, uncertainty_lines
from calc_engine.bench.pack_readings import PackClearanceRead, PackReadings, clearance_lines, read_pack, reading_cautions
from calc_engine.bench.trials import Agreement, Change, DrumPack, DrumPlace, Trial, agreement, change
from calc_engine.bench.verdict import Verdict, is_certain, judge
from calc_engine.maths.statistics import Uncertainty
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import moved, uncertain
from calc_engine.quantities.phrases import uncapitalised

__all__ = [
    "Compared",
    "PackNow",
    "ReadInTrial",
    "compared_lines",
    "newest_readings",
    "pack_cautions",
    "pack_lines",
    "packs_compared",
    "packs_now",
]


@dataclass(frozen=True, slots=True)
class ReadInTrial:
    """What one trial read of a pack.

    Attributes:
        trial: its number, from 1.
        readings: as they were given.
        read: what they come to.
        unsure: how sure that is; None when nothing is known of it.
    """

    trial: int
    readings: PackReadings
    read: PackClearanceRead
    unsure: Uncertainty | None

    @property
    def expanded(self) -> Fraction | None:
        """The expanded uncertainty, mm; None when nothing is known of it."""
        return uncertain(self.unsure.expanded) if self.unsure else None


@dataclass(frozen=True, slots=True)
class PackNow:
    """What is known of a pack with the parts that are fitted now.

    Attributes:
        pack: its spec.
        newest: the newest trial that read it.
        since: what was changed since then.
        clearance: read, or expected from what was read and changed, mm.
        verdict: whether it is within its limits; exact.
    """

    pack: DrumPack
    newest: ReadInTrial
    since: Change
    clearance: Fraction
    verdict: Verdict

    @property
    def stale(self) -> bool:
        """Whether the clearance is expected, and not read."""
        return bool(self.since.steps)

    @property
    def certain(self) -> bool:
        """Whether the verdict holds whatever the uncertainty; never of what is only expected."""
        expanded = self.newest.expanded
        return not self.stale and expanded is not None and is_certain(self.clearance, expanded, self.pack.limits)


@dataclass(frozen=True, slots=True)
class Compared:
    """The newest reading of a pack, held against the one before."""

    pack: DrumPack
    earlier: ReadInTrial
    later: ReadInTrial
    since: Change
    found: Agreement


def newest_readings(packs: Sequence[DrumPack], trials: Sequence[Trial], units: AnswerUnits) -> dict[str, tuple[ReadInTrial, ...]]:
    """The newest reading of each pack and the one before, newest first; a pack that was never read has none.

    Args:
        packs: of the drum.
        trials: oldest first, at least one.
        units: for the working.

    Returns:
        Up to two readings, by the pack's name.
    """
    return {pack.name: tuple(_newest(pack, trials, units)) for pack in packs}


def _newest(pack: DrumPack, trials: Sequence[Trial], units: AnswerUnits) -> Iterable[ReadInTrial]:
    numbers = [number for number, trial in enumerate(trials, 1) if pack.name in (trial.readings or {})]
    for number in reversed(numbers[-2:]):
        readings = (trials[number - 1].readings or {})[pack.name]
        read = read_pack(readings, pack, units)
        yield ReadInTrial(number, readings, read, read.uncertainty)


def packs_now(
    packs: Sequence[DrumPack], places: Sequence[DrumPlace], trials: Sequence[Trial], readings: Mapping[str, Sequence[ReadInTrial]]
) -> list[PackNow]:
    """What is known of each pack, with the parts of the last trial; a pack that was never read is left out.

    c_now = c_read + sum over the places it touches of effect x (thickness now - thickness when it was read), exact.

    Args:
        packs: of the drum.
        places: of the drum.
        trials: oldest first, at least one.
        readings: the newest of each pack, from `newest_readings`.

    Source: arithmetic of thicknesses.
    """
    return [
        PackNow(pack, newest, since, clearance, judge(clearance, pack.limits))
        for pack in packs
        for newest in readings[pack.name][:1]
        for since in [change(pack.name, places, trials[newest.trial - 1], trials[-1])]
        for clearance in [moved(newest.read.clearance, since.total)]
    ]


def packs_compared(
    packs: Sequence[DrumPack], places: Sequence[DrumPlace], trials: Sequence[Trial], readings: Mapping[str, Sequence[ReadInTrial]]
) -> list[Compared]:
    """For each pack read in two trials or more, the newest reading held against the one before.

    Args:
        packs: of the drum.
        places: of the drum.
        trials: oldest first, at least one.
        readings: the newest of each pack, from `newest_readings`.
    """
    found = []
    for pack in packs:
        if len(readings[pack.name]) > 1:
            later, earlier = readings[pack.name]
            since = change(pack.name, places, trials[earlier.trial - 1], trials[later.trial - 1])
            held = agreement(earlier.read.clearance, since, later.read.clearance, (earlier.expanded, later.expanded))
            found.append(Compared(pack, earlier, later, since, held))
    return found


def pack_lines(now: PackNow, units: AnswerUnits) -> Iterable[str]:
    """The working of a pack: its newest reading, the change of parts since, the verdict.

    Args:
        now: what is known of it.
        units: for the figures.
    """
    newest, name = now.newest, now.pack.name
    lines = (
        *clearance_lines(newest.read, now.pack, units),
        *uncertainty_lines(newest.read.values, newest.read.positions.step, newest.unsure, units),
    )
    yield from (f"{name}, trial {newest.trial}: {line}" for line in lines)
    if now.stale:
        terms = now.since.applied(newest.read.clearance, units)
        yield f"{name}, changed since trial {newest.trial} ({now.since.words}): {terms} {units.equals(now.clearance)} expected"
    expanded = None if now.stale else newest.expanded
    yield from (f"{name}: {line}" for line in judged_lines(now.clearance, expanded, now.pack.limits, units))


def compared_lines(compared: Compared, units: AnswerUnits) -> Iterable[str]:
    """The working of two readings held against each other.

    Args:
        compared: what was compared.
        units: for the figures.
    """
    found, earlier, later = compared.found, compared.earlier, compared.later
    title = f"{compared.pack.name}, trial {later.trial} against trial {earlier.trial}"
    before = earlier.read.clearance
    if compared.since.steps:
        yield f"{title} ({compared.since.words}): expected {compared.since.applied(before, units)} {units.equals(found.expected)}"
    else:
        yield f"{title}: the same parts, so expected {units.show(before)} again"
    less = f"{units.number(found.measured)} − {units.number(found.expected)}"
    yield f"{title}: read {units.show(found.measured)}, difference {less} {units.equals(found.difference)}"
    roots = " + ".join(f"{units.number(expanded)}²" for expanded in (earlier.expanded, later.expanded) if expanded is not None)
    terms = [*([f"√({roots})"] if roots else []), *([units.number(found.tolerance)] if found.tolerance or not roots else [])]
    said = "they agree" if found.agrees else "they do not agree"
    yield f"{title}: allowed {' + '.join(terms)} {units.equals(found.allowed)}: {said}"


def pack_cautions(now: PackNow, compared: Compared | None, units: AnswerUnits) -> Iterable[str]:
    """What the reader must mind about a pack.

    Args:
        now: what is known of it.
        compared: its newest reading held against the one before, if there is one.
        units: for the figures.
    """
    name, newest = now.pack.name, now.newest
    for caution in reading_cautions(newest.readings, now.pack, newest.read.values, newest.expanded, units):
        yield f"{name}: {uncapitalised(caution)}"
    if compared is not None and None in {compared.earlier.expanded, compared.later.expanded}:
        yield (
            f"{name}: how sure a reading is cannot be worked out, so it counts as exact when it is compared with the other. "
            f"Fill in {newest.read.positions.fill_in}."
        )
    if now.clearance < 0:
        yield f"{name}: {units.show(now.clearance)} is expected, less than nothing: with the parts that are fitted now it is bound up."
