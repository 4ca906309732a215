"""The calc block: a calculation in the page, filled from a pack, a shaft, several packs or a whole drum of the unit data."""

from __future__ import annotations

from typing import Annotated, Any, Final

from pydantic import Field, PlainValidator, ValidationInfo

from build_hooks.blocks.calc_drum import drum_form
from build_hooks.blocks.calc_gears import gears_form
from build_hooks.blocks.calc_given import given_form
from build_hooks.blocks.calc_measured import pack_form, shaft_form
from build_hooks.blocks.calc_packs import packs_form
from build_hooks.blocks.calc_request import LIFTS, NO_READINGS_NOTE, Asked, answered_form
from build_hooks.blocks.context import Context, Trouble
from build_hooks.forms.form import Form
from build_hooks.forms.panel import form_of
from build_hooks.model import Keys, Method
from build_hooks.model.fields import Reference, Text, UnitsField, choice_of, fault, system_in
from build_hooks.own import FOLDER
from build_hooks.process.time_limit import LimitError
from build_hooks.reading.problems import known_names, listed, quoted
from calc_engine import BUILT_IN, CATALOGUE, MOST_POSITIONS, Calculation, Element, Role, System, field_with

__all__ = ["CalcBody", "render_calc"]


def _as_count(value: object) -> int:
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= MOST_POSITIONS:
        return value
    raise fault(
        "out-of-range", "The positions must be a whole number.", f"Write 1 to {MOST_POSITIONS}, for example positions: 4."
    )


def _as_example(value: object, info: ValidationInfo) -> dict[str, Any]:
    if isinstance(value, dict):
        return value
    raise fault(
        "wrong-type",
        f"{'What is given' if info.field_name == 'given' else 'The example'} must name fields of the calculation.",
        f"Write for example {info.field_name}: {'{torque: 35 N.m}' if info.field_name == 'given' else LIFTS[system_in(info)]}.",
    )


class CalcBody(Keys):
    """The body of a calc block."""

    calculation: Text = Field(description="A calculation of the engine.", examples=["pack-clearance"])
    unit: Reference | None = Field(
        None, description="The unit's folder, when the page is in another folder.", examples=["alder-4"]
    )
    pack: Reference | None = Field(None, description="The pack that limits, gauge and rings come from.", examples=["forward"])
    packs: tuple[Reference, ...] = Field(
        (), description="For choose-parts: the packs and floats set together.", examples=["[forward, direct]"]
    )
    shaft: Reference | None = Field(None, description="For end-play: the shaft.", examples=["input"])
    drum: Reference | None = Field(
        None, description="For set-clearances: the drum, with all its packs, floats and selective parts.", examples=["front-drum"]
    )
    method: Annotated[Method, *choice_of(Method, "a way to measure")] | None = Field(
        None, description="How it is measured here, if not as the unit data says.", examples=["dial"]
    )
    positions: Annotated[int, PlainValidator(_as_count)] | None = Field(
        None, description="How many positions are read, if not as the unit data says.", examples=[4]
    )
    units: UnitsField | None = Field(
        None, description="The units that the form starts in, if not those of the shop.", examples=["inch"]
    )
    title: Text | None = Field(None, description="What stands on top of the panel.", examples=["Forward pack: clearance by dial"])
    example: Annotated[dict[str, Any], PlainValidator(_as_example)] = Field(
        {}, description="Readings of the worked example.", examples=["{lifts: [1.31 mm, 1.36 mm]}"]
    )
    given: Annotated[dict[str, Any], PlainValidator(_as_example)] = Field(
        {}, description="What this page says already, so that the form does not ask for it.", examples=["{torque: 35 N.m}"]
    )


