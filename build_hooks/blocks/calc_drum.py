"""The clearances of a whole drum: its packs, every selective part that touches them, one trial after another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from build_hooks.blocks.calc_measured import DEFAULT_POSITIONS, centred, gauge_facts, parts_on_centre, readings_of
from build_hooks.blocks.calc_packs import kits_of_packs, pack_facts
from build_hooks.blocks.calc_request import Asked, answer_to_example, by_role
from build_hooks.blocks.context import Trouble
from build_hooks.blocks.wave_plates import wave_preset, wave_said
from build_hooks.forms.form import Form, TrialPack, TrialShape
from build_hooks.model import ClearanceSpec, Drum, Method, Pack, Part, SelectiveKit, Unit
from build_hooks.reading.problems import did_you_mean, listed, quoted
from calc_engine import Element, Field, Role, element, field_with, find_unit, show

__all__ = ["drum_form", "measured_packs", "set_by_parts"]


def measured_packs(unit: Unit, drum: Drum) -> list[Pack]:
    """The packs of a drum that have limits."""
    return [pack for pack in unit.packs.values() if pack.drum is drum and pack.clearance is not None]


def set_by_parts(unit: Unit, packs: Sequence[Pack]) -> bool:
    """Whether selective parts set these packs, and none of them touches a pack elsewhere."""
    try:
        return bool(kits_of_packs(unit, packs, "drum"))
    except Trouble:
        return False


def drum_form(asked: Asked, drum: Drum) -> Form:
    """The form for a drum.

    Raises:
        Trouble: no pack of the drum has limits, no part sets one, a part touches a pack elsewhere, or the example has no answer.
    """
    unit = asked.unit
    packs = measured_packs(unit, drum)
    if not packs:
        raise Trouble(("drum",), "no-limits", f"No pack of “{drum.name}” has clearance limits.", "Write clearance: in unit.yml.")
    kits = kits_of_packs(unit, packs, "drum")
    fields = _Fields.of(asked)
    read = [_ReadPack(pack, _spec(pack), str(_spec(pack).method or Method.DIAL), index) for index, pack in enumerate(packs)]
    names = {kit.id: {part.id: _asked_for(part) for part in kit.choices if part.thickness} for kit in kits}
    preset = {
        fields.packs[0].name: [_pack(asked, fields, pack) for pack in read],
        fields.places[0].name: [_place(fields.places[1], kit, names[kit.id], unit) for kit in kits],
    }
    waves = {f"{fields.packs[0].name}.{pack.index}.wave.measured": wave_preset(pack.pack) for pack in read}
    started = {kit.name: names[kit.id][(kit.fitted or kit.choices[0]).id] for kit in kits}
    request = _example(asked, fields, read, started)
    for pack, wave in zip(preset[fields.packs[0].name], waves.values(), strict=True):
        if wave:
            pack["wave"] = wave
    example = {**_with_waves(preset, fields), **request}
    return Form(
        asked.calculation,
        asked.context.identity(f"calc-{unit.id}-{drum.id}"),
        asked.title or f"{drum.name}: set the clearances",
        f"{listed([pack.name for pack in packs], 'and')}, with every part that sets them.",
        example,
        answer_to_example(asked.calculation, example),
        preset=preset,
        entries={path: pack.positions for pack in read for path in _paths(fields, pack)},
        choices={f"{fields.fitted_at}.{at}.{fields.identity}": list(names[kit.id].values()) for at, kit in enumerate(kits)},
        defaults={
            **{f"{fields.fitted_at}.{at}.{fields.identity}": started[kit.name] for at, kit in enumerate(kits)},
            **{path: wave["specified"] for path, wave in waves.items() if wave},
        },
        example_note=_note(asked, fields, read),
        trial=TrialShape(
            [kit.name for kit in kits],
            [
                TrialPack(pack.pack.name, pack.method, tuple(_about(pack)), path if wave else "")
                for pack, (path, wave) in zip(read, waves.items(), strict=True)
            ],
        ),
    )


@dataclass(frozen=True, slots=True)
class _ReadPack:
    """A pack, its limits, how it is measured, and which of the drum's it is."""

    pack: Pack
    spec: ClearanceSpec
    method: str
    index: int

    @property
    def positions(self) -> int:
        return self.spec.at or DEFAULT_POSITIONS


def _spec(pack: Pack) -> ClearanceSpec:
    assert pack.clearance is not None  # noqa: S101 - `measured_packs` has seen to it
    return pack.clearance


@dataclass(frozen=True, slots=True)
class _Fields:
    """The fields of the calculation that a drum fills, found by their roles."""

    packs: tuple[Field, type[Any]]
    places: tuple[Field, type[Any]]
    trials: Field
    fitted: Field
    readings: Field
    readings_shape: type[Any]
    identity: str

    @classmethod
    def of(cls, asked: Asked) -> _Fields:
        request = asked.calculation.request
        trials = _field("trials", request)
        fitted, readings = _field("fitted", _shape_of(trials)), _field("readings", _shape_of(trials))
        packs, places = _field("packs", request), _field("places", request)
        identity = _field("identity", _shape_of(fitted)).name
        return cls(
            (packs, _shape_of(packs)), (places, _shape_of(places)), trials, fitted, readings, _shape_of(readings), identity
        )

    @property
    def fitted_at(self) -> str:
        """Where the parts of the present trial stand in the request."""
        return f"{self.trials.name}.0.{self.fitted.name}"


def _field(role: Role, shape: type[Any]) -> Field:
    found = field_with(role, shape)
    assert found is not None, f"the calculation of a drum has no field with the role “{role}”"  # noqa: S101
    return found


