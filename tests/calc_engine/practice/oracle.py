"""Judges exercises without the code that made them: from the plain data and from what a reader is shown, and nothing else.

Each function raises AssertionError when an exercise cannot be answered, has two right answers, hides or shows a mistake wrongly, or
is marked otherwise than the engine and the data say.
"""

from __future__ import annotations

import cmath
import itertools
import json
import math
import random
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any

from calc_engine import Dimension, answer, parse_quantity, show
from calc_engine.practice import Exercise

__all__ = ["CHECKS", "check_exercise"]

type Data = Mapping[str, Any]
type Marking = Callable[[object], Mapping[str, Any]]

KIND_WORDS = {"lip-seal": "lip seal", "return-spring": "return spring", "retainer": "spring retainer", "snap-ring": "snap ring",
              "thrust-washer": "thrust washer"}  # fmt: skip
PLATES = {"friction", "steel", "wave", "backing", "reaction", "pressure"}
SEALS = {"seal", "lip-seal"}
OPPOSITE = {"up": "down", "down": "up", "in": "out", "out": "in"}
MOST_PERMUTED = 6


def check_exercise(data: Data, pack: Data, exercise: Exercise[Any], mark: Callable[[Any, object], Any]) -> None:
    """Judges an exercise of a pack."""
    page = json.loads(json.dumps(exercise.as_json()))
    assert page["answer_form"], "nothing is asked"
    for ask in page["answer_form"]:
        labels = [option["label"].strip().casefold() for option in ask.get("options", [])]
        ids = [option["id"] for option in ask.get("options", [])]
        assert len(set(ids)) == len(ids)
        assert ask["form"] != "choice" or (len(set(labels)) == len(labels) > 1), labels
    CHECKS[exercise.kind](data, pack, page, lambda given: mark(exercise, given).as_json())


def parts_of(data: Data) -> dict[str, Data]:
    return {part["id"]: part for part in data["parts"]}


def length(text: str) -> Fraction:
    """A length in mm."""
    return parse_quantity(text, Dimension.LENGTH, "").base


def facts(part: Data) -> set[str]:
    """All that a label may say of a part."""
    word = KIND_WORDS.get(part["kind"]) or (f"{part['kind']} plate" if part["kind"] in PLATES else part["kind"])
    size = show(parse_quantity(part["thickness"], Dimension.LENGTH, "")) if "thickness" in part else None
    said = (word.capitalize(), part["name"], size, part.get("mark"), part.get("number"))
    return {fact for fact in said if fact}


def parts_labelled(label: str, parts: Sequence[Data]) -> list[str]:
    """The parts that a label can mean."""
    said = set(label.split(" · "))
    return [part["id"] for part in parts if said <= facts(part)]


def options(page: Data, ask: str) -> list[str]:
    return [option["id"] for asked in page["answer_form"] if asked["id"] == ask for option in asked["options"]]


def only_right(page: Data, mark: Marking, fixed: Mapping[str, Any], ask: str) -> str:
    """The one option of an ask that is marked right, whatever the others are answered."""
    right = []
    for option in options(page, ask):
        marked = {one["id"]: one for one in mark({**fixed, ask: option})["asks"]}
        if marked[ask]["right"]:
            right.append(option)
    assert len(right) == 1, (ask, right)
    return right[0]


# --- stack order ----------------------------------------------------------------------------------------------------------------


def check_order(data: Data, pack: Data, page: Data, mark: Marking) -> None:
    parts = parts_of(data)
    wanted = [entry for entry in pack["parts"] if entry.get("turn", 1) <= 2]
    in_pack = [parts[name] for name in dict.fromkeys(entry["part"] for entry in pack["parts"])]
    (cards,) = (ask["options"] for ask in page["answer_form"] if ask["form"] == "order")
    means: dict[str, str] = {}
    for card in cards:
        meant = parts_labelled(card["label"], in_pack)
        assert len(meant) == 1, (card, meant)
        means[card["id"]] = meant[0]
    assert Counter(means.values()) == Counter(entry["part"] for entry in wanted), "the cards are not the parts"
    ids = [entry["part"] for entry in wanted]
    seal = [parts[name]["kind"] in SEALS for name in ids]
    right = _cards_for(ids, means)
    fixed = {ask["id"]: ask["options"][0]["id"] for ask in page["answer_form"] if ask["form"] == "choice"}

    def is_right(order: Sequence[str]) -> bool:
        marked = {one["id"]: one["right"] for one in mark({**fixed, "order": list(order)})["asks"]}
        return bool(marked["order"])

    assert is_right(right), "the list's own order is marked wrong"
    assert not is_right([card["id"] for card in cards]), "the cards lie in order already"
    for order in _other_orders(right):
        assert is_right(order) == _can_be_built([means[card] for card in order], wanted, seal), [means[card] for card in order]
    _check_ways(page, mark, {**fixed, "order": list(right)}, pack, means)


