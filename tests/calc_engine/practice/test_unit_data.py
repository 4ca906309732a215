"""From the unit's data to the plain data of the exercises."""

from __future__ import annotations

import json
from typing import Any

from calc_engine.practice import GEAR_SET, KINDS, read_unit
from tests.calc_engine.practice.test_fair import PACK_KINDS


def test_the_demo_is_read_whole(demo: dict[str, dict[str, Any]]) -> None:
    """Every unit of the demo is sound plain data, with as many physical parts as its stacks hold."""
    packs = {f"{name}/{pack.id}": pack for name, data in demo.items() for pack in read_unit(data).packs.values()}
    assert set(packs) == {
        "alder-4/forward", "alder-4/direct", "alder-4/intermediate", "alder-4/low-reverse",
        "hazel-2/high", "hazel-2/low", "rowan-6/low", "rowan-6/drive", "rowan-6/reduction",
        "rowan-6/reverse", "rowan-6/second", "rowan-6/top",
        "alder-4/gear_set", "hazel-2/gear_set", "rowan-6/gear_set",
    }  # fmt: skip
    forward = packs["alder-4/forward"]
    assert len(forward.entries) == 21
    assert forward.grooves == ("lower", "middle", "upper")
    assert forward.repeats == ((7, 2, 5),)
    assert forward.clearance is not None
    assert (str(forward.clearance.min), forward.clearance.method, forward.clearance.positions) == ("0.9 mm", "dial", 4)
    assert forward.clearance.source == "shop standard FL-12, revision C"


def test_kits_say_what_they_set(demo: dict[str, dict[str, Any]]) -> None:
    """A shared plate tightens two packs, a spacer tightens one and loosens another, a washer sets a shaft."""
    rowan, hazel = demo["rowan-6"], demo["hazel-2"]
    kits = {kit["id"]: kit for kit in (*rowan["kits"], *hazel["kits"])}
    assert kits["centre-plate"]["effect"] == {"low": -1, "drive": -1}
    assert kits["housing-spacer"]["effect"] == {"reduction": -1, "drive": 1}
    assert (kits["output-washer"]["effect"], kits["output-washer"]["shafts"]) == ({}, ["Output shaft"])
    assert "fitted" not in kits["output-washer"]


def test_what_is_not_said_is_left_out(demo: dict[str, dict[str, Any]]) -> None:
    """No empty values, and no turn where nothing repeats; a pressure is no resolution of a length."""
    alder = demo["alder-4"]
    assert "null" not in json.dumps(alder)
    hub = alder["packs"][0]["parts"][-1]
    assert set(hub) == {"part", "side", "place", "wrong"}
    (air,) = (gauge for gauge in alder["gauges"] if gauge["id"] == "air-gauge")
    assert set(air) == {"id", "name", "kind", "note"}


def test_every_pack_of_the_demo_can_be_practised(demo: dict[str, dict[str, Any]]) -> None:
    """There is an exercise of every kind for every pack of the demo, but no gauge to read where it is measured by feeler."""
    for data in demo.values():
        unit = read_unit(data)
        for pack in unit.packs.values():
            if pack.id == GEAR_SET:
                continue
            by_feeler = pack.clearance is not None and pack.clearance.method == "feeler"
            no_gauge = {"gauge": "It is measured by feeler, and a leaf has no scale to read."} if by_feeler else {}
            assert {kind.name: kind.why_not(unit, pack) for kind in KINDS.values() if kind.name in PACK_KINDS} == (
                dict.fromkeys(PACK_KINDS) | no_gauge
            )
