"""The examples in the engine's docstrings are run, so that they show what is true."""

from __future__ import annotations

import doctest
import importlib
import pkgutil
from types import ModuleType

import pytest

import calc_engine

_FINDER = doctest.DocTestFinder(exclude_empty=True)


def _modules() -> list[str]:
    found = (info.name for info in pkgutil.walk_packages(calc_engine.__path__, "calc_engine."))
    return [name for name in found if not name.endswith("__main__")]


def _examples(module: ModuleType) -> list[doctest.DocTest]:
    """The docstrings of a module that hold an example."""
    return [found for found in _FINDER.find(module) if found.examples]


@pytest.mark.parametrize("name", _modules())
def test_the_examples_of_a_module_hold(name: str) -> None:
    """Each gives what its docstring says; what differs is shown as doctest shows it."""
    told: list[str] = []
    runner = doctest.DocTestRunner(verbose=False)
    for example in _examples(importlib.import_module(name)):
        runner.run(example, out=told.append)
    assert "".join(told) == ""


@pytest.mark.parametrize("name", calc_engine.CATALOGUE)
def test_each_calculation_shows_an_example(name: str) -> None:
    """A small request through the one door, with its result."""
    compute = calc_engine.CATALOGUE[name].compute
    module = importlib.import_module(compute.__module__)
    shown = [found.docstring for found in _examples(module) if found.name.endswith(f".{compute.__name__}")]
    assert [f'answer("{name}", ' in text for text in shown] == [True]


def test_what_a_reader_looks_up_first_shows_an_example() -> None:
    """Amounts read and shown, statistics, the stack of tolerances, the verdict."""
    for name, functions in {
        "quantities.quantity": {"parse_quantity", "parse_number", "show", "Quantity.to"},
        "quantities.figures": {"exact_text", "rounded_text"},
        "maths.statistics": {"mean", "sample_variance", "expanded_uncertainty"},
        "maths.tolerance_stack": {"mean", "rss", "standard_deviation", "worst_case"},
        "bench.verdict": {"judge", "is_certain"},
    }.items():
        module = importlib.import_module(f"calc_engine.{name}")
        shown = {found.name.removeprefix(f"calc_engine.{name}.") for found in _examples(module)}
        assert functions - shown == set(), name
