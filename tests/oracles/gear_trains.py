"""Random gear trains, and what numpy makes of them: every member an unknown, every joint an equation, solved by singular values.

The engine merges what is joined and eliminates over fractions; nothing of that is here.
"""

from __future__ import annotations

import random
from typing import Any, Final

import numpy as np

from calc_engine import answer

__all__ = ["disagreement", "random_train"]

_NEAR: Final = 1e-7
_KINDS: Final = ("simple", "simple", "simple", "pairs", "stepped", "suns", "rings")


def random_train(chance: random.Random) -> dict[str, Any]:
    """A request of gear-train with up to four sets, joined and held at random; every state comes up."""
    sets = [_random_set(f"P{at}", chance) for at in range(chance.randint(1, 4))]
    members = [f"{each['name']}.{kind}" for each in sets for kind in _members(each)]
    piece = {name: name for name in (*members, "in", "out")}
    joined = []
    for _ in range(chance.randint(len(sets), 2 * len(sets) + 1)):
        one, other = chance.sample(list(piece), 2)
        if piece[one] != piece[other] and {piece[one], piece[other]} != {piece["in"], piece["out"]}:
            joined.append([one, other])
            _merge(piece, one, other)
    elements: list[dict[str, Any]] = []
    for at in range(chance.randint(1, 5)):
        one, other = chance.sample(list(piece), 2)
        if chance.random() < 0.5 or piece[one] == piece[other]:
            elements.append({"name": f"B{at}", "holds": one})
        else:
            elements.append({"name": f"C{at}", "joins": [one, other]})
    names = [element["name"] for element in elements]
    gears = [{"name": str(at), "on": chance.sample(names, chance.randint(0, len(names)))} for at in range(4)]
    return {"sets": sets, "joined": joined, "elements": elements, "gears": gears, "input": "in", "output": "out"}


def _random_set(name: str, chance: random.Random) -> dict[str, Any]:
    kind = chance.choice(_KINDS)
    small, large = chance.randint(15, 60), chance.randint(61, 120)
    if kind == "suns":
        return {
            "name": name,
            "sun": small,
            "sun2": chance.randint(15, 60),
            "planet_at_first": 20,
            "planet_at_second": chance.randint(15, 30),
        }
    if kind == "rings":
        return {"name": name, "ring": large, "ring2": chance.randint(61, 120)}
    made: dict[str, Any] = {"name": name, "sun": small, "ring": large}
    if kind == "pairs":
        made["pairs"] = True
    if kind == "stepped":
        made |= {"planet_at_sun": chance.randint(15, 30), "planet_at_ring": chance.randint(15, 30)}
    return made


def _members(planetary: dict[str, Any]) -> list[str]:
    return [kind for kind in ("sun", "ring", "sun2", "ring2") if kind in planetary] + ["carrier"]


def _merge(piece: dict[str, str], one: str, other: str) -> None:
    kept, lost = piece[one], piece[other]
    for name, of in piece.items():
        if of == lost:
            piece[name] = kept


def _willis(planetary: dict[str, Any]) -> tuple[float, float, float]:
    """The coefficients of both wheels and the carrier, written out for each kind from the meshes of its planets."""
    if "sun2" in planetary or "ring2" in planetary:
        kind = "sun" if "sun2" in planetary else "ring"
        first = planetary[kind] / planetary.get("planet_at_first", 1)
        second = planetary[f"{kind}2"] / planetary.get("planet_at_second", 1)
        return first, -second, second - first
    sun = planetary["sun"] / planetary.get("planet_at_sun", 1)
    ring = planetary["ring"] / planetary.get("planet_at_ring", 1) * (-1 if planetary.get("pairs") else 1)
    return sun, ring, -sun - ring


