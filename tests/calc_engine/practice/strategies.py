"""Random units for property tests."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tests.calc_engine.practice.random_units import seeded_unit

__all__ = ["units"]


def units() -> st.SearchStrategy[dict[str, Any]]:
    """Units for a property test. They are drawn by a seed, so that a failing one is found again at once and not shrunk for minutes."""
    return st.integers(0, 2**32).map(seeded_unit)
