"""What is wrong with a request, said so that the person who typed it can mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice
from typing import Final

__all__ = ["Problem", "Refused", "told_problems", "unseen", "visible"]

# Nobody reads more; a hostile request could have a hundred thousand.
_MOST_TOLD: Final = 200


def visible(text: str) -> str:
    """A text with every character that cannot be seen written by its number, `<U+200B>`. A plain space stays.

    Args:
        text: any text.
    """
    return text if text.isprintable() else "".join(letter if letter.isprintable() else _by_number(letter) for letter in text)


def unseen(text: str) -> str | None:
    """The first character of a text that cannot be seen, by its number, `U+200B`; None if there is none. A plain space is none."""
    return None if text.isprintable() else next(_by_number(letter)[1:-1] for letter in text if not letter.isprintable())


def _by_number(letter: str) -> str:
    return f"<U+{ord(letter):04X}>"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with a request.

    Attributes:
        field: where, as the dotted name of the field (``lifts.2``); empty for the request as a whole.
        code: a short stable name of the kind of fault (``no-unit``), for scripts.
        message: what is wrong, in a sentence.
        remedy: what would be right, in a sentence.
    """

    field: str
    code: str
    message: str
    remedy: str

    def as_json(self) -> dict[str, str]:
        """The problem as the object that command line and page both get. Nothing in it is invisible, whatever was typed."""
        told = {"field": self.field, "code": self.code, "message": self.message, "remedy": self.remedy}
        return {name: visible(text) for name, text in told.items()}


class Refused(Exception):  # noqa: N818 - it is a refusal to calculate, not a programming error
    """A request that cannot be answered. It carries every problem found, not only the first."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("; ".join(f"{p.field}: {p.message}" for p in problems))
        self.problems = problems


def told_problems(problems: Iterable[Problem]) -> list[dict[str, str]]:
    """Problems as objects, in order; of a great many the first 200, and how many more there are.

    Args:
        problems: any number of them.

    Returns:
        One object a problem, and one for the rest.
    """
    each = iter(problems)
    told = [problem.as_json() for problem in islice(each, _MOST_TOLD)]
    more = sum(1 for _ in each)
    if more:
        rest = Problem("", "more-problems", f"{more} more problems are not listed.", "Mend the listed ones first.")
        told.append((rest if more > 1 else _ONE_MORE).as_json())
    return told


_ONE_MORE: Final = Problem("", "more-problems", "1 more problem is not listed.", "Mend the listed ones first.")
