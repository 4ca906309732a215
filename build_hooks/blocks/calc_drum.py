"""The clearances of a whole drum: its packs, every selective part that touches them, one trial after another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from build_hooks.blocks.calc_measured import (
    DEFAULT_POSITIONS,
    measured_facts,
    readings_of,
    readings_on_centre,
    readings_text,
    source_words,
)
from build_hooks.blocks.calc_packs import kits_of_packs, pack_facts, place_of
from build_hooks.blocks.calc_request import LIFTS, Asked, answer_to_example, by_role, fill
from build_hooks.blocks.calc_sizes import fitted_size
from build_hooks.blocks.context import Trouble
from build_hooks.blocks.wave_plates import wave_preset, wave_said
from build_hooks.forms.controls import converted_words, other_unit
from build_hooks.forms.form import Form, TrialPack, TrialShape
from build_hooks.forms.roles import entry_shape, known_field
from build_hooks.model import Drum, Float, Limits, Method, Pack, Part, Unit
from build_hooks.reading.problems import known_names, listed, quoted
from calc_engine import Element, Field, show

__all__ = ["drum_form", "measured_packs", "set_by_parts"]


def measured_packs(unit: Unit, drum: Drum) -> list[Pack | Float]:
    """The packs of a drum that have limits, and its floats."""
    things: list[Pack | Float] = [*unit.packs.values(), *unit.floats.values()]
    return [found for found in things if found.drum is drum and found.limits is not None]


def set_by_parts(unit: Unit, packs: Sequence[Pack | Float]) -> bool:
    """Whether selective parts set these packs and floats, and none of them touches anything elsewhere."""
    try:
        return bool(kits_of_packs(unit, packs, "drum"))
    except Trouble:
        return False


def drum_form(asked: Asked, drum: Drum) -> Form:
    """The form for a drum.

    Raises:
        Trouble: no pack of the drum has limits, no part sets one, a part touches a pack elsewhere, or the example has no answer.
    """
    unit, fields = asked.unit, _Fields.of(asked)
    packs = [_ReadPack.of(pack, index, fields) for index, pack in enumerate(measured_packs(unit, drum))]
    if not packs:
        raise Trouble(("drum",), "no-limits", f"No pack of “{drum.name}” has clearance limits.", "Write clearance: in unit.yml.")
    kits = kits_of_packs(unit, [read.pack for read in packs], "drum")
    names = {kit.id: {part.id: _asked_for(part) for part in kit.choices} for kit in kits}
    places = entry_shape(fields.places)
    preset = {
        fields.packs.name: [_pack(asked, fields, read) for read in packs],
        fields.places.name: [place_of(places, kit, names[kit.id], unit) for kit in kits],
    }
    sizes = {fields.size_of(at): list(names[kit.id].values()) for at, kit in enumerate(kits)}
    fitted = {kit.name: fitted_size(kit, names[kit.id]) for kit in kits}
    as_limits_mean = {fields.wave_of(read): wave["specified"] for read in packs if (wave := wave_preset(read.pack))}
    example = fill({**preset, **_example(asked, fields, packs, fitted)}, as_limits_mean)
    return Form(
        asked.calculation,
        asked.context.identity(f"calc-{unit.id}-{drum.id}"),
        asked.title or f"{drum.name}: set the clearances",
        f"{listed([read.pack.name for read in packs], 'and')}, with every part that sets them.",
        example,
        answer_to_example(asked.calculation, example, asked.units),
        system=asked.units,
        preset=preset,
        entries={path: read.positions for read in packs for path in fields.readings_of(read)},
        choices=sizes,
        defaults=dict(zip(sizes, fitted.values(), strict=True)) | as_limits_mean,
        example_note=_note(asked, packs),
        subject=f"{unit.id}/{drum.id}",
        sources={read.pack.name: source_words(read.spec) for read in packs},
        trial=TrialShape([kit.name for kit in kits], [_trial_pack(read, fields, as_limits_mean) for read in packs]),
    )


@dataclass(frozen=True, slots=True)
class _Fields:
    """The fields of the calculation that a drum fills, found by their roles."""

    packs: Field
    places: Field
    trials: Field
    fitted: Field
    readings: Field
    wave: Field

    @classmethod
    def of(cls, asked: Asked) -> _Fields:
        request = asked.calculation.request
        packs, trials = known_field("packs", request), known_field("trials", request)
        trial = entry_shape(trials)
        wave = known_field("wave", entry_shape(packs))
        return cls(
            packs, known_field("places", request), trials, known_field("fitted", trial), known_field("readings", trial), wave
        )

    @property
    def identity(self) -> str:
        """What says which size is fitted."""
        return known_field("identity", entry_shape(self.fitted)).name

    def read_by(self, method: str) -> list[Field]:
        """What is read at each position."""
        return readings_of(entry_shape(self.readings), method)

    def size_of(self, place: int) -> str:
        """Path of the size that is fitted in a place."""
        return f"{self.trials.name}.0.{self.fitted.name}.{place}.{self.identity}"

    def readings_of(self, read: _ReadPack) -> Iterator[str]:
        """Paths of the readings of a pack."""
        return (f"{self.trials.name}.0.{self.readings.name}.{read.index}.{field.name}" for field in read.fields)

    def wave_of(self, read: _ReadPack) -> str:
        """Path of how a pack's wave plate sat."""
        return f"{self.packs.name}.{read.index}.{self.wave.name}.measured"


