"""The JSON Schema of a calculation, made from its declaration."""

from __future__ import annotations

from typing import Any

from calc_engine.declare.calculation import Calculation
from calc_engine.declare.fields import Declared, Field, fields_of
from calc_engine.quantities.units import UNITS, Dimension
from calc_engine.version import VERSION

__all__ = ["describe", "listing"]

_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def listing(calculations: list[Calculation[Any, Any]]) -> list[dict[str, str]]:
    """Name, title and purpose of each calculation.

    Args:
        calculations: of the catalogue.
    """
    return [{"name": item.name, "title": item.title, "about": item.about} for item in calculations]


def describe(calculation: Calculation[Any, Any]) -> dict[str, Any]:
    """Inputs and outputs of a calculation as JSON Schemas, with units and help.

    Args:
        calculation: one of the catalogue.

    Returns:
        A JSON-ready object with ``inputs`` and ``outputs`` (JSON Schema 2020-12), ``formulas``, ``sources`` and ``example``.
    """
    inputs = _object(calculation.request)
    inputs["properties"]["units"] = {
        "title": "Units of the answer",
        "description": "All results in metric or in inch units; else in the units of the limits or of the first input.",
        "enum": ["metric", "inch"],
    }
    for field in fields_of(calculation.request):
        if field.declared.also_sent_as == "units":
            # The contract gives the word a second meaning there: see `answer`.
            inputs["properties"]["units"] = {"anyOf": [inputs["properties"]["units"], inputs["properties"][field.name]]}
    return {
        "name": calculation.name,
        "title": calculation.title,
        "about": calculation.about,
        "engine": VERSION,
        "inputs": {"$schema": _DRAFT, **inputs},
        "outputs": {"$schema": _DRAFT, **_object(calculation.result)},
        "formulas": list(calculation.formulas),
        "sources": [{"title": source.title, "place": source.place, "remark": source.remark} for source in calculation.sources],
        "example": dict(calculation.example),
    }


def _object(shape: type[Any]) -> dict[str, Any]:
    fields = fields_of(shape)
    made: dict[str, Any] = {
        "type": "object",
        "properties": {field.name: _property(field) for field in fields},
        "required": [field.name for field in fields if not field.declared.optional and field.declared.when is None],
        "additionalProperties": False,
    }
    conditions = [_condition(field) for field in fields if field.declared.when is not None]
    if conditions:
        made["allOf"] = conditions
    return made


def _condition(field: Field) -> dict[str, Any]:
    assert field.declared.when is not None  # noqa: S101 - the caller has seen to it
    on, words = field.declared.when
    then = {"properties": {field.name: True}} if field.declared.optional else {"required": [field.name]}
    return {
        "if": {"properties": {on: {"enum": list(words)}}, "required": [on]},
        "then": then,
        "else": {"properties": {field.name: False}},
    }


def _property(field: Field) -> dict[str, Any]:
    declared = field.declared
    inner = _single(declared)
    for fewest, most in reversed(declared.many):
        inner = {"type": "array", "items": inner, "minItems": fewest, "maxItems": most}
    return {"title": declared.label, "description": declared.help, **inner}


def _single(declared: Declared) -> dict[str, Any]:
    if declared.kind == "group":
        assert declared.shape is not None  # noqa: S101 - `group` always sets it
        return _object(declared.shape)
    if declared.kind == "amount" or declared.dimension is not None:
        return _amount(declared)
    if declared.kind == "mapping":
        return _mapping(declared)
    simple: dict[str, dict[str, Any]] = {
        "quantity": {"type": "string", "x-units": [unit.name for unit in UNITS]},
        "text": {"type": "string", "minLength": 1, "maxLength": 200},
        "prose": {"type": "string", "minLength": 1, "maxLength": 2000},
        "flag": {"type": "boolean"},
        "choice": {"enum": [option.value for option in declared.options]},
        "number": {"type": ["number", "string"], **_bounds(declared)},
        "count": {"type": "integer", **_bounds(declared)},
    }
    return simple[declared.kind]


def _bounds(declared: Declared) -> dict[str, Any]:
    made: dict[str, Any] = {}
    if declared.least is not None:
        made["exclusiveMinimum" if declared.above_least else "minimum"] = float(declared.least)
    if declared.most is not None:
        made["maximum"] = float(declared.most)
    return made


def _amount(declared: Declared) -> dict[str, Any]:
    assert declared.dimension is not None  # noqa: S101 - `amount` always sets it
    made: dict[str, Any] = {
        "type": ["string", "number"] if declared.bare_unit else "string",
        "x-dimension": str(declared.dimension),
        "x-units": unit_names(declared.dimension),
    }
    if declared.bare_unit:
        made["x-unit-when-bare"] = declared.bare_unit
    if declared.least_text:
        made["x-above" if declared.above_least else "x-least"] = declared.least_text
    if declared.most_text:
        made["x-most"] = declared.most_text
    return made


def unit_names(dimension: Dimension) -> list[str]:
    """The names of the units of a dimension.

    Args:
        dimension: what the units measure.
    """
    return [unit.name for unit in UNITS if unit.dimension is dimension]


def _mapping(declared: Declared) -> dict[str, Any]:
    value = _single(declared.of) if declared.of else {"enum": list(declared.allowed)}
    return {"type": "object", "additionalProperties": value, "minProperties": declared.names[0]}