def _cards_for(ids: Sequence[str], means: Mapping[str, str]) -> list[str]:
    free = {name: [card for card, part in means.items() if part == name] for name in set(ids)}
    return [free[name].pop() for name in ids]


def _other_orders(right: list[str]) -> Iterator[list[str]]:
    """Every order of a few cards; of many, each exchange of two, and some at random."""
    if len(right) <= MOST_PERMUTED:
        yield from map(list, itertools.permutations(right))
        return
    for first, second in itertools.combinations(range(len(right)), 2):
        order = list(right)
        order[first], order[second] = order[second], order[first]
        yield order
    draw = random.Random(len(right))
    for _ in range(10):
        yield draw.sample(right, len(right))


def _can_be_built(given: Sequence[str], wanted: Sequence[Data], seal: Sequence[bool]) -> bool:
    """Without the free parts: equal place by place, but that the seals of one run may change places. Each free part: where it may be."""
    free = [entry for entry in wanted if "any_time_before" in entry or "any_time_after" in entry]
    loose = {entry["part"] for entry in free}
    fixed = [(entry["part"], is_seal) for entry, is_seal in zip(wanted, seal, strict=True) if entry["part"] not in loose]
    for entry in free:
        at = given.index(entry["part"])
        if "any_time_before" in entry and at > given.index(entry["any_time_before"]):
            return False
        if "any_time_after" in entry and entry["any_time_after"] in given[at:]:
            return False
    return _same_order([name for name in given if name not in loose], *map(list, zip(*fixed, strict=True)))


def _same_order(given: Sequence[str], ids: Sequence[str], seal: Sequence[bool]) -> bool:
    """Equal place by place, but that the seals of one run may change places."""
    place = 0
    while place < len(ids):
        end = place + 1
        while seal[place] and end < len(ids) and seal[end]:
            end += 1
        if sorted(given[place:end]) != sorted(ids[place:end]):
            return False
        place = end
    return True


def _check_ways(page: Data, mark: Marking, fixed: dict[str, Any], pack: Data, means: Mapping[str, str]) -> None:
    """Sides and grooves: asked where the data has one answer, and that is the only right one."""
    asked = [ask for ask in page["answer_form"] if ask["form"] == "choice"]
    shown = set(means.values())
    for key in ("side", "groove"):
        for part in shown:
            said = {entry.get(key) for entry in pack["parts"] if entry["part"] == part}
            one_answer = len(said) == 1 and None not in said and "either way" not in said
            one_answer = one_answer and (key == "side" or len(pack.get("grooves", [])) > 1)
            found = [ask for ask in asked if ask["id"] == f"{key}-{part}"]
            assert len(found) == one_answer, (key, part)
            if one_answer:
                assert only_right(page, mark, fixed, f"{key}-{part}") == said.pop()
                assert {means[card] for card in found[0]["about"]} == {part}


# --- the planted mistake --------------------------------------------------------------------------------------------------------


type Look = tuple[tuple[str, str | None, str | None], ...]


def check_fault(data: Data, pack: Data, page: Data, mark: Marking) -> None:
    parts = parts_of(data)
    in_pack = [parts[name] for name in dict.fromkeys(entry["part"] for entry in pack["parts"])]
    alikes = {name for part in in_pack for name in part.get("look_alikes", [])}
    rows = page["given"]["stack"]
    assert [row["number"] for row in rows] == list(range(1, len(rows) + 1))
    assert _drawn(page["shown"]) == [(row["number"], row["label"], row["side"], row["groove"]) for row in rows]
    seen = []
    for row in rows:
        meant = parts_labelled(row["label"], in_pack)
        others = parts_labelled(row["label"], [parts[name] for name in alikes if name not in {part["id"] for part in in_pack}])
        assert len(meant) == 1 or (not meant and others), (row, meant, others)
        seen.append((frozenset(meant or others), row["side"], row["groove"]))
    explained = {(kind, at) for kind, at, look in single_faults(data, pack) if _fits(look, seen)}
    assert len(explained) == 1, explained
    ((kind, at),) = explained
    fixed = {ask["id"]: ask["options"][0]["id"] for ask in page["answer_form"]}
    assert only_right(page, mark, fixed, "what") == kind
    assert only_right(page, mark, fixed, "where") == str(at)
    if any(ask["id"] == "road" for ask in page["answer_form"]):
        _check_road(data, pack, page, mark, fixed, kind, at)
    found = mark(fixed)["working"]
    assert found, "the checker has found nothing"
    assert all(re.search(rf"\b{at}\b", line) for line in found[:1]) or kind == "count", found


