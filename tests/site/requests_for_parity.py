"""Requests for every calculation, good and bad, made from a seed: the same on every run and every machine."""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Iterator
from typing import Any

from calc_engine import CATALOGUE, Declared, Dimension, fields_of

__all__ = ["extreme_requests", "requests"]

_UNITS = {
    Dimension.LENGTH: ("mm", "in", "um", "thou"),
    Dimension.PRESSURE: ("kPa", "psi", "bar", "MPa"),
    Dimension.FORCE: ("N", "lbf", "kN"),
    Dimension.TORQUE: ("N.m", "lbf.ft", "lbf.in"),
    Dimension.RATE: ("N/mm", "lbf/in"),
    Dimension.TEMPERATURE: ("degC", "degF"),
    Dimension.TIME: ("min", "s", "h"),
    Dimension.VOLUME: ("mL", "L", "qt"),
}
_BROKEN: tuple[Any, ...] = (
    "",
    "abc",
    "1,345 mm",
    "12",
    "1.2.3 mm",
    "5 furlong",
    "-3 mm",
    "1e40 m",
    None,
    True,
    [],
    {},
    -1,
    0,
    "0 mm",
    "99999 m",
    "NaN",
)


def requests(seed: int, number: int) -> Iterator[tuple[str, str]]:
    """Names and request texts.

    Args:
        seed: where to begin.
        number: how many.

    Yields:
        The calculation's name and the request as JSON text.
    """
    chance = random.Random(seed)
    names = list(CATALOGUE)
    for index in range(number):
        name = names[index % len(names)]
        request = copy.deepcopy(dict(CATALOGUE[name].example))
        _vary(CATALOGUE[name].request, request, chance)
        if chance.random() < 0.3:
            _break(request, chance)
        if chance.random() < 0.2:
            request["units"] = chance.choice(["metric", "inch", "imperial"])
        yield name, json.dumps(request, ensure_ascii=False)


_EXTREME: tuple[str, ...] = (
    "1e400", "1e500000000", "-1e99999999999999999999", "0e99999999999999999999", "1e-500000000", "9" * 79, "9" * 81, "9" * 5000,
    "0." + "3" * 100, '"1e400 mm"', '"1e99999999999999999999 mm"', '"1e-40 mm"', '"0.05 deg"', '"0.01 deg"', '"0.48 deg"', '"\\ud800"',
    '"one\\u200bdot"', '"\\u00a0"', '"\\u0000"', '"\\u0007 mm"', '"100 mm"', '"1/9999 in"', '{"angle": "0.01 deg"}', "[" * 31 + "]" * 31,
    "[" * 40 + "]" * 40, "[" * 900 + "]" * 900, "[" * 100_000, "NaN", "-Infinity",
)  # fmt: skip


def extreme_requests(seed: int) -> Iterator[tuple[str, str]]:
    """Names and request texts without end: an example in which one place holds what machines may read differently.

    Args:
        seed: where to begin.

    Yields:
        The calculation's name and the request as JSON text, of printable letters of ASCII but for the example's own.
    """
    chance = random.Random(seed)
    names = list(CATALOGUE)
    while True:
        for extreme in _EXTREME:
            name = chance.choice(names)
            request = copy.deepcopy(dict(CATALOGUE[name].example))
            here, key = _somewhere(request, chance)
            here[key] = "HERE"
            yield name, json.dumps(request, ensure_ascii=False).replace('"HERE"', extreme)


def _somewhere(request: dict[str, Any], chance: random.Random) -> tuple[Any, Any]:
    """A place of a request, as what holds it and its key there."""
    here: Any = request
    while True:
        key = chance.choice(list(here) if isinstance(here, dict) else list(range(len(here))))
        if not (isinstance(here[key], (dict, list)) and here[key] and chance.random() < 0.7):
            return here, key
        here = here[key]


def _vary(shape: type[Any], given: dict[str, Any], chance: random.Random) -> None:
    """Other amounts in other units, near enough to the example that most still have an answer."""
    for field in fields_of(shape):
        if field.name in given and chance.random() < 0.7:
            given[field.name] = _varied(field.declared, given[field.name], chance)


def _varied(declared: Declared, value: Any, chance: random.Random) -> Any:
    if isinstance(value, list):
        varied = [_varied(declared, item, chance) for item in value]
        return varied + varied[:1] if chance.random() < 0.2 and declared.kind == "amount" else varied
    if declared.kind == "group" and isinstance(value, dict):
        _vary(declared.shape, value, chance)  # type: ignore[arg-type]
        return value
    if declared.kind == "amount" and isinstance(value, str) and " " in value:
        number, unit = value.split(" ", 1)
        return f"{_nearby(number, chance)} {_other_unit(declared, unit, chance)}"
    if declared.kind == "number":
        return _nearby(str(value), chance)
    if declared.kind == "count" and isinstance(value, int):
        return value + chance.choice([-1, 0, 0, 0, 1, 7])
    if declared.kind == "choice" and chance.random() < 0.15:
        return chance.choice([option.value for option in declared.options])
    return value


def _nearby(number: str, chance: random.Random) -> str:
    try:
        near = float(number) * chance.choice([1, 1, 0.5, 0.9, 0.97, 1.03, 1.1, 2, 1 / 3, 0])
    except ValueError:
        return number
    return f"{near:.{chance.choice([1, 2, 3, 7])}f}"


def _other_unit(declared: Declared, unit: str, chance: random.Random) -> str:
    others = _UNITS.get(declared.dimension) if declared.dimension else None  # type: ignore[arg-type]
    return chance.choice(others) if others and chance.random() < 0.15 else unit


def _break(request: dict[str, Any], chance: random.Random) -> None:
    """One thing wrong somewhere."""
    here: Any = request
    while True:
        keys = list(here) if isinstance(here, dict) else list(range(len(here)))
        if not keys:
            return
        key = chance.choice(keys)
        if isinstance(here[key], (dict, list)) and chance.random() < 0.6:
            here = here[key]
            continue
        here[key] = chance.choice(_BROKEN)
        if isinstance(here, dict) and chance.random() < 0.2:
            here[f"{key}x"] = "1 mm"
        return
