"""A manual's own calculations: Python files that declare one each, as a module of `calculations` does.

They run here as they are. Whether they are sound, the build looks into before (`build_hooks.own`).
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import Any, Final

from calc_engine.declare.calculation import Calculation

__all__ = ["OWN_PACKAGE", "calculations_in", "load_own"]

OWN_PACKAGE: Final = "own_calculations"
"""The package that they are modules of, wherever they run."""


def calculations_in(module: ModuleType) -> tuple[Calculation[Any, Any], ...]:
    """Those that a module declares, each once however many names it has there."""
    found = (value for value in vars(module).values() if isinstance(value, Calculation))
    return tuple({id(calculation): calculation for calculation in found}.values())


def load_own(stem: str, source: str, path: str) -> ModuleType:
    """Runs the text of a file as a module of the package.

    Args:
        stem: the name of the file without its ending.
        source: the text.
        path: where it lies, for whoever is told of a fault in it.

    Returns:
        The module. Whatever the file raises is passed on.
    """
    module = ModuleType(f"{OWN_PACKAGE}.{stem}")
    module.__file__ = path
    # Dataclasses look their module up by its name.
    sys.modules[module.__name__] = module
    exec(compile(source, path, "exec", dont_inherit=True), vars(module))  # noqa: S102 - the author asked for it: it is their file
    return module