def _drawn(shown: Any) -> list[tuple[int, str, str | None, str | None]]:
    """Number, label, side and groove of each row as the drawing has them, the bottom one first."""
    (listed,) = (child for child in shown[2] if child[0] == "ol")
    found = []
    for item in reversed(listed[2]):
        label = item[2][2][2][0].split(" · ")
        groove = label.pop().removesuffix(" groove") if label[-1].endswith(" groove") else None
        marks = {"chamfer", "dimple", "lip", "step", "tooth", "dish", "flat", "paint", "rounded edge"}
        mark, _, way = label[-1].rpartition(" ")
        side = label.pop() if mark in marks and way in OPPOSITE else None
        found.append((int(item[1]["value"]), " · ".join(label), side, groove))
    return found


def _fits(look: Look, seen: Sequence[tuple[frozenset[str], str | None, str | None]]) -> bool:
    return len(look) == len(seen) and all(
        part in meant and (side, groove) == (seen_side, seen_groove)
        for (part, side, groove), (meant, seen_side, seen_groove) in zip(look, seen, strict=True)
    )


def _sound(pack: Data) -> Look:
    return tuple((entry["part"], _marked(entry.get("side")), entry.get("groove")) for entry in pack["parts"])


def _marked(side: str | None) -> str | None:
    return None if side == "either way" else side


def single_faults(data: Data, pack: Data) -> Iterator[tuple[str, int, Look]]:
    """Every single mistake of the six kinds, by brute force: kind, number of the first difference, what is seen."""
    sound = _sound(pack)
    for kind, look in _changed(data, pack, sound):
        if look != sound:
            both = enumerate(zip(sound, look, strict=False), 1)
            at = next((number for number, (here, there) in both if here != there), min(len(sound), len(look)) + 1)
            yield kind, at, look


def _changed(data: Data, pack: Data, sound: Look) -> Iterator[tuple[str, Look]]:
    parts = parts_of(data)
    kinds = [parts[part]["kind"] for part, _, _ in sound]
    counted = Counter(part for part, _, _ in sound)
    for place, (part, side, groove) in enumerate(sound):
        before, after = sound[:place], sound[place + 1 :]
        if side is not None:
            mark, _, way = side.rpartition(" ")
            yield "flipped", (*before, (part, f"{mark} {OPPOSITE[way]}", groove), *after)
        if place + 1 < len(sound) and {kinds[place], kinds[place + 1]} <= PLATES and part != sound[place + 1][0]:
            yield "swapped", (*before, sound[place + 1], sound[place], *sound[place + 2 :])
        if groove is not None and kinds[place] == "snap-ring":
            grooves = pack.get("grooves", [])
            for other in grooves[grooves.index(groove) :]:
                yield "groove", (*before, (part, side, other), *after)
        if counted[part] == 1:
            yield "left-out", (*before, *after)
        for other in parts[part].get("look_alikes", []):
            for seen in _own_sides(data, other, marked=side is not None):
                yield "look-alike", (*before, (other, seen, groove), *after)
    for first, size, times in _repeats(pack["parts"]):
        end = first + size * times
        yield "count", (*sound[:end], *sound[first : first + size], *sound[end:])
        yield "count", (*sound[: end - size], *sound[end:])


def _own_sides(data: Data, part: str, *, marked: bool) -> set[str | None]:
    uses = (entry for pack in data["packs"] for entry in pack["parts"] if entry["part"] == part)
    return {None, *(_marked(entry.get("side")) for entry in uses)} if marked else {None}


def _repeats(entries: Sequence[Data]) -> Iterator[tuple[int, int, int]]:
    place = 0
    while place < len(entries):
        times = entries[place].get("turns", 1)
        size = 1
        while times > 1 and entries[place + size].get("turn", 1) == 1:
            size += 1
        if times > 1:
            yield place, size, times
        place += size * times


