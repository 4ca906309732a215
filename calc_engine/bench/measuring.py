"""How a clearance is measured: the methods, the gauges that each may use, and at how many positions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from calc_engine.declare.fields import group
from calc_engine.declare.roles import Role

__all__ = ["GAUGES_OF_METHOD", "MOST_POSITIONS", "gauge_that_reads"]

GAUGES_OF_METHOD: Final[Mapping[str, tuple[str, ...]]] = {
    "dial": ("dial",),
    "feeler": ("feeler",),
    "depth": ("depth",),
    "parts": ("micrometer", "depth"),
}
"""The kinds of gauge by the method that they serve; common practice, no source."""

MOST_POSITIONS: Final = 24
"""At how many positions a clearance may be measured: more are a typing error, not a bench sheet. Our choice."""


def gauge_that_reads(shape: type[Any], role: Role = "") -> Any:
    """The input that says what is known of the gauge.

    Args:
        shape: what can be known of such a gauge.
        role: ``gauge`` where unit data fill it.
    """
    help_text = "How finely it reads and how far off it may be: this decides how sure the answer is."
    return group(shape, "Gauge", help_text, optional=True, role=role)
