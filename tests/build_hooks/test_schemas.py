"""The published schemas: dialect, completeness, and that they say about keys what the loader says."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from build_hooks.reading.sources import read_mapping
from build_hooks.schemas import SCHEMA_NAMES, schema_of

DOCS = Path(__file__).parents[2] / "docs"
DATA = {
    "shop": [DOCS / "shop.yml"],
    "unit": sorted(DOCS.glob("units/*/unit.yml")),
    "path": sorted(DOCS.glob("learning/*.yml")),
    "findings": sorted(DOCS.glob("findings/*.yml")),
    "tree": sorted(DOCS.glob("trees/*.yml")),
    "progress": [Path(__file__).parent / "learning" / "sample-record.json"],
    "jobs": [Path(__file__).parent / "jobs" / "sample-jobs.json"],
}


def nodes_of(here: Any) -> Iterator[dict[str, Any]]:
    """Every schema in a schema; the properties of one are no schema themselves."""
    if isinstance(here, dict):
        yield here
        for key, value in here.items():
            inner = value.values() if key in {"properties", "$defs", "patternProperties"} else [value]
            if key not in {"examples", "enum", "default"}:
                for schema in inner:
                    yield from nodes_of(schema)
    elif isinstance(here, list):
        for item in here:
            yield from nodes_of(item)


def faults_of(value: Any, schema: dict[str, Any], root: dict[str, Any], path: str) -> Iterator[str]:
    """A small validator of the keywords that the schemas use, written from JSON Schema draft 2020-12 (core and validation)."""
    if "$ref" in schema:
        yield from faults_of(value, root["$defs"][schema["$ref"].removeprefix("#/$defs/")], root, path)
    if "oneOf" in schema and sum(not list(faults_of(value, option, root, path)) for option in schema["oneOf"]) != 1:
        yield f"{path}: not exactly one form"
    types = {"object": dict, "array": list, "string": str, "integer": int, "boolean": bool}
    wanted = schema.get("type", [])
    wanted = [wanted] if isinstance(wanted, str) else wanted
    if "type" in schema and not any(type(value) is types[name] for name in wanted):
        yield f"{path}: not of type {wanted}"
        return
    if value not in schema.get("enum", [schema.get("const", value)]):
        yield f"{path}: not in enum"
    if isinstance(value, str):
        if "pattern" in schema and not re.search(schema["pattern"], value):
            yield f"{path}: {value!r} does not fit {schema['pattern']}"
        if schema.get("format") == "date" and not is_day(value):
            yield f"{path}: {value!r} is no day"
        if not schema.get("minLength", 0) <= len(value) <= schema.get("maxLength", len(value)):
            yield f"{path}: length"
    if isinstance(value, int) and not schema.get("minimum", value) <= value <= schema.get("maximum", value):
        yield f"{path}: range"
    if isinstance(value, dict):
        yield from object_faults(value, schema, root, path)
    if isinstance(value, list):
        for index, item in enumerate(value):
            yield from faults_of(item, schema.get("items", {}), root, f"{path}[{index}]")


def is_day(value: str) -> bool:
    """Whether it is a day of the calendar, as RFC 3339 writes one."""
    try:
        return date.fromisoformat(value).isoformat() == value
    except ValueError:
        return False


def object_faults(value: dict[str, Any], schema: dict[str, Any], root: dict[str, Any], path: str) -> Iterator[str]:
    """The part of the validator for objects."""
    properties, extra = schema.get("properties", {}), schema.get("additionalProperties", {})
    yield from (f"{path}: lacks {key}" for key in schema.get("required", []) if key not in value)
    names = {
        key: rule
        for rule_pattern, rule in schema.get("patternProperties", {}).items()
        for key in value
        if re.search(rule_pattern, key)
    }
    for key, item in value.items():
        rule = properties.get(key, names.get(key, extra))
        if rule is False:
            yield f"{path}: unknown key {key}"
        elif isinstance(rule, dict):
            yield from faults_of(item, rule, root, f"{path}.{key}")
        if "propertyNames" in schema:
            yield from faults_of(key, {"type": "string", **schema["propertyNames"]}, root, f"{path}.{key} (name)")


def as_json(value: Any) -> Any:
    """A plain value of a data file as JSON has it: an editor sees dates as text."""
    if isinstance(value, dict):
        return {key: as_json(item) for key, item in value.items()}
    if isinstance(value, list):
        return [as_json(item) for item in value]
    return value if isinstance(value, (str, int)) else str(value)


def demo_data(name: str) -> list[Any]:
    """The demo's data files of one kind."""
    roots = [read_mapping(path)[0] for path in DATA[name]]
    return [as_json(root.plain()) for root in roots if root is not None]


