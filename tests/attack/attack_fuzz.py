"""Fuzzing of the build side, as one of the attacks: an eighth of the long run, which `python -m tests.fuzz.fuzz_build` makes."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from tests.attack.table import Row, cases
from tests.fuzz.fuzz_build import IN_MEMORY, fuzzed, rows

__all__ = ["run"]

_CASES: Final = 125_000
_SEED: Final = 20261129


def run(share: float) -> Iterator[Row]:
    """One row for each target; each cause of findings is one failure."""
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as folder:
        yield from rows(fuzzed(Path(folder).resolve(), cases(_CASES, share), _SEED))
