"""The sample of saved jobs, and changes to it."""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from calc_engine import CATALOGUE, Worked, panel, shown_outputs, work_out

__all__ = ["SAMPLE", "answered", "drum_job", "entry_like", "sample"]

SAMPLE: Final = Path(__file__).parent / "sample-jobs.json"
_TEXT: Final = SAMPLE.read_text(encoding="utf-8")


def sample() -> dict[str, Any]:
    """The sample, to be changed at will."""
    read: dict[str, Any] = json.loads(_TEXT)
    return read


def entry_like(entry: dict[str, Any], key: int, **changed: Any) -> dict[str, Any]:
    """Another entry of the same job."""
    job = str(entry["id"]).partition("/")[0]
    return {**copy.deepcopy(entry), "id": f"{job}/{key:016x}", **changed}


def answered(calculation: str, request: Mapping[str, Any], key: int, **about: Any) -> dict[str, Any]:
    """An answer as the page notes it, worked out by the engine of this machine."""
    worked = work_out(calculation, request)
    assert isinstance(worked, Worked)
    attributes: Any = panel(worked)[1]
    like = sample()["answers"][0]
    return entry_like(
        like,
        key,
        calculation=calculation,
        engine=worked.reply["engine"],
        request=request,
        result=worked.reply["result"],
        shown=shown_outputs(worked),
        verdict=attributes.get("data-verdict", ""),
        sources={"": ""},
        **about,
    )


def drum_job() -> dict[str, Any]:
    """A common job: one drum in two trials, an end play out of limits and accepted, a torque, ticks of two pages, parts and notes."""
    job = sample()
    drum = answered(
        "set-clearances", CATALOGUE["set-clearances"].example, 0x10, at="2026-11-25T08:14:00.000Z",
        form="set-clearances alder-4/front-drum", title="Front drum", page="units/alder-4/front-drum-clearance/",
    )  # fmt: skip
    torque = answered(
        "wrench-adapter", CATALOGUE["wrench-adapter"].example, 0x11, at="2026-11-25T08:50:00.000Z",
        form="wrench-adapter", title="Torque wrench with an extension", page="standards/torque-and-adapters/",
    )  # fmt: skip
    end_play = job["answers"][0]
    tick, replaced = job["ticks"][0], job["parts"][0]
    pages = (
        ("units/alder-4/front-drum-clearance/", "Alder 4 front drum: set the clearance", 24),
        ("units/alder-4/front-drum-assemble/", "Alder 4 front drum: assemble", 31),
    )
    ticks = [
        entry_like(
            tick, 0x100 * number + at, page=page, title=title, done=at + 1, total=total, next="" if at + 1 == total else "Next?",
            hold=f"Hold {at + 1}: air on, piston moves, air off, piston returns?", at=f"2026-11-25T09:{at:02}:00.000Z",
        )
        for number, (page, title, total) in enumerate(pages, 1)
        for at in range(total)
    ]  # fmt: skip
    names = (
        "Forward piston inner seal",
        "Forward piston outer seal",
        "Forward retainer ring",
        "Direct seal, inner",
        "Cover ring",
    )
    return {
        **job,
        "answers": [end_play, drum, torque],
        "forms": [],
        "ticks": ticks,
        "parts": [entry_like(replaced, 0x400 + at, part=name, number=f"FR-1{at}0") for at, name in enumerate(names)],
        "accepted": [{**job["accepted"][0], "form": end_play["form"], "answer": end_play["id"]}],
    }
