"""What the engine is made of: the standard library, an order of modules without a circle, one public face."""

from __future__ import annotations

import ast
import importlib
import sys
from pathlib import Path

import pytest

import calc_engine

FOLDER = Path(calc_engine.__file__).parent
# Practice has its own contract in pyproject.toml: it may use the public face, which imports everything else.
MODULES = {
    ".".join(path.relative_to(FOLDER).with_suffix("").parts): ast.parse(path.read_text(encoding="utf-8"))
    for path in sorted(FOLDER.rglob("*.py"))
}
ENGINE = {name: tree for name, tree in MODULES.items() if not name.startswith("practice.")}
# The C library's versions of these may differ in their last bits from one machine to the next.
UNSURE = {
    "cos", "sin", "tan", "acos", "asin", "atan", "atan2", "exp", "exp2", "expm1", "log", "log2", "log10", "log1p", "pow", "gamma", "lgamma",
    "erf", "erfc", "sinh", "cosh", "tanh", "hypot", "cbrt", "dist",
}  # fmt: skip


def imports(tree: ast.Module) -> tuple[set[str], set[str]]:
    """The modules of the engine, by their name in `MODULES`, and the packages outside it that a module imports."""
    inside: set[str] = set()
    outside: set[str] = set()
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute, so that a module can move"
            module = str(node.module)
            names = [f"{module}.{alias.name}" if _is_folder(module) else module for alias in node.names]
        inside |= {name.removeprefix("calc_engine.") for name in names if name.startswith("calc_engine.")}
        outside |= {name.partition(".")[0] for name in names} - {"calc_engine"}
    return inside, outside


def _is_folder(module: str) -> bool:
    """Whether what is imported from it is itself a module."""
    return (FOLDER.parent / module.replace(".", "/")).is_dir()


@pytest.mark.parametrize("name", MODULES)
def test_a_module_imports_the_standard_library_only(name: str) -> None:
    """So that the same files run in the browser, with nothing to install."""
    _, outside = imports(MODULES[name])
    assert outside <= sys.stdlib_module_names


def test_no_module_imports_in_a_circle() -> None:
    """Each can be read after those that it imports. Which room may import which is a contract in pyproject.toml."""
    waiting = {name: imports(tree)[0] & set(ENGINE) for name, tree in ENGINE.items() if name not in {"__init__", "__main__"}}
    read: set[str] = set()
    while waiting:
        ready = {name for name, needed in waiting.items() if needed <= read}
        assert ready, f"in a circle: {sorted(waiting)}"
        read |= ready
        waiting = {name: needed for name, needed in waiting.items() if name not in ready}
    assert read | {"__init__", "__main__"} == set(ENGINE)


@pytest.mark.parametrize("name", MODULES)
def test_a_module_calls_no_function_whose_last_bits_may_differ(name: str) -> None:
    """Results are equal to the byte on every machine: sine, logarithm and power come from `functions`."""
    used = {
        node.attr
        for node in ast.walk(MODULES[name])
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in {"math", "cmath", "numpy"}
    }
    named = {
        alias.name
        for node in ast.walk(MODULES[name])
        if isinstance(node, ast.ImportFrom) and node.module in {"math", "cmath"}
        for alias in node.names
    }
    assert (used | named) & UNSURE == set()


@pytest.mark.parametrize("name", MODULES)
def test_a_module_is_short_and_says_what_it_is(name: str) -> None:
    """Under 400 lines, with a docstring, and whatever it offers is there."""
    tree = MODULES[name]
    assert len((FOLDER / f"{name.replace('.', '/')}.py").read_text(encoding="utf-8").splitlines()) < 400
    assert ast.get_docstring(tree)
    offered = getattr(sys.modules.get(f"calc_engine.{name}", calc_engine), "__all__", [])
    assert sorted(set(offered)) == sorted(offered)


def test_the_public_face_is_complete() -> None:
    """All that is imported for others is offered, sorted, and there."""
    tree = MODULES["__init__"]
    taken = {alias.asname or alias.name for node in tree.body if isinstance(node, ast.ImportFrom) for alias in node.names}
    assert taken == set(calc_engine.__all__)
    assert all(hasattr(calc_engine, name) for name in calc_engine.__all__)


def test_every_public_name_of_a_module_is_offered_by_it() -> None:
    """What another module imports is in `__all__`, so that it is known to be used elsewhere."""
    for name, tree in MODULES.items():
        for node in ast.walk(tree):
            module = str(getattr(node, "module", ""))
            if isinstance(node, ast.ImportFrom) and module.startswith("calc_engine.") and not _is_folder(module):
                offered = getattr(importlib.import_module(module), "__all__", None)
                wanted = {alias.name for alias in node.names}
                assert offered is not None, module
                assert wanted <= set(offered), f"{name} takes {sorted(wanted - set(offered))} from {module}"


def test_the_catalogue_holds_every_calculation_that_is_declared() -> None:
    """Each under its own name."""
    declared = {
        target.id
        for name, tree in MODULES.items()
        if name != "catalogue"
        for node in tree.body
        if isinstance(node, (ast.Assign, ast.AnnAssign)) and isinstance(node.value, ast.Call)
        and isinstance(node.value.func, ast.Name) and node.value.func.id == "Calculation"
        for target in ([node.target] if isinstance(node, ast.AnnAssign) else node.targets)
        if isinstance(target, ast.Name)
    }  # fmt: skip
    missing = sorted(declared - {name.upper().replace("-", "_") for name in calc_engine.CATALOGUE})
    assert missing == [], "Declared, but not in the catalogue: add an import and a line to calc_engine/catalogue.py."
    assert {name.lower().replace("_", "-") for name in declared} == set(calc_engine.CATALOGUE)
    assert all(name == calculation.name for name, calculation in calc_engine.CATALOGUE.items())


def test_each_calculation_has_a_module_named_like_it() -> None:
    """So that a calculation is found by its name, and its test beside it."""
    modules = {name.removeprefix("calculations.") for name in MODULES if name.startswith("calculations.")} - {"__init__"}
    named = {name.replace("-", "_") for name in calc_engine.CATALOGUE}
    assert modules == named, (
        "A module of calc_engine/calculations, and only that, is named like each calculation of the catalogue."
    )
    tested = {path.stem.removeprefix("test_") for path in (Path(__file__).parent / "calculations").glob("test_*.py")}
    assert sorted(named - tested) == [], "Write a test_NAME.py for each of these into tests/calc_engine/calculations."
