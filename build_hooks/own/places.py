"""Where in the text of a calculation's file something stands that is told of it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Sequence
from typing import Final

from build_hooks.reading.problems import START, Mark

__all__ = ["Places", "last_name"]

_CALCULATION: Final = "Calculation"


class Places:
    """The places of a file that Python can read."""

    def __init__(self, source: str, tree: ast.Module) -> None:
        """Takes the text and what Python made of it."""
        self._lines = re.split("\r\n|\r|\n", source)
        self.tree = tree

    def of(self, node: ast.AST | None) -> Mark:
        """Where a piece of the program begins; the top of the file where there is none."""
        line, column = getattr(node, "lineno", None), getattr(node, "col_offset", 0)
        return START if line is None else self.at(line, column)

    def at(self, line: int, column: int) -> Mark:
        """A place as Python tells it: the line from 1, the column in bytes from 0."""
        text = self._lines[line - 1] if 0 < line <= len(self._lines) else ""
        return Mark(max(line, 1), len(text.encode()[: max(column, 0)].decode(errors="ignore")) + 1)

    def calculations(self) -> Iterator[ast.Call]:
        """Every call that declares a calculation."""
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Call) and last_name(node.func) == _CALCULATION:
                yield node

    def argument(self, name: str) -> ast.expr | None:
        """What a calculation is given under a name; the call itself where it is not given it."""
        call = next(self.calculations(), None)
        return call and next((given.value for given in call.keywords if given.arg == name), call)

    def declared(self, name: str) -> Mark:
        """Where that stands."""
        return self.of(self.argument(name))

    def example(self, path: Sequence[str]) -> Mark:
        """Where a value of the example stands, or the innermost part of it that is there."""
        here: ast.expr | None = self.argument("example")
        for step in path:
            deeper = _within(here, step)
            if deeper is None:
                break
            here = deeper
        return self.of(here)

    def field(self, shape: type, attribute: str) -> Mark:
        """Where a field of a dataclass is declared; the calculation where that is another file's class."""
        found = self._named(ast.ClassDef, shape.__name__)
        if not isinstance(found, ast.ClassDef):
            return self.of(next(self.calculations(), None))
        named = (node for node in found.body if isinstance(node, ast.AnnAssign) and last_name(node.target) == attribute)
        return self.of(next(named, found))

    def function(self, name: str) -> Mark:
        """Where a function is; what the calculation is given to compute with where it is none of this file."""
        found = self._named(ast.FunctionDef, name)
        return self.of(found) if found else self.declared("compute")

    def _named(self, kind: type[ast.ClassDef | ast.FunctionDef], name: str) -> ast.AST | None:
        return next((node for node in ast.walk(self.tree) if isinstance(node, kind) and node.name == name), None)


def last_name(node: ast.expr) -> str:
    """``fields.length`` and ``length`` are both called length."""
    if isinstance(node, ast.Subscript):
        return last_name(node.value)
    return node.id if isinstance(node, ast.Name) else node.attr if isinstance(node, ast.Attribute) else ""


def _within(node: ast.expr | None, step: str) -> ast.expr | None:
    if isinstance(node, ast.Dict):
        pairs = zip(node.keys, node.values, strict=True)
        return next((value for key, value in pairs if isinstance(key, ast.Constant) and key.value == step), None)
    if isinstance(node, ast.List | ast.Tuple) and step.isdigit() and int(step) < len(node.elts):
        return node.elts[int(step)]
    return None
