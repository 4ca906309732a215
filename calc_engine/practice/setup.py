"""How a pack is measured, as far as its data says: method, gauge, limits, wave plate, parts of the stack."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from calc_engine import Quantity, Unit, exact_text
from calc_engine.practice.figures import at_step, shown
from calc_engine.practice.part_kinds import PLATES
from calc_engine.practice.unit import Clearance, ExerciseUnit, Kit, Pack, Part, ShopGauge

__all__ = ["METHODS", "Setup", "StackItem", "WavePlate", "setup_of", "why_not_measured"]

METHODS: Final = {
    "dial": "by dial: the lift at each position",
    "feeler": "by feeler: the leaves that together just go in at each position",
    "depth": "by depth: from one straightedge down to the plate, and down to the face that the ring bears on",
    "parts": "by parts: the cavity, less every part in it",
}
_KINDS_OF: Final = {"dial": ("dial",), "feeler": ("feeler",), "depth": ("depth",), "parts": ("micrometer", "depth")}
_DEFAULT_METHOD: Final = "dial"
_DEFAULT_POSITIONS: Final = 4
_LARGEST_MM: Final = 20
_THICKEST_MM: Final = 50
_DEEPEST_MM: Final = 500
_FEWEST_STEPS: Final = 8
_MOST_STEPS: Final = 100_000
_STEPS: Final = {
    "mm": Fraction(1, 100),
    "in": Fraction(1, 1000),
    "um": Fraction(10),
    "m": Fraction(1, 100_000),
    "thou": Fraction(1),
}
_LEAF_STEPS: Final = {**_STEPS, "mm": Fraction(1, 20)}


@dataclass(frozen=True, slots=True)
class WavePlate:
    """The one wave plate of a pack, in the unit of the limits: free height, flat thickness, the state that the limits mean."""

    free: Fraction
    flat: Fraction
    specified: str


@dataclass(frozen=True, slots=True)
class StackItem:
    """A part between the piston and the bearing face of the ring's groove, with its thickness in the unit of the limits."""

    part: Part
    count: int
    thickness: Fraction


@dataclass(frozen=True, slots=True)
class Setup:
    """How a pack is measured. Lengths in `unit`.

    Attributes:
        spec: the limits as the data has them.
        unit: the unit of the limits and of every reading.
        low, high: the limits.
        method: ``dial``, ``feeler``, ``depth`` or ``parts``.
        positions: at how many places.
        step: the smallest step of the readings.
        error: the largest error of the gauge; None where nothing is known of it.
        gauge: the gauge, where the shop has one of the kind.
        spread_limit: how far the places may differ; None where nothing is said, or where there is one place.
        wave: the wave plate, where its heights are known and there is only one.
        stack: for the method by parts: what lies in the cavity.
        friction_plates: how many friction plates the pack holds.
    """

    spec: Clearance
    unit: Unit
    low: Fraction
    high: Fraction
    method: str
    positions: int
    step: Fraction
    error: Fraction | None
    gauge: ShopGauge | None
    spread_limit: Fraction | None
    wave: WavePlate | None
    stack: tuple[StackItem, ...]
    friction_plates: int

    def figure(self, value: Fraction) -> str:
        """A reading with the gauge's decimals and its unit."""
        return f"{at_step(value, self.step)} {self.unit.name}"

    def show(self, value: Fraction) -> str:
        """A figure for a reader, rounded by the rule of the unit."""
        return shown(value, self.unit)

    def read(self, quantity: Quantity) -> Fraction:
        """A quantity as an amount of the unit."""
        return quantity.to(self.unit).value

    def request(self) -> dict[str, Any]:
        """The fields of pack-clearance that the data gives, without the readings and the wave plate."""
        made: dict[str, Any] = {
            "method": self.method,
            "limits": {"min": str(Quantity(self.low, self.unit)), "max": str(Quantity(self.high, self.unit))},
        }
        if self.friction_plates:
            made["friction_plates"] = self.friction_plates
        if self.method != "parts":
            made["gauge"] = {"resolution": self.figure(self.step)}
            if self.error is not None:
                made["gauge"]["max_error"] = self.figure(self.error)
        if self.spread_limit is not None:
            made["spread_limit"] = self.figure(self.spread_limit)
        return made


