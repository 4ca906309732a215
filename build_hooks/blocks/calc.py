"""The calc block: a calculation in the page, preset from a pack, a shaft or several packs."""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Final, cast

from pydantic import Field, PlainValidator

from build_hooks.blocks.context import Context, Trouble
from build_hooks.blocks.wave_plates import wave_preset, wave_said
from build_hooks.forms.form import CarriedOver, Form, form_of
from build_hooks.model import Gauge, Keys, Limits, Method, Pack, Part, SelectiveKit, Unit
from build_hooks.model.fields import Reference, Text, choice_of, fault
from build_hooks.reading.problems import did_you_mean, listed, quoted
from calc_engine import CATALOGUE, Calculation, Element, Refused, Worked, show, work_out

__all__ = ["CalcBody", "render_calc"]

_MOST_POSITIONS: Final = 24
_READINGS: Final[Mapping[str, tuple[str, ...]]] = {
    "dial": ("lifts",),
    "feeler": ("leaves",),
    "depth": ("to_plate", "to_ring"),
    "parts": (),
}
_DEFAULT_POSITIONS: Final = 4


def _as_count(value: object) -> int:
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= _MOST_POSITIONS:
        return value
    raise fault(
        "out-of-range", "The positions must be a whole number.", f"Write 1 to {_MOST_POSITIONS}, for example positions: 4."
    )


def _as_example(value: object) -> dict[str, Any]:
    if isinstance(value, dict):
        return value
    raise fault(
        "wrong-type",
        "The example must name fields of the calculation.",
        "Write for example example: {lifts: [1.31 mm, 1.36 mm]}.",
    )


class CalcBody(Keys):
    """The body of a calc block."""

    calculation: Text = Field(description="A calculation of the engine.", examples=["pack-clearance"])
    unit: Reference | None = Field(
        None, description="The unit's folder, when the page is in another folder.", examples=["alder-4"]
    )
    pack: Reference | None = Field(None, description="The pack that limits, gauge and rings come from.", examples=["forward"])
    packs: tuple[Reference, ...] = Field(
        (), description="For choose-parts: the packs set together.", examples=["[forward, direct]"]
    )
    shaft: Reference | None = Field(None, description="For end-play: the shaft.", examples=["input"])
    method: Annotated[Method, *choice_of(Method, "a way to measure")] | None = Field(
        None, description="How it is measured here, if not as the unit data says.", examples=["dial"]
    )
    positions: Annotated[int, PlainValidator(_as_count)] | None = Field(
        None, description="How many positions are read, if not as the unit data says.", examples=[4]
    )
    title: Text | None = Field(None, description="What stands on top of the panel.", examples=["Forward pack: clearance by dial"])
    example: Annotated[dict[str, Any], PlainValidator(_as_example)] = Field(
        {}, description="Readings of the worked example.", examples=["{lifts: [1.31 mm, 1.36 mm]}"]
    )


def render_calc(body: CalcBody, context: Context) -> Element:
    """The panel with its worked example, answered now by the engine that the page will run.

    Raises:
        Trouble: something named is not there, or the example has no answer; the engine's own words say why.
    """
    calculation = _calculation(body.calculation)
    _refuse_unused(body, calculation)
    if calculation.name == "pack-clearance" and body.pack is not None:
        return form_of(_pack_form(body, context, calculation))
    if calculation.name == "choose-parts" and body.packs:
        return form_of(_parts_form(body, context, calculation))
    if calculation.name == "end-play" and body.shaft is not None:
        return form_of(_shaft_form(body, context, calculation))
    return form_of(_plain_form(body, context, calculation))


# What a block may say of the unit data, by the calculation that uses it.
_USED: Final[Mapping[str, frozenset[str]]] = {
    "pack-clearance": frozenset({"unit", "pack", "method", "positions"}),
    "choose-parts": frozenset({"unit", "packs"}),
    "end-play": frozenset({"unit", "shaft", "positions"}),
}
_ALWAYS_USED: Final = frozenset({"calculation", "title", "example"})
# Without one of these nothing is taken from the unit data.
_FROM_DATA: Final = frozenset({"pack", "packs", "shaft"})


def _refuse_unused(body: CalcBody, calculation: Calculation[Any, Any]) -> None:
    """A key that changes nothing was meant for something: the reader would get another calculation than the author meant.

    Raises:
        Trouble: at the first key that this calculation does not use.
    """
    given = body.model_fields_set - _ALWAYS_USED
    used = _USED.get(calculation.name, frozenset())
    for key in CalcBody.model_fields:
        if key in given and key not in used:
            users = [name for name, keys in _USED.items() if key in keys]
            raise Trouble(
                (key,),
                "unused-key",
                f"{calculation.name} does not use {key}.",
                f"Take it out. {key} is for {listed(users, 'and')}.",
            )
    if given and not given & _FROM_DATA:
        key = next(key for key in CalcBody.model_fields if key in given)
        names = sorted(used & _FROM_DATA)
        raise Trouble(
            (key,), "unused-key", f"{key} has no effect without {listed(names)}.", f"Name the {listed(names)}, or take {key} out."
        )


