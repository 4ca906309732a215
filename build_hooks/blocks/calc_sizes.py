"""The sizes of a selective part, as the rows of a request."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from build_hooks.blocks.calc_request import by_role
from build_hooks.model import Part, SelectiveKit
from calc_engine import Field, Role

__all__ = ["fitted_size", "size_rows"]


def fitted_size(kit: SelectiveKit, names: Mapping[str, str]) -> str:
    """The name of the size that is fitted to begin with."""
    return names[(kit.fitted or kit.choices[0]).id]


def size_rows(field: Field, kit: SelectiveKit, names: Mapping[str, str]) -> list[dict[str, Any]]:
    """A row for each size whose thickness is known.

    Args:
        field: the field of the request that takes sizes.
        kit: the selective part.
        names: of `calc_engine.size_names`.
    """
    assert field.declared.shape is not None  # noqa: S101 - sizes are a group
    return [_row(field.declared.shape, kit, part, names) for part in _measured(kit.choices)]


def _measured(choices: Sequence[Part]) -> list[Part]:
    return [part for part in choices if part.thickness is not None]


def _row(shape: type[Any], kit: SelectiveKit, part: Part, names: Mapping[str, str]) -> dict[str, Any]:
    assert part.thickness is not None  # noqa: S101 - the checks have seen to it
    facts: dict[Role, Any] = {
        "identity": names[part.id],
        "thickness": str(part.thickness.nominal),
        "tolerance": str(part.thickness.widest) if part.thickness.widest.base else None,
        "stock": kit.stock.get(part.id),
    }
    return by_role(shape, facts)
