"""The declaration of a field: what is wrong with it names the field."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from calc_engine.declare import fields


@pytest.mark.parametrize("declare", [fields.length, fields.length_as_given])
@pytest.mark.parametrize("limit", ["least", "above", "most"])
def test_a_limit_in_a_wrong_unit_names_its_field(declare: Callable[..., Any], limit: str) -> None:
    """For whoever adds a calculation."""
    with pytest.raises(ValueError, match="limit") as raised:
        declare("Depth", "From the straightedge.", **{limit: "3 N"})
    assert str(raised.value) == (
        "The limit '3 N' of the field 'Depth' is wrong. “N” measures force, but a length is wanted. Write it in mm, um, m, in or thou."
    )