def _check_road(data: Data, pack: Data, page: Data, mark: Marking, fixed: dict[str, Any], kind: str, at: int) -> None:
    """The right effect is what the note on the part says; no other option is said of a part of its kind."""
    kinds = {part["id"]: part["kind"] for part in data["parts"]}
    right = only_right(page, mark, fixed, "road")
    texts = {
        option["id"]: _plain(option["label"]) for ask in page["answer_form"] if ask["id"] == "road" for option in ask["options"]
    }
    entry = pack["parts"][at - 1]
    cue, _, effect = entry["wrong"].partition(":")
    assert texts[right] == _plain(effect)
    fitting = {"left-out": r"left out", "flipped": r"upside down|\w+( side)? (up|down|in|out)", "groove": r"in the .* groove"}
    assert kind == "look-alike" or re.match(fitting[kind], cue), (kind, cue)
    for option, text in texts.items():
        if option != right:
            said = [
                other
                for one in data["packs"]
                for other in one["parts"]
                if _plain(other.get("wrong", "").partition(":")[2]) == text and kinds[other["part"]] == kinds[entry["part"]]
            ]
            assert not said or all(kinds[other["part"]] != kinds[entry["part"]] for other in said), text


def _plain(text: str) -> str:
    return " ".join(text.casefold().split()).rstrip(".")


# --- the gauge: read back from the drawing ----------------------------------------------------------------------------------------


def check_gauge(data: Data, pack: Data, page: Data, mark: Marking) -> None:
    gauge, by_eye = page["given"]["gauge"], page["given"]["by_eye"]
    kind, line, shown_unit = gauge.split("-")
    limit = parse_quantity(pack["clearance"]["max"], Dimension.LENGTH, "")
    assert shown_unit == limit.unit.name
    owned = [one for one in data["gauges"] if one["kind"] == kind and one.get("resolution") == f"{line} {shown_unit}"]
    assert any(f"is measured with this: {one['name']}. " in page["question"] for one in owned), "the shop has no such gauge"
    unit = gauge.rsplit("-", 1)[1]
    step = Fraction(gauge.split("-")[1])
    value = (_dial_value if gauge.startswith("dial") else _depth_value)(page["shown"], step, by_eye=by_eye)
    assert kind == "depth" or 0 < value <= Fraction(4, 3) * limit.value + step, "no pack like this shows that"

    def is_right(amount: Fraction) -> bool:
        return bool(mark({"reading": f"{float(amount):.9f} {unit}"})["right"])

    assert is_right(value), (gauge, value)
    if by_eye:
        assert is_right(value + step / 2) and is_right(value - step / 2)
        assert not is_right(value + step * Fraction(6, 10)) and not is_right(value - step * Fraction(6, 10))
    else:
        assert not is_right(value + step / 10) and not is_right(value - step / 10)
        assert not any(is_right(value + lines * step) for lines in (-100, -50, -25, -1, 1, 25, 50, 100))
    assert "aria-label" in page["shown"][1]
    assert set(page["given"]) == {"gauge", "line", "by_eye"}, "what is given gives the value away"


def _find(shown: Any, kind: str) -> list[Any]:
    found = [shown] if shown[1].get("class") == kind else []
    return found + [one for child in shown[2] if isinstance(child, list) for one in _find(child, kind)]


def _turn(path: str) -> float:
    """Clockwise from the top, in parts of a turn, of a hand drawn from its tail to its tip."""
    tail_x, tail_y, x, y = (float(text) for text in re.findall(r"-?\d+(?:\.\d+)?", path))
    angle = cmath.phase(complex(x - tail_x, tail_y - y))
    return (0.25 - angle / (2 * math.pi)) % 1


def _dial_value(shown: Any, step: Fraction, *, by_eye: bool) -> Fraction:
    (long_hand,), (small_hand,) = _find(shown, "practice-long-hand"), _find(shown, "practice-small-hand")
    lines = _turn(long_hand[1]["d"]) * 100
    fine = round(lines * 10) % 1000
    assert abs(lines - fine / 10) < 0.02 or abs(lines - 100 - fine / 10) < 0.02
    assert by_eye or fine % 10 == 0
    turns = _turn(small_hand[1]["d"]) * 10
    whole = round(turns - fine / 1000)
    assert abs(turns - fine / 1000 - whole) < 0.25, (turns, fine)
    return (Fraction(fine, 10) + 100 * (whole % 10)) * step


