"""A calculation from the readings of one pack or one shaft: limits, gauge, sizes and positions come from the unit data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Final

from build_hooks.blocks.calc_request import Asked, answered_form, by_role
from build_hooks.blocks.calc_sizes import fitted_size, size_rows
from build_hooks.blocks.context import Context, Trouble
from build_hooks.blocks.wave_plates import wave_preset, wave_said
from build_hooks.forms.form import Form
from build_hooks.model import Gauge, Limits, Method, Pack, Shaft
from calc_engine import Calculation, Field, Quantity, Role, field_with, fields_of, show, size_names, uncapitalised

__all__ = ["DEFAULT_POSITIONS", "centred", "gauge_facts", "pack_form", "parts_on_centre", "readings_of", "shaft_form"]

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
    facts: dict[Role, Any] = {"method": method, "plate count": pack.friction_count or None, "wave": wave_preset(pack)}
    if readings_of(asked.calculation.request, method):
        # Parts that are measured one by one have a gauge each, and no positions that could differ.
        facts |= {"gauge": gauge_facts(asked.context, spec.gauge, method), "spread limit": _text(spec.spread_limit)}
    positions = asked.positions or spec.at or DEFAULT_POSITIONS
    by_parts = not readings_of(asked.calculation.request, method) and not asked.example
    subject = _Subject(pack.id, spec, method, positions, facts, parts_on_centre(pack, spec) if by_parts else {})
    return _measured_form(asked, subject, f"{pack.name}: {_measures(asked.calculation)} by {method}", wave_said(pack, spec))


def shaft_form(asked: Asked, shaft: Shaft) -> Form:
    """The form for a shaft.

    Raises:
        Trouble: the example has no answer.
    """
    spec, method = shaft.end_play, str(Method.DIAL)
    facts: dict[Role, Any] = {"gauge": gauge_facts(asked.context, spec.gauge, method)}
    subject = _Subject(shaft.id, spec, method, asked.positions or spec.at or 1, facts)
    return _measured_form(asked, subject, f"{shaft.name}: {_measures(asked.calculation)}")


@dataclass(frozen=True, slots=True)
class _Subject:
    """What is measured, and what its data give."""

    id: str
    limits: Limits
    method: str
    positions: int
    facts: Mapping[Role, Any]
    example: Mapping[str, Any] = field(default_factory=dict)


def _measured_form(asked: Asked, subject: _Subject, title: str, remark: str = "") -> Form:
    calculation, spec = asked.calculation, subject.limits
    facts: dict[Role, Any] = {"limits": {"min": str(spec.min), "max": str(spec.max)}, **subject.facts}
    preset = by_role(calculation.request, {role: value for role, value in facts.items() if value is not None})
    sizes, choices, defaults = _own_sizes(asked, subject)
    readings = readings_of(calculation.request, subject.method)
    method = field_with("method", calculation.request)
    return answered_form(
        calculation,
        asked.context.identity(f"calc-{asked.unit.id}-{subject.id}"),
        asked.title or title,
        f"Limits {show(spec.min)} to {show(spec.max)}, {spec.source} revision {spec.revision}.{remark}",
        preset | sizes,
        asked.example or subject.example or centred(readings, spec, subject.positions),
        entries=dict.fromkeys((field.name for field in readings), subject.positions),
        choices=choices,
        defaults=defaults | _wave_as_measured(calculation, facts.get("wave")),
        in_title=frozenset({method.name} if method else ()),
        example_note=_example_note(readings, asked.example or subject.example, subject.positions),
    )


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


def gauge_facts(context: Context, named: str | None, method: str) -> dict[str, str] | None:
    """What the shop knows of the gauge that the data name, if it is of the kind that the method reads, else of one that is."""
    known = context.library.shop.gauges
    gauge = known.get(named) if named else None
    if gauge is None or str(gauge.kind) != method:
        gauge = next((found for found in known.values() if str(found.kind) == method), None)
    return None if gauge is None else _facts_of(gauge)


def _facts_of(gauge: Gauge) -> dict[str, str]:
    facts = {"resolution": gauge.resolution, "max_error": gauge.max_error}
    return {name: str(value) for name, value in facts.items() if value is not None}


def centred(readings: Sequence[Field], spec: Limits, positions: int) -> dict[str, Any]:
    """Readings at the centre of the limits, when the author gives none.

    Raises:
        Trouble: it is not measured by readings at positions.
    """
    if not readings:
        raise Trouble((), "no-example", "A calculation by parts needs an example.", "Add example: with cavity and parts.")
    centre = str(Quantity((spec.min.value + spec.max.to(spec.min.unit).value) / 2, spec.min.unit))
    zero = str(Quantity(Fraction(0), spec.min.unit))
    # Of several readings the others are subtracted from the first.
    return {field.name: [_nested(field, centre if field is readings[0] else zero)] * positions for field in readings}


def parts_on_centre(pack: Pack, spec: Limits) -> dict[str, Any]:
    """The cavity and parts of a pack that is measured part by part, as the unit data have them, on the centre of its limits.

    Raises:
        Trouble: no part of the pack has a thickness.
    """
    known = [entry.part for entry in pack.physical_stack if entry.part.thickness is not None]
    if not known:
        raise Trouble((), "no-example", "A calculation by parts needs an example.", "Add example: with cavity and parts.")
    unit = spec.min.unit
    counts = {part.id: known.count(part) for part in known}
    parts = {part.id: part for part in known}
    rows = [
        {"name": part.name, "thickness": str(part.thickness.nominal), "count": counts[part.id]}
        for part in parts.values()
        if part.thickness is not None
    ]
    stack = sum((part.thickness.nominal.to(unit).value for part in known if part.thickness is not None), Fraction(0))
    centre = (spec.min.value + spec.max.to(unit).value) / 2
    return {"cavity": str(Quantity(stack + centre, unit)), "parts": rows}


def _nested(field: Field, reading: str) -> Any:
    """A reading as an entry of its list: several leaves, for example, make one."""
    entry: Any = reading
    for _ in field.declared.many[1:]:
        entry = [entry]
    return entry


def _example_note(readings: Sequence[Field], example: Mapping[str, Any], positions: int) -> str:
    if not example:
        return f"Worked example: readings that put all {positions} positions on the centre of the limits."
    shown = [
        f"{uncapitalised(field.declared.label)} {_listed(example[field.name])}" for field in readings if field.name in example
    ]
    return f"Worked example: {'; '.join(shown) or 'the figures of the working below'}."


def _listed(readings: Sequence[Any]) -> str:
    return ", ".join(" + ".join(map(str, reading)) if isinstance(reading, list) else str(reading) for reading in readings)


def _measures(calculation: Calculation[Any, Any]) -> str:
    return calculation.measures or uncapitalised(calculation.title)


def _text(value: Quantity | None) -> str | None:
    return None if value is None else str(value)
