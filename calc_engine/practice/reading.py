"""Reads plain data: takes what is sound, and keeps a problem with its field's name for everything else."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from calc_engine import Problem, Refused

__all__ = ["MessageReader", "twice", "unknown_word"]

_LONGEST_TEXT: Final = 2000
_LONGEST_SHOWN: Final = 80
_MOST_ITEMS: Final = 5000


class MessageReader:
    """Takes values out of decoded JSON. What is not as it should be is left out, and its problem is kept."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def report(self, field: str, code: str, message: str, remedy: str) -> None:
        """Keeps a problem."""
        self.problems.append(Problem(field, code, message, remedy))

    def refuse_if_any(self) -> None:
        """Ends the reading if something was wrong.

        Raises:
            Refused: with every problem found.
        """
        if self.problems:
            raise Refused(*self.problems)

    def mapping(self, value: object, field: str, needed: Sequence[str], more: Sequence[str] = ()) -> Mapping[str, Any] | None:
        """An object with the keys that it must and may have; None if it is no object.

        Args:
            value: what stands there.
            field: its dotted name; empty for the whole.
            needed: keys that must be there.
            more: keys that may be there.
        """
        if not isinstance(value, dict):
            remedy = f"Write one with {', '.join(needed)}." if needed else "Write one in curly brackets."
            self.report(field, "wrong-type", "An object is wanted here.", remedy)
            return None
        known = (*needed, *more)
        for key in value:
            if key not in known:
                near = difflib.get_close_matches(str(key), known, 1)
                remedy = f"Did you mean “{near[0]}”?" if near else f"Known: {', '.join(known) or 'none'}."
                self.report(_below(field, str(key)[:_LONGEST_SHOWN]), "unknown-field", "This field is not known.", remedy)
        for key in needed:
            if key not in value:
                self.report(_below(field, key), "missing", "This field is missing.", "Add it.")
        return value

    def items(self, value: object, field: str, *, fewest: int = 0, most: int = _MOST_ITEMS) -> Sequence[Any]:
        """A list; empty if it is none."""
        if not isinstance(value, list):
            self.report(field, "wrong-type", "A list is wanted here.", "Write one in square brackets.")
            return []
        if not fewest <= len(value) <= most:
            self.report(field, "wrong-length", f"The list has {len(value)} items.", f"Write {fewest} to {most}.")
            return []
        return value

    def text(self, value: object, field: str) -> str:
        """A text with something in it; empty if it is none."""
        if not isinstance(value, str) or not value.strip():
            self.report(field, "wrong-type", "A text is wanted here.", "Write one in quotation marks.")
            return ""
        if len(value) > _LONGEST_TEXT:
            self.report(field, "too-long", f"The text has {len(value)} characters.", f"Write up to {_LONGEST_TEXT}.")
            return ""
        return value

    def choice(self, value: object, field: str, known: Iterable[str]) -> str | None:
        """One of several words; None if it is another."""
        words = tuple(known)
        if isinstance(value, str) and value in words:
            return value
        self.problems.extend(unknown_word(value, words, field))
        return None

    def whole(self, value: object, field: str, least: int, most: int) -> int:
        """A whole number within bounds; the least if it is none."""
        if isinstance(value, int) and not isinstance(value, bool) and least <= value <= most:
            return value
        self.report(field, "out-of-range", "A whole number is wanted here.", f"Write {least} to {most}.")
        return least

    def flag(self, value: object, field: str) -> bool:
        """True or false; false if it is neither."""
        if isinstance(value, bool):
            return value
        self.report(field, "wrong-type", "True or false is wanted here.", "Write true or false.")
        return False

    def once(self, ids: Iterable[str], field: str) -> None:
        """Keeps a problem for each id that has stood there before."""
        self.problems.extend(twice(ids, field))


def unknown_word(value: object, known: Iterable[str], field: str) -> Iterable[Problem]:
    """The problem of a word that is none of those known, if it is none."""
    words = tuple(known)
    if isinstance(value, str) and value in words:
        return
    given = f"“{value[:_LONGEST_SHOWN]}”" if isinstance(value, str) else "What stands here"
    near = difflib.get_close_matches(value, words, 1) if isinstance(value, str) else []
    remedy = f"Did you mean “{near[0]}”?" if near else f"Write one of: {', '.join(words) or 'none is known'}."
    yield Problem(field, "unknown-word", f"{given} is not known here.", remedy)


def twice(ids: Iterable[str], field: str) -> Iterable[Problem]:
    """A problem for each id of a list that has stood there before."""
    seen: set[str] = set()
    for index, name in enumerate(ids):
        if name in seen:
            yield Problem(f"{field}.{index}.id", "duplicate-id", f"“{name}” appears twice.", "Give each its own id.")
        seen.add(name)


def _below(field: str, key: str) -> str:
    return f"{field}.{key}" if field else key
