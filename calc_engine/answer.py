"""The one door to the engine: a name and a request in, one reply object out.

Command line, build and browser all come through here, so that they cannot disagree.
"""

from __future__ import annotations

import difflib
import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final, cast

from .answer_units import AnswerUnits, choose_units
from .calculation import Calculation
from .catalogue import CATALOGUE
from .fields import Declared, fields_of
from .problems import Problem, Refused
from .quantity import exact_text
from .request import Reader
from .units import System
from .version import VERSION

__all__ = ["LONGEST_REQUEST", "answer", "answer_text", "decode_request", "encode"]

LONGEST_REQUEST: Final = 1_000_000
_LONGEST_NAME: Final = 200
_SYSTEMS: Final = ("metric", "inch")
_REBUILDS: Final = "rebuilds"
# Never the fault of the request: said without a traceback, so that a page can show it.
_UNEXPECTED: Final = Problem(
    "",
    "engine-fault",
    "The engine failed on this request; it is not the reading's fault.",
    "Keep the request and report it.",
)


def answer(name: str, request: object) -> dict[str, Any]:
    """Checks a request, computes it and replies.

    Args:
        name: a calculation of the catalogue.
        request: the decoded JSON object of the inputs. It may hold ``"units": "metric"`` or ``"inch"``.

    Returns:
        A JSON-ready object: ``ok`` true with ``result``, ``working`` and ``cautions``, or ``ok`` false with every
        problem of the request. It raises nothing.
    """
    try:
        return _reply(name, ok=True, **_computed(name, request))
    except Refused as refused:
        return _refusal(name, refused.problems)
    except Exception:  # noqa: BLE001 - a page must say that the engine failed, whatever the reason
        return _refusal(name, (_UNEXPECTED,))


def answer_text(name: str, text: str | bytes) -> dict[str, Any]:
    """As `answer`, from the text of a JSON object."""
    try:
        request = decode_request(text)
    except Refused as refused:
        unknown = () if name in CATALOGUE else (_unknown_calculation(name),)
        return _refusal(name, (*unknown, *refused.problems))
    return answer(name, request)


def decode_request(text: str | bytes) -> object:
    """The JSON value of a text; numbers stay exact decimals.

    Raises:
        Refused: it is not JSON, not UTF-8, too long, or holds a key twice or a number that is not finite.
    """
    if len(text) > LONGEST_REQUEST:
        raise Refused(
            Problem(
                "",
                "too-long",
                f"The request has more than {LONGEST_REQUEST} characters.",
                "Send one JSON object of the inputs.",
            )
        )
    try:
        plain = text.decode("utf-8-sig") if isinstance(text, bytes) else text
        return json.loads(plain, parse_float=Decimal, parse_constant=_not_finite, object_pairs_hook=_once)
    except UnicodeDecodeError as fault:
        raise Refused(
            Problem("", "not-utf8", f"Byte {fault.start + 1} is not UTF-8.", "Send the request as UTF-8 text.")
        ) from None
    except json.JSONDecodeError as fault:
        raise Refused(
            Problem(
                "",
                "not-json",
                f"The request is not JSON at line {fault.lineno}, column {fault.colno}.",
                "Send one JSON object of the inputs.",
            )
        ) from None
    except (RecursionError, ValueError):
        raise Refused(
            Problem(
                "",
                "not-json",
                "The request is nested too deeply or holds a number that is too long.",
                "Send one JSON object of the inputs.",
            )
        ) from None