def _depth_value(shown: Any, step: Fraction, *, by_eye: bool) -> Fraction:
    """The last covered line by the first numbered ones in sight, and the thimble by its numbers about the index line."""
    metric = step == Fraction(1, 100)
    numerals = [(float(text[1]["x"]), float(text[1]["y"]), int(text[2][0])) for text in _find(shown, "practice-numeral")]
    edge = 176.0
    sleeve = sorted((x, number) for x, _, number in numerals if x < edge)
    thimble = sorted((y, number) for x, y, number in numerals if x > edge)
    (first_x, first), (second_x, second) = sleeve[-1], sleeve[-2]
    scale = (second - first) / (first_x - second_x)
    passed = first - (edge - first_x) * scale  # in the sleeve's own numbers
    turn, lines = (Fraction(1, 2), 50) if metric else (Fraction(1, 40), 25)
    turns = int(passed / float(turn)) if metric else int(passed / 10 / float(turn))
    down = {number: y for y, number in thimble}
    spacing = (
        min(abs(first - second) for first, second in itertools.pairwise(sorted(down.values()))) / 5 if len(down) > 1 else 9.0
    )
    number, y = min(down.items(), key=lambda item: abs(item[1] - 100))
    fine = round((number + (100 - y) / spacing) * 10) % (10 * lines)
    assert by_eye or fine % 10 == 0
    part = float(passed) / (float(turn) * (1 if metric else 10)) - turns
    assert abs(part - fine / 10 / lines) < 0.02, (part, fine)
    return turns * turn + Fraction(fine, 10) * step


# --- readings, clearance, ring ------------------------------------------------------------------------------------------------------


def check_clearance(data: Data, pack: Data, page: Data, mark: Marking) -> None:
    spec, method = pack["clearance"], page["given"]["method"]
    told = {fact["name"]: fact["said"] for fact in page["given"]["facts"]}
    values = position_values(page["given"]["readings"], method)
    shift = _wave_shift(data, pack, told, method)
    clearance = sum(values, Fraction(0)) / len(values) + shift
    low, high = length(spec["min"]), length(spec["max"])
    unit = parse_quantity(spec["min"], Dimension.LENGTH, "").unit
    reply = _asked_again(data, pack, page, told, method, spec)
    assert reply["ok"], reply
    result = reply["result"]
    assert abs(length(result["clearance"]) - clearance) < Fraction(1, 10**9)
    fixed = {ask["id"]: ask["options"][0]["id"] for ask in page["answer_form"] if ask["form"] == "choice"}

    def figure_right(value: Fraction) -> bool:
        text = f"{(value / unit.factor).numerator}/{(value / unit.factor).denominator} {unit.name}"
        amount = value / unit.factor
        text = f"{round(amount * 10**12) / Fraction(10**12)}" if amount.denominator > 9999 else text
        marked = mark({**fixed, "clearance": text if " " in text else f"{float(amount):.14f} {unit.name}"})
        return bool(next(one["right"] for one in marked["asks"] if one["id"] == "clearance"))

    step = _step_told(data, told, unit, method)
    tolerance = (
        min(step, {"mm": Fraction(1, 100), "um": Fraction(1, 100), "m": Fraction(1, 100)}.get(unit.name, Fraction(254, 10_000)))
        / 2
    )
    assert figure_right(clearance)
    assert figure_right(clearance + tolerance * Fraction(9, 10)) and figure_right(clearance - tolerance * Fraction(9, 10))
    assert not figure_right(clearance + tolerance * Fraction(11, 10)) and not figure_right(
        clearance - tolerance * Fraction(11, 10)
    )
    fixed["clearance"] = f"0 {unit.name}"
    verdict = only_right(page, mark, fixed, "verdict")
    assert verdict == _verdict(values, clearance, result, spec, low, high), (verdict, clearance)
    if verdict != "uneven":
        # A step either way leaves the verdict what it is: no rounding decides it.
        assert all(
            (low <= clearance + off <= high) == (low <= clearance <= high)
            for off in (-step * Fraction(99, 100), step * Fraction(99, 100))
        )
    if any(ask["id"] == "ring" for ask in page["answer_form"]):
        ring = only_right(page, mark, fixed, "ring")
        assert ring == ("find-the-cause" if verdict == "uneven" else _best_size(data, pack, page, told, clearance)), ring
    working = mark(fixed)["working"]
    # The oracle's own request says nothing of the friction plates, so their line is the one that it cannot have.
    lines = [line for line in working if not line.startswith("for each friction plate")]
    assert lines[: len(reply["working"])] == reply["working"]


