"""Run inside the runtime before its memory is saved: everything that an answer ever needs must be in it."""

import dis
import gc
import inspect
import json
import linecache
import opcode
import sys
import types
import typing
import zipimport

from calc_engine import CATALOGUE
from calc_engine.page import answer_for_page
from calc_engine.practice import DRAWINGS, GEAR_SET, KINDS, VERBS, answer_for_practice, finding_drawing, read_unit

# A pack that every kind of exercise has something to ask about.
_STEEL = {"id": "steel", "name": "Steel plate", "kind": "steel", "thickness": "1.80 mm"}
_FRICTION = {"id": "friction", "name": "Friction plate", "kind": "friction", "thickness": "1.70 mm"}
_RINGS = [
    {"id": f"ring-{size}", "name": f"Ring {size}", "kind": "snap-ring", "thickness": f"1.{size} mm"} for size in (40, 60, 80)
]
_STACK = [
    *({"part": part, "side": "either way", "turn": turn, "turns": 3} for turn in (1, 2, 3) for part in ("steel", "friction")),
    {"part": "backing", "side": "chamfer up", "wrong": "chamfer down: it rocks"},
    {"part": "ring-60", "groove": "lower", "wrong": "in the upper groove: the clearance is far out"},
]
_PLACE = {"title": "Page", "address": "page/"}
UNIT = {
    "id": "warm",
    "name": "Warm",
    "parts": [_STEEL, _FRICTION, {"id": "backing", "name": "Backing plate", "kind": "backing", "thickness": "3.00 mm"}, *_RINGS],
    "packs": [
        {
            "id": "pack",
            "name": "Pack",
            "grooves": ["lower", "upper"],
            "parts": _STACK,
            "clearance": {"min": "0.90 mm", "max": "1.40 mm", "method": "dial", "positions": 4, "gauge": "dial"},
        }
    ],
    "kits": [
        {"id": "ring", "name": "Ring", "choices": [part["id"] for part in _RINGS], "fitted": "ring-60", "effect": {"pack": -1}}
    ],
    "gauges": [
        {"id": "dial", "name": "Dial", "kind": "dial", "resolution": "0.01 mm", "max_error": "0.02 mm"},
        {"id": "depth", "name": "Depth", "kind": "depth", "resolution": "0.01 mm", "max_error": "0.02 mm"},
        {"id": "feeler", "name": "Feeler", "kind": "feeler", "max_error": "0.01 mm"},
    ],
    "gear_set": {"train": dict(CATALOGUE["gear-train"].example)},
}
STANDARDS = {
    "id": "standards",
    "name": "Standards",
    "parts": [],
    "packs": [],
    "findings": [
        {
            "id": "found",
            "name": "Found",
            "findings": [
                {
                    "id": "thin",
                    "drawing": "lining-thin",
                    "part": "Part",
                    "found": "Dry",
                    "judgement": "measure",
                    "reason": "Worn",
                    "says": "Measure it",
                    "page": _PLACE,
                    "measured": {"what": "Size", "source": "List", "gauge": "Dial", "step": "0.01 mm", "low": "1 mm"},
                }
            ],
        }
    ],
    "trees": [
        {
            "id": "tree",
            "name": "Tree",
            "start": "first",
            "questions": [
                {
                    "id": "first",
                    "check": "Look",
                    "asks": "Well?",
                    "branches": [{"answer": "no", "to": "a"}, {"answer": "yes", "to": "second"}],
                },
                {
                    "id": "second",
                    "check": "Feel",
                    "asks": "Well?",
                    "branches": [{"answer": "no", "to": "b"}, {"answer": "yes", "to": "c"}],
                },
            ],
            "ends": [{"id": name, "do": f"Do {name}", "suspect": name, "complaints": ["Slips"]} for name in ("a", "b", "c")],
            "page": _PLACE,
        }
    ],
}
OF_STANDARDS = {"judge": "found", "next": "tree"}
"""What of the standards those kinds are asked about that are not asked about a unit."""

_READ = read_unit(UNIT)


