"""A drum worked out plainly: fractions, dictionaries and every choice tried, from the words of the contract alone.

Nothing of the engine is used. Requests are those of scripts, with every length in mm.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

__all__ = ["agreements", "best", "better", "mm", "nearest", "state"]

type Ids = tuple[str, ...]


def mm(text: str) -> Fraction:
    """A length in mm."""
    return Fraction(text.removesuffix(" mm"))


def clearance(reading: dict[str, Any], wave: dict[str, Any] | None) -> list[Fraction]:
    """The clearance at each position."""
    if reading["method"] == "dial":
        values = [mm(lift) for lift in reading["lifts"]]
    elif reading["method"] == "feeler":
        values = [sum(map(mm, leaves), Fraction(0)) for leaves in reading["leaves"]]
    elif reading["method"] == "depth":
        values = [mm(plate) - mm(ring) for plate, ring in zip(reading["to_plate"], reading["to_ring"], strict=True)]
    else:
        values = [mm(reading["cavity"]) - sum(mm(part["thickness"]) * part["count"] for part in reading["parts"])]
    if wave and wave["measured"] != wave["specified"]:
        step = mm(wave["free"]) - mm(wave["flat"])
        values = [value + (step if wave["measured"] == "free" else -step) for value in values]
    return values


def thickness(place: dict[str, Any], part: dict[str, Any]) -> Fraction:
    """The measured one before the kit's."""
    if "measured" in part:
        return mm(part["measured"])
    return next(mm(size["thickness"]) for size in place["choices"] if size["id"] == part["id"])


def changed(request: dict[str, Any], pack: str, first: int, last: int) -> list[dict[str, Any]]:
    """The places that a pack touches where id or measured thickness differ between two trials."""
    before, after = request["trials"][first]["fitted"], request["trials"][last]["fitted"]
    return [
        place
        for place in request["positions"]
        if pack in place["effect"]
        and (before[place["name"]]["id"], before[place["name"]].get("measured"))
        != (after[place["name"]]["id"], after[place["name"]].get("measured"))
    ]


def moved(request: dict[str, Any], pack: str, first: int, last: int) -> Fraction:
    """What the change of parts does to a clearance."""
    before, after = request["trials"][first]["fitted"], request["trials"][last]["fitted"]
    return sum(
        (
            place["effect"][pack] * (thickness(place, after[place["name"]]) - thickness(place, before[place["name"]]))
            for place in changed(request, pack, first, last)
        ),
        Fraction(0),
    )


def read_in(request: dict[str, Any], pack: str) -> list[int]:
    """The trials that read a pack, oldest first."""
    return [number for number, trial in enumerate(request["trials"]) if pack in trial.get("readings", {})]


