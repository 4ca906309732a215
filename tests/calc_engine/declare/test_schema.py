"""The schemas that `describe` gives, held against the requests that the engine answers."""

from __future__ import annotations

import dataclasses
import json
import typing
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest

from calc_engine import CATALOGUE, VERSION, Declared, Quantity, answer, describe, fields_of, listing
from calc_engine.declare.schema import unit_names
from calc_engine.quantities.units import Dimension, find_unit

NAMES = list(CATALOGUE)
TYPES: dict[str, Any] = {
    "object": dict, "array": list, "string": str, "boolean": bool, "integer": int, "number": (int, float),
}  # fmt: skip
KNOWN = {
    "title", "description", "type", "properties", "required", "additionalProperties", "allOf", "enum", "items", "minItems", "maxItems", "minLength",
    "anyOf", "maxLength",
    "minimum", "maximum", "exclusiveMinimum", "minProperties", "$schema", "x-dimension", "x-units", "x-unit-when-bare", "x-least",
    "x-above", "x-most",
}  # fmt: skip


def faults(schema: Any, value: Any, place: str = "") -> Iterator[str]:
    """Where a value breaks a schema: as much of JSON Schema as `describe` uses, and nothing it does not know."""
    if isinstance(schema, bool):
        if not schema:
            yield f"{place}: not allowed"
        return
    assert set(schema) <= KNOWN, set(schema) - KNOWN
    if "anyOf" in schema:
        each = [list(faults(one, value, place)) for one in schema["anyOf"]]
        yield from () if [] in each else each[0]
    wanted = schema.get("type", [])
    allowed = tuple(TYPES[name] for name in ([wanted] if isinstance(wanted, str) else wanted))
    if allowed and (not isinstance(value, allowed) or (isinstance(value, bool) and bool not in allowed)):
        yield f"{place}: {type(value).__name__} is not {wanted}"
        return
    if "enum" in schema and value not in schema["enum"]:
        yield f"{place}: {value!r} is not one of {schema['enum']}"
    if isinstance(value, (int, float)):
        yield from number_faults(schema, value, place)
    if isinstance(value, str):
        yield from text_faults(schema, value, place)
    if isinstance(value, list):
        if not schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", len(value)):
            yield f"{place}: {len(value)} entries"
        for index, item in enumerate(value):
            yield from faults(schema["items"], item, f"{place}.{index}")
    if isinstance(value, dict):
        yield from object_faults(schema, value, place)


def number_faults(schema: dict[str, Any], value: float, place: str) -> Iterator[str]:
    """A number beyond its bounds."""
    if (
        value < schema.get("minimum", value)
        or value <= schema.get("exclusiveMinimum", value - 1)
        or value > schema.get("maximum", value)
    ):
        yield f"{place}: {value} is out of range"


def text_faults(schema: dict[str, Any], value: str, place: str) -> Iterator[str]:
    """A text too short or long, or a quantity in a unit that is not offered."""
    if not schema.get("minLength", 0) <= len(value) <= schema.get("maxLength", len(value)):
        yield f"{place}: {len(value)} characters"
    if "x-units" in schema:
        unit = find_unit(value.partition(" ")[2] or schema.get("x-unit-when-bare", ""))
        if unit is None or unit.name not in schema["x-units"]:
            yield f"{place}: {value} is in none of {schema['x-units']}"


def object_faults(schema: dict[str, Any], value: dict[str, Any], place: str) -> Iterator[str]:
    """Missing, unknown and wrong properties, and what depends on another."""
    properties = schema.get("properties", {})
    if len(value) < schema.get("minProperties", 0):
        yield f"{place}: empty"
    yield from (f"{place}.{name}: missing" for name in schema.get("required", []) if name not in value)
    for name, item in value.items():
        yield from faults(properties.get(name, schema.get("additionalProperties", True)), item, f"{place}.{name}")
    for condition in schema.get("allOf", []):
        holds = not list(faults(condition["if"] | {"type": "object"}, value))
        yield from faults(condition["then" if holds else "else"], value, place)