def _calculation(name: str) -> Calculation[Any, Any]:
    if name in CATALOGUE:
        return CATALOGUE[name]
    remedy = did_you_mean(name, CATALOGUE) or f"Known: {listed(CATALOGUE, 'and')}."
    raise Trouble(("calculation",), "unknown-calculation", f"There is no calculation {quoted(name)}.", remedy)


def _answered(calculation: Calculation[Any, Any], request: Mapping[str, Any]) -> Worked:
    try:
        return work_out(calculation.name, dict(request))
    except Refused as refused:
        found = refused.problems[0]
        path: tuple[str | int, ...] = tuple(int(step) if step.isdigit() else step for step in found.field.split(".") if step)
        more = f" ({len(refused.problems) - 1} more)" if len(refused.problems) > 1 else ""
        raise Trouble(
            ("example", *path),
            f"example-{found.code}",
            f"The example has no answer: {found.message}{more}",
            found.remedy,
        ) from None


def _form(
    calculation: Calculation[Any, Any],
    identity: str,
    title: str,
    about: str,
    preset: dict[str, Any],
    example: Mapping[str, Any],
    **more: Any,
) -> Form:
    request = _merged(preset, more.get("defaults", {}), example)
    return Form(calculation, identity, title, about, request, _answered(calculation, request), preset=preset, **more)


def _merged(preset: Mapping[str, Any], defaults: Mapping[str, str], example: Mapping[str, Any]) -> dict[str, Any]:
    request: dict[str, Any] = copy.deepcopy({**preset, **example})
    for path, value in defaults.items():
        target: Any = request
        *parents, last = path.split(".")
        for step in parents:
            target = target[int(step)] if isinstance(target, list) else target[step]
        target.setdefault(last, value)
    return request


# --- one pack -----------------------------------------------------------------------------------------------------------


def _pack_form(body: CalcBody, context: Context, calculation: Calculation[Any, Any]) -> Form:
    unit = context.unit(body.unit)
    assert body.pack is not None  # noqa: S101 - the caller has seen to it
    pack = context.pack(unit, body.pack)
    if pack.clearance is None:
        raise Trouble(
            ("pack",), "no-limits", f"The pack “{pack.name}” has no clearance limits.", "Write its clearance in unit.yml."
        )
    spec = pack.clearance
    method = str(body.method or spec.method or Method.DIAL)
    positions = body.positions or spec.at or _DEFAULT_POSITIONS
    preset: dict[str, Any] = {"method": method, "limits": _limits(spec)}
    if pack.friction_count:
        preset["friction_plates"] = pack.friction_count
    gauge = _gauge(context, spec.gauge, method)
    if gauge is not None and method != "parts":
        preset["gauge"] = _gauge_facts(gauge)
    if spec.spread_limit is not None and method != "parts":
        preset["spread_limit"] = str(spec.spread_limit)
    choices: dict[str, Sequence[str]] = {}
    defaults: dict[str, str] = {}
    wave = wave_preset(pack)
    if wave is not None:
        preset["wave"] = wave
        # Asked, not taken for granted: how it was when measured decides the answer.
        defaults["wave.measured"] = wave["specified"]
    _one_kit(unit, pack.id, preset, choices, defaults)
    return _form(
        calculation,
        context.identity(f"calc-{unit.id}-{pack.id}"),
        body.title or f"{pack.name}: clearance by {method}",
        f"Limits {show(spec.min)} to {show(spec.max)}, {spec.source} revision {spec.revision}.{wave_said(pack, spec)}",
        preset,
        body.example or _first_example(method, spec, positions),
        entries=dict.fromkeys(_READINGS[method], positions),
        choices=choices,
        defaults=defaults,
        hidden=frozenset({"gauge", "wave", "spread_limit", "fitted", "choices", "friction_plates"} - set(choices)),
        example_note=_example_note(body.example, method, positions),
    )


def _limits(spec: Limits) -> dict[str, str]:
    return {"min": str(spec.min), "max": str(spec.max)}


def _gauge(context: Context, named: str | None, method: str) -> Gauge | None:
    """The gauge that the data names, if it is of the kind that the method reads."""
    gauge = context.library.shop.gauges.get(named) if named else None
    if gauge is not None and str(gauge.kind) == method:
        return gauge
    return next((found for found in context.library.shop.gauges.values() if str(found.kind) == method), None)


