"""A calculation from the readings of one pack or one shaft: limits, gauge, sizes and positions come from the unit data."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from build_hooks.blocks.calc_request import NO_READINGS_NOTE, Asked, answered_form, by_role
from build_hooks.blocks.calc_sizes import fitted_size, size_rows
from build_hooks.blocks.context import Context, Trouble
from build_hooks.blocks.wave_plates import wave_preset, wave_said
from build_hooks.forms.form import Form
from build_hooks.forms.roles import entry_shape, known_field
from build_hooks.model import Float, Gauge, Limits, Method, Pack, Shaft
from calc_engine import Calculation, Field, Quantity, Role, System, field_with, fields_of, show, size_names, uncapitalised

__all__ = [
    "DEFAULT_POSITIONS", "measured_facts", "pack_form", "readings_of", "readings_on_centre", "readings_text", "shaft_form", "source_words",
]  # fmt: skip

DEFAULT_POSITIONS: Final = 4
"""At how many positions a pack is read where the unit data do not say."""


def pack_form(asked: Asked, pack: Pack) -> Form:
    """The form for a pack.

    Raises:
        Trouble: the pack has no limits, or the example has no answer.
    """
    spec = pack.clearance
    if spec is None:
        raise Trouble(
            ("pack",), "no-limits", f"The pack “{pack.name}” has no clearance limits.", "Write its clearance in unit.yml."
        )
    method = str(asked.method or spec.method or Method.DIAL)
    readings = readings_of(asked.calculation.request, method)
    facts: dict[Role, Any] = {"method": method, **measured_facts(asked.context, pack, spec, method, by_parts=not readings)}
    positions = asked.positions or spec.at or DEFAULT_POSITIONS
    example = asked.example or readings_on_centre(asked.calculation.request, readings, pack, spec, positions)
    subject = _Subject(pack.id, spec, method, positions, facts, example)
    return _measured_form(asked, subject, f"{pack.name}: {_measures(asked.calculation)} by {method}", wave_said(pack))


def shaft_form(asked: Asked, shaft: Shaft) -> Form:
    """The form for a shaft.

    Raises:
        Trouble: the example has no answer.
    """
    spec, method = shaft.end_play, str(Method.DIAL)
    facts: dict[Role, Any] = {"gauge": _gauge_facts(asked.context, spec.gauge, method)}
    positions = asked.positions or spec.at or 1
    example = asked.example or _centred(readings_of(asked.calculation.request, method), spec, positions)
    subject = _Subject(shaft.id, spec, method, positions, facts, example)
    return _measured_form(asked, subject, f"{shaft.name}: {_measures(asked.calculation)}")


@dataclass(frozen=True, slots=True)
class _Subject:
    """What is measured, what its data give, and the readings of its worked example."""

    id: str
    limits: Limits
    method: str
    positions: int
    facts: Mapping[Role, Any]
    example: Mapping[str, Any]


def _measured_form(asked: Asked, subject: _Subject, title: str, remark: str = "") -> Form:
    calculation, spec = asked.calculation, subject.limits
    facts: dict[Role, Any] = {"limits": {"min": str(spec.min), "max": str(spec.max)}, **subject.facts}
    preset = by_role(calculation.request, facts)
    sizes, choices, defaults = _own_sizes(asked, subject)
    readings = readings_of(calculation.request, subject.method)
    method = field_with("method", calculation.request)
    return answered_form(
        calculation,
        asked.context.identity(f"calc-{asked.unit.id}-{subject.id}"),
        asked.title or title,
        f"Limits {show(spec.min)} to {show(spec.max)}, {spec.source} revision {spec.revision}.{remark}",
        preset | sizes,
        subject.example,
        system=asked.units,
        entries=dict.fromkeys((field.name for field in readings), subject.positions),
        choices=choices,
        defaults=defaults | _wave_as_measured(calculation, facts.get("wave")),
        in_title=frozenset({method.name} if method else ()),
        example_note=_example_note(readings, subject, is_own=bool(asked.example)),
        subject=f"{asked.unit.id}/{subject.id}/{subject.method}",
        sources={"": source_words(spec)},
    )


def source_words(spec: Limits) -> str:
    """Limits and where they are from, for a record that outlives them."""
    return f"{show(spec.min)} to {show(spec.max)}, {spec.source} revision {spec.revision}"


def readings_of(shape: type[Any], method: str) -> list[Field]:
    """The fields that take a reading at each position, when it is measured in this way.

    Args:
        shape: the request dataclass, or the part of one that takes the readings.
        method: as the calculation names it.
    """
    readings = (field for field in fields_of(shape) if field.declared.role == "reading")
    return [field for field in readings if field.declared.when is None or method in field.declared.when[1]]


def _own_sizes(asked: Asked, subject: _Subject) -> tuple[dict[str, Any], dict[str, Sequence[str]], dict[str, str]]:
    """The sizes of the part that sets this pack or shaft alone, what is offered as fitted, and which of them is at first.

    A part that changes more than one pack is chosen for all of them together, elsewhere; so is every other part of such a pack,
    or two forms would give two orders for one drum.
    """
    kits = asked.unit.kits_of(subject.id)
    if any(kit.tightens != (subject.id,) or kit.loosens for kit in kits):
        return {}, {}, {}
    sizes, fitted = field_with("sizes", asked.calculation.request), field_with("fitted", asked.calculation.request)
    if not kits or sizes is None or fitted is None:
        return {}, {}, {}
    names = size_names(kits[0].choices)
    offered = [names[part.id] for part in kits[0].choices]
    return {sizes.name: size_rows(sizes, kits[0], names)}, {fitted.name: offered}, {fitted.name: fitted_size(kits[0], names)}


def _wave_as_measured(calculation: Calculation[Any, Any], wave: Mapping[str, str] | None) -> dict[str, str]:
    """How the wave plate was when measured decides the answer: it is asked, with the state of the limits filled in."""
    field = field_with("wave", calculation.request)
    return {} if wave is None or field is None else {f"{field.name}.measured": wave["specified"]}


def measured_facts(context: Context, pack: Pack | Float, spec: Limits, method: str, *, by_parts: bool) -> dict[Role, Any]:
    """What the data give of a pack or float that is measured, by role; None for what they do not give.

    Args:
        context: for the shop's gauges.
        pack: what is measured.
        spec: its limits.
        method: how it is measured.
        by_parts: whether its parts are measured one by one: they have a gauge each, and no positions that could differ.
    """
    plates = None if isinstance(pack, Float) else pack.friction_count or None
    facts: dict[Role, Any] = {"plate count": plates, "wave": wave_preset(pack)}
    if by_parts:
        return facts
    spread = None if spec.spread_limit is None else str(spec.spread_limit)
    return facts | {"gauge": _gauge_facts(context, spec.gauge, method), "spread limit": spread}


def _gauge_facts(context: Context, named: str | None, method: str) -> dict[str, str] | None:
    """What the shop knows of the gauge that the data name, if it is of the kind that the method reads, else of one that is.

    Of several that are, the first that shows the shop's units.
    """
    shop = context.library.shop
    fit = {gauge_id: gauge for gauge_id, gauge in shop.gauges.items() if str(gauge.kind) == method}
    if named in fit:
        return _facts_of(fit[named])
    in_units = (gauge for gauge in fit.values() if _system_of(gauge) == shop.units)
    gauge = next(in_units, next(iter(fit.values()), None))
    return None if gauge is None else _facts_of(gauge)


def _system_of(gauge: Gauge) -> System | None:
    shown = gauge.resolution or gauge.max_error
    return None if shown is None else shown.unit.system


def _facts_of(gauge: Gauge) -> dict[str, str]:
    facts = {"resolution": gauge.resolution, "max_error": gauge.max_error}
    return {name: str(value) for name, value in facts.items() if value is not None}


def readings_on_centre(
    shape: type[Any], readings: Sequence[Field], pack: Pack | Float, spec: Limits, positions: int
) -> dict[str, Any]:
    """Readings that put a pack or float on the centre of its limits, when the author gives none.

    Args:
        shape: the request dataclass, or the part of one that takes the readings.
        readings: the fields that take a reading at each position; none for a pack whose parts are measured one by one.
        pack: what is measured.
        spec: its limits.
        positions: how many are read.

    Raises:
        Trouble: the parts are to be measured, and the data give no thickness.
    """
    return _centred(readings, spec, positions) if readings or isinstance(pack, Float) else _parts_on_centre(shape, pack, spec)


def _centre(spec: Limits) -> Fraction:
    """In the unit of the lower limit."""
    return (spec.min.value + spec.max.to(spec.min.unit).value) / 2


def _centred(readings: Sequence[Field], spec: Limits, positions: int) -> dict[str, Any]:
    centre, zero = (str(Quantity(value, spec.min.unit)) for value in (_centre(spec), Fraction(0)))
    # Of several readings the others are subtracted from the first.
    return {field.name: [_nested(field, centre if field is readings[0] else zero)] * positions for field in readings}


def _parts_on_centre(shape: type[Any], pack: Pack, spec: Limits) -> dict[str, Any]:
    counted = Counter(entry.part.id for entry in pack.physical_stack)
    parts = {entry.part.id: entry.part for entry in pack.physical_stack}
    thick = [(part, part.thickness.nominal, counted[name]) for name, part in parts.items() if part.thickness is not None]
    if not thick:
        message = f"No part of the pack “{pack.name}” has a thickness, so the form by parts has no worked example."
        raise Trouble(
            (), "no-example", message, "Give its parts a thickness, or add example: with cavity and parts to the block."
        )
    unit = spec.min.unit
    stack = sum((thickness.to(unit).value * count for _, thickness, count in thick), Fraction(0))
    parts_field = known_field("measured parts", shape)
    row = entry_shape(parts_field)
    rows = [
        by_role(row, {"identity": part.name, "thickness": str(thickness), "count": number}) for part, thickness, number in thick
    ]
    return by_role(shape, {"cavity": str(Quantity(stack + _centre(spec), unit)), "measured parts": rows})


def _nested(field: Field, reading: str) -> Any:
    """A reading as an entry of its list: several leaves, for example, make one."""
    entry: Any = reading
    for _ in field.declared.many[1:]:
        entry = [entry]
    return entry


def _example_note(readings: Sequence[Field], subject: _Subject, *, is_own: bool) -> str:
    if readings and not is_own:
        return f"Worked example: readings that put all {subject.positions} positions on the centre of the limits."
    shown = [
        f"{uncapitalised(field.declared.label)} {readings_text(subject.example[field.name])}"
        for field in readings
        if field.name in subject.example
    ]
    return f"Worked example: {'; '.join(shown)}." if shown else NO_READINGS_NOTE


def readings_text(readings: Any) -> str:
    """The readings of a worked example, as its note lists them; what is no list is left to the engine to refuse."""
    if not isinstance(readings, Sequence) or isinstance(readings, str):
        return str(readings)
    return ", ".join(" + ".join(map(str, reading)) if isinstance(reading, list) else str(reading) for reading in readings)


def _measures(calculation: Calculation[Any, Any]) -> str:
    return calculation.measures or uncapitalised(calculation.title)
