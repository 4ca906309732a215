"""Every calculation the engine has, in the order a manual lists them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from .air_check import AIR_CHECK
from .calculation import Calculation
from .choose_parts import CHOOSE_PARTS
from .clutch_pack import PACK_CLEARANCE
from .conversion import CONVERT
from .disc_spring import DISC_SPRING
from .friction import TORQUE_CAPACITY
from .piston_force import PISTON_FORCE
from .plate_wear import PLATE_WEAR
from .return_springs import RETURN_SPRING
from .shafts import BEARING_SHIM, END_PLAY
from .sight import SIGHT_SIZE
from .soak import SOAK_LEFT
from .stack_forecast import STACK_FORECAST
from .workshop import INDICATOR_ANGLE, TEMPERATURE, WRENCH_ADAPTER

__all__ = ["CATALOGUE"]

_ALL: Final[tuple[Calculation[Any, Any], ...]] = (
    PACK_CLEARANCE,
    CHOOSE_PARTS,
    STACK_FORECAST,
    END_PLAY,
    BEARING_SHIM,
    PISTON_FORCE,
    AIR_CHECK,
    RETURN_SPRING,
    DISC_SPRING,
    TORQUE_CAPACITY,
    PLATE_WEAR,
    SOAK_LEFT,
    WRENCH_ADAPTER,
    INDICATOR_ANGLE,
    TEMPERATURE,
    CONVERT,
    SIGHT_SIZE,
)

CATALOGUE: Final[Mapping[str, Calculation[Any, Any]]] = {calculation.name: calculation for calculation in _ALL}
