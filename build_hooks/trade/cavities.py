"""A stack that cannot fit the room it has, or that no size of its kits brings within its limits.

Source: the calculation `stack-forecast`, and what it rests on. That 95 of 100 rebuilds are to come within limits is common practice,
no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import Any, Final

from build_hooks.model import Pack, Part, SelectiveKit, StackEntry, parts_in_cavity
from build_hooks.reading.measures import Toleranced
from build_hooks.reading.problems import Fault, Mark, quoted
from build_hooks.trade.sound_unit import SoundUnit
from calc_engine import answer, exact_text

__all__ = ["cavity_warnings", "share_within_limits"]

_ENOUGH: Final = Fraction(95, 100)
_MOST_CHOICES: Final = 60
_HUNDRED: Final = 100


def cavity_warnings(unit: SoundUnit) -> Iterator[Fault]:
    """Packs of a unit that do not come out as their limits say, as far as the data give the room that they have."""
    for pack_id, pack in unit.unit.packs.items():
        if pack.cavity is None or pack.clearance is None:
            continue
        mark = unit.data.packs[pack_id].children["cavity"].mark
        counted = parts_in_cavity(pack)
        if counted:
            yield from _misfit(pack, pack.cavity, _Stack.of(pack, counted, unit.unit.kits_of(pack_id)), mark)


def share_within_limits(pack: Pack, kits: Sequence[SelectiveKit]) -> Fraction | None:
    """How many rebuilds of a pack come within its limits, by the forecast, with the size that suits each.

    Args:
        pack: the pack.
        kits: the kits that set it; without any, as it is.

    Returns:
        A share from 0 to 1; None where the data give no cavity, no limits or no plates.
    """
    counted = parts_in_cavity(pack)
    if pack.cavity is None or not counted:
        return None
    return _within(pack, pack.cavity, _Stack.of(pack, counted, kits))


@dataclass(frozen=True, slots=True)
class _Stack:
    """What goes into a cavity. Lengths in mm.

    Attributes:
        fixed: each part that is not chosen, with its room and how often it goes in.
        chosen: what the chosen parts take together, for each choice of sizes.
        more_room: added to the cavity, so that a part outside of the pack that shifts an end of it counts as one inside.
    """

    fixed: Mapping[tuple[str, Fraction], tuple[Part, int]]
    chosen: Sequence[Fraction]
    more_room: Fraction

    @classmethod
    def of(cls, pack: Pack, counted: Sequence[tuple[StackEntry, Fraction]], kits: Sequence[SelectiveKit]) -> _Stack:
        rooms = {entry.part.id: room for entry, room in counted}
        sizes: list[list[Fraction]] = []
        more_room = Fraction(0)
        fitted = {kit.fitted.id for kit in kits if kit.fitted is not None}
        for kit in kits:
            thick = [part.thickness.nominal.base for part in kit.choices if part.thickness is not None]
            if kit.fitted is None or kit.fitted.thickness is None:
                continue
            first = kit.fitted.thickness.nominal.base
            outside = kit.fitted.id not in rooms
            more_room += max(thick) if outside else 0
            base = max(thick) if outside else rooms[kit.fitted.id]
            sign = -1 if pack.id in kit.loosens else 1
            sizes.append([base + sign * (size - first) for size in thick])
        totals = sorted({sum(choice, Fraction(0)) for choice in product(*sizes)}) if sizes else []
        times = Counter((entry.part.id, room) for entry, room in counted if entry.part.id not in fitted)
        parts = {entry.part.id: entry.part for entry, _ in counted}
        return cls({key: (parts[key[0]], number) for key, number in times.items()}, _thinned(totals), more_room)

    @property
    def thinnest(self) -> Fraction:
        """All together with the thinnest choice, less the room that was added for it."""
        fixed = sum((room * number for (_, room), (_, number) in self.fixed.items()), Fraction(0))
        return fixed + min(self.chosen, default=Fraction(0)) - self.more_room


def _thinned(totals: Sequence[Fraction]) -> list[Fraction]:
    """As many of the totals as a forecast takes, from the thinnest to the thickest."""
    last = len(totals) - 1
    steps = range(min(len(totals), _MOST_CHOICES))
    return [totals[round(Fraction(step * last, max(len(steps) - 1, 1)))] for step in steps]


def _misfit(pack: Pack, cavity: Toleranced, stack: _Stack, mark: Mark) -> Iterator[Fault]:
    if stack.thinnest > cavity.nominal.base:
        message = f"The parts of {quoted(pack.id)} come to {_mm(stack.thinnest)} at least, and its cavity is {cavity}."
        yield Fault(mark, "stack-off-cavity", message, "Check the cavity, the thicknesses and the repeats.")
        return
    within = _within(pack, cavity, stack)
    if within is not None and within < _ENOUGH:
        kits = "whatever size is fitted" if stack.chosen else "and no kit sets it"
        message = f"By the forecast {int(within * _HUNDRED)} of 100 rebuilds of {quoted(pack.id)} come within its limits, {kits}."
        yield Fault(
            mark, "limits-off-cavity", message, "Check the cavity, the thicknesses and the limits, or add sizes to a kit."
        )


def _within(pack: Pack, cavity: Toleranced, stack: _Stack) -> Fraction | None:
    """How many rebuilds come within limits, with the size that suits each; None where no forecast can be made."""
    if pack.clearance is None or not stack.fixed:
        return None
    parts = [
        {"name": part.id, "count": number, **_toleranced(room, part.thickness)}
        for (_, room), (part, number) in stack.fixed.items()
    ]
    request: dict[str, Any] = {
        "cavity": _toleranced(cavity.nominal.base + stack.more_room, cavity),
        "parts": parts,
        "limits": {"min": _mm(pack.clearance.min.base), "max": _mm(pack.clearance.max.base)},
    }
    if stack.chosen:
        request["choices"] = [{"id": f"size {at}", "thickness": _mm(size)} for at, size in enumerate(stack.chosen, 1)]
    result = answer("stack-forecast", request).get("result")
    return None if result is None else Fraction(result["p_fit" if stack.chosen else "p_in"])


def _toleranced(room: Fraction, size: Toleranced | None) -> dict[str, str]:
    plus, minus = (Fraction(0), Fraction(0)) if size is None else (size.plus.base, size.minus.base)
    return {"nominal": _mm(room), "plus": _mm(plus), "minus": _mm(minus)}


def _mm(length: Fraction) -> str:
    return f"{exact_text(length)} mm"
