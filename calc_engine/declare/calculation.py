"""What a calculation is: the one declaration from which forms, command line, schemas and pages are made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from calc_engine.quantities.answer_units import AnswerUnits

__all__ = ["Answer", "Calculation", "Source", "Subject"]

Subject = Literal["", "pack", "shaft", "packs", "drum", "unit"]


@dataclass(frozen=True, slots=True)
class Source:
    """Where a formula comes from.

    Attributes:
        title: the standard, handbook or rule.
        place: clause, page or equation; empty when the whole is meant.
        remark: what a reader should know of it (``common practice, no source``).
    """

    title: str
    place: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Answer[Result]:
    """What a calculation gives.

    Attributes:
        result: the result dataclass, amounts in base units.
        working: the calculation line by line, as on a bench sheet.
        cautions: what the reader must mind.
    """

    result: Result
    working: tuple[str, ...]
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Calculation[Request, Result]:
    """One calculation of the catalogue.

    Attributes:
        name: the fixed name scripts use.
        title: the name people use.
        about: a sentence or two: what it is for.
        request: dataclass of the inputs, its fields declared by `fields`.
        result: dataclass of the outputs, likewise.
        compute: the calculation itself; raises `Refused` for a request that has no sensible answer.
        formulas: LaTeX, a line each.
        sources: where the formulas come from.
        example: a request that works, from the demo.
        subject: what in a unit's data a page may work it out for: the fields with a role for it are filled from there.
        measures: what is measured of the subject, for a heading behind its name.
        asked_as: what people type when they look for it, and what neither title nor fields say; only the manual's search reads it.
    """

    name: str
    title: str
    about: str
    request: type[Request]
    result: type[Result]
    compute: Callable[[Request, AnswerUnits], Answer[Result]]
    formulas: tuple[str, ...]
    sources: tuple[Source, ...]
    example: Mapping[str, Any] = field(default_factory=dict)
    subject: Subject = ""
    measures: str = ""
    asked_as: tuple[str, ...] = ()
