"""The codes of problems as they are written in the source, for the table in DEVELOPERS.md: ``python -m tests.error_codes`` prints it."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from pathlib import Path

__all__ = ["codes_in_source", "table"]

ROOT = Path(__file__).parent.parent
_CODE = re.compile(r"[a-z]+(-[a-z]+)*")
# Where a problem is made, the code comes second: after the field, the mark or the path.
_MAKERS = frozenset({"Problem", "Fault", "Trouble"})
# In what a page may not hold, it comes after what is sought, the message and the remedy.
_LAST = 3


def codes_in_source() -> dict[str, tuple[str, ...]]:
    """Each code with the rooms that give it, in order."""
    rooms: dict[str, set[str]] = {}
    for package in ("calc_engine", "build_hooks"):
        for path in sorted((ROOT / package).rglob("*.py")):
            room = "/".join(path.relative_to(ROOT).parts[:2]).removesuffix(".py")
            for code in _codes(ast.parse(path.read_text(encoding="utf-8"))):
                rooms.setdefault(code, set()).add(room)
    return {code: tuple(sorted(rooms[code])) for code in sorted(rooms)}


def table() -> str:
    """The codes as a Markdown table."""
    rows = (f"| `{code}` | {', '.join(f'`{room}`' for room in rooms)} |" for code, rooms in codes_in_source().items())
    return "\n".join(("| Code | Given by |", "|---|---|", *rows))


def _codes(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            yield from _codes_of_call(node)
        elif isinstance(node, ast.Assign | ast.NamedExpr):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            yield from (code for target in targets for code in _assigned(target, node.value))


def _codes_of_call(call: ast.Call) -> Iterator[str]:
    kind = ast.unparse(call.func).rsplit(".", 1)[-1]
    if kind == "Ask":
        # A question of an exercise, with a name, a kind and a label.
        return
    made = kind in _MAKERS
    for place, given in enumerate(call.args):
        # A helper that makes a problem is given a code right before its message; a word of one piece may be a label.
        passed_on = len(call.args) > place + 1 and _is_sentence(call.args[place + 1])
        remedied = len(call.args) > place + 2
        codes = tuple(_constants(given)) if passed_on or (made and place == 1) or (kind == "Refusal" and place == _LAST) else ()
        yield from (code for code in codes if made or remedied or "-" in code)


def _assigned(target: ast.expr, value: ast.expr) -> Iterator[str]:
    """Codes that are chosen first and used later: ``code = ...`` or ``code, message = ...``."""
    if isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple):
        for one, part in zip(target.elts, value.elts, strict=False):
            yield from _assigned(one, part)
    elif isinstance(target, ast.Name) and target.id == "code":
        yield from _constants(value)


def _constants(given: ast.expr) -> Iterator[str]:
    if isinstance(given, ast.IfExp):
        yield from _constants(given.body)
        yield from _constants(given.orelse)
    elif (code := _constant(given)) and _CODE.fullmatch(code):
        yield code


def _is_sentence(given: ast.expr | None) -> bool:
    """Whether an argument is a message: a code that a helper passes on comes right before one."""
    if isinstance(given, ast.Name):
        return given.id == "message"
    text = "".join(_constant(part) or "" for part in given.values) if isinstance(given, ast.JoinedStr) else _constant(given)
    return bool(text) and text.endswith((".", "?")) and " " in text


def _constant(given: ast.expr | None) -> str | None:
    return given.value if isinstance(given, ast.Constant) and isinstance(given.value, str) else None


if __name__ == "__main__":
    sys.stdout.write(table() + "\n")