def warm() -> None:
    """Every worked example, in both systems of units, and the ways a request can be refused."""
    for name, calculation in CATALOGUE.items():
        example = dict(calculation.example)
        for units in ("metric", "inch"):
            answer_for_page(name, json.dumps({**example, "units": units}))
        answer_for_page(name, "{}")
        answer_for_page(name, json.dumps({**example, "no such field": "1"}))
        answer_for_page(name, json.dumps(dict.fromkeys(example, "wrong")))
    answer_for_page("no such calculation", "{}")
    answer_for_page("convert", '{"value": NaN')
    practise()


def practise() -> None:
    """An exercise of each kind, marked right or wrong as it comes, and everything that can be asked of practice."""
    for verb in VERBS:
        answer_for_practice(verb, "{}")
    answer_for_practice("list", json.dumps({"unit": UNIT}))
    for kind in KINDS:
        about = GEAR_SET if KINDS[kind].why_not(_READ, _READ.packs["pack"]) else "pack"
        for seed in range(3):
            asked = {"unit": UNIT, "pack": about, "kind": kind, "seed": seed}
            if kind in OF_STANDARDS:
                asked |= {"unit": STANDARDS, "pack": OF_STANDARDS[kind]}
            made = json.loads(answer_for_practice("make", json.dumps(asked)))
            if made.get("exercise"):
                given = {ask["id"]: any_answer(ask) for ask in made["exercise"]["answer_form"]}
                answer_for_practice("mark", json.dumps({**asked, "answer": given}))
                answer_for_practice("mark", json.dumps({**asked, "answer": {"judgement": "measure"}}))
                answer_for_practice("mark", json.dumps({**asked, "answer": {"judgement": "measure", "reading": "replace"}}))
    for name in DRAWINGS:
        finding_drawing(name)
    cards = json.loads(answer_for_practice("schedule", _answered([])))["cards"]
    answer_for_practice("schedule", _answered(cards))


def _answered(cards: list[dict[str, object]]) -> str:
    return json.dumps({"today": "2026-01-02", "cards": cards, "answered": [{"id": "warm", "quality": 2}]})


def any_answer(ask: dict[str, list[dict[str, str]] | str]) -> str | list[str]:
    """Some answer to what an exercise asks, right or wrong as it comes."""
    options = [option["id"] for option in ask.get("options", ()) if isinstance(option, dict)]
    if ask["form"] == "quantity":
        return f"1 {ask['unit']}"
    return options if ask["form"] == "order" else options[0]


def tidy() -> None:
    """Drops what no answer uses: the image is the smaller for it, and so is what a page has to fetch."""
    _drop_modules()
    _drop_annotations()
    for empty in typing._cleanups:  # type: ignore[attr-defined]  # noqa: SLF001 - nothing public empties these caches
        empty()
    linecache.clearcache()
    # Only an import from the library's file would use these: that file is not there when the image is restored.
    zipimport._zip_directory_cache.clear()  # type: ignore[attr-defined]  # noqa: SLF001 - the same
    sys.path_importer_cache.clear()
    sys.path.clear()
    gc.collect()
    gc.collect()
    gc.freeze()


def _drop_modules() -> None:
    """Takes away modules that are only used while classes are made."""
    for module in (inspect, dis, opcode):
        del sys.modules[module.__name__]
        module.__dict__.clear()


def _drop_annotations() -> None:
    """Takes away what readers of the source are told; nothing is asked of it any more."""
    for thing in gc.get_objects():
        if isinstance(thing, types.FunctionType):
            thing.__annotations__ = None  # type: ignore[assignment]  # frees them, where {} would hold a new object
        elif isinstance(thing, type) and not thing.__flags__ & _IMMUTABLE and thing.__doc__:
            thing.__doc__ = None


_IMMUTABLE = 1 << 8  # Py_TPFLAGS_IMMUTABLETYPE: a class that C code made for good


if __name__ == "__main__":
    import own_calculations  # type: ignore[import-not-found]  # noqa: F401 - the manual's own, which only the runtime has

    warm()
    tidy()
    del warm, practise, tidy
