"""Questions with known answers: an engine in a page proves itself by them before it answers a reader.

The answers come from this Python while the site is built. Only their digests go into the site.
"""

from __future__ import annotations

import hashlib
import itertools
import json
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any, Final

from build_hooks.bundle.warm import OF_STANDARDS, STANDARDS, UNIT, any_answer
from calc_engine import (
    BUILT_IN,
    CATALOGUE,
    Calculation,
    Quantity,
    Refused,
    answer,
    answer_for_page,
    exact_text,
    field_with,
    parse_quantity,
)
from calc_engine.practice import KINDS, answer_for_practice

__all__ = ["known_answers", "known_answers_of"]

# By how many times their own width limits are moved: the example's readings are then within them, near them and far off.
_SHIFTS: Final = tuple(Fraction(eighths, 8) for eighths in (-64, -8, -4, -2, -1, 1, 2, 3, 4, 6, 8, 64))
_SCALES: Final = (Fraction(-1, 5), Fraction(-1, 20), Fraction(1, 20), Fraction(1, 4))
_PRACTICE: Final = "practice:"


def known_answers() -> dict[str, list[dict[str, str]]]:
    """For each of the engine's calculations its worked example, in either system of units, and one request for every verdict it can give.

    Returns:
        By the calculation's name, or the verb of practice with ``practice:`` before it, a list of ``request``, the JSON
        that is asked, and ``answer``, the SHA-256 of the text that is right.
    """
    known = known_answers_of(BUILT_IN)
    for verb, request in _exercises():
        text = json.dumps(request)
        known.setdefault(_PRACTICE + verb, []).append(_entry(text, answer_for_practice(verb, text)))
    return known


def known_answers_of(names: Iterable[str]) -> dict[str, list[dict[str, str]]]:
    """The same for some calculations of the catalogue.

    Args:
        names: their names.
    """
    known: dict[str, list[dict[str, str]]] = {}
    for name in names:
        texts = [json.dumps(request) for request in _requests(CATALOGUE[name])]
        known[name] = [_entry(text, answer_for_page(name, text)) for text in texts]
    return known


def _entry(request: str, right: str) -> dict[str, str]:
    return {"request": request, "answer": hashlib.sha256(right.encode()).hexdigest()}


def _requests(calculation: Calculation[Any, Any]) -> Iterator[dict[str, Any]]:
    example = dict(calculation.example)
    seen = {_verdict(calculation.name, example)}
    # The systems of units take turns: a page waits for these questions, so there are no more than it takes.
    turns = itertools.cycle(("inch", "metric"))
    yield {**example, "units": "metric"}
    if seen == {None}:
        yield {**example, "units": "inch"}
        return
    for request in _variants(example):
        verdict = _verdict(calculation.name, request)
        if verdict is not None and verdict not in seen:
            seen.add(verdict)
            yield {**request, "units": next(turns)}


def _verdict(name: str, request: Mapping[str, Any]) -> tuple[object, object] | None:
    """The verdict and whether it is certain: the panel has words of its own for each pair."""
    result = answer(name, request).get("result") or {}
    shape = CATALOGUE[name].result
    verdict, certain = field_with("verdict", shape), field_with("certain", shape)
    if verdict is None or verdict.name not in result:
        return None
    return result[verdict.name], None if certain is None else result.get(certain.name)


def _variants(example: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """The example with its limits moved, one at a time, wherever they are; or one of its own amounts."""
    for name, value in example.items():
        for varied in _moved_limits(value):
            yield {**example, name: varied}
        amount = _amount(value)
        if amount is not None:
            for scale in _SCALES:
                yield {**example, name: _moved(amount, amount.value * scale)}


def _moved_limits(value: Any) -> Iterator[Any]:
    """A part of a request with the limits in it moved, one at a time."""
    if isinstance(value, list):
        for place, item in enumerate(value):
            for varied in _moved_limits(item):
                yield [*value[:place], varied, *value[place + 1 :]]
    elif isinstance(value, Mapping) and value.keys() == {"min", "max"}:
        least, most = _amount(value["min"]), _amount(value["max"])
        if least is None or most is None:
            return
        width = most.value - least.value
        for shift in _SHIFTS:
            yield {end: _moved(amount, shift * width) for end, amount in {"min": least, "max": most}.items()}
        yield {"min": _moved(least, -width), "max": _moved(most, width)}
    elif isinstance(value, Mapping):
        for name, item in value.items():
            for varied in _moved_limits(item):
                yield {**value, name: varied}


def _amount(value: object) -> Quantity | None:
    """A figure with its unit; None for anything else, which nothing here can move."""
    if not (isinstance(value, str) and value[:1].isdigit() and " " in value):
        return None
    try:
        return parse_quantity(value, None, "example")
    except Refused:
        return None


def _moved(amount: Quantity, by: Fraction) -> str:
    return f"{exact_text(amount.value + by)} {amount.unit.name}"


def _exercises() -> Iterator[tuple[str, dict[str, Any]]]:
    """What practice is asked: an exercise of each kind and its mark, and what is due."""
    yield "list", {"unit": UNIT}
    for kind in KINDS:
        asked = {"unit": UNIT, "pack": "pack", "kind": kind, "seed": 1}
        if kind in OF_STANDARDS:
            asked |= {"unit": STANDARDS, "pack": OF_STANDARDS[kind]}
        yield "make", asked
        made = json.loads(answer_for_practice("make", json.dumps(asked)))
        if made.get("exercise"):
            yield "mark", {**asked, "answer": {ask["id"]: any_answer(ask) for ask in made["exercise"]["answer_form"]}}
    yield "schedule", {"today": "2026-01-02", "cards": [], "answered": [{"id": "known", "quality": 2}]}