class _Model:
    """The equations of a train with some elements on."""

    def __init__(self, request: dict[str, Any], on: list[str]) -> None:
        names = [f"{each['name']}.{kind}" for each in request["sets"] for kind in _members(each)]
        self.at = {name: at for at, name in enumerate([*names, "in", "out"])}
        self.rows: list[Any] = []
        self.known_by: list[tuple[str, str]] = []
        for each in request["sets"]:
            pairs = zip(_members(each), _willis(each), strict=True)
            self._add(("set", each["name"]), {f"{each['name']}.{kind}": value for kind, value in pairs})
        for one, other in request["joined"]:
            self._add(("joint", ""), {one: 1.0, other: -1.0})
        for element in request["elements"]:
            if element["name"] in on:
                members = [element["holds"]] if "holds" in element else element["joins"]
                self._add(("element", element["name"]), dict(zip(members, (1.0, -1.0), strict=False)))
        self.matrix = np.array(self.rows).reshape(len(self.rows), len(self.at))

    def _add(self, known_by: tuple[str, str], coefficients: dict[str, float]) -> None:
        row = np.zeros(len(self.at))
        for name, value in coefficients.items():
            row[self.at[name]] += value
        self.rows.append(row / np.linalg.norm(row))
        self.known_by.append(known_by)

    def speeds(self) -> dict[str, float] | None:
        """Of each member whose speed follows from the input's; None when the input cannot turn."""
        free = _null_space(self.matrix)
        driven = free[self.at["in"]]
        if np.linalg.norm(driven) < _NEAR:
            return None
        unit = driven / np.dot(driven, driven)
        speeds = {name: float(np.dot(free[at], unit)) for name, at in self.at.items()}
        return {name: speed for name, speed in speeds.items() if np.linalg.norm(free[self.at[name]] - speed * driven) < _NEAR}

    def torques(self) -> dict[tuple[str, str], float]:
        """What each row takes from its members, and what the load puts on the output, so far as it follows."""
        load = np.zeros((len(self.at), 1))
        load[self.at["out"]] = -1.0
        balance = np.hstack([self.matrix.T, load])
        engine = np.zeros(len(self.at))
        engine[self.at["in"]] = 1.0
        found = np.linalg.lstsq(balance, engine, rcond=1e-10)[0]
        assert np.linalg.norm(balance @ found - engine) < _NEAR
        open_ones = np.linalg.norm(_null_space(balance), axis=1) > _NEAR
        keys = [*self.known_by, ("output", "")]
        return {key: float(value) for key, value, is_open in zip(keys, found, open_ones, strict=True) if not is_open}


def _null_space(matrix: Any) -> Any:
    _, sizes, rows = np.linalg.svd(matrix)
    return rows[int((sizes > _NEAR).sum()) :].T


def disagreement(request: dict[str, Any]) -> str | None:
    """What the engine says otherwise than numpy of any gear of a request; None when they agree on everything."""
    reply = answer("gear-train", request)
    if not reply["ok"]:
        return f"refused: {reply['problems']}"
    wrong = (_wrong(request, asked["on"], gear) for asked, gear in zip(request["gears"], reply["result"]["gears"], strict=True))
    return next((each for each in wrong if each), None)


def _wrong(request: dict[str, Any], on: list[str], gear: dict[str, Any]) -> str | None:
    model = _Model(request, on)
    speeds = model.speeds()
    state = "locked" if speeds is None else "fixed" if "out" in speeds else "free"
    if gear["state"] != state:
        return f"state {gear['state']}, not {state}"
    speeds = speeds or {}
    turns = abs(speeds.get("out", 0.0)) > _NEAR
    expected = {"speeds": speeds, "slips": _slips(request, on, speeds), **_torques(request, model if turns else None)}
    for what, figures in expected.items():
        if not _alike(gear[what], figures):
            return f"{what} {gear[what]}, not {figures}"
    if turns is not ("ratio" in gear) or (turns and not _alike({"": gear["ratio"]}, {"": 1 / speeds["out"]})):
        return f"ratio {gear.get('ratio')}"
    # Power in is power out: the load takes what the engine gives.
    return "power" if turns and abs(1 + gear["torques"]["out"] * speeds["out"]) > _NEAR else None


def _slips(request: dict[str, Any], on: list[str], speeds: dict[str, float]) -> dict[str, float]:
    found = {}
    for element in request["elements"]:
        members = [element["holds"]] if "holds" in element else element["joins"]
        if element["name"] not in on and all(member in speeds for member in members):
            found[element["name"]] = speeds[members[0]] - (speeds[members[1]] if len(members) > 1 else 0.0)
    return found


def _torques(request: dict[str, Any], model: _Model | None) -> dict[str, dict[str, float]]:
    if model is None:
        return {"torques": {}, "carries": {}}
    found = model.torques()
    torques = {"in": 1.0} | ({"out": found["output", ""]} if ("output", "") in found else {})
    for row, (kind, name) in zip(model.rows, model.known_by, strict=True):
        if kind == "set" and (kind, name) in found:
            planetary = next(each for each in request["sets"] if each["name"] == name)
            members = [f"{name}.{member}" for member in _members(planetary)]
            torques |= {member: float(row[model.at[member]]) * found[kind, name] for member in members}
    first = {element["name"]: element.get("holds") or element["joins"][0] for element in request["elements"]}
    # A row takes from its first member: a clutch passes that on, a brake puts the opposite on its member.
    sign = {element["name"]: -1.0 if "holds" in element else 1.0 for element in request["elements"]}
    carries = {
        name: sign[name] * float(row[model.at[first[name]]]) * found[kind, name]
        for row, (kind, name) in zip(model.rows, model.known_by, strict=True)
        if kind == "element" and (kind, name) in found
    }
    return {"torques": torques, "carries": carries}


def _alike(found: dict[str, float], expected: dict[str, float]) -> bool:
    return found.keys() == expected.keys() and all(
        abs(found[key] - value) <= _NEAR * max(1.0, abs(value)) for key, value in expected.items()
    )
