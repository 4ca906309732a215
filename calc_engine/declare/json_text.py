"""From JSON text to values and back, by bounds of our own: what is refused here is refused alike on every machine."""

from __future__ import annotations

import json
import re
from collections import Counter
from decimal import Decimal
from typing import Any, Final

from calc_engine.problems import Problem, Refused
from calc_engine.quantities.quantity import UnreadNumber

__all__ = ["LONGEST_REQUEST", "decode_request", "encode"]

LONGEST_REQUEST: Final = 1_000_000
_LONGEST_NAME: Final = 200
# No request needs half as many. The decoder itself gives up at a depth that depends on the machine's stack.
_DEEPEST: Final = 32
# Numbers that are longer, or have more figures in the power of ten, stay text: how large a power the decimal module
# takes depends on the machine.
_LONGEST_NUMBER: Final = 80
_LONGEST_POWER: Final = 3
_REMEDY: Final = "Send one JSON object of the inputs."
# A bracket inside a string opens nothing. A string that does not end is left to the decoder.
_BRACKETS: Final = re.compile(r'"[^"\\]*+(?:\\.[^"\\]*+)*+"?|([\[{])|([\]}])', re.DOTALL)


def decode_request(text: str | bytes) -> object:
    """The JSON value of a text; numbers stay exact decimals.

    Args:
        text: the request.

    Returns:
        Objects, lists, texts, truth values, None, whole numbers as int, others as `Decimal`; a number beyond any
        reading as `UnreadNumber`, so that its problem comes with the name of its field.

    Raises:
        Refused: it is not JSON, not UTF-8, too long, nested too deeply, or holds a key twice or a number that is not finite.
    """
    if len(text) > LONGEST_REQUEST:
        raise _refused("too-long", f"The request has more than {LONGEST_REQUEST} characters.")
    try:
        plain = text.decode("utf-8-sig") if isinstance(text, bytes) else text
    except UnicodeDecodeError as fault:
        raise _refused("not-utf8", f"Byte {fault.start + 1} is not UTF-8.", "Send the request as UTF-8 text.") from None
    if _is_deeper(plain, _DEEPEST):
        raise _refused("too-deep", f"The request is nested more than {_DEEPEST} levels deep.")
    try:
        return json.loads(
            plain, parse_float=_number, parse_int=_whole_number, parse_constant=_not_finite, object_pairs_hook=_once
        )
    except json.JSONDecodeError as fault:
        raise _refused("not-json", f"The request is not JSON at line {fault.lineno}, column {fault.colno}.") from None


def encode(value: object) -> str:
    """A reply as JSON text: one line, keys in the order given, letters as they are; half a surrogate pair is escaped.

    Args:
        value: a JSON-ready value.
    """
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(", ", ": "))
    # A lone surrogate can only stand inside a string, where this writes it as JSON does.
    return text if text.isascii() else text.encode("utf-8", "backslashreplace").decode("utf-8")


def _refused(code: str, message: str, remedy: str = _REMEDY) -> Refused:
    return Refused(Problem("", code, message, remedy))


def _is_deeper(text: str, most: int) -> bool:
    if text.count("[") + text.count("{") <= most:
        return False
    depth = 0
    for match in _BRACKETS.finditer(text):
        if match[1]:
            depth += 1
            if depth > most:
                return True
        elif match[2]:
            depth -= 1
    return False


def _number(text: str) -> Decimal | UnreadNumber:
    power = re.split("[eE]", text)[-1].lstrip("+-0") if "e" in text or "E" in text else ""
    return UnreadNumber(text) if len(text) > _LONGEST_NUMBER or len(power) > _LONGEST_POWER else Decimal(text)


def _whole_number(text: str) -> int | UnreadNumber:
    return UnreadNumber(text) if len(text) > _LONGEST_NUMBER else int(text)


def _not_finite(word: str) -> None:
    raise _refused("not-finite", f"{word} is not a number that can be measured.", "Send finite numbers.")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        counted = Counter(name for name, _ in pairs)
        twice = next(name for name, times in counted.items() if times > 1)[:_LONGEST_NAME]
        raise Refused(Problem(twice, "duplicate-field", f"“{twice}” is given twice.", "Give each field once."))
    return made