def render_calc(body: CalcBody, context: Context) -> Element:
    """The panel with its worked example, answered now by the engine that the page will run.

    Raises:
        Trouble: something named is not there, or the example has no answer; the engine's own words say why.
    """
    calculation = _calculation(body.calculation, context)
    _refuse_unused(body, calculation)
    try:
        return form_of(_form(body, context, calculation))
    except (Trouble, LimitError):
        raise
    except Exception as fault:
        if calculation.name in BUILT_IN:
            raise
        # The manual's own, which works with its own example: this block gives it something else.
        said = f"{type(fault).__name__}: {fault}" if str(fault) else type(fault).__name__
        raise Trouble(
            ("example",) if body.example else ("calculation",),
            "calculation-fails",
            f"The calculation fails on what this block gives it: {quoted(said)}.",
            f"Mend {FOLDER}/{calculation.name.replace('-', '_')}.py, or refuse such a request in it.",
        ) from None


def _form(body: CalcBody, context: Context, calculation: Calculation[Any, Any]) -> Form:
    if calculation.subject and calculation.subject in body.model_fields_set:
        unit = context.unit(body.unit)
        asked = Asked(calculation, context, unit, body.title, body.example, body.method, body.positions, _units(body, context))
        if body.pack is not None:
            return pack_form(asked, context.pack(unit, body.pack))
        if body.shaft is not None:
            return shaft_form(asked, context.shaft(unit, body.shaft))
        if body.drum is not None:
            return drum_form(asked, context.drum(unit, body.drum))
        if calculation.subject == "unit":
            return gears_form(asked, unit)
        if body.packs:
            return packs_form(asked, [context.measured(unit, name, ("packs", index)) for index, name in enumerate(body.packs)])
    identity, title = context.identity(f"calc-{calculation.name}"), body.title or calculation.title
    if body.given:
        return given_form(calculation, identity, title, body.given, body.example, _units(body, context))
    return answered_form(
        calculation,
        identity,
        title,
        calculation.about,
        {},
        body.example or calculation.example,
        system=_units(body, context),
        example_note=NO_READINGS_NOTE,
    )


def _units(body: CalcBody, context: Context) -> System:
    return body.units or context.library.shop.units


_ALWAYS_USED: Final = frozenset({"calculation", "title", "units", "example", "given"})
# A key of the block that fills a field of the calculation, by the field's role.
_KEY_OF_ROLE: Final[dict[Role, str]] = {"method": "method", "reading": "positions"}


def _keys_used(calculation: Calculation[Any, Any]) -> frozenset[str]:
    """What a block may take from the unit data for a calculation."""
    if not calculation.subject:
        return frozenset()
    by_role = {key for role, key in _KEY_OF_ROLE.items() if field_with(role, calculation.request)}
    return frozenset({"unit", calculation.subject} | by_role)


def _refuse_unused(body: CalcBody, calculation: Calculation[Any, Any]) -> None:
    """A key that changes nothing was meant for something: the reader would get another calculation than the author meant.

    Raises:
        Trouble: at the first key that this calculation does not use.
    """
    given = [key for key in CalcBody.model_fields if key in body.model_fields_set - _ALWAYS_USED]
    used = _keys_used(calculation)
    for key in given:
        if key not in used:
            users = [name for name, known in CATALOGUE.items() if key in _keys_used(known)]
            raise Trouble(
                (key,),
                "unused-key",
                f"{calculation.name} does not use {key}.",
                f"Take it out. {key} is for {listed(users, 'and')}.",
            )
    if body.given and calculation.subject in given:
        message = f"given has no effect beside {calculation.subject}: the unit data fill the form."
        raise Trouble(("given",), "unused-key", message, f"Take it out, or take {calculation.subject} out.")
    if given and calculation.subject not in given:
        message = f"{given[0]} has no effect without {calculation.subject}."
        raise Trouble((given[0],), "unused-key", message, f"Name the {calculation.subject}, or take {given[0]} out.")


def _calculation(name: str, context: Context) -> Calculation[Any, Any]:
    if name in CATALOGUE:
        return CATALOGUE[name]
    file = context.library.own.at_fault.get(name)
    if file is not None:
        message = f"The calculation {quoted(name)} has problems of its own."
        raise Trouble(("calculation",), "calculation-at-fault", message, f"Mend {file} first.")
    remedy = known_names(name, CATALOGUE, "calculation")
    raise Trouble(("calculation",), "unknown-calculation", f"There is no calculation {quoted(name)}.", remedy)