def position_values(readings: Data, method: str) -> list[Fraction]:
    """The clearance at each position, mm."""
    if method == "dial":
        return [length(text) for text in readings["lifts"]]
    if method == "feeler":
        return [sum((length(leaf) for leaf in leaves), Fraction(0)) for leaves in readings["leaves"]]
    if method == "depth":
        return [length(plate) - length(ring) for plate, ring in zip(readings["to_plate"], readings["to_ring"], strict=True)]
    return [
        length(readings["cavity"]) - sum((length(part["thickness"]) * part["count"] for part in readings["parts"]), Fraction(0))
    ]


def _wave_shift(data: Data, pack: Data, told: Data, method: str) -> Fraction:
    """What the state of the wave plate adds, from what the reader is told."""
    measured, meant = told.get("When measured, the wave plate was"), told.get("Limits are for the wave plate")
    if measured is None:
        return Fraction(0)
    (plate,) = {entry["part"] for entry in pack["parts"] if parts_of(data)[entry["part"]]["kind"] == "wave"}
    free, flat = length(parts_of(data)[plate]["free_height"]), length(parts_of(data)[plate]["thickness"])
    state = "flat" if method == "parts" else measured
    return Fraction(0) if state == meant else (free - flat if state == "free" else flat - free)


def _asked_again(data: Data, pack: Data, page: Data, told: Data, method: str, spec: Data) -> dict[str, Any]:
    """The engine's answer to a request put together from what the reader is told."""
    request: dict[str, Any] = {"method": method, "limits": {"min": spec["min"], "max": spec["max"]}, **page["given"]["readings"]}
    unit = parse_quantity(spec["min"], Dimension.LENGTH, "").unit
    if method != "parts":
        step = _step_told(data, told, unit, method)
        request["gauge"] = {"resolution": f"{float(step):.9f} mm", **_max_error(data, told)}
    if "Largest spread allowed" in told:
        request["spread_limit"] = spec["spread_limit"]
    if told.get("When measured, the wave plate was"):
        (plate,) = {entry["part"] for entry in pack["parts"] if parts_of(data)[entry["part"]]["kind"] == "wave"}
        state = "flat" if method == "parts" else told["When measured, the wave plate was"]
        heights = parts_of(data)[plate]
        request["wave"] = {
            "free": heights["free_height"],
            "flat": heights["thickness"],
            "measured": state,
            "specified": told["Limits are for the wave plate"],
        }
    return answer("pack-clearance", request)


def _gauges_told(data: Data, told: Data) -> list[Data]:
    name = told.get("Gauge", "").rsplit(", steps of ", 1)[0]
    return [gauge for gauge in data["gauges"] if gauge["name"] == name]


def _max_error(data: Data, told: Data) -> dict[str, str]:
    step = told.get("Gauge", "").rsplit("steps of ", 1)[-1]
    found = [gauge for gauge in _gauges_told(data, told) if "resolution" in gauge and length(gauge["resolution"]) == length(step)]
    errors = [gauge["max_error"] for gauge in found if "max_error" in gauge]
    return {"max_error": errors[0]} if errors and len(errors) == len(found) else {}


def _step_told(data: Data, told: Data, unit: Any, method: str) -> Fraction:
    """The gauge's step in mm, as told; else the usual one of the unit."""
    if "Gauge" in told:
        return length(told["Gauge"].rsplit("steps of ", 1)[1])
    usual = Fraction(254, 10_000) if unit.name in {"in", "thou"} else Fraction(1, 100)
    return Fraction(5, 100) if method == "feeler" and unit.name == "mm" else usual


def _verdict(values: Sequence[Fraction], clearance: Fraction, result: Data, spec: Data, low: Fraction, high: Fraction) -> str:
    if "spread_limit" in spec and len(values) > 1 and max(values) - min(values) > length(spec["spread_limit"]):
        return "uneven"
    if not low <= clearance <= high:
        return "tight" if clearance < low else "loose"
    unsure = length(result["uncertainty"])
    return "in" if low <= clearance - unsure and clearance + unsure <= high else "close"


