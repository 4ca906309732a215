"""choose-parts: which size of each selective part puts every pack nearest the centre of its limits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, cast

from calc_engine.bench.choosing import (
    MOST_LISTED,
    NamedPack,
    NamedPlace,
    PartsSolution,
    Prefer,
    choice_advice,
    choice_cautions,
    choice_working,
    effect_of_part,
    kit_parts,
    missing_from_kit,
    nearest_with_kit,
    search_cautions,
    target_of_pack,
    target_outside,
    too_fine,
    twice,
    unknown_packs,
    way_to_choose,
)
from calc_engine.bench.selective import Choice, find_fitted
from calc_engine.bench.verdict import Limits
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import count, flag, group, length, number, text
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.selection import choice as selection

__all__ = ["CHOOSE_PARTS", "ChooseParts", "ChoosePartsResult", "choose_parts"]


@dataclass(frozen=True, slots=True)
class PackToSet(NamedPack):
    """A pack whose clearance is to be set."""

    clearance: Fraction = length(
        "Clearance now", "Measured with the parts fitted now.", least="0 mm", most="100 mm", role="measured"
    )
    limits: Limits = group(Limits, "Limits", "The clearance that the spec asks for.", role="limits")
    target: Fraction | None = target_of_pack()
    uncertainty: Fraction | None = length(
        "Uncertainty",
        "Plus or minus, as the pack's clearance was worked out. Warns you when a choice ends up too close to a limit.",
        least="0 mm",
        most="10 mm",
        optional=True,
        role="uncertainty",
    )

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when the target lies outside the limits."""
        yield from target_outside(self.target, self.limits, field)


