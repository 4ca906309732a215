"""Which size of a selective part to fit: the engine's answer, and whether it stands clear of the next best."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from calc_engine import Quantity, alike, size_names
from calc_engine.practice.generator import Generator
from calc_engine.practice.setup import Setup, setup_of, why_not_measured
from calc_engine.practice.unit import ExerciseUnit, Kit, Pack, Part

__all__ = [
    "NONE_FITS",
    "OtherPack",
    "RingTask",
    "SizeOutcome",
    "is_clear",
    "kits_for",
    "outcomes",
    "parts_request",
    "right_size",
    "ring_task",
    "with_sizes",
]  # fmt: skip

NONE_FITS: Final = "none"
_MOST_SIZES: Final = 60
_THICKEST_MM: Final = 50


@dataclass(frozen=True, slots=True)
class OtherPack:
    """Another pack that the same part touches: its limits, and its clearance with the part that is fitted, in its unit."""

    pack: Pack
    setup: Setup
    clearance: Fraction


@dataclass(frozen=True, slots=True)
class RingTask:
    """Choosing a size.

    Attributes:
        kit: the sizes.
        names: what each is called, by its id.
        alone: whether a thicker part does nothing but tighten this pack, so that pack-clearance itself gives the size.
        others: the other packs that it touches.
    """

    kit: Kit
    names: Mapping[str, str]
    alone: bool
    others: tuple[OtherPack, ...]

    @property
    def at_hand(self) -> tuple[Part, ...]:
        """The sizes that can be fitted: on the shelf, or fitted already."""
        stock = self.kit.stock or {}
        return tuple(size for size in self.kit.choices if stock.get(size.id) != 0 or size is self.kit.fitted)

    def sizes(self) -> list[dict[str, Any]]:
        """The sizes as the engine takes them."""
        stock = self.kit.stock or {}
        return [
            {
                "id": self.names[size.id],
                "thickness": str(size.thickness),
                **({"stock": stock[size.id]} if size.id in stock else {}),
            }
            for size in self.kit.choices
        ]

    @property
    def fitted(self) -> str:
        """The name of the size that is fitted."""
        assert self.kit.fitted is not None  # noqa: S101 - `kits_for` has seen to it
        return self.names[self.kit.fitted.id]

    def id_of(self, name: str) -> str:
        """The id of the size with a name."""
        return next(size for size, known in self.names.items() if known == name)


def kits_for(unit: ExerciseUnit, pack: Pack) -> tuple[Kit, ...]:
    """The kits that a size can be chosen from by this pack's clearance and what is known of the others.

    A kit that also sets an end play is none of them, nor is one whose other packs have no limits.

    Args:
        unit: the unit that the pack belongs to.
        pack: whose clearance is set.
    """
    standing = {entry.part.id for entry in pack.entries}
    return tuple(
        kit
        for kit in unit.kits
        if pack.id in kit.effect
        and not kit.shafts
        and kit.fitted is not None
        and any(size.id in standing for size in kit.choices)
        and 1 < len(kit.choices) <= _MOST_SIZES
        and all(size.thickness is not None and size.thickness.base <= _THICKEST_MM for size in kit.choices)
        and _can_be_judged(unit, kit)
    )


def _can_be_judged(unit: ExerciseUnit, kit: Kit) -> bool:
    packs = [unit.packs[name] for name in kit.effect]
    names = {alike(other.name) for other in packs}
    return len(names) == len(packs) and all(why_not_measured(unit, other) is None for other in packs)


def ring_task(draw: Generator, unit: ExerciseUnit, pack: Pack) -> RingTask | None:
    """A kit to choose from, and clearances for the other packs that it touches; None when no kit can be used.

    Args:
        draw: the chance.
        unit: the unit that the pack belongs to.
        pack: whose clearance is set.
    """
    kits = kits_for(unit, pack)
    if not kits:
        return None
    kit = draw.choice(kits)
    others = tuple(_other(draw, unit, unit.packs[name]) for name in kit.effect if name != pack.id)
    return RingTask(kit, size_names(kit.choices), alone=not others and kit.effect[pack.id] < 0, others=others)


def _other(draw: Generator, unit: ExerciseUnit, pack: Pack) -> OtherPack:
    """Another pack with a clearance somewhere within its limits or a little beyond."""
    setup = setup_of(unit, pack)
    low, high = int(setup.low / setup.step), int(setup.high / setup.step)
    beyond = (high - low) // 4
    return OtherPack(pack, setup, draw.between(max(low - beyond, 0), high + beyond) * setup.step)


def with_sizes(task: RingTask, request: dict[str, Any]) -> dict[str, Any]:
    """The request of pack-clearance, with the sizes where that calculation chooses among them.

    Args:
        task: what is chosen from.
        request: of pack-clearance, with readings and limits as text with units.
    """
    return request | {"fitted": task.fitted, "choices": task.sizes()} if task.alone else request


def parts_request(task: RingTask, pack: Pack, setup: Setup, clearance: str) -> dict[str, Any]:
    """The request of choose-parts for this one kit and every pack that it touches.

    Args:
        task: what is chosen from.
        pack: the pack that was measured.
        setup: how it was measured.
        clearance: what was measured, as text with its unit.
    """
    packs = [_to_set(pack, setup, clearance)]
    packs.extend(_to_set(other.pack, other.setup, str(Quantity(other.clearance, other.setup.unit))) for other in task.others)
    known = {pack.id: pack, **{other.pack.id: other.pack for other in task.others}}
    effect = {known[name].name: way for name, way in task.kit.effect.items()}
    position = {"name": task.kit.name, "fitted": task.fitted, "choices": task.sizes(), "effect": effect}
    return {"packs": packs, "positions": [position], "top": 2}


def _to_set(pack: Pack, setup: Setup, clearance: str) -> dict[str, Any]:
    target = {"target": str(setup.spec.target)} if setup.spec.target else {}
    return {"name": pack.name, "clearance": clearance, "limits": setup.request()["limits"], **target}


def right_size(task: RingTask, reply: Mapping[str, Any], parts_reply: Mapping[str, Any] | None) -> str:
    """The id of the size to fit by the engine's answer, or `NONE_FITS`.

    Args:
        task: what is chosen from.
        reply: what pack-clearance answered.
        parts_reply: what choose-parts answered; None where `task` is alone.
    """
    if parts_reply is None:
        name = reply["result"].get("fit")
    else:
        solutions = parts_reply["result"]["solutions"]
        name = solutions[0]["choice"][task.kit.name] if solutions else None
    return NONE_FITS if name is None else task.id_of(name)


@dataclass(frozen=True, slots=True)
class SizeOutcome:
    """What one size would leave.

    Attributes:
        size: its id.
        margin: how far inside its limits the worst pack lies, in parts of the way to the centre or target; below zero: outside.
        inside: whether every pack lies inside its limits by a step and more.
        outside: whether some pack lies outside its limits by a step and more.
        clearances: what each pack would have, this one first, each in its own unit.
    """

    size: str
    margin: Fraction
    inside: bool
    outside: bool
    clearances: tuple[Fraction, ...]


def outcomes(task: RingTask, pack: Pack, setup: Setup, clearance: Fraction) -> tuple[SizeOutcome, ...]:
    """What each size that can be fitted would leave, in the order of the kit.

    Args:
        task: what is chosen from.
        pack: the pack that was measured.
        setup: how it was measured.
        clearance: what was measured, in the unit of the setup.
    """
    measured = ((pack, setup, clearance), *((other.pack, other.setup, other.clearance) for other in task.others))
    fitted = task.kit.fitted
    assert fitted is not None and fitted.thickness is not None  # noqa: S101, PT018 - `kits_for` has seen to it
    found = []
    for size in task.at_hand:
        assert size.thickness is not None  # noqa: S101 - `kits_for` has seen to it
        moved = size.thickness.base - fitted.thickness.base
        left = [(each, value + task.kit.effect[one.id] * moved / each.unit.factor) for one, each, value in measured]
        found.append(
            SizeOutcome(
                size.id,
                min(_margin(each, value, use_target=not task.alone) for each, value in left),
                all(_inside(each, value) >= each.step for each, value in left),
                any(_inside(each, value) <= -each.step for each, value in left),
                tuple(value for _, value in left),
            )
        )
    return tuple(found)


def _inside(setup: Setup, value: Fraction) -> Fraction:
    """How far inside its limits a clearance lies; below zero: outside."""
    return min(value - setup.low, setup.high - value)


def _margin(setup: Setup, value: Fraction, *, use_target: bool) -> Fraction:
    inside = _inside(setup, value)
    if inside < 0:
        return inside / (setup.high - setup.low)
    target = setup.spec.target
    aim = setup.read(target) if target is not None and use_target else (setup.low + setup.high) / 2
    return 1 - abs(value - aim) / max(aim - setup.low, setup.high - aim)


def is_clear(task: RingTask, pack: Pack, setup: Setup, clearance: Fraction) -> bool:
    """Whether one size is best, or none fits, by a step of the coarsest gauge and more: then no rounding decides it.

    Args:
        task: what is chosen from.
        pack: the pack that was measured.
        setup: how it was measured.
        clearance: what was measured, in the unit of the setup.
    """
    found = outcomes(task, pack, setup, clearance)
    if all(outcome.outside for outcome in found):
        return True
    best, *others = sorted(found, key=lambda outcome: outcome.margin, reverse=True)
    if not best.inside or any(not other.inside and not other.outside for other in others):
        return False
    setups = (setup, *(other.setup for other in task.others))
    step = max(2 * each.step / (each.high - each.low) for each in setups)
    return not others or best.margin - others[0].margin >= step
