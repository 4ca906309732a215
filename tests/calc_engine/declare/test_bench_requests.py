"""What holds for every calculation: broken requests are told, never thrown; units change the writing, not the answer."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine import CATALOGUE, answer, answer_text, describe, encode, fields_of, find_unit

NAMES = sorted(CATALOGUE)
QUANTITY = re.compile(r"(-?[0-9.]+) (\S+)")
JUNK: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 1.5, 10**40, "", " ", "0 mm", "-1 mm", "1 mm", "1 in", "40 m", "1e30 mm", "1e31 mm", "0.85", "1,345 mm",
    "1/0 in", "0/1 in", "mm", "NaN mm", "inf mm", "1 psi", "-300 degC", "1e-30 mm", "90 deg", "180 deg", "1 1/K", "in", "steel", "dial",
    "tightens", "\x00", "٣ mm", "1e5", "x" * 300, [], [[]], ["1 mm"], ["1 mm", None], {}, {"min": "1 mm"}, {"min": "2 mm", "max": "1 mm"},
    {"force": "1 N"}, {"id": "a", "thickness": "1 mm"}, [{"id": "a", "thickness": "1 mm"}] * 2,
)  # fmt: skip
ANYTHING = st.sampled_from(JUNK).map(copy.deepcopy)


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place in a request, as a path of keys and indexes."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in inner:
        yield (*path, key)
        yield from places(item, (*path, key))


def holder(request: Any, path: tuple[Any, ...]) -> Any:
    """The object or list that holds a place."""
    for key in path[:-1]:
        request = request[key]
    return request


def check(reply: dict[str, Any]) -> None:
    """A reply is whole: a result with its working, or problems with all four parts, and no fault of the engine."""
    decoded = json.loads(encode(reply))
    if decoded["ok"]:
        assert set(decoded) == {"ok", "calculation", "engine", "result", "working", "cautions"}
        assert decoded["working"]
        return
    assert decoded["problems"]
    for problem in decoded["problems"]:
        assert set(problem) == {"field", "code", "message", "remedy"}
        assert problem["code"] != "engine-fault"
        assert problem["message"].endswith((".", "?"))
        assert problem["remedy"]


@pytest.mark.parametrize("name", NAMES)
@given(st.data())
def test_a_broken_request_is_told_and_never_thrown(name: str, data: st.DataObject) -> None:
    """One to four places of the example are replaced, taken out, or joined by what does not belong."""
    request = copy.deepcopy(dict(CATALOGUE[name].example))
    for _ in range(data.draw(st.integers(1, 4))):
        path = data.draw(st.sampled_from(list(places(request)) or [("nothing",)]))
        where = holder(request, path)
        deed = data.draw(st.sampled_from(["replace", "remove", "add", "repeat"]))
        if deed == "remove" and path[-1] in (where if isinstance(where, dict) else range(len(where))):
            del where[path[-1]]
        elif deed == "add" and isinstance(where, dict):
            name_of_field = data.draw(st.sampled_from(["lift", "unit", "units", "outer", "choices", "", "ü"]))
            where[name_of_field] = data.draw(ANYTHING)
        elif deed == "repeat" and isinstance(where, list):
            where.extend(where * data.draw(st.integers(1, 30)))
        else:
            where[path[-1]] = data.draw(ANYTHING)
    check(answer(name, request))


@pytest.mark.parametrize("name", NAMES)
@given(st.data())
def test_any_choice_of_fields_is_told_and_never_thrown(name: str, data: st.DataObject) -> None:
    """Fields in any combination, with values of the right sort and none."""
    known = [field.name for field in fields_of(CATALOGUE[name].request)]
    values = st.sampled_from([*CATALOGUE[name].example.values(), *JUNK])
    check(answer(name, data.draw(st.dictionaries(st.sampled_from(known), values))))


@pytest.mark.parametrize("name", NAMES)
@given(st.data())
def test_a_torn_text_is_told_and_never_thrown(name: str, data: st.DataObject) -> None:
    """The example's text with a piece cut out and another put in."""
    text = json.dumps(CATALOGUE[name].example, ensure_ascii=False)
    start = data.draw(st.integers(0, len(text)))
    stop = data.draw(st.integers(start, min(len(text), start + 12)))
    check(answer_text(name, text[:start] + data.draw(st.text(max_size=6)) + text[stop:]))


