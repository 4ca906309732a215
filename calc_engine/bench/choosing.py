"""Packs that share selective parts: what a request says of them, the choice of parts, and how the choice is told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm
from typing import Any, Final, Literal

from calc_engine.bench.selective import Choice
from calc_engine.bench.verdict import Limits, judge
from calc_engine.declare.fields import Declared, choice, count, group, mapping, number, text
from calc_engine.declare.fields import length as length_field
from calc_engine.declare.roles import Role
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, plain
from calc_engine.quantities.units import Dimension
from calc_engine.selection import choice as selection

__all__ = [
    "ID_OF_POSITION",
    "LENGTH_OF_PACK",
    "MOST_LISTED",
    "NamedPack",
    "NamedPlace",
    "PartsSolution",
    "Prefer",
    "changed_parts",
    "choice_advice",
    "choice_cautions",
    "choice_working",
    "effect_of_part",
    "fit_words",
    "kit_parts",
    "missing_from_kit",
    "nearest_with_kit",
    "search_cautions",
    "target_of_pack",
    "target_outside",
    "too_fine",
    "twice",
    "unknown_packs",
    "way_to_choose",
]  # fmt: skip

Prefer = Literal["centred", "fewest-changes"]

MOST_LISTED: Final = 5
"""How many choices are listed unless a request asks for another number."""

LENGTH_OF_PACK: Final = Declared("amount", "", "", Dimension.LENGTH)
"""What a mapping of packs to lengths holds."""

ID_OF_POSITION: Final = Declared("text", "", "")
"""What a mapping of places to parts holds."""

# Finer than any gauge: see `too_fine`.
_FINEST_MM: Final = Fraction(1, 1_000_000)
_MOST_STEPS: Final = 4_000_000


# Without slots, like `NamedPlace`: a request may join it with the fields of a pack's spec, which Python does not do with slots.
@dataclass(frozen=True)
class NamedPack:
    """A pack with the name by which parts refer to it."""

    name: str = text("Pack", "What the pack is called.", role="identity")


@dataclass(frozen=True)
class NamedPlace:
    """A place where a part of chosen size sits, with its name."""

    name: str = text("Place", "What the selective part is called.", role="identity")


def target_of_pack() -> Any:
    """The field of the clearance to aim for."""
    return length_field(
        "Target",
        "The clearance to aim for. Leave empty for the centre of the limits.",
        least="0 mm",
        most="100 mm",
        optional=True,
        role="target",
    )


def effect_of_part() -> Any:
    """The field that says which packs a part touches, and how."""
    return mapping(
        "Effect of a thicker part",
        "For each pack it touches: −1 tightens, 1 loosens. A part between two packs names both.",
        allowed={-1: "tightens", 1: "loosens"},
        entry_labels=("Pack", "A thicker part"),
        role="effect",
    )


def way_to_choose() -> Any:
    """The field that says what makes one choice better than another."""
    return choice(
        "Choose by", "What makes one choice better than another. Best clearance when left empty.",
        {"centred": "Best clearance", "fewest-changes": "Fewest parts"}, optional=True,
    )  # fmt: skip


def missing_from_kit() -> Any:
    """The output that says how far the kit falls short."""
    return mapping(
        "Thickness missing from the kit",
        "For each pack, with the closest choice. Negative: to take away.",
        of=LENGTH_OF_PACK,
        optional=True,
    )


def nearest_with_kit(role: Role = "") -> Any:
    """The output of the choices that come closest, where none is within every limit.

    Args:
        role: ``best first`` where its first row is the one to look at.
    """
    help_text = "Given when no choice is within every limit."
    return group(PartsSolution, "The closest this kit can get", help_text, many=((0, 50),), optional=True, role=role)


@dataclass(frozen=True, slots=True)
class PartsSolution:
    """One choice for every place."""

    choice: dict[str, str] = mapping("Fit", "The size for each place.", of=ID_OF_POSITION)
    clearances: dict[str, Fraction] = mapping("Clearances", "What each pack then has.", of=LENGTH_OF_PACK)
    margin: Fraction = number(
        "Room left", "Of the tightest pack: 1 at the centre of its limits (or at its target), 0 on a limit."
    )
    changes: int = count("Parts changed", "How many parts change size.", least=0)

    @classmethod
    def of(
        cls, packs: Sequence[selection.MeasuredPack], positions: Sequence[selection.Position], found: selection.Solution
    ) -> PartsSolution:
        """A choice of the search, as an answer tells it.

        Args:
            packs: that were searched for.
            positions: likewise.
            found: one choice for them.
        """
        return cls(
            choice={place.name: place.choices[index].id for place, index in zip(positions, found.choice, strict=True)},
            clearances={pack.name: value for pack, value in zip(packs, found.clearances, strict=True)},
            margin=found.margin,
            changes=found.changes,
        )


def kit_parts(choices: Iterable[Choice], thickness: Mapping[str, Fraction] | None = None) -> tuple[selection.KitPart, ...]:
    """The sizes of a place as the search takes them.

    Args:
        choices: the sizes.
        thickness: for some ids another thickness than the kit's, mm: that of a part that has been measured.
    """
    known = thickness or {}
    return tuple(selection.KitPart(size.id, known.get(size.id, size.thickness), size.stock) for size in choices)


def target_outside(target: Fraction | None, limits: Limits, field: str) -> Iterable[Problem]:
    """The problem of a target outside its limits.

    Args:
        target: mm, or None.
        limits: mm.
        field: dotted name of the pack.
    """
    if target is not None and not limits.min <= target <= limits.max:
        yield Problem(
            f"{field}.target",
            "out-of-range",
            "The target lies outside the limits.",
            "Aim within the limits, or leave the target empty.",
        )


def twice(names: Sequence[str], field: str) -> Iterable[Problem]:
    """The problem of each name that a list has already.

    Args:
        names: in order.
        field: dotted name of the list whose entries they name.
    """
    counted = Counter(names)
    for index, name in enumerate(names):
        if counted[name] > 1 and name in names[:index]:
            yield Problem(f"{field}.{index}.name", "duplicate-id", f"“{name}” appears twice.", "Give each its own name.")


def unknown_packs(names: Iterable[str], packs: Sequence[str], field: str) -> Iterable[Problem]:
    """The problem of each name that is none of a pack.

    Args:
        names: that should name packs.
        packs: the names of all packs.
        field: dotted name of the mapping that holds the names.
    """
    for name in names:
        if name not in packs:
            yield Problem(f"{field}.{name}", "unknown-pack", f"There is no pack “{name}”.", f"Name one of: {', '.join(packs)}.")


def too_fine(thicknesses: Sequence[Sequence[tuple[str, Fraction]]], field: str) -> Iterable[Problem]:
    """Says when thicknesses are written so finely that no gauge could have read them.

    The search counts in the largest step that all thicknesses are multiples of. A step of a millionth of a
    millimetre is far below any gauge, and would make it count without end.

    Args:
        thicknesses: for each place those it may have, each with the dotted name of its field, mm.
        field: dotted name of the places.
    """
    finest = False
    for path, thickness in (each for place in thicknesses for each in place):
        if (thickness / _FINEST_MM).denominator != 1:
            finest = True
            yield Problem(
                path,
                "too-fine",
                "The thickness is written finer than a millionth of a millimetre.",
                "Write it as the micrometer reads, for example 1.780 mm or 0.0701 in.",
            )
    if not finest and _steps([[thickness for _, thickness in place] for place in thicknesses]) > _MOST_STEPS:
        yield Problem(
            field,
            "too-fine",
            "The thicknesses together have too many decimals to be compared exactly.",
            "Write them all as the micrometer reads, for example 1.780 mm or 0.0701 in.",
        )


def _steps(places: Sequence[Sequence[Fraction]]) -> int:
    """How many steps of the common measure lie between the thinnest and the thickest choice of everything."""
    spans = [max(thicknesses) - min(thicknesses) for thicknesses in places]
    differences = [thickness - thicknesses[0] for thicknesses in places for thickness in thicknesses]
    scale = lcm(*(difference.denominator for difference in differences))
    common = gcd(*(int(difference * scale) for difference in differences)) or 1
    return int(sum(spans, Fraction(0)) * scale / common)


def changed_parts(positions: Sequence[selection.Position], found: selection.Solution) -> dict[str, str]:
    """The parts of a choice that are not fitted already, by their places.

    Args:
        positions: the places.
        found: the choice.
    """
    chosen = ((place, place.choices[index].id) for place, index in zip(positions, found.choice, strict=True))
    return {place.name: part for place, part in chosen if part != place.fitted}


def fit_words(positions: Sequence[selection.Position], found: selection.Solution) -> str:
    """The order to fit the parts of a choice, with how many lie on the shelf where that is counted.

    Args:
        positions: the places.
        found: the choice.
    """
    chosen = ((place, place.choices[index]) for place, index in zip(positions, found.choice, strict=True))
    orders = [f"{place.name}: {part.id}{_on_shelf(part.stock)}" for place, part in chosen if part.id != place.fitted]
    return f"Fit {'; '.join(orders)}. Then measure again." if orders else "Keep the sizes that are fitted."


def _on_shelf(stock: int | None) -> str:
    return "" if stock is None else f" ({stock} on the shelf)"


def choice_advice(
    packs: Sequence[selection.MeasuredPack],
    positions: Sequence[selection.Position],
    outcome: selection.Selection,
    units: AnswerUnits,
) -> str:
    """What to fit, or how far the kit falls short.

    Args:
        packs: that were searched for, lengths in mm.
        positions: likewise.
        outcome: what the search found.
        units: for the figures.
    """
    if outcome.feasible:
        return fit_words(positions, outcome.solutions[0])
    found = (
        "No choice of this kit brings every pack within its limits."
        if outcome.infeasible
        else "No choice that brings every pack within its limits was found before the search was stopped, but one is not excluded."
    )
    short = [
        f"{pack.name} by {units.show(abs(need))} ({'too loose' if need > 0 else 'too tight'})"
        for pack, need in zip(packs, outcome.needs, strict=True)
        if need
    ]
    best_known = "Short at best" if outcome.proved else "Short at the best choice found"
    if not outcome.nearest:
        best_known = "Each would leave a pack bound up. Short with what is fitted now"
    return f"{found} {best_known}: {'; '.join(short)}."


def choice_working(
    packs: Sequence[selection.MeasuredPack], positions: Sequence[selection.Position], best: selection.Solution, units: AnswerUnits
) -> Iterable[str]:
    """The working of a choice: each pack's sum, and the room that is left.

    Args:
        packs: that were searched for, lengths in mm.
        positions: likewise.
        best: the choice.
        units: for the figures.
    """
    for number_of, pack in enumerate(packs):
        terms = "".join(_term(place, best.choice[index], pack.name, units) for index, place in enumerate(positions))
        value = best.clearances[number_of]
        limits = Limits(min=pack.minimum, max=pack.maximum)
        said = {"in": "within", "low": "below", "high": "above"}[judge(value, limits)]
        reached = f"{units.number(pack.clearance)}{terms} {units.equals(value)}" if terms else f"stays {units.show(value)}"
        yield f"{pack.name}: {reached}, {said} {units.number(limits.min)} to {units.show(limits.max)}"
        goal = limits.centre if pack.target is None else pack.target
        yield f"{pack.name}: {units.show(abs(value - goal))} from {'the centre' if pack.target is None else 'the target'} {units.show(goal)}"
    yield f"room left in the tightest pack {plain(best.margin, 3)} (1 at the centre, 0 on a limit); parts changed: {best.changes}"


def _term(place: selection.Position, index: int, pack: str, units: AnswerUnits) -> str:
    effect = place.effect.get(pack)
    chosen = place.choices[index]
    if effect is None or chosen.id == place.fitted:
        return ""
    here = next(size.thickness for size in place.choices if size.id == place.fitted)
    return f" {'−' if effect < 0 else '+'} ({units.number(chosen.thickness)} − {units.number(here)})"


def search_cautions(outcome: selection.Selection) -> Iterable[str]:
    """What is not proved of a choice.

    Args:
        outcome: what the search found.
    """
    best = next(iter(outcome.solutions or outcome.nearest), None)
    if outcome.beatable is not None and best is not None:
        yield (
            "There were too many choices to try, so the search was stopped. The first choice is the best found; its room left is "
            f"{plain(best.margin, 3)}; a choice that leaves up to {plain(outcome.beatable, 3)} is not ruled out."
        )
    elif not outcome.complete:
        yield "The first choice is proved to be the best. The search was stopped before it had listed as many as were asked for."


def choice_cautions(
    packs: Sequence[selection.MeasuredPack],
    positions: Sequence[selection.Position],
    uncertainties: Sequence[Fraction | None],
    clearances: Sequence[Fraction],
    units: AnswerUnits,
) -> Iterable[str]:
    """What the reader must mind about what a choice does to each pack.

    Args:
        packs: that were searched for, lengths in mm.
        positions: likewise.
        uncertainties: how sure each pack's clearance is, plus or minus, mm; None where nothing is known of that.
        clearances: what the choice gives each pack, mm.
        units: for the figures.
    """
    touched = {name for place in positions for name in place.effect}
    for pack, uncertainty, value in zip(packs, uncertainties, clearances, strict=True):
        if pack.name not in touched:
            yield f"No part in the list changes {pack.name}: it is judged as measured."
        if uncertainty is not None and _close(value, pack, uncertainty):
            yield f"{pack.name} would be closer to a limit than its uncertainty of {units.show(uncertainty)}: measure again after fitting."


def _close(value: Fraction, pack: selection.MeasuredPack, uncertainty: Fraction) -> bool:
    """Whether a clearance is within the limits, and closer to one than it is sure."""
    return 0 <= min(value - pack.minimum, pack.maximum - value) < uncertainty