@pytest.mark.parametrize("name", SCHEMA_NAMES)
def test_the_demo_fits_the_schema(name: str) -> None:
    """An editor that goes by the schema marks nothing in sound data."""
    data = demo_data(name)
    assert len(data) == len(DATA[name]) > 0
    assert [list(faults_of(item, schema_of(name), schema_of(name), name)) for item in data] == [[] for _ in data]


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"colour": "green"}, "unit: unknown key colour"),
        ({"name": ""}, "unit.name: length"),
        ({"status": {"state": "final"}}, "unit.status.state: not in enum"),
        ({"parts": {"Steel A": {"name": "A", "kind": "hub"}}}, "unit.parts: unknown key Steel A"),
        ({"parts": {"a": {"name": "A"}}}, "unit.parts.a: lacks kind"),
        (
            {"parts": {"a": {"name": "A", "kind": "hub", "outer": "60"}}},
            r"unit.parts.a.outer: '60' does not fit ^\s*[0-9.,][0-9 .,/]*[^0-9 .,/].*$",
        ),
        ({"packs": {"a": {"name": "A", "stack": [{"repeat": 0, "of": ["a"]}]}}}, "unit.packs.a.stack[0]: not exactly one form"),
    ],
)
def test_the_schema_marks_what_the_loader_marks(change: dict[str, Any], fault: str) -> None:
    """Unknown keys, missing keys, unknown words, ids and quantities without unit are marked while typing."""
    schema = schema_of("unit")
    assert list(faults_of({"name": "Oak 2", **change}, schema, schema, "unit")) == [fault]


@pytest.mark.parametrize("value", [None, True, 1, 1.5, "", [], {}])
def test_a_place_without_a_type_takes_any_value(value: object) -> None:
    """As JSON Schema says of a keyword that is not there (draft 2020-12, core, 4.3.2): what an engine answered may be anything."""
    assert list(faults_of({"clearance": value}, {"type": "object", "properties": {"clearance": {}}}, {}, "result")) == []


@pytest.mark.parametrize(
    ("change", "fault"), [({"version": 2}, "jobs.version: not in enum"), ({"format": "x"}, "jobs.format: not in enum")]
)
def test_a_file_of_another_format_or_version_does_not_fit(change: dict[str, Any], fault: str) -> None:
    """The format and the version have one value each."""
    (file,), schema = demo_data("jobs"), schema_of("jobs")
    assert list(faults_of({**file, **change}, schema, schema, "jobs")) == [fault]


@pytest.mark.parametrize("pack", ["high", "gear_set", "hard-parts"])
def test_the_record_takes_whatever_is_practised(pack: str) -> None:
    """What stands for a pack, too: else an entry of it is set aside as damaged when the page is opened again."""
    (record,), schema = demo_data("progress"), schema_of("progress")
    for kept in (*record["attempts"], *record["reviews"]):
        kept["pack"] = pack
    assert list(faults_of(record, schema, schema, "progress")) == []


@pytest.mark.parametrize("name", SCHEMA_NAMES)
def test_every_key_has_a_description_and_no_mapping_takes_unknown_keys(name: str) -> None:
    """An editor shows what each key means and completes it."""
    schema = schema_of(name)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["title"] == (f"{name}.json" if name in {"progress", "jobs"} else f"{name}.yml")
    for node in nodes_of(schema):
        assert "null" not in str(node.get("type"))
        for key, rule in node.get("properties", {}).items():
            assert rule.get("description", "").endswith("."), key
        if "properties" in node:
            assert node["additionalProperties"] is False


@pytest.mark.parametrize("name", SCHEMA_NAMES)
def test_every_example_fits_its_own_schema(name: str) -> None:
    """What an editor offers is right."""
    schema = schema_of(name)
    shown = 0
    for node in nodes_of(schema):
        for example in node.get("examples", []):
            assert list(faults_of(example, node, schema, "example")) == []
            shown += 1
    assert shown > 15
