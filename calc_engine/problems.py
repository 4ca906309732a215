"""What is wrong with a request, said so that the person who typed it can mend it."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Problem", "Refused"]


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
        """The problem as the object that command line and page both get."""
        return {"field": self.field, "code": self.code, "message": self.message, "remedy": self.remedy}


class Refused(Exception):  # noqa: N818 - it is a refusal to calculate, not a programming error
    """A request that cannot be answered. It carries every problem found, not only the first."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("; ".join(f"{p.field}: {p.message}" for p in problems))
        self.problems = problems