def encode(value: object) -> str:
    """A reply as JSON text: one line, keys in the order given, letters as they are."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(", ", ": "))


def _not_finite(word: str) -> None:
    raise Refused(Problem("", "not-finite", f"{word} is not a number that can be measured.", "Send finite numbers."))


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        counted = Counter(name for name, _ in pairs)
        twice = next(name for name, times in counted.items() if times > 1)[:_LONGEST_NAME]
        raise Refused(Problem(twice, "duplicate-field", f"“{twice}” is given twice.", "Give each field once."))
    return made


def _reply(name: str, *, ok: bool, **rest: Any) -> dict[str, Any]:
    return {"ok": ok, "calculation": name, "engine": VERSION, **rest}


def _refusal(name: str, problems: Sequence[Problem]) -> dict[str, Any]:
    return _reply(name, ok=False, problems=[problem.as_json() for problem in problems])


def _computed(name: str, request: object) -> dict[str, Any]:
    calculation = _find(name)
    reader = Reader()
    given, wanted = _without_units(request, calculation.request, reader)
    typed = reader.read(calculation.request, given, also=("units",))
    if typed is None or reader.problems:
        raise Refused(*(_as_sent(problem, request) for problem in reader.problems))
    units = choose_units(reader.units, wanted)
    made = calculation.compute(typed, units)
    return {
        "result": _object(calculation.result, made.result, units),
        "working": list(made.working),
        "cautions": list(made.cautions),
    }


def _find(name: str) -> Calculation[Any, Any]:
    if name in CATALOGUE:
        return CATALOGUE[name]
    raise Refused(_unknown_calculation(name))


def _unknown_calculation(name: str) -> Problem:
    near = difflib.get_close_matches(name, CATALOGUE, 1)
    remedy = f"Did you mean “{near[0]}”?" if near else f"Known: {', '.join(CATALOGUE)}."
    return Problem("", "unknown-calculation", f"There is no calculation “{name}”.", remedy)


def _without_units(request: object, shape: type[Any], reader: Reader) -> tuple[object, System | None]:
    if not isinstance(request, dict) or "units" not in request:
        return request, None
    wanted = request["units"]
    rest = {name: value for name, value in request.items() if name != "units"}
    if wanted in _SYSTEMS:
        return rest, cast("System", wanted)
    if _is_number_of_rebuilds(wanted) and _REBUILDS not in rest and any(field.name == _REBUILDS for field in fields_of(shape)):
        return rest | {_REBUILDS: wanted}, None
    if wanted is not None:
        reader.problems.append(Problem("units", "unknown-word", "The units asked for are not known.", "Write metric or inch."))
    return rest, None


def _is_number_of_rebuilds(wanted: object) -> bool:
    """Whether `units` holds a figure. stack-forecast calls a number of rebuilds so; a form has metric or inch there always."""
    if isinstance(wanted, str):
        return any(letter.isdigit() for letter in wanted)
    return isinstance(wanted, (int, float, Decimal)) and not isinstance(wanted, bool)


def _as_sent(problem: Problem, request: object) -> Problem:
    """The problem of a number of rebuilds under the name that it was sent with."""
    sent_as_units = isinstance(request, dict) and _REBUILDS not in request and _is_number_of_rebuilds(request.get("units"))
    return replace(problem, field="units") if problem.field == _REBUILDS and sent_as_units else problem


def _object(shape: type[Any], made: Any, units: AnswerUnits) -> dict[str, Any]:
    values = ((field.name, field.declared, getattr(made, field.attribute)) for field in fields_of(shape))
    return {name: _plain(declared, value, units, len(declared.many)) for name, declared, value in values if value is not None}


def _plain(declared: Declared, value: Any, units: AnswerUnits, depth: int) -> Any:
    if depth:
        return [_plain(declared, item, units, depth - 1) for item in value]
    if declared.kind == "amount":
        assert declared.dimension is not None  # noqa: S101 - `amount` always sets it
        return units.text(value, declared.dimension)
    if declared.kind == "quantity":
        return str(value)
    if declared.kind == "group":
        assert declared.shape is not None  # noqa: S101 - `group` always sets it
        return _object(declared.shape, value, units)
    if declared.kind == "mapping":
        assert declared.of is not None  # noqa: S101 - a mapping in a result always tells
        return {key: _plain(declared.of, item, units, 0) for key, item in value.items()}
    return _json_number(value)


def _json_number(value: Any) -> Any:
    # A float is written by its shortest text, which is the same on every machine for the same bits.
    return (
        float(exact_text(value))
        if isinstance(value, Fraction) and value.denominator != 1
        else (int(value) if isinstance(value, Fraction) else value)
    )
