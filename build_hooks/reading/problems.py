"""What is wrong in the files of a manual, one line each, so that whoever wrote them can mend it."""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Final, NamedTuple

import calc_engine

__all__ = [
    "MOST_FAULTS",
    "START",
    "Fault",
    "Mark",
    "Problem",
    "Problems",
    "did_you_mean",
    "in_order",
    "known_names",
    "lines_of",
    "listed",
    "mark_at",
    "nearest",
    "printable",
    "quoted",
]

_LONGEST_QUOTE: Final = 60
_LONGEST_COMPARED: Final = 40
_MOST_COMPARED: Final = 500

# A file that is broken in more places than this is not mended from a list.
MOST_FAULTS: Final = 100


class Mark(NamedTuple):
    """A place in a text. Both count from 1; columns count characters."""

    line: int
    column: int


START: Final = Mark(1, 1)
_LINE_BREAK: Final = re.compile("\r\n|[\n\r]")


def lines_of(text: str) -> list[str]:
    """The lines of a text as an editor counts them, and YAML 1.2 (5.4): nothing but returns and line feeds ends one."""
    return _LINE_BREAK.split(text)


def mark_at(text: str, offset: int) -> Mark:
    """The place of a character of a text, which is counted from 0."""
    before = lines_of(text[:offset])
    return Mark(len(before), len(before[-1]) + 1)


class Fault(NamedTuple):
    """Something wrong at a place of one file, before the file's name is known."""

    mark: Mark
    code: str
    message: str
    remedy: str


def in_order(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Faults by their place; at one place, in the order in which they were found."""
    return tuple(sorted(faults, key=lambda fault: fault.mark))


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in one file.

    Attributes:
        path: the file, as it is reached from where the command was called.
        line: from 1.
        column: from 1, in characters.
        code: a short stable name of the kind of fault (``unknown-key``), for scripts.
        message: what is wrong, in a sentence.
        remedy: what would be right, in a sentence.
    """

    path: str
    line: int
    column: int
    code: str
    message: str
    remedy: str

    @classmethod
    def of(cls, path: str, fault: Fault) -> Problem:
        """The fault with the name of its file."""
        return cls(path, fault.mark.line, fault.mark.column, fault.code, fault.message, fault.remedy)

    @property
    def place(self) -> tuple[str, int, int]:
        """What problems are sorted by."""
        return (self.path, self.line, self.column)

    def __str__(self) -> str:
        """``path:line:col: message remedy`` on one line, with nothing in it that a terminal would obey."""
        return printable(f"{self.path}:{self.line}:{self.column}: {self.message} {self.remedy}")


class Problems:
    """Collects problems and gives them back by file, line and column; the first found stands first at one place."""

    def __init__(self) -> None:
        self._found: list[Problem] = []

    def add(self, problem: Problem) -> None:
        """Take in one problem."""
        self._found.append(problem)

    def extend(self, problems: Iterable[Problem]) -> None:
        """Take in several problems."""
        self._found.extend(problems)

    def __bool__(self) -> bool:
        return bool(self._found)

    def __iter__(self) -> Iterator[Problem]:
        return iter(self.in_order())

    def in_order(self) -> tuple[Problem, ...]:
        """All problems by file, line and column, each once, however many readers met it."""
        return tuple(sorted(dict.fromkeys(self._found), key=lambda problem: problem.place))


def printable(text: str) -> str:
    """The text on one line: line breaks, control and direction characters are written as escapes."""
    return "".join(
        character if character.isprintable() else character.encode("unicode_escape", "surrogatepass").decode("ascii")
        for character in text
    )


def quoted(text: str) -> str:
    """What somebody wrote, in quotation marks, cut where it gets long."""
    short = text if len(text) <= _LONGEST_QUOTE else f"{text[:_LONGEST_QUOTE]}…"
    return f"“{short}”"


def listed(names: Iterable[str], last: str = "or") -> str:
    """``a, b or c``."""
    return calc_engine.listed(list(names), last)


def nearest(written: str, known: Iterable[str], likeness: float = 0.6) -> str | None:
    """The known word that is nearest to the one written, if any is as like as that; only the first few hundred are looked at."""
    if len(written) > _LONGEST_COMPARED:
        return None
    near = difflib.get_close_matches(written, list(islice(known, _MOST_COMPARED)), 1, likeness)
    return near[0] if near else None


def known_names(written: str, known: Collection[str], what: str) -> str:
    """What to do about a name that is not known: the one that is near, else all there are, else that there is none.

    Args:
        written: the name.
        known: those that there are, if any.
        what: what they name, for example ``gauge``.
    """
    return did_you_mean(written, known) or (f"Known: {listed(known, 'and')}." if known else f"There is no {what} yet.")


def did_you_mean(written: str, known: Iterable[str]) -> str:
    """``Did you mean “thickness”?`` when a known word is near to the one written, else nothing."""
    near = nearest(written, known)
    return "" if near is None else f"Did you mean {quoted(near)}?"
