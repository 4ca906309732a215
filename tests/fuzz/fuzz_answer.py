"""Coverage-guided fuzzing of the engine's one door with atheris: `python tests/fuzz/fuzz_answer.py -max_total_time=300`.

Atheris is no dependency of the project: `pip install atheris` first. Bytes become either the raw text of a request, or an example of
the catalogue with places replaced, so that the run gets past the reader. A crash is a reply that is not whole, an exception, or the
engine's own admission of a fault.
"""

from __future__ import annotations

import copy
import json
import sys
from pathlib import Path
from typing import Any

import atheris

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
with atheris.instrument_imports(include=["calc_engine", "practice"]):
    from calc_engine import CATALOGUE, answer, answer_for_page, answer_text, encode
    from calc_engine.practice import VERBS, answer_for_practice

NAMES = sorted(CATALOGUE)
UNITS = [
    "mm",
    "in",
    "psi",
    "kPa",
    "N",
    "lbf",
    "degC",
    "degF",
    "N/mm",
    "lbf/in",
    "deg",
    "s",
    "min",
    "1/min",
    "N.m",
    "lbf.ft",
    "",
    "xyz",
]


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a request, as a path of keys and indexes."""
    inner = list(value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ())
    return [found for key, item in inner for found in ((*path, key), *places(item, (*path, key)))]


def some_value(data: atheris.FuzzedDataProvider) -> Any:
    """A value of a kind that requests hold."""
    kind = data.ConsumeIntInRange(0, 6)
    if kind == 0:
        return data.ConsumeUnicodeNoSurrogates(12)
    if kind == 1:
        return data.ConsumeIntInRange(-(10**6), 10**6)
    if kind == 2:
        return data.PickValueInList([None, True, False, [], {}, "", [None], {"id": ""}])
    digits = data.ConsumeIntInRange(-99_999, 999_999)
    number = f"{digits}e{data.ConsumeIntInRange(-9, 9)}" if kind == 3 else str(digits / 1000)
    quantity = f"{number} {data.PickValueInList(UNITS)}"
    return [quantity] * data.ConsumeIntInRange(1, 5) if kind == 6 else quantity


def changed_example(data: atheris.FuzzedDataProvider) -> tuple[str, Any]:
    """The example of a calculation with a few places replaced or taken out."""
    name = data.PickValueInList(NAMES)
    request = copy.deepcopy(dict(CATALOGUE[name].example))
    for _ in range(data.ConsumeIntInRange(1, 5)):
        found = places(request)
        if not found:
            break
        path = found[data.ConsumeIntInRange(0, len(found) - 1)]
        where: Any = request
        for key in path[:-1]:
            where = where[key]
        if data.ConsumeBool():
            where[path[-1]] = some_value(data)
        else:
            del where[path[-1]]
    if data.ConsumeBool():
        request["units"] = data.PickValueInList(["metric", "inch", "furlong", 3])
    return name, request


def whole(reply: dict[str, Any]) -> None:
    """Raises when a reply lacks a part or admits a fault of the engine."""
    json.loads(encode(reply))
    if reply["ok"]:
        assert reply["result"] is not None
        assert all(isinstance(line, str) and line for line in reply["working"])
        return
    assert reply["problems"]
    for problem in reply["problems"]:
        assert problem["code"] != "engine-fault", reply
        assert problem["message"]
        assert problem["remedy"]


def whole_page(name: str, text: str) -> None:
    """Raises when the page gets no whole reply, or no panel with an answer."""
    told = json.loads(answer_for_page(name, text).encode())
    whole(told["reply"])
    assert (told["panel"] is not None) is told["reply"]["ok"], told


def test_one(given: bytes) -> None:
    """One input of the fuzzer."""
    data = atheris.FuzzedDataProvider(given)
    if data.ConsumeBool():
        name, request = changed_example(data)
        whole(answer(name, request))
        whole_page(name, json.dumps(request))
    else:
        name = data.PickValueInList([*NAMES, "", "nothing"])
        text = data.ConsumeUnicode(2000)
        whole(answer_text(name, text))
        whole_page(name, text)
        told = json.loads(answer_for_practice(data.PickValueInList([*VERBS, ""]), text).encode())
        assert "practice-fault" not in [problem["code"] for problem in told.get("problems", [])], told


if __name__ == "__main__":
    atheris.Setup(sys.argv, test_one)
    atheris.Fuzz()