def _shape_of(field: Field) -> type[Any]:
    """What each entry of a list, or of a mapping by name, is."""
    shape = field.declared.shape if field.declared.of is None else field.declared.of.shape
    assert shape is not None  # noqa: S101 - these are all groups
    return shape


def _paths(fields: _Fields, pack: _ReadPack) -> Iterator[str]:
    """Of the readings at each position."""
    for field in readings_of(fields.readings_shape, pack.method):
        yield f"{fields.trials.name}.0.{fields.readings.name}.{pack.index}.{field.name}"


def _pack(asked: Asked, fields: _Fields, pack: _ReadPack) -> dict[str, Any]:
    facts: dict[Role, Any] = {"plate count": pack.pack.friction_count or None}
    if readings_of(fields.readings_shape, pack.method):
        # Parts that are measured one by one have a gauge each, and no positions that could differ.
        facts["gauge"] = gauge_facts(asked.context, pack.spec.gauge, pack.method)
        facts["spread limit"] = None if pack.spec.spread_limit is None else str(pack.spec.spread_limit)
    shape = fields.packs[1]
    known = {role: value for role, value in facts.items() if value is not None}
    return pack_facts(shape, pack.pack, pack.index) | by_role(shape, known)


def _with_waves(preset: Mapping[str, Any], fields: _Fields) -> dict[str, Any]:
    """The preset with every wave plate measured as its limits mean it."""
    packs = [
        {**pack, "wave": {**pack["wave"], "measured": pack["wave"]["specified"]}} if "wave" in pack else pack
        for pack in preset[fields.packs[0].name]
    ]
    return {**preset, fields.packs[0].name: packs}


def _place(shape: type[Any], kit: SelectiveKit, names: Mapping[str, str], unit: Unit) -> dict[str, Any]:
    sizes = _shape_of(_field("sizes", shape))
    effect = {unit.packs[name].name: -1 for name in kit.tightens} | {unit.packs[name].name: 1 for name in kit.loosens}
    rows = [_size(sizes, kit, part, names[part.id]) for part in kit.choices if part.id in names]
    return by_role(shape, {"identity": kit.name, "sizes": rows, "effect": effect})


def _size(shape: type[Any], kit: SelectiveKit, part: Part, name: str) -> dict[str, Any]:
    assert part.thickness is not None  # noqa: S101 - only such parts have a name here
    facts: dict[Role, Any] = {"identity": name, "thickness": str(part.thickness.nominal)}
    allowed = max(part.thickness.plus, part.thickness.minus, key=lambda length: length.base)
    if allowed.base:
        facts["tolerance"] = str(allowed)
    if part.id in kit.stock:
        facts["stock"] = kit.stock[part.id]
    return by_role(shape, facts)


def _asked_for(part: Part) -> str:
    """A size as it is asked for at the counter: thickness, mark, number, bin."""
    size = show(part.thickness.nominal) if part.thickness else part.name
    return ", ".join(fact for fact in (size, part.mark, part.number, f"bin {part.bin}" if part.bin else None) if fact)


def _about(pack: _ReadPack) -> Iterator[Element | str]:
    spec = pack.spec
    yield f"Limits {show(spec.min)} to {show(spec.max)}"
    system = "metric" if spec.min.unit.system == "inch" else "inch"
    other = find_unit("mm" if system == "metric" else "in")
    assert other is not None  # noqa: S101 - both are units that every engine knows
    words = f" ({show(spec.min.to(other))} to {show(spec.max.to(other))}, converted)"
    yield element("span", {"class": "bench-converted", "data-system": system}, words)
    yield f", {spec.source} revision {spec.revision}.{wave_said(pack.pack, spec)}"


def _example(asked: Asked, fields: _Fields, packs: Sequence[_ReadPack], started: Mapping[str, str]) -> dict[str, Any]:
    """One trial with the parts that the data say are fitted, and the readings of the author, else such as lie on the centre."""
    known = [pack.pack.id for pack in packs]
    for name in asked.example:
        if name not in known:
            remedy = did_you_mean(name, known) or f"Known: {listed(known, 'and')}."
            raise Trouble(("example", name), "unknown-reference", f"The drum has no pack {quoted(name)} with limits.", remedy)
    fitted = {place: {fields.identity: name} for place, name in started.items()}
    readings = {pack.pack.name: _readings(asked, fields, pack) for pack in packs}
    return {fields.trials.name: [{fields.fitted.name: fitted, fields.readings.name: readings}]}


def _readings(asked: Asked, fields: _Fields, pack: _ReadPack) -> dict[str, Any]:
    given = asked.example.get(pack.pack.id)
    if given is not None and not isinstance(given, dict):
        raise Trouble(
            ("example", pack.pack.id),
            "wrong-type",
            f"The readings of {pack.pack.id} must be named.",
            "Write for example {lifts: [1.31 mm, 1.36 mm]}.",
        )
    read = readings_of(fields.readings_shape, pack.method)
    made = given or (centred(read, pack.spec, pack.positions) if read else parts_on_centre(pack.pack, pack.spec))
    return {**by_role(fields.readings_shape, {"method": pack.method}), **made}


def _note(asked: Asked, fields: _Fields, packs: Sequence[_ReadPack]) -> str:
    if not asked.example:
        return "Worked example: readings that put every pack on the centre of its limits."
    said = (
        f"{pack.pack.name} {_listed(asked.example[pack.pack.id], fields, pack)}"
        for pack in packs
        if pack.pack.id in asked.example
    )
    return f"Worked example: {'; '.join(said)}."


def _listed(given: Mapping[str, Any], fields: _Fields, pack: _ReadPack) -> str:
    shown = [given[field.name] for field in readings_of(fields.readings_shape, pack.method) if field.name in given]
    return " less ".join(
        ", ".join(" + ".join(map(str, one)) if isinstance(one, list) else str(one) for one in row) for row in shown
    )
