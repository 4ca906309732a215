"""The engine's doors: any text in, a whole reply out, the same on every run, in every order and in every unit."""

from __future__ import annotations

import hashlib
import json
import os
import random
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

from calc_engine import LONGEST_REQUEST, answer, answer_for_page, find_unit, parse_quantity
from calc_engine.practice import KINDS, VERBS, answer_for_practice
from tests.attack.table import Row, cases
from tests.calc_engine.practice.demo_units import demo_units
from tests.site.requests_for_parity import extreme_requests, requests

__all__ = ["run"]

_SEED: Final = 20261128
_ROOT: Final = Path(__file__).resolve().parents[2]
_SLOW: Final = 20.0
_WORDS: Final = (
    "mm", "in", "psi", "kPa", "N", "lbf", "degC", "degF", "N/mm", "deg", "rpm", "1e", "e99999999999", "-", ".", ",", "/", "0", "1", "9" * 90,
    "\u200b", "\u00a0", "\ud800", "\x00", "é", "3/64", "{", "}", "[", "]", '"', ":", "null", "true", "NaN", "\\u0000", " ",
)  # fmt: skip


def run(share: float) -> Iterator[Row]:
    """Every attack on the engine.

    Args:
        share: the share of the full number of cases.
    """
    yield _fuzz(cases(304_000, share))
    yield _hash_seeds(cases(50_000, share))
    yield _other_words(cases(112_587, share))
    yield _practice(cases(53_455, share))
    yield _command_line()
    yield _sizes()


def _fuzz(number: int) -> Row:
    row = Row("fuzz of all calculations through both doors")
    for name, text in _fuzzed(number):
        row.tried(_whole(name, text))
    return row


def _fuzzed(number: int) -> Iterator[tuple[str, str]]:
    chance = random.Random(_SEED)
    good = requests(_SEED, number)
    extreme = extreme_requests(_SEED)
    for name, text in good:
        kind = chance.random()
        if kind < 0.5:
            yield name, text
        elif kind < 0.7:
            yield next(extreme)
        elif kind < 0.9:
            yield name, _spliced(text, chance)
        else:
            yield chance.choice([name, "", "nothing"]), "".join(chance.choices(_WORDS, k=chance.randrange(40)))


def _spliced(text: str, chance: random.Random) -> str:
    """A text with a few places replaced: often no JSON any more, else with odd values."""
    for _ in range(chance.randint(1, 3)):
        at = chance.randrange(len(text) + 1)
        text = text[:at] + chance.choice(_WORDS) + text[at + chance.randrange(6) :]
    return text


def _whole(name: str, text: str) -> str | None:
    """What is wrong with the answer to a request, if anything is."""
    try:
        both = answer_for_page(name, text)
        both.encode()
        told = json.loads(both)
    except Exception as fault:  # noqa: BLE001 - whatever escapes is the finding
        return f"{name} {text[:300]!r}: {fault!r}"
    wrong = _wrong_reply(told["reply"]) or (None if (told["panel"] is not None) is told["reply"]["ok"] else "panel")
    return None if wrong is None else f"{name} {text[:300]!r}: {wrong}"


def _wrong_reply(reply: dict[str, Any]) -> str | None:
    if reply["ok"]:
        return None if reply["working"] and reply["result"] else "an answer without result or working"
    if not reply["problems"]:
        return "refused without a problem"
    return next(
        (p["code"] for p in reply["problems"] if p["code"] in {"engine-fault", "practice-fault"} or not p["message"]), None
    )


def _hash_seeds(number: int) -> Row:
    row = Row("the same requests under four hash seeds")
    digests: dict[str, str] = {}
    for seed in ("0", "1", "12345", "random"):
        code = f"from tests.attack.attack_engine import digest; print(digest({number}))"
        done = subprocess.run(
            [sys.executable, "-c", code], env=os.environ | {"PYTHONHASHSEED": seed}, capture_output=True, text=True, cwd=_ROOT, check=False
        )  # fmt: skip
        digests[seed] = done.stdout.strip() or done.stderr[-300:]
        row.cases += number
    if len(set(digests.values())) != 1:
        row.failures.append(str(digests))
    return row


def digest(number: int) -> str:
    """SHA-256 over the answers to so many requests."""
    made = hashlib.sha256()
    for name, text in _fuzzed(number):
        made.update(answer_for_page(name, text).encode())
    return made.hexdigest()


