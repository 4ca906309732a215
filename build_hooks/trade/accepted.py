"""Warnings that an author has looked at and accepts, by a comment at the place: the code of the warning and the reason.

In YAML and in a calculation's Python ``# accept odd-length: the end plate is that thick``, in a page ``<!-- accept odd-length: ... -->``; at
the end of the line that is warned of, or on a line of its own above it.
"""

from __future__ import annotations

import io
import re
import tokenize
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import yaml

from build_hooks.blocks import BLOCKS
from build_hooks.markdown.fences import fences_of
from build_hooks.markdown.lines import without_code
from build_hooks.reading.problems import Fault, Mark, Problem, quoted
from build_hooks.reading.sources import read_text

__all__ = ["Accepted", "accepted_in", "without_accepted"]

# The lengths have ends, so that no text can keep a pattern busy.
_SAID: Final = r"accept[ \t]{1,9}(?P<code>[a-z]{1,40}(?:-[a-z]{1,40}){0,9})[ \t]{0,9}"
_BEHIND_HASH: Final = re.compile(rf"(?:^|(?<=[ \t]))#[ \t]{{0,9}}{_SAID}(?::(?P<reason>.*))?$")
_IN_PAGE: Final = re.compile(rf"<!--[ \t]{{0,9}}{_SAID}(?::(?P<reason>(?:(?!-->).){{0,500}}))?-->")
_FRONT_MATTER: Final = re.compile(r"\A---[ \t]*\n.*?^(?:---|\.\.\.)[ \t]*$", re.DOTALL | re.MULTILINE)
_LOADER: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Accepted:
    """A comment that accepts a warning.

    Attributes:
        mark: where it stands.
        code: the code of the warning.
        reason: why; empty where none is given.
        line: the line whose warning is meant.
    """

    mark: Mark
    code: str
    reason: str
    line: int


def without_accepted(warnings: Sequence[Problem], files: Iterable[Path]) -> tuple[Problem, ...]:
    """The warnings that nobody has accepted, and what is wrong with the comments that accept some; by place.

    Args:
        warnings: all there are.
        files: the data files, pages and calculations that may hold such comments.
    """
    said = {path.as_posix(): _in_file(path) for path in files}
    accepted = {(path, one.line, one.code) for path, found in said.items() for one in found if one.reason}
    kept = [warning for warning in warnings if (warning.path, warning.line, warning.code) not in accepted]
    warned = {(warning.path, warning.line, warning.code) for warning in warnings}
    faults = (Problem.of(path, fault) for path, found in said.items() for fault in _faults(path, found, warned))
    return tuple(sorted((*kept, *faults), key=lambda warning: warning.place))


def _faults(path: str, accepted: Sequence[Accepted], warned: set[tuple[str, int, str]]) -> Iterator[Fault]:
    for one in accepted:
        if not one.reason:
            message = f"{quoted(one.code)} is accepted here without a reason, so the warning stays."
            yield Fault(one.mark, "accepted-without-reason", message, f"Write the reason behind a colon: accept {one.code}: why.")
        elif (path, one.line, one.code) not in warned:
            message = f"{quoted(one.code)} is accepted here, and line {one.line} has no such warning."
            yield Fault(one.mark, "accepted-in-vain", message, "Take the comment out, or correct the code of the warning in it.")


def _in_file(path: Path) -> tuple[Accepted, ...]:
    text, _ = read_text(path)
    return () if text is None or "accept" not in text else tuple(accepted_in(text, path.suffix))


def accepted_in(text: str, ending: str) -> Iterator[Accepted]:
    """The comments of a file that accept a warning.

    Args:
        text: the whole file.
        ending: how its name ends: .md for a page, .py for a calculation; else it is YAML.
    """
    lines = text.replace("\r\n", "\n").split("\n")
    found = _found_in(lines, ending)
    meant = _lines_meant(lines, found)
    for number, match in sorted(found.items()):
        yield Accepted(Mark(number, match.start() + 1), match["code"], (match["reason"] or "").strip(), meant[number])


def _found_in(lines: list[str], ending: str) -> dict[int, re.Match[str]]:
    if ending == ".md":
        return _of_page(lines)
    text = "\n".join(lines)
    return _of_python(text) if ending == ".py" else _of_yaml(text, 0)


def _lines_meant(lines: Sequence[str], found: Mapping[int, re.Match[str]]) -> dict[int, int]:
    """For each comment its own line; where nothing else stands on it, the next line that holds anything but such a comment."""
    meant: dict[int, int] = {}
    following: int | None = None
    for number in range(len(lines), 0, -1):
        match = found.get(number)
        if match is not None and _alone(lines[number - 1], match):
            meant[number] = following or number
            continue
        if match is not None:
            meant[number] = number
        if lines[number - 1].strip():
            following = number
    return meant


def _alone(line: str, match: re.Match[str]) -> bool:
    return not (line[: match.start()] + line[match.end() :]).strip()


def _of_yaml(text: str, before: int) -> dict[int, re.Match[str]]:
    """Those of a YAML text, by line; what is part of a text is no comment.

    Args:
        text: the YAML.
        before: how many lines of the file stand before it.
    """
    lines = text.split("\n")
    found = {number: match for number, line in enumerate(lines, 1) if (match := _BEHIND_HASH.search(line))}
    if not found:
        return {}
    inside = _within_texts(text, found)
    return {number + before: match for number, match in found.items() if number not in inside}


def _within_texts(text: str, found: Mapping[int, re.Match[str]]) -> set[int]:
    """The lines of those that stand inside a text in quotes or a block of text."""
    inside: set[int] = set()
    try:
        for token in yaml.scan(text, Loader=_LOADER):
            if isinstance(token, yaml.ScalarToken):
                begins, ends = (token.start_mark.line, token.start_mark.column), (token.end_mark.line, token.end_mark.column)
                spanned = (at for at in range(begins[0] + 1, ends[0] + 2) if at in found)
                inside.update(at for at in spanned if begins <= (at - 1, found[at].start()) < ends)
    except yaml.YAMLError:
        return set(found)
    return inside


def _of_python(text: str) -> dict[int, re.Match[str]]:
    """Those of a Python text, by line; none where Python cannot read it, which the check tells by itself."""
    lines = text.split("\n")
    found: dict[int, re.Match[str]] = {}
    try:
        for token in tokenize.generate_tokens(io.StringIO(text).readline):
            line, column = token.start
            if token.type == tokenize.COMMENT and (match := _BEHIND_HASH.search(lines[line - 1], column)):
                found[line] = match
    except (tokenize.TokenError, SyntaxError):
        return {}
    return found


def _of_page(lines: list[str]) -> dict[int, re.Match[str]]:
    """Those of a page: in its text, in the head, and in the YAML of its blocks."""
    head = _FRONT_MATTER.match("\n".join(lines))
    behind = head[0].count("\n") + 1 if head else 0
    found = _of_yaml("\n".join(lines[1 : behind - 1]), 1) if head else {}
    body = [""] * behind + lines[behind:]
    listed: set[int] = set()
    for first, last, opening in fences_of(body):
        listed.update(range(first + 1, last + 2))
        if opening["name"] in BLOCKS:
            found |= _of_yaml("\n".join(body[first + 1 : last]), first + 1)
    text = {number: without_code(line) for number, line in enumerate(body, 1) if number not in listed}
    return found | {number: match for number, line in text.items() if (match := _IN_PAGE.search(line))}
