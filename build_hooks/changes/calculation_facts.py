"""What a manual's own calculation said: its entries with their limits, its formulas, sources and arithmetic, read without running it.

The text of a file that Python cannot read says nothing here: the check tells what is wrong with it.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from typing import Any, Final

from build_hooks.own import Places, last_name, places_in

__all__ = ["calculation_facts"]

# Groups hold groups; a class that holds itself ends here.
_DEEPEST: Final = 5
# What a calculation is given that is neither a class nor a function.
_SAID: Final = ("title", "about", "formulas", "sources", "example", "subject")


def calculation_facts(source: str) -> dict[str, Any] | None:
    """What the file of a calculation says, as plain data.

    Args:
        source: its text.

    Returns:
        Title, entries, answers, arithmetic; None where the text declares no calculation that could be read.
    """
    places, _ = places_in(source)
    try:
        return None if places is None or places.argument("name") is None else _facts(places)
    except RecursionError:
        return None


def _facts(places: Places) -> dict[str, Any]:
    tree = places.tree
    classes = {node.name: node for node in tree.body if isinstance(node, ast.ClassDef)}
    said: dict[str, Any] = {}
    for key in ("name", *_SAID):
        given = places.argument(key)
        if given is not None and not _is_calculation(given):
            said[key] = _value(given)
    for key, kind in (("inputs", "request"), ("answers", "result")):
        given = places.argument(kind)
        said[key] = _fields(classes, given.id, 0) if isinstance(given, ast.Name) else {}
    said["named"] = dict(_named(tree))
    said["arithmetic"] = {name: ast.unparse(_without_text(node)).splitlines() for name, node in _functions(tree)}
    return said


def _is_calculation(node: ast.expr) -> bool:
    return isinstance(node, ast.Call) and last_name(node.func) == "Calculation"


def _fields(classes: dict[str, ast.ClassDef], name: str, depth: int) -> dict[str, Any]:
    """The entries of a class, by the names that scripts give them."""
    if name not in classes or depth > _DEEPEST:
        return {}
    declared = (node for node in classes[name].body if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name))
    return {node.target.id: _field(classes, node.value, depth) for node in declared if isinstance(node.target, ast.Name)}


def _field(classes: dict[str, ast.ClassDef], node: ast.expr | None, depth: int) -> Any:
    """What an entry is declared with: label and help are its first two texts."""
    if not isinstance(node, ast.Call):
        return {} if node is None else {"default": _value(node)}
    texts = [given.value for given in node.args if isinstance(given, ast.Constant) and isinstance(given.value, str)]
    said: dict[str, Any] = dict(zip(("label", "help"), texts, strict=False)) | {"kind": last_name(node.func)}
    others = [given for given in node.args if not (isinstance(given, ast.Constant) and isinstance(given.value, str))]
    groups = [given.id for given in others if isinstance(given, ast.Name) and given.id in classes]
    if kept := [_value(given) for given in others if not (isinstance(given, ast.Name) and given.id in groups)]:
        said["of"] = kept
    said |= {given.arg: _value(given.value) for given in node.keywords if given.arg is not None}
    for group in groups:
        said["entries"] = _fields(classes, group, depth + 1)
    return said


def _named(tree: ast.Module) -> Iterator[tuple[str, Any]]:
    """Words and figures that have a name of their own."""
    for node in tree.body:
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None and not _is_calculation(node.value):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            yield ", ".join(map(ast.unparse, targets)), _value(node.value)


def _functions(tree: ast.Module) -> Iterator[tuple[str, ast.FunctionDef]]:
    """The functions of the file and of its classes."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            yield node.name, node
        elif isinstance(node, ast.ClassDef):
            yield from ((f"{node.name}.{inner.name}", inner) for inner in node.body if isinstance(inner, ast.FunctionDef))


def _without_text(node: ast.FunctionDef) -> ast.FunctionDef:
    """A function without what it says of itself."""
    if ast.get_docstring(node) is None:
        return node
    told = copy.copy(node)
    told.body = node.body[1:] or [ast.Pass()]
    return told


def _value(node: ast.expr) -> Any:
    """Texts, figures, and what holds them, as they are; a call by what it is given; all else as it is written."""
    if isinstance(node, ast.Dict) and all(isinstance(key, ast.Constant) for key in node.keys):
        keys = (key.value for key in node.keys if isinstance(key, ast.Constant))
        return {str(key): _value(value) for key, value in zip(keys, node.values, strict=True)}
    if isinstance(node, ast.List | ast.Tuple):
        return [_value(item) for item in node.elts]
    if isinstance(node, ast.Constant) and isinstance(node.value, str | bool | int):
        return node.value
    if isinstance(node, ast.Call) and last_name(node.func) in {"Source", "Option"} and not node.keywords:
        return "; ".join(str(_value(given)) for given in node.args if _value(given) != "")
    return ast.unparse(node)