def _other_words(number: int) -> Row:
    """Three variants of each request that has an answer: they must have the same answer."""
    row = Row("keys reversed, other exact units, metric against inch")
    for name, text in requests(_SEED + 1, number):
        request = json.loads(text, parse_float=Decimal)
        request.pop("units", None)
        plain = answer(name, request | {"units": "metric"})
        row.cases += 1
        if not plain["ok"]:
            continue
        reversed_keys, converted = _reversed(request), _in_thousandths(request)
        variants = {
            "reversed": answer(name, reversed_keys | {"units": "metric"}),
            "units": answer(name, converted | {"units": "metric"}),
            "inch": answer(name, request | {"units": "inch"}),
        }
        for kind, other in variants.items():
            if not other["ok"] or not _same(plain["result"], other["result"], exact=kind != "inch"):
                row.failures.append(f"{kind}: {name} {text[:300]}")
    return row


def _reversed(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _reversed(item) for key, item in reversed(value.items())}
    return [_reversed(item) for item in value] if isinstance(value, list) else value


def _in_thousandths(value: Any, key: str = "") -> Any:
    """Every length in mm as so many um. Names that a reader gave may look like lengths: they stay."""
    if isinstance(value, dict):
        return {name: _in_thousandths(item, name) for name, item in value.items()}
    if isinstance(value, list):
        return [_in_thousandths(item, key) for item in value]
    if isinstance(value, str) and key not in {"id", "name", "fitted", "to"} and re.fullmatch(r"[0-9.]+ mm", value):
        um = find_unit("um")
        assert um is not None
        return str(parse_quantity(value, None, key).to(um))
    return value


_NAMED: Final = frozenset({"advice", "id", "name", "fit", "choice", "converted", "exact"})