def why_not_measured(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why a pack's clearance cannot be practised; None when it can.

    Args:
        unit: the unit that the pack belongs to.
        pack: the pack.
    """
    spec = pack.clearance
    if spec is None:
        return "The pack has no clearance limits."
    if spec.max.base > _LARGEST_MM:
        return f"The limits go beyond {_LARGEST_MM} mm: no pack runs with so much."
    setup = setup_of(unit, pack)
    apart = (setup.high - setup.low) / setup.step
    if not _FEWEST_STEPS <= apart <= _MOST_STEPS:
        return f"The limits are not between {_FEWEST_STEPS} and {_MOST_STEPS} steps of the gauge apart, so readings cannot be told apart."
    if setup.method == "parts":
        return _why_not_parts(setup)
    return None


def _why_not_parts(setup: Setup) -> str | None:
    if not setup.stack:
        return "It is measured by its parts, and no plate of the pack has a thickness."
    if setup.spec.wave == "free" and setup.wave is None and any(item.part.kind == "wave" for item in setup.stack):
        return "It is measured by its parts for a free wave plate, whose free height is not known."
    largest, whole = (Quantity(value, setup.unit).base for value in (
        max(item.thickness for item in setup.stack), sum((item.thickness * item.count for item in setup.stack), Fraction(0))
    ))  # fmt: skip
    if largest > _THICKEST_MM or whole > _DEEPEST_MM:
        return f"A part is thicker than {_THICKEST_MM} mm, or the stack than {_DEEPEST_MM} mm."
    return None


def setup_of(unit: ExerciseUnit, pack: Pack) -> Setup:
    """How a pack is measured. What the data leaves open is as usual: by dial, at four positions (common practice, no source).

    Args:
        unit: the unit that the pack belongs to.
        pack: a pack with clearance limits.

    Returns:
        The setup; its lengths are in the unit of the lower limit.
    """
    spec = pack.clearance
    assert spec is not None  # noqa: S101 - why_not_measured has seen to it
    measure = spec.min.unit
    method = spec.method or _DEFAULT_METHOD
    gauge = _gauge(unit, spec, method)
    positions = 1 if method == "parts" else spec.positions or _DEFAULT_POSITIONS
    limit = spec.spread_limit if positions > 1 else None
    friction = sum(entry.part.kind == "friction" for entry in pack.entries)
    return Setup(
        spec=spec,
        unit=measure,
        low=spec.min.value,
        high=spec.max.to(measure).value,
        method=method,
        positions=positions,
        step=_step(gauge, measure, method),
        error=gauge.max_error.to(measure).value if gauge and gauge.max_error else None,
        gauge=gauge,
        spread_limit=limit.to(measure).value if limit else None,
        wave=_wave(pack, spec),
        stack=_stack(unit, pack, measure) if method == "parts" else (),
        friction_plates=friction if friction <= 60 else 0,  # noqa: PLR2004 - the engine takes up to 60
    )


def _gauge(unit: ExerciseUnit, spec: Clearance, method: str) -> ShopGauge | None:
    """The gauge that the data names, else the first of its kind, if it shows the unit of the limits."""
    wanted = (*((spec.gauge,) if spec.gauge else ()), *unit.gauges)
    return next((gauge for gauge in wanted if gauge.kind in _KINDS_OF[method] and _fits(gauge, spec.min.unit)), None)


def _fits(gauge: ShopGauge, measure: Unit) -> bool:
    given = [size for size in (gauge.resolution, gauge.max_error) if size is not None]
    fits = all(size.unit is measure and size.base <= 1 for size in given)
    return fits and gauge.resolution is not None and Fraction(exact_text(gauge.resolution.value)) == gauge.resolution.value


def _step(gauge: ShopGauge | None, measure: Unit, method: str) -> Fraction:
    if gauge is not None and gauge.resolution is not None:
        return gauge.resolution.value
    return (_LEAF_STEPS if method == "feeler" else _STEPS)[measure.name]


def _wave(pack: Pack, spec: Clearance) -> WavePlate | None:
    plates = [entry.part for entry in pack.entries if entry.part.kind == "wave"]
    if spec.wave is None or len(plates) != 1:
        return None
    (plate,) = plates
    if plate.thickness is None or plate.free_height is None or not plate.thickness.base <= plate.free_height.base <= _THICKEST_MM:
        return None
    return WavePlate(plate.free_height.to(spec.min.unit).value, plate.thickness.to(spec.min.unit).value, spec.wave)


def _stack(unit: ExerciseUnit, pack: Pack, measure: Unit) -> tuple[StackItem, ...]:
    """The plates, and the ring that holds them: the one that comes in sizes, else the last one that sits in a groove."""
    found = [part for part in pack.parts if part.kind in PLATES and part.thickness is not None]
    if not found:
        return ()
    ring = _ring(unit.kits, pack)
    return tuple(
        StackItem(part, pack.count_of(part), part.thickness.to(measure).value)
        for part in (*found, *((ring,) if ring else ()))
        if part.thickness is not None
    )


def _ring(kits: tuple[Kit, ...], pack: Pack) -> Part | None:
    rings = [entry for entry in pack.entries if entry.part.kind == "snap-ring" and entry.part.thickness is not None]
    sizes = {kit.fitted.id for kit in kits if kit.fitted is not None}
    chosen = [entry for entry in rings if entry.part.id in sizes] or [entry for entry in rings if entry.groove is not None]
    return chosen[-1].part if chosen else None
