"""The demo's units as a page gets them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from build_hooks.learning.unit_data import unit_data
from build_hooks.library import load

__all__ = ["demo_units"]

_DOCS = Path(__file__).parents[3] / "docs"


def demo_units() -> dict[str, dict[str, Any]]:
    """Plain data of every unit of the demo, by id, as it comes out of JSON."""
    library, problems = load(_DOCS)
    assert library is not None
    assert not problems, problems
    return {unit.id: json.loads(json.dumps(unit_data(unit, library.shop))) for unit in library.units.values()}
