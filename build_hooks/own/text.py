"""What is wrong in the text of a calculation's file, before anything of it runs: nothing runs that imports more than it may."""

from __future__ import annotations

import ast
import keyword
import re
import warnings
from collections.abc import Iterator
from typing import Final

import calc_engine.declaring
from build_hooks.own.places import Places
from build_hooks.reading.problems import START, Fault, Mark, did_you_mean, in_order, listed, quoted
from calc_engine import BUILT_IN

__all__ = ["file_name", "name_of", "places_in", "text_faults"]

_FACE: Final = "calc_engine.declaring"
_OFFERED: Final = frozenset(calc_engine.declaring.__all__)
# Of the standard library: what is there in the page too, gives the same everywhere, and reaches nothing outside.
_LIBRARY: Final = frozenset(
    {
        "__future__",
        "bisect",
        "collections",
        "collections.abc",
        "dataclasses",
        "decimal",
        "enum",
        "fractions",
        "functools",
        "heapq",
    }
    | {"itertools", "math", "operator", "re", "string", "typing"}
)
# The last digits of the others differ between machines.
_EXACT: Final = frozenset({"ceil", "comb", "factorial", "floor", "gcd", "isqrt", "lcm", "perm", "prod", "trunc"})
_INSTEAD: Final = {
    "sqrt": "square_root",
    "sin": "sine",
    "cos": "cosine",
    "tan": "tangent",
    "log": "natural_log",
    "exp": "exponential",
    "pi": "PI",
}
_REACHES_OUT: Final = frozenset(
    {"open", "input", "print", "exec", "eval", "compile", "__import__", "breakpoint", "exit", "quit", "globals", "vars"}
)
_STEM: Final = re.compile(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)*")
_TAKEN: Final = frozenset({"index"})  # the list of all calculations is called so


def name_of(stem: str) -> str:
    """The name of the calculation that a file declares, by the file's own."""
    return stem.replace("_", "-")


def file_name(name: str) -> str | None:
    """The file that a calculation belongs in, by its name; None where no calculation can be called so."""
    stem = name.replace("-", "_")
    return f"{stem}.py" if _can_be(stem) and name not in _TAKEN else None


def _can_be(stem: str) -> bool:
    return _STEM.fullmatch(stem) is not None and not keyword.iskeyword(stem)


def places_in(source: str) -> tuple[Places | None, tuple[Fault, ...]]:
    """What Python makes of a text.

    Args:
        source: the text of a file.

    Returns:
        Its places; None and the fault where it is no Python.
    """
    try:
        with warnings.catch_warnings():
            # A sign such as \d in a text is no fault of the calculation.
            warnings.simplefilter("ignore")
            return Places(source, ast.parse(source)), ()
    except SyntaxError as error:
        line = error.lineno or 1
        mark = Mark(max(line, 1), max(error.offset or 1, 1))
        return None, (
            Fault(mark, "bad-python", f"Python cannot read this: {error.msg}.", "Mend the line, or the one before it."),
        )
    except (ValueError, RecursionError, MemoryError) as error:
        message = f"Python cannot read this file: {error or 'it is nested too deeply'}."
        return None, (Fault(START, "bad-python", message, "Write plain Python text."),)


def text_faults(stem: str, places: Places) -> tuple[Fault, ...]:
    """Everything that can be said of a file without running it.

    Args:
        stem: the file's name without its ending.
        places: what Python made of its text.
    """
    return in_order((*_name_faults(stem, places), *_number_faults(places), *_import_faults(places), *_reach_faults(places)))


def _name_faults(stem: str, places: Places) -> Iterator[Fault]:
    if not _can_be(stem):
        remedy = "Use small letters, figures and underlines, and begin with a letter, for example pan_depth.py."
        yield Fault(START, "misnamed", f"{quoted(f'{stem}.py')} cannot be the file of a calculation.", remedy)
        return
    name, given = name_of(stem), places.argument("name")
    if name in BUILT_IN or name in _TAKEN:
        message = f"There is a calculation {quoted(name)} already." if name in BUILT_IN else f"The name {quoted(name)} is taken."
        yield Fault(places.of(given), "taken", message, "Give this one another name, and its file too.")
    elif isinstance(given, ast.Constant) and given.value != name:
        remedy = f"Write name={name!r}, or rename the file."
        yield Fault(places.of(given), "misnamed", f"The file {stem}.py declares the calculation {quoted(name)}.", remedy)


def _number_faults(places: Places) -> Iterator[Fault]:
    calls = list(places.calculations())
    if not calls:
        remedy = "Declare one: benchleaf new calculation NAME writes a file to begin with."
        yield Fault(START, "no-calculation", "This file declares no calculation.", remedy)
    for call in calls[1:]:
        yield Fault(
            places.of(call), "two-calculations", "This file declares another calculation already.", "Give it a file of its own."
        )


def _import_faults(places: Places) -> Iterator[Fault]:
    top = set(map(id, places.tree.body))
    for node in ast.walk(places.tree):
        if not isinstance(node, ast.Import | ast.ImportFrom):
            continue
        if id(node) not in top:
            # Only what is imported at the start is in the page's memory image.
            yield Fault(
                places.of(node), "late-import", "This import would not be found in the page.", "Put it at the top of the file."
            )
        for module, names in _imported(node):
            yield from _of_import(places.of(node), module, names)


def _imported(node: ast.Import | ast.ImportFrom) -> Iterator[tuple[str, list[str]]]:
    """Each module, with the names that are taken from it; none where it is the module itself."""
    if isinstance(node, ast.Import):
        yield from ((alias.name, []) for alias in node.names)
    else:
        yield "." * node.level + (node.module or ""), [alias.name for alias in node.names]


def _of_import(mark: Mark, module: str, names: list[str]) -> Iterator[Fault]:
    if module == _FACE:
        for name in names:
            if name not in _OFFERED:
                remedy = did_you_mean(name, _OFFERED) or f"It has {listed(sorted(_OFFERED, key=str.casefold), 'and')}."
                yield Fault(mark, "import-not-allowed", f"{_FACE} has no {quoted(name)}.", remedy)
    elif module not in _LIBRARY:
        if module.partition(".")[0] == "calc_engine":
            remedy = f"Write from {_FACE} import {', '.join(name for name in names if name in _OFFERED) or '…'}."
        else:
            remedy = f"Import from {_FACE}, or from {listed(sorted(_LIBRARY - {'__future__'}), 'or')}."
        yield Fault(mark, "import-not-allowed", f"A calculation may not import {quoted(module)}.", remedy)
    elif module == "math":
        for name in names:
            yield from _of_math(mark, name)


def _of_math(mark: Mark, name: str) -> Iterator[Fault]:
    if name not in _EXACT:
        instead = f"{_INSTEAD[name]} of {_FACE}" if name in _INSTEAD else listed(sorted(_EXACT))
        yield Fault(mark, "inexact", f"The last digits of math.{name} differ between machines.", f"Use {instead}.")


def _reach_faults(places: Places) -> Iterator[Fault]:
    """Names that would reach outside the calculation, and parts of `math` that are not exact."""
    for node in ast.walk(places.tree):
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load) and node.id in _REACHES_OUT:
            message = f"{quoted(node.id)} reaches outside the calculation, which the page does not allow."
            yield Fault(places.of(node), "reaches-out", message, "Work only with the request, and give everything in the answer.")
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "math":
            yield from _of_math(places.of(node), node.attr)