def inputs(name: str) -> Any:
    """The schema of a calculation's inputs."""
    return describe(CATALOGUE[name])["inputs"]


@pytest.mark.parametrize("name", NAMES)
def test_every_example_keeps_its_schema_and_so_does_its_answer(name: str) -> None:
    """What the engine answers is what it described."""
    example = json.loads(json.dumps(dict(CATALOGUE[name].example)))
    described = describe(CATALOGUE[name])
    assert list(faults(described["inputs"], example)) == []
    assert list(faults(described["inputs"], example | {"units": "inch"})) == []
    for units in ({}, {"units": "metric"}, {"units": "inch"}):
        reply = answer(name, example | units)
        assert list(faults(described["outputs"], json.loads(json.dumps(reply["result"])))) == []


@pytest.mark.parametrize("name", NAMES)
def test_a_description_is_json_with_all_its_parts(name: str) -> None:
    """Name, purpose, schemas, formulas, sources, example."""
    calculation = CATALOGUE[name]
    described = describe(calculation)
    assert json.loads(json.dumps(described, allow_nan=False)) == json.loads(json.dumps(described))
    assert list(described) == ["name", "title", "about", "engine", "inputs", "outputs", "formulas", "sources", "example"]
    assert (described["name"], described["title"], described["about"], described["engine"]) == (
        name, calculation.title, calculation.about, VERSION,
    )  # fmt: skip
    assert described["formulas"] == list(calculation.formulas)
    assert described["sources"]
    assert [source["title"] for source in described["sources"]] == [source.title for source in calculation.sources]
    assert all(set(source) == {"title", "place", "remark"} for source in described["sources"])
    assert all(
        side["$schema"] == "https://json-schema.org/draft/2020-12/schema" for side in (described["inputs"], described["outputs"])
    )


def test_the_listing_names_every_calculation_in_order() -> None:
    """Name, title and purpose."""
    assert listing(list(CATALOGUE.values())) == [
        {"name": item.name, "title": item.title, "about": item.about} for item in CATALOGUE.values()
    ]
    assert all(item["about"].endswith(".") and item["title"] for item in listing(list(CATALOGUE.values())))


GOOD: dict[str, Any] = {"method": "dial", "lifts": ["1 mm"], "limits": {"min": "0.9 mm", "max": "1.4 mm"}}


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({}, []),
        ({"method": "guess"}, [".method: 'guess' is not one of ['dial', 'feeler', 'depth', 'parts']", ".lifts: not allowed"]),
        ({"lifts": []}, [".lifts: 0 entries"]),
        ({"lifts": [1]}, [".lifts.0: int is not string"]),
        ({"lifts": ["1 psi"]}, [".lifts.0: 1 psi is in none of ['mm', 'um', 'm', 'in', 'thou']"]),
        ({"lifts": ...}, [".lifts: missing"]),
        ({"limits": {"min": "1 mm"}}, [".limits.max: missing"]),
        ({"friction_plates": 0}, [".friction_plates: 0 is out of range"]),
        ({"friction_plates": 61}, [".friction_plates: 61 is out of range"]),
        ({"friction_plates": True}, [".friction_plates: bool is not integer"]),
        ({"fitted": ""}, [".fitted: 0 characters"]),
        ({"cavity": "1 mm"}, [".cavity: not allowed"]),
        ({"lift": 1}, [".lift: not allowed"]),
        ({"units": "imperial"}, [".units: 'imperial' is not one of ['metric', 'inch']"]),
    ],
)  # fmt: skip
def test_the_schema_refuses_what_the_engine_refuses(changes: dict[str, Any], fault: list[str]) -> None:
    """At the same place."""
    request = {name: value for name, value in (GOOD | changes).items() if value is not ...}
    assert list(faults(inputs("pack-clearance"), request)) == fault
    assert answer("pack-clearance", request)["ok"] is (fault == [])


