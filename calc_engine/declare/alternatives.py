"""Inputs that stand in for one another: exactly one of them is wanted, or at most one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from calc_engine.problems import Problem

__all__ = ["at_most_one", "exactly_one"]


def at_most_one(given: Mapping[str, object]) -> Iterable[Problem]:
    """The problem of two inputs that answer the same question.

    Args:
        given: each field's name with its value, None where it was left out; in order.

    Returns:
        A problem for each one given beyond the first.
    """
    present = [name for name, value in given.items() if value is not None]
    for name in present[1:]:
        message = f"{_said(present[0]).capitalize()} and {_said(name)} are both given."
        yield Problem(name, "both-given", message, f"Give {_either(given)}, not both.")


def exactly_one(given: Mapping[str, object]) -> Iterable[Problem]:
    """As `at_most_one`; when none is given, that is a problem of the first.

    Args:
        given: whether each field is given, by its name.
    """
    if all(value is None for value in given.values()):
        first = next(iter(given))
        message = f"Neither {' nor '.join(_said(name) for name in given)} is given."
        yield Problem(first, "missing", message, f"Give {_either(given)}.")
    yield from at_most_one(given)


def _said(name: str) -> str:
    return name.replace("_", " ")


def _either(given: Mapping[str, object]) -> str:
    return " or ".join(_said(name) for name in given)