@dataclass(frozen=True, slots=True)
class SelectivePosition(NamedPlace):
    """A place where a part of chosen size sits."""

    fitted: str = text("Fitted now", "The size fitted when the clearances were measured.", role="fitted")
    choices: tuple[Choice, ...] = group(
        Choice, "Sizes", "The sizes it comes in.", many=((1, 60),), item_label="Size {n}", role="sizes"
    )
    effect: dict[str, int] = effect_of_part()

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when the fitted size is not in the list, or a size appears twice."""
        yield from find_fitted(self.fitted, self.choices, f"{field}.fitted", f"{field}.choices")


@dataclass(frozen=True, slots=True)
class ChooseParts:
    """The inputs of choose-parts. Lengths in mm."""

    packs: tuple[PackToSet, ...] = group(
        PackToSet, "Packs", "Every pack that the parts touch.", many=((1, 12),), item_label="Pack {n}", role="packs"
    )
    positions: tuple[SelectivePosition, ...] = group(
        SelectivePosition, "Selective parts", "Each place with its sizes.", many=((1, 16),), item_label="Part {n}", role="places"
    )
    prefer: str | None = way_to_choose()
    top: int | None = count(
        "How many answers",
        "The best, the next best and so on. 5 when left empty.",
        most=50,
        optional=True,
        role="number of answers",
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """Says when a name appears twice or an effect names no pack."""
        yield from twice([pack.name for pack in self.packs], "packs")
        yield from twice([position.name for position in self.positions], "positions")
        yield from too_fine([_written(place, position) for place, position in enumerate(self.positions)], "positions")
        known = [pack.name for pack in self.packs]
        for index, position in enumerate(self.positions):
            yield from unknown_packs(position.effect, known, f"positions.{index}.effect")


def _written(place: int, position: SelectivePosition) -> list[tuple[str, Fraction]]:
    """The thicknesses of a place, each with the name of its field."""
    return [(f"positions.{place}.choices.{index}.thickness", size.thickness) for index, size in enumerate(position.choices)]


@dataclass(frozen=True, slots=True)
class ChoosePartsResult:
    """The outputs of choose-parts. Lengths in mm."""

    feasible: bool = flag(
        "All packs within limits",
        "Whether a choice was found that brings every pack within its limits.",
        role="verdict",
        headlines=("Set it this way", "Not with this kit"),
    )
    proved: bool = flag(
        "Proved",
        "Whether the first choice is certain to be the best. If not, there were too many choices to try, and the search was stopped.",
    )
    beatable_margin: Fraction | None = number(
        "Room left at best", "Given when the first choice is not proved best: no choice leaves more room.", optional=True
    )
    advice: str = text("Advice", "What to fit.", role="advice")
    solutions: tuple[PartsSolution, ...] = group(
        PartsSolution, "Choices, best first", "Every pack is within its limits.", many=((0, 50),), role="best first"
    )
    nearest: tuple[PartsSolution, ...] | None = nearest_with_kit()
    needs: dict[str, Fraction] | None = missing_from_kit()


def choose_parts(request: ChooseParts, units: AnswerUnits) -> Answer[ChoosePartsResult]:
    """The best sizes of selective parts, by an exact search.

    c_p = clearance_p + sum over places of effect (chosen - fitted thickness). See `selection` for the search and
    why its answer is the optimum.

    Args:
        request: packs and places, lengths in mm.
        units: for the working.

    Returns:
        Up to `top` choices, best first, with the working of the best.

    Source: arithmetic; the margin is ours; its help defines it.

    Example:
        >>> from calc_engine import answer
        >>> pack = {"name": "low", "clearance": "1.50 mm", "limits": {"min": "0.80 mm", "max": "1.20 mm"}}
        >>> sizes = [{"id": "thin", "thickness": "2.00 mm"}, {"id": "thick", "thickness": "2.50 mm"}]
        >>> ring = {"name": "ring", "fitted": "thin", "choices": sizes, "effect": {"low": -1}}
        >>> best = answer("choose-parts", {"packs": [pack], "positions": [ring]})["result"]["solutions"][0]
        >>> best["choice"], best["clearances"]
        ({'ring': 'thick'}, {'low': '1 mm'})
    """
    packs = tuple(
        selection.MeasuredPack(pack.name, pack.clearance, pack.limits.min, pack.limits.max, pack.target) for pack in request.packs
    )
    positions = tuple(_position(position) for position in request.positions)
    outcome = selection.choose(packs, positions, cast("Prefer", request.prefer or "centred"), request.top or MOST_LISTED)
    best = (outcome.solutions or outcome.nearest)[0]
    result = ChoosePartsResult(
        feasible=outcome.feasible,
        proved=outcome.proved,
        beatable_margin=outcome.beatable,
        advice=choice_advice(packs, positions, outcome, units),
        solutions=tuple(PartsSolution.of(packs, positions, found) for found in outcome.solutions),
        nearest=None if outcome.feasible else tuple(PartsSolution.of(packs, positions, found) for found in outcome.nearest),
        needs=None
        if not outcome.infeasible
        else {pack.name: need for pack, need in zip(request.packs, outcome.needs, strict=True)},
    )
    uncertainties = [pack.uncertainty for pack in request.packs]
    cautions = (*search_cautions(outcome), *choice_cautions(packs, positions, uncertainties, best.clearances, units))
    return Answer(result, tuple(choice_working(packs, positions, best, units)), cautions)


def _position(given: SelectivePosition) -> selection.Position:
    return selection.Position(given.name, given.fitted, kit_parts(given.choices), given.effect)


_EXAMPLE: Final = {
    "packs": [
        {"name": "forward", "clearance": "1.35 mm", "limits": {"min": "0.90 mm", "max": "1.40 mm"}},
        {"name": "direct", "clearance": "1.06 mm", "limits": {"min": "0.80 mm", "max": "1.20 mm"}},
    ],
    "positions": [
        {
            "name": "forward ring",
            "fitted": "one dot",
            "choices": [
                {"id": "no dot", "thickness": "1.37 mm"},
                {"id": "one dot", "thickness": "1.57 mm"},
                {"id": "two dots", "thickness": "1.78 mm"},
                {"id": "three dots", "thickness": "1.98 mm"},
            ],
            "effect": {"forward": -1},
        },
        {
            "name": "reaction plate",
            "fitted": "5.00",
            "choices": [{"id": "5.00", "thickness": "5.00 mm"}, {"id": "5.20", "thickness": "5.20 mm"}],
            "effect": {"forward": -1, "direct": -1},
        },
    ],
}

CHOOSE_PARTS: Final = Calculation(
    name="choose-parts",
    subject="packs",
    title="Choice of selective parts",
    about="Which size of every selective ring, plate and washer puts all packs that they touch nearest the centre of their limits.",
    asked_as=(
        "which ring to choose calculator",
        "best combination of rings and washers",
        "selective parts for all packs",
        "pick the sizes",
        "choose ring plate and washer together",
        "which snap ring size",
        "match the parts",
        "selective fit combination",
        "elegir seguros selectivos",
    ),
    request=ChooseParts,
    result=ChoosePartsResult,
    compute=choose_parts,
    formulas=(
        r"c_p = c_{p,\text{measured}} + \sum_j e_{jp}\,(t_{j,\text{chosen}} - t_{j,\text{fitted}})",
        r"\text{margin} = \min_p \frac{\min(c_p - c_{p,\min},\; c_{p,\max} - c_p)}{(c_{p,\max} - c_{p,\min})/2}",
    ),
    sources=(
        Source("Arithmetic of thicknesses"),
        Source(
            "The optimum is proved by the search itself",
            "",
            "held against brute force and a general solver in the tests",
        ),
    ),
    example=_EXAMPLE,
)
