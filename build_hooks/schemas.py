"""The JSON Schemas of the data files, made from the model, so that an editor completes keys and marks faults while one types."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from build_hooks.jobs import JobFile
from build_hooks.learning.path_data import PathData
from build_hooks.learning.progress import ProgressFile
from build_hooks.model import Keys, Shop, WrittenUnit
from build_hooks.model.standards import FindingSet, Tree
from build_hooks.reading.yaml_tree import tree_of

__all__ = ["SCHEMA_NAMES", "WRITTEN_SCHEMAS", "schema_of"]

_DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
_MODELS: Final[Mapping[str, tuple[type[Keys], str]]] = {
    "shop": (Shop, "shop.yml"),
    "unit": (WrittenUnit, "unit.yml"),
    "path": (PathData, "path.yml"),
    "findings": (FindingSet, "findings.yml"),
    "tree": (Tree, "tree.yml"),
    "progress": (ProgressFile, "progress.json"),
    "jobs": (JobFile, "jobs.json"),
}
SCHEMA_NAMES: Final = tuple(_MODELS)
WRITTEN_SCHEMAS: Final = ("shop", "unit", "path", "findings", "tree")
"""Those of the files that somebody writes by hand."""


def schema_of(name: str) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a data file.

    Args:
        name: ``shop``, ``unit``, ``path``, ``findings``, ``tree``; ``progress`` for the file that a record of learning
            is saved in, or ``jobs`` for saved jobs.
    """
    model, title = _MODELS[name]
    schema = _tidied(model.model_json_schema())
    return {"$schema": _DIALECT, **schema, "title": title}


def _tidied(here: Any) -> Any:
    """The schema as an editor shows it: no null, which the files do not know, no made-up titles, examples as they are typed."""
    if isinstance(here, list):
        return [_tidied(item) for item in here]
    if not isinstance(here, dict):
        return here
    kept = {key: value for key, value in here.items() if not _is_noise(key, value)}
    options = [option for option in kept.get("anyOf", ()) if option != {"type": "null"}]
    if len(options) == 1:
        del kept["anyOf"]
        kept = {**options[0], **kept}
    if "patternProperties" in kept:
        # A key that is no id is as unknown as any other.
        kept["additionalProperties"] = False
    return {key: _examples(value) if key == "examples" else _tidied(value) for key, value in kept.items()}


def _is_noise(key: str, value: object) -> bool:
    """Whether this is a title or an absent default; a property that is called title is a mapping."""
    return (key == "title" and isinstance(value, str)) or (key == "default" and not isinstance(value, (bool, str)))


def _examples(written: list[Any]) -> list[Any]:
    """Examples of lists and truth values are written as in YAML; a schema holds them as what they are."""
    return [_value(example) for example in written]


def _value(example: Any) -> Any:
    if isinstance(example, str) and (example[:1] in {"[", "{"} or example in {"true", "false"}):
        root, _ = tree_of(example)
        return example if root is None else root.plain()
    return example
