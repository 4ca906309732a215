"""set-clearances: one drum from the first trial to the last, and the one order that follows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final, cast

from calc_engine.bench.choosing import (
    ID_OF_POSITION,
    LENGTH_OF_PACK,
    PartsSolution,
    Prefer,
    missing_from_kit,
    nearest_with_kit,
    too_fine,
    twice,
    unknown_packs,
    way_to_choose,
)
from calc_engine.bench.drum import compared_lines, newest_readings, pack_cautions, pack_lines, packs_compared, packs_now
from calc_engine.bench.next_order import ORDERS, next_order
from calc_engine.bench.pack_readings import PackReadings, negative_clearance, plate_past_ring, read_pack
from calc_engine.bench.selective import not_listed
from calc_engine.bench.trials import DrumPack, DrumPlace, Trial
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Declared, choice, count, flag, group, length, mapping, number, text
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, choose_units

__all__ = ["SET_CLEARANCES", "SetClearances", "SetClearancesResult", "set_clearances"]

_MOST_PACKS: Final = 12
_MOST_TRIALS: Final = 40


@dataclass(frozen=True, slots=True)
class SetClearances:
    """The inputs of set-clearances. Lengths in mm."""

    packs: tuple[DrumPack, ...] = group(
        DrumPack, "Packs", "Every pack of the drum.", many=((1, _MOST_PACKS),), item_label="Pack {n}", role="packs"
    )
    positions: tuple[DrumPlace, ...] = group(
        DrumPlace, "Selective parts", "Each place with its sizes.", many=((1, 16),), item_label="Part {n}", role="places"
    )
    trials: tuple[Trial, ...] = group(
        Trial,
        "Trials",
        "What was fitted and read, the first trial first. Begin a new one whenever a part is changed.",
        many=((1, _MOST_TRIALS),),
        item_label="Trial {n}",
        role="trials",
    )
    prefer: str | None = way_to_choose()

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        packs, places = [pack.name for pack in self.packs], [place.name for place in self.positions]
        yield from twice(packs, "packs")
        yield from twice(places, "positions")
        for index, place in enumerate(self.positions):
            yield from unknown_packs(place.effect, packs, f"positions.{index}.effect")
        for index, trial in enumerate(self.trials):
            yield from _wrong_fitted(trial, self.positions, f"trials.{index}.fitted")
            yield from unknown_packs(trial.readings or (), packs, f"trials.{index}.readings")
        yield from too_fine([_written(place, index, self.trials) for index, place in enumerate(self.positions)], "positions")
        known = {pack.name: pack for pack in self.packs}
        for index, trial in enumerate(self.trials):
            for name, readings in (trial.readings or {}).items():
                if name in known:
                    yield from _below_nothing(known[name], readings, f"trials.{index}.readings.{name}")


def _wrong_fitted(trial: Trial, places: Sequence[DrumPlace], field: str) -> Iterable[Problem]:
    """Each place of which nothing is said, each that there is not, and each part that does not come in sizes of its place."""
    known = {place.name: place for place in places}
    for name in known:
        if name not in trial.fitted:
            yield Problem(
                f"{field}.{name}",
                "missing",
                f"Nothing is said of “{name}”.",
                "Name the part in every place, also where it has not changed.",
            )
    for name, part in trial.fitted.items():
        if name in known:
            yield from not_listed(part.id, known[name].choices, f"{field}.{name}.id")
        else:
            yield Problem(
                f"{field}.{name}", "unknown-position", f"There is no place “{name}”.", f"Name one of: {', '.join(known)}."
            )


def _written(place: DrumPlace, index: int, trials: Sequence[Trial]) -> list[tuple[str, Fraction]]:
    """The thicknesses that a place may have, each with the name of its field."""
    kit = [(f"positions.{index}.choices.{at}.thickness", size.thickness) for at, size in enumerate(place.choices)]
    parts = ((f"trials.{at}.fitted.{place.name}.measured", trial.fitted.get(place.name)) for at, trial in enumerate(trials))
    return kit + [(path, part.measured) for path, part in parts if part is not None and part.measured is not None]


def _below_nothing(pack: DrumPack, readings: PackReadings, field: str) -> Iterable[Problem]:
    """Says when readings come to less than no clearance."""
    past = tuple(plate_past_ring(readings, pack, f"{field}."))
    yield from past
    # Lifts, leaves and depths that leave less than nothing are refused one by one; only these two can do it together.
    together = readings.method == "parts" or pack.correction < 0
    # What the units do to the working is of no matter here.
    if together and not past and read_pack(readings, pack, choose_units((), None)).clearance < 0:
        yield negative_clearance(f"{field}.cavity" if readings.method == "parts" else field)


@dataclass(frozen=True, slots=True)
class PackState:
    """What is known of a pack now."""

    clearance: Fraction = length(
        "Clearance", "As read; where a part was changed since, what was read and the change.", role="measured"
    )
    uncertainty: Fraction | None = length(
        "Uncertainty",
        "Of the reading: the true value then lay within plus or minus this, 95.45 times in 100. Absent when nothing is known of the gauge.",
        optional=True,
        role="uncertainty",
    )
    verdict: str = choice(
        "Verdict", "Exact: a value on a limit is in.", {"in": "in", "low": "too tight", "high": "too loose"}, role="verdict"
    )
    certain: bool = flag(
        "Sure",
        "Whether the verdict holds for every true value within the uncertainty. Never of what is only expected.",
        role="certain",
    )
    even: bool | None = flag(
        "Readings even", "Whether the spread is allowed. Absent without a largest difference.", optional=True
    )
    stale: bool = flag("Only expected", "Whether a part that the pack touches was changed since it was read.")
    trial: int = count("Read in trial", "The newest trial that read it.", most=_MOST_TRIALS)


@dataclass(frozen=True, slots=True)
class AgreementOfPack:
    """The newest reading of a pack, held against the one before."""

    pack: str = text("Pack", "The pack.", role="identity")
    from_: int = count("From trial", "The earlier reading.", most=_MOST_TRIALS)
    to: int = count("To trial", "The later reading.", most=_MOST_TRIALS)
    expected: Fraction = length("Expected", "The earlier clearance and the change of parts.")
    measured: Fraction = length("Read", "The later clearance.")
    difference: Fraction = length("Difference", "Read less expected.")
    agrees: bool = flag(
        "They agree", "Whether the uncertainties of both readings and the tolerances of the parts explain the difference."
    )


@dataclass(frozen=True, slots=True)
class SetClearancesResult:
    """The outputs of set-clearances. Lengths in mm."""

    next: str = choice("Next", "The one thing to do now.", ORDERS, role="verdict")
    advice: str = text("Advice", "What to do, and why.", role="advice")
    reseat: tuple[str, ...] | None = text(
        "Seat again", "Packs whose readings are uneven.", many=((1, _MOST_PACKS),), optional=True
    )
    check: tuple[str, ...] | None = text(
        "Check the parts of", "Packs whose two readings do not agree.", many=((1, _MOST_PACKS),), optional=True
    )
    measure: tuple[str, ...] | None = text("Measure", "Packs to be read.", many=((1, _MOST_PACKS),), optional=True)
    fit: dict[str, str] | None = mapping("Fit", "The part for each place that changes.", of=ID_OF_POSITION, optional=True)
    clearances: dict[str, Fraction] | None = mapping(
        "Clearances then", "What each pack is expected to have with these parts.", of=LENGTH_OF_PACK, optional=True
    )
    margin: Fraction | None = number(
        "Room left", "Of the tightest pack: 1 at the centre of its limits (or at its target), 0 on a limit.", optional=True
    )
    changes: int | None = count("Parts changed", "How many parts change size.", least=0, optional=True)
    nearest: tuple[PartsSolution, ...] | None = nearest_with_kit("best first")
    needs: dict[str, Fraction] | None = missing_from_kit()
    packs: dict[str, PackState] = mapping(
        "Packs now",
        "What is known of each pack that was read.",
        of=Declared("group", "Pack", "What is known of it.", shape=PackState),
        entry_labels=("Pack", "What is known"),
        names=(0, _MOST_PACKS),
        role="packs",
    )
    agreement: tuple[AgreementOfPack, ...] = group(
        AgreementOfPack,
        "Readings held against each other",
        "For each pack read in two trials, the newest reading against the one before.",
        many=((0, _MOST_PACKS),),
    )


def set_clearances(request: SetClearances, units: AnswerUnits) -> Answer[SetClearancesResult]:
    """What is known of every pack of a drum after some trials, and the one order that follows.

    Orders, the first that holds: seat a pack again whose newest reading is uneven; check the parts where two readings disagree;
    measure what was never read; fit the best choice when a clearance is outside its limits, or say that there is none; measure
    what is only expected; fit a choice that leaves more room when a pack is not certain; leave it.

    Args:
        request: packs, places and trials, lengths in mm.
        units: for the working.

    Returns:
        The state of each pack, the agreement of its readings and the order, with the working.

    Source: arithmetic of thicknesses; uncertainty by JCGM 100:2008 (see `statistics`) and guarded decision by ISO 14253-1:2017
    (see `verdict`); the order of the orders is common practice, no source.

    Example:
        >>> from calc_engine import answer
        >>> pack = {"name": "low", "limits": {"min": "0.80 mm", "max": "1.20 mm"}, "gauge": {"resolution": "0.01 mm"}}
        >>> sizes = [{"id": "thin", "thickness": "2.00 mm"}, {"id": "thick", "thickness": "2.50 mm"}]
        >>> ring = {"name": "ring", "choices": sizes, "effect": {"low": -1}}
        >>> trial = {"fitted": {"ring": {"id": "thin"}}, "readings": {"low": {"method": "dial", "lifts": ["1.50 mm", "1.52 mm"]}}}
        >>> result = answer("set-clearances", {"packs": [pack], "positions": [ring], "trials": [trial]})["result"]
        >>> result["packs"]["low"]["verdict"], result["next"], result["fit"], result["clearances"]
        ('high', 'fit', {'ring': 'thick'}, {'low': '1.01 mm'})
    """
    readings = newest_readings(request.packs, request.trials, units)
    now = packs_now(request.packs, request.positions, request.trials, readings)
    compared = packs_compared(request.packs, request.positions, request.trials, readings)
    order = next_order(
        request.packs, request.positions, request.trials[-1], now, compared, cast("Prefer", request.prefer or "centred"), units
    )
    result = SetClearancesResult(
        **order.fields,
        next=order.name,
        advice=order.advice,
        packs={
            found.pack.name: PackState(
                clearance=found.clearance,
                uncertainty=found.newest.expanded,
                verdict=found.verdict,
                certain=found.certain,
                even=found.newest.read.even,
                stale=found.stale,
                trial=found.newest.trial,
            )
            for found in now
        },
        agreement=tuple(
            AgreementOfPack(
                pack=pair.pack.name,
                from_=pair.earlier.trial,
                to=pair.later.trial,
                expected=pair.found.expected,
                measured=pair.found.measured,
                difference=pair.found.difference,
                agrees=pair.found.agrees,
            )
            for pair in compared
        ),
    )
    of_pack = {pair.pack.name: pair for pair in compared}
    working = (
        *(line for found in now for line in pack_lines(found, units)),
        *(line for pair in compared for line in compared_lines(pair, units)),
        *order.working,
    )
    cautions = (
        *(caution for found in now for caution in pack_cautions(found, of_pack.get(found.pack.name), units)),
        *order.cautions,
    )
    return Answer(result, working, cautions)


_DIAL: Final = {"resolution": "0.01 mm", "max_error": "0.02 mm"}


def _dial(*lifts: str) -> Mapping[str, Any]:
    return {"method": "dial", "lifts": [f"{lift} mm" for lift in lifts]}


_EXAMPLE: Final = {
    "packs": [
        {"name": "forward", "limits": {"min": "0.90 mm", "max": "1.40 mm"}, "spread_limit": "0.15 mm", "gauge": _DIAL},
        {"name": "direct", "limits": {"min": "0.80 mm", "max": "1.20 mm"}, "spread_limit": "0.15 mm", "gauge": _DIAL},
    ],
    "positions": [
        {
            "name": "forward ring",
            "choices": [
                {"id": "no dot", "thickness": "1.37 mm", "tolerance": "0.02 mm"},
                {"id": "one dot", "thickness": "1.57 mm", "tolerance": "0.02 mm"},
                {"id": "two dots", "thickness": "1.78 mm", "tolerance": "0.02 mm"},
            ],
            "effect": {"forward": -1},
        },
        {
            "name": "reaction plate",
            "choices": [{"id": "5.00", "thickness": "5.00 mm"}, {"id": "5.20", "thickness": "5.20 mm"}],
            "effect": {"forward": -1, "direct": -1},
        },
    ],
    "trials": [
        {
            "fitted": {"forward ring": {"id": "one dot"}, "reaction plate": {"id": "5.00", "measured": "5.01 mm"}},
            "readings": {
                "forward": _dial("1.46", "1.49", "1.47", "1.50"),
                "direct": {
                    "method": "depth",
                    "to_plate": ["24.86 mm", "24.88 mm", "24.85 mm", "24.89 mm"],
                    "to_ring": ["23.56 mm", "23.57 mm", "23.56 mm", "23.59 mm"],
                },
            },
        },
        {
            "fitted": {"forward ring": {"id": "one dot"}, "reaction plate": {"id": "5.20", "measured": "5.21 mm"}},
            "readings": {"forward": _dial("1.27", "1.29", "1.26", "1.28")},
        },
    ],
}

SET_CLEARANCES: Final = Calculation(
    name="set-clearances",
    title="Clearances of a drum, trial by trial",
    about="What is fitted, what was read with it, and the one thing to do next for all packs of a drum together.",
    asked_as=(
        "one form for all packs",
        "set the whole drum",
        "next trial",
        "parts changed as ordered",
        "trial and error of a drum",
        "drum with shared plate",
        "all the packs together",
        "what do I change next in the drum",
        "what to do next form",
    ),
    request=SetClearances,
    result=SetClearancesResult,
    compute=set_clearances,
    formulas=(
        r"c_p = c_{p,\text{read}} + \sum_j e_{jp}\,(t_{j,\text{now}} - t_{j,\text{then}})",
        r"\left|c_{p,2} - \left(c_{p,1} + \sum_j e_{jp}\,(t_{j,2} - t_{j,1})\right)\right| \le \sqrt{U_1^2 + U_2^2} + \sum_j T_j",
        r"\text{margin} = \min_p \frac{\min(c_p - c_{p,\min},\; c_{p,\max} - c_p)}{(c_{p,\max} - c_{p,\min})/2}",
    ),
    sources=(
        Source("Arithmetic of thicknesses"),
        Source(
            "JCGM 100:2008, Guide to the expression of uncertainty in measurement",
            "5.1.2",
            "the uncertainty of a difference; tolerances of parts that were not measured are added in full",
        ),
        Source(
            "ISO 14253-1:2017", "decision rules", "the limits are judged exactly; what is only expected is never called certain"
        ),
        Source("What is done first", "", "common practice, no source"),
    ),
    example=_EXAMPLE,
    subject="drum",
)