@given(st.one_of(st.text(), st.binary()))
def test_any_text_at_all_is_told_and_never_thrown(text: str | bytes) -> None:
    """Noise instead of a request."""
    check(answer_text("bearing-shim", text))


def amounts(value: Any, prefix: str = "") -> Iterator[tuple[str, Any]]:
    """Every leaf of a result, with its dotted name."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else None
    if inner is None:
        yield prefix, value
        return
    for key, item in inner:
        yield from amounts(item, f"{prefix}.{key}")


def same(metric: Any, inch: Any) -> bool:
    """Whether two leaves say the same, quantities to 12 digits of their base unit."""
    first, second = (QUANTITY.fullmatch(leaf) if isinstance(leaf, str) else None for leaf in (metric, inch))
    units = [find_unit(match[2]) if match else None for match in (first, second)]
    if first is None or second is None or units[0] is None or units[1] is None:
        return bool(metric == inch) or (isinstance(metric, str) and re.search(r"\d", metric) is not None)
    bases = [Decimal(match[1]) * unit.factor.numerator / unit.factor.denominator + Decimal(unit.offset.numerator) / unit.offset.denominator
             for match, unit in ((first, units[0]), (second, units[1]))]  # fmt: skip
    return units[0].dimension is units[1].dimension and abs(bases[0] - bases[1]) <= abs(bases[0]) * Decimal("1e-12") + Decimal(
        "1e-24"
    )


@pytest.mark.parametrize("name", NAMES)
def test_inch_and_metric_say_the_same(name: str) -> None:
    """Every amount of the example in both systems, each in its own units, is one amount."""
    results = [answer(name, dict(CATALOGUE[name].example) | {"units": units}) for units in ("metric", "inch")]
    metric, inch = (dict(amounts(reply["result"])) for reply in results)
    assert metric.keys() == inch.keys()
    for place, value in metric.items():
        assert same(value, inch[place]), (place, value, inch[place])
    assert len(results[0]["cautions"]) == len(results[1]["cautions"])


def scaled(value: Any, change: Any) -> Any:
    """A request with every length in millimetres changed."""
    if isinstance(value, dict):
        return {key: scaled(item, change) for key, item in value.items()}
    if isinstance(value, list):
        return [scaled(item, change) for item in value]
    match = QUANTITY.fullmatch(value) if isinstance(value, str) else None
    return change(Decimal(match[1])) if match and match[2] == "mm" else value


@pytest.mark.parametrize("name", NAMES)
def test_lengths_typed_in_inches_are_their_millimetres(name: str) -> None:
    """The example's lengths read as hundredths of an inch, and the same lengths written in millimetres: one answer, to the byte."""
    example = dict(CATALOGUE[name].example)
    inches = scaled(example, lambda length: f"{length / 100} in") | {"units": "metric"}
    millimetres = scaled(example, lambda length: f"{length / 100 * Decimal('25.4')} mm") | {"units": "metric"}
    first, second = answer(name, inches), answer(name, millimetres)
    assert first["ok"] == second["ok"]
    if first["ok"] and name != "convert":
        assert encode(first["result"]) == encode(second["result"])
        assert first["working"] == second["working"]


@pytest.mark.parametrize("name", NAMES)
def test_every_field_is_declared_whole(name: str) -> None:
    """Label and help stand for each, inputs have limits of sense, and the schema is JSON."""
    calculation = CATALOGUE[name]
    json.dumps(describe(calculation), allow_nan=False)
    assert calculation.formulas
    assert calculation.sources
    for field in fields_of(calculation.request):
        declared = field.declared
        assert declared.label
        assert declared.help.endswith(".")
        if declared.kind in {"amount", "number"}:
            assert declared.least is not None
            assert declared.most is not None


@pytest.mark.parametrize("name", NAMES)
def test_the_same_request_gives_the_same_bytes(name: str) -> None:
    """Twice, whatever went between."""
    first = encode(answer(name, dict(CATALOGUE[name].example)))
    for other in NAMES:
        answer(other, dict(CATALOGUE[other].example))
    assert encode(answer(name, dict(CATALOGUE[name].example))) == first
