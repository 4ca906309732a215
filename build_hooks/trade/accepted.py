"""Warnings that an author has looked at and accepts, by a comment at the place: the code of the warning and the reason.

In YAML ``# accept odd-length: the end plate is that thick``, in a page ``<!-- accept odd-length: ... -->``; at the end of the line that is
warned of, or on a line of its own above it.
"""

from __future__ import annotations

import re
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

_SAID: Final = r"accept[ \t]+(?P<code>[a-z]+(?:-[a-z]+)*)[ \t]*(?::(?P<reason>[^\n]*?))?[ \t]*"
_IN_YAML: Final = re.compile(rf"(?:^|(?<=[ \t]))#[ \t]*{_SAID}$")
_IN_PAGE: Final = re.compile(rf"<!--[ \t]*{_SAID}-->")
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
        files: the data files and pages that may hold such comments.
    """
    said = {path.as_posix(): _in_file(path) for path in files}
    kept = [warning for warning in warnings if not _is_accepted(warning, said.get(warning.path, ()))]
    warned = {(warning.path, warning.line, warning.code) for warning in warnings}
    found = (Problem.of(path, fault) for path, accepted in said.items() for fault in _faults(path, accepted, warned))
    return tuple(sorted((*kept, *found), key=lambda warning: warning.place))


def _is_accepted(warning: Problem, accepted: Sequence[Accepted]) -> bool:
    return any(one.reason and one.code == warning.code and one.line == warning.line for one in accepted)


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
    return () if text is None or "accept" not in text else tuple(accepted_in(text, is_page=path.suffix == ".md"))


def accepted_in(text: str, *, is_page: bool) -> Iterator[Accepted]:
    """The comments of a file that accept a warning.

    Args:
        text: the whole file.
        is_page: whether it is Markdown; else it is YAML.
    """
    lines = text.replace("\r\n", "\n").split("\n")
    found = _of_page(lines) if is_page else _of_yaml("\n".join(lines), 0)
    for number, match in sorted(found.items()):
        yield Accepted(
            Mark(number, match.start() + 1), match["code"], (match["reason"] or "").strip(), _meant(lines, number, match, found)
        )


def _meant(lines: Sequence[str], number: int, match: re.Match[str], found: Mapping[int, re.Match[str]]) -> int:
    """The comment's own line; where nothing else stands on it, the next line that holds anything but such a comment."""
    if _alone(lines[number - 1], match):
        following = range(number + 1, len(lines) + 1)
        return next(
            (at for at in following if lines[at - 1].strip() and not (at in found and _alone(lines[at - 1], found[at]))), number
        )
    return number


def _alone(line: str, match: re.Match[str]) -> bool:
    return not (line[: match.start()] + line[match.end() :]).strip()


def _of_yaml(text: str, before: int) -> dict[int, re.Match[str]]:
    """Those of a YAML text, by line; what is part of a text is no comment.

    Args:
        text: the YAML.
        before: how many lines of the file stand before it.
    """
    lines = text.split("\n")
    found = {number: match for number, line in enumerate(lines, 1) if (match := _IN_YAML.search(line))}
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
                start, end = token.start_mark, token.end_mark
                spanned = range(start.line + 1, end.line + 2)
                begins, ends = (start.line, start.column), (end.line, end.column)
                inside |= {at for at in found if at in spanned and begins <= (at - 1, found[at].start()) < ends}
    except yaml.YAMLError:
        return set(found)
    return inside


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
