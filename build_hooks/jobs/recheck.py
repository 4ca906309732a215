"""Judges every answer of a saved job again, on this machine, and says where it differs from what the page had shown."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from build_hooks.jobs.job_file import Answered, Entry, JobFile
from build_hooks.reading.problems import printable
from calc_engine import Refused, Worked, decode_request, encode, panel, shown_outputs, work_out

__all__ = ["NoJobFileError", "Rechecked", "recheck"]

_LARGEST: Final = 200_000_000  # bytes
_MOST_FAULTS: Final = 5
# As the page reads it (browser/records/job-file.js); an answer drawn as data is half as deep.
_DEEPEST: Final = 64


class NoJobFileError(Exception):
    """The file is not one of saved jobs. Its arguments are the lines that say why."""


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
    void = _void(file)
    numbers = {
        _job_of(entry): entry.number for entry in sorted(file.details, key=_order) if entry.number and entry.id not in void
    }
    lines, differ = list[str](), 0
    answers = sorted((one for one in file.answers if one.id not in void), key=_order)
    for entry in answers:
        found = list(_differences(entry))
        differ += bool(found)
        lines.append(_line(entry, numbers.get(_job_of(entry), ""), agrees=not found))
        lines.extend(f"    {printable(difference)}" for difference in found)
    return Rechecked(tuple(lines), differ, len(answers))


def _void(file: JobFile) -> set[str]:
    """Keys of the entries that do not count. The newest correction comes first: one that was itself taken back changes nothing."""
    void = set[str]()
    for correction in sorted(file.corrections, key=_order, reverse=True):
        if correction.id not in void:
            void.add(correction.of)
    return void


def _order(entry: Entry) -> tuple[str, str]:
    """By the moment, then by the key. Thousandths of a second may be left out of a moment."""
    whole, _, part = entry.at.removesuffix("Z").partition(".")
    return f"{whole}.{part:0<3}", entry.id


def _job_of(entry: Entry) -> str:
    return entry.id.partition("/")[0]


def _read(path: Path) -> JobFile:
    try:
        if path.stat().st_size > _LARGEST:
            raise NoJobFileError(f"{path}: this file is too large to be one of saved jobs.")
        return JobFile.model_validate(_decoded(path))
    except OSError as fault:
        raise NoJobFileError(f"{path}: the file cannot be read: {fault.strerror}.") from None
    except ValidationError as faults:
        raise NoJobFileError(*_told(path, faults)) from None


def _decoded(path: Path) -> Any:
    try:
        file = json.loads(path.read_bytes(), parse_constant=_not_json)
    except (ValueError, RecursionError):
        raise NoJobFileError(f"{path}: this file is damaged, or is no file of saved jobs.") from None
    if not isinstance(file, dict) or file.get("format") != "benchleaf-jobs":
        raise NoJobFileError(f"{path}: this is no file of saved jobs. Save one on the page “Jobs” and name that.")
    version = file.get("version")
    if isinstance(version, int) and version > 1:
        raise NoJobFileError(f"{path}: a newer edition wrote this file (version {version}; this one reads 1). Use that edition.")
    if _is_deeper(file):
        raise NoJobFileError(f"{path}: this file is damaged: it is nested more than {_DEEPEST} levels deep.")
    return file


def _not_json(word: str) -> float:
    """Python's reader would take NaN and Infinity, which no browser writes."""
    raise ValueError(word)


def _is_deeper(value: object) -> bool:
    layer = [value]
    for _ in range(_DEEPEST):
        layer = [inner for one in layer for inner in _inside(one)]
        if not layer:
            return False
    return True


def _inside(value: object) -> Iterable[object]:
    if isinstance(value, dict):
        return value.values()
    return value if isinstance(value, list) else ()


def _told(path: Path, faults: ValidationError) -> Iterator[str]:
    found = faults.errors(include_url=False, include_input=False, include_context=False)
    for fault in found[:_MOST_FAULTS]:
        place = ".".join(map(str, fault["loc"]))
        yield f"{path}: {place}: {fault['msg'].removesuffix('.')}. The file is damaged."
    if len(found) > _MOST_FAULTS:
        yield f"{path}: {len(found) - _MOST_FAULTS} more like these."


def _line(entry: Answered, number: str, *, agrees: bool) -> str:
    job = f"job {number}" if number else f"job {entry.id[:8]}"
    verdict = "agrees" if agrees else "DIFFERS"
    return printable(f"{entry.at[:16].replace('T', ' ')} {job}: {entry.title} ({entry.calculation}): {verdict}")


def _differences(entry: Answered) -> Iterator[str]:
    try:
        # By way of its text: the engine has bounds and numbers of its own.
        worked = work_out(entry.calculation, decode_request(json.dumps(entry.request)))
    except Refused as refused:
        yield from (f"today it is refused: {problem.message}" for problem in refused.problems)
        return
    now = json.loads(encode(worked.reply["result"]))
    yield from _between(entry.result, now, "")
    yield from _between(entry.verdict, _marked(worked), "marked")
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
