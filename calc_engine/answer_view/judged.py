"""A measured value beside the limits that it is judged by."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from calc_engine.answer import Worked
from calc_engine.answer_view.markup import Element, element
from calc_engine.answer_view.ruler import RulerLabels, ruler
from calc_engine.declare.fields import field_with
from calc_engine.declare.roles import Role
from calc_engine.quantities.quantity import Quantity, show
from calc_engine.quantities.units import Dimension

__all__ = ["judged_by_limits", "value_with"]


def value_with(role: Role, made: Any) -> Any:
    """What a request or result holds in the field with a role; None where it has none."""
    field = field_with(role, type(made))
    return None if field is None else getattr(made, field.attribute)


def judged_by_limits(worked: Worked) -> Iterator[Element]:
    """The ruler of a calculation that has a measured value and limits, and what the limits are where they are shown converted.

    Args:
        worked: the request and its answer.
    """
    measured = field_with("measured", worked.calculation.result)
    value, limits = value_with("measured", worked.answer.result), value_with("limits", worked.request)
    if measured is None or measured.declared.dimension is None or value is None or limits is None:
        return
    yield _ruler(worked, value, limits, measured.declared.dimension)
    given, unit = worked.limits_unit, worked.units.by_dimension[measured.declared.dimension]
    if given is not None and given.system != unit.system:
        low, high = (show(Quantity(given.from_base(end), given)) for end in (limits.min, limits.max))
        yield element("p", {"class": "bench-limits-source"}, f"The limits are given as {low} to {high}; here they are converted.")


def _ruler(worked: Worked, value: Any, limits: Any, dimension: Dimension) -> Element:
    units = worked.units
    found, low, high = (units.quantity(base, dimension) for base in (value, limits.min, limits.max))
    expanded = value_with("uncertainty", worked.answer.result)
    unsure = None if expanded is None else units.quantity(expanded, dimension)
    judged, plus = units.show(value, dimension), None if expanded is None else units.show(expanded, dimension)
    least, most = (f"{units.limit(end, value, dimension)} {units.symbol(dimension)}" for end in (limits.min, limits.max))
    said = f"{judged}{'' if plus is None else f', plus or minus {plus}'}. Limits {least} to {most}."
    written = RulerLabels(judged if plus is None else f"{judged} ± {plus}", least, most)
    return ruler(found, unsure, low, high, written, said)
