"""Every calculation the engine has, in the order a manual lists them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from .calculation import Calculation
from .clutch_pack import PACK_CLEARANCE

__all__ = ["CATALOGUE"]

_ALL: Final[tuple[Calculation[Any, Any], ...]] = (PACK_CLEARANCE,)

CATALOGUE: Final[Mapping[str, Calculation[Any, Any]]] = {calculation.name: calculation for calculation in _ALL}