def test_what_is_described_of_an_amount() -> None:
    """Its dimension, units and limits of sense."""
    gauge = inputs("pack-clearance")["properties"]["gauge"]["properties"]
    assert gauge["resolution"] == {
        "title": "Smallest division", "description": "The smallest step the gauge shows. It is on the dial's face or in its papers.",
        "type": "string", "x-dimension": "length", "x-units": ["mm", "um", "m", "in", "thou"], "x-above": "0 mm", "x-most": "1 mm",
    }  # fmt: skip
    assert {key: gauge["angle"][key] for key in ("x-least", "x-most", "x-units")} == {
        "x-least": "0 deg", "x-most": "60 deg", "x-units": ["deg", "arcmin"],
    }  # fmt: skip
    leaves = inputs("pack-clearance")["properties"]["leaves"]
    assert (leaves["minItems"], leaves["maxItems"], leaves["items"]["minItems"], leaves["items"]["maxItems"]) == (1, 24, 1, 12)
    assert unit_names(Dimension.SPEED) == ["rpm"]


# --- the declarations themselves ---


def shapes() -> Iterator[tuple[str, type[Any]]]:
    """Every dataclass of inputs and outputs, with the groups inside, each once."""
    seen: dict[type[Any], str] = {}
    waiting = [(f"{name} {side}", getattr(CATALOGUE[name], side)) for name in NAMES for side in ("request", "result")]
    while waiting:
        place, shape = waiting.pop(0)
        if shape in seen:
            continue
        seen[shape] = place
        inner = (
            (field.name, field.declared.shape or (field.declared.of and field.declared.of.shape)) for field in fields_of(shape)
        )
        waiting += [(f"{place}.{name}", each) for name, each in inner if each is not None]
    yield from ((place, shape) for shape, place in seen.items())


SHAPES = [pytest.param(shape, id=place) for place, shape in shapes()]
PLAIN = {
    "amount": Fraction,
    "quantity": Quantity,
    "number": Fraction,
    "count": int,
    "text": str,
    "prose": str,
    "choice": str,
    "flag": bool,
}
IN_MAPPING = {"amount": Fraction, "text": str, "number": Fraction, "count": int}


def expected_type(declared: Declared) -> Any:
    """The type that a field must be annotated with."""
    if declared.kind == "group":
        inner: Any = declared.shape
    elif declared.kind == "mapping":
        inner = dict[str, (declared.of.shape or IN_MAPPING[declared.of.kind]) if declared.of else int]  # type: ignore[misc]
    else:
        inner = PLAIN[declared.kind]
    for _ in declared.many:
        inner = tuple[inner, ...]
    return inner | None if declared.optional or declared.when is not None else inner


@pytest.mark.parametrize("shape", SHAPES)
def test_a_declaration_and_its_annotation_say_the_same(shape: type[Any]) -> None:
    """Kind, list within list, and None exactly where a value may be absent."""
    hints = typing.get_type_hints(shape)
    declared = {item.name: item.metadata["declared"] for item in dataclasses.fields(shape)}
    assert declared
    assert {name: hints[name] for name in declared} == {name: expected_type(item) for name, item in declared.items()}


@pytest.mark.parametrize("shape", SHAPES)
def test_every_field_is_declared_with_words_for_a_reader(shape: type[Any]) -> None:
    """Label and help, options with labels, limits of sense in order, a deciding field that exists."""
    fields = {field.name: field.declared for field in fields_of(shape)}
    assert len(fields) == len(dataclasses.fields(shape))
    for declared in fields.values():
        assert declared.label
        assert declared.label[0].isupper()
        assert declared.help.endswith((".", "?"))
        assert (declared.kind == "choice") == bool(declared.options)
        assert all(option.value and option.label for option in declared.options)
        assert declared.least is None or declared.most is None or declared.least < declared.most
        assert all(0 <= fewest <= most for fewest, most in declared.many)
        if declared.when is not None:
            deciding, words = declared.when
            assert set(words) <= {option.value for option in fields[deciding].options}