def _gauge_facts(gauge: Gauge) -> dict[str, str]:
    facts = {"resolution": gauge.resolution, "max_error": gauge.max_error}
    return {name: str(value) for name, value in facts.items() if value is not None}


def _one_kit(
    unit: Unit, target: str, preset: dict[str, Any], choices: dict[str, Sequence[str]], defaults: dict[str, str]
) -> None:
    """The sizes of the selective part that sets this pack alone; a part between two packs is for choose-parts."""
    kits = [kit for kit in unit.kits_of(target) if kit.tightens == (target,) and not kit.loosens]
    if not kits:
        return
    kit = kits[0]
    names = _size_names(kit)
    preset["choices"] = [_size(kit, part, names) for part in kit.choices if part.thickness is not None]
    choices["fitted"] = [names[part.id] for part in kit.choices]
    defaults["fitted"] = names[(kit.fitted or kit.choices[0]).id]


def _size_names(kit: SelectiveKit) -> dict[str, str]:
    """What tells the sizes of a kit apart for a reader: mark, else number, else name."""
    for facts in (
        [part.mark for part in kit.choices],
        [part.number for part in kit.choices],
        [part.name for part in kit.choices],
    ):
        if all(facts) and len(set(facts)) == len(facts):
            return {part.id: str(fact) for part, fact in zip(kit.choices, facts, strict=True)}
    return {part.id: part.id for part in kit.choices}


def _size(kit: SelectiveKit, part: Part, names: Mapping[str, str]) -> dict[str, Any]:
    assert part.thickness is not None  # noqa: S101 - the checks have seen to it
    stock = {"stock": kit.stock[part.id]} if part.id in kit.stock else {}
    return {"id": names[part.id], "thickness": str(part.thickness.nominal), **stock}


def _first_example(method: str, spec: Limits, positions: int) -> dict[str, Any]:
    """Readings at the centre of the limits, when the author gives none."""
    centre = str(type(spec.min)((spec.min.value + spec.max.to(spec.min.unit).value) / 2, spec.min.unit))
    if method == "feeler":
        return {"leaves": [[centre]] * positions}
    if method == "depth":
        zero = f"0 {spec.min.unit.name}"
        return {"to_plate": [centre] * positions, "to_ring": [zero] * positions}
    if method == "dial":
        return {"lifts": [centre] * positions}
    raise Trouble((), "no-example", "A calculation by parts needs an example.", "Add example: with cavity and parts.")


def _example_note(example: Mapping[str, Any], method: str, positions: int) -> str:
    if example:
        return f"Worked example: {_readings(example, method)}"
    return f"Worked example: readings that put all {positions} positions on the centre of the limits."


def _readings(example: Mapping[str, Any], method: str) -> str:
    if method == "feeler" and "leaves" in example:
        return f"leaves {', '.join(' + '.join(leaves) for leaves in example['leaves'])}."
    if method == "depth" and "to_plate" in example:
        return f"to the plate {', '.join(example['to_plate'])}; to the ring {', '.join(example.get('to_ring', []))}."
    if method == "dial" and "lifts" in example:
        return f"lifts {', '.join(example['lifts'])}."
    return "the figures of the working below."


# --- several packs ------------------------------------------------------------------------------------------------------


def _parts_form(body: CalcBody, context: Context, calculation: Calculation[Any, Any]) -> Form:
    unit = context.unit(body.unit)
    packs = [context.pack(unit, name, ("packs", index)) for index, name in enumerate(body.packs)]
    kits = [kit for kit in unit.kits.values() if any(pack.id in (*kit.tightens, *kit.loosens) for pack in packs)]
    if not kits:
        raise Trouble(("packs",), "no-kit", "No selective part sets these packs.", "Write the kit under selective: in unit.yml.")
    outside = sorted({name for kit in kits for name in (*kit.tightens, *kit.loosens)} - {pack.id for pack in packs})
    if outside:
        raise Trouble(
            ("packs",),
            "shared-kit",
            f"A part of these packs also changes {listed(outside, 'and')}.",
            "Name every pack that it touches.",
        )
    names = {kit.id: _size_names(kit) for kit in kits}
    preset = {
        "packs": [_pack_to_set(pack, index) for index, pack in enumerate(packs)],
        "positions": [_position(kit, names[kit.id], unit) for kit in kits],
    }
    defaults = {f"positions.{index}.fitted": names[kit.id][(kit.fitted or kit.choices[0]).id] for index, kit in enumerate(kits)}
    example = _with_clearances(preset, packs, body.example)
    return Form(
        calculation,
        context.identity(f"calc-{unit.id}-parts"),
        body.title or f"{listed([pack.name for pack in packs], 'and')}: choose the parts",
        f"Set together, because parts of the stack touch more than one pack: {listed([kit.name for kit in kits], 'and')}.",
        (request := _merged(example, defaults, {})),
        _answered_parts(calculation, request),
        preset=preset,
        choices={f"positions.{index}.fitted": list(names[kit.id].values()) for index, kit in enumerate(kits)},
        defaults=defaults,
        carried={
            f"packs.{index}.{output}": CarriedOver(f"calc-{unit.id}-{pack.id}", output)
            for index, pack in enumerate(packs)
            for output in ("clearance", "uncertainty")
        },
        hidden=frozenset({"top"}),
        example_note=f"Worked example: {', '.join(f'{pack.name} {given}' for pack, given in _clearances(packs, body.example))}.",
    )


