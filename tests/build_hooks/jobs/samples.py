"""The sample of saved jobs, and changes to it."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any, Final

__all__ = ["SAMPLE", "entry_like", "sample"]

SAMPLE: Final = Path(__file__).parent / "sample-jobs.json"
_TEXT: Final = SAMPLE.read_text(encoding="utf-8")


def sample() -> dict[str, Any]:
    """The sample, to be changed at will."""
    read: dict[str, Any] = json.loads(_TEXT)
    return read


def entry_like(entry: dict[str, Any], key: int, **changed: Any) -> dict[str, Any]:
    """Another entry of the same job."""
    job = str(entry["id"]).partition("/")[0]
    return {**copy.deepcopy(entry), "id": f"{job}/{key:016x}", **changed}
