"""The one door to the engine: a name and a request in, one reply object out.

Command line, build and browser all come through here, so that they cannot disagree.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final, cast

from calc_engine.catalogue import CATALOGUE
from calc_engine.declare.calculation import Answer, Calculation
from calc_engine.declare.fields import Declared, fields_of
from calc_engine.declare.json_text import decode_request
from calc_engine.declare.request import Reader
from calc_engine.problems import Problem, Refused, told_problems, visible
from calc_engine.quantities.answer_units import AnswerUnits, choose_units
from calc_engine.quantities.figures import exact_text
from calc_engine.quantities.quantity import UnreadNumber
from calc_engine.quantities.units import System, Unit
from calc_engine.version import VERSION

__all__ = ["Worked", "answer", "answer_text", "refusal_of", "work_out", "work_out_text"]

_LONGEST_NAME: Final = 200
_SYSTEMS: Final = ("metric", "inch")
_UNITS: Final = "units"
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
        return work_out(name, request).reply
    except Exception as fault:  # noqa: BLE001 - a page must say that the engine failed, whatever the reason
        return refusal_of(name, fault)


def answer_text(name: str, text: str | bytes) -> dict[str, Any]:
    """As `answer`, from the text of a JSON object.

    Args:
        name: a calculation of the catalogue.
        text: a JSON object, as text or as UTF-8.

    Returns:
        The reply of `answer`.
    """
    try:
        return work_out_text(name, text).reply
    except Exception as fault:  # noqa: BLE001 - as in `answer`
        return refusal_of(name, fault)


@dataclass(frozen=True, slots=True)
class Worked:
    """A request that has an answer, from which both the reply and the answer panel are made.

    Attributes:
        calculation: from the catalogue.
        request: what was asked, as the calculation's request dataclass.
        answer: what came of it, amounts in base units.
        units: the units in which it is told.
        limits_unit: the unit in which the first limits of the request were given; None without limits.
    """

    calculation: Calculation[Any, Any]
    request: Any
    answer: Answer[Any]
    units: AnswerUnits
    limits_unit: Unit | None = None

    @property
    def reply(self) -> dict[str, Any]:
        """The reply of `answer`."""
        return _reply(
            self.calculation.name,
            ok=True,
            result=_object(self.calculation.result, self.answer.result, self.units),
            working=list(self.answer.working),
            cautions=list(self.answer.cautions),
        )


def work_out(name: str, request: object) -> Worked:
    """Checks a request and computes it.

    Args:
        name: a calculation of the catalogue.
        request: as for `answer`.

    Returns:
        What was asked and what came of it.

    Raises:
        Refused: with every problem of the request.
    """
    calculation = _find(name)
    reader = Reader()
    given, wanted = _without_units(request, calculation.request, reader)
    reader.system = wanted
    typed = reader.read(calculation.request, given, also=(_UNITS,))
    if typed is None or reader.problems:
        raise Refused(*(_as_sent(problem, request, calculation.request) for problem in reader.problems))
    units = choose_units(reader.units, wanted, reader.limits)
    limits = tuple(f"{field}." for field in reader.limits)
    limits_unit = next((unit for field, unit in reader.units if field.startswith(limits)), None)
    return Worked(calculation, typed, calculation.compute(typed, units), units, limits_unit)


def work_out_text(name: str, text: str | bytes) -> Worked:
    """As `work_out`, from the text of a JSON object.

    Args:
        name: a calculation of the catalogue.
        text: a JSON object, as text or as UTF-8.

    Returns:
        What was asked and what came of it.

    Raises:
        Refused: with every problem of the text or the request.
    """
    try:
        request = decode_request(text)
    except Refused as refused:
        unknown = () if name in CATALOGUE else (_unknown_calculation(name),)
        raise Refused(*unknown, *refused.problems) from None
    return work_out(name, request)


def refusal_of(name: str, fault: Exception) -> dict[str, Any]:
    """The reply when there is no answer.

    Args:
        name: the calculation that was asked for, known or not.
        fault: what was raised; anything but `Refused` is a fault of the engine.

    Returns:
        A JSON-ready object, ``ok`` false with the problems.
    """
    problems = fault.problems if isinstance(fault, Refused) else (_UNEXPECTED,)
    return _reply(_cut(name), ok=False, problems=told_problems(problems))


def _reply(name: str, *, ok: bool, **rest: Any) -> dict[str, Any]:
    return {"ok": ok, "calculation": name, "engine": VERSION, **rest}


def _find(name: str) -> Calculation[Any, Any]:
    if name in CATALOGUE:
        return CATALOGUE[name]
    raise Refused(_unknown_calculation(name))


def _unknown_calculation(name: str) -> Problem:
    near = difflib.get_close_matches(name[:_LONGEST_NAME], CATALOGUE, 1)
    remedy = f"Did you mean “{near[0]}”?" if near else f"Known: {', '.join(CATALOGUE)}."
    return Problem("", "unknown-calculation", f"There is no calculation “{_cut(name)}”.", remedy)


def _cut(name: str) -> str:
    """A name as it may be told: whatever was asked for, it is short and can be seen."""
    return visible(name if len(name) <= _LONGEST_NAME else f"{name[:_LONGEST_NAME]}…")


def _without_units(request: object, shape: type[Any], reader: Reader) -> tuple[object, System | None]:
    if not isinstance(request, dict) or _UNITS not in request:
        return request, None
    wanted = request[_UNITS]
    rest = {name: value for name, value in request.items() if name != _UNITS}
    if wanted in _SYSTEMS:
        return rest, cast("System", wanted)
    meant = _meant_by_units(request, shape)
    if meant is not None:
        return rest | {meant: wanted}, None
    if wanted is not None:
        reader.problems.append(Problem(_UNITS, "unknown-word", "The units asked for are not known.", "Write metric or inch."))
    return rest, None


def _meant_by_units(request: dict[str, Any], shape: type[Any]) -> str | None:
    """The field that a figure under `units` is meant for; None when `units` holds no figure, or no field is also called so."""
    if not _is_figure(request.get(_UNITS)):
        return None
    names = (field.name for field in fields_of(shape) if field.declared.also_sent_as == _UNITS)
    return next((name for name in names if name not in request), None)


def _is_figure(wanted: object) -> bool:
    if isinstance(wanted, str):
        return any(letter.isdigit() for letter in wanted)
    return isinstance(wanted, (int, float, Decimal, UnreadNumber)) and not isinstance(wanted, bool)


def _as_sent(problem: Problem, request: object, shape: type[Any]) -> Problem:
    """The problem of a figure that was sent under `units`, under that name."""
    meant = _meant_by_units(request, shape) if isinstance(request, dict) else None
    return problem if meant is None or problem.field != meant else replace(problem, field=_UNITS)


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
