"""How a clearance is measured: the methods, the gauges that each may use, and at how many positions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

__all__ = ["GAUGES_OF_METHOD", "MOST_POSITIONS"]

GAUGES_OF_METHOD: Final[Mapping[str, tuple[str, ...]]] = {
    "dial": ("dial",),
    "feeler": ("feeler",),
    "depth": ("depth",),
    "parts": ("micrometer", "depth"),
}
"""The kinds of gauge by the method that they serve; common practice, no source."""

MOST_POSITIONS: Final = 24
"""At how many positions a clearance may be measured: more are a typing error, not a bench sheet. Our choice."""