def _same(one: Any, other: Any, *, exact: bool, key: str = "") -> bool:
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(_same(one[name], other[name], exact=exact, key=name) for name in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(_same(a, b, exact=exact, key=key) for a, b in zip(one, other, strict=True))
    if exact or not isinstance(one, str) or key in _NAMED:
        return key in _NAMED or one == other or (isinstance(one, float) and abs(one - other) <= 1e-12 * abs(one))
    amounts = [_amount(text) for text in (one, other)]
    if amounts[0] is None or amounts[1] is None:
        return bool(one == other)
    return abs(amounts[0] - amounts[1]) <= Fraction(1, 10**10) * max(abs(amounts[0]), abs(amounts[1]), Fraction(1, 10**3))


def _amount(text: str) -> Fraction | None:
    number, _, unit = text.partition(" ")
    found = find_unit(unit)
    return found.to_base(Fraction(number)) if found and re.fullmatch(r"-?[0-9.]+", number) else None


def _practice(number: int) -> Row:
    row = Row("practice: make, mark, list, schedule, whole and damaged")
    chance = random.Random(_SEED)
    units = list(demo_units().values())
    for _ in range(number):
        verb = chance.choice([*VERBS, "nothing"])
        text = json.dumps(_practice_request(verb, chance.choice(units), chance))
        if chance.random() < 0.3:
            text = _spliced(text, chance)
        row.tried(_whole_practice(verb, text))
    return row


def _practice_request(verb: str, unit: Any, chance: random.Random) -> dict[str, Any]:
    if verb == "schedule":
        card = {"id": "a", "repetitions": 1, "interval": 1, "easiness": chance.choice(["2.5", "1e9", "x"]), "due": "2026-11-28"}
        return {"today": "2026-11-28", "cards": [card], "answered": [{"id": "a", "quality": chance.randrange(-1, 7)}]}
    if verb == "list":
        return {"unit": unit}
    packs = [pack["id"] for pack in unit.get("packs", [])] if isinstance(unit.get("packs"), list) else list(unit.get("packs", {}))
    kinds = [*KINDS, "nothing"]
    request = {"unit": unit, "pack": chance.choice(packs or ["x"]), "kind": chance.choice(kinds), "seed": chance.randrange(2**31)}
    return request | ({"answer": chance.choice([{}, [], "x", {"reading": "1e99999 mm"}])} if verb == "mark" else {})


def _whole_practice(verb: str, text: str) -> str | None:
    try:
        told = json.loads(answer_for_practice(verb, text).encode())
    except Exception as fault:  # noqa: BLE001 - whatever escapes is the finding
        return f"{verb} {text[:300]!r}: {fault!r}"
    wrong = None if told["ok"] else _wrong_reply(told)
    return None if wrong is None else f"{verb} {text[:300]!r}: {wrong}"


_REDIRECTS: Final = (
    "<&-", ">&-", "2>&-", "<&- >&-", "<&- >&- 2>&-", ">/dev/full", "2>/dev/full", ">/dev/full 2>/dev/full", "</dev/zero", "0>/dev/null",
    "</dev/null", "</dev/urandom", "| head -c 1", "| true", ">/dev/null",
)  # fmt: skip
_CALLS: Final = (["list"], ["describe", "pack-clearance"], ["run", "pack-clearance"])


def _command_line() -> Row:
    row = Row("command line: streams closed, full, binary, interrupted")
    for arguments in _CALLS:
        for redirect in _REDIRECTS:
            row.tried(_traceback([*arguments], redirect))
    for arguments in ([], ["run"], ["nothing"], ["run", "x" * 100_000], ["describe", "\udcff"], ["run", "--help"]):
        row.tried(_traceback(arguments, ""))
    for wait, text in ((3.0, b""), (3.0, _SLOW_REQUEST)):
        row.tried(_interrupted(wait, text))
    return row


def _traceback(arguments: list[str], redirect: str) -> str | None:
    done = subprocess.run(
        ["sh", "-c", f'"$0" -m calc_engine "$@" {redirect}', sys.executable, *arguments], input=b"{}", capture_output=True, cwd=_ROOT, check=False
    )  # fmt: skip
    # Of a pipe the status is that of its last command.
    fine = b"Traceback" not in done.stderr and done.returncode in {0, 2} and done.stderr.count(b"\n") <= 1
    return None if fine else f"{[text[:40] for text in arguments]} {redirect}: {done.returncode} {done.stderr[-300:]!r}"


_SLOW_REQUEST: Final = json.dumps(
    {
        "packs": [{"name": str(p), "clearance": "1.0001 mm", "limits": {"min": "0.5 mm", "max": "0.5001 mm"}} for p in range(4)],
        "positions": [
            {
                "name": f"at {n}", "fitted": "0", "effect": {str(n % 4): -1, str((n + 1) % 4): 1},
                "choices": [{"id": str(c), "thickness": f"{1 + c * 0.0137 + n * 0.00071:.6f} mm"} for c in range(25)],
            }
            for n in range(12)
        ],
    }
).encode()  # fmt: skip


def _interrupted(wait: float, text: bytes) -> str | None:
    """Ctrl+C while it waits for a request, or works on one; an answer that is out before that is none the worse."""
    command = [sys.executable, "-m", "calc_engine", "run", "choose-parts"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=_ROOT) as process:
        assert process.stdin and process.stdout and process.stderr
        if text:
            process.stdin.write(text)
            process.stdin.close()
        time.sleep(wait)
        process.send_signal(signal.SIGINT)
        errors = process.stderr.read()
        code = process.wait()
    fine = (code, errors) in {(130, b"calc_engine: stopped.\n"), (0, b""), (2, b"")}
    return None if fine else f"interrupted: {code} {errors[-300:]!r}"


def _sizes() -> Row:
    row = Row("size and nesting")
    deep = [f"{'[' * depth}1{']' * depth}" for depth in (31, 32, 33, 900, 3_000, 400_000)]
    objects = ['{"a":' * depth + "1" + "}" * depth for depth in (33, 3_000, 100_000)]
    wide = [
        json.dumps({str(n): n for n in range(50_000)}), json.dumps([{}] * 300_000), json.dumps({"lifts": ["1"] * 100_000}),
        json.dumps({"parts": [{"name": 1}] * 30_000, "cavity": "x", "limits": 1}), json.dumps("x" * 900_000), "[" + "[]," * 300_000 + "[]]",
        "1" * 900_000, "1." + "3" * 900_000, '"' + '\\"[' * 300_000 + '"', " " * (LONGEST_REQUEST + 1),
    ]  # fmt: skip
    for text in [*deep, *objects, *wide]:
        for name in ("pack-clearance", "stack-forecast"):
            row.tried(_bounded(lambda name=name, text=text: answer_for_page(name, text), text))  # type: ignore[misc]
    return row


def _bounded(ask: Callable[[], str], text: str) -> str | None:
    begun = time.monotonic()
    told = ask()
    wrong = _wrong_reply(json.loads(told)["reply"])
    if wrong or len(told) > 300_000 or time.monotonic() - begun > _SLOW:
        return f"{text[:60]!r} ({len(text)}): {wrong}, {len(told)} characters, {time.monotonic() - begun:.1f} s"
    return None
