"""The version moves when an answer does."""

from __future__ import annotations

from calc_engine import VERSION
from tests.calc_engine.recorded import digests, recorded


def test_the_version_moves_with_the_answers() -> None:
    """Scripts and saved jobs tell answers apart by the engine's version."""
    stored, now = recorded(), digests()
    changed = sorted(name for name in stored["digests"].keys() | now.keys() if stored["digests"].get(name) != now.get(name))
    again = "python -m tests.calc_engine.recorded"
    assert not (changed and stored["version"] == VERSION), (
        f"These answers have changed: {changed}. Raise calc_engine.version.VERSION, add a line to CHANGELOG.md, then call {again}."
    )
    assert stored["version"] == VERSION, f"The version has moved to {VERSION}: call {again}."
