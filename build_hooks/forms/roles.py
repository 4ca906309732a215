"""Fields of a calculation that a form cannot do without, found by their roles."""

from __future__ import annotations

from typing import Any

from calc_engine import Field, Role, field_with

__all__ = ["entry_shape", "known_field"]


def known_field(role: Role, shape: type[Any]) -> Field:
    """The field with a role, of a calculation that is known to have one.

    Args:
        role: its role.
        shape: a request dataclass, or one of its rows.
    """
    found = field_with(role, shape)
    assert found is not None, f"{shape.__name__} has no field with the role “{role}”"  # noqa: S101
    return found


def entry_shape(field: Field) -> type[Any]:
    """What a group is, or each entry of a list or of a mapping by name."""
    shape = field.declared.shape if field.declared.of is None else field.declared.of.shape
    assert shape is not None  # noqa: S101 - asked of groups only
    return shape
