"""choose-parts: which size of each selective part puts every pack nearest the centre of its limits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm
from typing import Final, Literal, cast

from calc_engine.bench.selective import Choice, find_fitted
from calc_engine.bench.verdict import Limits, judge
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Declared, choice, count, flag, group, length, mapping, number, text
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, plain
from calc_engine.quantities.units import Dimension
from calc_engine.selection import choice as selection

__all__ = ["CHOOSE_PARTS", "ChooseParts", "ChoosePartsResult", "choose_parts"]

_LENGTH_OF_PACK: Final = Declared("amount", "", "", Dimension.LENGTH)
# Finer than any gauge: see `_too_fine`.
_FINEST_MM: Final = Fraction(1, 1_000_000)
_MOST_STEPS: Final = 4_000_000
_ID_OF_POSITION: Final = Declared("text", "", "")


@dataclass(frozen=True, slots=True)
class PackToSet:
    """A pack whose clearance is to be set."""

    name: str = text("Pack", "What the pack is called.", role="identity")
    clearance: Fraction = length(
        "Clearance now", "Measured with the parts fitted now.", least="0 mm", most="100 mm", role="measured"
    )
    limits: Limits = group(Limits, "Limits", "The clearance that the spec asks for.", role="limits")
    target: Fraction | None = length(
        "Target",
        "The clearance to aim for. Leave empty for the centre of the limits.",
        least="0 mm",
        most="100 mm",
        optional=True,
        role="target",
    )
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
        if self.target is not None and not self.limits.min <= self.target <= self.limits.max:
            yield Problem(
                f"{field}.target",
                "out-of-range",
                "The target lies outside the limits.",
                "Aim within the limits, or leave the target empty.",
            )


@dataclass(frozen=True, slots=True)
class SelectivePosition:
    """A place where a part of chosen size sits."""

    name: str = text("Place", "What the selective part is called.", role="identity")
    fitted: str = text("Fitted now", "The size fitted when the clearances were measured.", role="fitted")
    choices: tuple[Choice, ...] = group(
        Choice, "Sizes", "The sizes it comes in.", many=((1, 60),), item_label="Size {n}", role="sizes"
    )
    effect: dict[str, int] = mapping(
        "Effect of a thicker part",
        "For each pack it touches: −1 tightens, 1 loosens. A part between two packs names both.",
        allowed={-1: "tightens", 1: "loosens"},
        entry_labels=("Pack", "A thicker part"),
        role="effect",
    )

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
    prefer: str | None = choice(
        "Choose by", "What makes one choice better than another. Best clearance when left empty.",
        {"centred": "Best clearance", "fewest-changes": "Fewest parts"}, optional=True,
    )  # fmt: skip
    top: int | None = count(
        "How many answers",
        "The best, the next best and so on. 5 when left empty.",
        most=50,
        optional=True,
        role="number of answers",
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """Says when a name appears twice or an effect names no pack."""
        yield from _twice([pack.name for pack in self.packs], "packs")
        yield from _twice([position.name for position in self.positions], "positions")
        yield from _too_fine(self.positions)
        known = [pack.name for pack in self.packs]
        for index, position in enumerate(self.positions):
            for name in position.effect:
                if name not in known:
                    yield Problem(
                        f"positions.{index}.effect.{name}",
                        "unknown-pack",
                        f"There is no pack “{name}”.",
                        f"Name one of: {', '.join(known)}.",
                    )


def _too_fine(positions: tuple[SelectivePosition, ...]) -> Iterable[Problem]:
    """Says when thicknesses are written so finely that no gauge could have read them.

    The search counts in the largest step that all thicknesses are multiples of. A step of a millionth of a
    millimetre is far below any gauge, and would make it count without end.
    """
    finest = False
    for place, position in enumerate(positions):
        for index, size in enumerate(position.choices):
            if (size.thickness / _FINEST_MM).denominator != 1:
                finest = True
                yield Problem(
                    f"positions.{place}.choices.{index}.thickness",
                    "too-fine",
                    "The thickness is written finer than a millionth of a millimetre.",
                    "Write it as the micrometer reads, for example 1.780 mm or 0.0701 in.",
                )
    if not finest and _steps(positions) > _MOST_STEPS:
        yield Problem(
            "positions",
            "too-fine",
            "The thicknesses together have too many decimals to be compared exactly.",
            "Write them all as the micrometer reads, for example 1.780 mm or 0.0701 in.",
        )


def _steps(positions: tuple[SelectivePosition, ...]) -> int:
    """How many steps of the common measure lie between the thinnest and the thickest choice of everything."""
    spans = []
    differences: list[Fraction] = []
    for position in positions:
        thicknesses = [size.thickness for size in position.choices]
        spans.append(max(thicknesses) - min(thicknesses))
        differences.extend(thickness - thicknesses[0] for thickness in thicknesses)
    scale = lcm(*(difference.denominator for difference in differences))
    common = gcd(*(int(difference * scale) for difference in differences)) or 1
    return int(sum(spans, Fraction(0)) * scale / common)


def _twice(names: list[str], field: str) -> Iterable[Problem]:
    counted = Counter(names)
    for index, name in enumerate(names):
        if counted[name] > 1 and name in names[:index]:
            yield Problem(f"{field}.{index}.name", "duplicate-id", f"“{name}” appears twice.", "Give each its own name.")


@dataclass(frozen=True, slots=True)
class PartsSolution:
    """One choice for every place."""

    choice: dict[str, str] = mapping("Fit", "The size for each place.", of=_ID_OF_POSITION)
    clearances: dict[str, Fraction] = mapping("Clearances", "What each pack then has.", of=_LENGTH_OF_PACK)
    margin: Fraction = number(
        "Room left", "Of the tightest pack: 1 at the centre of its limits (or at its target), 0 on a limit."
    )
    changes: int = count("Parts changed", "How many parts change size.", least=0)


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
    nearest: tuple[PartsSolution, ...] | None = group(
        PartsSolution,
        "The closest this kit can get",
        "Given when no choice is within every limit.",
        many=((0, 50),),
        optional=True,
    )
    needs: dict[str, Fraction] | None = mapping(
        "Thickness missing from the kit",
        "For each pack, with the closest choice. Negative: to take away.",
        of=_LENGTH_OF_PACK,
        optional=True,
    )


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
    prefer = cast('Literal["centred", "fewest-changes"]', request.prefer or "centred")
    outcome = selection.choose(packs, positions, prefer, request.top or 5)
    best = (outcome.solutions or outcome.nearest)[0]
    result = ChoosePartsResult(
        feasible=outcome.feasible,
        proved=outcome.proved,
        beatable_margin=outcome.beatable,
        advice=_advice(request, outcome, best, units),
        solutions=tuple(_solution(request, found) for found in outcome.solutions),
        nearest=None if outcome.feasible else tuple(_solution(request, found) for found in outcome.nearest),
        needs=None
        if not outcome.infeasible
        else {pack.name: need for pack, need in zip(request.packs, outcome.needs, strict=True)},
    )
    return Answer(result, tuple(_working(request, best, units)), tuple(_cautions(request, outcome, best, units)))


def _position(given: SelectivePosition) -> selection.Position:
    sizes = tuple(selection.KitPart(size.id, size.thickness, size.stock) for size in given.choices)
    return selection.Position(given.name, given.fitted, sizes, given.effect)


def _solution(request: ChooseParts, found: selection.Solution) -> PartsSolution:
    return PartsSolution(
        choice={
            position.name: position.choices[index].id for position, index in zip(request.positions, found.choice, strict=True)
        },
        clearances={pack.name: value for pack, value in zip(request.packs, found.clearances, strict=True)},
        margin=found.margin,
        changes=found.changes,
    )


def _advice(request: ChooseParts, outcome: selection.Selection, best: selection.Solution, units: AnswerUnits) -> str:
    changed = [
        f"{position.name}: {position.choices[index].id}"
        for position, index in zip(request.positions, best.choice, strict=True)
        if position.choices[index].id != position.fitted
    ]
    if not outcome.feasible:
        found = (
            "No choice of this kit brings every pack within its limits."
            if outcome.infeasible
            else "No choice that brings every pack within its limits was found before the search was stopped, but one is not excluded."
        )
        short = [
            f"{pack.name} by {units.show(abs(need))} ({'too loose' if need > 0 else 'too tight'})"
            for pack, need in zip(request.packs, outcome.needs, strict=True)
            if need
        ]
        best_known = "Short at best" if outcome.proved else "Short at the best choice found"
        return f"{found} {best_known}: {'; '.join(short)}."
    return f"Fit {'; '.join(changed)}. Then measure again." if changed else "Keep the sizes that are fitted."


def _working(request: ChooseParts, best: selection.Solution, units: AnswerUnits) -> Iterable[str]:
    for number_of, pack in enumerate(request.packs):
        terms = "".join(_term(position, best.choice[index], pack.name, units) for index, position in enumerate(request.positions))
        value = best.clearances[number_of]
        said = {"in": "within", "low": "below", "high": "above"}[judge(value, pack.limits)]
        limits = f"{units.number(pack.limits.min)} to {units.show(pack.limits.max)}"
        reached = f"{units.number(pack.clearance)}{terms} {units.equals(value)}" if terms else f"stays {units.show(value)}"
        yield f"{pack.name}: {reached}, {said} {limits}"
        goal = pack.limits.centre if pack.target is None else pack.target
        yield f"{pack.name}: {units.show(abs(value - goal))} from {'the centre' if pack.target is None else 'the target'} {units.show(goal)}"
    yield f"room left in the tightest pack {plain(best.margin, 3)} (1 at the centre, 0 on a limit); parts changed: {best.changes}"


def _term(position: SelectivePosition, index: int, pack: str, units: AnswerUnits) -> str:
    effect = position.effect.get(pack)
    chosen = position.choices[index]
    if effect is None or chosen.id == position.fitted:
        return ""
    here = next(size.thickness for size in position.choices if size.id == position.fitted)
    return f" {'−' if effect < 0 else '+'} ({units.number(chosen.thickness)} − {units.number(here)})"


def _cautions(request: ChooseParts, outcome: selection.Selection, best: selection.Solution, units: AnswerUnits) -> Iterable[str]:
    if outcome.beatable is not None:
        yield (
            "There were too many choices to try, so the search was stopped. The first choice is the best found; its room left is "
            f"{plain(best.margin, 3)}; a choice that leaves up to {plain(outcome.beatable, 3)} is not ruled out."
        )
    elif not outcome.complete:
        yield "The first choice is proved to be the best. The search was stopped before it had listed as many as were asked for."
    touched = {name for position in request.positions for name in position.effect}
    for index, pack in enumerate(request.packs):
        value = best.clearances[index]
        if pack.name not in touched:
            yield f"No part in the list changes {pack.name}: it is judged as measured."
        if (
            pack.uncertainty is not None
            and min(value - pack.limits.min, pack.limits.max - value) < pack.uncertainty
            and judge(value, pack.limits) == "in"
        ):
            yield f"{pack.name} would be closer to a limit than its uncertainty of {units.show(pack.uncertainty)}: measure again after fitting."


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
