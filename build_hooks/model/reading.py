"""From a tree to a model: every fault of shape in our own words, at the place where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from types import UnionType
from typing import Annotated, Any, Final, Union, cast, get_args, get_origin

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from build_hooks.model.fields import suited_example
from build_hooks.model.keys import Keys
from build_hooks.model.written import STACK_TAGS
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import MOST_FAULTS, Fault, Mark, did_you_mean, in_order, quoted
from calc_engine import System

__all__ = ["read_model"]

type _Path = tuple[int | str, ...]


def read_model[M: Keys](model: type[M], root: Node, units: System = "metric") -> tuple[M | None, tuple[Fault, ...]]:
    """A tree as a model.

    Args:
        model: what the tree should be.
        root: the tree of a data file or of a block.
        units: the shop's, for the examples in messages.

    Returns:
        The model, or None; and everything wrong with its shape, by place, up to `MOST_FAULTS`.
    """
    try:
        return model.model_validate(root.plain(), context={"units": units}), ()
    except ValidationError as error:
        details = error.errors(include_url=False, include_input=False)[:MOST_FAULTS]
    found = [(tuple(_path(detail["loc"])), detail) for detail in details]
    cut = {_cut_value(root, path) for path, detail in found if detail["type"] == "extra_forbidden"}
    faults = (_fault(model, root, path, detail, units) for path, detail in found if path not in cut)
    return None, in_order(fault for fault in faults if fault is not None)


def _fault(model: type[Keys], root: Node, path: _Path, detail: ErrorDetails, units: System) -> Fault | None:
    """One fault in our words; None if it only follows from another."""
    kind = detail["type"]
    if kind == "extra_forbidden":
        return _unknown_key(_model_at(model, detail["loc"][:-1]), _parent(root, path), str(path[-1]))
    if kind == "missing":
        return _missing_key(_model_at(model, detail["loc"][:-1]), _parent(root, path), path, units)
    if kind in _WRONG_TYPES:
        return _wrong_type(root, path, kind)
    context = detail.get("ctx", {})
    message = str(context.get("message", "This value does not fit here."))
    return Fault(_mark(root, path), kind, message, str(context.get("remedy", "See the guide for what is allowed here.")))


def _cut_value(root: Node, path: _Path) -> _Path:
    """The value that a comma in braces has cut an unknown key off from: what is wrong with it follows from that."""
    parent = _parent(root, path)
    keys = list(parent.children)
    at = keys.index(str(path[-1])) if path[-1] in parent.lone_keys else 0
    return (*path[:-1], keys[at - 1]) if at else path[:0]


def _path(loc: Sequence[int | str]) -> Iterator[int | str]:
    """The place in the file: without the names of forms, which stand behind the number of a stack's item."""
    for index, step in enumerate(loc):
        if step in STACK_TAGS and index and isinstance(loc[index - 1], int):
            continue
        yield step


def _child(node: Node, step: int | str) -> Node | None:
    if isinstance(step, int):
        return node.items[step] if step < len(node.items) else None
    return node.get(step)


def _parent(root: Node, path: _Path) -> Node:
    """The node that the last step of a path belongs to."""
    here = root
    for step in path[:-1]:
        here = _child(here, step) or here
    return here


def _mark(root: Node, path: _Path) -> Mark:
    """Where the value of a path stands; for a fault in a key, the key."""
    if path[-1:] == ("[key]",) and "[key]" not in _parent(root, path).children:
        return _parent(root, path[:-1]).keys[str(path[-2])]
    parent = _parent(root, path)
    found = _child(parent, path[-1]) if path else None
    return (found or parent).mark


def _unknown_key(model: type[Keys], parent: Node, key: str) -> Fault:
    known = model.model_fields
    meant = parent.meant(key)
    if meant in known:
        remedy = f"Put a colon and a space behind {quoted(meant)}."
    elif near := did_you_mean(key, known):
        remedy = near
    elif key in parent.lone_keys:
        # In braces, a comma cuts a text in two.
        remedy = "If it belongs to the text before the comma, put that whole text in quotes."
    else:
        remedy = f"Keys here: {', '.join(known)}."
    return Fault(parent.keys[key], "unknown-key", f"Unknown key {quoted(key)}.", remedy)


def _missing_key(model: type[Keys], parent: Node, path: _Path, units: System) -> Fault | None:
    key = str(path[-1])
    if not parent.lacks(key, model.model_fields):
        return None
    owner = path[-2] if len(path) > 1 else None
    # The whole is a file, the head of a page or a block: no word fits all of them.
    message = (
        f"{quoted(key)} is missing."
        if owner is None
        else f"{'This entry' if isinstance(owner, int) else quoted(owner)} has no {quoted(key)}."
    )
    examples = model.model_fields[key].examples
    example = f", for example {key}: {suited_example(examples, units)}".rstrip(".") if examples else ""
    return Fault(parent.mark, "missing-key", message, f"Add it{example}.")


_WRONG_TYPES: Final = {
    "model_type": ("Keys with values are wanted", "Write key: value."),
    "dict_type": ("Keys with values are wanted", "Write key: value."),
    "list_type": ("A list is wanted", "Write it in square brackets, for example [a, b]."),
    "tuple_type": ("A list is wanted", "Write it in square brackets, for example [a, b]."),
}


def _wrong_type(root: Node, path: _Path, kind: str) -> Fault:
    wanted, remedy = _WRONG_TYPES[kind]
    # A set of gears is read by itself too, and may be no mapping at all.
    found = _child(_parent(root, path), path[-1]) if path else root
    written = None if found is None else found.text
    if path and found is not None and found.value is None:
        return Fault(found.mark, "empty", f"{quoted(str(path[-1]))} is empty.", f"{remedy[:-1]}, or take it out.")
    message = f"{wanted} here, not {quoted(written)}." if written else f"{wanted} here."
    return Fault(_mark(root, path), "wrong-type", message, remedy)


def _model_at(model: type[Keys], loc: Sequence[int | str]) -> type[Keys]:
    """The model that stands at a place, found by walking the annotations."""
    here: Any = model
    for step in loc:
        here = _stripped(here)
        if isinstance(here, type) and issubclass(here, Keys):
            here = here.model_fields[str(step)].annotation
        elif get_origin(here) in {dict, tuple}:
            here = get_args(here)[1 if get_origin(here) is dict else 0]
        else:
            here = next(
                option for option in get_args(here) if step in {getattr(extra, "tag", None) for extra in get_args(option)}
            )
    return cast("type[Keys]", _stripped(here))


def _stripped(annotation: Any) -> Any:
    """An annotation without its extras, and without the None of an optional value."""
    while True:
        if get_origin(annotation) is Annotated:
            annotation = get_args(annotation)[0]
        elif get_origin(annotation) in {Union, UnionType} and type(None) in get_args(annotation):
            (annotation,) = (option for option in get_args(annotation) if option is not type(None))
        else:
            return annotation
