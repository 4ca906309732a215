"""What exercises show of a gear set: the chart of some gears, the teeth of a planetary set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc_engine.practice.gear_set import GearSet
from calc_engine.practice.readings import Readings

__all__ = ["chart_table", "teeth_table"]


def chart_table(gear_set: GearSet, gears: Sequence[str]) -> Readings:
    """The chart of some gears: a row for each element."""
    chart = gear_set.chart
    rows = tuple((element, *("on" if element in chart[gear] else "–" for gear in gears)) for element in gear_set.elements)
    return Readings({}, ("Element", *gears), rows)


def teeth_table(planetary: Mapping[str, Any]) -> Readings:
    """The teeth of a planetary set."""
    rows = tuple((wheel, str(planetary[wheel])) for wheel in ("sun", "ring"))
    return Readings({}, ("Wheel", "Teeth"), rows)
