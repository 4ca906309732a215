"""Rings that a spring pushes against: they are new each time, and whoever fits one is warned first. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from build_hooks.checks.packs import PLATES, Place, places_of
from build_hooks.model.written import SIGNAL_WORDS
from build_hooks.reading.problems import Fault, quoted
from build_hooks.trade.sound_unit import SoundUnit

__all__ = ["ring_warnings"]

# A notice is for parts, and a ring that flies is for eyes.
_FOR_PEOPLE: Final = frozenset(SIGNAL_WORDS) - {"notice"}


def ring_warnings(unit: SoundUnit) -> Iterator[Fault]:
    """Rings that hold a spring, and may be used again or have no caution."""
    for pack in unit.data.packs.values():
        for ring, spring in _loaded(places_of(pack), unit):
            yield from _reused(ring, spring, unit)
            yield from _unwarned(ring, spring)


def _loaded(places: tuple[Place, ...], unit: SoundUnit) -> Iterator[tuple[Place, str]]:
    """Each ring that is the first behind a return spring with no plate between, with the id of the spring."""
    spring: str | None = None
    for place in places:
        kind = unit.data.kind_of(place.part_id)
        if kind == "return-spring":
            spring = place.part_id
        elif kind in PLATES:
            spring = None
        elif kind == "snap-ring" and spring is not None:
            yield place, spring
            spring = None


def _reused(ring: Place, spring: str, unit: SoundUnit) -> Iterator[Fault]:
    part = unit.part_of(ring)
    given = ring.entry.get("once_only")
    always_new = part is not None and part.once_only if given is None else given.value
    if not always_new:
        message = f"{quoted(spring)} pushes against {quoted(ring.part_id or '')}, and the data do not say that it is always new."
        mark = ring.entry.mark if given is None else given.mark
        yield Fault(mark, "ring-reused", message, "Add once_only: true to the part.")


def _unwarned(ring: Place, spring: str) -> Iterator[Fault]:
    caution = ring.entry.get("caution")
    if caution is None or not _FOR_PEOPLE & caution.children.keys():
        message = f"{quoted(ring.part_id or '')} goes in against {quoted(spring)}, and no signal word stands before it."
        mark = ring.entry.mark if caution is None else caution.mark
        yield Fault(mark, "ring-unwarned", message, "Add caution: {warning: what can fly, and what to wear}.")
