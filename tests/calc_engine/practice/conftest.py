"""What tests of practice share: the demo's units as plain data, a small unit to change, and a way to ask as a page asks."""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from typing import Any

import pytest

from calc_engine.practice import answer_for_practice
from tests.calc_engine.practice.demo_units import demo_units

SMALL: Mapping[str, Any] = {
    "id": "elm",
    "name": "Elm 3",
    "parts": [
        {"id": "seal-in", "name": "Inner seal", "kind": "lip-seal"},
        {"id": "seal-out", "name": "Outer seal", "kind": "lip-seal"},
        {"id": "piston", "name": "Elm piston", "kind": "piston"},
        {"id": "wave", "name": "Elm wave", "kind": "wave", "thickness": "1.50 mm", "free_height": "2.10 mm"},
        {
            "id": "steel",
            "name": "Elm steel",
            "kind": "steel",
            "thickness": "1.80 mm",
            "look_alikes": ["oak-steel"],
            "tell_apart": "six lugs",
        },
        {"id": "oak-steel", "name": "Oak steel", "kind": "steel", "thickness": "1.60 mm"},
        {"id": "friction", "name": "Elm friction", "kind": "friction", "thickness": "1.70 mm"},
        {"id": "backing", "name": "Elm backing", "kind": "backing", "thickness": "4.00 mm"},
        {
            "id": "ring-a",
            "name": "Elm ring, thin",
            "kind": "snap-ring",
            "thickness": "1.40 mm",
            "mark": "no dot",
            "look_alikes": ["ring-b"],
        },
        {
            "id": "ring-b",
            "name": "Elm ring, thick",
            "kind": "snap-ring",
            "thickness": "1.60 mm",
            "mark": "one dot",
            "look_alikes": ["ring-a"],
        },
    ],
    "packs": [
        {
            "id": "first",
            "name": "First pack",
            "grooves": ["lower", "middle", "upper"],
            "parts": [
                {"part": "seal-in", "side": "lip down", "wrong": "lip up: it slips when hot"},
                {"part": "seal-out", "side": "lip down"},
                {"part": "piston", "side": "flat up", "place": "in the bottom"},
                {"part": "wave", "side": "either way", "wrong": "left out: it takes up with a bang"},
                *(
                    {"part": part, "side": "either way", "turn": turn, "turns": 3, "wrong": wrong}
                    for turn in (1, 2, 3)
                    for part, wrong in (
                        ("steel", "swapped with an oak steel: it drags"),
                        ("friction", "two together: faces do no work"),
                    )
                ),
                {"part": "backing", "side": "chamfer up", "wrong": "chamfer down: the lining is cut"},
                {
                    "part": "ring-a",
                    "groove": "middle",
                    "side": "either way",
                    "wrong": "in the upper groove: it never grips",
                    "caution": {"signal": "caution", "text": "The ring springs outwards"},
                },
            ],
            "clearance": {
                "min": "0.90 mm",
                "max": "1.40 mm",
                "method": "dial",
                "positions": 4,
                "spread_limit": "0.15 mm",
                "gauge": "dial",
                "wave": "flat",
                "source": "shop standard X-1",
            },
        }
    ],
    "kits": [{"id": "ring", "name": "Elm ring", "choices": ["ring-a", "ring-b"], "fitted": "ring-a", "effect": {"first": -1}}],
    "gauges": [
        {
            "id": "dial",
            "name": "Bench dial",
            "kind": "dial",
            "resolution": "0.01 mm",
            "max_error": "0.02 mm",
            "note": "Keep it dry.",
        },
        {"id": "depth", "name": "Depth gauge", "kind": "depth", "resolution": "0.01 mm", "max_error": "0.02 mm"},
        {"id": "feeler", "name": "Feelers", "kind": "feeler", "max_error": "0.01 mm"},
    ],
    "tools": [{"id": "pliers", "name": "Ring pliers", "note": "Sharp tips."}],
    "consumables": [],
}


_PLACE = {"title": "Plates: Look", "address": "standards/plates/#look"}
STANDARDS: Mapping[str, Any] = {
    "id": "standards",
    "name": "Shop standards",
    "parts": [],
    "packs": [],
    "findings": [
        {
            "id": "plates",
            "name": "Plates",
            "findings": [
                {
                    "id": name, "drawing": drawing, "part": f"Part {name}", "found": "Dry", "judgement": judgement,
                    "reason": f"Because of {name}", "says": f"Says {name}", "page": _PLACE,
                    **({"measured": {
                        "what": "Thickness", "source": "the list", "gauge": "Micrometer", "step": "0.01 mm", "error": "0.004 mm",
                        "low": "1.90 mm", "high": "2.20 mm",
                    }} if judgement == "measure" else {}),
                }
                for name, drawing, judgement in (
                    ("spots", "steel-spots", "replace"), ("thin", "lining-thin", "measure"), ("even", "steel-even", "use-again"),
                )
            ],
        }
    ],
    "trees": [
        {
            "id": "noise",
            "name": "Noise",
            "start": "standing",
            "questions": [
                {"id": "standing", "check": "Stand still", "asks": "Is it there?", "branches": [
                    {"answer": "yes", "to": "pump"}, {"answer": "no", "to": "gears"}]},
                {"id": "gears", "check": "Drive", "asks": "In which gears?", "branches": [
                    {"answer": "one", "to": "set"}, {"answer": "all", "to": "load"}]},
                {"id": "load", "check": "Coast", "asks": "Does it go away?", "branches": [
                    {"answer": "yes", "to": "bearing"}, {"answer": "no", "to": "pump"}]},
            ],
            "ends": [
                {"id": "pump", "do": "Pan off", "suspect": "the pump", "complaints": ["It whines"]},
                {"id": "set", "do": "Take it out", "suspect": "the gear set", "complaints": ["It sings in second", "It howls"]},
                {"id": "bearing", "do": "Ask once more"},
            ],
            "page": _PLACE,
        }
    ],
}  # fmt: skip


@pytest.fixture
def standards() -> dict[str, Any]:
    """The standards as exercises get them, small; a test may change them."""
    return copy.deepcopy(dict(STANDARDS))


@pytest.fixture
def small() -> dict[str, Any]:
    """A small unit with everything that exercises are made from; a test may change it."""
    return copy.deepcopy(dict(SMALL))


@pytest.fixture(scope="session")
def demo() -> dict[str, dict[str, Any]]:
    """The units of the demo as a page gets them, by id."""
    return demo_units()


class Page:
    """Asks as the page's worker asks: one verb, one text in, one text out."""

    def reply(self, verb: str, request: object) -> dict[str, Any]:
        """What comes back, decoded."""
        text = request if isinstance(request, str) else json.dumps(request)
        return json.loads(answer_for_practice(verb, text))

    def problems(self, verb: str, request: object) -> list[tuple[str, str, str, str]]:
        """Field, code, message and remedy of each problem; there must be one."""
        reply = self.reply(verb, request)
        assert reply["ok"] is False, reply
        return [(item["field"], item["code"], item["message"], item["remedy"]) for item in reply["problems"]]


@pytest.fixture(scope="session")
def page() -> Page:
    """Practice, asked as a page asks it."""
    return Page()
