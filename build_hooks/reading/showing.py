"""Shows problems: one line each, with the faulty line and a mark under it, as JSON, or as annotations of a code host."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Final, Literal

from build_hooks.reading.problems import Problem, printable

__all__ = ["FORMATS", "Format", "as_text", "shown", "with_line"]

Format = Literal["text", "json", "github"]
FORMATS: Final[tuple[Format, ...]] = ("text", "json", "github")

_WIDEST: Final = 110
_BEFORE: Final = 40


def shown(problems: Iterable[Problem], warnings: Iterable[Problem], form: Format, *, lines: bool) -> str:
    """All problems and warnings.

    Args:
        problems: what stops the build.
        warnings: what does not.
        form: ``text``: one line each, a warning with its code. ``json``: one array of objects. ``github``: workflow commands that
            GitHub shows beside the line.
        lines: with ``text``, whether the faulty line follows each problem.

    Returns:
        The text to print; empty when there is nothing, but an empty array in JSON.
    """
    if form == "text":
        return as_text(problems, lines=lines) + _with_codes(warnings, lines=lines)
    found = [*((problem, "error") for problem in problems), *((warning, "warning") for warning in warnings)]
    if form == "json":
        return json.dumps([_as_object(problem, severity) for problem, severity in found], ensure_ascii=False, indent=1) + "\n"
    return "".join(f"{_as_annotation(problem, severity)}\n" for problem, severity in found)


def as_text(problems: Iterable[Problem], *, lines: bool) -> str:
    """One line for each problem, or three: the problem, the faulty line, and a mark under the column."""
    return "".join(f"{with_line(problem) if lines else problem}\n" for problem in problems)


def _with_codes(warnings: Iterable[Problem], *, lines: bool) -> str:
    """The warnings, each with its code: whoever accepts one names it by that."""
    return as_text((replace(warning, remedy=f"{warning.remedy} [{warning.code}]") for warning in warnings), lines=lines)


def with_line(problem: Problem) -> str:
    """The problem, and below it the line of the file with a caret at the column; the problem alone when the line cannot be read."""
    line = _line_of(problem)
    if line is None:
        return str(problem)
    at = problem.column - 1
    start = max(0, at - _BEFORE) if len(line) > _WIDEST else 0
    before, rest = printable(line[start:at].replace("\t", " ")), printable(line[at : start + _WIDEST].replace("\t", " "))
    number = f"{problem.line:5d} | "
    return f"{problem}\n{number}{before}{rest}\n{' ' * (len(number) - 2)}| {' ' * len(before)}^"


def _line_of(problem: Problem) -> str | None:
    try:
        lines = Path(problem.path).read_text(encoding="utf-8-sig").split("\n")
    except (OSError, ValueError):
        return None
    return lines[problem.line - 1] if problem.line <= len(lines) else None


def _as_object(problem: Problem, severity: str) -> dict[str, object]:
    return {
        "severity": severity,
        "path": problem.path,
        "line": problem.line,
        "column": problem.column,
        "code": problem.code,
        "message": problem.message,
        "remedy": problem.remedy,
    }


def _as_annotation(problem: Problem, severity: str) -> str:
    """A workflow command. Source: GitHub's documentation of workflow commands (from memory)."""
    place = f"file={_escaped(problem.path, in_property=True)},line={problem.line},col={problem.column}"
    return f"::{severity} {place},title={problem.code}::{_escaped(f'{problem.message} {problem.remedy}')}"


def _escaped(text: str, *, in_property: bool = False) -> str:
    escaped = text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")
    return escaped.replace(":", "%3A").replace(",", "%2C") if in_property else escaped
