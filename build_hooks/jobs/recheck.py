"""Judges every answer of a saved job again, on this machine, and says where it differs from what the page had shown."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from build_hooks.jobs.job_file import Answered, JobFile
from build_hooks.reading.problems import printable
from calc_engine import Refused, Worked, encode, panel, shown_outputs, work_out

__all__ = ["NoJobFileError", "Rechecked", "recheck"]

_LARGEST: Final = 200_000_000  # bytes
_MOST_FAULTS: Final = 5


class NoJobFileError(Exception):
    """The file is not one of saved jobs. Its text says why."""


@dataclass(frozen=True, slots=True)
class Rechecked:
    """What came of it.

    Attributes:
        lines: one for each answer, oldest first, and one for each difference.
        differ: how many answers differ.
        total: how many were judged again.
    """

    lines: tuple[str, ...]
    differ: int
    total: int


def recheck(path: Path) -> Rechecked:
    """Judges the answers of a file again.

    Args:
        path: a file that the page has saved, of one job or of many.

    Raises:
        NoJobFileError: it cannot be read, or is something else.
    """
    file = _read(path)
    void = {correction.of for correction in file.corrections}
    numbers = {entry.id.partition("/")[0]: entry.number or "" for entry in file.details if entry.number}
    lines, differ = list[str](), 0
    answers = sorted((one for one in file.answers if one.id not in void), key=lambda one: (one.at, one.id))
    for entry in answers:
        found = list(_differences(entry))
        differ += bool(found)
        lines.append(_line(entry, numbers.get(entry.id.partition("/")[0], ""), agrees=not found))
        lines.extend(f"    {printable(difference)}" for difference in found)
    return Rechecked(tuple(lines), differ, len(answers))


def _read(path: Path) -> JobFile:
    try:
        if path.stat().st_size > _LARGEST:
            raise NoJobFileError(f"{path}: this file is too large to be one of saved jobs.")
        return JobFile.model_validate(_decoded(path), strict=False)
    except OSError as fault:
        raise NoJobFileError(f"{path}: the file cannot be read: {fault.strerror}.") from None
    except ValidationError as faults:
        raise NoJobFileError("\n".join(_told(path, faults))) from None


def _decoded(path: Path) -> Any:
    try:
        file = json.loads(path.read_bytes())
    except (ValueError, RecursionError):
        raise NoJobFileError(f"{path}: this file is damaged, or is no file of saved jobs.") from None
    if not isinstance(file, dict) or file.get("format") != "benchleaf-jobs":
        raise NoJobFileError(f"{path}: this is no file of saved jobs. Save one on the page “Jobs” and name that.")
    version = file.get("version")
    if isinstance(version, int) and version > 1:
        raise NoJobFileError(f"{path}: a newer edition wrote this file (version {version}; this one reads 1). Use that edition.")
    return {key: tuple(value) if isinstance(value, list) else value for key, value in file.items()}


def _told(path: Path, faults: ValidationError) -> Iterator[str]:
    found = faults.errors(include_url=False, include_input=False, include_context=False)
    for fault in found[:_MOST_FAULTS]:
        place = ".".join(map(str, fault["loc"]))
        yield f"{path}: {printable(place)}: {fault['msg']}. The file is damaged."
    if len(found) > _MOST_FAULTS:
        yield f"{path}: {len(found) - _MOST_FAULTS} more like these."


def _line(entry: Answered, number: str, *, agrees: bool) -> str:
    job = f"job {number}" if number else f"job {entry.id[:8]}"
    verdict = "agrees" if agrees else "DIFFERS"
    return printable(f"{entry.at[:16].replace('T', ' ')} {job}: {entry.title} ({entry.calculation}): {verdict}")


def _differences(entry: Answered) -> Iterator[str]:
    try:
        worked = work_out(entry.calculation, entry.request)
    except Refused as refused:
        yield from (f"today it is refused: {problem.message}" for problem in refused.problems)
        return
    now = json.loads(encode(worked.reply["result"]))
    yield from _between(entry.result, now, "")
    yield from _between(entry.verdict, _marked(worked), "verdict")
    yield from _between(entry.shown, shown_outputs(worked), "shown as ")


def _marked(worked: Worked) -> str:
    """The verdict as the panel marks it."""
    attributes = panel(worked)[1]
    return attributes.get("data-verdict", "") if isinstance(attributes, dict) else ""


def _between(then: object, now: object, place: str) -> Iterator[str]:
    """What differs, by its place."""
    if isinstance(then, Mapping) and isinstance(now, Mapping):
        for key in dict.fromkeys((*then, *now)):
            yield from _between(
                then.get(key), now.get(key), f"{place}.{key}" if place and not place.endswith(" ") else f"{place}{key}"
            )
    elif isinstance(then, list) and isinstance(now, list) and len(then) == len(now):
        for index, (one, other) in enumerate(zip(then, now, strict=True)):
            yield from _between(one, other, f"{place}.{index}")
    elif then != now:
        yield f"{place}: was {_said(then)}, is {_said(now)}"


def _said(value: object) -> str:
    return "nothing" if value is None else json.dumps(value, ensure_ascii=False)