def _best_size(data: Data, pack: Data, page: Data, told: Data, clearance: Fraction) -> str:
    """The size by brute force over the kit: every pack within its limits, the worst one as near its aim as can be."""
    sizes = [option for option in options(page, "ring") if option not in {"none", "find-the-cause"}]
    (kit,) = (kit for kit in data["kits"] if set(kit["choices"]) == set(sizes))
    packs = {one["id"]: one for one in data["packs"]}
    alone = set(kit["effect"]) == {pack["id"]} and kit["effect"][pack["id"]] == -1
    known = {pack["id"]: clearance}
    for name in kit["effect"]:
        if name != pack["id"]:
            known[name] = length(told[packs[name]["name"]].removeprefix("measured ").split(";")[0])
    parts = parts_of(data)
    ranked = []
    for size in sizes:
        if kit.get("stock", {}).get(size) == 0 and size != kit["fitted"]:
            continue
        moved = length(parts[size]["thickness"]) - length(parts[kit["fitted"]]["thickness"])
        worst = min(
            _room(packs[name]["clearance"], value + kit["effect"][name] * moved, alone=alone) for name, value in known.items()
        )
        ranked.append((worst, size))
    ranked.sort(reverse=True)
    if ranked[0][0] < 0:
        return "none"
    assert len(ranked) == 1 or ranked[0][0] > ranked[1][0], "two sizes are as good as each other"
    return ranked[0][1]


def _room(spec: Data, value: Fraction, *, alone: bool) -> Fraction:
    low, high = length(spec["min"]), length(spec["max"])
    if not low <= value <= high:
        return Fraction(-1)
    aim = length(spec["target"]) if "target" in spec and not alone else (low + high) / 2
    return 1 - abs(value - aim) / max(aim - low, high - aim)


# --- what goes here -----------------------------------------------------------------------------------------------------------------


def check_which(data: Data, pack: Data, page: Data, mark: Marking) -> None:
    right = only_right(page, mark, {}, "which")
    texts = {option["id"]: option["label"] for option in page["answer_form"][0]["options"]}
    wrong = [text for option, text in texts.items() if option != right]
    assert len(wrong) >= 2
    WHICH[page["given"]["about"]](data, pack, page["question"], texts[right], wrong)


def _which_caution(data: Data, pack: Data, question: str, right: str, wrong: Sequence[str]) -> None:
    """The part in the question has the right one, and never one of the wrong ones."""
    parts = parts_of(data)
    label = question.split("this part: ", 1)[1].rsplit("?", 1)[0].split(" (", maxsplit=1)[0]
    in_pack = [parts[name] for name in dict.fromkeys(entry["part"] for entry in pack["parts"])]
    (asked,) = parts_labelled(label, in_pack)
    said = {_signal(entry["caution"]) for entry in pack["parts"] if entry["part"] == asked and "caution" in entry}
    assert right in said
    assert not said & set(wrong)


def _signal(caution: Data) -> str:
    text = caution["text"].strip()
    return f"{caution['signal'].upper()}: {text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '!', '?')) else '.'}"


def _which_place(data: Data, pack: Data, question: str, right: str, wrong: Sequence[str]) -> None:
    parts = parts_of(data)
    in_pack = [parts[name] for name in dict.fromkeys(entry["part"] for entry in pack["parts"])]
    text = question.split("apply? ", 1)[1].split(": ", 1)[1]
    having = {
        entry["part"] for entry in pack["parts"] if "caution" in entry and _signal(entry["caution"]).split(": ", 1)[1] == text
    }
    assert parts_labelled(right, in_pack) == list(having)
    for label in wrong:
        (meant,) = parts_labelled(label, in_pack)
        assert meant not in having


def _which_gauge(data: Data, pack: Data, _question: str, right: str, wrong: Sequence[str]) -> None:
    spec = pack["clearance"]
    (gauge,) = (gauge for gauge in data["gauges"] if gauge["id"] == spec["gauge"])
    assert right == gauge["name"]
    can = {"parts": {"micrometer", "depth"}}.get(spec["method"], {spec["method"]}) | {gauge["kind"]}
    assert not [other for other in data["gauges"] if other["name"] in wrong and other["kind"] in can and other["name"] == right]
    for name in wrong:
        assert any(other["name"] == name and other["kind"] not in can for other in data["gauges"])


def _which_note(data: Data, _pack: Data, question: str, right: str, wrong: Sequence[str]) -> None:
    note = question.split("? “", 1)[1].rsplit("”", 1)[0]
    groups = [
        things
        for things in (data["tools"], data["consumables"])
        if any(thing["name"] == right and thing.get("note") == note for thing in things)
    ]
    # A tool and a consumable may share their name and note: then one of the two lists is the one that was asked from.
    assert any(not [thing for thing in things if thing["name"] in wrong and thing.get("note") == note] for things in groups)


