"""Years of a made-up shop: as many jobs as wanted, with entries of the sizes that the demo's pages write."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any, Final

from tests.build_hooks.jobs.samples import sample

__all__ = ["made_up_jobs"]

_UNITS: Final = ("Alder 4", "Rowan 6", "Hazel 2")
_PEOPLE: Final = ("Wren Ashby", "M. Fennick", "Tomasz Reed", "Ida Holm", "Jo Marsh")
_COMPLAINTS: Final = (
    "Slips in 3rd when hot",
    "No reverse",
    "Harsh 1-2 shift",
    "Leaks at the front seal",
    "Noise in neutral",
    "Rebuild",
)
_PARTS: Final = ("Forward piston outer seal", "Output shaft ring", "Front drum friction plate", "Pump gasket", "Band lining")
# How often an entry is of each kind: figures typed and steps taken are most of what a job holds.
_SHARES: Final = {"forms": 30, "steps": 34, "ticks": 14, "answers": 6, "parts": 8, "waits": 3, "notes": 5}
_FIRST_DAY: Final = datetime(2021, 1, 4, 7, 30, tzinfo=UTC)
_FEWEST, _MOST, _OPEN = 5, 60, 30


def made_up_jobs(number: int, seed: int) -> Iterator[list[dict[str, Any]]]:
    """Jobs, the oldest first; of each its entries with the list that they belong to.

    Args:
        number: how many.
        seed: the same one gives the same jobs.
    """
    chance = random.Random(seed)
    shapes = sample()
    for at in range(number):
        yield list(_job(at, number, shapes, chance))


def _job(at: int, number: int, shapes: dict[str, Any], chance: random.Random) -> Iterator[dict[str, Any]]:
    job = f"{chance.getrandbits(64):016x}"
    moment = _FIRST_DAY + timedelta(hours=at * 11)
    person = chance.choice(_PEOPLE)
    lists = chance.choices(tuple(_SHARES), tuple(_SHARES.values()), k=chance.randint(_FEWEST, _MOST) - 2)
    # What is open is the newest.
    is_begun, is_closed = False, at < number - _OPEN
    for name in ("states", "details", *lists, *(["states"] if is_closed else [])):
        moment += timedelta(seconds=chance.randint(20, 600))
        entry = {**chance.choice(shapes[name]), "id": f"{job}/{chance.getrandbits(64):016x}", "person": person}
        entry["at"] = moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")
        if name == "states":
            entry["state"] = "closed" if is_begun else "open"
            is_begun = True
        if name == "details":
            serial = f"A{chance.randint(2, 6)}-{20 + at % 6}-{1000 + at}"
            facts = {"unit": chance.choice(_UNITS), "complaint": chance.choice(_COMPLAINTS), "technician": person}
            entry |= {"number": str(3000 + at), "serial": serial, **facts}
        if name == "parts":
            entry |= {"part": chance.choice(_PARTS), "number": f"FR-{chance.randint(100, 999)}"}
        yield {"list": name, "value": entry}
