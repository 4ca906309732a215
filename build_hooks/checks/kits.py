"""Do the selective kits of a unit make sense: parts for one place, one of them fitted, something to set with them?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from build_hooks.checks.packs import places_of
from build_hooks.checks.values import UnitData, repeated, unknown
from build_hooks.model.written import WrittenKit
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, listed, quoted

__all__ = ["kit_faults"]

_FEWEST_CHOICES: Final = 2


def kit_faults(unit: UnitData) -> Iterator[Fault]:
    """Faults in the selective kits of a unit."""
    for kit_id, kit in unit.kits.items():
        choices = kit.get("choices")
        if choices is not None and isinstance(choices.value, tuple):
            yield from _choices(choices, unit)
            yield from _stock(kit, choices)
            yield from _fitted(kit_id, kit, choices, unit)
        if kit.is_mapping:
            yield from _targets(kit_id, kit, unit)


def _choices(choices: Node, unit: UnitData) -> Iterator[Fault]:
    if len(choices.items) < _FEWEST_CHOICES:
        yield Fault(
            choices.mark, "too-few-choices", "A kit needs at least two choices.", "Add the other sizes, or take the kit out."
        )
    yield from repeated(choices.items, "choices")
    first_kind = None
    for choice in choices.items:
        yield from unknown(choice, unit.parts, "part", "Add it to parts.")
        kind = unit.kind_of(choice.text)
        first_kind = first_kind or kind
        if kind is not None and kind != first_kind:
            message = f"{quoted(choice.text or '')} is of kind {kind}, but the choices before it are of kind {first_kind}."
            yield Fault(choice.mark, "mixed-kinds", message, "Put only parts for one place into a kit.")


def _stock(kit: Node, choices: Node) -> Iterator[Fault]:
    stock = kit.get("stock")
    known = {choice.text for choice in choices.items}
    for key, mark in () if stock is None else stock.keys.items():
        if key not in known:
            message = f"{quoted(key)} is counted here, but is no choice of the kit."
            yield Fault(mark, "stock-without-choice", message, "Add it to choices, or take it out.")


def _target_nodes(kit: Node) -> tuple[Node, ...]:
    found = (kit.get("tightens"), kit.get("loosens"))
    return tuple(target for node in found if node is not None for target in node.items)


def _targets(kit_id: str, kit: Node, unit: UnitData) -> Iterator[Fault]:
    targets = _target_nodes(kit)
    if not any(_says(kit, key) for key in ("tightens", "loosens")):
        message = f"{quoted(kit_id)} neither tightens nor loosens anything."
        yield Fault(kit.mark, "no-target", message, "Add tightens: with the ids of packs, floats or shafts.")
    for target in targets:
        yield from unknown(
            target, {**unit.packs, **unit.floats, **unit.shafts}, "pack, float or shaft", "Add it to packs, floats or shafts."
        )
    yield from repeated(targets, "tightens and loosens")


def _says(kit: Node, key: str) -> bool:
    """Whether a key holds something, be it at fault or misspelt."""
    found = kit.get(key)
    return not kit.lacks(key, WrittenKit.model_fields) if found is None else found.value != ()


def _fitted(kit_id: str, kit: Node, choices: Node, unit: UnitData) -> Iterator[Fault]:
    """Exactly one choice stands in the stacks that the kit sets, in each of them at most once."""
    packs = [(target.text or "", unit.packs[target.text or ""]) for target in _target_nodes(kit) if target.text in unit.packs]
    names = {choice.text for choice in choices.items}
    fitted: str | None = None
    for number, (pack_id, pack) in enumerate(packs):
        standing = [place for place in places_of(pack) if place.part_id in names]
        for place in standing[1:] if standing and standing[0].times == 1 else standing:
            message = f"More than one choice of the kit {quoted(kit_id)} is in this stack."
            yield Fault(place.entry.mark, "two-choices", message, "Keep the one that is fitted.")
        if standing and number and fitted not in {None, standing[0].part_id}:
            message = f"{quoted(standing[0].part_id or '')} is in {quoted(pack_id)}, but {quoted(fitted or '')} before: {quoted(kit_id)} is one part."
            yield Fault(standing[0].entry.mark, "two-choices", message, "Name the same part in both stacks.")
        fitted = fitted or (standing[0].part_id if standing else None)
    if packs and fitted is None and _all_known(packs, choices, unit):
        message = f"None of the choices of {quoted(kit_id)} is in the stack of {listed(quoted(pack_id) for pack_id, _ in packs)}."
        yield Fault(choices.mark, "none-fitted", message, "Put the one to start with into the stack.")


def _all_known(packs: list[tuple[str, Node]], choices: Node, unit: UnitData) -> bool:
    """Whether no stack that is missing and no faulty reference could hold the fitted part."""
    named = [place.part_id for _, pack in packs for place in places_of(pack)] + [choice.text for choice in choices.items]
    whole = all(pack.get("stack") is not None for _, pack in packs)
    return whole and bool(choices.items) and all(part_id in unit.parts for part_id in named)
