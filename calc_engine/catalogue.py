"""Every calculation the engine has, in the order a manual lists them; a manual's own come after them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final

from calc_engine.calculations.air_check import AIR_CHECK
from calc_engine.calculations.band_adjustment import BAND_ADJUSTMENT
from calc_engine.calculations.bearing_shim import BEARING_SHIM
from calc_engine.calculations.bushing_clearance import BUSHING_CLEARANCE
from calc_engine.calculations.choose_parts import CHOOSE_PARTS
from calc_engine.calculations.convert import CONVERT
from calc_engine.calculations.converter_pullback import CONVERTER_PULLBACK
from calc_engine.calculations.cooler_flow import COOLER_FLOW
from calc_engine.calculations.disc_spring import DISC_SPRING
from calc_engine.calculations.end_play import END_PLAY
from calc_engine.calculations.flatness import FLATNESS
from calc_engine.calculations.fluid_from_level import FLUID_FROM_LEVEL
from calc_engine.calculations.gear_train import GEAR_TRAIN
from calc_engine.calculations.indicator_angle import INDICATOR_ANGLE
from calc_engine.calculations.pack_clearance import PACK_CLEARANCE
from calc_engine.calculations.past_and_forecast import PAST_AND_FORECAST
from calc_engine.calculations.past_clearances import PAST_CLEARANCES
from calc_engine.calculations.piston_force import PISTON_FORCE
from calc_engine.calculations.plate_wear import PLATE_WEAR
from calc_engine.calculations.pressure_check import PRESSURE_CHECK
from calc_engine.calculations.pump_clearance import PUMP_CLEARANCE
from calc_engine.calculations.return_spring import RETURN_SPRING
from calc_engine.calculations.set_clearances import SET_CLEARANCES
from calc_engine.calculations.sight_size import SIGHT_SIZE
from calc_engine.calculations.soak_left import SOAK_LEFT
from calc_engine.calculations.stack_forecast import STACK_FORECAST
from calc_engine.calculations.temperature import TEMPERATURE
from calc_engine.calculations.torque_capacity import TORQUE_CAPACITY
from calc_engine.calculations.which_element import WHICH_ELEMENT
from calc_engine.calculations.wrench_adapter import WRENCH_ADAPTER
from calc_engine.declare.calculation import Calculation

__all__ = ["BUILT_IN", "CATALOGUE", "set_own"]

_ALL: Final[tuple[Calculation[Any, Any], ...]] = (
    PACK_CLEARANCE,
    CHOOSE_PARTS,
    SET_CLEARANCES,
    STACK_FORECAST,
    PAST_CLEARANCES,
    PAST_AND_FORECAST,
    END_PLAY,
    BEARING_SHIM,
    BUSHING_CLEARANCE,
    PUMP_CLEARANCE,
    CONVERTER_PULLBACK,
    BAND_ADJUSTMENT,
    PRESSURE_CHECK,
    COOLER_FLOW,
    FLUID_FROM_LEVEL,
    PISTON_FORCE,
    AIR_CHECK,
    RETURN_SPRING,
    DISC_SPRING,
    TORQUE_CAPACITY,
    PLATE_WEAR,
    GEAR_TRAIN,
    WHICH_ELEMENT,
    FLATNESS,
    SOAK_LEFT,
    WRENCH_ADAPTER,
    INDICATOR_ANGLE,
    TEMPERATURE,
    CONVERT,
    SIGHT_SIZE,
)

BUILT_IN: Final[Mapping[str, Calculation[Any, Any]]] = {calculation.name: calculation for calculation in _ALL}
"""Those of the engine itself."""

_known: Final = dict(BUILT_IN)
CATALOGUE: Final[Mapping[str, Calculation[Any, Any]]] = _known
"""Those, and behind them the manual's own: see `set_own`."""


def set_own(calculations: Iterable[Calculation[Any, Any]]) -> None:
    """Puts a manual's own calculations behind those of the engine, in place of all that were put there before.

    One process answers for one manual, so there is one catalogue.

    Args:
        calculations: in the order in which they are listed.

    Raises:
        ValueError: two have the same name, or one has the name of a calculation of the engine; nothing is changed.
    """
    own: dict[str, Calculation[Any, Any]] = {}
    for calculation in calculations:
        if calculation.name in BUILT_IN or calculation.name in own:
            raise ValueError(f"There is a calculation “{calculation.name}” already.")
        own[calculation.name] = calculation
    _known.clear()
    _known.update(BUILT_IN)
    _known.update(own)