@dataclass(frozen=True, slots=True)
class _ReadPack:
    """A pack or float, its limits, how it is measured, what is read at each position, and which of the drum's it is."""

    pack: Pack | Float
    spec: Limits
    method: str
    fields: Sequence[Field]
    index: int

    @classmethod
    def of(cls, pack: Pack | Float, index: int, fields: _Fields) -> _ReadPack:
        assert pack.limits is not None  # noqa: S101 - `measured_packs` has seen to it
        method = str(pack.limits.method or Method.DIAL)
        return cls(pack, pack.limits, method, fields.read_by(method), index)

    @property
    def positions(self) -> int:
        return self.spec.at or DEFAULT_POSITIONS


def _pack(asked: Asked, fields: _Fields, read: _ReadPack) -> dict[str, Any]:
    shape = entry_shape(fields.packs)
    measured = measured_facts(asked.context, read.pack, read.spec, read.method, by_parts=not read.fields)
    return pack_facts(shape, read.pack, read.index) | by_role(shape, measured)


def _trial_pack(read: _ReadPack, fields: _Fields, waves: Mapping[str, str]) -> TrialPack:
    wave = fields.wave_of(read)
    return TrialPack(read.pack.name, read.method, tuple(_about(read)), wave if wave in waves else "")


def _asked_for(part: Part) -> str:
    """A size as it is asked for at the counter: thickness, mark, number, bin."""
    size = show(part.thickness.nominal) if part.thickness else part.name
    return ", ".join(fact for fact in (size, part.mark, part.number, f"bin {part.bin}" if part.bin else None) if fact)


def _about(read: _ReadPack) -> Iterator[Element | str]:
    spec = read.spec
    yield f"Limits {show(spec.min)} to {show(spec.max)}, {spec.source} revision {spec.revision}.{wave_said(read.pack)} "
    if other := other_unit(spec.min):
        yield converted_words(other, f"{show(spec.min.to(other))} to {show(spec.max.to(other))}")


def _example(asked: Asked, fields: _Fields, packs: Sequence[_ReadPack], fitted: Mapping[str, str]) -> dict[str, Any]:
    """One trial with the parts that the data say are fitted, and the readings of the author, else such as lie on the centre."""
    known = [read.pack.id for read in packs]
    for name in asked.example:
        if name not in known:
            remedy = known_names(name, known, "pack or float with limits")
            raise Trouble(
                ("example", name), "unknown-reference", f"The drum has no pack or float {quoted(name)} with limits.", remedy
            )
    parts = {place: {fields.identity: size} for place, size in fitted.items()}
    readings = {read.pack.name: _readings(asked, fields, read) for read in packs}
    return {fields.trials.name: [{fields.fitted.name: parts, fields.readings.name: readings}]}


def _readings(asked: Asked, fields: _Fields, read: _ReadPack) -> dict[str, Any]:
    given = asked.example.get(read.pack.id)
    if read.pack.id in asked.example and not isinstance(given, dict):
        raise Trouble(
            ("example", read.pack.id),
            "wrong-type",
            f"The readings of {read.pack.id} must be named.",
            f"Write for example {LIFTS[asked.units]}.",
        )
    shape = entry_shape(fields.readings)
    method = by_role(shape, {"method": read.method})
    return method | (given or readings_on_centre(shape, read.fields, read.pack, read.spec, read.positions))


def _note(asked: Asked, packs: Sequence[_ReadPack]) -> str:
    if not asked.example:
        return "Worked example: readings that put every pack on the centre of its limits."
    given = ((read, asked.example[read.pack.id]) for read in packs if read.pack.id in asked.example)
    return f"Worked example: {'; '.join(f'{read.pack.name} {_listed(read, readings)}' for read, readings in given)}."


def _listed(read: _ReadPack, given: Mapping[str, Any]) -> str:
    return " less ".join(readings_text(given[field.name]) for field in read.fields if field.name in given)