def _answered_parts(calculation: Calculation[Any, Any], request: Mapping[str, Any]) -> Worked:
    try:
        return _answered(calculation, request)
    except Trouble as trouble:
        # The author gave clearances, not the request they were put into.
        raise Trouble(("example",), trouble.code, trouble.message, trouble.remedy) from None


def _pack_to_set(pack: Pack, index: int) -> dict[str, Any]:
    if pack.clearance is None:
        raise Trouble(
            ("packs", index), "no-limits", f"The pack “{pack.name}” has no clearance limits.", "Write its clearance in unit.yml."
        )
    target = {"target": str(pack.clearance.target)} if pack.clearance.target else {}
    return {"name": pack.name, "limits": _limits(pack.clearance), **target}


def _position(kit: SelectiveKit, names: Mapping[str, str], unit: Unit) -> dict[str, Any]:
    effect = {unit.packs[name].name: -1 for name in kit.tightens} | {unit.packs[name].name: 1 for name in kit.loosens}
    return {"name": kit.name, "choices": [_size(kit, part, names) for part in kit.choices], "effect": effect}


def _clearances(packs: Sequence[Pack], example: Mapping[str, Any]) -> list[tuple[Pack, str]]:
    given = example.get("clearances")
    if not isinstance(given, dict):
        raise Trouble(
            ("example",),
            "no-example",
            "The example must give the clearances.",
            "Write example: {clearances: {forward: 1.35 mm}}.",
        )
    missing = [pack.id for pack in packs if pack.id not in given]
    if missing:
        raise Trouble(
            ("example", "clearances"),
            "no-example",
            f"The example has no clearance for {listed(missing, 'and')}.",
            "Give one for each pack.",
        )
    return [(pack, str(given[pack.id])) for pack in packs]


def _with_clearances(preset: Mapping[str, Any], packs: Sequence[Pack], example: Mapping[str, Any]) -> dict[str, Any]:
    given = _clearances(packs, example)
    filled = [
        {**cast("dict[str, Any]", known), "clearance": value} for known, (_, value) in zip(preset["packs"], given, strict=True)
    ]
    return {"packs": filled, "positions": [dict(position) for position in preset["positions"]]}


# --- a shaft, and everything else ---------------------------------------------------------------------------------------


def _shaft_form(body: CalcBody, context: Context, calculation: Calculation[Any, Any]) -> Form:
    unit = context.unit(body.unit)
    assert body.shaft is not None  # noqa: S101 - the caller has seen to it
    shaft = context.shaft(unit, body.shaft)
    spec = shaft.end_play
    positions = body.positions or spec.at or 1
    preset: dict[str, Any] = {"limits": _limits(spec)}
    gauge = _gauge(context, spec.gauge, "dial")
    if gauge is not None:
        preset["gauge"] = _gauge_facts(gauge)
    choices: dict[str, Sequence[str]] = {}
    defaults: dict[str, str] = {}
    _one_kit(unit, shaft.id, preset, choices, defaults)
    return _form(
        calculation,
        context.identity(f"calc-{unit.id}-{shaft.id}"),
        body.title or f"{shaft.name}: end play",
        f"Limits {show(spec.min)} to {show(spec.max)}, {spec.source} revision {spec.revision}.",
        preset,
        body.example or _first_example("dial", spec, positions),
        entries={"lifts": positions},
        choices=choices,
        defaults=defaults,
        hidden=frozenset({"gauge", "fitted", "choices", "effect"} - set(choices)),
        example_note=_example_note(body.example, "dial", positions),
    )


def _plain_form(body: CalcBody, context: Context, calculation: Calculation[Any, Any]) -> Form:
    return _form(
        calculation,
        context.identity(f"calc-{calculation.name}"),
        body.title or calculation.title,
        calculation.about,
        {},
        body.example or calculation.example,
        example_note="Worked example: the figures of the working below.",
    )