def _which_use(_data: Data, _pack: Data, question: str, right: str, wrong: Sequence[str]) -> None:
    """What nobody would use there, by words of our own choosing."""
    apt = {
        "goes on the": ("lubric", "fluid", "oil", "grease", "gel"),
        "stand before": ("fluid", "oil"),
    }
    (words,) = (words for phrase, words in apt.items() if phrase in question)
    assert any(word in right.casefold() for word in words)
    assert not [name for name in wrong if any(word in name.casefold() for word in words)]


def _which_tool(data: Data, pack: Data, question: str, right: str, wrong: Sequence[str]) -> None:
    """The tool that the entry of the part names; no other could do it, by words of our own choosing."""
    name = question.split(" do you fit the ", 1)[1].removesuffix(" with?")
    parts = parts_of(data)
    asked = [entry for entry in pack["parts"] if parts[entry["part"]]["name"] == name]
    tools = {tool["id"]: tool["name"] for tool in data["tools"]}
    assert right in {tools[entry["tool"]] for entry in asked}
    apt = {"seal": ("sleeve", "wire"), "ring": ("pliers", "pick", "press"), "spring": ("press", "pliers"), "retainer": ("press",)}
    words = next(words for word, words in apt.items() if word in parts[asked[0]["part"]]["kind"])
    assert not [one for one in wrong if any(word in one.casefold() for word in words)]


WHICH: dict[str, Callable[[Data, Data, str, str, Sequence[str]], None]] = {
    "caution": _which_caution,
    "place": _which_place,
    "gauge": _which_gauge,
    "note": _which_note,
    "use": _which_use,
    "tool": _which_tool,
}


# --- believable ---------------------------------------------------------------------------------------------------------------------


def check_believable(data: Data, pack: Data, page: Data, mark: Marking) -> None:
    readings, method = page["given"]["readings"], page["given"]["method"]
    offered = set(options(page, "what"))
    assert ("swapped" in offered) == (method == "depth")
    assert "seized" not in offered or method != "parts"
    high = length(pack["clearance"]["max"])
    kind, place = _told(data, readings, method, high)
    fixed = {ask["id"]: ask["options"][0]["id"] for ask in page["answer_form"]}
    assert only_right(page, mark, fixed, "what") == kind, (kind, readings)
    assert only_right(page, mark, fixed, "where") == place, (place, readings)
    if kind == "seized":
        assert length(pack["clearance"]["min"]) > 0
    if kind == "sound":
        values = position_values(readings, method)
        assert min(values) > 0
        limit = pack["clearance"].get("spread_limit")
        assert limit is None or max(values) - min(values) <= length(limit)
        assert max(values) <= high + (high - length(pack["clearance"]["min"])) / 4


def _told(data: Data, readings: Data, method: str, high: Fraction) -> tuple[str, str]:
    """What is wrong with readings and where, by their sizes alone."""
    if method == "parts":
        return _told_parts(data, readings, high)
    values = position_values(readings, method)
    if all(value == 0 for value in values):
        return "seized", "all"
    far = [place for place, value in enumerate(values, 1) if value >= 3 * high or value <= -Fraction(3, 2) * high]
    swapped = [place for place, value in enumerate(values, 1) if value < 0 and place not in far]
    assert len(far) + len(swapped) <= 1, values
    if swapped:
        others = [value for value in values if value >= 0]
        assert all(abs(-values[swapped[0] - 1] - other) < max(others) for other in others)
        return "swapped", f"row-{swapped[0]}"
    return ("mistyped", f"row-{far[0]}") if far else ("sound", "none")


def _told_parts(data: Data, readings: Data, high: Fraction) -> tuple[str, str]:
    new = {part["name"]: length(part["thickness"]) for part in data["parts"] if "thickness" in part}
    far = [
        number
        for number, part in enumerate(readings["parts"], 2)
        if all(length(part["thickness"]) > 2 * size for name, size in new.items() if name == part["name"])
    ]
    if not far and position_values(readings, "parts")[0] >= 3 * high:
        far = [1]
    assert len(far) <= 1
    return ("mistyped", f"row-{far[0]}") if far else ("sound", "none")


CHECKS: dict[str, Callable[[Data, Data, Data, Marking], None]] = {
    "order": check_order,
    "fault": check_fault,
    "gauge": check_gauge,
    "clearance": check_clearance,
    "which": check_which,
    "believable": check_believable,
}
