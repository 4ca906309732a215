"""What a choice of selective parts is made from, and the same bench counted in whole steps of one small length.

The search works on integers. Only differences of thickness matter (chosen minus fitted), so the bench is measured
in `unit`, the largest length that goes into every such difference without remainder. A pack's state is then one
integer, its shift: the sum of effect x difference over its positions, in units. Nothing is rounded on the way.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import gcd, lcm

from calc_engine.selection.effort import Effort

__all__ = ["Bench", "Box", "KitPart", "MeasuredPack", "Position", "Slot", "SlotOption", "check", "measure_out"]


type Box = tuple[tuple[int, int], ...]
"""For each pack the smallest and the largest allowed shift, both included [units]."""


@dataclass(frozen=True, slots=True)
class MeasuredPack:
    """A clutch pack, or anything else with a clearance that must lie within limits; lengths in one unit throughout.

    Attributes:
        name: how positions refer to it.
        clearance: measured with the fitted parts.
        minimum: smallest allowed clearance; a value on it is in.
        maximum: largest allowed clearance; a value on it is in.
        target: the clearance aimed at, within the limits; None for the middle of the limits.
    """

    name: str
    clearance: Fraction
    minimum: Fraction
    maximum: Fraction
    target: Fraction | None


@dataclass(frozen=True, slots=True)
class KitPart:
    """One part of a selective kit.

    Attributes:
        id: what the shelf knows it by; the same id in several positions is the same shelf.
        thickness: in the unit of the packs.
        stock: how many lie on the shelf; None when that is not counted.
    """

    id: str
    thickness: Fraction
    stock: int | None


@dataclass(frozen=True, slots=True)
class Position:
    """A place that takes one part of a selective kit.

    Attributes:
        name: the position's name.
        fitted: id of the part that was fitted when the clearances were measured; one of the choices.
        choices: what may be fitted, in the order in which equal solutions are to be preferred.
        effect: pack name to -1 (a thicker part tightens that pack) or 1 (a thicker part loosens it).
    """

    name: str
    fitted: str
    choices: tuple[KitPart, ...]
    effect: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class SlotOption:
    """One choice of a slot, in units.

    Attributes:
        choice: its index among the position's choices.
        step: its thickness less the fitted part's [units].
        changed: whether it is another part than the fitted one (1) or the same (0).
        shelf: the id that it draws from a shelf which can run out; None for the fitted part, which lies on the
            bench, and for ids of which there are enough for every position.
    """

    choice: int
    step: int
    changed: int
    shelf: str | None


@dataclass(frozen=True, slots=True)
class Slot:
    """A position in units: what it does to each pack (index and sign, by pack) and what may be fitted."""

    effect: tuple[tuple[int, int], ...]
    options: tuple[SlotOption, ...]


@dataclass(frozen=True, slots=True)
class Bench:
    """The whole bench in units.

    Attributes:
        packs: as given.
        unit: the length of one unit.
        slots: one for each position.
        stock: for each id that can run out, how many positions may change to it.
        watched: those of them that the search must count while it goes; the others are looked at afterwards.
        effort: how much work the search may still do.
    """

    packs: tuple[MeasuredPack, ...]
    unit: Fraction
    slots: tuple[Slot, ...]
    stock: Mapping[str, int]
    watched: tuple[str, ...] = ()
    effort: Effort = field(default_factory=Effort, compare=False)

    def shifts(self, picks: Sequence[int]) -> tuple[int, ...]:
        """The shift of each pack [units] when each position takes the choice of that index."""
        totals = [0] * len(self.packs)
        for slot, option in zip(self.slots, self._options(picks), strict=True):
            for pack, sign in slot.effect:
                totals[pack] += sign * option.step
        return tuple(totals)

    def changes(self, picks: Sequence[int]) -> int:
        """How many positions take another part than the fitted one."""
        return sum(option.changed for option in self._options(picks))

    def overdrawn(self, picks: Sequence[int]) -> set[str]:
        """The ids that more positions would take than there are on the shelf."""
        if not self.stock:
            return set()
        used = Counter(option.shelf for option in self._options(picks) if option.shelf is not None)
        return {shelf for shelf, uses in used.items() if uses > self.stock[shelf]}

    def watching(self, shelves: Collection[str]) -> Bench:
        """The same bench with more ids watched."""
        return replace(self, watched=tuple(sorted({*self.watched, *shelves})))

    def _options(self, picks: Sequence[int]) -> Iterator[SlotOption]:
        for slot, pick in zip(self.slots, picks, strict=True):
            yield next(option for option in slot.options if option.choice == pick)


def check(packs: Sequence[MeasuredPack], positions: Sequence[Position]) -> None:
    """Refuses a bench that has no meaning.

    Args:
        packs: the packs, lengths in one unit.
        positions: the places with their sizes, in the same unit.

    Raises:
        ValueError: when there is no pack, a name is given twice, limits are crossed, a target is outside its
            limits, an effect names no pack or is not -1 or 1, a choice is given twice in one position, or the
            fitted part is not among the choices.
    """
    names = [pack.name for pack in packs]
    if not names or len(set(names)) < len(names):
        raise ValueError("A bench needs packs, each with a name of its own.")
    for pack in packs:
        if not pack.minimum <= (pack.minimum if pack.target is None else pack.target) <= pack.maximum:
            raise ValueError(f"Pack {pack.name}: the limits are crossed or the target is outside them.")
    for position in positions:
        ids = [choice.id for choice in position.choices]
        if position.fitted not in ids or len(set(ids)) < len(ids):
            raise ValueError(f"Position {position.name}: the fitted part must be among choices that differ.")
        if not set(position.effect) <= set(names) or not set(position.effect.values()) <= {-1, 1}:
            raise ValueError(f"Position {position.name}: each effect is -1 or 1 on a pack of the bench.")


def measure_out(packs: Sequence[MeasuredPack], positions: Sequence[Position], effort: Effort | None = None) -> Bench:
    """The bench in units.

    An id with no stock at all is left out of the positions where it is not fitted.

    Args:
        packs: as `check` allows.
        positions: as `check` allows.
        effort: how much work the search may do.

    Returns:
        The bench; two thicknesses of a position that differ by n units differ by n steps.
    """
    stock = _shelf_stock(positions)
    takers = Counter(c.id for position in positions for c in position.choices if c.id != position.fitted)
    scarce = {shelf: count for shelf, count in sorted(stock.items()) if 0 < count < takers[shelf]}
    differences = [_differences(position) for position in positions]
    scale = lcm(*(d.denominator for row in differences for d in row))
    common = gcd(*(int(d * scale) for row in differences for d in row)) or 1
    unit = Fraction(common, scale)
    order = {pack.name: index for index, pack in enumerate(packs)}
    slots = []
    for position, row in zip(positions, differences, strict=True):
        effect = tuple(sorted((order[name], sign) for name, sign in position.effect.items()))
        options = []
        for index, (choice, difference) in enumerate(zip(position.choices, row, strict=True)):
            changed = choice.id != position.fitted
            if not changed or stock.get(choice.id, 1) > 0:
                shelf = choice.id if changed and choice.id in scarce else None
                options.append(SlotOption(index, int(difference / unit), int(changed), shelf))
        slots.append(Slot(effect, tuple(options)))
    return Bench(tuple(packs), unit, tuple(slots), scarce, effort=effort or Effort())


def _shelf_stock(positions: Iterable[Position]) -> dict[str, int]:
    """The stock of each counted id: the smallest given, since one id is one shelf wherever it is named."""
    stock: dict[str, int] = {}
    for position in positions:
        for choice in position.choices:
            if choice.stock is not None:
                stock[choice.id] = min(choice.stock, stock.get(choice.id, choice.stock))
    return stock


def _differences(position: Position) -> list[Fraction]:
    """Each choice's thickness less the fitted part's; nothing for a position that no pack feels."""
    fitted = next(choice.thickness for choice in position.choices if choice.id == position.fitted)
    return [choice.thickness - fitted if position.effect else Fraction(0) for choice in position.choices]
