"""Calculations that a manual brings along, beside those of the engine: from their text into the catalogue.

The same text is loaded by the build, by the command line and by the engine in a page, which gets it with the form.
"""

from __future__ import annotations

import importlib
import json
import sys
from collections.abc import Mapping
from types import ModuleType
from typing import Any, Final

from calc_engine.catalogue import take_in
from calc_engine.declare.calculation import Calculation

__all__ = ["calculations_in", "load_for_page", "module_of", "take_in"]

_MODULES: Final = "own_calculations"


def module_of(name: str, text: str, file: str) -> ModuleType:
    """Runs the text of a calculation as a module.

    Args:
        name: of the file, without its ending.
        text: Python.
        file: how tracebacks name it.

    Returns:
        The module.

    Raises:
        BaseException: whatever the text raises.
    """
    module = ModuleType(f"{_MODULES}.{name}")
    module.__file__ = file
    # Dataclasses look their module up by its name.
    sys.modules[module.__name__] = module
    exec(compile(text, file, "exec", dont_inherit=True), module.__dict__)  # noqa: S102 - the author's own file, on the author's machine
    return module


def calculations_in(module: ModuleType) -> list[Calculation[Any, Any]]:
    """The calculations that a module declares, each once."""
    found = (value for value in vars(module).values() if isinstance(value, Calculation))
    return list({id(calculation): calculation for calculation in found}.values())


def load_for_page(text: str, library: str) -> None:
    """Takes the calculations of a page's forms into the catalogue of the engine that runs there.

    Args:
        text: JSON of the text of each by the name of its file; the build has checked them.
        library: a file with the standard library, which the saved memory does without; empty where it is there.
    """
    if library:
        _bring_back(library)
    texts: Mapping[str, str] = json.loads(text)
    modules = [module_of(name, source, f"{name}.py") for name, source in texts.items()]
    take_in(calculation for module in modules for calculation in calculations_in(module))


def _bring_back(library: str) -> None:
    """Makes modules of the standard library importable again, among them those that dataclasses are made with."""
    sys.path.append(library)
    for name in ("opcode", "dis", "inspect"):
        importlib.import_module(name)
    # They hold on to the emptied modules; the saved memory has no others that do.
    for module in list(sys.modules.values()):
        for name in ("opcode", "dis", "inspect"):
            if isinstance(vars(module).get(name), ModuleType):
                setattr(module, name, sys.modules[name])
