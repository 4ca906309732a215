"""What an attack reports: one row for each kind of attack, with the first failures in full."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

__all__ = ["Row", "as_table", "cases"]

_SHOWN: Final = 5


@dataclass
class Row:
    """One kind of attack.

    Attributes:
        test: what was tried.
        cases: how many times.
        failures: one line for each case that failed.
    """

    test: str
    cases: int = 0
    failures: list[str] = field(default_factory=list)

    def tried(self, failure: str | None = None) -> None:
        """Counts one case, and its failure if it failed."""
        self.cases += 1
        if failure is not None:
            self.failures.append(failure)


def cases(number: int, share: float) -> int:
    """How many of the full number of cases are tried, at least one."""
    return max(1, round(number * share))


def as_table(rows: Iterable[Row]) -> str:
    """The rows as a Markdown table, and below it the first failures of each."""
    lines = ["| test | cases | failures |", "|---|---|---|"]
    told = []
    for row in rows:
        lines.append(f"| {row.test} | {row.cases:,} | {len(row.failures):,} |")
        told += [f"{row.test}: {failure}" for failure in row.failures[:_SHOWN]]
    return "\n".join([*lines, "", *told])