def state(request: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """For each pack that was read: clearance, verdict, even, stale, trial."""
    found = {}
    last = len(request["trials"]) - 1
    for pack in request["packs"]:
        name, limits = pack["name"], pack["limits"]
        trials = read_in(request, name)
        if not trials:
            continue
        values = clearance(request["trials"][trials[-1]]["readings"][name], pack.get("wave"))
        now = sum(values, Fraction(0)) / len(values) + moved(request, name, trials[-1], last)
        found[name] = {
            "clearance": now,
            "verdict": "low" if now < mm(limits["min"]) else "high" if now > mm(limits["max"]) else "in",
            "even": max(values) - min(values) <= mm(pack["spread_limit"]) if "spread_limit" in pack else None,
            "stale": bool(changed(request, name, trials[-1], last)),
            "trial": trials[-1] + 1,
        }
    return found


def agreements(request: dict[str, Any], uncertainties: dict[tuple[str, int], Fraction]) -> list[dict[str, Any]]:
    """For each pack read twice, the newest against the one before; `uncertainties` by pack and trial, from 0."""
    found = []
    for pack in request["packs"]:
        name = pack["name"]
        trials = read_in(request, name)
        if len(trials) < 2:
            continue
        first, last = trials[-2:]
        read = [clearance(request["trials"][trial]["readings"][name], pack.get("wave")) for trial in (first, last)]
        earlier, later = (sum(values, Fraction(0)) / len(values) for values in read)
        expected = earlier + moved(request, name, first, last)
        open_ = sum((tolerance(place, request, first, last) for place in changed(request, name, first, last)), Fraction(0))
        beyond = max(abs(later - expected) - open_, Fraction(0))
        square = sum(uncertainties.get((name, trial), Fraction(0)) ** 2 for trial in (first, last))
        found.append(
            {
                "pack": name, "from": first + 1, "to": last + 1, "expected": expected, "measured": later,
                "difference": later - expected, "agrees": beyond**2 <= square,
            }
        )  # fmt: skip
    return found


def tolerance(place: dict[str, Any], request: dict[str, Any], first: int, last: int) -> Fraction:
    """Of the old part and the new one, where they were not measured."""
    total = Fraction(0)
    for trial in (first, last):
        part = request["trials"][trial]["fitted"][place["name"]]
        size = next(size for size in place["choices"] if size["id"] == part["id"])
        total += mm(size.get("tolerance", "0 mm")) if "measured" not in part else 0
    return total


def choices(request: dict[str, Any]) -> Iterator[Ids]:
    """Every choice that the shelf allows; what is fitted stays where it is."""
    fitted = request["trials"][-1]["fitted"]
    stock: dict[str, int] = {}
    for place in request["positions"]:
        for size in place["choices"]:
            if "stock" in size:
                stock[size["id"]] = min(size["stock"], stock.get(size["id"], size["stock"]))
    for ids in itertools.product(*([size["id"] for size in place["choices"]] for place in request["positions"])):
        taken = Counter(
            part for place, part in zip(request["positions"], ids, strict=True) if part != fitted[place["name"]]["id"]
        )
        if all(number <= stock.get(part, number) for part, number in taken.items()):
            yield ids


def judged(request: dict[str, Any], ids: Ids) -> dict[str, Any]:
    """What a choice gives: clearances, margin against targets, margin against limits alone, changes."""
    fitted, now = request["trials"][-1]["fitted"], state(request)
    clearances, margins, plain = {}, [], []
    for pack in request["packs"]:
        value = now[pack["name"]]["clearance"]
        for place, part in zip(request["positions"], ids, strict=True):
            here = fitted[place["name"]]
            if part != here["id"]:
                value += place["effect"].get(pack["name"], 0) * (thickness(place, {"id": part}) - thickness(place, here))
        low, high = mm(pack["limits"]["min"]), mm(pack["limits"]["max"])
        plain.append(min(value - low, high - value) / ((high - low) / 2))
        if "target" in pack:
            goal = mm(pack["target"])
            margins.append(1 - abs(value - goal) / max(goal - low, high - goal))
        else:
            margins.append(plain[-1])
        clearances[pack["name"]] = value
    changes = sum(part != fitted[place["name"]]["id"] for place, part in zip(request["positions"], ids, strict=True))
    return {"ids": ids, "clearances": clearances, "margin": min(margins), "plain": min(plain), "changes": changes}


def ranked(request: dict[str, Any]) -> list[dict[str, Any]]:
    """Every choice within all limits, best first."""
    within = [found for found in (judged(request, ids) for ids in choices(request)) if found["plain"] >= 0]
    if request.get("prefer") == "fewest-changes":
        return sorted(within, key=lambda found: (found["changes"], -found["margin"]))
    return sorted(within, key=lambda found: (-found["margin"], found["changes"]))


def best(request: dict[str, Any]) -> dict[str, Any] | None:
    """The best choice within all limits."""
    return next(iter(ranked(request)), None)


def better(request: dict[str, Any]) -> dict[str, Any] | None:
    """The best of the choices with a larger margin than what is fitted has."""
    fitted = tuple(request["trials"][-1]["fitted"][place["name"]]["id"] for place in request["positions"])
    margin = judged(request, fitted)["margin"]
    return next((found for found in ranked(request) if found["margin"] > margin), None)


def nearest(request: dict[str, Any]) -> dict[str, Any] | None:
    """The choice that comes nearest to all limits and leaves no pack less than nothing."""
    whole = [found for found in (judged(request, ids) for ids in choices(request)) if min(found["clearances"].values()) >= 0]
    return min(whole, key=lambda found: (-found["plain"], found["changes"]), default=None)
